"""The water: what the latest readings mean, what may be dosed today, and what a water change does."""

from __future__ import annotations

import math
from collections.abc import Mapping

from ...science import ammonia as a
from ...science import carbonate as c
from ...science import dosing as d
from ...science import nitrogen, oxygen
from ...science.alkalinity import alkali_dose, alkalinity_days
from ...tables import Coefficient, coefficients
from ...units import Q, Quantity, QuantityError, show, unit
from .. import readings as r
from ..model import Pond, Reading
from ..results import Assumption, End, Finding, Grid, Number, Stage, Urgency, by_key, given, number

KEY, TITLE = "water", "Reading the water"
STEP = Q(20.0, "mg/L")  # of alkalinity (as CaCO3) that one day may bring; common practice
PER_LITRE = Q(1.0, "mg/L")  # of chlorine: the dose is told for each
SOUND_PH = (5.0, 10.5)  # outside it something is wrong that bicarbonate does not mend; a judgement
MG_L = unit("mg/L")
_MISSING = ("needs [[readings]] with when, temperature, ph, tan, alkalinity, and better also nitrite_n, nitrate_n, oxygen and chloride",)


def plan(pond: Pond, so_far: Mapping[str, Stage]) -> Stage:
    """Read the newest set; without readings only the doses that need none are planned."""
    volume, reading = _volume(so_far), r.latest(pond)
    numbers: dict[str, Number] = {}
    if reading is not None:
        numbers |= _nitrogen_numbers(pond, reading, volume)
        numbers |= _gas_numbers(pond, reading)
        numbers |= _buffer_numbers(reading, volume, numbers, so_far)
        numbers |= _dose_numbers(pond, reading, volume, numbers)
    numbers |= _new_water(volume) | _tracer_numbers(pond, volume)
    verdicts = (*r.judge(pond, numbers), r.tap_advice(pond, numbers))
    facts = {v.key: v.says for v in verdicts} | {"bicarbonate": r.bicarbonate(pond, numbers)}
    title = f"The readings of {reading.when}" if reading is not None else "The water"
    return Stage(
        KEY,
        TITLE,
        numbers,
        facts=facts,
        grids=(Grid(title, ("Reading", "What it says"), ("", ""), tuple((v.reading, v.says) for v in verdicts)),),
        assumptions=_ASSUMPTIONS,
        cautions=_CAUTIONS,
        sources=tuple(key for name in r.LIMITS for key in coefficients()[name].sources),
        missing=_MISSING if reading is None else (),
    )


def find(pond: Pond, stages: Mapping[str, Stage]) -> list[Finding]:
    """Turn every reading that misses its limit into a finding."""
    numbers = stages[KEY].numbers
    if not pond.readings:
        return [
            Finding(
                "water.no_readings",
                Urgency.IMPROVE,
                "Nobody has tested the water yet, so the plan cannot say whether it is safe now.",
                "Test total ammonia, nitrite, pH, temperature and alkalinity on one afternoon and write them into [[readings]].",
            )
        ]
    found = []
    for v in (*r.judge(pond, numbers), r.tap_advice(pond, numbers)):
        if v.urgency is not None:
            named = tuple(n for n in v.numbers if n.removeprefix(f"{KEY}.") in numbers)
            found.append(Finding(f"{KEY}.{v.key}", v.urgency, v.says, v.do, named))
    return found


def _volume(so_far) -> Coefficient:
    """Hand the survey's volume on with its spread, so that a dose can be told for the smallest volume that it may be."""
    n = so_far["survey"]["volume"]
    return Coefficient("volume", "the volume of the pond", n.low, n.typical, n.high, n.unit, n.sources, False, "")


def _end(name: str, cautious: str) -> End:
    return End(coefficients()[name], cautious)


def _new_water(volume: Coefficient) -> dict[str, Number]:
    """Plan one water change: its volume, what two of them renew, and the chlorine remover for it."""
    part = Q(r.CHANGE.m / 100, "-")
    return by_key(
        number(
            "change_volume",
            f"One water change of {r.CHANGE.m:g} %",
            "L",
            lambda volume: volume * part,
            stacked=True,
            volume=End(volume, "low"),
        ),
        number("two_changes", f"Old water gone after two changes of {r.CHANGE.m:g} %", "%", lambda: d.share_changed(r.CHANGE, 2)),
        number(
            "remover",
            "Thiosulfate crystals for one change, for each mg/L of chlorine",
            "g",
            lambda volume, ratio: d.chlorine_remover(PER_LITRE, volume * part, ratio),
            decides=True,
            stacked=True,
            volume=End(volume, "high"),
            ratio=_end("thiosulfate_per_chlorine", "high"),
            note="pure crystals; a bottled product goes by its label",
        ),
        number("chloramine_tan", "Ammonia nitrogen left by each mg/L of chloramine", "mg/L", lambda: d.chloramine_nitrogen(PER_LITRE)),
    )


