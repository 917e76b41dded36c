"""What the filter's numbers mean: its tables, assumptions, cautions and findings. Nothing here decides a number of the plan."""
from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from ..science import biofilter as b
from ..science import nitrogen as n
from ..sources import name_source
from ..tables import coefficients, load
from ..units import Q, Quantity, round_text, show, unit
from .climate import MONTHS
from .model import Pond
from .readings import hardness_wish, hour, lime_assumption
from .results import Assumption, Finding, Grid, Number, Stage, Urgency

MONTH = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December")
LIMITS = {"surface": "the surface of the media", "flow": "the flow", "oxygen": "the oxygen in the water"}
MOST_FILL = 0.85  # share of a container that media may fill: room for the spray above and the drain below; common practice
NOTHING = 1e-6  # g/m2/d: a removal below this is none
LONG_STOP = Q(6, "h")  # after which a flooded filter is treated as spoilt; common practice, no source
ALKALINITY = Q(40, "mg/L")  # as CaCO3, below which nothing keeps the pH of a filter from falling (WisconsinSand)
NEUTRAL = 7.2  # pH below which bacteria are known to slow down (EPA1975)
_MODELS = {"ZhuChen1999": "biofilm in clean water", "Kamstra1998": "trickling filters on eel farms", "MaloneBeecher2000": "floating beads"}
_GUIDELINES = {"AquaDictionary": "no concentration given: to compare only", "WortmanWheaton1991": "no concentration given: to compare only"}

Numbers = Mapping[str, Number]
Series = Mapping[str, Quantity]


def _media_name(pond: Pond) -> str:
    return load("media")[pond.filter.media]["name"].split(",")[0]


# --------------------------------------------------------------------------------------------------------------------- facts, grids


def facts(numbers: Numbers, series: Series, month: int) -> dict[str, str]:
    """Name the deciding month, the limit that binds in it, and answer the builder's question in one sentence."""
    if "tan_load" not in numbers and "design_tan" not in numbers:
        return {}
    found = {"month": MONTH[month]}
    if "capacity" in series:
        found["binds"] = LIMITS[min(LIMITS, key=lambda name: series[name][month].m)]
        if "tan_load" in numbers:
            found["answer"] = _answer(numbers, found)
    return found


def _answer(numbers: Numbers, found: Mapping[str, str]) -> str:
    ammonia, capacity = numbers["tan_load"], numbers["capacity"]
    short = ammonia.value - capacity.value
    word = "that is enough" if short.m <= 0 else f"{show(short, 'g/d', digits=2)} too little"
    return (f"In {found['month']} the feed brings up to {ammonia.text(digits=2)} of ammonia (as N) and the filter converts at least "
            f"{capacity.text(digits=2)}: {word}. What limits it is {found['binds']}.")


def grids(pond: Pond, numbers: Numbers, series: Series, temperature: Quantity | None, month: int, area: Quantity | None
          ) -> tuple[Grid, ...]:
    """Lay out the year, the rival models and the media that would do; `area` is the surface that is typically needed, or None."""
    found = []
    if "tan_load" in series and "design_tan" in series:
        found.append(_year(series, temperature))
    if "removal" in numbers:
        found.append(_models(numbers["design_tan"], temperature[month], month))
    if "tan_load" in numbers and "removal" in numbers:
        found.append(_media(pond, "pump_hours" in series, area, numbers["area_needed"].value if "area_needed" in numbers else None))
    return tuple(found)


def _year(series: Series, temperature: Quantity) -> Grid:
    rows, names, sized = [], tuple(LIMITS), "capacity" in series
    least = np.argmin([series[name].m for name in names], axis=0) if sized else None
    for m in np.flatnonzero(series["tan_load"].m > 0):
        converts = (series["capacity"][m], names[least[m]]) if sized else (None, "–")
        rows.append((MONTHS[m], temperature[m], series["design_tan"][m], series["tan_load"][m], *converts))
    return Grid("The months of feeding, at the cautious end: ammonia (as N) from the feed, and what the filter converts",
                ("Month", "Water", "Design TAN", "From feed", "Converts", "Limit"), ("", "degC", "mg/L", "g/d", "g/d", ""), tuple(rows))


