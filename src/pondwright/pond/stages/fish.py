"""The fish: their mass now and grown, their feed month by month, and how long the oxygen lasts when the pump stops on a warm night."""
from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from ...science import fish as f
from ...science import heat
from ...science import oxygen as o
from ...tables import Coefficient, coefficients
from ...units import Q, Quantity, show, tracing, unit
from .. import night as n
from ..climate import MONTHS, known, pressure_assumption, refusal
from ..model import Pond
from ..results import Assumption, End, Finding, Grid, Number, Stage, Urgency, by_key, given, months, number

KEY, TITLE = "fish", "The fish, their feed and their oxygen"
_CROWDED = Q(300.0, "kg/m3")  # far past the 120 at which farm tanks lose their water quality (SRAC453): a slip in the file
HOURS = Q(np.arange(0.0, 25.0), "h")  # of the night that the picture shows
_WHO = {
    "surface": "comes in through the surface", "fish": "the fish take", "nitrification": "bacteria take for the fish's ammonia",
    "muck": "the muck takes", "afloat": "algae and bacteria afloat take",
}
_NIGHT = ("activity", "muck_20", "water_share", "night_wind", "start_level", "pond_nitrification")


def plan(pond: Pond, so_far: Mapping[str, Stage]) -> Stage:
    """Weigh, feed and air the fish of a pond file, as far as it tells."""
    if pond.fish is None:
        return Stage(KEY, TITLE, missing=("needs [fish] with species and [[fish.groups]], each with count and length",))
    numbers, grid = _masses(pond)
    if (crowd := numbers[0].typical / so_far["survey"]["volume"].typical) > _CROWDED:
        return Stage(KEY, TITLE, missing=(f"needs other fish.groups: {show(crowd, 'kg/m3')} is more fish than any tank holds; check count, "
                                          "length and the pond's shape",))
    missing = () if n.grown_lengths(pond) is not None else ("needs adult_length in every group of [[fish.groups]], for the grown fish",)
    if not n.water_known(pond):
        missing += (f"{refusal(pond.place)}; or write place.water_temperature, twelve months from a thermometer in the pond"
                    if pond.place else "needs [place], for the water's temperature, the feed and the oxygen",)
        return Stage(KEY, TITLE, by_key(*numbers), facts={"species": pond.fish.species}, grids=(grid,),
                     assumptions=_mass_assumptions(pond), missing=missing)
    water = _water_temperature(pond)
    feeds = _feeds(pond, water, numbers[0])
    night, grown = (n.night_of(pond, so_far["survey"], grown=later) for later in (False, True))
    tried: dict = {}
    numbers += [_feed_peak(pond, water, numbers[0]), *_night_numbers(night, grown, tried)]
    return Stage(
        KEY, TITLE, by_key(*numbers), _series(pond, water, feeds, night, tried), _facts(pond, water),
        (grid, _year(water, feeds["feed"]), _budget(night, tried)), _assumptions(pond, by_key(*numbers)["hours_to_4"]), _CAUTIONS, missing,
    )


# ------------------------------------------------------------------------------------------------------------------- their mass


def _masses(pond: Pond) -> tuple[list[Number], Grid]:
    stout = {"stoutness": n.cautious(n.stoutness_of(pond), "high")}
    now, grown = n.lengths_now(pond), n.grown_lengths(pond)
    counts = Q(np.array([float(g.count) for g in pond.fish.groups]), "fish")

    def biomass(lengths):
        return lambda stoutness: f.total_mass(counts, f.carp_mass(lengths[:, None], stoutness))

    found = [number("biomass", "Mass of all fish now", "kg", biomass(now), decides=True, stacked=True, **stout)]
    if grown is not None:
        found.append(number("grown_biomass", "Mass of all fish when grown", "kg", biomass(grown), decides=True, stacked=True, **stout))
    found.append(given("fish_count", "Number of fish", "-", Q(float(counts.m.sum()), "-")))
    return found, _groups(counts, now, grown, stout["stoutness"].coefficient.typical)


