"""What is the pond's own in a lab, and what its controls say.

A control that nobody moved changes nothing: the pond keeps what its file says, with its own doubt, even where a control could not show
it. A control that was moved is taken at its word, without doubt, and changes only what it says.
"""

from __future__ import annotations

import math
from dataclasses import fields

from ..pond.model import FishGroup
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


# ------------------------------------------------------------------------------------------------------------------------- fish


def mean_length(groups: tuple[FishGroup, ...], key: str = "length") -> float:
    """Return the length (cm) of a fish of mean volume: so many of that length weigh about what the groups do."""
    lengths, counts = [float(getattr(g, key).m_as("cm")) for g in groups], [g.count for g in groups]
    if len(set(lengths)) == 1:
        return lengths[0]
    return round((sum(n * x**3 for n, x in zip(counts, lengths, strict=True)) / sum(counts)) ** (1 / 3), 2)


def as_many(groups: tuple[FishGroup, ...], count: int) -> tuple[FishGroup, ...]:
    """Make groups of so many fish in all, each in its share (the largest remainders round up); one that has none left is gone."""
    whole = sum(g.count for g in groups)
    shares = [g.count * count / whole for g in groups]
    counts = [math.floor(x) for x in shares]
    for n in sorted(range(len(groups)), key=lambda n: counts[n] - shares[n])[: count - sum(counts)]:
        counts[n] += 1
    return tuple(g.model_copy(update={"count": n}) for g, n in zip(groups, counts, strict=True) if n > 0)


def as_long(groups: tuple[FishGroup, ...], **lengths: Quantity) -> tuple[FishGroup, ...]:
    """Make each fish so long, now (`length`) or grown (`adult_length`)."""
    return tuple(g.model_copy(update=lengths) for g in groups)
