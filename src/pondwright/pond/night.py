"""The warmest night with the pump off: what the water holds, what comes in through the surface, what breathes it away.

Shared by the stages fish (how long does it last?) and stocking (how many fish may there be?). A night is computed for some months at once,
and every method takes the coefficients on which sources disagree as arrays of shape (n,), so that all their ends are tried in one call:
what comes back has the shape (months, n).
"""
from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from ..science import fish, geometry, heat, oxygen
from ..tables import Coefficient, coefficients
from ..units import Q, Quantity, in_unit, quantity, show, tracing, unit
from .climate import MONTH_NAMES, known, pressure
from .model import Pond
from .moments import moment
from .results import End, Number, Stage

LIMIT = Q(4.0, "mg/L")  # half of saturation in warm water: below it fish eat and grow less, soon they suffer (BoydHanson2010)
LONGEST = Q(168.0, "h")  # a level that lasts a week lasts as long as the weather does
DARK = Q(14.0, "h")  # from the fading light of a summer evening until plants and algae make oxygen again; a judgement, no source
MONTH = Q(744.0, "h")  # the stop of a month in which the sun does not run the pump at all
KEEP_WARM = "indoors or in an insulated box with a small heater (one more load)"
_AN_HOUR = 1.0  # h; a judgement: what shortens a stop by less does not bind
_HARDLY = 0.05  # h/d: less than that is no run of a pump
_ICE_UP_TO = 4.0  # degC: warmer water has no lid of ice


# ------------------------------------------------------------------------------------------------------- how long the pump stops


@dataclass(frozen=True)
class Stops:
    """How long the pump may stand still at one stretch in each month, in hours; arrays of shape (12,)."""

    cautious: np.ndarray
    typical: np.ndarray
    expected: Quantity | None  # in any month: the longest stop in the pond file, or the daily rest
    warm: np.ndarray | None = None  # as `cautious`, if the battery were kept above freezing; None where it never freezes

    def of(self, month: int) -> Quantity:
        return Q(float(self.cautious[month]), "h")

    @property
    def by_sun(self) -> np.ndarray:
        """Tell for each month whether it is the sun that makes the stop."""
        return self.cautious > (0.0 if self.expected is None else in_unit(self.expected, unit("h")))

    @property
    def by_frost(self) -> np.ndarray:
        """Tell for each month whether it is a battery too cold to be charged that makes the stop: kept warm it would be shorter."""
        return np.zeros(12, bool) if self.warm is None else self.by_sun & (self.cautious - self.warm >= _AN_HOUR)


def supply(stages: Mapping[str, Stage]) -> Stage | None:
    """Return the stage that tells how long the pump runs in each month: hour by hour where the year could be run, else by mean days."""
    season = stages.get("season")
    return season if season is not None and "pump_hours" in season.series else stages.get("power")


def stops(pond: Pond, supply: Stage | None) -> Stops | None:
    """Return the stops to expect in each month: the longest in the pond file, or the one that the sun makes where that is longer.

    The stage season knows the longest gap of each month; the stage power only for how many hours a mean day carries the pump,
    and then it stands still for the rest of the day, at one stretch. None where no stop is known.
    """
    if pond.pump is None:
        return None
    expected, series = longest_stop(pond), {} if supply is None else supply.series
    still = {end: series[f"gap{end}"].m if f"gap{end}" in series else _still(series[f"pump_hours{end}"])
             for end in ("", "_typical") if f"pump_hours{end}" in series}
    if expected is None and not any(hours.max() > 0 for hours in still.values()):
        return None
    least = (DARK if expected is None else expected).m_as(unit("h"))
    warm = np.maximum(least, series["gap_warm"].m) if "gap_warm" in series else None
    return Stops(*(np.maximum(least, still.get(end, np.zeros(12))) for end in ("", "_typical")), expected, warm)


def _still(runs: Quantity) -> np.ndarray:
    """Return the hours of a day that the pump stands still; a month in which it hardly runs is one long stop."""
    hours = runs.m_as(unit("h/d"))
    return np.where(hours < _HARDLY, MONTH.m, np.where(hours > 24 - _HARDLY, 0.0, 24 - hours))


def why_it_stops(stops: Stops, month: int) -> str:
    """Say in words how long the pump may stand still in a month, and why; a sentence without its full stop."""
    stop = stops.of(month)
    if not stops.by_sun[month]:
        return f"The longest stop you expect is {show(stop, 'h', digits=2)}"
    cause = "a battery too cold to be charged" if stops.by_frost[month] else "the sun"
    if stop >= MONTH:
        return f"In {MONTH_NAMES[month]} {cause} may not run the pump at all"
    return f"In {MONTH_NAMES[month]} {cause} may leave the pump standing for {show(stop, 'h', digits=2)} at one stretch"