def _models(design: Number, temperature: Quantity, month: int) -> Grid:
    def rate(value) -> Quantity:
        return Q(float(value), "g/m2/d")

    tans, warmth = (design.low.m, design.typical.m), temperature.m  # plain numbers: to compare with, no number of the plan hangs on them
    rows = [(model, words, *(rate(n.areal_removal.plain(tan, warmth, method=model)) for tan in tans), Q(n.MINIMUM_TAN[model], "mg/L"))
            for model, words in _MODELS.items()]
    rows += [(method, words, rate(n.guideline_removal.plain(warmth, method)), None, None) for method, words in _GUIDELINES.items()]
    return Grid(f"What 1 m² of media converts a day in {MONTH[month]}, by different sources, in clean water",
                ("Source", "Measured on", "At cautious TAN", "At typical TAN", "Least TAN"), ("", "", "g/m2/d", "g/m2/d", "mg/L"),
                tuple(rows))


def _media(pond: Pond, timed: bool, typical: Quantity | None, cautious: Quantity | None) -> Grid:
    """Give the volume of every medium that suits the filter; a dash where no volume will do."""
    suits = [row for row in load("media").rows if pond.filter is None or pond.filter.operation in row["suits"]]
    volumes = (_volumes(area, [row[key].m for row in suits]) for area, key in ((cautious, "ssa_low"), (typical, "ssa_typical")))
    rows = tuple((row["name"], c, t, row["note"] or "") for row, c, t in zip(suits, *volumes, strict=True))
    when = "in the hours that the pump runs" if timed else "the pump running all day"
    return Grid(f"Media that would carry the ammonia of every month, {when}", ("Media", "Plan on", "Typical", "Note"), ("", "L", "L", ""),
                rows)


def _volumes(area: Quantity | None, surfaces) -> list:
    return [None] * len(surfaces) if area is None else list(b.media_volume(area, Q(np.array(surfaces), "m2/m3")))


# ------------------------------------------------------------------------------------------------------------ assumptions, cautions


def assumptions(pond: Pond, numbers: Numbers, dirty: bool, warmer: float, powered: bool) -> tuple[Assumption, ...]:
    """Name every coefficient and choice that the plan made, as far as its numbers use them."""
    found = []
    if "removal" in numbers or "tan_load" in numbers:
        found.append(Assumption(
            "The cautious end takes every uncertain number at its bad end at once. That is more bad luck than is likely, so what holds "
            "there can be built on; it decides. How many times the filter covers the ammonia is told for independent errors too (root of "
            "the sum of their squares).", ("GUM",)))
    if "tan_load" in numbers:
        found.append(Assumption(
            "Ammonia from feed: 0.092 of its protein, that is 0.16 (nitrogen in protein) x 0.80 (taken up) x 0.80 (given off again) x 0.90 "
            "(as ammonia); two other rules give the range, and the largest is planned on.",
            ("TimmonsEbeling2010", "FAO589", "ExtensionAmmonia"), True))
        if pond.fish is not None and pond.fish.feed is None:
            found.append(Assumption(
                "The filter is judged by the most that these fish may be fed in each month. A feed that is weighed and written into "
                "fish.feed takes the place of that guess."))
    used = {"design_tan": ("unionized_ammonia_limit", "ammonia_ceiling"),
            "removal": ("nitrification_theta", "organic_load_factor") if dirty else ("nitrification_theta",),
            "capacity": ("removal_per_pass", "usable_oxygen")}
    found += [_coefficient(name) for key, names in used.items() for name in names if key in numbers]
    if "design_tan" in numbers:
        above = show(Q(warmer, "delta_degC"), "delta_degC", digits=2)
        found.append(Assumption(
            f"Warm afternoons are {above} above the month's mean, as the warmest reading was." if warmer > 0 else
            "No reading is warmer than its month's mean, so afternoons are taken to be as warm as the mean."))
        found.append(Assumption(
            "The limit for ammonia is taken at the highest pH that was read; at the cautious end, where it is higher, at the pH to which "
            "that water comes once its surplus of carbon dioxide has gone into the air, since a filter airs the water. That is known only "
            "where alkalinity was read in the same set.", ("PlummerBusenberg1982",)))
        if set(coefficients()["lime_index"].sources) <= set(numbers["design_ph"].sources):
            found.append(lime_assumption())
    if "removal" in numbers:
        found.append(Assumption(
            "Removal on 1 m²: the lowest of three published models at the design TAN is planned on; Zhu and Chen's is called typical.",
            tuple(n.MINIMUM_TAN), True))
    if "capacity" in numbers:
        found.append(Assumption("While the pump stands still the media convert nothing.", ("Practice",)))
        if not powered:
            hours = show(pond.pump.hours_per_day, "h/d")
            found.append(Assumption(f"The pump runs {hours} in every month; without panel and battery in the pond file nobody has checked "
                                    "that."))
    if pond.filter is not None:
        found.append(Assumption(f"Media fill at most {100 * MOST_FILL:.0f} % of a container.", ("Practice",)))
    elif "removal" in numbers:
        found.append(Assumption("A solids filter stands before the media that the table asks for.", ("Practice",)))
    return tuple(found)


