"""The whole plan as calm terminal tables: black and white, words instead of signals, readable at 80 columns."""
from __future__ import annotations

import textwrap

import rich.table
from rich.console import Console, Group
from rich.text import Text

from ..pond.plan import Plan
from ..pond.results import Finding, Grid, Stage
from .parts import parts
from .words import HEADS, HONESTY, LEGEND, References, by_urgency, gap, in_short, plain, table

WIDEST = 100  # columns; longer lines are hard to read
COLUMNS = (17, 8, 15)  # plan on, typical, range; what the number is takes the rest
LAST = "The findings stand at the top, under In short. The same command with --html FILE writes the plan as pages to print."


class _Console(Console):
    """A rich console that lets the caller say what to do when nobody reads any longer."""

    def on_broken_pipe(self) -> None:
        raise BrokenPipeError


def tell(plan: Plan, findings: tuple[Finding, ...], system: str = "metric", *, whose: str = "", out=None, width: int | None = None) -> None:
    """Print a plan: what it means, what to get, then each stage with its cautions, what was assumed, the sources.

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
    page = _Page(min(console.width, WIDEST), References(plan), system)
    shown = [page.head(f"Plan for {plan.pond.name}", "═"), page.item(f"From {whose}. {HONESTY}" if whose else HONESTY)]
    shown += ["", *page.findings(findings), "", *page.parts(plan), "", page.head("How to read the tables"), *map(page.item, LEGEND)]
    for stage in plan.stages.values():
        shown += ["", *page.stage(stage)]
    console.print(Group(*shown, "", *page.assumptions(plan), "", *page.sources(), "", page.item(LAST)), width=page.width)


class _Page:
    """Writes the parts of a plan for a window so many columns wide."""

    def __init__(self, width: int, references: References, system: str):
        self.width, self.references, self.system = width, references, system

    def head(self, text: str, line: str = "─") -> Text:
        text = plain(text)
        words = textwrap.fill(text, self.width)
        return Text(words + f" {line * (self.width - len(text) - 1)}" if len(text) < self.width - 1 else words, style="bold")

    def item(self, text: str, mark: str = "", indent: int = 0, style: str = "") -> Text:
        """Write a paragraph or an item of a list, its later lines under its first word."""
        start = " " * indent + (f"{mark} " if mark else "")
        rest = " " * len(start)
        lines = textwrap.fill(plain(text), self.width, initial_indent=start, subsequent_indent=rest, break_on_hyphens=False)
        return Text(lines, style=style)

    def findings(self, findings: tuple[Finding, ...]) -> list:
        shown = [self.head("In short", "═"), self.item(in_short(findings))]
        for word, meaning, found in by_urgency(findings):
            shown += ["", self.item(f"{word}: {meaning}", style="bold")]
            for finding in found:
                shown += [self.item(finding.what, "-", 1), self.item(f"What to do: {finding.do}", indent=3)]
        return shown

    def parts(self, plan: Plan) -> list:
        shown = self._table(("Part", "In the pond file", "The plan asks for"))
        for stage, listed in parts(plan, self.system).items():
            if stage in plan.stages:
                shown.add_row(Text(plain(plan.stages[stage].title), style="bold"))
            for part in listed:
                shown.add_row(*map(Text, (part.what, part.have, part.want)))
        return [self.head("Parts list"), self.item("Read the findings, and each stage's cautions, before you buy."), shown]

    def stage(self, stage: Stage) -> list:
        shown = [self.head(stage.title), *(self.item(f"Caution: {caution}", "!") for caution in stage.cautions)]
        if open_question := gap(stage):
            shown.append(self.item(open_question))
        numbers = table(stage, self.system, self.references)
        if numbers.rows:
            shown += ["", self._line(HEADS)]
        for row in numbers.rows:
            shown.append(self._line((row.label, Text(row.value, style="bold"), row.typical, row.span)))
            if row.remark:
                shown.append(self.item(row.remark, indent=2))
        shown += [self.item(what, f"({letter})") for what, letter in numbers.notes.items()]
        for grid in stage.grids:
            shown += ["", self.item(grid.title, style="bold"), self._grid(grid)]
        return shown

    def _line(self, cells) -> rich.table.Table:
        line = rich.table.Table.grid(padding=(0, 2, 0, 0), pad_edge=False)
        line.add_column(width=max(self.width - sum(COLUMNS) - 2 * len(COLUMNS), 12))
        for column in COLUMNS:
            line.add_column(width=column)
        line.add_row(*(cell if isinstance(cell, Text) else Text(cell) for cell in cells))
        return line

    def _grid(self, grid: Grid) -> rich.table.Table:
        shown = self._table(grid.heads(self.system), grid.units)
        for cells in self.references.cells(grid, self.system):
            shown.add_row(*map(Text, cells))
        return shown

    def _table(self, heads, units=()) -> rich.table.Table:
        shown = rich.table.Table(box=None, padding=(0, 2, 0, 0), pad_edge=False, header_style="")
        for n, head in enumerate(heads):
            number = n < len(units) and units[n]
            shown.add_column(Text(plain(head)), justify="right" if number else "left", overflow="fold")
        return shown

    def assumptions(self, plan: Plan) -> list:
        shown = [self.head("What was assumed for you")]
        for stage in plan.stages.values():
            for assumed in stage.assumptions:
                mark = self.references.mark(assumed.sources, *(["unverified"] if assumed.unverified else []))
                shown.append(self.item(f"{assumed.text} {mark}", "-"))
        return shown if len(shown) > 1 else [*shown, self.item("Nothing.")]

    def sources(self) -> list:
        return [self.head("Sources"), *(self.item(citation, f"[{n}]") for n, citation in self.references.listed())]
