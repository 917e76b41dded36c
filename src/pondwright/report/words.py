"""What the printed page and the terminal share: the words around the numbers, and text that cannot do harm."""
from __future__ import annotations

from dataclasses import dataclass

from ..pond.plan import Plan
from ..pond.results import Finding, Number, Stage, Urgency
from ..sources import cite
from ..units import FORMULAS, short, show, unit_for

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
    "which the source vouches, so the range shown is half as wide again.",
)


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


def row(stage: Stage, number: Number, system: str) -> Row:
    """Write one number out: its headline; where sources disagree the range, and the typical value where the headline is another."""
    typical = span = ""
    if number.has_band:
        name = short(unit_for(number.unit, system))
        low, middle, high = (show(q, number.unit, system).removesuffix(name).strip() for q in (number.low, number.typical, number.high))
        typical, span = middle if number.decides else "", f"{low} to {high}"
    return Row(f"{stage.key}.{number.key}", plain(number.label), number.text(system), typical, span, remarks(number))


def remarks(number: Number) -> tuple[str, ...]:
    """Say what moves a number most and what weakens it; :data:`LEGEND` explains the words."""
    said = []
    if number.note:
        said.append(plain(number.note))
    if number.has_band and number.mover:
        said.append(f"moved most by {plain(number.mover)}")
    if number.unverified:
        said.append(f"unverified: {plain(', '.join(map(_named, number.unverified)))}")
    beyond = [f"{e.parameter} {_tidy(e.given)} ({', '.join(e.sources) or 'its source'}: {_tidy(e.calibrated)})"
              for e in number.extrapolated]
    if beyond:
        said.append(f"extrapolated: {plain('; '.join(beyond))}")
    return tuple(said)


def _tidy(text: str) -> str:
    """Write the unit at the end of "8 to 24 degC" for people."""
    values, _, unit_text = text.rpartition(" ")
    return f"{values} {short(unit_text)}".strip()


def _named(thing: str) -> str:
    """Name a formula by what it computes; a coefficient has its label already."""
    if thing not in FORMULAS:
        return thing
    does = FORMULAS[thing].__doc__.partition("\n\n")[0].rstrip(".")
    return does[0].lower() + does[1:]


def gap(stage: Stage) -> str:
    """Say what a stage still needs from the pond file, or "" where nothing is open."""
    if not stage.missing:
        return ""
    return ("Partly planned: " if stage.planned else "Not planned yet: ") + plain("; ".join(m.rstrip(". ") for m in stage.missing)) + "."


def in_short(findings: tuple[Finding, ...]) -> str:
    """Count the findings and repeat the most urgent one."""
    if not findings:
        return NOTHING_FOUND
    counts = ", ".join(f"{len(found)} {word.lower()}" for word, _, found in by_urgency(findings))
    return f"{counts}. The most urgent: {plain(findings[0].what)}"


def by_urgency(findings: tuple[Finding, ...]) -> list[tuple[str, str, list[Finding]]]:
    """Group findings under their words, the most urgent first."""
    return [(*URGENCY[level], found) for level in Urgency if (found := [f for f in findings if f.urgency == level])]


def sources_of(plan: Plan) -> list[tuple[str, str]]:
    """List every source that the plan used, as (key, citation), by key."""
    keys = {s for stage in plan.stages.values() for s in stage.sources}
    return [(key, cite(key)) for key in sorted(keys, key=str.lower)]
