"""The water: what the latest readings mean, what may be dosed today, and what a water change does."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from ...science import ammonia as a
from ...science import carbonate as c
from ...science import dosing as d
from ...science import nitrogen, oxygen
from ...science.alkalinity import alkali_dose, alkalinity_days
from ...tables import Coefficient, coefficients
from ...units import Q, Quantity, QuantityError, show, unit
from .. import doses
from .. import readings as r
from ..climate import pressure, pressure_assumption
from ..model import Pond, Reading
from ..moments import moment
from ..night import as_coefficient
from ..results import End, Finding, Grid, Number, Stage, Urgency, by_key, given, number
from ..water_words import CAUTIONS, assumptions, judge

KEY, TITLE = "water", "Reading the water"
STEP = Q(20.0, "mg/L")  # of alkalinity (as CaCO3) that one day may bring; common practice
PER_LITRE = Q(1.0, "mg/L")  # of chlorine: the dose is told for each
MOST_CHANGES = 40  # water changes that are tried; whoever needs more needs something else
MG_L = unit("mg/L")
_MISSING = ("needs [[readings]] with when, temperature, ph, tan, alkalinity, and better also nitrite_n, nitrate_n, oxygen and chloride",)


def plan(pond: Pond, so_far: Mapping[str, Stage]) -> Stage:
    """Read the newest set; without readings only the doses that need none are planned."""
    volume, reading = _volume(so_far), r.latest(pond)
    numbers = _new_water(pond, volume)
    if reading is not None:
        air = pressure(pond)
        numbers |= _nitrogen_numbers(pond, reading, volume, air)
        numbers |= _change_numbers(pond, reading, numbers, air)
        numbers |= _gas_numbers(reading, air)
        numbers |= _buffer_numbers(pond, reading, volume, numbers, so_far)
        numbers |= _dose_numbers(pond, reading, volume, numbers, air)
    numbers |= _tracer_numbers(pond, volume)
    verdicts = (*judge(pond, numbers), doses.tap_advice(pond, numbers))
    facts = {v.key: v.says for v in verdicts} | {"bicarbonate": doses.bicarbonate(pond, numbers)}
    title = "The water"
    if reading is not None:
        title = f"The readings of {reading.when}"
        facts["newest"] = _newest(pond)
    return Stage(
        KEY,
        TITLE,
        numbers,
        facts=facts,
        grids=(Grid(title, ("Reading", "What it says"), ("", ""), tuple((v.reading, v.says) for v in verdicts)),),
        assumptions=(*assumptions(pond, numbers, STEP), *(pressure_assumption(pond) if reading is not None else ())),
        cautions=CAUTIONS,
        sources=tuple(key for name in r.LIMITS for key in coefficients()[name].sources),
        missing=_MISSING if reading is None else (),
    )


def _newest(pond: Pond) -> str:
    """Say of what day the words are: a plan does not know today, its reader does."""
    count, when = len(pond.readings), pond.readings[-1].when
    which = f"The newest of {count} sets of readings is of {when}" if count > 1 else f"The one set of readings is of {when}"
    alike = sum(moment(reading.when) == moment(when) for reading in pond.readings) if count > 1 else 1  # a lab's set has no date
    last = f" {alike} sets bear that same date: the one that stands last in the file is used." if alike > 1 else ""
    return f"{which}; what is said of them holds for that hour, so look how long ago it was (a day still to come is a slip).{last}"


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
    for v in (*judge(pond, numbers), doses.tap_advice(pond, numbers)):
        if v.urgency is not None:
            named = tuple(n for n in v.numbers if n.removeprefix(f"{KEY}.") in numbers)
            wish = r.hardness_wish(pond) if "water.unionized_aired" in named else ""
            found.append(Finding(f"{KEY}.{v.key}", v.urgency, v.says, f"{v.do} {wish}".strip(), named))
    return found


def _volume(so_far) -> Coefficient:
    """Hand the survey's volume on with its spread, so that a dose can be told for the smallest volume that it may be."""
    n = so_far["survey"]["volume"]
    return Coefficient("volume", "the volume of the pond", n.low, n.typical, n.high, n.unit, n.sources, False, "")


def _end(name: str, cautious: str) -> End:
    return End(coefficients()[name], cautious)


