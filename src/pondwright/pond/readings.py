"""A pond's sets of readings: which is the newest, what it lacks, and the pH at which its ammonia counts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from ..science import carbonate, dosing
from ..tables import Coefficient, coefficients
from ..units import Q, Quantity, QuantityError, in_unit, quantity, show, unit
from .climate import pressure
from .model import Pond, Reading, Tap
from .moments import moment
from .results import Assumption, Number, Urgency

# the limits that readings are judged by
LIMITS = (
    *("unionized_ammonia_limit", "nitrite_limit", "chloride_per_nitrite", "nitrate_limit", "oxygen_wanted", "ph_least", "ph_most"),
    *("ph_deadly_low", "ph_deadly_high", "carbon_dioxide_limit", "alkalinity_wanted", "hardness_wanted"),
)
FRESH = ("tan", "ph", "temperature", "alkalinity")  # what a dose of bicarbonate needs, all four from one set
MOST_CALCIUM = 4000.0  # mg/L as CaCO3 that is reckoned with; no fresh water holds so much
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


def salt(pond: Pond) -> tuple[Quantity, str] | None:
    """Return how much table salt the newest chloride may come from, else the most that conductivity allows, and what was read."""
    chloride, _ = newest(pond, "chloride")
    if chloride is not None:
        return chloride / dosing.chloride_of_salt.plain(1.0), f"Chloride is {milligrams(chloride)}, that of"
    conducts, _ = newest(pond, "conductivity")
    if conducts is None:
        return None
    most = conducts.m_as(unit("uS/cm")) * dosing.tracer_salt.plain(1.0, 1000.0)  # mg/L: 1000 L make g/m3 of grams
    return Q(most, "mg/L"), f"The conductivity is {show(conducts, 'uS/cm')}, at most that of"


def salty(pond: Pond) -> bool:
    """Tell whether there is more salt than fish of fresh water bear; the carbonate and ammonia formulas are not made for it."""
    known = salt(pond)
    return known is not None and known[0] > coefficients()["fish_salt"].low


def calcium_of(water: Reading | Tap | None) -> Coefficient | None:
    """Return the calcium hardness of a water; None where no hardness is known. All hardness holds magnesium too, so a share is taken."""
    if water is None or (water.calcium_hardness is None and water.hardness is None):
        return None
    if (known := water.calcium_hardness) is not None:
        return Coefficient("calcium", "calcium hardness", known, known, known, "mg/L", (), False, "")
    share, hardness = coefficients()["calcium_share"], in_unit(water.hardness, unit("mg/L"))
    ends = {end: quantity(share.at(end)._magnitude * hardness, unit("mg/L")) for end in ("low", "typical", "high")}
    return replace(share, name="calcium", unit="mg/L", **ends)


def calcium(pond: Pond, reading: Reading) -> Coefficient | None:
    """Return the calcium hardness of a set, or that of the newest set that has any: it changes slowly."""
    return calcium_of(reading) or next((found for each in reversed(pond.readings) if (found := calcium_of(each)) is not None), None)


def can_air(reading: Reading) -> bool:
    """Tell whether the pH of this water once it has aired can be worked out."""
    return reading.alkalinity is not None and reading.alkalinity.m > 0 and reading.temperature is not None


def aired_ph(alkalinity: Quantity, temperature: Quantity, air: Quantity, calcium: Quantity | None = None,
             index: Quantity | None = None) -> Quantity:  # fmt: skip
    """Work out the pH to which water comes once its carbon dioxide is that of the air; each a number or an array.

    Hard water drops lime on the way, which holds its pH down: counted where its calcium is known (None or 0: no lime drops), from a
    saturation index on; left out, the cautious end.
    """
    gas = carbonate.air_carbon_dioxide(temperature, pressure=air)
    free = carbonate.ph_of_carbon_dioxide(alkalinity, gas, temperature)
    index = coefficients()["lime_index"].high if index is None else index
    if calcium is None or not drops_lime(free, alkalinity, temperature, calcium, index):
        return free
    some = _reckoned(calcium)
    limed = carbonate.ph_of_lime_water(alkalinity, some, gas, temperature, index, carbonate.hard_water_ions(alkalinity, some))
    return Q(np.minimum(free.m, limed.m), "-")


def drops_lime(ph: Quantity, alkalinity: Quantity, temperature: Quantity, calcium: Quantity, index: Quantity) -> bool:
    """Tell whether any of these waters may pass the index; with the ions counted as if alone they seem nearer to it than they are."""
    return bool((carbonate.calcite_saturation(ph, alkalinity, _reckoned(calcium), temperature).m > index.m).any())


def _reckoned(calcium: Quantity) -> Quantity:
    return Q(np.clip(in_unit(calcium, unit("mg/L")), 1e-3, MOST_CALCIUM), "mg/L")


def lime_assumption() -> Assumption:
    """Say how the lime is counted that hard water drops."""
    index, share = coefficients()["lime_index"], coefficients()["calcium_share"]
    low, typical, high = (f"{index.at(end).m:g}" for end in ("low", "typical", "high"))
    return Assumption(
        f"Hard water drops lime (calcite) as it airs, which holds its pH down: from a saturation index of {high} on at the cautious end, "
        f"typically {typical}, at least {low}. Of all hardness {share.low.m:.0%} is counted as calcium there, typically "
        f"{share.typical.m:.0%}; a test of calcium alone is better.", index.sources, share.unverified)  # fmt: skip


def hardness_wish(pond: Pond) -> str:
    """Ask for a test of hardness where it may bring the aired pH down, by 0.05 or more; "" where nothing hangs on it."""
    for reading in (each for each in pond.readings if can_air(each)):
        known = calcium(pond, reading)
        if known is not None and known.low == known.high:
            continue
        asked = (reading.alkalinity, reading.temperature, pressure(pond))
        least, most = (None, reading.alkalinity) if known is None else (known.low, known.high)
        try:
            gain = aired_ph(*asked, least) - aired_ph(*asked, most)
        except QuantityError:  # no fresh water holds so much; the alkalinity's own words say so
            continue
        if gain.m > 0.05:
            what = "hardness (best calcium hardness alone)" if known is None else "calcium hardness alone (it now counts magnesium too)"
            return f"Test {what} and write it into the readings: hard water drops lime as it airs, and then its pH rises less."
    return ""


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
