"""Lab of lesson 08: the supply through the year hour by hour, how long the pump stands still, and what each change costs."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from ..figures.season import SeasonPicture, safe_stop
from ..pond.climate import MONTH_NAMES, climate, of_place, places
from ..pond.costs import changes, larger_controller, money
from ..pond.model import Place, Pond, Pump
from ..pond.night import in_use
from ..pond.plan import Plan, plan
from ..pond.stages.season import through_the_year
from ..pond.sunlight import latitude_of
from ..pond.supply import PowerSupply, Prices
from ..units import Q, Quantity, show
from .base import Choice, Lab, Slider
from .own import own_slider

# For a pond file without [power] or [pump]: invented, and the lab says so.
PRACTICE = {
    "voltage": "12 V",
    "panel": {"power": "160 W", "voc": "22.6 V", "isc": "9.2 A", "vmp": "18.6 V", "imp": "8.6 A", "tilt": "60 deg", "azimuth": "180 deg"},
    "controller": {"kind": "mppt", "max_current": "20 A", "max_voltage": "75 V"},
    "battery": {"kind": "lead_acid", "capacity": "150 Ah", "coldest": "5 degC"},
    "cable": {"length": "8 m"},
}
PRACTICE_PUMP = {
    "curve": [{"flow": "0 L/min", "head": "3.2 m"}, {"flow": "30 L/min", "head": "0 m"}],
    "power": "18 W",
    "hours_per_day": "24 h/d",
}
_NAMES = tuple(sorted((name, key) for key, name in places().items()))
_FILE = "file"  # the choice of the pond's own weather file
DEAR = 5e4  # as far as a price's slider goes, unless the pond file has a higher price
# of the prices that the lab asks for besides those of panel and battery, which it counts by size
PRICED = {"controller": "a larger controller", "box": "a warm battery box", "pump": "another pump", "timer": "a timer",
          "bracket": "a panel bracket"}
SIDES = 60.0  # degrees to each side of the noon sun that the lab's shade reaches


@dataclass(frozen=True)
class PowerInputs:
    """What the controls say: the place, the panel and how it stands, what shades it, battery, pump and hours, and prices."""

    climate: str
    panel: Quantity
    tilt: Quantity
    azimuth: Quantity
    shade: Quantity
    battery: Quantity
    coldest: Quantity
    pump: Quantity
    hours: Quantity
    panel_price: Quantity
    battery_price: Quantity
    controller_price: Quantity
    box_price: Quantity
    pump_price: Quantity
    timer_price: Quantity
    bracket_price: Quantity


class PowerLab(Lab):
    """Move panel, battery, pump and hours; see on which days of the year the pump stands still, and what each change costs."""

    title = "Will the pump come through the winter?"
    Inputs = PowerInputs
    Picture = SeasonPicture

    def __init__(self, pond=None):
        self._before, self._start, self._vessel = {}, None, {}
        super().__init__(pond)

    def controls(self, pond):
        supply = supply_of(pond)
        panel, pump, battery = supply.panel, pond.pump or Pump.model_validate(PRACTICE_PUMP), supply.battery
        names = ((f"your weather file ({of_place(pond.place).name})", _FILE), *_NAMES) if _has_file(pond) else _NAMES
        start = "halifax" if pond.place is None else _FILE if _has_file(pond) else of_place(pond.place).key
        known = supply.prices or Prices()
        sizes = {"panel": panel.power.m_as("W") / 100, "battery": battery.capacity.m_as("A*h") / 100}
        asked = {"panel": "100 W of panel", "battery": "100 Ah of battery"} | PRICED
        prices = (_price(what, words, getattr(known, what), sizes.get(what, 1.0)) for what, words in asked.items())
        return (
            Choice("climate", "Sun of", names, start),
            own_slider("panel", "All panels together", "W", 10, 1500, 10, panel.power * panel.count, 160),
            own_slider("tilt", "Tilt of the panel (0 is flat)", "deg", 0, 90, 5, panel.tilt, 60),
            own_slider("azimuth", "It faces (0 north, 180 south)", "deg", 0, 360, 5, panel.azimuth, 180),
            own_slider("shade", "Shade before it, up to", "deg", 0, 60, 1, Q(_tallest(panel), "deg"), 0),
            own_slider("battery", "Battery", "Ah", 10, 600, 5, battery.capacity, 150),
            own_slider("coldest", "The battery stays above", "degC", -30, 25, 1, coldest_of(pond, supply), 5),
            own_slider("pump", "Pump", "W", 1, 150, 1, pump.power, 18),
            own_slider("hours", "The pump should run", "h/d", 1, 24, 0.5, pump.hours_per_day, 24),
            *prices,
        )

    def compute(self, inputs: PowerInputs) -> Plan:
        pond = pond_of(self.pond, inputs)
        if self._start is None:
            self._start = pond
            self._vessel = _vessel_of(self.pond)
        if inputs.climate not in self._before:  # the fish follow the climate, and no other slider
            self._before[inputs.climate] = plan(pond, until="fish").stages
        before = self._before[inputs.climate]
        return Plan(pond, {**before, **self._vessel, "season": through_the_year(pond, before, bright=False)})

    def sentence(self, result: Plan, system: str) -> str:
        stage, pond = result["season"], result.pond
        whose = invented(self.pond, "panel", "controller", "battery")
        hours, wanted = stage["run_hours"], show(pond.pump.hours_per_day, "h/d", system)
        return (
            f"In {stage.facts['worst_month']}, the weakest month in use, the pump runs {hours.text(system)} of the {wanted} wanted in a "
            f"dull year ({show(hours.typical, 'h/d', system)} typically){whose}. "
            f"{_stops(result, system)}{_frozen(stage, system)}{_held_back(pond, system)} {self._bill(pond, system)}"
        )

    def _bill(self, pond: Pond, system: str) -> str:
        """Name what was changed, each with its price; a dash where none was typed."""
        found = changes(self._start, pond)
        if not found:
            return "Nothing to buy yet."
        known = [price for _, price in found if price is not None]
        total = f", {money(sum(known), pond)} in all" if len(known) == len(found) > 1 else ""
        return f"To buy: {', '.join(f'{words} ({money(price, pond)})' for words, price in found)}{total}."


def _stops(result: Plan, system: str) -> str:
    """Say the longest stop of the months in use, with the filter's limit, and that of the year where it is longer."""
    stage, safe = result["season"], safe_stop(result)
    gaps = stage.series["gap"].m_as("h")
    used = np.where(in_use(result.stages), gaps, 0.0)
    worst, longest = int(used.argmax()), Q(float(used.max()), "h")
    if longest.m < 1:
        said = "It never stands still in a month in use"
    else:
        said = f"Its longest stop in a month in use is {show(longest, 'h', system)}, in {MONTH_NAMES[worst]}"
    if safe is not None and longest.m >= 1:
        fits = "less than" if longest <= safe else "more than"
        said += f": {fits} the {show(safe, 'h', system, digits=2)} that the filter is sure to bear"
    if gaps.max() > longest.m + 0.5:
        said += f" (without feeding, in {MONTH_NAMES[int(gaps.argmax())]}, {show(stage['gap'].value, 'h', system)})"
    return f"{said}."


