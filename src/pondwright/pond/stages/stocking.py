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
from ..climate import DAYS
from ..model import Pond
from ..results import Assumption, End, Finding, Grid, Number, Stage, Urgency, by_key, given, number
from .fish import span

KEY, TITLE = "stocking", "How many fish"
LIMITS = {
    "oxygen": "oxygen on the warmest night", "filter": "the filter", "feed": "ammonia without a filter",
    "adult_size": "room for grown koi or carp", "depth": "depth for koi or carp", "winter_depth": "water under the ice",
}
_MEND = {
    "oxygen": "Take out muck and leaves, shorten the longest stop of the pump, or add an air pump with its own battery.",
    "filter": "Enlarge the filter or its flow as the filter's own findings say, or keep fewer fish.",
    "feed": "Build a filter, or keep fewer fish and feed less.",
    "adult_size": "Keep fewer of them.",
    "depth": "Keep another species.",
    "winter_depth": "Take the fish indoors for the winter.",
}
_NONE = Q(0.0, "kg")


@dataclass(frozen=True)
class _Fish:
    """What the stage fish found."""

    now: Number
    grown: Number | None
    feed: Number | None
    count: float

    @property
    def each(self) -> Quantity:
        """Typical mass of one grown fish, or of one fish now where nobody knows how large they grow."""
        return (self.grown or self.now).typical / self.count

    @property
    def ration(self) -> Quantity:
        """Feed as a share of the mass, on a day of the warmest month."""
        return Q(self.feed.typical.m_as(unit("g/d")) / self.now.typical.m_as(unit("g")) * 100, "%/d")

    @property
    def is_fed(self) -> bool:
        return self.feed is not None and self.feed.typical.m > 0


def plan(pond: Pond, so_far: Mapping[str, Stage]) -> Stage:
    """Set the limits side by side; nothing is planned without fish."""
    before = so_far.get("fish", Stage("fish", ""))
    if "biomass" not in before:
        return Stage(KEY, TITLE, missing=before.missing if pond.fish else ("needs [fish] with species and [[fish.groups]]",))
    fish = _Fish(before["biomass"], before.numbers.get("grown_biomass"), before.numbers.get("feed_peak"), before["fish_count"].value.m)
    survey, winter = so_far["survey"], _winter_water(pond, so_far["survey"])
    limits = {**_oxygen(pond, survey), **_ammonia(pond, so_far, fish), **_koi(pond, survey, fish), **_winter(winter)}
    densities = _densities(fish, survey)
    numbers = [*limits.values(), *_answer(limits, fish), *densities, *([] if winter is None else [winter])]
    return Stage(
        KEY, TITLE, by_key(*numbers), facts={"binds": LIMITS[_binding(limits)]} if limits else {},
        grids=(*_how_far(limits, fish), *_koi_grid(pond, survey, fish), _comparison(densities)),
        assumptions=_assumptions(pond, limits), cautions=_CAUTIONS, missing=_missing(pond, limits, fish),
    )


# --------------------------------------------------------------------------------------------------------------------- the limits


def _oxygen(pond: Pond, survey: Stage) -> dict[str, Number]:
    """Find the fish that the oxygen allows over the longest stop; where none is known, over one night from the surface alone."""
    night = n.night_of(pond, survey, grown=n.grown_lengths(pond) is not None)
    if night is None:
        return {}
    stop = n.longest_stop(pond)
    time = n.DARK if stop is None else stop
    note = f"so that {show(n.LIMIT, 'mg/L')} is left after {show(time, 'h')} without the pump"
    if stop is None:
        note = f"so that {show(n.LIMIT, 'mg/L')} is left after a night of {show(time, 'h')}, since no longest stop of a pump is known"
    return {"oxygen": number("limit_oxygen", "Fish that the oxygen allows", "kg", lambda **c: night.most_fish(night.parts(**c), time),
                             decides=True, stacked=True, widen=False, note=note, **night.ends)}