def _coefficient(name: str) -> Assumption:
    c = coefficients()[name]
    low, typical, high = (show(c.at(end), c.unit) for end in ("low", "typical", "high"))
    return Assumption(f"{c.label[0].upper()}{c.label[1:]}: typical {typical}, range {low} to {high}.", c.sources, c.unverified)


def cautions(numbers: Numbers) -> tuple[str, ...]:
    """Give the usual cautions of building, starting, stopping and cleaning a filter."""
    weighs = f" This one, full, weighs about {numbers['full_mass'].text(digits=2)}." if "full_mass" in numbers else ""
    return (
        "Lifting: fill the container where it stays, on level ground or on a stand that is built for its full mass; never move it with "
        f"water or media in it, and lift sacks of media with two people.{weighs} A tank that tips can crush.",
        "Second-hand containers: use only one that held food and whose content you know. What soaked into a drum that held chemicals does "
        "not wash out, and harms people and fish.",
        "Dust: wet stones and clay before you tip or rinse them, and do not breathe their dust.",
        "A new filter converts nothing on its first day: full strength took six to seven weeks in a trial. Start with few fish and little "
        "feed, and test ammonia and nitrite every second day until both stay low.",
        "After a stop: the film of bacteria on flooded media is out of oxygen within hours and begins to rot. If the pump stood still for "
        f"more than about {show(LONG_STOP, 'h')} (common practice, no source), empty the filter to waste before you start it again, rinse "
        "the media with pond water, feed little and test every day for two weeks. Never wash media with tap water that holds chlorine.",
        "Hygiene: pond water and filter sludge carry germs. Cover cuts, wear waterproof gloves, keep it from eyes and mouth, and wash "
        "hands and arms with soap afterwards. People with weak defences leave this work to others.",
    )


# ------------------------------------------------------------------------------------------------------------------------ findings


def findings(pond: Pond, stage: Stage) -> list[Finding]:
    """Say whether the filter is enough, what is missing, and what else to mend."""
    found = (_nothing_will_do(pond, stage), _enough(stage), _too_small(pond, stage), _container(pond, stage), _unsuited(pond),
             _acid(pond, stage), _loading(pond, stage), _turnover(stage), _stops(pond, stage), _solids(pond, stage), _afternoon_ph(pond))
    return [f for f in found if f is not None]


def _starves(stage: Stage) -> bool:
    """Tell whether the cautious design TAN lies below what a model's bacteria need to live."""
    return stage["removal"].low.m < NOTHING and stage["design_tan"].low.m <= max(n.MINIMUM_TAN.values())


def _nothing_will_do(pond: Pond, stage: Stage) -> Finding | None:
    if "removal" not in stage or "tan_load" not in stage or not _starves(stage):
        return None
    design, ph = stage["design_tan"], stage["design_ph"]
    model, least = max(n.MINIMUM_TAN.items(), key=lambda item: item[1])
    aired, lives, urgency = ph.high > ph.low, stage["removal"].typical.m > NOTHING, Urgency.DANGER
    hope = ""
    if lives:
        typically = f"at pH {round_text(ph.typical.m)} and {show(design.typical, 'mg/L', digits=2)}"
        hope = f" That is the cautious end. Typically, {typically}, they live"
        urgency, hope = (Urgency.FIX, f"{hope}.") if "cover" not in stage else _typically(stage, hope)
    when = f"At pH {round_text(ph.value.m)}" + (", to which this water comes once it has aired," if aired else "")
    mend = "Bring the afternoon pH down first, by shade over the water and fewer algae, not by acid; or feed less. Then plan again."
    if aired:
        mend = ("Feed little, and test ammonia and pH on bright afternoons: does the pH climb so high? Shade does not bring down what "
                "comes from the water's own alkalinity; plants that take up ammonia help, and rain water in small parts. "
                f"{hardness_wish(pond)}").strip()
    return Finding(
        "filter.no_media_will_do", urgency,
        f"{when} the water may hold only {design.text(digits=2)} of ammonia (as N) in {stage.facts['month']}; the bacteria need "
        f"{show(Q(least, 'mg/L'), 'mg/L')} to live ({name_source(model)}). No media area will do.{hope}",
        mend, ("filter.design_ph", "filter.design_tan", "filter.removal"))


