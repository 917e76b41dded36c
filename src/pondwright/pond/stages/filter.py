"""How much filter: the ammonia that comes from the feed, what the water may hold, and what the filter can convert, month by month.

Design TAN is derived, never typed: it is the total ammonia at which the un-ionized part meets its limit at the highest pH that was read
and on a warm afternoon of the month; the bacteria work at the month's mean temperature. Everything is decided at the cautious end, and
the deciding month is the one with the least room.
"""
from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ...science import biofilter as b
from ...science import nitrogen as n
from ...science.ammonia import tan_at_limit
from ...science.plants import plant_uptake
from ...tables import Coefficient, coefficients, load
from ...units import Q, Quantity, round_text, show, tracing, unit
from ..filter_words import LIMITS, MONTH, NOTHING, assumptions, cautions, facts, findings, grids
from ..model import Pond
from ..night import as_coefficient, carry
from ..results import End, Finding, Number, Stage, by_key, given, number

KEY, TITLE = "filter", "The filter"
# Which of the rival models: 0 the lowest of them, 1 the one whose abstract was read, 2 the highest.
_MODEL = Coefficient("model", "the model of removal", Q(0.0, "-"), Q(1.0, "-"), Q(2.0, "-"), "-", tuple(n.MINIMUM_TAN), True, "")
_METHODS = {"low": "lowest", "typical": "ZhuChen1999", "high": "highest"}
_WARM = 26.0  # degC: between the temperatures at which the models were measured; above it a small theta is the cautious one


@dataclass(frozen=True)
class _Known:
    """What the pond file and the earlier stages tell; None where they do not. Arrays are by month, shape (12,)."""

    feed: Quantity | None
    protein: Quantity | None
    factor: Coefficient | None
    ph: float | None
    temperature: Quantity | None
    warmer: float
    flow: Number | None
    hours: Quantity | None
    media: dict | None
    dirty: bool

    @property
    def loaded(self) -> bool:
        return self.feed is not None and self.protein is not None and bool(np.any(self.feed.m > 0))

    @property
    def limited(self) -> bool:
        return self.ph is not None and self.temperature is not None

    @property
    def afternoon(self) -> Quantity:
        return Q(self.temperature.m + self.warmer, "degC")

    @property
    def runs(self) -> bool:
        return self.flow is not None and self.hours is not None


def plan(pond: Pond, so_far: Mapping[str, Stage]) -> Stage:
    """Plan the filter as far as the pond file tells; what it does not tell is named under `missing`."""
    known = _know(pond, so_far)
    with tracing():  # the marks of the deciding month stand beside its numbers
        load_of = {end: _loads(known, end) for end in ("typical", "high")} if known.loaded else None
        limit_of = {end: _design_tan(known, end) for end in ("low", "typical")} if known.limited else None
        limits_of = None
        if limit_of and known.media and known.runs:
            limits_of = {end: _limits(pond, known, limit_of[end], end) for end in ("low", "typical")}
        month = _deciding_month(known, load_of, limit_of, limits_of)
        series = _series(known, load_of, limit_of, limits_of)
        numbers = by_key(*_month_numbers(pond, so_far, known, month), *_water_numbers(pond, so_far, known))
        laid_out = grids(pond, numbers, series, known.temperature, month)
    assumed = assumptions(pond, numbers, known.dirty, known.warmer)
    return Stage(KEY, TITLE, numbers, series, facts(numbers, series, month), laid_out, assumed, cautions(numbers), _missing(pond, known))


def find(pond: Pond, stages: Mapping[str, Stage]) -> list[Finding]:
    """Say whether the filter is enough, what is missing, and what else to mend."""
    return findings(pond, stages[KEY])


# ------------------------------------------------------------------------------------------------------------- what is known


def _know(pond: Pond, so_far: Mapping[str, Stage]) -> _Known:
    fish, plumbing, power = (so_far.get(key, Stage(key, "")) for key in ("fish", "plumbing", "power"))
    hours = power.series.get("pump_hours")
    if hours is None and pond.pump is not None:
        hours = Q(np.full(12, float(pond.pump.hours_per_day.m_as(unit("h/d")))), "h/d")
    protein = pond.fish.diet_protein if pond.fish else None
    readings = [float(r.ph.m) for r in pond.readings if r.ph is not None]
    temperature = fish.series.get("water_temperature")
    return _Known(
        fish.series.get("feed"), protein, None if protein is None else _factor(protein), max(readings, default=None),
        temperature, _warmer(pond, temperature), plumbing.numbers.get("flow") if pond.pump else None, hours,
        load("media")[pond.filter.media] if pond.filter else None, bool(pond.filter and not pond.filter.solids_filter),
    )


