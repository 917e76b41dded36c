"""How many fish: what oxygen, filter and feed allow, what koi and the winter ask for, how far each is, and which binds."""
from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from ...science import fish as f
from ...science import heat
from ...tables import Coefficient, coefficients, load
from ...units import Q, Quantity, show, unit
from .. import night as n
from ..climate import DAYS, MONTH_NAMES, known
from ..dark_months import DarkMonths, dark_months, hours_in, stop_of
from ..model import Pond
from ..results import Assumption, End, Grid, Number, Stage, by_key, given, number
from .fish import span
from .stocking_findings import KEY, LIMITS, UNKNOWN, find, not_known

TITLE = "How many fish"
__all__ = ["KEY", "LIMITS", "TITLE", "find", "plan"]
_NONE = Q(0.0, "kg")
_ENDS = ("value", "low", "typical", "high")
_CHANGES = "weekly water changes are counted where they carry more"


@dataclass(frozen=True)
class _Fish:
    """What the stage fish found.

    Masses are compared at one and the same end: what a limit allows at the cautious end with the fish at their stoutest, the typical limit
    with typical fish. So a limit that comes as a number of fish, or as feed for these fish, is turned into kilograms with the same mass.
    """

    now: Number
    grown: Number | None
    feed: Number | None
    count: float
    feed_is_typed: bool

    @property
    def each(self) -> Coefficient:
        """Mass of one grown fish, or of one fish now where nobody knows how large they grow."""
        all_fish = n.as_coefficient(self.grown or self.now, "each")
        return replace(all_fish, **{end: all_fish.at(end) / self.count for end in ("low", "typical", "high")})

    def ration(self, mass: Quantity) -> Quantity:
        """Feed as a share of the mass, on a day of the warmest month."""
        return Q(self.feed.typical.m_as(unit("g/d")) / mass.m_as(unit("g")) * 100, "%/d")

    @property
    def ration_ends(self) -> dict[str, End]:
        """The mass to which the feed belongs: in doubt where the file tells the feed; else the feed was made from the typical mass."""
        mass = n.as_coefficient(self.now, "mass")
        return {"mass": End(mass if self.feed_is_typed else replace(mass, low=mass.typical, high=mass.typical), "high")}

    @property
    def is_fed(self) -> bool:
        return self.feed is not None and self.feed.typical.m > 0


def plan(pond: Pond, so_far: Mapping[str, Stage]) -> Stage:
    """Set the limits side by side; nothing is planned without fish."""
    before = so_far.get("fish", Stage("fish", ""))
    if "biomass" not in before:
        return Stage(KEY, TITLE, missing=before.missing if pond.fish else ("needs [fish] with species and [[fish.groups]]",))
    fish = _Fish(before["biomass"], before.numbers.get("grown_biomass"), before.numbers.get("feed_peak"), before["fish_count"].value.m,
                 pond.fish.feed is not None)
    survey, power, winter = so_far["survey"], n.supply(so_far), _winter_water(pond, so_far["survey"])
    stops, year = n.stops(pond, power), n.year_of(pond, survey, grown=fish.grown is not None)
    dark = None if year is None or stops is None else dark_months(year, stops)
    limits = {**_oxygen(year, stops, dark), **_ammonia(pond, so_far, fish), **_koi(pond, survey, fish), **_winter(winter)}
    densities = _densities(fish, survey)
    unknown = tuple(UNKNOWN[key] for key in not_known(pond, before, power, by_key(*limits.values())))
    numbers = [*limits.values(), *_answer(limits, fish, unknown), *_tightest(pond, so_far, dark, limits), *densities,
               *([] if winter is None else [winter])]
    facts = {"binds": LIMITS[_binding(limits)]} if limits else {}
    if dark is not None and dark.tightest:
        facts["dark_month"] = MONTH_NAMES[dark.months[dark.tightest]]
    return Stage(
        KEY, TITLE, by_key(*numbers), facts=facts,
        grids=(*_how_far(limits, fish), *_dark_grid(dark, fish), *_koi_grid(pond, survey, fish), _comparison(densities)),
        assumptions=_assumptions(pond, limits, stops, power, year, dark), cautions=_CAUTIONS, missing=_missing(pond, limits, fish, power),
    )


