"""Lab of lesson 00: which of four things this pond is short of."""

from __future__ import annotations

from dataclasses import dataclass

from ..figures.overview import OverviewPicture
from ..pond.file import demo_pond, my_pond
from ..pond.model import FishGroup, Pond
from ..pond.overview import needs, nothing_yet, tightest
from ..pond.plan import Plan, plan
from ..units import Quantity, unit
from .base import Lab, Slider, start_in
from .stocking import mean_length


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
        super().__init__(pond)

    def controls(self, pond):
        groups = pond.fish.groups
        count = sum(g.count for g in groups)
        most = pond.filter.container.m_as(unit("L"))
        return (
            Slider("fish", "Fish", "-", 1, max(60, count), 1, count),
            Slider("length", "Length of each fish", "cm", 3, 60, 0.5, min(mean_length(groups), 60)),
            Slider("media", "Media in the filter", "L", 1, most, 1, start_in(1, pond.filter.media_volume, "L", most, 50)),
            Slider("stop", "Longest stop of the pump", "h", 0.5, 48, 0.5, start_in(0.5, pond.pump.longest_stop, "h", 48, 10)),
        )

    def compute(self, inputs: OverviewInputs) -> Plan:
        result = plan(pond_with(self.pond, inputs), until="filter", done=self._done)
        return Plan(result.pond, {**result.stages, "water": self._water})

    def sentence(self, result: Plan, system: str) -> str:
        found = needs(result)
        if not found:
            return nothing_yet(result)
        first = tightest(found)
        enough = first.share <= 1
        tail = "That is enough, and the others have more to spare." if enough else f"That will not do: lesson {first.lesson} says why."
        return f"Tightest: {first.name}. {first.sentence(system)} {tail}"


def pond_with(pond: Pond, inputs: OverviewInputs) -> Pond:
    """Return the pond with what the sliders say instead of its own fish, media and longest stop."""
    group = FishGroup(count=max(1, round(inputs.fish.magnitude)), length=inputs.length)
    return pond.model_copy(
        update={
            "fish": pond.fish.model_copy(update={"groups": (group,)}),
            "filter": pond.filter.model_copy(update={"media_volume": inputs.media}),
            "pump": pond.pump.model_copy(update={"longest_stop": inputs.stop}),
        }
    )