def _typically(stage: Stage, they_live: str) -> tuple[Urgency, str]:
    """Say whether the filter would be enough where the bacteria live, though at the cautious end they do not."""
    converts = (f"{they_live}: the filter can convert {show(stage['capacity'].typical, 'g/d', digits=2)}, and the feed brings "
                f"{show(stage['tan_load'].typical, 'g/d', digits=2)}")
    urgency, more = _how_likely(stage)
    if urgency is Urgency.IMPROVE:
        return urgency, (f"{converts}: that would be enough. If the errors are independent of each other, it converts about "
                         f"{_times(stage['cover'].likely[0])} as much as the feed brings, or more.")
    return urgency, f"{converts}: that would be enough." if urgency is Urgency.FIX and stage["cover"].typical.m >= 1 else (
        f"{converts}: too little. {more}")


def _feed(stage: Stage) -> str:
    allowed = stage["feed_allowed"]
    return "do not feed" if allowed.value.m <= 0 else f"feed at most {allowed.text(digits=2)} in {stage.facts['month']}"


def _enough(stage: Stage) -> Finding | None:
    if "answer" not in stage.facts or stage["capacity"].value < stage["tan_load"].value:
        return None
    return Finding("filter.enough", Urgency.NOTE, stage.facts["answer"],
                   f"With this filter {_feed(stage)}. Test ammonia every week all the same.",
                   ("filter.tan_load", "filter.capacity", "filter.cover", "filter.feed_allowed"))


def _too_small(pond: Pond, stage: Stage) -> Finding | None:
    if "answer" not in stage.facts or stage["capacity"].value >= stage["tan_load"].value or stage["removal"].low.m < NOTHING:
        return None
    short = [MONTH[m] for m in np.flatnonzero(stage.series["tan_load"].m > stage.series["capacity"].m)]
    every = len(short) == np.count_nonzero(stage.series["tan_load"].m)
    months = "" if len(short) < 2 else f" It falls short in {'every month of feeding' if every else ', '.join(short)}."
    urgency, typical = _how_likely(stage)
    until = f"Until then {_feed(stage)}."
    if pond.fish.feed is None and stage["feed_allowed"].value.m > 0:
        until = (f"Or weigh the feed and write it into fish.feed: up to {stage['feed_allowed'].text(digits=2)} in {stage.facts['month']} "
                 "this filter is enough as it stands.")
    wish = hardness_wish(pond) if stage["design_ph"].high > stage["design_ph"].low else ""
    return Finding("filter.too_small", urgency, f"{stage.facts['answer']}{months} {typical}",
                   f"{_remedy(pond, stage)} {until} {wish}".strip(),
                   ("filter.tan_load", "filter.capacity", "filter.cover", "filter.feed_allowed"))


def _how_likely(stage: Stage) -> tuple[Urgency, str]:
    """Tell a filter that is small only in the worst case from one that ordinary bad luck, or typical values already, make too small."""
    cover, ammonia = stage["cover"], stage["tan_load"].typical
    if cover.likely[0].m >= 1:
        return Urgency.IMPROVE, (
            "That is the worst case, with every uncertain number at its bad end at once. Typically the filter converts "
            f"{_times(cover.typical)} as much as the feed brings; if the errors are independent of each other, about "
            f"{_times(cover.likely[0])} as much or more. Start with little feed, and let the ammonia tests decide.")
    if cover.typical.m >= 1:
        return Urgency.FIX, "This is the cautious end; typical values would suffice."
    helped = stage["capacity"].typical + sum(stage[key].typical for key in ("wall_share", "plant_share") if key in stage)
    if helped >= ammonia:
        return Urgency.FIX, ("Typical values do not suffice either, unless the pond's own walls, bottom and plants carry the rest; nobody "
                             "can count on that.")
    return Urgency.DANGER, "Even typical values do not suffice, with all that the pond's own walls, bottom and plants may add."