# --------------------------------------------------------------------------------------------------------------------- the limits


def _oxygen(year: n.Night | None, stops: n.Stops | None, dark: DarkMonths | None) -> dict[str, Number]:
    """Find the fish that the oxygen allows over the longest stop of each month; where none is known, over one night of the warmest."""
    if year is None:
        return {}
    months = (year.warmest,) if dark is None else dark.binding
    night, ends, level = year.in_months(list(months)), dict(year.ends), show(n.LIMIT, "mg/L")
    stop = np.full((1, 3), n.DARK.m) if stops is None else stop_of(stops, months)
    if (stop[:, 1] > stop[:, 0]).any():
        ends["dull"] = End(Coefficient("dull", "how dull the month is", *(Q(x, "-") for x in (0.0, 0.0, 1.0)), "-", (), False, ""), "high")
    note = f"so that {level} is left after {show(Q(stop[0, 1], 'h'), 'h')} without the pump"
    if stops is None or stops.expected is None:
        note = f"so that {level} is left after a night of {show(Q(stop[0, 1], 'h'), 'h')}, since no longest stop of a pump is known"
    if months[0] != year.warmest:
        note += f" in {MONTH_NAMES[months[0]]}"

    def most(dull=None, **c):
        time = stop[:, :1] if dull is None else stop[:, :1] + dull.m * (stop[:, 1:2] - stop[:, :1])
        return night.most_fish(night.parts(**c), Q(time, "h")).min(axis=0)

    return {"oxygen": number("limit_oxygen", "Fish that the oxygen allows", "kg", most, decides=True, stacked=True, widen=False, note=note,
                             **ends)}


def _tightest(pond: Pond, so_far: Mapping[str, Stage], dark: DarkMonths | None, limits: Mapping[str, Number]) -> list[Number]:
    """Give the stop and the hours of the month in which the oxygen lasts least against the stop, if it is not the warmest."""
    if dark is None or dark.tightest == 0:
        return []
    place, grown = dark.tightest, n.grown_lengths(pond) is not None
    month, until = dark.months[place], f"Time until only {show(n.LIMIT, 'mg/L')} of oxygen is left then"
    stop, hours = _three_ends("stop", f"The pump may stand still in {MONTH_NAMES[month]}", dark.stop[place]), []
    if grown and (dark.is_short or pond.fish.feed is not None):  # small fish use less: where the grown ones have enough, they have
        hours.append(_three_ends("stop_hours", until, hours_in(n.year_of(pond, so_far["survey"]), month)))
    hours.append(_three_ends("stop_hours_grown" if grown else "stop_hours", until + (", fish grown" if grown else ""), dark.hours[place]))
    return [stop, *(n.carry(x, limits["oxygen"]) for x in hours)]


def _three_ends(key: str, label: str, hours: np.ndarray) -> Number:
    typical, cautious, favourable = (Q(float(h), "h") for h in hours)
    low, high = min(cautious, typical, favourable), max(cautious, typical, favourable)
    note = f"{show(n.MONTH, 'h')} stands for a month or more" if high >= n.MONTH else ""
    return Number(key, label, "h", cautious, typical, low, high, True, note=note)


def _ammonia(pond: Pond, so_far: Mapping[str, Stage], fish: _Fish) -> dict[str, Number]:
    """Find the fish whose ammonia the filter carries, or weekly water changes where these carry more; nothing where neither is known.

    So a filter that gets no water never allows more fish than a better one, nor fewer than none at all.
    """
    stage = so_far.get("filter", Stage("filter", ""))
    if not fish.is_fed:
        return {}
    changes = None
    if "design_tan" in stage:
        changes = n.carry(_by_water_changes(pond, stage, so_far["survey"], fish), stage["design_tan"])
    if pond.filter is None or "cover" not in stage:
        return {} if changes is None else {"feed": changes}
    found = n.carry(number(  # as many times today's fish as it covers their ammonia
        "limit_filter", "Fish that the filter allows", "kg", lambda cover, mass: cover * mass, decides=True, stacked=True,
        cover=End(n.as_coefficient(stage["cover"], "cover"), "low"), mass=End(n.as_coefficient(fish.now, "mass"), "high")), stage["cover"])
    if changes is None or all(getattr(changes, end) <= getattr(found, end) for end in _ENDS):
        return {"filter": found}
    most = {end: max(getattr(changes, end), getattr(found, end)) for end in _ENDS}
    return {"filter": n.carry(replace(found, label="Fish that the filter or water changes allow", note=_CHANGES, **most), changes)}


