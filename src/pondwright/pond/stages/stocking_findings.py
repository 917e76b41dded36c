"""What the limits on the fish mean: too many or enough, koi that do not fit, ice, and months in which the oxygen does not last a stop."""
from __future__ import annotations

from collections.abc import Mapping

from ...tables import coefficients
from ...units import show
from .. import night as n
from ..climate import MONTH_NAMES
from ..model import Pond
from ..results import Finding, Stage, Urgency
from .fish import span

KEY = "stocking"
LIMITS = {
    "oxygen": "oxygen while the pump stands still", "filter": "the filter", "feed": "ammonia without a filter",
    "adult_size": "room for grown koi or carp", "depth": "depth for koi or carp", "winter_depth": "water under the ice",
}
_MEND = {
    "oxygen": "Take out muck and leaves, shorten the longest stop of the pump, or add an air pump with its own battery.",
    "filter": "Do what the filter's own findings say, or keep fewer fish.",
    "feed": "Build a filter, or keep fewer fish and feed less.",
    "adult_size": "Keep fewer of them.",
    "depth": "Keep another species.",
    "winter_depth": "Take the fish indoors for the winter.",
}


def find(pond: Pond, stages: Mapping[str, Stage]) -> list[Finding]:
    """Say whether there are too many fish, and whether koi suit the pond."""
    stage = stages[KEY]
    if not stage.planned:
        return []
    return [*_find_koi(pond, stages), *_find_winter(stage), *_find_dark_month(pond, stages), *_find_limit(pond, stages)]


def _find_dark_month(pond: Pond, stages: Mapping[str, Stage]) -> list[Finding]:
    """Say where the oxygen does not last the stop of another month than the warmest, of which the fish's own finding speaks."""
    stage = stages[KEY]
    if "stop" not in stage:
        return []
    stop, level, month = stage["stop"], show(n.LIMIT, "mg/L"), MONTH_NAMES.index(stage.facts["dark_month"])
    stops = n.stops(pond, n.supply(stages))
    why = n.why_it_stops(stops, month) + (", and the" if stops.by_sun[month] else f". In {MONTH_NAMES[month]} the")
    for key, name, when in (("stop_hours", "dark_month", ""), ("stop_hours_grown", "dark_month_grown", "once the fish are grown, ")):
        if key in stage and (hours := stage[key]).value < stop.value:
            # cool water holds more, and fish bear less oxygen in it than in summer, for which the limit was made
            urgency = Urgency.IMPROVE if when else Urgency.DANGER if hours.typical < stop.value else Urgency.FIX
            return [Finding(
                f"stocking.{name}", urgency,
                f"{why} oxygen can fall to {level} in {n.lasts(hours.value)} {when}if all is bad at once; typical "
                f"{n.lasts(hours.typical)}.",
                f"Make that stop shorter: {n.shorten(pond, stops, month)}. Or take an air pump with its own supply, or keep fewer fish.",
                ("stocking.stop", f"stocking.{key}"))]
    return []


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
    if least.low <= volume < least.high:
        found.append(Finding(
            "stocking.koi_small", Urgency.FIX if volume < least.typical else Urgency.IMPROVE,
            f"Advice on the smallest pond for {who} differs (common practice): {show(least.low, 'L')} to {show(least.high, 'L')}, often "
            f"{show(least.typical, 'L')}; this one holds {show(volume, 'L')}, so at the cautious end it allows none.",
            f"A larger pond stays safe for longer when a pump stops. Keep few {who} here, and watch oxygen and ammonia closely.", numbers))
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


def _air_is_short(pond: Pond, stages: Mapping[str, Stage]) -> bool:
    """Tell whether the oxygen of the fish of now does not last the stop of some month."""
    stage, fish = stages[KEY], stages["fish"]
    if "stop_hours" in stage and stage["stop_hours"].value < stage["stop"].value:
        return True
    stops = n.stops(pond, n.supply(stages))
    return "hours_to_4" in fish and fish["hours_to_4"].value < (n.DARK if stops is None else stops.of(n.warmest_month(fish)))


