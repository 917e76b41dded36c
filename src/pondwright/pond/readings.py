"""A pond's sets of readings: which is the newest, what it lacks, and the pH at which its ammonia counts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..science import carbonate
from ..tables import coefficients
from ..units import Q, Quantity, in_unit, show, unit
from .model import Pond, Reading
from .moments import moment
from .results import Number, Urgency

# the limits that readings are judged by
LIMITS = (
    *("unionized_ammonia_limit", "nitrite_limit", "chloride_per_nitrite", "nitrate_limit", "oxygen_wanted", "ph_least", "ph_most"),
    *("ph_deadly_low", "ph_deadly_high", "carbon_dioxide_limit", "alkalinity_wanted", "hardness_wanted"),
)
FRESH = ("tan", "ph", "temperature", "alkalinity")  # what a dose of bicarbonate needs, all four from one set
CHANGE = Q(25.0, "%")  # of the pond in one water change; common practice
_WORDS = {"tan": "total ammonia (tan)", "ph": "pH", "temperature": "temperature", "alkalinity": "alkalinity"}


@dataclass(frozen=True)
class Verdict:
    """What one reading says; `urgency` is None where it keeps its limit. `key` is the end of a finding's dotted name."""

    key: str
    reading: str
    says: str
    urgency: Urgency | None = None
    do: str = ""
    numbers: tuple[str, ...] = ()


def latest(pond: Pond) -> Reading | None:
    """Return the newest set of readings; a pond keeps its sets in order."""
    return pond.readings[-1] if pond.readings else None


def newest(pond: Pond, name: str) -> tuple[Quantity | None, Reading | None]:
    """Return the newest value of a reading that changes slowly (chloride, conductivity), and the set that has it; or two Nones."""
    return next(((value, each) for each in reversed(pond.readings) if (value := getattr(each, name)) is not None), (None, None))


def lacking(reading: Reading) -> str:
    """Name what a set lacks for a dose of bicarbonate, in words; "" where it is complete."""
    return ", ".join(_WORDS[name] for name in FRESH if getattr(reading, name) is None)


def hour(reading: Reading) -> int | None:
    """Return the hour at which a set was taken, or None where its date has none."""
    clock = moment(reading.when)[1]
    return clock.hour if clock is not None else None


def aired_ph(reading: Reading, pressure: Quantity) -> Quantity | None:
    """Work out the pH to which this water comes once its carbon dioxide is that of the air; None without alkalinity and temperature."""
    if reading.alkalinity is None or reading.temperature is None or reading.alkalinity.m == 0:
        return None
    gas = carbonate.air_carbon_dioxide(reading.temperature, pressure=pressure)
    return carbonate.ph_of_carbon_dioxide(reading.alkalinity, gas, reading.temperature)


def milligrams(quantity) -> str:
    return show(quantity, "mg/L")


def steps(value, name: str, *, floor: bool = False) -> int:
    """Count how many of a limit's three ends a value has passed: 0 keeps them all, 3 passes even the loosest."""
    limit = coefficients()[name]
    ends = [end.magnitude for end in (limit.low, limit.typical, limit.high)]
    number = in_unit(value, unit(limit.unit))
    return sum(number < end for end in ends) if floor else sum(number > end for end in ends)


def airing_poisons(numbers: Mapping[str, Number]) -> bool:
    """Tell whether airing this water would do more harm than the oxygen does good.

    That is a judgement: it carries un-ionized ammonia past a limit that it keeps now, to half as much again, or past all limits to twice
    as much. Where little changes, poisoned fish need the oxygen.
    """
    if "unionized_aired" not in numbers or "unionized_ammonia" not in numbers:
        return False
    now, aired = (numbers[key].value for key in ("unionized_ammonia", "unionized_aired"))
    after = steps(aired, "unionized_ammonia_limit")
    passes = after > steps(now, "unionized_ammonia_limit")
    return (passes and aired.m > 1.5 * now.m) or (after == 3 and aired.m > 2 * now.m)