def _by_water_changes(pond: Pond, stage: Stage, survey: Stage, fish: _Fish) -> Number:
    from ...science import nitrogen

    def allowed(tan, share, protein, mass):
        carried = f.tan_by_water_changes(tan, survey["volume"].typical, share)
        return f.biomass_by_feed(nitrogen.feed_for_tan(carried, protein), fish.ration(mass))

    protein = n.as_band(pond.fish.diet_protein, "protein", "the protein in the feed")
    return number("limit_feed", "Fish whose ammonia weekly water changes carry away", "kg", allowed, decides=True, stacked=True,
                  note="no filter is planned" if pond.filter is None else "the filter is not planned yet",
                  tan=End(n.as_coefficient(stage["design_tan"], "tan"), "low"), share=n.cautious("weekly_change", "low"),
                  protein=End(protein, "high"), **fish.ration_ends)


def _is_koi(pond: Pond) -> bool:
    return pond.fish.species in ("koi", "common carp")


def _koi(pond: Pond, survey: Stage, fish: _Fish) -> dict[str, Number]:
    """Find the koi for which there is room and depth; a pond that is too small or too shallow allows none."""
    if not _is_koi(pond):
        return {}
    c = coefficients()

    def mass(volume, water_each, least, each):
        return (0.0 if volume < least else volume / water_each) * each

    found = {"adult_size": number(
        "limit_adult_size", "Grown koi or carp for which there is room", "kg", mass, decides=True, note="common practice",
        volume=End(n.as_coefficient(survey["volume"], "volume"), "low"), water_each=End(c["koi_volume_each"], "high"),
        least=End(c["koi_volume_least"], "high"), each=End(fish.each, "high"))}
    if survey["max_depth"].value < c["koi_depth"].typical:
        found["depth"] = given("limit_depth", "Koi or carp for which it is deep enough", "kg", _NONE, "common practice")
    return found


def _winter_water(pond: Pond, survey: Stage) -> Number | None:
    """Find what is left under the ice of a winter; None where there is no ice to speak of."""
    ice = _ice(pond)
    if ice is None:
        return None
    deepest = survey["max_depth"].value.m_as(unit("m"))
    return number("winter_water", "Water left under the ice in a cold winter", "m",
                  lambda ice: Q(np.maximum(deepest - ice.m_as(unit("m")), 0.0), "m"), decides=True, stacked=True, ice=End(ice, "high"),
                  note="a raised or small container also freezes from its sides")


def _winter(water: Number | None) -> dict[str, Number]:
    """Allow no fish in a pond that leaves them too little water under the ice."""
    if water is None or water.value >= coefficients()["winter_water"].typical:
        return {}
    return {"winter_depth": given("limit_winter_depth", "Fish that can winter under the ice", "kg", _NONE, "common practice")}


def _ice(pond: Pond) -> Coefficient | None:
    """Take the thickness of the ice from the pond file, else from the climate's frost."""
    if pond.place is None:
        return None
    if pond.place.ice_thickness is not None:
        return n.as_band(pond.place.ice_thickness, "ice", "the ice")
    if (here := known(pond)) is None:
        return None
    frost = heat.freezing_degree_days(here.air_temperature, Q(DAYS.astype(float), "d"))
    if frost.m <= 0:
        return None
    growth = coefficients()["ice_growth"]
    low, typical, high = (heat.ice_thickness(frost, growth.at(end)) for end in ("low", "typical", "high"))
    return Coefficient("ice", growth.label, low, typical, high, "cm", growth.sources, False, "")


# --------------------------------------------------------------------------------------------------------------------- the answer