def _warmer(pond: Pond, monthly: Quantity | None) -> float:
    """Return how many degrees the readings lie above their month's mean, at most; a reading without a date is held against the warmest."""
    if monthly is None:
        return 0.0
    means, above = monthly.m_as(unit("degC")), [0.0]
    for reading in pond.readings:
        if reading.temperature is not None:
            dated = re.match(r"\d{4}-(0[1-9]|1[0-2])", reading.when)
            mean = means[int(dated[1]) - 1] if dated else means.max()
            above.append(float(reading.temperature.m_as(unit("degC")) - mean))
    return max(above)


def _missing(pond: Pond, known: _Known) -> tuple[str, ...]:
    wishes = (
        (known.feed is None, "[fish] and [place], for the feed of each month"),
        (known.feed is not None and known.protein is None, "fish.diet_protein from the feed's label, for the ammonia in it"),
        (known.ph is None, "[[readings]] with ph, read on a bright afternoon, for the ammonia that the water may hold"),
        (known.temperature is None and known.feed is not None, "[place], for the water's temperature in each month"),
        (pond.filter is None, "[filter] with container, media and media_volume, to say whether it is enough"),
        (pond.filter is not None and not known.runs, "[pump] and [plumbing], for the flow through the filter"),
    )
    return tuple(f"needs {what}" for wanted, what in wishes if wanted)


# ------------------------------------------------------------------------------------------------------- one formula for every month


def _factor(protein: Quantity) -> Coefficient:
    """Put three published rules side by side as ammonia, as N, from each gram of protein in this feed."""
    share, rules = float(protein.m_as(unit("-"))), ("TimmonsEbeling2010", "FAO589", "ExtensionAmmonia")
    typical, *others = (n.tan_from_feed.plain(1.0, share, method=rule) / share for rule in rules)
    low, high = min(typical, *others), max(typical, *others)
    return Coefficient("tan_factor", "ammonia from each gram of protein", Q(low, "-"), Q(typical, "-"), Q(high, "-"), "-", rules, True, "")


def _loads(known: _Known, end: str) -> Quantity:
    return n.tan_from_feed(known.feed, known.protein, known.factor.at(end))


def _capped(limit, ceiling, ph, temperature) -> Quantity:
    """Return the ammonia at which the un-ionized part meets its limit, or the ceiling where that is less."""
    return Q(np.minimum(tan_at_limit(limit, ph, temperature).m, ceiling.m), "mg/L")


def _design_tan(known: _Known, end: str) -> Quantity:
    limit, ceiling = (coefficients()[name].at(end) for name in ("unionized_ammonia_limit", "ammonia_ceiling"))
    return _capped(limit, ceiling, known.ph, known.afternoon)


def _theta(end: str, celsius) -> Quantity:
    """Return the temperature factor at an end of the *removal*: in cool water a small factor removes more, in warm water less."""
    theta = coefficients()["nitrification_theta"]
    if end == "typical":
        return theta.typical
    slow, fast = (theta.high, theta.low) if end == "low" else (theta.low, theta.high)
    return Q(np.where(np.asarray(celsius) > _WARM, fast.m, slow.m), "-")


def _removal(known: _Known, tan: Quantity, end: str) -> Quantity:
    organic = coefficients()["organic_load_factor"].at(end) if known.dirty else 1.0
    return n.areal_removal(tan, known.temperature, _theta(end, known.temperature.m), organic, _METHODS[end])


def _limits(pond: Pond, known: _Known, tan: Quantity, end: str) -> dict[str, Quantity]:
    """Return the three limits and the smallest of them, each by month."""
    flow = getattr(known.flow, end)
    area = b.media_area(pond.filter.media_volume, known.media[f"ssa_{end}"])
    found = {
        "surface": b.surface_capacity(_removal(known, tan, end), area, known.hours),
        "flow": b.flow_capacity(flow, tan, coefficients()["removal_per_pass"].at(end), known.hours),
        "oxygen": b.oxygen_capacity(flow, coefficients()["usable_oxygen"].at(end), known.hours),
    }
    return {**found, "capacity": b.filter_capacity(**found)}


def _deciding_month(known: _Known, load_of, limit_of, limits_of) -> int:
    """Choose, among the months of feeding, the one in which the cautious end leaves the least room."""
    if load_of is None:
        return int(known.temperature.m.argmax()) if known.limited else 0
    ammonia = load_of["high"].m
    room = np.ones(12)
    if limits_of is not None:
        room = limits_of["low"]["capacity"].m
    elif limit_of is not None:
        room = _removal(known, limit_of["low"], "low").m
    return int(np.argmax(np.where(ammonia > 0, ammonia / np.maximum(room, 1e-9), -1.0)))


