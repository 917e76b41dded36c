"""The ledger of the loads: what each uses, what a grow lamp's light takes, what may run when, and what the supply costs."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ...science import electrics as e
from ...science.light import lamp_energy
from ...tables import coefficients
from ...units import Q, Quantity, show
from ..climate import MONTHS
from ..costs import cost, money, together
from ..model import Pond
from ..results import Assumption, Grid, number
from ..supply import Load
from .power_wiring import Parts

OWN = "the controller itself"
MAY_RUN = "What may run when: after the pump, in a mean day at the cautious end"
COSTS = "What the supply costs, by your own prices"


def controller_use(pond: Pond) -> Quantity | None:
    """Return the watts that the controller draws day and night: as the file says, else typically; None without a controller."""
    controller = pond.power.controller
    if controller is None:
        return None
    return coefficients()["controller_self_use"].typical if controller.self_use is None else controller.self_use


def lamps(pond: Pond, parts: Parts) -> None:
    """Say what the light of each grow lamp takes that is written by its light."""
    for i, load in enumerate(pond.power.loads, 1):
        if load.light is not None:
            label = f"Energy that load {i} takes for {show(load.light, 'mol/m2/d')} on {show(load.area, 'm2')}"
            note = f"{show(load.power, 'W')} for {show(load.hours_per_day, 'h/d')}; daylight on the plants comes on top"
            lit = (load.light, load.area, load.efficacy)
            parts.numbers.append(replace(number(f"lamp_{i}_energy", label, "Wh/d", lambda lit=lit: lamp_energy(*lit)), note=note))


def may_run(pond: Pond, parts: Parts) -> None:
    """Tell month by month what the mean day leaves after the pump, and how long each other load may run on it, the smallest first."""
    loads = sorted((load for load in pond.power.loads if load.hours_per_day.m > 0), key=_energy)
    if "energy_in" not in parts.series or not loads:
        return
    pump = 0.0 if pond.pump is None else e.daily_energy(pond.pump.drawn, pond.pump.hours_per_day).m_as("Wh/d")
    own = (controller_use(pond) * Q(24.0, "h/d")).m_as("Wh/d")
    left = spare = np.maximum(parts.series["energy_in"].m_as("Wh/d") - pump - own, 0.0)
    columns = []
    for load in loads:
        power, wanted = load.power.m_as("W"), load.hours_per_day.m_as("h/d")
        hours = np.minimum(left / power, wanted)
        left = left - hours * power
        columns.append(hours)
    rows = tuple((month, Q(float(spare[i]), "Wh/d"), *(Q(float(hours[i]), "h/d") for hours in columns)) for i, month in enumerate(MONTHS))
    heads = ("month", "left after the pump", *(f"{load.name} (wanted {show(load.hours_per_day, 'h/d')})" for load in loads))
    parts.grids.append(Grid(MAY_RUN, heads, ("", "Wh/d", *("h/d" for _ in loads)), rows))
    parts.assumptions.append(Assumption(
        "What may run when counts the pump first, then the controller itself, then each load, the one that uses least first. All hang on "
        "one switch: who runs a load for longer than that takes the hours from the pump.", ("Judgement",)))


def _energy(load: Load) -> float:
    return (load.power * load.hours_per_day).m_as("Wh/d")


def costs(pond: Pond, parts: Parts) -> None:
    """Add the planned supply up by the prices of the file; cables, fuses and work come on top."""
    power = pond.power
    if power.prices is None:
        return
    found = [("panels", 0 if power.panel is None else power.panel.count, "panel")]
    found += [(words, int(part is not None), what) for words, part, what in (
        ("charge controller", power.controller, "controller"), ("battery", power.battery, "battery"), ("pump", pond.pump, "pump"))]
    bill = [(words, count, cost(pond, what), cost(pond, what, count)) for words, count, what in found if count]
    if all(price is None for *_, price in bill):
        return
    rows = [(words, str(count), money(one, pond), money(price, pond)) for words, count, one, price in bill]
    rows.append(("together, without cables, fuses and work", "", "", money(together(*(price for *_, price in bill)), pond)))
    parts.grids.append(Grid(COSTS, ("part", "count", "one", "price"), ("", "", "", ""), tuple(rows)))
