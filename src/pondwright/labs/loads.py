"""Lab of lesson 07: what the loads use in a day, which of them empties the battery first, and the cable and fuse of the pump."""

from __future__ import annotations

from dataclasses import dataclass
from textwrap import shorten

from ..figures.loads import LoadsPicture, emptying
from ..pond.model import Pond, Pump
from ..pond.plan import Plan, plan
from ..pond.supply import Load
from ..pond.wires import wire_words
from ..units import Q, Quantity, show
from .base import Choice, Lab
from .own import own_slider
from .power import PRACTICE_PUMP, coldest_of, invented, supply_of

VOLTS = ("12 V", "24 V")
NAMES = ("grow light", "phones and radio")  # of two loads for a pond whose file has none
STARTS = ((40.0, 0.0), (5.0, 0.0))  # W and hours a day: switched off until someone moves the hours


@dataclass(frozen=True)
class LoadsInputs:
    """What the controls say: power and hours of the pump and of two other loads, the battery, its volts, and the pump's cable."""

    pump: Quantity
    pump_hours: Quantity
    first: Quantity
    first_hours: Quantity
    second: Quantity
    second_hours: Quantity
    battery: Quantity
    voltage: str
    cable: Quantity


class LoadsLab(Lab):
    """Switch loads on and off; see what they use, how long a full battery lasts, and what the pump's cable must be."""

    title = "What empties the battery first?"
    Inputs = LoadsInputs
    Picture = LoadsPicture

    def __init__(self, pond=None):
        self._before = None
        super().__init__(pond)

    def controls(self, pond):
        supply, pump = supply_of(pond), pond.pump or Pump.model_validate(PRACTICE_PUMP)
        volts = show(supply.voltage, "V")
        others = []
        for n, (key, name, (watts, hours)) in enumerate(zip(("first", "second"), _names(pond), STARTS, strict=True)):
            load = supply.loads[n] if n < len(supply.loads) else None
            name = shorten(name[0].upper() + name[1:], 20, placeholder="…")
            others += [
                own_slider(key, name, "W", 0, 300, 1, load and load.power, watts),
                own_slider(f"{key}_hours", f"{name}, on for", "h/d", 0, 24, 0.5, load and load.hours_per_day, hours),
            ]
        return (
            own_slider("pump", "Pump", "W", 1, 150, 1, pump.power, 18),
            own_slider("pump_hours", "The pump runs for", "h/d", 0, 24, 0.5, pump.hours_per_day, 24),
            *others,
            own_slider("battery", "Battery", "Ah", 10, 600, 5, supply.battery.capacity, 150),
            Choice("voltage", "Volts of the battery", VOLTS if volts in VOLTS else (*VOLTS, volts), volts),
            own_slider("cable", "Cable to the pump, one way", "m", 1, 50, 1, supply.cable.length, 8),
        )

    def compute(self, inputs: LoadsInputs) -> Plan:
        if self._before is None:  # no control touches the stages below
            self._before = plan(self.pond, until="plumbing").stages
        return plan(pond_of(self.pond, inputs), until="power", done=self._before)

    def sentence(self, result: Plan, system: str) -> str:
        stage, pond = result["power"], result.pond
        whose = invented(self.pond, "battery", "cable")
        have, rows = show(pond.power.battery.capacity, "Ah", system), emptying(stage)
        if not rows:
            return f"Nothing is switched on{whose}: the {have} of the battery stay as they are."
        uses, lasts = stage["daily_energy"].text(system), stage["battery_days"].text(system)
        first = f"; the {rows[0][0]} empties it first" if len(rows) > 1 else ""
        kept = f"A full battery of {have} carries that for {lasts} without sun, at the cautious end{first}."
        return f"The loads use {uses}{whose}. {kept} {_wires(stage, pond, system)}"


def _wires(stage, pond: Pond, system: str) -> str:
    """Say the pump's current, its cable and its fuse."""
    if "pump_fuse" not in stage:
        return f"No cable of the table carries the pump's {stage['load_current'].text(system)}."
    drop, size = stage["voltage_drop"].high / pond.power.voltage, pond.power.cable.size
    which = "that cable" if size is None else f"the pond's own of {wire_words(size)}"
    return (
        f"The pump draws {stage['load_current'].text(system)}: a cable of {stage.facts['cable']} or more over "
        f"{show(pond.power.cable.length, 'm', system)}, with a fuse of {stage['pump_fuse'].text(system)}; {which} loses up to "
        f"{100 * drop.m_as(''):.2g} % of the volts (2 % is allowed for)."
    )


def _names(pond: Pond) -> list[str]:
    own = [load.name for load in pond.power.loads[:2]] if pond.power else []
    return own + list(NAMES[len(own) :])


def pond_of(pond: Pond, inputs: LoadsInputs) -> Pond:
    """Put the sliders' loads, battery and length of cable into a pond; a cable of no size in the file is as thick as it must be."""
    supply, pump = supply_of(pond), pond.pump or Pump.model_validate(PRACTICE_PUMP)
    given = ((inputs.first, inputs.first_hours), (inputs.second, inputs.second_hours))
    loads = [Load(name=name, power=power, hours_per_day=hours) for name, (power, hours) in zip(_names(pond), given, strict=True)
             if power.m > 0 and hours.m > 0]  # fmt: skip
    battery = supply.battery.model_copy(update={"capacity": inputs.battery, "coldest": coldest_of(pond, supply)})
    update = {
        "voltage": Q(float(inputs.voltage.removesuffix(" V")), "V"), "loads": (*loads, *supply.loads[2:]), "battery": battery,
        "cable": supply.cable.model_copy(update={"length": inputs.cable}),
    }  # fmt: skip
    pump = pump.model_copy(update={"power": inputs.pump, "hours_per_day": inputs.pump_hours})
    return pond.model_copy(update={"power": supply.model_copy(update=update), "pump": pump})
