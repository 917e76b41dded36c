"""The warmest night with the pump off: what the water holds, what comes in through the surface, what breathes it away.

Shared by the stages fish (how long does it last?) and stocking (how many fish may there be?). Every method takes the coefficients on which
sources disagree as arrays of shape (n,), so that all their ends are tried in one call.
"""
from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from ..science import fish, geometry, heat, oxygen
from ..tables import Coefficient, coefficients
from ..units import Q, Quantity, show, tracing, unit
from .climate import Climate, climate, nearest
from .model import Pond
from .results import End, Number, Stage

LIMIT = Q(4.0, "mg/L")  # half of saturation in warm water: below it fish eat and grow less, soon they suffer (BoydHanson2010)
LONGEST = Q(168.0, "h")  # a level that lasts a week lasts as long as the weather does
DARK = Q(14.0, "h")  # from the fading light of a summer evening until plants and algae make oxygen again; a judgement, no source


def climate_of(pond: Pond) -> Climate | None:
    """Return the climate of the pond's place, or None where the file names no place."""
    if pond.place is None:
        return None
    return climate(pond.place.climate) if pond.place.climate else nearest(pond.place.latitude, pond.place.longitude)


def longest_stop(pond: Pond) -> Quantity | None:
    """Return the longest stop to expect of the pump: the one in the pond file, or its daily rest where that is longer."""
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
    return "stoutness_carp" if pond.fish.species in ("koi", "common carp") else "stoutness_goldfish"


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


@dataclass(frozen=True)
class Night:
    """All that the warmest night depends on and that is not in doubt; `ends` are the coefficients that are."""

    counts: Quantity
    lengths: Quantity
    surface: Quantity
    pressure: Quantity
    monthly: Quantity  # mean of the warmest month: of the air if `from_air`, else of the water
    from_air: bool
    hottest: Quantity  # hottest reading in the file, or -2 degC
    stop_feeding: Quantity
    typed_feed: Quantity | None
    typed_protein: Quantity | None
    ends: Mapping[str, End]

    # ---- what goes on

    def temperature(self, warm_spell, water_above_air=None, **_):
        """Water of the warmest night: the warmest month and a warm spell, or the hottest reading if that is more."""
        water = heat.pond_temperature(self.monthly, water_above_air, Q(0, "degC")) if self.from_air else self.monthly
        spell = water.m_as(unit("degC")) + warm_spell.m_as(unit("delta_degC"))
        return Q(np.maximum(spell, self.hottest.m_as(unit("degC"))), "degC")

    def feed(self, temperature, biomass, generosity=None, **_):
        """Feed of the day before: as the file says, else by temperature."""
        if self.typed_feed is not None:
            return self.typed_feed
        return fish.feed_by_temperature(biomass, temperature, self.stop_feeding, generosity)

    def parts(self, **c) -> dict:
        """Work out what gives and what takes; every value of the shape (n,) of the coefficients.

        `water` holds start, saturation, transfer and depth; `fish`, `nitrification` are rates of all fish; `muck` is for each square metre.
        """
        from ..science import nitrogen

        t = self.temperature(**c)
        full = oxygen.oxygen_saturation(t, 0.0, self.pressure)
        water = {"start": full * c["start_level"].m_as(unit("-")), "saturation": full,
                 "transfer": oxygen.surface_transfer(c["night_wind"], t), "depth": geometry.mean_depth(c["volume"], self.surface)}
        masses = fish.carp_mass(self.lengths[:, None], c["stoutness"])
        biomass = fish.total_mass(self.counts, masses)
        breath = fish.fish_oxygen(self.counts, masses, fish.respiration_rate(masses, t), c["activity"])
        protein = c["protein"] if self.typed_protein is None else self.typed_protein
        ammonia = nitrogen.tan_from_feed(self.feed(t, biomass, **c), protein)
        nitrification = nitrogen.nitrification_oxygen(ammonia * c["pond_nitrification"])
        return {"water": water, "biomass": biomass, "fish": breath, "nitrification": nitrification,
                "muck": oxygen.muck_demand(c["muck_20"], t), "share": c["water_share"], "volume": c["volume"]}

    # ---- the questions

    def use(self, p: dict) -> Quantity:
        """All that draws the oxygen down, mg/L an hour."""
        return oxygen.oxygen_use(p["fish"], p["nitrification"], p["muck"], self.surface, p["share"], p["volume"])

    def hours(self, p: dict) -> Quantity:
        """Hours from the stop of the pump to the limit."""
        return oxygen.hours_to_level(**p["water"], limit=LIMIT, use=self.use(p), longest=LONGEST)

    def most_fish(self, p: dict, time) -> Quantity:
        """Biomass of fish like these with which the level stands at the limit after a stop of that time."""
        allowed = oxygen.allowed_use(**p["water"], limit=LIMIT, time=time)
        per_fish = (p["fish"] + p["nitrification"]) / p["biomass"]
        return fish.biomass_by_oxygen(allowed, p["volume"], p["muck"], self.surface, p["share"], per_fish)

    def curves(self, p: dict, hours) -> Quantity:
        """Oxygen over the hours, shape (hours, 3), for the first three of the tries: typical, cautious, favourable."""
        with tracing():
            first = {k: q[:3] for k, q in p["water"].items()}
            return oxygen.oxygen_after(**first, use=self.use(p)[:3], time=hours[:, None])

    def budget(self, p: dict) -> dict[str, Quantity]:
        """Who gives and who takes, in g/h with the level at the limit, shape (n,)."""
        surface = p["water"]["transfer"] * self.surface * (p["water"]["saturation"] - LIMIT)
        muck = p["muck"] * self.surface
        found = {"surface": surface, "fish": p["fish"], "nitrification": p["nitrification"], "muck": muck, "afloat": muck * p["share"]}
        return {k: q.to("gram/hour") for k, q in found.items()}


def night_of(pond: Pond, survey: Stage, *, grown: bool = False) -> Night | None:
    """Describe the warmest night of a pond; None where fish, place or (for grown fish) their length are not known."""
    lengths = None if pond.fish is None else grown_lengths(pond) if grown else lengths_now(pond)
    if pond.fish is None or pond.place is None or lengths is None:
        return None
    typed_water, here = pond.place.water_temperature, climate_of(pond)
    monthly = here.air_temperature if typed_water is None else Q(np.array([t.m_as(unit("degC")) for t in typed_water]), "degC")
    readings = [r.temperature.m_as(unit("degC")) for r in pond.readings if r.temperature is not None]
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
    return Night(
        Q(np.array([float(g.count) for g in pond.fish.groups]), "fish"), lengths, survey["surface_area"].typical,
        oxygen.air_pressure(pond.place.elevation if pond.place.elevation is not None else here.elevation),
        Q(float(monthly.magnitude.max()), "degC"), typed_water is None, Q(max([-2.0, *readings]), "degC"), stop_feeding(pond), now,
        pond.fish.diet_protein, ends,
    )


def stop_feeding(pond: Pond) -> Quantity:
    """Return the temperature at which this pond's fish are no longer fed."""
    typed = pond.fish.stop_feeding_below
    return coefficients()["stop_feeding"].typical if typed is None else typed