def _binding(limits: Mapping[str, Number]) -> str:
    return min(limits, key=lambda k: [getattr(limits[k], end).m_as(unit("kg")) for end in ("value", "typical")])


def _answer(limits: Mapping[str, Number], fish: _Fish, unknown: tuple[str, ...]) -> list[Number]:
    """Give the smallest of the limits at each end, what is left of it, and the count of fish; what is not known yet stands beside them."""
    if not limits:
        return []
    binds, also = _binding(limits), f"; {', nor '.join(unknown)} is not known yet" if unknown else ""
    least = {end: min(getattr(found, end) for found in limits.values()) for end in _ENDS}
    label = "Fish that the limits known so far allow" if unknown else "Fish that this pond allows"
    limit = replace(limits[binds], key="limit", label=label, note=f"bound by {LIMITS[binds]}{also}", decides=True, **least)
    room = given("room", "Room for more fish (minus: too many)", "kg", limit.value - fish.now.value,
                 f"the limit less the fish of now, both cautious{also}")
    each = fish.each.high
    count = math.floor((limit.value / each).m_as(unit("-")) + 1e-9)
    label = "In grown fish" if fish.grown is not None else "In fish like these"
    note = f"of {show(each, 'g')} each: stout ones, as the limit counts them{also}"
    return [limit, room, given("fish_allowed", label, "-", Q(float(count), "-"), note)]


def _densities(fish: _Fish, survey: Stage) -> list[Number]:
    masses = {"density": ("Stocking density now", fish.now), "density_grown": ("Stocking density when grown", fish.grown)}
    volume = survey["volume"].typical
    return [number(key, label, "kg/m3", lambda mass: f.stocking_density(mass, volume), stacked=True,
                   mass=End(n.as_coefficient(found, "mass"), "high")) for key, (label, found) in masses.items() if found is not None]


def _how_far(limits: Mapping[str, Number], fish: _Fish) -> tuple[Grid, ...]:
    def share(mass: Number | None, limit: Number) -> str:
        if mass is None:
            return "not known"
        return f"{(mass.value / limit.value).m_as(unit('-')):.0%} of it" if limit.value.m > 0 else "none allowed"

    rows = tuple((LIMITS[k], limit.value, limit.typical, share(fish.now, limit), share(fish.grown, limit)) for k, limit in limits.items())
    heads = ("Limit", "Allows", "Allows, typical", "Fish now", "Fish grown")
    return (Grid("How far each limit is", heads, ("", "kg", "kg", "", ""), rows),) if rows else ()


def _dark_grid(dark: DarkMonths | None, fish: _Fish) -> tuple[Grid, ...]:
    """Show the months in which the pump may stand still longer, or which lie under ice, beside the warmest."""
    if dark is None:
        return ()
    rows = [(MONTH_NAMES[month], n.lasts(Q(dark.stop[i, 1], "h")), n.lasts(Q(dark.hours[i, 1], "h")))
            for i, month in sorted(enumerate(dark.months), key=lambda place: place[1])]
    heads = ("Month", "The pump may stand still", f"The oxygen lasts, fish {'as now' if fish.grown is None else 'grown'}")
    return (Grid("Months that may be worse than the warmest, beside it; cautious end", heads, ("", "", ""), tuple(rows)),)


def _koi_grid(pond: Pond, survey: Stage, fish: _Fish) -> tuple[Grid, ...]:
    if not _is_koi(pond):
        return ()
    c, volume, deepest = coefficients(), survey["volume"].value, survey["max_depth"].value
    rows = (
        ("water", show(volume, "L"), span(c["koi_volume_least"], "L")),
        ("water for each of these fish", show(volume / fish.count, "L"), span(c["koi_volume_each"], "L")),
        ("depth", show(deepest, "m"), span(c["koi_depth"], "m")),
    )
    title = "What grown koi and carp ask for at least (common practice, no source)"
    return (Grid(title, ("", "This pond", "They want"), ("", "", ""), rows),)


