"""Metric, US and imperial: how a quantity is shown to people."""
from __future__ import annotations

import contextlib
import contextvars
import math

from .registry import QuantityError, in_unit, unit

SYSTEMS = ("metric", "us", "imperial")
# metric unit -> (US customary, British imperial). What is missing reads the same everywhere (mg/L, V, A, W, h).
_SYSTEM_UNITS = {
    "L": ("US gal", "imp gal"), "m3": ("US gal", "imp gal"), "m": ("ft", "ft"), "cm": ("in", "in"), "mm": ("in", "in"),
    "m2": ("ft2", "ft2"), "kg": ("lb", "lb"), "g": ("oz", "oz"), "degC": ("degF", "degF"),
    "delta_degC": ("delta_degF", "delta_degF"), "L/min": ("US gpm", "imp gpm"),
    "L/h": ("US gph", "imp gph"), "m/s": ("ft/s", "ft/s"), "kg/m3": ("lb/ft3", "lb/ft3"), "g/d": ("oz/d", "oz/d"),
    "kPa": ("psi", "psi"), "m2/m3": ("ft2/ft3", "ft2/ft3"), "m3/m2/d": ("US gpm/ft2", "imp gpm/ft2"), "mm2": ("mm2", "mm2"),
}
_SHORT = {"-": "", "degC": "°C", "degF": "°F", "delta_degC": "°C", "delta_degF": "°F",
          "m2": "m²", "m3": "m³", "ft2": "ft²", "ft3": "ft³", "mm2": "mm²", "m2/m3": "m²/m³",
          "ft2/ft3": "ft²/ft³", "kg/m3": "kg/m³", "lb/ft3": "lb/ft³", "g/m2/d": "g/m²/day", "kWh/m2/d": "kWh/m²/day",
          "m3/m2/d": "m³/m²/day", "g/d": "g/day", "oz/d": "oz/day", "kg/d": "kg/day", "Wh/d": "Wh/day", "h/d": "h/day", "m2/d": "m²/day",
          "US gpm/ft2": "US gpm/ft²", "imp gpm/ft2": "imp gpm/ft²", "uS/cm": "µS/cm", "kWh/m2": "kWh/m²",
          "mm2/s": "mm²/s", "mPa_s": "mPa s", "Wh/m3": "Wh/m³",
          "mol/m2/d": "mol/m²/day", "umol/m2/s": "µmol/m²/s", "umol/J": "µmol/J"}


_FINE = ("g", "g/d")  # below one of the larger unit these stay metric: a dose of half an ounce is weighed in grams everywhere


_current: contextvars.ContextVar = contextvars.ContextVar("system", default=None)  # None: nobody has said, so metric


@contextlib.contextmanager
def showing_in(system: str, *, unless_said: bool = False):
    """Show every quantity inside the block in a unit system, unless a call names another: sentences of a plan made here follow it.

    With `unless_said` it holds only where no block around this one has named a system: a pond's own units give way to those of a reader.
    """
    unit_for("L", system)
    said = _current.get()
    token = _current.set(said if unless_said and said else system)
    try:
        yield
    finally:
        _current.reset(token)


def unit_for(metric_unit: str, system: str | None = None) -> str:
    """Name the unit in which a system shows what metric shows in `metric_unit`; without a system, that of :func:`showing_in`."""
    system = system or _current.get() or "metric"
    if system not in SYSTEMS:
        raise QuantityError(f"the unit system is one of {', '.join(SYSTEMS)}; {system!r} was given.")
    if system == "metric" or metric_unit not in _SYSTEM_UNITS:
        return metric_unit
    return _SYSTEM_UNITS[metric_unit][SYSTEMS.index(system) - 1]


def short(unit_text: str) -> str:
    """Write a unit for people: m2 becomes m², degC becomes °C."""
    return _SHORT.get(unit_text, unit_text)


def shown_unit(quantity, metric_unit: str, system: str | None = None) -> str:
    """Name the unit in which :func:`show` writes a quantity; less than an ounce stays in grams."""
    target = unit_for(metric_unit, system)
    if metric_unit in _FINE and target != metric_unit and abs(in_unit(quantity, unit(target))) < 1:
        return metric_unit
    return target


def show(quantity, metric_unit: str, system: str | None = None, digits: int = 3, *, as_unit: str = "") -> str:
    """Write a quantity for people, rounded to `digits` significant figures, in the unit of their system.

    `as_unit` names the unit instead, where it stands over a column or beside another number (see :func:`shown_unit`).

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(Q(5236, "L"), "L"), show(Q(5236, "L"), "L", "us")
    ('5240 L', '1380 US gal')
    """
    target = as_unit or shown_unit(quantity, metric_unit, system)
    return f"{round_text(in_unit(quantity, unit(target)), digits)} {short(target)}".strip()


def round_text(value: float, digits: int = 3) -> str:
    """Round to significant figures and write without an exponent."""
    if not math.isfinite(value):
        raise QuantityError(f"{value} is not a finite number.")
    if value == 0:
        return "0"
    places = digits - 1 - math.floor(math.log10(abs(value)))
    if abs(value) > 1e300:  # rounded up, the largest number is none any more
        return f"{value:.0f}"
    rounded = round(float(value), places)  # numpy's own rounding gives nan for the smallest numbers
    text = f"{rounded:.{max(places, 0)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
