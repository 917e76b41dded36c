"""Lab of lesson 00: which of four things this pond is short of."""

from __future__ import annotations

from dataclasses import dataclass

from ..figures.overview import OverviewPicture
from ..pond.file import demo_pond, my_pond
from ..pond.model import Pond
from ..pond.overview import needs, nothing_yet, tightest
from ..pond.plan import Plan, plan
from ..units import Q, Quantity, unit
from .base import Lab
from .own import as_long, as_many, mean_length, moved, own_slider


@dataclass(frozen=True)
class OverviewInputs:
    """What the sliders say: fish and their length, media, and how long the pump may stop (Quantities)."""

    fish: Quantity
    length: Quantity
    media: Quantity
    stop: Quantity


class OverviewLab(Lab):
    """Move fish, media and the longest stop; see air, filter, sun and water against what they have to carry."""

    title = "Your pond in three minutes"
    Inputs = OverviewInputs
    Picture = OverviewPicture

    def __init__(self, pond: Pond | None = None):
        pond = pond or my_pond()
        # a pond without these sections has nothing to move yet
        pond = pond if pond.fish and pond.filter and pond.pump else demo_pond()
        # what the sliders do not touch is computed once: the sun comes from the climate, the water from its last test
        stages = plan(pond).stages
        self._done, self._water = {key: stages[key] for key in ("survey", "plumbing", "power")}, stages["water"]
        self._start = None
        super().__init__(pond)

    def controls(self, pond):
        groups, stop = pond.fish.groups, pond.pump.longest_stop
        most = max(pond.filter.container.m_as(unit("L")), 1.0)
        return (
            own_slider("fish", "Fish", "-", 1, 60, 1, Q(float(sum(g.count for g in groups)), "-"), 1),
            own_slider("length", "Length of each fish", "cm", 3, 60, 0.5, Q(mean_length(groups), "cm"), 12),
            own_slider("media", "Media in the filter", "L", 1, most, 1, pond.filter.media_volume, 50),
            own_slider("stop", "Longest stop of the pump" if stop else "Longest stop (not known)", "h", 0.5, 48, 0.5, stop, 10),
        )

    def compute(self, inputs: OverviewInputs) -> Plan:
        self._start = self._start or inputs
        result = plan(pond_with(self.pond, inputs, moved(self._start, inputs)), until="filter", done=self._done)
        return Plan(result.pond, {**result.stages, "water": self._water})

    def sentence(self, result: Plan, system: str) -> str:
        found = needs(result)
        if not found:
            return nothing_yet(result)
        first = tightest(found)
        enough = first.share <= 1
        tail = "That is enough, and the others have more to spare." if enough else f"That will not do: lesson {first.lesson} says why."
        return f"Tightest: {first.name}. {first.sentence(system)} {tail}"


def pond_with(pond: Pond, inputs: OverviewInputs, changed: frozenset[str]) -> Pond:
    """Put what the moved sliders say into a pond instead of its own fish, media and longest stop."""
    groups, update = pond.fish.groups, {}
    if "fish" in changed:
        groups = as_many(groups, max(1, round(inputs.fish.magnitude)))
    if "length" in changed:
        groups = as_long(groups, length=inputs.length)
    if groups is not pond.fish.groups:
        update["fish"] = pond.fish.model_copy(update={"groups": groups})
    if "media" in changed:
        update["filter"] = pond.filter.model_copy(update={"media_volume": inputs.media})
    if "stop" in changed:
        update["pump"] = pond.pump.model_copy(update={"longest_stop": inputs.stop})
    return pond.model_copy(update=update)