def _ammonia(pond: Pond, so_far: Mapping[str, Stage], fish: _Fish) -> dict[str, Number]:
    """Find the fish that the filter carries; without a filter, those whose ammonia weekly water changes carry away."""
    stage = so_far.get("filter", Stage("filter", ""))
    if fish.is_fed and pond.filter is not None and "feed_allowed" in stage:
        found = number("limit_filter", "Fish that the filter allows", "kg", lambda allowed: f.biomass_by_feed(allowed, fish.ration),
                       decides=True, allowed=End(n.as_coefficient(stage["feed_allowed"], "allowed"), "low"))
        return {"filter": n.carry(found, stage["feed_allowed"])}
    if fish.is_fed and pond.filter is None and "design_tan" in stage:
        return {"feed": n.carry(_without_filter(pond, stage, so_far["survey"], fish), stage["design_tan"])}
    return {}


def _without_filter(pond: Pond, stage: Stage, survey: Stage, fish: _Fish) -> Number:
    from ...science import nitrogen

    def mass(tan, share, protein):
        carried = f.tan_by_water_changes(tan, survey["volume"].typical, share)
        return f.biomass_by_feed(nitrogen.feed_for_tan(carried, protein), fish.ration)

    protein = n.as_band(pond.fish.diet_protein, "protein", "the protein in the feed")
    return number("limit_feed", "Fish whose ammonia weekly water changes carry away", "kg", mass, decides=True, note="no filter is planned",
                  tan=End(n.as_coefficient(stage["design_tan"], "tan"), "low"), share=n.cautious("weekly_change", "low"),
                  protein=End(protein, "high"))


def _is_koi(pond: Pond) -> bool:
    return pond.fish.species in ("koi", "common carp")


def _koi(pond: Pond, survey: Stage, fish: _Fish) -> dict[str, Number]:
    """Find the koi for which there is room and depth; a pond that is too small or too shallow allows none."""
    if not _is_koi(pond):
        return {}
    c = coefficients()

    def mass(volume, each, least):
        return (0.0 if volume < least else volume / each) * fish.each

    found = {"adult_size": number(
        "limit_adult_size", "Grown koi or carp for which there is room", "kg", mass, decides=True, note="common practice",
        volume=End(n.as_coefficient(survey["volume"], "volume"), "low"), each=End(c["koi_volume_each"], "high"),
        least=End(c["koi_volume_least"], "high"))}
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
    frost = heat.freezing_degree_days(n.climate_of(pond).air_temperature, Q(DAYS.astype(float), "d"))
    if frost.m <= 0:
        return None
    growth = coefficients()["ice_growth"]
    low, typical, high = (heat.ice_thickness(frost, growth.at(end)) for end in ("low", "typical", "high"))
    return Coefficient("ice", growth.label, low, typical, high, "cm", growth.sources, False, "")


# --------------------------------------------------------------------------------------------------------------------- the answer


def _binding(limits: Mapping[str, Number]) -> str:
    return min(limits, key=lambda k: limits[k].value.m_as(unit("kg")))


def _answer(limits: Mapping[str, Number], fish: _Fish) -> list[Number]:
    """Give the binding limit, what is left of it, and the count of fish that it stands for."""
    if not limits:
        return []
    binds = _binding(limits)
    limit = replace(limits[binds], key="limit", label="Fish that this pond allows", note=f"bound by {LIMITS[binds]}", decides=True)
    room = given("room", "Room for more fish (minus: too many)", "kg", limit.value - fish.now.value,
                 "the limit less the fish of now, both cautious")
    count = math.floor((limit.value / fish.each).m_as(unit("-")) + 1e-9)
    label = "In grown fish" if fish.grown is not None else "In fish like these"
    return [limit, room, given("fish_allowed", label, "-", Q(float(count), "-"), f"of {show(fish.each, 'g')} each, typical")]


