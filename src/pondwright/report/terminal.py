"""The whole plan as calm terminal tables: black and white, words instead of signals, readable at 80 columns."""
from __future__ import annotations

import textwrap

from rich.console import Console, Group
from rich.table import Table
from rich.text import Text

from ..pond.plan import Plan
from ..pond.results import Finding, Grid, Stage
from .words import HEADS, HONESTY, LEGEND, NOTHING_FOUND, by_urgency, gap, in_short, plain, row, sources_of

WIDEST = 100  # columns; longer lines are hard to read
COLUMNS = (17, 8, 15)  # plan on, typical, range; what the number is takes the rest


class _Console(Console):
    """A rich console that lets the caller say what to do when nobody reads any longer."""

    def on_broken_pipe(self) -> None:
        raise BrokenPipeError


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
    console = _Console(file=out, width=width, highlight=False, markup=False, emoji=False)
    page = _Page(min(console.width, WIDEST))
    about = (f"From {whose}. {HONESTY}" if whose else HONESTY, *LEGEND)
    parts = [page.head(f"Plan for {plan.pond.name}", "═"), *(page.item(text) for text in about)]
    for stage in plan.stages.values():
        parts += ["", *page.stage(stage, system)]
    parts += ["", *page.findings(findings), "", *page.assumptions(plan), "", *page.cautions(plan), "", *page.sources(plan)]
    console.print(Group(*parts, "", page.head("In short", "═"), page.item(in_short(findings))), width=page.width)


class _Page:
    """Writes the parts of a plan for a window so many columns wide."""

    def __init__(self, width: int):
        self.width = width

    def head(self, text: str, line: str = "─") -> Text:
        text = plain(text)
        words = textwrap.fill(text, self.width)
        return Text(words + f" {line * (self.width - len(text) - 1)}" if len(text) < self.width - 1 else words, style="bold")

    def item(self, text: str, mark: str = "", indent: int = 0, style: str = "") -> Text:
        """Write a paragraph or an item of a list, its later lines under its first word."""
        start = " " * indent + (f"{mark} " if mark else "")
        rest = " " * (indent + (2 if mark else 0))
        lines = textwrap.fill(plain(text), self.width, initial_indent=start, subsequent_indent=rest, break_on_hyphens=False)
        return Text(lines, style=style)

    def stage(self, stage: Stage, system: str) -> list:
        parts = [self.head(stage.title)]
        if stage.planned:
            parts.append(self._line(HEADS))
        for number in stage.numbers.values():
            shown = row(stage, number, system)
            parts.append(self._line((shown.label, Text(shown.value, style="bold"), shown.typical, shown.span)))
            parts += [self.item(remark, "·", 2) for remark in shown.remarks]
        if open_question := gap(stage):
            parts.append(self.item(open_question))
        for grid in stage.grids:
            parts += ["", self.item(grid.title, style="bold"), _grid(grid, system)]
        return parts

    def _line(self, cells) -> Table:
        line = Table.grid(padding=(0, 2, 0, 0), pad_edge=False)
        line.add_column(width=max(self.width - sum(COLUMNS) - 2 * len(COLUMNS), 12))
        for column in COLUMNS:
            line.add_column(width=column)
        line.add_row(*(cell if isinstance(cell, Text) else Text(cell) for cell in cells))
        return line

    def findings(self, findings: tuple[Finding, ...]) -> list:
        parts = [self.head("What this means, the most urgent first")]
        if not findings:
            parts.append(self.item(NOTHING_FOUND))
        for word, meaning, found in by_urgency(findings):
            parts.append(self.item(f"{word}: {meaning}", style="bold"))
            for finding in found:
                parts += [self.item(finding.what, "-", 2), self.item(f"What to do: {finding.do}", indent=4)]
        return parts

    def assumptions(self, plan: Plan) -> list:
        parts = [self.head("What was assumed for you")]
        for stage in plan.stages.values():
            for assumed in stage.assumptions:
                marks = ", ".join(assumed.sources) + (", unverified" if assumed.unverified else "")
                parts.append(self.item(f"{assumed.text} [{marks}]" if marks else assumed.text, "-"))
        return parts if len(parts) > 1 else [*parts, self.item("Nothing.")]

    def cautions(self, plan: Plan) -> list:
        parts = [self.head("Cautions")]
        for stage in plan.stages.values():
            if stage.cautions:
                parts += [self.item(stage.title, style="bold"), *(self.item(caution, "-") for caution in stage.cautions)]
        return parts

    def sources(self, plan: Plan) -> list:
        return [self.head("Sources"), *(self.item(citation, f"[{key}]") for key, citation in sources_of(plan))]


def _grid(grid: Grid, system: str) -> Table:
    table = Table(box=None, padding=(0, 2, 0, 0), pad_edge=False, header_style="")
    for head, unit_text in zip(grid.heads(system), grid.units, strict=True):
        table.add_column(Text(plain(head)), justify="right" if unit_text else "left", overflow="fold")
    for cells in grid.cells(system):
        table.add_row(*(Text(plain(cell)) for cell in cells))
    return table
