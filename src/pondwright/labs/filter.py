"""Lab of lesson 04: whether the filter is enough for the feed, and which of its three limits is the smallest."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ..figures.filter import FilterPicture
from ..pond.filter_words import MONTH, MOST_FILL
from ..pond.model import CurvePoint, Filter, Fish, FishGroup, Pond, Pump, Reading
from ..pond.plan import Plan, plan
from ..pond.results import Stage, by_key, given, months
from ..tables import load
from ..units import Quantity, show, unit
from .base import Choice, Lab, Tick
from .own import moved, own_slider

_JULY = 6  # for a pond whose warmest month nobody knows
# for sections that a pond file does not have: invented, and the lab says so
_FISH = Fish(groups=(FishGroup(count=1, length="15 cm"),), diet_protein="32 %")
_FILTER = Filter(container="200 L", media="lava_rock", media_volume="150 L", operation="trickling", solids_filter=True)
_PUMP = Pump(curve=(CurvePoint(flow="0 L/min", head="2 m"), CurvePoint(flow="150 L/min", head="0 m")), power="20 W", hours_per_day="24 h/d")
_A_DAY = {"feed", "temperature"}  # what tells a day of the warmest month: once one is moved, that day alone counts
_CALLED = {"feed": "feed", "ph": "pH", "temperature": "temperature", "media": "filter", "flow": "flow", "hours": "hours of the pump"}


@dataclass(frozen=True)
class FilterInputs:
    """What the controls say: a day of feeding, the water, the media and the pump (Quantities; pH a plain number)."""

    feed: Quantity
    ph: Quantity
    temperature: Quantity
    media: str
    volume: Quantity
    flow: Quantity
    hours: Quantity
    solids: bool


class FilterLab(Lab):
    """Move feed, pH, temperature, media, flow and hours; see the ammonia against the filter's three limits."""

    title = "How much filter?"
    Inputs = FilterInputs
    Picture = FilterPicture

    def __init__(self, pond=None):
        self._start = None
        super().__init__(pond)

    def controls(self, pond):
        self._own = plan(pond, until="filter").stages
        fish, stage, mine = self._own["fish"], self._own["filter"], pond.filter or _FILTER
        peak, flow = (_number(self._own[key], name) for key, name in (("fish", "feed_peak"), ("plumbing", "flow")))
        water, hours = fish.series.get("water_temperature"), _hours(pond, stage)
        warmest = None if water is None else water[int(water.m.argmax())]
        highest = stage["design_ph"].value if "design_ph" in stage else None
        known = {"feed": peak, "ph": highest, "temperature": water, "media": pond.filter, "flow": pond.pump and flow, "hours": hours}
        self._lacks = frozenset(name for name, value in known.items() if value is None)
        media = [(row["name"], row["key"]) for row in load("media").rows]
        return (
            own_slider("feed", "Feed a day, warmest month", "g/d", 0, 200, 1, peak, 20),
            own_slider("ph", "Highest pH, read or aired", "-", 6.5, 9.5, 0.1, highest, 8.0),
            own_slider("temperature", "Water in the warmest month", "degC", 5, 32, 0.5, warmest, 20),
            Choice("media", "Media", tuple(media), mine.media),
            own_slider("volume", "Volume of the media", "L", 5, 1000, 5, mine.media_volume, 150),
            own_slider("flow", "Flow through the filter", "L/min", 1, 150, 1, flow, 20),
            own_slider("hours", "The pump runs each day", "h/d", 1, 24, 1, hours, 24),
            Tick("solids", "A solids filter comes first", mine.solids_filter),
        )

    def compute(self, inputs: FilterInputs) -> Plan:
        self._start = self._start or inputs
        self._moved = moved(self._start, inputs)
        changed = self._moved | self._lacks
        return plan(_pond(self.pond, inputs, changed), until="filter", done=_done(self._own, inputs, changed))

    def sentence(self, result: Plan, system: str) -> str:
        stage = result["filter"]
        if "answer" not in stage.facts:
            return f"No feed, no ammonia: {show(self.inputs.feed, 'g/d', system)} brings nothing that a filter would have to convert."
        ammonia, capacity, feed = (stage[key] for key in ("tan_load", "capacity", "feed_allowed"))
        enough = capacity.value >= ammonia.value
        written = [(ammonia.text(system, digits), capacity.text(system, digits)) for digits in (2, 3, 4)]
        brings, converts = next((pair for pair in written if pair[0] != pair[1]), written[-1])  # "1.2 against 1.2: not enough" says nothing
        weighed = ", which nobody weighed," if ammonia.note else ""
        changed = self._moved | self._lacks
        when = "On such a day" if changed & _A_DAY else f"In {stage.facts['month']}"
        when += f", with the water all day at {show(self.inputs.temperature, 'degC', system)}," if "temperature" in changed else ""
        words = (f"{self._whose()}{when} the feed{weighed} brings up to {brings} of ammonia (as N); the filter converts at least "
                 f"{converts}: {'enough' if enough else 'not enough'}. What limits it is {stage.facts['binds']}. ")
        if capacity.value.m <= 0:
            held = stage["design_tan"].text(system, 2)
            return words + (f"At this pH the water may hold only {held} of ammonia, and the bacteria starve: no media will do. Bring the "
                            "pH down first.")
        return words + (f"It carries {feed.text(system, 2)} of feed with every uncertain number at its bad end, "
                        f"{show(feed.typical, 'g/d', system, 2)} at typical values.")

    def _whose(self) -> str:
        """Name what is invented: what the pond file does not tell and no slider says."""
        left = [words for name, words in _CALLED.items() if name in self._lacks - self._moved]
        left += [] if self.pond.fish and self.pond.fish.diet_protein is not None else [f"protein {show(_FISH.diet_protein, '%')}"]
        return f"Invented, since your pond file does not tell it yet: {', '.join(left)}. " if left else ""