def _new_water(pond: Pond, volume: Coefficient) -> dict[str, Number]:
    """Plan one water change: its volume, what two of them renew, and what takes out the chlorine or what chloramine leaves behind."""
    part = Q(r.CHANGE.m / 100, "-")
    found = [
        number(
            "change_volume",
            f"One water change of {r.CHANGE.m:g} %",
            "L",
            lambda volume: volume * part,
            stacked=True,
            volume=End(volume, "low"),
        ),
        number("two_changes", f"Old water gone after two changes of {r.CHANGE.m:g} %", "%", lambda: d.share_changed(r.CHANGE, 2)),
    ]
    if doses.tap_kind(pond) == "chlorine":
        found.append(
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
            )
        )
    if doses.brings_ammonia(pond):
        found.append(
            number(
                "tap_ammonia",
                "Ammonia that chloramine leaves in new water, as N",
                "mg/L",
                lambda chlorine, ratio: d.chloramine_nitrogen(chlorine, ratio),
                decides=True,
                stacked=True,
                chlorine=_end("chloramine", "high"),
                ratio=_end("chlorine_per_ammonia", "low"),
                note="unless the remover binds ammonia; how much chloramine there is, the water works know",
            )
        )
    return by_key(*found)


def _nitrogen_numbers(pond: Pond, reading: Reading, volume: Coefficient, air: Quantity) -> dict[str, Number]:
    """Work out what the nitrogen tests mean: the poison as read and once the water has aired, its limits, and nitrite and nitrate."""
    tan, ph, warmth, limit = reading.tan, reading.ph, reading.temperature, _end("unionized_ammonia_limit", "low")
    found = [
        number(
            "unionized_limit", "Limit for un-ionized ammonia, as N", "mg/L", lambda limit: limit, decides=True, stacked=True, limit=limit
        )
    ]
    aired = _aired(pond, reading, air)
    if aired is not None:
        found.append(aired)
    if ph is not None and warmth is not None:
        rises = aired is not None and aired.value > ph
        highest = aired.value if rises else ph
        at = f"at pH {highest.m:.1f}, to which this water comes once it has aired" if rises else f"at pH {highest.m:g}, as read"
        counts = {"ph": End(_at_least(as_coefficient(aired, "ph"), ph), "high")} if rises and aired.has_band else {}
        found += [
            number("unionized_share", "Share of the total ammonia that is un-ionized", "%", lambda: a.unionized_fraction(ph, warmth)),
            number(
                "tan_limit",
                "Total ammonia that this warmth and the higher pH, read or aired, allow",
                "mg/L",
                lambda limit, ph=highest: a.tan_at_limit(limit, ph, warmth),
                decides=True,
                stacked=True,
                limit=limit,
                **counts,
                note=at,
            ),
            number(
                "river_criterion",
                "For comparison: 30-day limit for rivers, total ammonia",
                "mg/L",
                lambda: a.chronic_criterion(highest, warmth),
                note="US EPA 2013, set by mussels and snails",
            ),
        ]
        if tan is not None:
            now = number("unionized_ammonia", "Un-ionized ammonia as read, as N", "mg/L", lambda: a.unionized_ammonia(tan, ph, warmth))
            found.append(now)
            if aired is not None:
                label = "Un-ionized ammonia once this water has aired, as N"
                found.append(
                    number(
                        "unionized_aired",
                        label,
                        "mg/L",
                        lambda ph=aired.value: a.unionized_ammonia(tan, ph, warmth),
                        decides=aired.has_band,
                        stacked=True,
                        **({"ph": End(as_coefficient(aired, "ph"), "high")} if aired.has_band else {}),
                    )
                )
            worst, label = found[-1] if rises else now, "Un-ionized ammonia that counts, as N"
            if counts:  # never less than as read
                worst = number("", label, "mg/L", lambda ph: a.unionized_ammonia(tan, ph, warmth), decides=True, stacked=True, **counts)
            found.append(replace(worst, key="unionized_worst", label=label, note=at))
    if reading.nitrate_n is not None:
        found.append(number("nitrate", "Nitrate, as NO3", "mg/L", lambda: d.as_ion(reading.nitrate_n, "NO3")))
    return by_key(*found) | _nitrite_numbers(pond, reading, volume)


def _aired(pond: Pond, reading: Reading, air: Quantity) -> Number | None:
    """Work out the pH of this water once it has aired, with what its lime leaves open where any drops; None where nobody can."""
    if not r.can_air(reading):
        return None
    label, alkalinity, warmth = "pH once this water has aired", reading.alkalinity, reading.temperature
    free = number("ph_aired", label, "-", lambda: r.aired_ph(alkalinity, warmth, air))
    lime, index = r.calcium(pond, reading), _end("lime_index", "high")
    if lime is None or not r.drops_lime(free.value, alkalinity, warmth, lime.high, index.coefficient.low):
        return free
    return number(
        "ph_aired",
        label,
        "-",
        lambda calcium, index: r.aired_ph(alkalinity, warmth, air, calcium, index),
        decides=True,
        stacked=True,
        calcium=End(lime, "low"),
        index=index,
        note=f"lime drops out of this hard water as it airs; without that its pH would come to {free.value.m:.2f}",
    )