def shorten(pond: Pond, stops: Stops, month: int) -> str:
    """Say what would make the stop of a month shorter, first what binds it; without a full stop."""
    if stops.by_frost[month]:
        kept = show(Q(float(stops.warm[month]), "h"), "h", digits=2)
        return (f"keep the battery above freezing, {KEEP_WARM}: that alone leaves a stop of {kept}. Or take a lead-acid battery, which can "
                "be charged in frost. While a battery cannot be charged, neither a timer nor a larger panel helps")
    if stops.by_sun[month]:
        return "a timer that gives the pump short runs by day and night, so that the battery lasts, or more panel or battery"
    if pond.pump.longest_stop is not None and stops.expected <= pond.pump.longest_stop:  # nobody's timer, but a fault that nobody sees
        return "an alarm that tells of a pump that stands still, and a spare one at hand"
    return "a timer that spreads the pump's hours over day and night, or more hours"


def warmest_month(fish_stage: Stage) -> int:
    """Return the warmest month of the stage fish, 0 for January."""
    return int(fish_stage.series["water_temperature"].m.argmax())


def sun_unknown(pond: Pond, supply: Stage | None) -> bool:
    """Tell whether the pump hangs on a supply that does not say how long it runs in each month."""
    return pond.pump is not None and pond.power is not None and (supply is None or "pump_hours" not in supply.series)


def longest_stop(pond: Pond) -> Quantity | None:
    """Return the longest stop of any month: the one in the pond file, or the pump's daily rest where that is longer."""
    if pond.pump is None:
        return None
    rest, typed = Q(24.0 - float(pond.pump.hours_per_day.m_as(unit("h/d"))), "h"), pond.pump.longest_stop
    if rest.m <= 0:
        return typed
    return rest if typed is None else max(rest, typed)


def lasts(hours: Quantity) -> str:
    """Write hours for people; the longest that is computed is called a week or more."""
    return "a week or more" if hours >= LONGEST else show(hours, "h", digits=2)


def cautious(name: str, end: str) -> End:
    """Take a coefficient of the tables with its cautious end."""
    return End(coefficients()[name], end)


def as_coefficient(number: Number, name: str) -> Coefficient:
    """Use the band of a number that was computed before as a coefficient; what moved it most speaks for it."""
    return Coefficient(name, number.mover or number.label, number.low, number.typical, number.high, number.unit, number.sources, False, "")


def carry(found: Number, *before: Number) -> Number:
    """Carry the sources and marks of the numbers that went into this one."""
    def joined(field):
        return tuple(dict.fromkeys([*getattr(found, field), *(x for b in before for x in getattr(b, field))]))

    return replace(found, **{field: joined(field) for field in ("formulas", "sources", "unverified", "extrapolated")})


def as_band(typed: Quantity | None, name: str, label: str) -> Coefficient:
    """Use a value of the pond file as a coefficient without spread, or the table's coefficient where the file has none."""
    return coefficients()[name] if typed is None else Coefficient(name, label, typed, typed, typed, str(typed.units), (), False, "")


def stoutness_of(pond: Pond) -> str:
    """Name the coefficient of body shape for the pond's species."""
    return {"goldfish": "stoutness_goldfish", "other": "stoutness_other"}.get(pond.fish.species, "stoutness_carp")


def usual_adult(pond: Pond) -> str | None:
    """Name the coefficient of the species' grown length; None for a species that is not known here."""
    return {"koi": "adult_length_carp", "common carp": "adult_length_carp", "goldfish": "adult_length_goldfish"}.get(pond.fish.species)


def grown_lengths(pond: Pond) -> Quantity | None:
    """Return the length of each group when grown: as the file says, else the species' usual one; None where neither is known."""
    usual, lengths = usual_adult(pond), []
    for group in pond.fish.groups:
        if group.adult_length is None and usual is None:
            return None
        adult = coefficients()[usual].typical if group.adult_length is None else group.adult_length
        lengths.append(max(adult.m_as(unit("cm")), group.length.m_as(unit("cm"))))  # nobody shrinks
    return Q(np.array(lengths), "cm")


def lengths_now(pond: Pond) -> Quantity:
    return Q(np.array([g.length.m_as(unit("cm")) for g in pond.fish.groups]), "cm")


# --------------------------------------------------------------------------------------------------------------- the warm night