def _series(known: _Known, load_of, limit_of, limits_of) -> dict[str, Quantity]:
    """Gather what pictures and later stages draw on: cautious by its plain name, typical beside it."""
    found = {}
    if load_of is not None:
        found |= {"tan_load": load_of["high"], "tan_load_typical": load_of["typical"]}
    if limit_of is not None:
        found |= {"design_tan": limit_of["low"], "design_tan_typical": limit_of["typical"]}
    if limits_of is not None:
        found |= {name: limits_of["low"][name] for name in (*LIMITS, "capacity")}
        found |= {f"{name}_typical": limits_of["typical"][name] for name in (*LIMITS, "capacity")}
    if load_of is not None and limits_of is not None:
        found["feed_allowed"] = n.feed_for_tan(limits_of["low"]["capacity"], known.protein, known.factor.high)
    return found


# ------------------------------------------------------------------------------------------------------- the numbers of one month


def _end(found: Number, cautious: str) -> End:
    return End(as_coefficient(found, found.key), cautious)


def _chosen_removal(temperature, tan, model, theta, organic=1.0) -> Quantity:
    rates = [n.areal_removal(tan, temperature, theta, organic, method).m for method in _METHODS.values()]
    return Q(np.choose(model.m.astype(int), rates), "g/m2/d")


def _month_numbers(pond: Pond, so_far: Mapping[str, Stage], known: _Known, month: int) -> list[Number]:
    numbers, when, c = [], MONTH[month], coefficients()
    tan_load = design = removal = None
    if known.loaded:
        tan_load = number(
            "tan_load", f"Ammonia from the feed, as N (TAN), in {when}", "g/d", decides=True, stacked=True,
            compute=lambda factor: n.tan_from_feed(known.feed[month], known.protein, factor), factor=End(known.factor, "high"))
        numbers.append(tan_load)
    if known.limited:
        temperature, afternoon = known.temperature[month], known.afternoon[month]
        design = number(
            "design_tan", f"Ammonia that the water may hold, as N (design TAN), in {when}", "mg/L", decides=True, stacked=True,
            compute=lambda limit, ceiling: _capped(limit, ceiling, known.ph, afternoon),
            note=f"at pH {round_text(known.ph)}, the highest that was read, and {show(afternoon, 'degC')} on a warm afternoon",
            limit=End(c["unionized_ammonia_limit"], "low"), ceiling=End(c["ammonia_ceiling"], "low"))
        organic = {"organic": End(c["organic_load_factor"], "low")} if known.dirty else {}
        # no wider band outside 15 to 27 degC: the range of theta is what is not known there
        removal = number(
            "removal", "Ammonia that 1 m² of media converts at that TAN", "g/m2/d", decides=True, stacked=True, widen=False,
            compute=lambda **ends: _chosen_removal(temperature, **ends), tan=_end(design, "low"), model=End(_MODEL, "low"),
            theta=End(c["nitrification_theta"], "low" if temperature.m > _WARM else "high"), **organic)
        removal = carry(removal, design)
        numbers += [design, removal]
    if removal is not None and known.media is not None and known.runs:
        numbers += _capacity_numbers(pond, known, month, design, removal)
    if tan_load is not None and removal is not None:
        numbers += _media_numbers(pond, known, month, tan_load, removal)
        numbers += _helpers(pond, so_far, removal)
    return numbers


def _surface_end(known: _Known) -> End:
    media = known.media
    return End(Coefficient("ssa", f"the specific surface area of {media['name'].split(',')[0]}", media["ssa_low"], media["ssa_typical"],
                           media["ssa_high"], "m2/m3", tuple(media["source"].split()), media["status"] == "memory", ""), "low")