def _groups(counts: Quantity, now: Quantity, grown: Quantity | None, stoutness: Quantity) -> Grid:
    with tracing():
        each, later = f.carp_mass(now, stoutness), None if grown is None else f.carp_mass(grown, stoutness)
    rows = tuple((f"{count:.0f}", now[i], each[i], *((None, None) if grown is None else (grown[i], later[i])))
                 for i, count in enumerate(counts.m))
    heads = ("Fish", "Length", "Mass of one", "Grown length", "Grown mass of one")
    return Grid("The groups of fish, typical masses", heads, ("", "cm", "g", "cm", "g"), rows)


# ------------------------------------------------------------------------------------------------------------- water and feed


def _water_temperature(pond: Pond) -> Quantity:
    if (typed := pond.place.water_temperature) is not None:
        return months([t.m_as(unit("degC")) for t in typed], "degC")
    air = known(pond).air_temperature
    return heat.pond_temperature(air, coefficients()["water_above_air"].typical, coefficients()["winter_floor"].typical)


def _feeds(pond: Pond, water: Quantity, biomass: Number) -> dict[str, Quantity]:
    """Feed of each month, typical and at both ends of what is not known; a feed that the pond file tells is kept as it is."""
    stop, generosity = n.stop_feeding(pond), coefficients()["generosity"]
    with tracing():
        if pond.fish.feed is not None:
            return dict.fromkeys(("feed", "feed_low", "feed_high"), f.feed_scaled(pond.fish.feed, water, water.max(), stop))
        mass, times = (np.array([[getattr(band, end).m] for end in ("typical", "low", "high")]) for band in (biomass, generosity))
        typical, low, high = f.feed_by_temperature(Q(mass, "kg"), water, stop, times)
    return {"feed": typical, "feed_low": low, "feed_high": high}


def _feed_peak(pond: Pond, water: Quantity, biomass: Number) -> Number:
    label = "Feed on a day in the warmest month"
    if pond.fish.feed is not None:
        return given("feed_peak", label, "g/d", pond.fish.feed, "as the pond file says")

    def feed(mass, generosity):
        return f.feed_by_temperature(mass, water.max(), n.stop_feeding(pond), generosity)

    mass = End(n.as_coefficient(biomass, "mass"), "high")
    return number("feed_peak", label, "g/d", feed, stacked=True, mass=mass, generosity=n.cautious("generosity", "high"))


def _breath(pond: Pond, night: n.Night, water: Quantity) -> Quantity:
    """Oxygen that the fish use in each month, typical coefficients, shape (12,)."""
    c = coefficients()
    with tracing():
        masses = f.carp_mass(night.lengths[:, None], c[n.stoutness_of(pond)].typical)
        rate = f.respiration_rate(masses, water)
        return f.fish_oxygen(night.counts, Q(np.broadcast_to(masses.m, rate.shape), "g"), rate, c["activity"].typical).to("gram/day")


def _series(pond: Pond, water: Quantity, feeds: Mapping[str, Quantity], night: n.Night, tried: dict) -> dict[str, Quantity]:
    """By month: water, feed with its ends, saturation, oxygen the fish use; by hour, shape (25,): the oxygen of the warmest night."""
    curves = night.curves(tried, HOURS)
    return {
        "water_temperature": water, **feeds, "oxygen_saturation": o.oxygen_saturation(water, 0.0, night.pressure),
        "oxygen_use": _breath(pond, night, water), "night_hours": HOURS,
        "night_oxygen_typical": curves[:, 0], "night_oxygen_low": curves[:, 1], "night_oxygen_high": curves[:, 2],
    }


def _facts(pond: Pond, water: Quantity) -> dict[str, str]:
    coldest = n.stop_feeding(pond).m_as(water.units)
    without = [m for m, t in zip(MONTHS, water.m.tolist(), strict=True) if t < coldest]
    origin = "the pond file" if pond.place.water_temperature else f"the air at {known(pond).where}"
    return {"species": pond.fish.species, "months_without_feed": ", ".join(without) or "none", "temperature_from": origin}