@dataclass(frozen=True)
class Night:
    """All that the warmest nights of some months depend on and that is not in doubt; `ends` are the coefficients that are.

    `monthly`, `hottest` and `open_water` have the shape (months, 1).
    """

    counts: Quantity
    lengths: Quantity
    surface: Quantity
    pressure: Quantity
    monthly: Quantity  # mean of the month: of the air if `from_air`, else of the water
    from_air: bool
    hottest: Quantity  # hottest reading of the month in the file, or -2 degC
    open_water: np.ndarray  # 1, or 0 under ice, which lets no oxygen in (Bengtsson2020)
    stop_feeding: Quantity
    typed_feed: Quantity | None
    typed_protein: Quantity | None
    ends: Mapping[str, End]

    def in_months(self, chosen: list[int]) -> Night:
        """Keep some of the months, by their place."""
        return replace(self, monthly=self.monthly[chosen], hottest=self.hottest[chosen], open_water=self.open_water[chosen])

    @property
    def warmest(self) -> int:
        return int(self.monthly.magnitude.argmax())

    # ---- what goes on

    def temperature(self, warm_spell, water_above_air=None, **_):
        """Water of the warmest night: the month and a warm spell, or the hottest reading if that is more."""
        water = heat.pond_temperature(self.monthly, water_above_air, Q(0, "degC")) if self.from_air else self.monthly
        spell = in_unit(water, unit("degC")) + in_unit(warm_spell, unit("delta_degC"))
        return Q(np.maximum(spell, in_unit(self.hottest, unit("degC"))), "degC")

    def feed(self, temperature, biomass, generosity=None, **_):
        """Feed of the day before: as the file says for a summer day, else by temperature; none in cold water."""
        if self.typed_feed is not None:
            return Q(np.where(temperature >= self.stop_feeding, self.typed_feed.m_as(unit("g/d")), 0.0), "g/d")
        return fish.feed_by_temperature(biomass, temperature, self.stop_feeding, generosity)

    def parts(self, alike: dict | None = None, **c) -> dict:
        """Work out what gives and what takes.

        `water` holds start, saturation, transfer and depth; `fish`, `nitrification` are rates of all fish; `muck` is for each square metre.
        `alike` are the parts of other fish in the same water and for the same coefficients, whose water need not be worked out again.
        """
        from ..science import nitrogen

        t, water, muck = (alike[key] for key in ("temperature", "water", "muck")) if alike else self._water(c)
        masses = fish.carp_mass(self.lengths[:, None, None], c["stoutness"])
        biomass = fish.total_mass(self.counts, masses)
        breath = fish.fish_oxygen(self.counts, masses, fish.respiration_rate(masses, t), c["activity"])
        protein = c["protein"] if self.typed_protein is None else self.typed_protein
        ammonia = nitrogen.tan_from_feed(self.feed(t, biomass, **c), protein)
        turned = quantity(ammonia.m * in_unit(c["pond_nitrification"], unit("-")), ammonia.units)
        nitrification = nitrogen.nitrification_oxygen(turned)
        return {"temperature": t, "water": water, "biomass": biomass, "fish": breath, "nitrification": nitrification, "muck": muck,
                "share": c["water_share"], "volume": c["volume"]}

    def _water(self, c: Mapping[str, Quantity]) -> tuple:
        t = self.temperature(**c)
        full, transfer = oxygen.oxygen_saturation(t, 0.0, self.pressure), oxygen.surface_transfer(c["night_wind"], t)
        water = {"start": quantity(full.m * in_unit(c["start_level"], unit("-")), full.units), "saturation": full,
                 "transfer": quantity(transfer.m * self.open_water, transfer.units),
                 "depth": geometry.mean_depth(c["volume"], self.surface)}
        return t, water, oxygen.muck_demand(c["muck_20"], t)

    # ---- the questions

    def use(self, p: dict) -> Quantity:
        """All that draws the oxygen down, mg/L an hour."""
        return oxygen.oxygen_use(p["fish"], p["nitrification"], p["muck"], self.surface, p["share"], p["volume"])

    def hours(self, p: dict, longest=LONGEST) -> Quantity:
        """Hours from the stop of the pump to the limit."""
        return oxygen.hours_to_level(**p["water"], limit=LIMIT, use=self.use(p), longest=longest)

    def most_fish(self, p: dict, time) -> Quantity:
        """Biomass of fish like these with which the level stands at the limit after a stop of that time."""
        allowed = oxygen.allowed_use(**p["water"], limit=LIMIT, time=time)
        hourly, of_each = unit("mg/h"), unit("mg/kg/h")
        per_fish = quantity((in_unit(p["fish"], hourly) + in_unit(p["nitrification"], hourly)) / in_unit(p["biomass"], unit("kg")), of_each)
        return fish.biomass_by_oxygen(allowed, p["volume"], p["muck"], self.surface, p["share"], per_fish)

    def curves(self, p: dict, hours) -> Quantity:
        """Oxygen over the hours of the first month, shape (hours, 3), for the first three of the tries: typical, cautious, favourable."""
        with tracing():
            first = {k: q[..., :3] for k, q in p["water"].items()}
            return oxygen.oxygen_after(**first, use=self.use(p)[..., :3], time=hours[:, None])

    def budget(self, p: dict) -> dict[str, Quantity]:
        """Who gives and who takes in the first month, in g/h with the level at the limit, shape (n,)."""
        area, hourly = in_unit(self.surface, unit("m2")), unit("g/h")
        surface = p["water"]["transfer"].m * area * (p["water"]["saturation"].m - LIMIT.m) / 24  # m/d x m2 x g/m3
        muck = p["muck"].m * area / 24
        found = {"surface": surface, "fish": in_unit(p["fish"], hourly), "nitrification": in_unit(p["nitrification"], hourly), "muck": muck,
                 "afloat": muck * in_unit(p["share"], unit("-"))}
        return {k: quantity(rates[0], hourly) for k, rates in found.items()}