def _times(share: Quantity) -> str:
    return f"{show(share, '-', digits=2)} times"


def _remedy(pond: Pond, stage: Stage) -> str:
    match stage.facts["binds"]:
        case "the flow":
            flow = b.flow_needed(stage["tan_load"].value, stage["design_tan"].value, coefficients()["removal_per_pass"].low)
            return f"Bring more water through the filter, about {show(flow, 'L/min', digits=2)} day and night."
        case "the oxygen in the water":
            return "Bring more oxygen to the filter: air it, let the water splash on its way in, or raise the flow."
    if "media_missing" in stage:
        return f"Add {stage['media_missing'].text(digits=2)} of {_media_name(pond)}, or media with more surface."
    return "Let the pump run longer, or add media."


def _container(pond: Pond, stage: Stage) -> Finding | None:
    if pond.filter is None:
        return None
    short = "media_missing" in stage
    room, needed = MOST_FILL * pond.filter.container, stage["media_needed"].value if short else pond.filter.media_volume
    if needed <= room:
        return None
    unlikely = "cover" in stage and stage["cover"].likely[0].m >= 1
    asked = f"would be needed{' in the worst case' if unlikely else ''}" if short else "are in it"
    return Finding(
        "filter.container", Urgency.FIX if short and not unlikely else Urgency.IMPROVE,
        f"The container of {show(pond.filter.container, 'L')} takes at most {show(room, 'L')} of media ({100 * MOST_FILL:.0f} % of it); "
        f"{show(needed, 'L')} of {_media_name(pond)} {asked}.",
        "Use a larger or a second container, or media with more surface in the same room (see the table of media).",
        ("filter.media_needed",) if short else ())


def _unsuited(pond: Pond) -> Finding | None:
    if pond.filter is None or pond.filter.operation in load("media")[pond.filter.media]["suits"]:
        return None
    return Finding("filter.unsuited", Urgency.FIX,
                   f"The media table does not list {_media_name(pond)} for a {pond.filter.operation} filter "
                   f"({load('media')[pond.filter.media]['note']}).",
                   "Choose a medium that suits (see the table of media), or run the filter the other way.")


def _loading(pond: Pond, stage: Stage) -> Finding | None:
    if "hydraulic_loading" not in stage or pond.vessel is not None:  # the vessel's own chapter says it, for the vessel as built
        return None
    band, loading = coefficients()[f"hydraulic_loading_{pond.filter.operation}"], stage["hydraulic_loading"].typical
    if band.low <= loading <= band.high:
        return None
    low, high = (show(band.at(end), "m3/m2/d", digits=2) for end in ("low", "high"))
    thin = loading < band.low
    starves = "Corners of the bed get no fresh water." if pond.filter.operation == "submerged" else "Parts of the media stay dry or starve."
    harm = starves if thin else "So much water can wash the bacteria off or flood the bed."
    return Finding("filter.hydraulic_loading", Urgency.IMPROVE,
                   f"{show(loading, 'm3/m2/d')} passes the filter; published filters of this kind ran at {low} to {high}. {harm}",
                   "Use a narrower, taller bed or more flow." if thin else "Use a wider bed, or two side by side.",
                   ("filter.hydraulic_loading",))


def _turnover(stage: Stage) -> Finding | None:
    band = coefficients()["pond_turnover"]
    if "turnover" not in stage or stage["turnover"].typical <= band.high:
        return None
    return Finding("filter.turnover", Urgency.IMPROVE,
                   f"The pump needs {stage['turnover'].text(digits=2)} to move the pond's volume once; common practice is at most "
                   f"{show(band.high, 'h')}, for koi {show(band.low, 'h')} to {show(band.typical, 'h')}.",
                   "More flow clears solids sooner. Where the ammonia is carried all the same, a slow turnover is no danger by itself.",
                   ("filter.turnover",))