def _year(water: Quantity, feed: Quantity) -> Grid:
    rows = tuple((m, water[i], feed[i]) for i, m in enumerate(MONTHS))
    return Grid("Water and feed by month, typical", ("Month", "Water", "Feed a day"), ("", "degC", "g/d"), rows)


# -------------------------------------------------------------------------------------------------------------- the warm night


def _night_numbers(night: n.Night, grown: n.Night | None, tried: dict) -> list[Number]:
    """Compute the numbers of the night; `tried` keeps its parts for the picture, with the typical, cautious and favourable try first."""
    common = {"decides": True, "stacked": True}
    warm = {name: night.ends[name] for name in ("warm_spell", "water_above_air") if name in night.ends}

    def hours(**c):
        tried.update(night.parts(**c))
        return night.hours(tried)[0]

    def saturation(**c):
        return o.oxygen_saturation(night.temperature(**c), 0.0, night.pressure)[0]

    until = f"Time until only {show(n.LIMIT, 'mg/L')} of oxygen is left, pump off"
    found = [
        number("warmest_night", "Water on the warmest nights", "degC", lambda **c: night.temperature(**c)[0], **common, **warm),
        number("night_saturation", "Oxygen that such water can hold", "mg/L", saturation, **common, **warm),
        _up_to_a_week(number("hours_to_4", until, "h", hours, widen=False, likely=True, **common, **night.ends)),
    ]
    if grown is not None:
        label, alike = "The same with the fish grown", tried if grown.ends.keys() == night.ends.keys() else None
        later = number("hours_to_4_grown", label, "h", lambda **c: grown.hours(grown.parts(alike, **c))[0], widen=False,
                       **common, **grown.ends)
        found.append(n.carry(_up_to_a_week(later), found[-1]))
    return found


def _up_to_a_week(hours: Number) -> Number:
    """Say what the longest time stands for, where it stands."""
    never = f"{show(n.LONGEST, 'h')} stands for a week or more: the surface lets in as much as is used"
    return replace(hours, note=never) if hours.high >= n.LONGEST else hours


def _budget(night: n.Night, tried: dict) -> Grid:
    parts = night.budget(tried)
    rows = tuple((words, parts[key][1], parts[key][0]) for key, words in _WHO.items())
    title = f"Who gives and takes oxygen on such a night, with {show(n.LIMIT, 'mg/L')} in the water"
    return Grid(title, ("", "Cautious", "Typical"), ("", "g/h", "g/h"), rows)


# ------------------------------------------------------------------------------------------------------- what goes with the numbers

_CAUTIONS = (
    "Oxygen is lowest just before sunrise. Fish that hang at the surface and gulp need air at once: start an air pump or let water fall "
    "back into the pond, stop feeding, and find out why; do not chase or net them.",
    "Under ice, keep a small patch open with an air stone near the surface, or with a pan of hot water held on the ice from the edge. "
    "Never hammer on ice: the shock hurts fish. Nobody steps on the ice.",
    "Measure fish from a photograph with a ruler in it. If one must be handled: wet hands, over the water, seconds only; wash your "
    "hands after, and keep cuts out of the pond.",
)


def span(c: Coefficient, unit_text: str) -> str:
    """Write a coefficient for people: "8 °C (5 °C to 10 °C)"."""
    return f"{show(c.typical, unit_text)} ({show(c.low, unit_text)} to {show(c.high, unit_text)})"


def _mass_assumptions(pond: Pond) -> list[Assumption]:
    c = coefficients()
    stout = c[n.stoutness_of(pond)]
    found = [Assumption(
        f"A fish weighs {span(stout, '-')} times what the published carp of its length does. That relation was made from carp of "
        f"{show(Q(20, 'cm'), 'cm')} and more; for smaller fish it is carried on.", stout.sources, stout.unverified)]
    if pond.fish.species == "other":
        found.append(Assumption(
            "The species is 'other': nothing is known of it here, so its mass may lie anywhere from that of a slender fish to that of a "
            "stout goldfish. It is taken to breathe and eat like a carp. Trout, sturgeon and other fish of cold streams need more oxygen "
            "and cooler water than that.", ("Practice",)))
    usual = n.usual_adult(pond)
    if usual and any(g.adult_length is None for g in pond.fish.groups):
        text = f"A grown fish is {span(c[usual], 'cm')} long where the pond file gives no adult_length."
        found.append(Assumption(text, c[usual].sources))
    return found