def night_of(pond: Pond, survey: Stage, *, grown: bool = False) -> Night | None:
    """Describe the warmest night of the year; None where :func:`year_of` is."""
    year = year_of(pond, survey, grown=grown)
    return None if year is None else year.in_months([year.warmest])


def year_of(pond: Pond, survey: Stage, *, grown: bool = False) -> Night | None:
    """Describe the warmest nights of all months; None where the fish, the water's warmth or (for grown fish) their length is unknown."""
    lengths = None if pond.fish is None else grown_lengths(pond) if grown else lengths_now(pond)
    if lengths is None or not water_known(pond):
        return None
    typed_water, here = pond.place.water_temperature, known(pond)
    monthly = here.air_temperature if typed_water is None else Q(np.array([t.m_as(unit("degC")) for t in typed_water]), "degC")
    now = pond.fish.feed if not grown else None  # a feed typed for today's fish says nothing of grown ones
    ends = {"volume": End(as_coefficient(survey["volume"], "volume"), "low"), "stoutness": cautious(stoutness_of(pond), "high")}
    ends |= {n: cautious(n, "high") for n in ("activity", "muck_20", "water_share", "pond_nitrification", "warm_spell")}
    ends |= {n: cautious(n, "low") for n in ("night_wind", "start_level")}
    if typed_water is None:
        ends["water_above_air"] = cautious("water_above_air", "high")
    if now is None:
        ends["generosity"] = cautious("generosity", "high")
    if pond.fish.diet_protein is None:
        ends["protein"] = cautious("protein", "high")
    lid = (here is None or here.air_temperature.m < 0) & (typed_water is None or monthly.m <= _ICE_UP_TO)
    return Night(
        Q(np.array([float(g.count) for g in pond.fish.groups]), "fish"), lengths, survey["surface_area"].typical, pressure(pond),
        monthly[:, None], typed_water is None, Q(_hottest(pond, int(monthly.magnitude.argmax()))[:, None], "degC"),
        np.where(np.broadcast_to(lid, 12), 0.0, 1.0)[:, None], stop_feeding(pond), now, pond.fish.diet_protein, ends,
    )


def in_use(so_far: Mapping[str, Stage]) -> np.ndarray:
    """Tell the months in which the filter works: those with feeding where the fish stage knows them, else all."""
    feed = so_far["fish"].series.get("feed") if "fish" in so_far else None
    fed = np.ones(12, bool) if feed is None else np.asarray(feed.m) > 0
    return fed if fed.any() else np.ones(12, bool)


def water_known(pond: Pond) -> bool:
    """Tell whether the water's temperature is known month by month: typed, or from the air of a place near enough."""
    return pond.place is not None and (pond.place.water_temperature is not None or known(pond) is not None)


def _hottest(pond: Pond, warmest: int) -> np.ndarray:
    """Return the hottest reading of each month, or -2 degC; the hottest of all may come again in the warmest month."""
    found = np.full(12, -2.0)
    for reading in pond.readings:
        if reading.temperature is not None:
            celsius = in_unit(reading.temperature, unit("degC"))
            for month in {warmest, moment(reading.when)[0].month - 1}:
                found[month] = max(found[month], celsius)
    return found


def stop_feeding(pond: Pond) -> Quantity:
    """Return the temperature at which this pond's fish are no longer fed."""
    typed = pond.fish.stop_feeding_below
    return coefficients()["stop_feeding"].typical if typed is None else typed