def _frozen(stage, system: str) -> str:
    """Name the months in which the battery is too cold to be charged."""
    months, limit = stage.facts["frozen"], show(Q(0.0, "degC"), "degC", system)
    return "" if months == "none" else f" Its battery takes no charge below {limit}, and it is colder in {months}: keep it warmer."


def _held_back(pond: Pond, system: str) -> str:
    """Say where the pond's own controller is too small for its own panels; for more panels than those the lab takes a larger one."""
    if larger_controller(pond.power) is None:
        return ""
    return f" The controller lets through {show(pond.power.controller.max_current, 'A', system)} at most: so much panel needs a larger one."


def _price(what: str, words: str, known: float | None, size: float) -> Slider:
    """Return the box for one price; 0 stands for one that nobody has typed."""
    start = 0.0 if known is None else known / size
    dear = DEAR if start <= DEAR else 10.0 ** math.ceil(math.log10(start))
    return Slider(f"{what}_price", f"Price of {words}", "-", 0, dear, 5, start)


def invented(pond: Pond, *parts: str) -> str:
    """Name what is invented since the pond file does not have it yet: the whole supply, some of its parts, the pump."""
    lacks = ["power supply"] if pond.power is None else [part for part in parts if getattr(pond.power, part) is None]
    lacks += ["pump"] if pond.pump is None else []
    words = " and ".join(filter(None, (", ".join(lacks[:-1]), *lacks[-1:])))
    return f" (with an invented {words}: your pond file has none yet)" if lacks else ""