def _assumptions(pond: Pond, hours: Number) -> tuple[Assumption, ...]:
    c, found = coefficients(), _mass_assumptions(pond)
    found += pressure_assumption(pond)
    if not pond.place.water_temperature:
        found.append(Assumption(
            f"Month by month the pond is {span(c['water_above_air'], 'delta_degC')} warmer than the air at {known(pond).where}, but "
            f"never below {show(c['winter_floor'].typical, 'degC')}. A thermometer in your pond is better: write place.water_temperature.",
            ("MacanMaudsley1966", "Practice", "Judgement")))
    found.append(Assumption(
        f"The warmest nights are {span(c['warm_spell'], 'delta_degC')} warmer than the mean of the warmest month, or as warm as the "
        "hottest reading in the pond file.", ("Judgement",)))
    if pond.fish.feed is None:
        found.append(Assumption(
            f"Fish are fed {span(c['generosity'], '-')} times what just keeps their mass; that was tried on young carp, so large fish "
            "need less.", c["generosity"].sources))
    if pond.fish.stop_feeding_below is None:
        found.append(Assumption(f"No feed in water below {span(c['stop_feeding'], 'degC')}.", c["stop_feeding"].sources))
    if pond.fish.diet_protein is None:
        found.append(Assumption(f"The feed is {span(c['protein'], '%')} protein; it stands on the bag.", c["protein"].sources, True))
    words = "; ".join(f"{c[k].label} {span(c[k], c[k].unit)}" for k in _NIGHT)
    sources = tuple(dict.fromkeys(s for k in _NIGHT for s in c[k].sources))
    found.append(Assumption(f"For the night: {words}.", sources))
    found.append(Assumption(
        "The cautious time is that of a night with all of these bad at once and the fish at their stoutest: few ponds will ever see one, "
        "but nobody can say that yours will not, so it decides. If one bad thing does not bring the others with it, a bad night still "
        f"leaves about {n.lasts(hours.likely[0])} (root of the sum of the squares of what each does alone).", ("GUM", "Judgement")))
    found.append(Assumption(
        "Fish breathe as young crucian carp do, the wild kin of the goldfish; for larger fish and other species that is carried on.",
        ("Yamanaka2013", "Waversveld1989")))
    found.append(Assumption(
        f"Fish are in trouble below {show(n.LIMIT, 'mg/L')}: about half of what warm water holds.", ("BoydHanson2010",)))
    return tuple(found)


# ------------------------------------------------------------------------------------------------------------------ findings


def find(pond: Pond, stages: Mapping[str, Stage]) -> list[Finding]:
    """Say what the fish ask for."""
    stage = stages[KEY]
    if "hours_to_4" not in stage:
        return []
    return [*_find_oxygen(pond, stage, n.supply(stages)), *_find_feed(pond, stage)]


