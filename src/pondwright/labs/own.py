"""What is the pond's own in a lab, and what its controls say.

A control that nobody moved changes nothing: the pond keeps what its file says, with its own doubt, even where a control could not show
it. A control that was moved is taken at its word, without doubt, and changes only what it says.
"""

from __future__ import annotations

import math
from dataclasses import fields

from ..units import Quantity, unit
from .base import Slider

_SAME = 5e-4  # of a number: a box shows four digits, so nobody can type the pond's own number more closely


def moved(start, inputs) -> frozenset[str]:
    """Name the controls that do not stand where they stood at first."""
    return frozenset(f.name for f in fields(inputs) if not _same(getattr(start, f.name), getattr(inputs, f.name)))


def _same(before, now) -> bool:
    if not isinstance(now, Quantity):
        return before == now
    return math.isclose(now.m_as(before.units), before.magnitude, rel_tol=_SAME, abs_tol=1e-9)


def own_slider(name: str, label: str, unit_text: str, low: float, high: float, step: float, value: Quantity | None,
               fallback: float) -> Slider:
    """Make a slider that starts at the pond's own value, or at the fallback where the pond has none.

    A value outside its range widens the range by whole steps; one that starts above zero stays above it.
    """
    start = fallback if value is None else float(value.m_as(unit(unit_text)))
    if start < low:
        least = low - step * math.ceil((low - start) / step - 1e-9)
        low = round(least, 9) if least > 0 or low <= 0 or start == 0 else start
    elif start > high:
        high = round(high + step * math.ceil((start - high) / step - 1e-9), 9)
    return Slider(name, label, unit_text, low, high, step, start)
