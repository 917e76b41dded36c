"""What the limits on the fish mean: too many or enough, koi that do not fit, ice, and months in which the oxygen does not last a stop."""
from __future__ import annotations

from collections.abc import Collection, Mapping

from ...tables import coefficients
from ...units import show
from .. import night as n
from ..climate import MONTH_NAMES
from ..model import Pond
from ..results import Finding, Number, Stage, Urgency
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

UNKNOWN = {"ammonia": "what the ammonia allows", "filter": "what the filter converts", "oxygen": "what the oxygen allows",
           "sun": "how long the sun runs the pump"}  # fmt: skip
_NOT_KNOWN = {
    "ammonia": "The fish are fed, but how many the ammonia allows is not known.",
    "oxygen": "How many fish the oxygen allows on the warmest night is not known.",
    "sun": "The pump runs on the sun, but for how many hours in each month is not known, and so not how long the oxygen must last.",
}
_FILL_IN = {
    "ammonia": "Add no fish. Fill in what the filter's part of the plan still needs, and test ammonia each week.",
    "oxygen": "Add no fish. Fill in what the fish's own part of the plan still needs.",
    "sun": "Add no fish. Fill in what the part on the sun still needs.",
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
    """Say whether there are too many fish; nothing is called enough, for now or for the grown fish, while a limit is not known."""
    if "limit" not in stages[KEY]:
        return []
    unknown = not_known(pond, stages["fish"], n.supply(stages), stages[KEY].numbers)
    told = [found for found in (_too_many(pond, stages, unknown), _not_known(stages, unknown)) if found is not None]
    return told or [_enough(pond, stages, unknown)]


def _deciding(stage: Stage, unknown: Collection[str]) -> str | None:
    """Name the limit that binds; while nobody knows what the filter converts, one that binds whatever that is."""
    left = [key for key in LIMITS if f"limit_{key}" in stage and not (key == "feed" and "filter" in unknown)]
    return min(left, key=lambda key: [getattr(stage[f"limit_{key}"], end) for end in ("value", "typical")], default=None)


def _allows(limit: Number, key: str, unknown: Collection[str]) -> str:
    who = "The limits known so far allow" if unknown else "This pond allows"
    return f"{who} {limit.text()} of fish (bound by {LIMITS[key]}; typical {show(limit.typical, 'kg')})"


def _too_many(pond: Pond, stages: Mapping[str, Stage], unknown: Collection[str]) -> Finding | None:
    stage, now, key = stages[KEY], stages["fish"]["biomass"], _deciding(stages[KEY], unknown)
    if key is None:
        return None
    which = f"limit_{key}" if "filter" in unknown else "limit"
    limit, numbers, mend = stage[which], (f"stocking.{which}", "fish.biomass"), _mend(pond, stages, key)
    allows = _allows(limit, key, unknown)
    there, surely = f"{now.text()} (typical {show(now.typical, 'kg')})", now.typical > limit.typical
    if limit.value.m <= 0 and key in ("adult_size", "depth", "winter_depth"):
        return Finding("stocking.too_many", Urgency.FIX,
                       f"This pond allows none of these fish (bound by {LIMITS[key]}); it holds {now.text()}.",
                       "Do what the finding on that says, or find the fish another home; never release them. Until then feed less and "
                       "test ammonia each week.", numbers)
    if key == "oxygen" and limit.value.m <= 0:
        return Finding("stocking.no_oxygen", Urgency.FIX if limit.typical.m <= 0 else Urgency.IMPROVE,
                       f"{allows}: at the cautious end muck and green water alone take the oxygen. It holds {now.text()}.", mend, numbers)
    if now.value > limit.value and key == "filter" and (cover := stages["filter"]["cover"]).value.m <= 0:
        words = "the filter" if cover.typical.m <= 0 else "at the cautious end the filter"
        return Finding("stocking.no_filter", Urgency.FIX if surely else Urgency.IMPROVE,
                       f"{allows}: {words} converts nothing, and only water changes carry ammonia away. It holds {there}.",
                       "Do what the filter's own findings say. Until then feed little, and let ammonia tests each week decide.", numbers)
    if now.value > limit.value:
        return Finding("stocking.too_many", Urgency.FIX if surely else Urgency.IMPROVE, f"{allows}; it holds {there}.",
                       f"{mend} Until then feed less and test ammonia each week.", numbers)
    if _air_is_short(pond, stages):
        return Finding("stocking.too_many", Urgency.FIX,
                       f"{allows}, counted in grown fish. It holds {now.text()} of smaller ones, which breathe more for their mass: their "
                       "oxygen does not last while the pump stands still.",
                       _mend(pond, stages, "oxygen"), (*numbers, "fish.hours_to_4"))
    return None


def _enough(pond: Pond, stages: Mapping[str, Stage], unknown: Collection[str]) -> Finding:
    stage, fish, numbers = stages[KEY], stages["fish"], ("stocking.limit", "fish.biomass")
    limit, now, grown = stage["limit"], fish["biomass"], fish.numbers.get("grown_biomass")
    key = next(k for k, words in LIMITS.items() if words == stage.facts["binds"])
    allows = _allows(limit, key, unknown)
    if grown is not None and grown.value > limit.value:
        return Finding("stocking.too_many_grown", Urgency.IMPROVE,
                       f"{allows}: enough for the {now.text()} of now, not for the {grown.text()} that they become.",
                       f"{_mend(pond, stages, key)} Or find homes for some fish before they are large; never release them.",
                       (*numbers, "fish.grown_biomass"))
    later = "" if grown is None else f" and {grown.text()} grown"
    return Finding("stocking.enough", Urgency.NOTE, f"{allows}; there are {now.text()} now{later}.",
                   "Buy no fish beyond that: they grow, and the limits count the grown fish.", numbers)


def _mend(pond: Pond, stages: Mapping[str, Stage], key: str) -> str:
    """Say what lifts a limit; where the oxygen is bound by a battery that freezes, that comes first."""
    facts, stops = stages[KEY].facts, n.stops(pond, n.supply(stages))
    frost = key == "oxygen" and "dark_month" in facts and stops.by_frost[MONTH_NAMES.index(facts["dark_month"])]
    return f"Keep the battery above freezing, {n.KEEP_WARM}. {_MEND[key]}" if frost else _MEND[key]


# ------------------------------------------------------------------------------------------------------------- what is not known yet


def not_known(pond: Pond, fish: Stage, supply: Stage | None, limits: Collection[str]) -> tuple[str, ...]:
    """Name what cannot be told yet, by the keys of `UNKNOWN`; `limits` are the keys of the limits that can."""
    fed = "feed_peak" not in fish or fish["feed_peak"].high.m > 0
    lacks = {
        "ammonia": fed and not {"limit_filter", "limit_feed"} & set(limits), "oxygen": "limit_oxygen" not in limits,
        "filter": pond.filter is not None and "limit_feed" in limits, "sun": n.sun_unknown(pond, supply),
    }
    return tuple(key for key, lacking in lacks.items() if lacking)


def _not_known(stages: Mapping[str, Stage], unknown: Collection[str]) -> Finding | None:
    """Say what is not known, and what makes it known; a filter is not asked about where water changes alone are enough."""
    stage, fish = stages[KEY], stages["fish"]
    limit, now, grown = stage["limit"], fish["biomass"], fish.numbers.get("grown_biomass")
    there = f"there are {now.text()} now" + ("" if grown is None else f" and {grown.text()} grown")
    most = now.value if grown is None else max(now.value, grown.value)
    if "filter" in unknown and most > (changes := stage["limit_feed"]).value:
        return Finding("stocking.ammonia_unknown", Urgency.FIX,
                       f"What the filter converts is not known yet. Without it, weekly water changes carry away the ammonia of "
                       f"{changes.text()} of fish (typical {show(changes.typical, 'kg')}); {there}.", _FILL_IN["ammonia"],
                       ("stocking.limit_feed", "fish.biomass"))
    for key in (key for key in _NOT_KNOWN if key in unknown):
        return Finding(f"stocking.{key}_unknown", Urgency.FIX,
                       f"{_NOT_KNOWN[key]} The rest allows {limit.text()} (bound by {stage.facts['binds']}); {there}.", _FILL_IN[key],
                       ("stocking.limit", "fish.biomass"))
    return None