def _number(stage: Stage, key: str) -> Quantity | None:
    return stage[key].typical if key in stage else None


def _hours(pond: Pond, stage: Stage) -> Quantity | None:
    """Return the pump's hours in the month that decides, else those of the pond file."""
    if "pump_hours" in stage.series and "month" in stage.facts:
        return stage.series["pump_hours"][MONTH.index(stage.facts["month"])]
    return pond.pump and pond.pump.hours_per_day


# ------------------------------------------------------------------------------------------------------ the pond on the sliders


def _pond(pond: Pond, inputs: FilterInputs, changed: frozenset[str]) -> Pond:
    """Put what the moved controls say of water and media into a pond; feed, flow and hours stand in the stages before the filter."""
    update = {"filter": _filter(pond.filter or _FILTER, inputs, changed), "pump": pond.pump or _PUMP}
    if pond.fish is None or pond.fish.diet_protein is None:
        update["fish"] = (pond.fish or _FISH).model_copy(update={"diet_protein": _FISH.diet_protein})
    if changed & {"ph", "temperature"}:
        update["readings"] = _readings(pond, inputs, changed)
    return pond.model_copy(update=update)


def _filter(own: Filter, inputs: FilterInputs, changed: frozenset[str]) -> Filter:
    """Change the media; a container that is too small for them grows, and media that do not suit how the filter works change that."""
    update = {}
    if "media" in changed:
        suits = load("media")[inputs.media]["suits"]
        works = own.operation if own.operation in suits else "trickling" if "trickling" in suits else "submerged"
        update |= {"media": inputs.media, "operation": works}
    if "volume" in changed:
        update |= {"media_volume": inputs.volume, "container": max(own.container, inputs.volume / MOST_FILL)}
    if "solids" in changed:
        update["solids_filter"] = inputs.solids
    return own.model_copy(update=update)


def _readings(pond: Pond, inputs: FilterInputs, changed: frozenset[str]) -> tuple[Reading, ...]:
    """Put the highest pH and the warmth of the sliders into the readings, at their word: no airing, no warmer afternoon beside them."""
    readings = list(pond.readings)
    if "temperature" in changed:
        readings = [r.model_copy(update={"temperature": None}) for r in readings]
    if "ph" not in changed:
        return tuple(readings)
    read = [r.ph.m for r in readings if r.ph is not None]
    if not read:
        return (*readings, Reading.model_construct(when="the sliders", ph=inputs.ph))
    top = next(n for n, r in enumerate(readings) if r.ph is not None and r.ph.m == max(read))
    return tuple(r if r.ph is None else r.model_copy(update={"ph": inputs.ph if n == top else min(r.ph, inputs.ph), "alkalinity": None})
                 for n, r in enumerate(readings))  # fmt: skip


def _done(own: Mapping[str, Stage], inputs: FilterInputs, changed: frozenset[str]) -> dict[str, Stage]:
    """Return the stages before the filter: the pond's own, with what the moved sliders say."""
    done = {key: own[key] for key in ("survey", "fish", "plumbing", "power", "season")}
    if changed & _A_DAY:
        done["fish"] = Stage("fish", "", own["fish"].numbers, _of_a_day(own["fish"].series, inputs, changed))
    if "flow" in changed:
        done["plumbing"] = Stage("plumbing", "", by_key(given("flow", "Flow", "L/min", inputs.flow)))
    if "hours" in changed:
        hours = months(np.full(12, inputs.hours.m_as(unit("h/d"))), "h/d")
        done |= {"power": Stage("power", "", series={"pump_hours": hours}), "season": Stage("season", "")}
    return done


def _of_a_day(own: Mapping[str, Quantity], inputs: FilterInputs, changed: frozenset[str]) -> dict[str, Quantity]:
    """Return water and feed of a day in the warmest month, the only one in which there is feed; a feed on the slider was weighed."""
    water = own.get("water_temperature")
    day = np.arange(12) == (_JULY if water is None else int(water.m.argmax()))
    if "temperature" in changed:
        warmth = inputs.temperature.m_as(unit("degC"))
        water = months(np.where(day, warmth, warmth if water is None else water.m), "degC")
    told = inputs.feed.m_as(unit("g/d")) if "feed" in changed else None
    feeds = {key: months(day * (own[key].m_as(unit("g/d")) if told is None else told), "g/d") for key in ("feed", "feed_low", "feed_high")}
    return {"water_temperature": water, **feeds}