def _at_least(band: Coefficient, floor: Quantity) -> Coefficient:
    """Lift a coefficient to a floor: water that was read at that pH is not counted below it."""
    return replace(band, **{end: max(band.at(end), floor) for end in ("low", "typical", "high")})


def _change_numbers(pond: Pond, reading: Reading, numbers, air: Quantity) -> dict[str, Number]:
    """Count the water changes that bring ammonia and nitrate under their limits, with what the new water brings along."""
    found = []
    if "unionized_worst" in numbers:
        times, own = np.arange(MOST_CHANGES + 1.0), pond.tap.alkalinity if pond.tap else None
        share = a.unionized_fraction(_ph_after_changes(pond, reading, times, air), reading.temperature)
        same = "with new water of the same alkalinity" if own is None else f"with new water of {r.milligrams(own)} of alkalinity"
        brings = numbers["tap_ammonia"].value if "tap_ammonia" in numbers else Q(0.0, "mg/L")
        label = f"Water changes of {r.CHANGE.m:g} % that bring ammonia under its limit"
        if "tap_ammonia" in numbers:
            ammonia = f"{numbers['tap_ammonia'].text()} of ammonia"
            found.append(_count("changes_needed", label, reading.tan, brings, share, times, f"{same} and {ammonia}"))
            label += ", with a remover that binds ammonia"
            found.append(_count("changes_bound", label, reading.tan, brings * 0, share, times, same))
        else:
            found.append(_count("changes_needed", label, reading.tan, brings, share, times, f"{same} and no ammonia"))
    limit, own = coefficients()["nitrate_limit"].typical, pond.tap.nitrate_n if pond.tap else None
    if "nitrate" in numbers and numbers["nitrate"].value > limit:
        source = Q(0.0, "mg/L") if own is None else d.as_ion(own, "NO3")
        if source < limit:
            label = f"Water changes of {r.CHANGE.m:g} % that bring nitrate to its usual limit"
            found.append(number("nitrate_changes", label, "-", lambda: _rounded_up(numbers["nitrate"].value, limit, source)))
    return by_key(*(n for n in found if n is not None))


def _ph_after_changes(pond: Pond, reading: Reading, times, air: Quantity) -> Quantity:
    """Return the pH at which ammonia counts after each number of changes: as read, or the higher one of the mixed and aired water."""
    read = np.full(len(times), reading.ph.m)
    if not r.can_air(reading):
        return Q(read, "-")

    def mixed(here: Quantity, there: Quantity | None) -> Quantity:
        return d.after_changes(here, here if there is None else there, r.CHANGE, times)

    lime, tap = r.calcium(pond, reading), r.calcium_of(pond.tap)
    other = pond.tap.alkalinity if pond.tap else None
    if lime is not None:  # new water of another alkalinity is of another hardness too: where nobody tested it, it is taken for soft
        lime = mixed(lime.low, tap.low if tap is not None else None if other is None else Q(0.0, "mg/L"))
    aired = r.aired_ph(mixed(reading.alkalinity, other), reading.temperature, air, lime)
    return Q(np.maximum(read, aired.m), "-")


def _count(key: str, label: str, tan, source, share, times, note: str) -> Number | None:
    """Count changes until the poison is under its limit; None where the strictest limit is never met."""
    toxic = (d.after_changes(tan, source, r.CHANGE, times) * share).m_as(MG_L)
    if toxic.min() > coefficients()["unionized_ammonia_limit"].low.m * (1 + 1e-9):
        return None

    def first_under(limit):
        under = toxic <= limit.m_as(MG_L)[:, None] * (1 + 1e-9)
        return Q(under.argmax(axis=1).astype(float), "-")

    return number(key, label, "-", first_under, decides=True, stacked=True, limit=_end("unionized_ammonia_limit", "low"), note=note)


def _rounded_up(start: Quantity, target: Quantity, source: Quantity) -> Quantity:
    return Q(float(math.ceil(d.changes_needed(start, target, source, r.CHANGE).m)), "-")


