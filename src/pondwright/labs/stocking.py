"""Lab of lesson 02: which limit bites first as the fish grow, and how long the oxygen lasts when the pump stops."""
from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..figures.stocking import StockingPicture
from ..pond import night as n
from ..pond.model import CurvePoint, Fish, FishGroup, Place, Pond, Pump
from ..pond.plan import STAGES, Plan, plan
from ..pond.results import Stage
from ..pond.shapes import Rectangle
from ..units import Q, Quantity, show, unit
from .base import Choice, Lab, Slider, start_in

_SPECIES = (("goldfish", "goldfish"), ("koi", "koi"), ("common carp", "common carp"))
_PUMP = Pump(curve=(CurvePoint(flow="0 L/min", head="2 m"), CurvePoint(flow="30 L/min", head="0 m")), power="20 W", hours_per_day="24 h/d")
_SOMEWHERE = Place(latitude="0 deg", longitude="0 deg", elevation="0 m")  # for a pond without a place: sea level, no frost


@dataclass(frozen=True)
class StockingInputs:
    """What the controls say: the fish, the water and the pump's longest stop (Quantities; the count a plain number)."""

    species: str
    count: Quantity
    length: Quantity
    grown: Quantity
    volume: Quantity
    depth: Quantity
    warmth: Quantity
    stop: Quantity


class StockingLab(Lab):
    """Move the fish, the water and the longest stop of the pump; see the oxygen of the warmest night and the limit that binds."""

    title = "How many fish?"
    Inputs = StockingInputs
    Picture = StockingPicture

    def controls(self, pond):
        mine = plan(pond, until="filter")
        self._done = {key: mine.stages[key] for key in ("plumbing", "power", "season")}  # these do not move with the sliders
        survey, water = mine["survey"], mine["fish"].series.get("water_temperature")
        self._year = None if water is None else water.m_as(unit("degC"))
        groups = pond.fish.groups if pond.fish else ()
        species = pond.fish.species if pond.fish and pond.fish.species != "other" else "goldfish"
        adults = [g.adult_length for g in groups if g.adult_length is not None]
        stops = n.stops(pond, n.supply(mine.stages))
        stop = None if stops is None else n.longest_stop(pond) if water is None else stops.of(n.warmest_month(mine["fish"]))
        return (
            Choice("species", "Kind of fish", _SPECIES, species),
            Slider("count", "Number of fish", "-", 1, 100, 1, min(max(sum(g.count for g in groups), 1), 100) if groups else 10),
            Slider("length", "Length of each fish now", "cm", 4, 80, 0.5, mean_length(groups)),
            Slider("grown", "Length when grown", "cm", 10, 80, 1, start_in(10, max(adults, default=None), "cm", 80, 20)),
            Slider("volume", "Water in the pond", "L", 300, 60000, 100, start_in(300, survey["volume"].typical, "L", 60000, 5000)),
            Slider("depth", "Mean depth", "m", 0.3, 2.5, 0.01, start_in(0.3, survey["mean_depth"].typical, "m", 2.5, 0.8)),
            Slider("warmth", "Water in the warmest month", "degC", 10, 34, 0.5,
                   start_in(10, None if water is None else water[int(water.m.argmax())], "degC", 34, 20)),
            Slider("stop", "Longest stop of the pump", "h", 1, 24, 0.5, start_in(1, stop, "h", 24, 10)),
        )

    def compute(self, inputs: StockingInputs) -> Plan:
        pond = _pond(self.pond, inputs, self._year)
        with_filter = plan(pond, until="filter", done=self._done).stages
        # the stop is what the slider says, whatever the sun leaves; and the stages that stocking does not look at stay empty
        empty = {key: Stage(key, "") for key in STAGES if key != "stocking"}
        return plan(pond, until="stocking", done=empty | {key: with_filter[key] for key in ("survey", "fish", "filter")})

    def sentence(self, result: Plan, system: str) -> str:
        fish, stocking, inputs = result["fish"], result["stocking"], self.inputs
        now, grown, limit, hours, later = (result[key] for key in (
            "fish.biomass", "fish.grown_biomass", "stocking.limit", "fish.hours_to_4", "fish.hours_to_4_grown"))
        lasts = "lasts" if hours.value >= inputs.stop else "does not last"
        level, stop, typically = show(n.LIMIT, "mg/L", system), show(inputs.stop, "h", system), show(limit.typical, "kg", system, 2)
        return (f"{_count(inputs)} {inputs.species} weigh up to {now.text(system, 2)} now and {grown.text(system, 2)} grown. On the "
                f"warmest nights the oxygen falls to {level} in {n.lasts(hours.value)} (typically {n.lasts(hours.typical)}; with the fish "
                f"grown {n.lasts(later.value)}). The longest stop is {stop}: the oxygen {lasts}. This pond allows "
                f"{limit.text(system, 2)} of fish (typically {typically}), bound by {stocking.facts['binds']}: "
                f"{_so(fish, stocking, inputs)}.")