def _nitrogen_numbers(pond: Pond, reading: Reading, volume: Coefficient) -> dict[str, Number]:
    """Work out what the nitrogen tests mean: poison, limits, the water changes and the salt that they ask for."""
    found, tan, ph, warmth = [], reading.tan, reading.ph, reading.temperature
    limit = _end("unionized_ammonia_limit", "low")
    found.append(
        number(
            "unionized_limit", "Limit for un-ionized ammonia, as N", "mg/L", lambda limit: limit, decides=True, stacked=True, limit=limit
        )
    )
    if ph is not None and warmth is not None:
        found.append(
            number("unionized_share", "Share of the total ammonia that is un-ionized", "%", lambda: a.unionized_fraction(ph, warmth))
        )
        found.append(
            number(
                "tan_limit",
                "Total ammonia that this pH and warmth allow",
                "mg/L",
                lambda limit: a.tan_at_limit(limit, ph, warmth),
                decides=True,
                stacked=True,
                limit=limit,
            )
        )
        found.append(
            number(
                "river_criterion",
                "For comparison: 30-day limit for rivers, total ammonia",
                "mg/L",
                lambda: a.chronic_criterion(ph, warmth),
                note="EPA 2013, set by mussels and snails; its equation from memory",
            )
        )
    if tan is not None and ph is not None and warmth is not None:
        found.append(number("unionized_ammonia", "Un-ionized ammonia, as N", "mg/L", lambda: a.unionized_ammonia(tan, ph, warmth)))
        found.append(
            number(
                "changes_needed",
                f"Water changes of {r.CHANGE.m:g} % that bring ammonia under its limit",
                "-",
                lambda limit: _changes(tan, a.tan_at_limit(limit, ph, warmth)),
                decides=True,
                limit=limit,
                note="with new water of the same pH that holds no ammonia",
            )
        )
    if reading.nitrate_n is not None:
        found.append(number("nitrate", "Nitrate, as NO3", "mg/L", lambda: d.as_ion(reading.nitrate_n, "NO3")))
    return by_key(*found) | _nitrite_numbers(pond, reading, volume)


def _changes(start: Quantity, target: Quantity) -> Quantity:
    if start <= target:
        return Q(0.0, "-")
    return Q(float(math.ceil(d.changes_needed(start, target, Q(0.0, "mg/L"), r.CHANGE).m)), "-")


def _nitrite_numbers(pond: Pond, reading: Reading, volume: Coefficient) -> dict[str, Number]:
    if reading.nitrite_n is None:
        return {}
    ratio, chloride = _end("chloride_per_nitrite", "high"), r.newest(pond, "chloride")
    wanted = number(
        "chloride_wanted",
        "Chloride that shields the fish from this nitrite",
        "mg/L",
        lambda ratio: d.chloride_needed(reading.nitrite_n, ratio),
        decides=True,
        stacked=True,
        ratio=ratio,
    )
    found = [number("nitrite", "Nitrite, as NO2", "mg/L", lambda: d.as_ion(reading.nitrite_n, "NO2")), wanted]
    plants = coefficients()["plant_chloride"].low
    if chloride is not None and chloride < wanted.value <= plants:
        rise = wanted.value - chloride
        found.append(
            number(
                "salt_for_nitrite",
                "Plain salt for that chloride",
                "g",
                lambda volume: d.salt_for_chloride(rise, volume),
                decides=True,
                stacked=True,
                volume=End(volume, "low"),
                note="pure salt without additives; check the bag",
            )
        )
    return by_key(*found)


def _pressure(pond: Pond) -> Quantity:
    place = pond.place
    return oxygen.air_pressure(place.elevation if place is not None and place.elevation is not None else Q(0.0, "m"))


