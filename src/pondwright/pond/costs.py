"""What a change of the supply costs, in the reader's own prices; a price that nobody wrote down is a dash, never a guess."""
from __future__ import annotations

from ..science import electrics as e
from ..units import Q, Quantity, show
from .model import Pond
from .supply import Controller, PowerSupply

NUDGE = Q(0.5, "deg")  # a judgement: a panel that is turned by less is not moved


def cost(pond: Pond, what: str, share: float = 1.0) -> float | None:
    """Return what so much of something costs; None where the file has no price for it."""
    known = None if pond.power.prices is None else getattr(pond.power.prices, what)
    return None if known is None else known * share


def together(*prices: float | None) -> float | None:
    """Add prices up; one that is not known leaves the whole unknown."""
    return None if None in prices else sum(prices)


def money(price: float | None, pond: Pond) -> str:
    """Write a price in the reader's own currency; a dash where none is known."""
    if price is None:
        return "–"
    currency = pond.power.prices.currency if pond.power.prices else ""
    return f"{f'{price:,.2f}'.removesuffix('.00')} {currency}".strip()


def larger_controller(supply: PowerSupply) -> Controller | None:
    """Return a controller for the panels where the one at hand is too small for their full sun, else None."""
    panel, controller = supply.panel, supply.controller
    if panel is None or controller is None:
        return None
    if controller.kind == "mppt":
        full = e.mppt_current(panel.power * panel.count, supply.voltage)
        grown = full > controller.max_current  # it limits its own current: within the margin of a quarter nothing is hurt
    else:
        full = panel.isc * (panel.count // panel.in_series)
        grown = e.controller_current(full) > controller.max_current
    return controller.model_copy(update={"max_current": e.controller_current(full)}) if grown else None


def changes(before: Pond, after: Pond) -> list[tuple[str, float | None]]:
    """List what would have to be bought to turn one supply into another, each with its price; what gets smaller costs nothing."""
    old, new = before.power, after.power
    found = []

    def buy(words: str, what: str, share: float = 1.0) -> None:
        found.append((words, cost(after, what, share)))

    more = new.panel.power * new.panel.count - old.panel.power * old.panel.count
    if more > Q(0.5, "W"):
        buy(f"{show(more, 'W')} more panel", "panel", float((more / old.panel.power).m_as("")))
    if new.controller.max_current > old.controller.max_current:
        buy(f"a controller for {show(new.controller.max_current, 'A')}", "controller")
    if abs(new.panel.tilt - old.panel.tilt) > NUDGE or abs(new.panel.azimuth - old.panel.azimuth) > NUDGE:
        buy("a bracket that holds the panel so", "bracket")
    stored = new.battery.capacity - old.battery.capacity
    if stored > Q(0.5, "Ah"):
        buy(f"{show(stored, 'Ah')} more battery", "battery", float((stored / old.battery.capacity).m_as("")))
    if _warmer(old.battery.coldest, new.battery.coldest):
        buy(f"a box that keeps the battery above {show(new.battery.coldest, 'degC')}", "box")
    if abs(after.pump.power - before.pump.power) > Q(0.05, "W"):
        buy(f"a pump of {show(after.pump.power, 'W')}", "pump")
    if after.pump.hours_per_day < before.pump.hours_per_day - Q(0.1, "h/d"):
        buy(f"a timer for {show(after.pump.hours_per_day, 'h/d')}", "timer")
    return found


def _warmer(old: Quantity | None, new: Quantity | None) -> bool:
    return old is not None and new is not None and new.m_as("degC") > old.m_as("degC") + 0.25