def _so(fish: Stage, stocking: Stage, inputs: StockingInputs) -> str:
    """Say whether there is room; nothing is enough while nobody knows what the ammonia allows."""
    now, grown, limit, hours = fish["biomass"], fish["grown_biomass"], stocking["limit"], fish["hours_to_4"]
    if now.value > limit.value or hours.value < inputs.stop:
        surely = now.typical > limit.typical or hours.typical < inputs.stop
        return "that is too many already" if surely else "too many already if all is bad at once"
    if grown.value > limit.value:
        return "enough for now, not for the grown fish"
    known = {"limit_filter", "limit_feed"} & stocking.numbers.keys()
    return "enough room even when they are grown" if known else "what the ammonia allows is not known yet"


def mean_length(groups) -> float:
    """Return the length of a fish of mean volume, so that the count on the slider weighs about what the groups do."""
    if not groups:
        return 12.0
    lengths, counts = np.array([g.length.m_as(unit("cm")) for g in groups]), np.array([g.count for g in groups])
    return float(np.clip(round(2 * (np.sum(counts * lengths**3) / counts.sum()) ** (1 / 3)) / 2, 4, 80))


def _count(inputs: StockingInputs) -> int:
    return round(float(inputs.count.m))


def _pond(pond: Pond, inputs: StockingInputs, year: np.ndarray | None) -> Pond:
    """Put the sliders into a copy of the pond: a square of that volume and depth, its warmest month as warm as the slider says.

    `year` holds the water's own months: they and the readings are moved by as much as the slider is; without it all months are as warm.
    The sliders hold checked quantities, so the sections are put together without being read from text again.
    """
    warmth = inputs.warmth.m_as(unit("degC"))
    warmer = 0.0 if year is None else warmth - float(year.max())
    water = _moved(np.full(12, warmth) if year is None else year, warmer)
    side = ((inputs.volume / inputs.depth) ** 0.5).to("meter")
    shape = Rectangle.model_construct(kind="rectangle", length=side, width=side, depth=(inputs.depth, inputs.depth))
    group = FishGroup.model_construct(count=_count(inputs), length=inputs.length, adult_length=inputs.grown)
    protein = pond.fish.diet_protein if pond.fish else None
    place = pond.place or _SOMEWHERE
    return pond.model_copy(update={
        "pond": pond.pond.model_copy(update={"shape": shape}),
        "place": place.model_copy(update={"water_temperature": water}),
        "fish": Fish.model_construct(species=inputs.species, groups=(group,), diet_protein=protein, feed=None, stop_feeding_below=None),
        "pump": _PUMP.model_copy(update={"longest_stop": inputs.stop}),
        "readings": () if year is None else tuple(
            r if r.temperature is None else r.model_copy(update={"temperature": _moved([r.temperature.m_as(unit("degC"))], warmer)[0]})
            for r in pond.readings),
    })


def _moved(celsius, warmer: float) -> tuple[Quantity, ...]:
    """Make water warmer or colder by so many degrees, as far as a pond goes."""
    return tuple(Q(float(t), "degC") for t in np.clip(np.asarray(celsius) + warmer, 1.0, 40.0))