def _gas_numbers(pond: Pond, reading: Reading) -> dict[str, Number]:
    """Work out oxygen against saturation, and carbon dioxide."""
    found, warmth = [], reading.temperature
    if warmth is not None:
        full = number(
            "oxygen_full", "Oxygen that this water can hold", "mg/L", lambda: oxygen.oxygen_saturation(warmth, pressure=_pressure(pond))
        )
        found.append(full)
        if reading.oxygen is not None:
            found.append(number("oxygen_share", "Oxygen, of what the water can hold", "%", lambda: reading.oxygen / full.value))
        if reading.ph is not None and reading.alkalinity is not None:
            try:
                found += _carbon_numbers(reading, _pressure(pond))
            except QuantityError:
                pass  # the two readings cannot belong to one water; readings.judge says so
    return by_key(*found)


def _carbon_numbers(reading: Reading, pressure: Quantity) -> list[Number]:
    """Work out carbon dioxide, and where pH and ammonia go as it leaves."""
    ph, alkalinity, warmth = reading.ph, reading.alkalinity, reading.temperature
    gas = number("carbon_dioxide", "Carbon dioxide, from pH and alkalinity", "mg/L", lambda: c.carbon_dioxide(ph, alkalinity, warmth))
    aired = number("ph_aired", "pH once this water has aired", "-", lambda: _aired(alkalinity, warmth, pressure))
    if reading.tan is None:
        return [gas, aired]
    label = "Un-ionized ammonia once this water has aired"
    return [gas, aired, number("unionized_aired", label, "mg/L", lambda: a.unionized_ammonia(reading.tan, aired.value, warmth))]


def _aired(alkalinity: Quantity, warmth: Quantity, pressure: Quantity) -> Quantity:
    return c.ph_of_carbon_dioxide(alkalinity, c.air_carbon_dioxide(warmth, pressure=pressure), warmth)


def _buffer_numbers(reading: Reading, volume: Coefficient, numbers, so_far) -> dict[str, Number]:
    """Work out how long the alkalinity lasts, and whether limestone dissolves."""
    found, alkalinity = [], reading.alkalinity
    if alkalinity is None:
        return {}
    filtration = so_far.get("filter")
    if filtration is not None and "tan_load" in filtration and filtration["tan_load"].value.m > 0:
        load = filtration["tan_load"].value
        used = number(
            "alkalinity_used", "Alkalinity that the filter eats at full feed", "g/d", lambda: nitrogen.nitrification_alkalinity(load)
        )
        floor = coefficients()["alkalinity_wanted"].low
        found += [
            used,
            number(
                "alkalinity_days",
                "Days until the alkalinity is at its floor",
                "d",
                lambda volume: alkalinity_days(alkalinity, floor, volume, used.value),
                decides=True,
                stacked=True,
                volume=End(volume, "low"),
                note="if neither rain, top-up water nor stone brings any back",
            ),
        ]
    gas = numbers.get("carbon_dioxide")
    if gas is not None and gas.value.m > 0 and reading.hardness is not None and reading.hardness.m > 0:
        found.append(
            number(
                "calcite_saturation",
                "Limestone index, at most",
                "-",
                lambda: c.calcite_saturation(reading.ph, alkalinity, reading.hardness, reading.temperature),
                note="below 0 shell and limestone dissolve; all hardness counted as calcium",
            )
        )
    return by_key(*found)


def _dose_numbers(pond: Pond, reading: Reading, volume: Coefficient, numbers) -> dict[str, Number]:
    """Plan today's step of bicarbonate and what it would do; nothing without a complete set that makes sense."""
    wanted = coefficients()["alkalinity_wanted"].typical
    if (
        r.lacking(reading)
        or "carbon_dioxide" not in numbers
        or not SOUND_PH[0] <= reading.ph.m <= SOUND_PH[1]
        or reading.alkalinity >= wanted
    ):
        return {}
    alkalinity, warmth, missing = reading.alkalinity, reading.temperature, wanted - reading.alkalinity
    rise = min(STEP, missing)
    at_once = number("ph_after_dose", "pH just after the dose", "-", lambda: c.ph_after_bicarbonate(reading.ph, alkalinity, rise, warmth))
    pressure = _pressure(pond)
    aired = number("ph_after_airing", "pH once the dosed water has aired", "-", lambda: _aired(alkalinity + rise, warmth, pressure))
    worst = max(at_once.value, aired.value)
    after = number(
        "unionized_after", "Un-ionized ammonia after the dose, at most", "mg/L", lambda: a.unionized_ammonia(reading.tan, worst, warmth)
    )
    allowed = after.value <= numbers["unionized_limit"].value
    note = "at most 20 mg/L as CaCO3; common practice" if allowed else "only to try it out on paper: the dose is refused, see alkalinity"
    found = [given("alkalinity_step", "Rise of the alkalinity by one day's dose", "mg/L", rise, note=note), at_once, aired, after]
    if allowed:
        found.append(
            number(
                "bicarbonate_today",
                "Sodium bicarbonate for today",
                "g",
                lambda volume: alkali_dose(rise, volume),
                decides=True,
                stacked=True,
                volume=End(volume, "low"),
                note="pure baking soda; divide by the purity on the label",
            )
        )
        found.append(given("bicarbonate_days", "Days with such a step", "-", Q(float(math.ceil((missing / rise).m_as("") - 1e-9)), "-")))
    return by_key(*found)


