"""What the printed page and the terminal share: the words around the numbers, and text that cannot do harm."""
from __future__ import annotations

import itertools
import string
from dataclasses import dataclass, field

from ..pond.plan import Plan
from ..pond.results import Finding, Grid, Number, Stage, Urgency, called, tidy
from ..sources import SOURCES, cite, name_source
from ..units import FORMULAS, short

HONESTY = ("These are teaching estimates, not an engineer's design. Water, fish and electricity can do harm: the cautions stand where you "
           "would act; the local electrical code and a licensed person come before anything printed here.")
URGENCY = {
    Urgency.DANGER: ("Dangerous", "fish or people can come to harm: see to these first"),
    Urgency.FIX: ("To fix", "the plan does not work as it stands until these are done"),
    Urgency.IMPROVE: ("To improve", "it works, and would work better"),
    Urgency.NOTE: ("To note", "good to know before you build"),
}
NOTHING_FOUND = "Nothing stands out. That says only that no check of this plan failed, not that the pond is safe."
HEADS = ("What", "Plan on", "Typical", "Range")
LEGEND = (
    "Plan on: the number to use. Where it decides something and sources disagree, it is the cautious end of the range, with the typical "
    "value beside it. Moved most by: the one coefficient that shifts the number most between the ends of its own range.",
    "Unverified: rests on a value from memory that nobody here has checked against its source. Extrapolated: used outside the range for "
    "which the source vouches; where the range shown is half as wide again because of it, the line says \"range widened\". The letters "
    "lead to the lines below the table, numbers in square brackets to the list of sources at the end.",
)
IN_WORDS = {"Practice": "common practice", "Judgement": "our own judgement"}  # where there is no source, the place itself says so


def plain(text: object) -> str:
    """Write any text as one line of printable characters; a pond's name may hold line breaks, escape codes or worse."""
    return " ".join("".join(c if c.isprintable() else " " for c in str(text)).split())


class References:
    """The sources of a plan, numbered: readers see [3], and what 3 is stands in the list at the end."""

    def __init__(self, plan: Plan):
        stages = plan.stages.values()
        cells = (cell for s in stages for grid in s.grids for line in grid.rows for cell in line)
        keys = {key for s in stages for key in s.sources} | {cell for cell in cells if isinstance(cell, str) and cell in SOURCES}
        keys |= {key for s in stages for name in s.formulas for key in FORMULAS[name].sources}
        self.number = {key: n for n, key in enumerate(sorted(keys, key=lambda k: cite(k).lower()), 1)}

    def mark(self, keys, *more: str) -> str:
        """Write where something comes from in square brackets, or "" where there is nothing to say."""
        numbers = sorted(self.number[key] for key in keys if key not in IN_WORDS)
        said = [*(words for key, words in IN_WORDS.items() if key in keys), *([", ".join(map(str, numbers))] if numbers else []), *more]
        return f"[{'; '.join(said)}]" if said else ""

    def listed(self) -> list[tuple[int, str]]:
        return [(n, cite(key)) for key, n in self.number.items()]

    def cells(self, grid: Grid, system: str) -> list[tuple[str, ...]]:
        """Write out a grid; a cell that holds a source's key gives the source's name and number instead."""
        return [tuple(plain(self._named(cell)) for cell in line) for line in grid.cells(system)]

    def _named(self, cell: str) -> str:
        return f"{name_source(cell)} [{self.number[cell]}]" if cell in SOURCES else cell


@dataclass(frozen=True)
class Row:
    """One number of the plan as people read it; `remark` is what else there is to say of it, in one line."""

    key: str
    label: str
    value: str
    typical: str
    span: str
    remark: str


@dataclass
class Table:
    """The numbers of a stage, ready to show: rows, and the lines below the table to which their letters lead."""

    rows: list[Row] = field(default_factory=list)
    notes: dict[str, str] = field(default_factory=dict)  # what is weak -> its letter


def table(stage: Stage, system: str, references: References) -> Table:
    """Write out the numbers of a stage. What weakens several of them is said once, below, under a letter."""
    made, letters = Table(), itertools.chain(string.ascii_lowercase, (f"a{c}" for c in string.ascii_lowercase))

    def lettered(sentences) -> str:
        for sentence in sentences:
            if sentence not in made.notes:
                made.notes[sentence] = next(letters)
        return ", ".join(made.notes[sentence] for sentence in sentences)

    for number in stage.numbers.values():
        said = _said(number)
        if weak := _unverified(number):
            said.append(f"unverified ({lettered(weak)})")
        if beyond := _extrapolated(number, lambda keys: references.mark(keys)):
            said.append(f"extrapolated ({lettered(beyond)}){', range widened' if number.widened else ''}")
        typical, span = _band(number, system)
        made.rows.append(Row(f"{stage.key}.{number.key}", plain(number.label), number.text(system), typical, span, "; ".join(said)))
    return made


def _band(number: Number, system: str) -> tuple[str, str]:
    """Write the range where sources disagree, and the typical value where the headline is another."""
    if not number.has_band:
        return "", ""
    ends = number.low, number.typical, number.high
    units = {number.unit_of(end, system) for end in (number.value, *ends)}
    same = short(units.pop()) if len(units) == 1 else ""  # it stands behind the headline
    low, middle, high = (number.end_text(end, system).removesuffix(same).strip() for end in ends)
    return middle if number.decides else "", f"{low} to {high}"


def remarks(number: Number) -> tuple[str, ...]:
    """Say in full what moves a number most and what weakens it; :data:`LEGEND` explains the words."""
    beyond = _extrapolated(number, lambda keys: f"({' and '.join(map(name_source, keys)) or 'its source'})")
    widened = ("range widened",) if number.widened else ()
    return (*_said(number), *(f"unverified: {w}" for w in _unverified(number)), *(f"extrapolated: {b}" for b in beyond), *widened)


def _said(number: Number) -> list[str]:
    said = [plain(number.note)] if number.note else []
    if number.has_band and number.mover:
        said.append(f"moved most by {plain(number.mover)}")
    return said


def _unverified(number: Number) -> list[str]:
    return [plain(called(thing)) for thing in number.unverified]


def _extrapolated(number: Number, whose) -> list[str]:
    return [plain(f"{_spoken(e.parameter)} {tidy(e.given)}; the source vouches for {tidy(e.calibrated)} {whose(e.sources)}")
            for e in number.extrapolated]


def _spoken(parameter: str) -> str:
    """Write a parameter's name as people say it."""
    return {"tan": "TAN", "ph": "pH"}.get(parameter, parameter.replace("_", " "))


def gap(stage: Stage) -> str:
    """Say what a stage still needs from the pond file, or "" where nothing is open."""
    if not stage.missing:
        return ""
    return ("Partly planned: " if stage.planned else "Not planned yet: ") + plain("; ".join(m.rstrip(". ") for m in stage.missing)) + "."


def in_short(findings: tuple[Finding, ...]) -> str:
    """Count the findings."""
    if not findings:
        return NOTHING_FOUND
    return f"{', '.join(f'{len(found)} {word.lower()}' for word, _, found in by_urgency(findings))}. The most urgent comes first."


def by_urgency(findings: tuple[Finding, ...]) -> list[tuple[str, str, list[Finding]]]:
    """Group findings under their words, the most urgent first."""
    return [(*URGENCY[level], found) for level in Urgency if (found := [f for f in findings if f.urgency == level])]
