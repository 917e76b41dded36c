"""Lab of lesson 02: which limit bites first as the fish grow, and how long the oxygen lasts when the pump stops."""
from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from ..figures.stocking import StockingPicture
from ..pond import night as n
from ..pond.model import CurvePoint, Fish, FishGroup, Place, Pond, Pump
from ..pond.plan import Plan, plan
from ..pond.results import Number, Stage
from ..pond.stages.stocking_findings import LIMITS
from ..units import Q, Quantity, show, unit
from .base import Choice, Lab
from .own import as_long, as_many, mean_length, moved, own_slider

_SPECIES = (("goldfish", "goldfish"), ("koi", "koi"), ("common carp", "common carp"))
_PUMP = Pump(curve=(CurvePoint(flow="0 L/min", head="2 m"), CurvePoint(flow="30 L/min", head="0 m")), power="20 W", hours_per_day="24 h/d")
_SOMEWHERE = Place(latitude="0 deg", longitude="0 deg", elevation="0 m")  # for a pond without a place: sea level, no frost
_FISH = Fish(species="goldfish", groups=(FishGroup(count=10, length="12 cm", adult_length="20 cm"),))  # for a file without [fish]: invented
_OF_FISH = {"species", "count", "length", "grown"}


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

    def __init__(self, pond=None):
        self._start = None
        super().__init__(pond)

    def controls(self, pond):
        self._own = plan(pond, until="filter").stages
        survey, water, fish = self._own["survey"], self._own["fish"].series.get("water_temperature"), pond.fish or _FISH
        self._year = None if water is None else water.m_as(unit("degC"))
        grown = n.grown_lengths(pond) if pond.fish else Q(np.array([20.0]), "cm")
        later = None if grown is None else Q(mean_length(_grown(fish.groups, grown), "adult_length"), "cm")
        self._lacks = (_OF_FISH if pond.fish is None else set()) | ({"warmth"} if water is None else set())
        stops = n.stops(pond, n.supply(self._own))
        stop = None if stops is None else n.longest_stop(pond) if water is None else stops.of(n.warmest_month(self._own["fish"]))
        self._stop_known, warmest = stop is not None, None if water is None else water[int(water.m.argmax())]
        kinds = _SPECIES if fish.species != "other" else (("other", "other"), *_SPECIES)
        return (
            Choice("species", "Kind of fish", kinds, fish.species),
            own_slider("count", "Number of fish", "-", 1, 100, 1, Q(float(sum(g.count for g in fish.groups)), "-"), 10),
            own_slider("length", "Length of each fish now", "cm", 4, 80, 0.5, Q(mean_length(fish.groups), "cm"), 12),
            own_slider("grown", "Grown length (not known)" if later is None else "Length when grown", "cm", 10, 80, 1, later, 20),
            own_slider("volume", "Water in the pond", "L", 300, 60000, 100, survey["volume"].typical, 5000),
            own_slider("depth", "Mean depth", "m", 0.3, 2.5, 0.01, survey["mean_depth"].typical, 0.8),
            own_slider("warmth", "Water in the warmest month", "degC", 10, 34, 0.5, warmest, 20),
            own_slider("stop", "Longest stop of the pump", "h", 1, 24, 0.5, stop, n.DARK.m),
        )

    def compute(self, inputs: StockingInputs) -> Plan:
        self._start = self._start or inputs
        self._moved = moved(self._start, inputs)
        changed = self._moved | self._lacks
        if "species" in changed and any(g.adult_length is None for g in (self.pond.fish or _FISH).groups):
            changed |= {"grown"}  # what the slider shows holds for another kind as well
        pond = _pond(self.pond, inputs, changed, self._year)
        own = {key: self._own[key] for key in ("plumbing", "power", "season")}  # these do not move with the sliders
        survey = _survey(self._own["survey"], self._start, inputs, changed)
        done = {**plan(pond, until="filter", done=own | {"survey": survey}).stages, **_empty("vessel", "drains")}
        if "stop" in changed:  # the stop is what the slider says, in every month, whatever the sun leaves
            pond = pond.model_copy(update={"pump": _PUMP.model_copy(update={"longest_stop": inputs.stop})})
            done |= _empty("plumbing", "power", "season")
        return plan(pond, until="stocking", done=done)

    def sentence(self, result: Plan, system: str) -> str:
        fish, stocking, inputs = result["fish"], result["stocking"], self.inputs
        if "biomass" not in fish:
            return f"This pond {'; '.join(fish.missing)}."
        now, limit, hours = (result[key] for key in ("fish.biomass", "stocking.limit", "fish.hours_to_4"))
        grown, later = (fish.numbers.get(key) for key in ("grown_biomass", "hours_to_4_grown"))
        lasts = "lasts" if hours.value >= inputs.stop else "does not last"
        level, typically = show(n.LIMIT, "mg/L", system), show(limit.typical, "kg", system, 2)
        return (f"{_count(inputs)} {inputs.species if inputs.species != 'other' else 'fish'}{self._whose()} weigh up to "
                f"{now.text(system, 2)} now{f' and {grown.text(system, 2)} grown' if grown else ''}. On the warmest nights the oxygen "
                f"falls to {level} in {n.lasts(hours.value)} (typically {n.lasts(hours.typical)}"
                f"{f'; with the fish grown {n.lasts(later.value)}' if later else ''}). "
                f"{self._stop(stocking, system)}: the oxygen {lasts}.{_dark(stocking, system)} This pond allows "
                f"{limit.text(system, 2)} of fish (typically {typically}), bound by {stocking.facts['binds']}: "
                f"{_so(fish, stocking, inputs, result.pond.filter is not None)}.")

    def _whose(self) -> str:
        """Name what is invented, as long as no slider of it was moved."""
        lacks = [words for words, names in (("[fish]", _OF_FISH), ("[place]", {"warmth"}))
                 if names <= self._lacks and not names & self._moved]  # fmt: skip
        return f" (invented: your pond file has no {' and no '.join(lacks)} yet)" if lacks else ""

    def _stop(self, stocking: Stage, system: str) -> str:
        """Say the longest stop: that of the warmest month where another is worse."""
        stop = show(self.inputs.stop, "h", system)
        if "stop" not in self._moved and not self._stop_known:
            return f"No longest stop is known, so a night of {stop} counts"
        return f"The longest stop{' then' if 'dark_month' in stocking.facts else ''} is {stop}"


