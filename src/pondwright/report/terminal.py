"""The whole plan as calm terminal tables: black and white, words instead of signals, readable at 80 columns."""
from __future__ import annotations

from rich.console import Console, Group
from rich.padding import Padding
from rich.rule import Rule
from rich.table import Table
from rich.text import Text

from ..pond.plan import Plan
from ..pond.results import Finding, Grid, Stage
from .words import HEADS, HONESTY, NOTHING_FOUND, by_urgency, gap, plain, row, sources_of

WIDEST = 100  # columns; longer lines are hard to read
COLUMNS = (13, 13, 21)  # plan on, typical, range; what the number is takes the rest


def tell(plan: Plan, findings: tuple[Finding, ...], system: str = "metric", *, whose: str = "", out=None, width: int | None = None) -> None:
    """Print a plan.

    Parameters
    ----------
    plan, findings
        As `plan(pond)` and `findings(plan)` return them.
    system : str
        metric, us or imperial.
    whose : str
        Where the pond comes from, such as a file's name.
    out : file, optional
        Where to print; standard output by default.
    width : int, optional
        Columns; the terminal's own by default, at most 100.
    """
    console = Console(file=out, width=width, highlight=False, markup=False, emoji=False, soft_wrap=False)
    console.width = min(console.width, WIDEST)
    console.print(_head(f"Plan for {plain(plan.pond.name)}", "═"))
    console.print(_wrapped(f"From {plain(whose)}. {HONESTY}" if whose else HONESTY))
    for stage in plan.stages.values():
        console.print()
        console.print(_stage(stage, system, console.width))
    for part in (_findings(findings), _assumptions(plan), _cautions(plan), _sources(plan)):
        console.print()
        console.print(part)


def _head(text: str, line: str = "─") -> Rule:
    return Rule(Text(text, style="bold"), align="left", characters=line, style="")


def _wrapped(text: str, style: str = "") -> Text:
    return Text(plain(text), style=style)


def _item(text: str, mark: str = "-") -> Table:
    """Write one item of a list, its later lines under its first word."""
    grid = Table.grid(padding=(0, 1))
    grid.add_column(no_wrap=True)
    grid.add_column(ratio=1)
    grid.add_row(mark, _wrapped(text))
    return grid


def _stage(stage: Stage, system: str, width: int) -> Group:
    parts = [_head(plain(stage.title))]
    if stage.planned:
        parts.append(_numbers(stage, system, width))
    if open_question := gap(stage):
        parts.append(_wrapped(open_question))
    for grid in stage.grids:
        parts += ["", _grid(grid, system)]
    return Group(*parts)


def _numbers(stage: Stage, system: str, width: int) -> Group:
    """Write the numbers in columns; what belongs to one number stands below it over the whole width."""
    lines = [_line(HEADS, width)]
    for number in stage.numbers.values():
        shown = row(stage, number, system)
        lines.append(_line((shown.label, Text(shown.value, style="bold"), shown.typical, shown.span), width))
        lines += [Padding(_item(remark, "·"), (0, 0, 0, 2)) for remark in shown.remarks]
    return Group(*lines)


def _line(cells, width: int) -> Table:
    line = Table.grid(padding=(0, 2, 0, 0))
    line.add_column(width=max(width - sum(COLUMNS) - 6, 20))
    for column in COLUMNS:
        line.add_column(width=column)
    line.add_row(*(cell if isinstance(cell, Text) else Text(cell) for cell in cells))
    return line


def _grid(grid: Grid, system: str) -> Table:
    table = Table(title=Text(plain(grid.title)), title_justify="left", title_style="bold", box=None, padding=(0, 2, 0, 0), pad_edge=False,
                  header_style="dim")
    for head, unit_text in zip(grid.heads(system), grid.units, strict=True):
        table.add_column(Text(plain(head)), justify="right" if unit_text else "left", vertical="top")
    for cells in grid.cells(system):
        table.add_row(*(Text(plain(cell)) for cell in cells))
    return table


def _findings(findings: tuple[Finding, ...]) -> Group:
    parts = [_head("What this means, the most urgent first")]
    if not findings:
        parts.append(_wrapped(NOTHING_FOUND))
    for word, meaning, found in by_urgency(findings):
        parts.append(Text(f"{word}: {meaning}", style="bold"))
        for finding in found:
            parts += [Padding(_item(finding.what), (0, 0, 0, 2)), Padding(_wrapped(finding.do), (0, 0, 0, 4))]
    return Group(*parts)


def _assumptions(plan: Plan) -> Group:
    parts = [_head("What was assumed for you")]
    for stage in plan.stages.values():
        for assumed in stage.assumptions:
            marks = ", ".join(assumed.sources) + (", unverified" if assumed.unverified else "")
            parts.append(_item(f"{assumed.text} [{marks}]" if marks else assumed.text))
    return Group(*parts) if len(parts) > 1 else Group(*parts, _wrapped("Nothing."))


def _cautions(plan: Plan) -> Group:
    parts = [_head("Cautions")]
    for stage in plan.stages.values():
        parts += [_item(f"{stage.title}: {caution}") for caution in stage.cautions]
    return Group(*parts)


def _sources(plan: Plan) -> Group:
    return Group(_head("Sources"), *(_item(citation, f"[{key}]") for key, citation in sources_of(plan)))
