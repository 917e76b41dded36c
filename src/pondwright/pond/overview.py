"""Four numbers at a glance: what the pond has against what it needs, in air, filter, sun and clean water."""

from __future__ import annotations

from dataclasses import dataclass

from ..units import Paragraph, Quantity, show
from .findings import findings
from .night import stops, supply, warmest_month
from .plan import Plan, in_units_of


@dataclass(frozen=True)
class Need:
    """One thing a pond can be short of: words, the lesson that explains it, what is needed and what is there (same dimension)."""

    name: str
    lesson: str
    needed: Quantity
    there: Quantity
    unit: str
    says: str

    @property
    def share(self) -> float:
        """How much of what is there is needed; 1 is the limit, more than 1 is too little."""
        there = self.there.m_as(self.needed.units)
        return float(self.needed.magnitude / there) if there > 0 else float("inf")

    def sentence(self, system: str | None = None) -> str:
        """Say the number with its limit."""
        return self.says.format(needed=show(self.needed, self.unit, system), there=show(self.there, self.unit, system))


def needs(plan: Plan) -> tuple[Need, ...]:
    """List the four needs that this plan can answer; one whose section is missing in the pond file is left out."""
    return tuple(need for need in (_oxygen(plan), _filter(plan), _sun(plan), _ammonia(plan)) if need is not None)


def _need(name, lesson, needed, there, unit, says) -> Need | None:
    return None if needed is None or there is None else Need(name, lesson, needed, there, unit, says)


def _value(plan: Plan, dotted: str) -> Quantity | None:
    stage, _, key = dotted.partition(".")
    return plan[dotted].value if key in plan[stage] else None


def _oxygen(plan: Plan) -> Need | None:
    hours, found = _value(plan, "fish.hours_to_4"), stops(plan.pond, supply(plan.stages))
    needed = None if hours is None or found is None or found.expected is None else found.of(warmest_month(plan["fish"]))
    return _need("air through the night", "02", needed, hours, "h",
                 "On the warmest night the fish have air for {there} without the pump; the longest stop is {needed}.")  # fmt: skip


def _filter(plan: Plan) -> Need | None:
    return _need("filter", "04", _value(plan, "filter.tan_load"), _value(plan, "filter.capacity"), "g/d",
                 "In the worst month the fish give off {needed} of ammonia (as N); the filter converts at least {there}.")  # fmt: skip


def _sun(plan: Plan) -> Need | None:
    pump = plan.pond.pump
    return _need("sun for the pump", "08", pump and pump.hours_per_day, _value(plan, "power.pump_hours"), "h/d",
                 "In the weakest month in use the sun carries the pump for {there}; {needed} are wanted.")  # fmt: skip


def _ammonia(plan: Plan) -> Need | None:
    return _need("clean water", "09", _value(plan, "water.unionized_worst"), _value(plan, "water.unionized_limit"), "mg/L",
                 "The last test means up to {needed} of poisonous ammonia (un-ionized, as N); the strictest limit is {there}.")  # fmt: skip


def nothing_yet(plan: Plan) -> str:
    """Say what is still needed before a need can be compared: the first thing that filter, sun and water ask for."""
    asked = [stage.missing[0] for key in ("filter", "power", "water") if key in plan.stages and (stage := plan.stages[key]).missing]
    return f"{plan.pond.name}: nothing to compare yet. The pond file " + "; it ".join(asked) + "."


def tightest(found: tuple[Need, ...]) -> Need:
    """Return the need that is nearest to its limit or furthest past it."""
    return max(found, key=lambda need: need.share)


def at_a_glance(plan: Plan) -> Paragraph:
    """Say each need with its limit and its lesson, one line each, for the pond named first."""
    with in_units_of(plan.pond):
        lines = [f"{plan.pond.name}: {need.sentence()} Lesson {need.lesson}." for need in needs(plan)]
    return Paragraph("\n".join(lines) or nothing_yet(plan))


def first_steps(plan: Plan, most: int = 3) -> Paragraph:
    """Say the findings that are most urgent, and what to do about each, for the pond named first."""
    lines = [f"{plan.pond.name}: {finding.what}\n  Do: {finding.do}" for finding in findings(plan)[:most]]
    return Paragraph("\n\n".join(lines) or f"{plan.pond.name}: nothing to mend was found.")