def _nitrite_numbers(pond: Pond, reading: Reading, volume: Coefficient) -> dict[str, Number]:
    if reading.nitrite_n is None:
        return {}
    ratio, (chloride, _) = _end("chloride_per_nitrite", "high"), r.newest(pond, "chloride")
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


def _gas_numbers(reading: Reading, air: Quantity) -> dict[str, Number]:
    """Work out oxygen against saturation, and carbon dioxide."""
    found, warmth = [], reading.temperature
    if warmth is None:
        return {}
    full = number("oxygen_full", "Oxygen that this water can hold", "mg/L", lambda: oxygen.oxygen_saturation(warmth, pressure=air))
    found.append(full)
    if reading.oxygen is not None:
        found.append(number("oxygen_share", "Oxygen, of what the water can hold", "%", lambda: reading.oxygen / full.value))
    if reading.ph is not None and reading.alkalinity is not None:
        label = "Carbon dioxide, from pH and alkalinity"
        try:
            found.append(
                number("carbon_dioxide", label, "mg/L", lambda: c.carbon_dioxide(reading.ph, reading.alkalinity, warmth))
            )
        except QuantityError:
            pass  # the two readings cannot belong to one water; the verdict says so
    return by_key(*found)


def _full_load(so_far) -> Quantity | None:
    """Return the most ammonia that the feed of any month brings a day, at the cautious end; None where the filter stage has none."""
    filtration = so_far.get("filter")
    if filtration is None or "tan_load" not in filtration:
        return None
    load, by_month = filtration["tan_load"].value, filtration.series.get("tan_load")
    most = load if by_month is None else max(load, Quantity(float(by_month.m.max()), by_month.units))
    return most if most.m > 0 else None


def _buffer_numbers(pond: Pond, reading: Reading, volume: Coefficient, numbers, so_far) -> dict[str, Number]:
    """Work out how long the alkalinity lasts, what a water change makes of it, and whether limestone dissolves."""
    found, alkalinity = [], reading.alkalinity
    if alkalinity is None:
        return {}
    own = pond.tap.alkalinity if pond.tap else None
    if own is not None:
        label = f"Alkalinity after one water change of {r.CHANGE.m:g} %, as CaCO3"
        found.append(number("alkalinity_changed", label, "mg/L", lambda: d.after_changes(alkalinity, own, r.CHANGE, 1)))
    if (load := _full_load(so_far)) is not None:
        label = "Alkalinity that the filter eats at full feed, in the month that is fed most"
        used = number("alkalinity_used", label, "g/d", lambda: nitrogen.nitrification_alkalinity(load))
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
    gas, lime = numbers.get("carbon_dioxide"), r.calcium_of(reading)
    if gas is not None and gas.value.m > 0 and lime is not None and lime.high.m > 0:
        counted = "; all hardness counted as calcium" if lime.low < lime.high else ""
        found.append(
            number(
                "calcite_saturation",
                "Saturation index of limestone, at most",
                "-",
                lambda: c.calcite_saturation(reading.ph, alkalinity, lime.high, reading.temperature),
                note=f"below 0 shell and limestone dissolve, at 0 no more{counted}",
            )
        )
    return by_key(*found)


def _dose_numbers(pond: Pond, reading: Reading, volume: Coefficient, numbers, air: Quantity) -> dict[str, Number]:
    """Plan today's step of bicarbonate and what it would do; nothing without a complete set that makes sense."""
    wanted = coefficients()["alkalinity_wanted"].typical
    if (
        r.lacking(reading)
        or r.salty(pond)
        or "carbon_dioxide" not in numbers
        or numbers["carbon_dioxide"].value > doses.TOO_MUCH_GAS
        or not doses.SOUND_PH[0] <= reading.ph.m <= doses.SOUND_PH[1]
        or reading.alkalinity >= wanted
    ):
        return {}
    alkalinity, warmth, missing = reading.alkalinity, reading.temperature, wanted - reading.alkalinity
    rise = min(STEP, missing)
    at_once = number("ph_after_dose", "pH just after the dose", "-", lambda: c.ph_after_bicarbonate(reading.ph, alkalinity, rise, warmth))
    lime = r.calcium(pond, reading)
    calcium = None if lime is None else lime.low
    aired = number(
        "ph_after_airing", "pH once the dosed water has aired", "-", lambda: r.aired_ph(alkalinity + rise, warmth, air, calcium)
    )
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
    (background, _), (chloride, _) = r.newest(pond, "conductivity"), r.newest(pond, "chloride")
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