def _comparison(densities: list[Number]) -> Grid:
    rows = [(f"this pond, fish {'grown' if d.key == 'density_grown' else 'now'}", d.typical) for d in densities]
    rows += [(r["use"] + ("" if r["verified"] == "yes" else " (from memory)"), r["density"]) for r in load("densities").rows]
    title = "To compare only: tanks with air day and night, alarms and a spare pump. They never allow fish in a pond whose power can fail."
    return Grid(title, ("", "Fish in the water"), ("", "kg/m3"), tuple(rows))


# ------------------------------------------------------------------------------------------------------------- words around it

_CAUTIONS = (
    "Never release fish, plants or pond water into a stream, lake or drain: it spreads pests and is against the law in many places. Too "
    "many fish? Ask the shop, a pond club or a school first, and plan for the grown size before you buy. Some places forbid keeping "
    "some species at all.",
    "Add few fish at a time and test the water between: a filter needs weeks to catch up. Keep new fish apart for some weeks, and let "
    "the water in their bag reach the pond's temperature before they swim.",
)


def _missing(pond: Pond, limits: Mapping[str, Number], fish: _Fish, power: Stage | None) -> tuple[str, ...]:
    typed = pond.place and pond.place.water_temperature
    icy = typed and known(pond) is None and pond.place.ice_thickness is None and min(t.m_as(unit("degC")) for t in typed) < 4
    wishes = (
        (pond.place is None, "[place], for the oxygen on the warmest night"),
        (pond.place is not None and "oxygen" not in limits, "the water's temperature, as the fish's own part says, for the oxygen"),
        (pond.place is not None and pond.pump is not None and n.longest_stop(pond) is None, "pump.longest_stop, for the oxygen"),
        (n.sun_unknown(pond, power), "what the part on the sun still needs, for the hours that the pump stands still"),
        (icy, "place.ice_thickness, for the water left under the ice"),
        (fish.is_fed and pond.filter is not None and "filter" not in limits, "what the filter's own stage still needs"),
        (fish.is_fed and pond.filter is None and "feed" not in limits, "[[readings]] with ph, for the ammonia that the water may hold"),
    )
    return tuple(f"needs {what}" for wanted, what in wishes if wanted)


def _assumptions(pond: Pond, limits: Mapping[str, Number], stops: n.Stops | None, supply: Stage | None, year: n.Night | None,
                 dark: DarkMonths | None) -> tuple[Assumption, ...]:
    c, found = coefficients(), []
    if limits:
        found.append(Assumption(
            "Masses are compared at the same end: what is allowed at the cautious end with the fish at their stoutest, the typical limit "
            "with typical fish."))
    if "oxygen" in limits and (stops is None or stops.expected is None):
        found.append(Assumption(
            f"No longest stop of a pump is known, so the oxygen must last a night of {show(n.DARK, 'h')}; by day plants and algae make "
            "more.", ("Judgement",)))
    if stops is not None and stops.by_sun.any():
        found.append(Assumption(
            "How long the pump may stand still in a month is the longest gap that begins in it, or the part in it of an earlier one, when "
            "the supply is run through a year, hour by hour." if "gap" in supply.series else
            "What the sun leaves of a mean day the pump stands still, at one stretch. Several dull days in a row make a longer stop: count "
            "them in pump.longest_stop.", ("Judgement",)))
    if dark is not None and not year.open_water[list(dark.months)].all():
        found.append(Assumption("In months of frost ice closes the water, and no oxygen comes in through its surface.", ("Bengtsson2020",)))
    if "feed" in limits or ("filter" in limits and limits["filter"].note == _CHANGES):
        change = c["weekly_change"]
        said = f"{span(change, '%')} of the water is changed each week"
        found.append(Assumption(f"Without a filter, {said}." if "feed" in limits else
                                f"Where that carries away more ammonia than the filter, {said}.", change.sources))
    if "adult_size" in limits:
        found.append(Assumption("What koi need in water and depth is common practice; advice differs by a factor of three.", ("Practice",)))
    if pond.place is not None and pond.place.ice_thickness is None and (ice := _ice(pond)) is not None:
        found.append(Assumption(
            f"Ice grows to {span(ice, 'cm')}, from the monthly means of a typical year; a hard winter makes more. If you know how thick "
            "it grows where you are, write place.ice_thickness.", ice.sources))
    return tuple(found)