def _dark(stocking: Stage, system: str) -> str:
    """Name the dark month in which the oxygen lasts least against the stop, if that is not the warmest."""
    if "dark_month" not in stocking.facts:
        return ""
    grown = "stop_hours_grown" in stocking
    lasts, stop = n.lasts(stocking["stop_hours_grown" if grown else "stop_hours"].value), stocking["stop"].text(system, 2)
    whose = " of the grown fish" if grown else ""
    return f" In {stocking.facts['dark_month']} the pump may stand still for {stop}, and the oxygen{whose} lasts {lasts}."


def _empty(*keys: str) -> dict[str, Stage]:
    return {key: Stage(key, "") for key in keys}


def _so(fish: Stage, stocking: Stage, inputs: StockingInputs, filtered: bool) -> str:
    """Say whether there is room; nothing is enough while nobody knows what the ammonia allows."""
    now, grown, limit, hours = fish["biomass"], fish.numbers.get("grown_biomass"), stocking["limit"], fish["hours_to_4"]
    unknown = not {"limit_filter", "limit_feed"} & stocking.numbers.keys()
    if filtered and stocking.facts["binds"] == LIMITS["feed"] and now.value > limit.value and hours.value >= inputs.stop:
        return "only water changes are counted, since what the filter converts is not known yet"
    if now.value > limit.value or hours.value < inputs.stop:
        surely = now.typical > limit.typical or hours.typical < inputs.stop
        return "that is too many already" if surely else "too many already if all is bad at once"
    if grown is not None and grown.value > limit.value:
        return "that is less than the grown fish weigh, and what the ammonia allows is not known yet" if unknown else (
            "enough for now, not for the grown fish")
    if unknown:
        return "what the ammonia allows is not known yet"
    return "enough for now; how large they grow is not known" if grown is None else "enough room even when they are grown"