def supply_of(pond: Pond) -> PowerSupply:
    """Return the pond's own supply; a part that its file does not have yet is an invented one."""
    practice = PowerSupply.model_validate(PRACTICE)
    if pond.place is not None and latitude_of(pond.place).m_as("deg") < 0:  # a panel faces the equator
        practice = practice.model_copy(update={"panel": practice.panel.model_copy(update={"azimuth": Q(0.0, "deg")})})
    if pond.power is None:
        return practice
    gaps = {name: getattr(practice, name) for name in ("panel", "controller", "battery", "cable") if getattr(pond.power, name) is None}
    return pond.power.model_copy(update=gaps)


def coldest_of(pond: Pond, supply: PowerSupply) -> Quantity:
    """Return how cold the battery gets: as its file says, else as cold as the air has ever been, else as in the practice supply."""
    if supply.battery.coldest is not None:
        return supply.battery.coldest
    record = pond.place.record_cold if pond.place else None
    return Q(5.0, "degC") if record is None else record


def pond_of(pond: Pond, inputs: PowerInputs) -> Pond:
    """Put the sliders' supply into a pond; the panel's volts and everything else stay as they are."""
    supply, place = supply_of(pond), _place(pond, inputs.climate)
    ratio = (inputs.panel / (supply.panel.power * supply.panel.count)).m_as("")
    panel = supply.panel.model_copy(update={
        "power": supply.panel.power * ratio, "imp": supply.panel.imp * ratio, "isc": supply.panel.isc * ratio,
        "tilt": inputs.tilt, "azimuth": inputs.azimuth, "horizon": _horizon(supply.panel, place, inputs.shade),
    })  # fmt: skip
    sizes = {"panel": supply.panel.power.m_as("W") / 100, "battery": supply.battery.capacity.m_as("A*h") / 100}
    typed = {what: getattr(inputs, f"{what}_price").m * sizes.get(what, 1.0) for what in (*sizes, *PRICED)}
    prices = {what: price if price > 0 else None for what, price in typed.items()}
    update = {
        "panel": panel,
        "battery": supply.battery.model_copy(update={"capacity": inputs.battery, "coldest": inputs.coldest}),
        "prices": (supply.prices or Prices()).model_copy(update=prices),
    }
    pump = pond.pump or Pump.model_validate(PRACTICE_PUMP)
    pump = pump.model_copy(update={"hours_per_day": inputs.hours, "power": inputs.pump})
    power = supply.model_copy(update=update)
    if ratio > 1.001 and (larger := larger_controller(power)) is not None:  # what the pond has is shown as it is
        power = power.model_copy(update={"controller": larger})
    return pond.model_copy(update={"place": place, "power": power, "pump": pump})


def _has_file(pond: Pond) -> bool:
    return pond.place is not None and pond.place.weather is not None


def _tallest(panel) -> float:
    return max((float(height.m_as("deg")) for _, height in panel.horizon), default=0.0)


def _horizon(panel, place: Place, height: Quantity) -> tuple:
    """Return the panel's own shade as tall as the slider says; without one, a wall of that height before the noon sun."""
    tallest = _tallest(panel)
    if tallest > 0:
        return tuple((bearing, top * (height.m_as("deg") / tallest)) for bearing, top in panel.horizon)
    if height.m_as("deg") == 0:
        return ()
    noon = 180.0 if latitude_of(place).m_as("deg") >= 0 else 0.0
    wall = ((noon - SIDES - 1, 0.0), (noon - SIDES, 1.0), (noon + SIDES, 1.0), (noon + SIDES + 1, 0.0))
    return tuple((Q(bearing % 360, "deg"), share * height) for bearing, share in wall)


def _vessel_of(pond: Pond) -> dict:
    """Return the stage of the filter vessel, for how long it may stand still, where the pond file describes one."""
    return {} if pond.vessel is None else {"vessel": plan(pond, until="vessel").stages["vessel"]}


def _place(pond: Pond, key: str) -> Place:
    """Return the pond's own place while its climate is chosen, else its own with that climate: the side of the equator stays."""
    if key == _FILE:
        return pond.place
    if pond.place is None:
        return Place(climate=key)
    if not _has_file(pond) and of_place(pond.place).key == key and of_place(pond.place).serves:
        return pond.place
    there = climate(key).latitude
    across = (there.m < 0) != (latitude_of(pond.place).m < 0)
    return pond.place.model_copy(update={"climate": key, "weather": None, "latitude": -there if across else there, "longitude": None})