def _tracer_numbers(pond: Pond, volume: Coefficient) -> dict[str, Number]:
    """Plan a salt dose that measures the volume: it doubles the conductivity, unless plants or fish would bear less."""
    background, chloride = r.newest(pond, "conductivity"), r.newest(pond, "chloride")
    if background is None or background.m <= 0:
        return {}
    plants, fish = (coefficients()[name].low for name in ("plant_chloride", "fish_salt"))
    room = max(plants.m - (chloride.m_as(MG_L) if chloride is not None else 0.0), 0.0)
    most = min(d.salt_for_chloride.plain(room, 1000.0), fish.m)  # mg/L of salt; 1000 L make g/m3 of grams
    rise = Q(min(background.m_as(unit("uS/cm")), most / d.tracer_salt.plain(1.0, 1000.0)), "uS/cm")
    if rise.m <= 0:
        return {}
    salt = number(
        "tracer_salt",
        "Plain salt that measures the volume by conductivity",
        "g",
        lambda volume: d.tracer_salt(rise, volume),
        decides=True,
        stacked=True,
        volume=End(volume, "low"),
        note=f"lifts the conductivity by about {show(rise, 'uS/cm')}; subtract the background of {show(background, 'uS/cm')}",
    )
    total = f"plants bear {show(plants, 'mg/L')} in all" + ("; chloride was not measured" if chloride is None else "")
    added = number("tracer_chloride", "Chloride that this adds", "mg/L", lambda: d.chloride_of_salt(salt.value / volume.low), note=total)
    return by_key(salt, added)


_ASSUMPTIONS = (
    Assumption(
        "The tests read right: kit reagents are in date, and nitrogen is written as N (a kit that gives the ion reads higher: nitrate "
        "4.43, nitrite 3.28, ammonia 1.22 times).",
        ("AtomicWeights",),
    ),
    Assumption(
        "Ions are counted as if alone in the water, which gives up to 5 % more carbon dioxide than there is.", ("PlummerBusenberg1982",)
    ),
    Assumption(
        f"The alkalinity rises by at most {show(STEP, 'mg/L')} (as CaCO3) a day, and one water change is {r.CHANGE.m:g} % of the pond.",
        ("Practice",),
    ),
    Assumption("New water holds no ammonia of its own.", ("Practice",)),
    Assumption("Less than 0.02 mg/L of free chlorine or chloramine harms fish.", ("WEF8",)),
    Assumption("The air holds 420 parts of carbon dioxide in a million.", ("Practice",)),
)
_CAUTIONS = (
    "Chemicals: read the label and safety sheet, wear gloves and goggles, weigh and dissolve in a bucket first (chemical into water, "
    "never water onto "
    "chemical), keep them dry, locked and apart, and never mix them. An adult does the dosing. Quicklime, hydrated lime and lye burn "
    "skin "
    "and eyes and kill fish: they are not for a pond with fish.",
    "Purity stands on the label, not here: doses are for the pure substance. Use plain salt and plain baking soda without additives.",
    "Never change much water at once: a jump in temperature or pH harms fish, and new water of higher pH turns ammonium into poison. "
    "Chlorine and chloramine must be out before the water meets fish.",
    "Hygiene: test reagents can be poisonous, so no tasting, no mouth near the tube, and waste goes where its leaflet says. Cover cuts, "
    "wear gloves, "
    "and wash hands after any contact with pond water.",
    "Produce that was watered from a salted or medicated pond is not for eating unless the label of what went in allows it; salt does "
    "not leave "
    "by itself, and a salted pond must not drain into a stream or onto a bed.",
    "Sick fish need a veterinarian or a fish health service, not only a number.",
)