def _densities(fish: _Fish, survey: Stage) -> list[Number]:
    masses = {"density": ("Fish in each cubic metre now", fish.now), "density_grown": ("Fish in each cubic metre when grown", fish.grown)}
    return [number(key, label, "kg/m3", lambda mass: f.stocking_density(mass, survey["volume"].typical),
                   mass=End(n.as_coefficient(found, "mass"), "high")) for key, (label, found) in masses.items() if found is not None]


def _how_far(limits: Mapping[str, Number], fish: _Fish) -> tuple[Grid, ...]:
    def share(mass: Number | None, limit: Number) -> str:
        if mass is None:
            return "not known"
        return f"{(mass.value / limit.value).m_as(unit('-')):.0%} of it" if limit.value.m > 0 else "none allowed"

    rows = tuple((LIMITS[k], limit.value, limit.typical, share(fish.now, limit), share(fish.grown, limit)) for k, limit in limits.items())
    heads = ("Limit", "Allows", "Allows, typical", "Fish now", "Fish grown")
    return (Grid("How far each limit is", heads, ("", "kg", "kg", "", ""), rows),) if rows else ()


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


def _missing(pond: Pond, limits: Mapping[str, Number], fish: _Fish) -> tuple[str, ...]:
    wishes = (
        (pond.place is None, "[place], for the oxygen on the warmest night"),
        (pond.place is not None and pond.pump is not None and n.longest_stop(pond) is None, "pump.longest_stop, for the oxygen"),
        (fish.is_fed and pond.filter is not None and "filter" not in limits, "what the filter's own stage still needs"),
        (fish.is_fed and pond.filter is None and "feed" not in limits, "[[readings]] with ph, for the ammonia that the water may hold"),
    )
    return tuple(f"needs {what}" for wanted, what in wishes if wanted)


def _assumptions(pond: Pond, limits: Mapping[str, Number]) -> tuple[Assumption, ...]:
    c, found = coefficients(), []
    if "oxygen" in limits and n.longest_stop(pond) is None:
        found.append(Assumption(
            f"No longest stop of a pump is known, so the oxygen must last a night of {show(n.DARK, 'h')}; by day plants and algae make "
            "more.", ("Judgement",)))
    if "feed" in limits:
        change = c["weekly_change"]
        found.append(Assumption(f"Without a filter, {span(change, '%')} of the water is changed each week.", change.sources))
    if "adult_size" in limits:
        found.append(Assumption("What koi need in water and depth is common practice; advice differs by a factor of three.", ("Practice",)))
    if pond.place is not None and pond.place.ice_thickness is None and (ice := _ice(pond)) is not None:
        found.append(Assumption(
            f"Ice grows to {span(ice, 'cm')}, from the monthly means of a typical year; a hard winter makes more. If you know how thick "
            "it grows where you are, write place.ice_thickness.", ice.sources))
    return tuple(found)


# ------------------------------------------------------------------------------------------------------------------ findings


def find(pond: Pond, stages: Mapping[str, Stage]) -> list[Finding]:
    """Say whether there are too many fish, and whether koi suit the pond."""
    stage = stages[KEY]
    return [*_find_koi(pond, stages), *_find_winter(stage), *_find_limit(stages)] if stage.planned else []


