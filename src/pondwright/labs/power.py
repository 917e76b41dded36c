"""Lab of lesson 07: whether the sun carries the pump through the weakest month in use, and what battery, cable and fuse that takes."""

from __future__ import annotations

from dataclasses import dataclass

from ..figures.power import PowerPicture
from ..pond.climate import of_place, places
from ..pond.model import Place, Pond, Pump
from ..pond.supply import PowerSupply
from ..pond.plan import Plan, plan
from ..pond.sunlight import latitude_of
from ..units import Q, Quantity, round_text, show
from .base import Choice, Lab, Slider, start_in

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


@dataclass(frozen=True)
class PowerInputs:
    """What the sliders say: the place, the panel and how it stands, the pump's hours, the dark days, the battery and the cable."""

    climate: str
    panel: Quantity
    tilt: Quantity
    azimuth: Quantity
    hours: Quantity
    autonomy: Quantity
    battery: Quantity
    cable: Quantity


class PowerLab(Lab):
    """Move the panel, the pump's hours and the battery; see which months the sun carries."""

    title = "Will the sun carry the pump?"
    Inputs = PowerInputs
    Picture = PowerPicture

    def __init__(self, pond=None):
        self._before = {}
        super().__init__(pond)

    def controls(self, pond):
        supply = _supply(pond)
        panel, pump = supply.panel, pond.pump
        watts = panel.power * panel.count
        return (
            Choice("climate", "Sun of", _NAMES, of_place(pond.place).key if pond.place else "halifax"),
            Slider("panel", "All panels together", "W", 10, 1500, 10, start_in(10, watts, "W", 1500, 160)),
            Slider("tilt", "Tilt of the panel (0 lies flat)", "deg", 0, 90, 5, start_in(0, panel.tilt, "deg", 90, 60)),
            Slider("azimuth", "It faces (0 north, 180 south)", "deg", 0, 360, 5, start_in(0, panel.azimuth, "deg", 360, 180)),
            Slider("hours", "The pump should run", "h/d", 1, 24, 0.5, start_in(1, pump and pump.hours_per_day, "h/d", 24, 24)),
            Slider("autonomy", "Days without sun", "d", 0.5, 7, 0.5, start_in(0.5, supply.autonomy, "d", 7, 2)),
            Slider("battery", "Battery", "Ah", 10, 600, 5, start_in(10, supply.battery.capacity, "Ah", 600, 150)),
            Slider("cable", "Cable to the pump, one way", "m", 1, 50, 1, start_in(1, supply.cable.length, "m", 50, 8)),
        )

    def compute(self, inputs: PowerInputs) -> Plan:
        pond = pond_of(self.pond, inputs)
        if inputs.climate not in self._before:  # the stages below follow the climate, and no other slider
            self._before[inputs.climate] = plan(pond, until="plumbing").stages
        return plan(pond, until="power", done=self._before[inputs.climate])

    def sentence(self, result: Plan, system: str) -> str:
        stage, pond = result["power"], result.pond
        invented = [name for name in ("power", "pump") if getattr(self.pond, name) is None]
        whose = f" (with an invented {' and '.join(invented)}: your pond file has none yet)" if invented else ""
        hours, wanted = stage["pump_hours"], show(pond.pump.hours_per_day, "h/d", system)
        needed, have = stage["battery_needed"].text(system), show(pond.power.battery.capacity, "Ah", system)
        cable = stage.facts.get("cable", "none in the table")
        wires = f" The pump's cable: {cable}, with a fuse of {stage['pump_fuse'].text(system)}." if "pump_fuse" in stage else ""
        number = round_text(pond.power.autonomy.m_as("day"))
        days = f"{number} day{'' if number == '1' else 's'}"
        return (
            f"In {stage.facts['worst_month']}, the weakest month in use, the sun carries the pump for {hours.text(system)} of the {wanted} "
            f"wanted{whose}; {_short(stage.facts)}. {days} without sun take {needed} of battery; there are {have}.{wires}"
        )


def _short(facts) -> str:
    """Name the months in use in which the sun falls short, besides the weakest."""
    months, weakest = facts["short_months"], facts["worst_month"][:3]
    few = {"none": "no month in use falls short", "all": "every month in use falls short", weakest: "no other month in use falls short"}
    return few.get(months, f"these months in use fall short: {months}")


def _supply(pond: Pond) -> PowerSupply:
    """Return the pond's own supply; a part that its file does not have yet is an invented one."""
    practice = PowerSupply.model_validate(PRACTICE)
    if pond.place is not None and latitude_of(pond.place).m_as("deg") < 0:  # a panel faces the equator
        practice = practice.model_copy(update={"panel": practice.panel.model_copy(update={"azimuth": Q(0.0, "deg")})})
    if pond.power is None:
        return practice
    gaps = {name: getattr(practice, name) for name in ("panel", "controller", "battery", "cable") if getattr(pond.power, name) is None}
    return pond.power.model_copy(update=gaps)


def pond_of(pond: Pond, inputs: PowerInputs) -> Pond:
    """Put the sliders' supply into a pond; the panel's volts and everything else stay as they are."""
    supply = _supply(pond)
    ratio = (inputs.panel / (supply.panel.power * supply.panel.count)).m_as("")
    panel = supply.panel.model_copy(update={
        "power": supply.panel.power * ratio, "imp": supply.panel.imp * ratio, "isc": supply.panel.isc * ratio,
        "tilt": inputs.tilt, "azimuth": inputs.azimuth,
    })  # fmt: skip
    battery = supply.battery if _coldest_known(pond, supply) else supply.battery.model_copy(update={"coldest": Q(5.0, "degC")})
    update = {
        "panel": panel,
        "battery": battery.model_copy(update={"capacity": inputs.battery}),
        "cable": supply.cable.model_copy(update={"length": inputs.cable}),
        "autonomy": inputs.autonomy,
    }
    pump = pond.pump or Pump.model_validate(PRACTICE_PUMP)
    return pond.model_copy(
        update={
            "place": _place(pond, inputs.climate),
            "power": supply.model_copy(update=update),
            "pump": pump.model_copy(update={"hours_per_day": inputs.hours}),
        }
    )


def _coldest_known(pond: Pond, supply: PowerSupply) -> bool:
    return supply.battery.coldest is not None or (pond.place is not None and pond.place.record_cold is not None)


def _place(pond: Pond, key: str) -> Place:
    """Return the pond's own place while its climate is chosen, else its own with that climate: the side of the equator stays."""
    if pond.place is not None and of_place(pond.place).key == key and of_place(pond.place).is_near:
        return pond.place
    return Place(climate=key) if pond.place is None else pond.place.model_copy(update={"climate": key})