def _capacity_numbers(pond: Pond, known: _Known, month: int, design: Number, removal: Number) -> list[Number]:
    hours, volume, c = known.hours[month], pond.filter.media_volume, coefficients()
    flow, tan = _end(known.flow, "low"), _end(design, "low")
    surface = number(
        "surface_capacity", "What the surface of the media can convert", "g/d", decides=True, stacked=True,
        compute=lambda removal, ssa: b.surface_capacity(removal, b.media_area(volume, ssa), hours),
        removal=_end(removal, "low"), ssa=_surface_end(known))
    carried = number(
        "flow_capacity", "What the flow brings in, and loses in one pass", "g/d", decides=True, stacked=True,
        compute=lambda flow, tan, per_pass: b.flow_capacity(flow, tan, per_pass, hours),
        flow=flow, tan=tan, per_pass=End(c["removal_per_pass"], "low"))
    oxygen = number(
        "oxygen_capacity", "What the oxygen in the water allows", "g/d", decides=True, stacked=True,
        compute=lambda flow, usable: b.oxygen_capacity(flow, usable, hours), flow=flow, usable=End(c["usable_oxygen"], "low"),
        note="a trickling filter takes more from the air" if pond.filter.operation == "trickling" else "")
    limits = {"surface": carry(surface, removal), "flow": carry(carried, known.flow, design), "oxygen": carry(oxygen, known.flow)}
    capacity = carry(number(
        "capacity", "What the filter can convert: the smallest of the three", "g/d", decides=True, stacked=True,
        compute=lambda surface, flow, oxygen: b.filter_capacity(surface, flow, oxygen),
        note=f"the pump runs {round_text(float(hours.m_as(unit('h/d'))))} h a day",
        **{name: _end(limit, "low") for name, limit in limits.items()}), *limits.values())
    if not known.loaded:
        return [*limits.values(), capacity]
    feed = number(
        "feed_allowed", f"Feed a day that the filter can carry in {MONTH[month]}", "g/d", decides=True, stacked=True,
        compute=lambda capacity, factor: n.feed_for_tan(capacity, known.protein, factor),
        capacity=_end(capacity, "low"), factor=End(known.factor, "high"))
    return [*limits.values(), capacity, carry(feed, capacity)]


def _media_numbers(pond: Pond, known: _Known, month: int, tan_load: Number, removal: Number) -> list[Number]:
    """Size the media; where the cautious removal is nothing, no number can be given and a finding says so."""
    hours = Q(24.0, "h/d") if known.hours is None else known.hours[month]
    if known.media is None or removal.low.m < NOTHING or hours.m_as(unit("h/d")) < 0.01:
        return []
    needed = carry(number(
        "media_needed", f"{known.media['name'].split(',')[0].capitalize()} needed", "L", decides=True, stacked=True,
        compute=lambda load, removal, ssa: b.media_volume(b.area_needed(load, removal, hours), ssa),
        load=_end(tan_load, "high"), removal=_end(removal, "low"), ssa=_surface_end(known)), tan_load, removal)
    gap = needed.value - pond.filter.media_volume
    return [needed, given("media_missing", "Media missing", "L", gap)] if gap.m > 0 else [needed]


def _helpers(pond: Pond, so_far: Mapping[str, Stage], removal: Number) -> list[Number]:
    """Show what plants and bare surfaces could add; the plan counts on neither."""
    found = []
    if pond.plants is not None:
        row = load("plant_uptake")[pond.plants.kind]
        rate = Coefficient("uptake", f"uptake by {row['name']}", row["low"], row["typical"], row["high"], "g/m2/d", (row["source"],),
                           row["status"] == "memory", "")
        found.append(number(
            "plant_share", "Nitrogen that the plants can take up while they grow", "g/d", lambda rate: plant_uptake(pond.plants.area, rate),
            stacked=True, rate=End(rate, "low"), note="not counted on"))
    survey = so_far.get("survey", Stage("survey", ""))
    if (wet := survey.numbers.get("wetted_area") or survey.numbers.get("surface_area")) is not None:
        walls = number(
            "wall_share", "Ammonia that bare walls and bottom could convert", "g/d",
            lambda removal: b.surface_capacity(removal, wet.typical), stacked=True, removal=_end(removal, "low"),
            note="not counted on: the water there hardly moves, and silt covers it")
        found.append(carry(walls, removal))
    return found


def _water_numbers(pond: Pond, so_far: Mapping[str, Stage], known: _Known) -> list[Number]:
    """Give what the flow and the container alone tell."""
    found, survey = [], so_far.get("survey", Stage("survey", ""))
    if known.flow is not None and known.flow.low.m > 0:
        flow = _end(known.flow, "low")
        if pond.filter is not None and pond.filter.plan_area is not None:
            found.append(number(
                "hydraulic_loading", "Water on each square metre of the filter", "m3/m2/d",
                lambda flow: b.hydraulic_loading(flow, pond.filter.plan_area), stacked=True, flow=flow))
        if "volume" in survey:
            found.append(number(
                "turnover", "Time to pump the pond's volume once", "h",
                lambda flow: b.turnover_time(survey["volume"].typical, flow), stacked=True, flow=flow))
    if known.media is not None:
        found.append(number("full_mass", "Mass of the container with its media, full of water", "kg", lambda: _full_mass(pond, known.media),
                            note="without the container itself"))
    return found


def _full_mass(pond: Pond, media: dict) -> Quantity:
    return b.full_mass(pond.filter.container, pond.filter.media_volume, media["void_fraction"], media["bulk_density"])