def _find_koi(pond: Pond, stages: Mapping[str, Stage]) -> list[Finding]:
    if "limit_adult_size" not in stages[KEY]:
        return []
    c, found, count = coefficients(), [], stages["fish"]["fish_count"].value.m
    volume, deepest = stages["survey"]["volume"].value, stages["survey"]["max_depth"].value
    least, each, depth = c["koi_volume_least"], c["koi_volume_each"], c["koi_depth"]
    who = "koi" if pond.fish.species == "koi" else "carp"
    numbers = ("survey.volume", "stocking.limit_adult_size")
    if volume < least.low:
        found.append(Finding(
            "stocking.koi_volume", Urgency.DANGER,
            f"This pond does not suit {who}: it holds {show(volume, 'L')}, and advice (common practice) begins at {show(least.low, 'L')}, "
            f"better {show(least.typical, 'L')}, for fish that grow to {show(c['adult_length_carp'].typical, 'cm')}.",
            "Keep no koi or carp here. Find them a larger pond (never release them); a few small goldfish may do if the other limits "
            "allow it.", numbers))
    elif volume < count * each.typical:
        found.append(Finding(
            "stocking.koi_room", Urgency.FIX,
            f"{count:.0f} grown {who} want about {show(count * each.typical, 'L')} (common practice, {show(each.typical, 'L')} each); this "
            f"pond holds {show(volume, 'L')}.",
            f"Keep fewer {who}, or plan now where the others go when they are large.", numbers))
    if deepest < depth.typical:
        found.append(Finding(
            "stocking.koi_depth", Urgency.FIX,
            f"{who.capitalize()} want a depth of {span(depth, 'm')}, common practice; here it is {show(deepest, 'm')} at most.",
            "Deepen a part of the pond, or keep a smaller species.", ("survey.max_depth",)))
    return found


def _find_winter(stage: Stage) -> list[Finding]:
    if "limit_winter_depth" not in stage:
        return []
    water, want = stage["winter_water"], coefficients()["winter_water"]
    return [Finding(
        "stocking.winter_depth", Urgency.DANGER,
        f"In a cold winter only {show(water.value, 'm', digits=2)} of water may be left under the ice (typical "
        f"{show(water.typical, 'm', digits=2)}); fish want {show(want.typical, 'm')} or more (common practice).",
        "Do not winter fish here: take them to a tank indoors before the first ice, or make the pond deeper.", ("stocking.winter_water",))]


def _find_limit(stages: Mapping[str, Stage]) -> list[Finding]:
    stage, fish = stages[KEY], stages["fish"]
    if "limit" not in stage:
        return []
    limit, now, grown = stage["limit"], fish["biomass"], fish.numbers.get("grown_biomass")
    key, numbers = next(k for k, words in LIMITS.items() if words == stage.facts["binds"]), ("stocking.limit", "fish.biomass")
    allows = f"This pond allows {limit.text()} of fish (bound by {LIMITS[key]}; typical {show(limit.typical, 'kg')})"
    if key == "oxygen" and limit.value.m <= 0:
        return [Finding("stocking.no_oxygen", Urgency.FIX if limit.typical.m <= 0 else Urgency.IMPROVE,
                        f"{allows}: at the cautious end muck and green water alone take the oxygen. It holds {now.text()}.",
                        _MEND[key], numbers)]
    if now.value > limit.value:
        surely = now.typical > limit.typical
        return [Finding("stocking.too_many", Urgency.FIX if surely else Urgency.IMPROVE,
                        f"{allows}; it holds {now.text()} (typical {show(now.typical, 'kg')}).",
                        f"{_MEND[key]} Until then feed less and test ammonia each week.", numbers)]
    if grown is not None and grown.value > limit.value:
        return [Finding("stocking.too_many_grown", Urgency.IMPROVE,
                        f"{allows}: enough for the {now.text()} of now, not for the {grown.text()} that they become.",
                        f"{_MEND[key]} Or find homes for some fish before they are large; never release them.",
                        (*numbers, "fish.grown_biomass"))]
    fed = "feed_peak" not in fish or fish["feed_peak"].high.m > 0
    if fed and not {"limit_filter", "limit_feed"} & stage.numbers.keys():
        return [Finding("stocking.ammonia_unknown", Urgency.FIX,
                        f"The fish are fed, but how many the ammonia allows is not known. The rest allows {limit.text()} (bound by "
                        f"{LIMITS[key]}); there are {now.text()} now.",
                        "Add no fish. Fill in what the filter's part of the plan still needs, and test ammonia each week.", numbers)]
    later = "" if grown is None else f" and {grown.text()} grown"
    return [Finding("stocking.enough", Urgency.NOTE, f"{allows}; there are {now.text()} now{later}.",
                    "Buy no fish beyond that: they grow, and the limits count the grown fish.", numbers)]
