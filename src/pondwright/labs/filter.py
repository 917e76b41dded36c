"""Lab of lesson 04: whether the filter is enough for the feed, and which of its three limits is the smallest."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..figures.filter import FilterPicture
from ..pond.filter_words import MONTH, MOST_FILL
from ..pond.model import CurvePoint, Filter, Fish, FishGroup, Pond, Pump, Reading
from ..pond.plan import Plan, plan
from ..pond.results import Stage, by_key, given, months
from ..tables import load
from ..units import Quantity, show, unit
from .base import Choice, Lab, Slider, Tick, start_in

_JULY = np.arange(12) == 6  # the sliders are one day of feeding, called a day in July


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

    def controls(self, pond):
        mine = plan(pond, until="filter")
        keys = (("fish", "feed_peak"), ("filter", "design_ph"), ("plumbing", "flow"))
        peak, highest, flow = (_of(mine, *key) for key in keys)
        media = [(row["name"], row["key"]) for row in load("media").rows]
        return (
            Slider("feed", "Feed in a day", "g/d", 0, 200, 1, start_in(0, peak, "g/d", 200, 20)),
            Slider("ph", "Highest pH, in the afternoon", "-", 6.5, 9.5, 0.1, start_in(6.5, highest, "-", 9.5, 8.0)),
            Slider("temperature", "Water temperature", "degC", 5, 32, 0.5, start_in(5, _warmest(mine), "degC", 32, 20)),
            Choice("media", "Media", tuple(media), pond.filter.media if pond.filter else "lava_rock"),
            Slider("volume", "Volume of the media", "L", 5, 1000, 5, start_in(5, pond.filter and pond.filter.media_volume, "L", 1000, 150)),
            Slider("flow", "Flow through the filter", "L/min", 1, 150, 1, start_in(1, flow, "L/min", 150, 20)),
            Slider("hours", "The pump runs each day", "h/d", 1, 24, 1, start_in(1, _hours(mine["filter"]), "h/d", 24, 24)),
            Tick("solids", "A solids filter comes first", pond.filter is None or pond.filter.solids_filter),
        )

    def compute(self, inputs: FilterInputs) -> Plan:
        return plan(_pond(self.pond, inputs), until="filter", done=_done(inputs))

    def sentence(self, result: Plan, system: str) -> str:
        stage = result["filter"]
        if "answer" not in stage.facts:
            return f"No feed, no ammonia: {show(self.inputs.feed, 'g/d', system)} brings nothing that a filter would have to convert."
        ammonia, capacity, feed = (stage[key] for key in ("tan_load", "capacity", "feed_allowed"))
        enough = capacity.value >= ammonia.value
        written = [(ammonia.text(system, digits), capacity.text(system, digits)) for digits in (2, 3, 4)]
        brings, converts = next((pair for pair in written if pair[0] != pair[1]), written[-1])  # "1.2 against 1.2: not enough" says nothing
        words = (f"The feed brings up to {brings} of ammonia (as N); the filter converts at least "
                 f"{converts}: {'enough' if enough else 'not enough'}. What limits it is {stage.facts['binds']}. ")
        if capacity.value.m <= 0:
            held = stage["design_tan"].text(system, 2)
            return words + (f"At this pH the water may hold only {held} of ammonia, and the bacteria starve: no media will do. Bring the "
                            "pH down first.")
        return words + (f"It carries {feed.text(system, 2)} of feed with every uncertain number at its bad end, "
                        f"{show(feed.typical, 'g/d', system, 2)} at typical values.")


def _of(mine: Plan, stage: str, key: str) -> Quantity | None:
    numbers = mine[stage].numbers
    return numbers[key].typical if key in numbers else None


def _warmest(mine: Plan) -> Quantity | None:
    monthly = mine["fish"].series.get("water_temperature")
    return None if monthly is None else monthly[int(monthly.m.argmax())]


def _hours(stage: Stage) -> Quantity | None:
    """Return the pump's hours in the month that decides."""
    known = "pump_hours" in stage.series and "month" in stage.facts
    return stage.series["pump_hours"][MONTH.index(stage.facts["month"])] if known else None


def _text(quantity: Quantity, unit_text: str) -> str:
    return f"{quantity.m_as(unit(unit_text)):.9g} {unit_text}".removesuffix(" -")


def _pond(pond: Pond, inputs: FilterInputs) -> Pond:
    """Put the sliders into a copy of the pond; the container is as large as the media need."""
    protein = pond.fish.diet_protein if pond.fish else None
    fish = Fish(groups=(FishGroup(count=1, length="15 cm"),), diet_protein=_text(protein, "%") if protein is not None else "32 %")
    media = Filter(
        container=_text(inputs.volume / MOST_FILL, "L"), media=inputs.media, media_volume=_text(inputs.volume, "L"),
        operation="trickling" if "trickling" in load("media")[inputs.media]["suits"] else "submerged", solids_filter=inputs.solids,
    )
    curve = (CurvePoint(flow="0 L/min", head="2 m"), CurvePoint(flow="150 L/min", head="0 m"))
    pump = Pump(curve=curve, power="20 W", hours_per_day=_text(inputs.hours, "h/d"))
    reading = Reading(when="2026-07-15 16:00", temperature=_text(inputs.temperature, "degC"), ph=_text(inputs.ph, "-"))
    return pond.model_copy(update={"fish": fish, "filter": media, "pump": pump, "plants": None, "readings": (reading,)})


def _done(inputs: FilterInputs) -> dict[str, Stage]:
    """Stand the sliders in for the stages before the filter."""
    feed, water = inputs.feed.m_as(unit("g/d")) * _JULY, np.full(12, inputs.temperature.m_as(unit("degC")))
    return {
        "survey": Stage("survey", ""),
        "fish": Stage("fish", "", series={"feed": months(feed, "g/d"), "water_temperature": months(water, "degC")}),
        "plumbing": Stage("plumbing", "", by_key(given("flow", "Flow", "L/min", inputs.flow))),
        "power": Stage("power", "", series={"pump_hours": months(np.full(12, inputs.hours.m_as(unit("h/d"))), "h/d")}),
    }
