"""What the printed page and the terminal share: the words around the numbers, and text that cannot do harm."""
from __future__ import annotations

from dataclasses import dataclass

from ..pond.plan import Plan
from ..pond.results import Finding, Number, Stage, Urgency
from ..sources import cite
from ..units import short, show, unit_for

HONESTY = ("These are teaching estimates, not an engineer's design. Water, fish and electricity can do harm: the cautions stand where you "
           "would act; the local electrical code and a licensed person come before anything printed here.")
URGENCY = {
    Urgency.DANGER: ("Danger", "fish or people can come to harm: see to these first"),
    Urgency.FIX: ("To fix", "the plan does not work as it stands until these are done"),
    Urgency.IMPROVE: ("To improve", "it works, and would work better"),
    Urgency.NOTE: ("To note", "good to know before you build"),
}
NOTHING_FOUND = "Nothing stands out. That says only that no check of this plan failed, not that the pond is safe."
HEADS = ("What", "Plan on", "Typical", "Range")
CAUTIOUS = "the cautious end is planned on, because this number decides something"
UNVERIFIED = "a value from memory, not checked against a source"


def plain(text: object) -> str:
    """Write any text as one line of printable characters; a pond's name may hold line breaks, escape codes or worse."""
    return " ".join("".join(c if c.isprintable() else " " for c in str(text)).split())


@dataclass(frozen=True)
class Row:
    """One number of the plan as people read it; `remarks` are sentences that belong to it."""

    key: str
    label: str
    value: str
    typical: str
    span: str
    remarks: tuple[str, ...]
    decides: bool


def row(stage: Stage, number: Number, system: str) -> Row:
    """Write one number out: its headline, where sources disagree the range, and the typical value where the headline is another."""
    typical = span = ""
    if number.has_band:
        typical = show(number.typical, number.unit, system) if number.decides else ""
        low, high = (show(q, number.unit, system) for q in (number.low, number.high))
        name = short(unit_for(number.unit, system))
        span = f"{low.removesuffix(name).strip()} to {high}"
    return Row(f"{stage.key}.{number.key}", plain(number.label), number.text(system), typical, span, remarks(number), number.decides)


def remarks(number: Number) -> tuple[str, ...]:
    """Say what moves a number most and what weakens it."""
    said = []
    if number.note:
        said.append(plain(number.note))
    if number.has_band and number.decides:
        said.append(CAUTIOUS)
    if number.has_band and number.mover:
        said.append(f"moved most by {plain(number.mover)}")
    if number.unverified:
        said.append(f"unverified ({UNVERIFIED}): {plain(', '.join(number.unverified))}")
    said += [f"outside what its source vouches for, so the range is wider: {plain(e.parameter)} is {plain(e.given)}, "
             f"{', '.join(e.sources) or 'the source'} covers {plain(e.calibrated)}" for e in number.extrapolated]
    return tuple(said)


def gap(stage: Stage) -> str:
    """Say what a stage still needs from the pond file, or "" where nothing is open."""
    if not stage.missing:
        return ""
    return ("Partly planned: " if stage.planned else "Not planned yet: ") + plain("; ".join(m.rstrip(". ") for m in stage.missing)) + "."


def by_urgency(findings: tuple[Finding, ...]) -> list[tuple[str, str, list[Finding]]]:
    """Group findings under their words, the most urgent first."""
    return [(*URGENCY[level], found) for level in Urgency if (found := [f for f in findings if f.urgency == level])]


def sources_of(plan: Plan) -> list[tuple[str, str]]:
    """List every source that the plan used, as (key, citation), by key."""
    keys = {s for stage in plan.stages.values() for s in stage.sources}
    return [(key, cite(key)) for key in sorted(keys, key=str.lower)]