def _acid(pond: Pond, stage: Stage) -> Finding | None:
    """Say what low pH or used-up alkalinity does to the bacteria; the water's own stage tells the dose."""
    read = [float(r.ph.m) for r in pond.readings if r.ph is not None]
    left = next((r.alkalinity for r in reversed(pond.readings) if r.alkalinity is not None), None)
    low = min(read, default=NEUTRAL)
    if pond.filter is None or (low >= NEUTRAL and (left is None or left >= ALKALINITY)):
        return None
    said = []
    if low < NEUTRAL:
        least, most = (show(n.ph_factor(low, method), "%", digits=2) for method in ("EPA1975", "Villaverde1997"))
        said.append(f"The lowest pH that was read is {round_text(low)}. Below {round_text(NEUTRAL)} the bacteria slow down: "
                    f"{least} of their rate is left by one source ({name_source('EPA1975')}), {most} by another "
                    f"({name_source('Villaverde1997')}).")
    if left is not None and left < ALKALINITY:
        said.append(f"Alkalinity was {show(left, 'mg/L')} (as CaCO3) when it was last read. The bacteria make acid, and below about "
                    f"{show(ALKALINITY, 'mg/L')} little is left to hold the pH up ({name_source('WisconsinSand')}).")
    nothing = "removal" in stage and stage["removal"].low.m < NOTHING and not _starves(stage)
    return Finding(
        "filter.acid", Urgency.FIX if nothing else Urgency.IMPROVE, " ".join(said),
        "Test alkalinity and pH, and raise the alkalinity in small steps as the water's part of the plan says. Never let the pH jump: it "
        "turns harmless ammonium into poison.", ("filter.removal",) if "removal" in stage else ())


def _stops(pond: Pond, stage: Stage) -> Finding | None:
    if pond.filter is None or pond.pump is None or pond.filter.operation != "submerged":
        return None
    if pond.vessel is not None and (pond.vessel.outlets or pond.vessel.siphon) and "tan_load" in stage.series:
        return None  # the stage vessel works the longest safe stop out
    hours, used = stage.series["pump_hours"].m_as(unit("h/d")), np.ones(12, bool)
    if "tan_load" in stage.series:
        used = stage.series["tan_load"].m > 0
    worst = int(np.where(used, hours, np.inf).argmin())
    still = Q(24.0 - float(hours[worst]), "h")
    longest = max(still, pond.pump.longest_stop or still)
    if longest < LONG_STOP:
        return None
    sun = ""
    if longest == still and hours[worst] < float(pond.pump.hours_per_day.m_as(unit("h/d"))) - 0.05:
        carried = show(Q(float(hours[worst]), "h/d"), "h/d", digits=2)
        sun = f" In {MONTH[worst]}, the weakest month in use, the sun carries it for {carried}."
    rests = pond.pump.hours_per_day.m_as(unit("h/d")) < 24 - 0.05
    first = ("Run the pump day and night" if rests else "Make the stop shorter (more panel or battery, or a timer)" if longest == still
             else "Have an alarm tell of a pump that stands still")
    return Finding("filter.stops", Urgency.FIX,
                   f"The pump may stand still for {show(longest, 'h', digits=2)}; flooded media begin to die after about "
                   f"{show(LONG_STOP, 'h')} without flow (common practice, no source).{sun}",
                   f"{first}, let the filter drain by itself when it stops, or make it a trickling filter.")


def _solids(pond: Pond, stage: Stage) -> Finding | None:
    if pond.filter is None or pond.filter.solids_filter or "surface_capacity" not in stage:
        return None
    left = coefficients()["organic_load_factor"]
    return Finding("filter.solids", Urgency.IMPROVE,
                   f"No solids filter stands before the media, so only {100 * left.low.m:.0f} to {100 * left.high.m:.0f} % of the "
                   "clean-water rate is left.",
                   "Settle or sieve the solids out before the media, and empty that part every week.", ("filter.surface_capacity",))


def _afternoon_ph(pond: Pond) -> Finding | None:
    """Ask for an afternoon reading: pH peaks then, and a plan on morning readings would allow too much ammonia."""
    hours = [hour(reading) for reading in pond.readings if reading.ph is not None]
    if not hours or any(h is not None and 12 <= h <= 19 for h in hours):
        return None
    return Finding("filter.afternoon_ph", Urgency.IMPROVE,
                   "No pH in the readings is known to be from an afternoon, when it is highest; the real limit for ammonia may be lower.",
                   "Read pH and temperature at about four on a bright afternoon, and write the hour into `when`.", ("filter.design_tan",))