def _find_oxygen(pond: Pond, stage: Stage, supply: Stage | None) -> list[Finding]:
    hours, stops, level = stage["hours_to_4"], n.stops(pond, supply), show(n.LIMIT, "mg/L")
    fall = (f"On the warmest nights (water {show(stage['warmest_night'].value, 'degC', digits=2)}) the oxygen can fall to {level} in "
            f"{n.lasts(hours.value)} without the pump, if all is bad at once; typical {n.lasts(hours.typical)}")
    if stops is None or stops.expected is None:
        return [_find_unknown_stop(pond, fall, hours, n.DARK if stops is None else stops.of(n.warmest_month(stage)))]
    stop, why = stops.of(n.warmest_month(stage)), n.why_it_stops(stops, n.warmest_month(stage))
    if hours.value < stop:
        return [Finding("fish.hours_to_4", Urgency.DANGER, f"{fall}. {why}.",
                        f"Make the stop shorter: {n.shorten(pond, stops, n.warmest_month(stage))}. Keep an air pump with its own battery "
                        "at hand, take out muck and dead leaves, do not feed on hot days, or keep fewer fish.", ("fish.hours_to_4",))]
    doubt = " How long the sun runs the pump is not planned yet: a longer stop may come." if supply and n.sun_unknown(pond, supply) else ""
    found = [Finding("fish.oxygen_lasts", Urgency.NOTE, f"{fall}. {why}; the oxygen lasts longer.{doubt}",
                     "Check it once with an oxygen meter before sunrise in a warm week.", ("fish.hours_to_4",))]
    grown = stage.numbers.get("hours_to_4_grown")
    if grown is not None and grown.value < stop:
        found.append(Finding(
            "fish.hours_to_4_grown", Urgency.IMPROVE,
            f"When the fish are grown it takes only {n.lasts(grown.value)} to fall to {level} (typical {n.lasts(grown.typical)}). {why}.",
            "Plan for the grown fish: shorten the stop, or find other homes for some of them in time; never release any.",
            ("fish.hours_to_4_grown",)))
    return found


def _find_unknown_stop(pond: Pond, fall: str, hours: Number, night: Quantity) -> Finding:
    """Hold the hours against a night, or against what the sun leaves of a day, where nobody has said how long the pump may stop."""
    short = Urgency.DANGER if hours.typical < night else Urgency.FIX
    if pond.pump is None:
        return Finding("fish.no_pump", short if hours.value < night else Urgency.NOTE,
                       f"{fall}; no pump is planned, and the night lasts {show(night, 'h')}.",
                       "Keep an air pump with its own battery at hand for hot, still nights.", ("fish.hours_to_4",))
    return Finding("fish.stop_unknown", short if hours.value < night else Urgency.IMPROVE,
                   f"{fall}; pump.longest_stop is not in the pond file, so a stop of {show(night, 'h')} is counted.",
                   "Write how long the pump may stand still before someone notices: a night, a weekend.", ("fish.hours_to_4",))


def _find_feed(pond: Pond, stage: Stage) -> list[Finding]:
    found, c, stop, feed = [], coefficients(), pond.fish.stop_feeding_below, pond.fish.feed
    if stop is not None and stop < c["stop_feeding"].low:
        best = show(c["stop_feeding"].typical, "degC")
        found.append(Finding(
            "fish.stop_feeding", Urgency.IMPROVE,
            f"Feeding down to {show(stop, 'degC')} is colder than any source allows: carp practically stop eating at {best}.",
            f"Set fish.stop_feeding_below to {best} or more: feed that is not eaten or digested rots."))
    if feed is None:
        return found
    warmest, mass = stage.series["water_temperature"].max(), stage["biomass"]
    with tracing():
        least, most = (f.feed_by_temperature(getattr(mass, end), warmest, n.stop_feeding(pond), c["generosity"].at(end))
                       for end in ("low", "high"))
    given_now = f"The feed of {show(feed, 'g/d')}"
    if feed > most:
        found.append(Finding(
            "fish.feed_high", Urgency.IMPROVE,
            f"{given_now} is more than these fish can use at {show(warmest, 'degC')}: at most {show(most, 'g/d', digits=2)}.",
            "Give what is eaten in a few minutes and weigh it for a week; the rest only feeds the muck.", ("fish.feed_peak",)))
    elif feed < least:
        found.append(Finding(
            "fish.feed_low", Urgency.IMPROVE,
            f"{given_now} is less than what keeps these fish at {show(warmest, 'degC')}: about {show(least, 'g/d', digits=2)}.",
            "Check the amount and the lengths; in a planted pond fish also find food of their own.", ("fish.feed_peak",)))
    return found
