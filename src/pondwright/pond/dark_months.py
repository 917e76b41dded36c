"""The months that may be worse than the warmest: the sun runs the pump for fewer hours, or ice lets no oxygen into the water."""
from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..units import Q, Quantity, quantity, tracing
from . import night as n
from .results import tries

ENDS = ("typical", "cautious", "favourable")


@dataclass(frozen=True)
class DarkMonths:
    """What was found: `months` (0 for January, the warmest first), stop and hours to the limit of each, arrays of shape (months, 3)."""

    months: tuple[int, ...]
    stop: np.ndarray
    hours: np.ndarray
    binding: tuple[int, ...]  # in which the fewest fish are allowed, at the cautious and at the typical end

    @property
    def tightest(self) -> int:
        """Place of the month in which the oxygen lasts least, measured by the stop, at the cautious end."""
        return int((self.hours[:, 1] / self.stop[:, 1]).argmin())

    @property
    def is_short(self) -> bool:
        return bool((self.hours[:, 1] < self.stop[:, 1]).any())


def dark_months(year: n.Night, stops: n.Stops) -> DarkMonths | None:
    """Follow the oxygen through the months that may be worse than the warmest; None where no month can be."""
    warmest, shut = year.warmest, year.open_water[:, 0] == 0
    worse = np.flatnonzero((stops.cautious > stops.cautious[warmest]) | shut)
    months = (warmest, *(int(m) for m in worse if m != warmest))
    if len(months) == 1:
        return None
    night, stop = year.in_months(list(months)), stop_of(stops, months)
    with tracing():  # which month binds is not known yet: the number of that month carries the marks
        parts = night.parts(**three_ends(year))
        hours, allowed = night.hours(parts, longest=n.MONTH).m, night.most_fish(parts, Q(stop, "h")).m
    binding = tuple(dict.fromkeys(months[int(allowed[:, end].argmin())] for end in (1, 0)))
    return DarkMonths(months, stop, np.broadcast_to(hours, stop.shape), binding)


def hours_in(year: n.Night, month: int) -> np.ndarray:
    """Return the hours from the stop of the pump to the limit in one month: typical, cautious, favourable."""
    night = year.in_months([month])
    with tracing():
        return night.hours(night.parts(**three_ends(year)), longest=n.MONTH).m[0]


def stop_of(stops: n.Stops, months) -> np.ndarray:
    """Return the stop of some months, shape (months, 3): typical, cautious, and typical again at the favourable end."""
    chosen = list(months)
    return np.stack([stops.typical[chosen], stops.cautious[chosen], stops.typical[chosen]], axis=1)


def three_ends(year: n.Night) -> dict[str, Quantity]:
    """Take all coefficients together: typical, cautious, favourable."""
    return {name: quantity(q.m[:3], q.units) for name, q in tries(year.ends).items()}