def _find_limit(pond: Pond, stages: Mapping[str, Stage]) -> list[Finding]:
    stage, fish = stages[KEY], stages["fish"]
    if "limit" not in stage:
        return []
    limit, now, grown = stage["limit"], fish["biomass"], fish.numbers.get("grown_biomass")
    key, numbers = next(k for k, words in LIMITS.items() if words == stage.facts["binds"]), ("stocking.limit", "fish.biomass")
    mend = _mend(pond, stages, key)
    allows = f"This pond allows {limit.text()} of fish (bound by {LIMITS[key]}; typical {show(limit.typical, 'kg')})"
    if limit.value.m <= 0 and key in ("adult_size", "depth", "winter_depth"):
        return [Finding("stocking.too_many", Urgency.FIX,
                        f"This pond allows none of these fish (bound by {LIMITS[key]}); it holds {now.text()}.",
                        "Do what the finding on that says, or find the fish another home; never release them. Until then feed less and "
                        "test ammonia each week.", numbers)]
    if key == "filter" and limit.value.m <= 0 < limit.typical.m:
        return [Finding("stocking.no_filter", Urgency.FIX if limit.typical < now.typical else Urgency.IMPROVE,
                        f"{allows}: at the cautious end the filter converts nothing. It holds {now.text()} (typical "
                        f"{show(now.typical, 'kg')}).",
                        "Do what the filter's own findings say. Until then feed little, and let ammonia tests each week decide.", numbers)]
    if key == "oxygen" and limit.value.m <= 0:
        return [Finding("stocking.no_oxygen", Urgency.FIX if limit.typical.m <= 0 else Urgency.IMPROVE,
                        f"{allows}: at the cautious end muck and green water alone take the oxygen. It holds {now.text()}.",
                        mend, numbers)]
    if now.value > limit.value:
        surely = now.typical > limit.typical
        return [Finding("stocking.too_many", Urgency.FIX if surely else Urgency.IMPROVE,
                        f"{allows}; it holds {now.text()} (typical {show(now.typical, 'kg')}).",
                        f"{mend} Until then feed less and test ammonia each week.", numbers)]
    if _air_is_short(pond, stages):
        return [Finding("stocking.too_many", Urgency.FIX,
                        f"{allows}, counted in grown fish. It holds {now.text()} of smaller ones, which breathe more for their mass: their "
                        "oxygen does not last while the pump stands still.",
                        _mend(pond, stages, "oxygen"), (*numbers, "fish.hours_to_4"))]
    if grown is not None and grown.value > limit.value:
        return [Finding("stocking.too_many_grown", Urgency.IMPROVE,
                        f"{allows}: enough for the {now.text()} of now, not for the {grown.text()} that they become.",
                        f"{mend} Or find homes for some fish before they are large; never release them.",
                        (*numbers, "fish.grown_biomass"))]
    if (unknown := _unknown(pond, stages)) is not None:
        what, do = unknown
        return [Finding(what, Urgency.FIX, f"{do[0]} The rest allows {limit.text()} (bound by {LIMITS[key]}); there are {now.text()} now.",
                        do[1], numbers)]
    later = "" if grown is None else f" and {grown.text()} grown"
    return [Finding("stocking.enough", Urgency.NOTE, f"{allows}; there are {now.text()} now{later}.",
                    "Buy no fish beyond that: they grow, and the limits count the grown fish.", numbers)]


def _mend(pond: Pond, stages: Mapping[str, Stage], key: str) -> str:
    """Say what lifts a limit; where the oxygen is bound by a battery that freezes, that comes first."""
    facts, stops = stages[KEY].facts, n.stops(pond, n.supply(stages))
    frost = key == "oxygen" and "dark_month" in facts and stops.by_frost[MONTH_NAMES.index(facts["dark_month"])]
    return f"Keep the battery above freezing, {n.KEEP_WARM}. {_MEND[key]}" if frost else _MEND[key]


def _unknown(pond: Pond, stages: Mapping[str, Stage]) -> tuple[str, tuple[str, str]] | None:
    """Name a limit that is not known yet, so that nothing is called enough: key of the finding, what is not known, what to do."""
    stage, fish = stages[KEY], stages["fish"]
    fed = "feed_peak" not in fish or fish["feed_peak"].high.m > 0
    if fed and not {"limit_filter", "limit_feed"} & stage.numbers.keys():
        return "stocking.ammonia_unknown", (
            "The fish are fed, but how many the ammonia allows is not known.",
            "Add no fish. Fill in what the filter's part of the plan still needs, and test ammonia each week.")
    if n.sun_unknown(pond, n.supply(stages)):
        return "stocking.sun_unknown", (
            "The pump runs on the sun, but for how many hours in each month is not known, and so not how long the oxygen must last.",
            "Add no fish. Fill in what the part on the sun still needs.")
    return None