def _count(inputs: StockingInputs) -> int:
    return round(float(inputs.count.m))


def _grown(groups: tuple[FishGroup, ...], lengths: Quantity) -> tuple[FishGroup, ...]:
    return tuple(g.model_copy(update={"adult_length": length}) for g, length in zip(groups, lengths, strict=True))


# ------------------------------------------------------------------------------------------------------ the pond on the sliders


def _pond(pond: Pond, inputs: StockingInputs, changed: set[str] | frozenset[str], year: np.ndarray | None) -> Pond:
    """Put what the moved controls say of fish and warmth into a pond; all else stays as it is.

    `year` holds the water's own months: they and the readings are moved by as much as the slider is; without it all months are as warm.
    """
    update = {}
    if changed & _OF_FISH:
        update["fish"] = _fish(pond.fish or _FISH, inputs, changed)
    if "warmth" in changed:
        warmth = inputs.warmth.m_as(unit("degC"))
        warmer = 0.0 if year is None else warmth - float(year.max())
        water = _warmed(np.full(12, warmth) if year is None else year, warmer)
        update["place"] = (pond.place or _SOMEWHERE).model_copy(update={"water_temperature": water})
        update["readings"] = () if year is None else tuple(
            r if r.temperature is None else r.model_copy(update={"temperature": _warmed([r.temperature.m_as(unit("degC"))], warmer)[0]})
            for r in pond.readings)
    return pond.model_copy(update=update)


def _fish(fish: Fish, inputs: StockingInputs, changed: set[str] | frozenset[str]) -> Fish:
    """Make other fish; a feed that was weighed goes with their number, and says nothing of fish of another kind or length."""
    groups, feed = fish.groups, fish.feed
    if "count" in changed:
        feed = None if feed is None else feed * (_count(inputs) / sum(g.count for g in groups))
        groups = as_many(groups, _count(inputs))
    if "length" in changed:
        groups = as_long(groups, length=inputs.length)
    if "grown" in changed:
        groups = as_long(groups, adult_length=inputs.grown)
    return fish.model_copy(update={"species": inputs.species, "groups": groups, "feed": None if changed & {"species", "length"} else feed})


def _warmed(celsius, warmer: float) -> tuple[Quantity, ...]:
    """Make water warmer or colder by so many degrees, as far as a pond goes."""
    return tuple(Q(float(t), "degC") for t in np.clip(np.asarray(celsius) + warmer, 1.0, 40.0))


def _survey(own: Stage, start: StockingInputs, inputs: StockingInputs, changed: set[str] | frozenset[str]) -> Stage:
    """Make the pond's own survey so many times as large and as deep, at one scale along and across; a volume on the slider has no doubt."""
    if not changed & {"volume", "depth"}:
        return own
    more, deeper = (float((getattr(inputs, name) / getattr(start, name)).m_as("")) if name in changed else 1.0
                    for name in ("volume", "depth"))  # fmt: skip
    times = {"volume": more, "water_mass": more, "surface_area": more / deeper, "mean_depth": deeper, "max_depth": deeper}
    numbers = {key: _scaled(own[key], by) for key, by in times.items()}
    if "volume" in changed:
        volume = numbers["volume"].typical
        numbers["volume"] = replace(numbers["volume"], value=volume, low=volume, high=volume)
    return replace(own, numbers=numbers)


def _scaled(number: Number, times: float) -> Number:
    return replace(number, **{end: times * getattr(number, end) for end in ("value", "low", "typical", "high")})
