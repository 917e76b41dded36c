"""What the vessel's numbers mean: its table of layers, assumptions, cautions and findings. Nothing here decides a number of the plan."""

from __future__ import annotations

import itertools
from collections.abc import Mapping

import numpy as np

from ..tables import coefficients
from ..units import Q, show
from .model import Pond
from .night import KEEP_WARM, stops, supply, why_it_stops
from .results import Assumption, Finding, Grid, Number, Stage, Urgency
from .standing import DRY_LAYER
from .strata import built

RINSE_OFTEN = Q(7.0, "d")  # a mat that is full sooner is a nuisance: nobody rinses it in time; a judgement
SMALL_HOLE = Q(4.0, "mm")  # smaller ones clog with slime and snails; common practice
DISAGREE = 0.10  # of the media's volume: layers and [filter] that differ by more do not mean the same vessel
FINER = 1.5  # times the surface of what comes later: finer media met first catch the dirt
NOTABLE = 0.10  # of the flow; a judgement: that much less through clogged holes is worth a wider spreader
RIM_SPACE = Q(10.0, "cm")  # to leave above the media for the spreader and for a rise of the level; common practice

Numbers = Mapping[str, Number]


def facts(pond: Pond, numbers: Numbers) -> dict[str, str]:
    """Say how the media stand when the pump has stopped."""
    under = built(pond.vessel).drowned
    found = {"operation": operation(pond)}
    if under is not None:
        found["at_rest"] = "drained" if under <= 0 else "flooded" if under >= 1 else f"{100 * under:.0f} % under water"
    if "safe_stop" in numbers:
        found["stop"] = f"The pump may stop for {numbers['safe_stop'].text(digits=2)} at most."
    return found


def operation(pond: Pond) -> str:
    """Return how the filter is run: as the pond file says, or as its outlets make it."""
    if pond.filter is not None:
        return pond.filter.operation
    return "submerged" if (built(pond.vessel).drowned or 0.0) > 0.5 else "trickling"


def layers(laid) -> Grid:
    """List the layers as the vessel is filled, from the top down."""
    rows = tuple(
        (
            x.name,
            Q(100 * x.thickness, "cm"),
            Q(1000 * x.volume, "L"),
            Q(x.volume * x.surface, "m2") if x.row else None,
            Q(1000 * x.void * x.volume, "L"),
            Q(x.volume * x.bulk, "kg") if x.row else None,
        )
        for x in laid
    )
    return Grid(
        "Layers, from the top down",
        ("Layer", "Thickness", "Volume", "Surface", "Water when flooded", "Dry mass"),
        ("", "cm", "L", "m2", "L", "kg"),
        rows,
    )


# ------------------------------------------------------------------------------------------------------------ assumptions, cautions


def assumptions(pond: Pond, numbers: Numbers) -> tuple[Assumption, ...]:
    """Name the coefficients and choices behind the numbers that are there."""
    unread = ("unread_tan",) if all(reading.tan is None for reading in pond.readings) else ()
    used = {
        "volume_drained": ("film_thickness",),
        "settled": ("dirt_density",),
        "rinse_days": ("solids_share", "mat_capture", "mat_fill", "sludge_solids"),
        "oxygen_lasts": ("resting_share", "start_share", "solids_share", "dirt_days", "dirt_uptake", *unread),
        "moist": ("evaporation", "film_thickness"),
    }
    names = dict.fromkeys(name for key, wanted in used.items() if key in numbers for name in wanted)
    found = [_coefficient(name) for name in names]
    if "plate_water" in numbers or "evenness" in numbers:
        found.append(
            Assumption(
                "A drilled hole passes 0.61 of what its area would (clean edges, no burrs); friction along the pipe is left out.",
                ("Orifice", "DeadEndManifold"),
            )
        )
    if "media_fit" in numbers:
        room = show(RIM_SPACE, "cm")
        found.append(Assumption(f"Media leave {room} free below the rim, for the spreader and for a rise of the water.", ("Practice",)))
    if "moist" in numbers:
        found.append(Assumption(f"A drained bed counts as lost when its uppermost {show(DRY_LAYER, 'cm')} are dry.", ("Judgement",)))
    return tuple(found)


def _coefficient(name: str) -> Assumption:
    c = coefficients()[name]
    low, typical, high = (show(c.at(end), c.unit) for end in ("low", "typical", "high"))
    return Assumption(f"{c.label[0].upper()}{c.label[1:]}: typical {typical}, range {low} to {high}.", c.sources, c.unverified)


def cautions(numbers: Numbers) -> tuple[str, ...]:
    """Give the usual cautions of setting up, filling and opening a filter vessel."""
    weighs = f" This one weighs {numbers['mass_flooded'].text(digits=2)} when it is full to the rim." if "mass_flooded" in numbers else ""
    return (
        f"Weight: the stand or the ground carries the vessel full to its rim, not only as it runs: a drain clogs one day.{weighs} Stand it "
        "level on firm ground; a high stand is built by someone who knows how. Fill and empty it where it stands.",
        "After a long stop without flow: run the first vessel-full to waste, away from pond, well and stream, never to the fish. Water "
        "that has stood without oxygen holds ammonia and perhaps hydrogen sulphide, which smells of rotten eggs. Open such a vessel in "
        "the open air, and do not put your head into it.",
        "Wear waterproof gloves when you rinse mats and media, cover cuts, and wash hands and arms with soap afterwards.",
        "Wet the media before you pour or rinse them, and do not breathe their dust.",
    )


# ------------------------------------------------------------------------------------------------------------------------ findings


def findings(pond: Pond, stages: Mapping[str, Stage]) -> list[Finding]:
    """Say what would not work in this vessel, or not for long."""
    stage = stages["vessel"]
    checks = (
        _stop(pond, stages),
        _stands(pond),
        _bypass(pond),
        _coarse_first(pond),
        _loading(pond, stage),
        _rinse(stage),
        _uneven(pond, stage),
        _spreader_head(stage, stages),
        _small_holes(pond),
        _holes_touch(pond),
        _no_spreader(pond),
        _disagrees(pond, stage),
        _no_media(pond),
    )
    return [f for f in checks if f is not None]


def _buckets(stages: Mapping[str, Stage]) -> str:
    """Say how much the vessel holds while it runs, where the plan knows it, else how much it could hold."""
    runs = stages["drains"].numbers.get("volume_running") if "drains" in stages else None
    most = stages["vessel"]["room"] if runs is None else runs
    return show(most.typical, "L", digits=2)


def _stop(pond: Pond, stages: Mapping[str, Stage]) -> Finding | None:
    """Hold the longest stop to expect, in a month in which fish are fed, against the longest safe one."""
    stage, expected = stages["vessel"], stops(pond, supply(stages))
    if "safe_stop" not in stage or expected is None:
        return None
    feed = stages["fish"].series.get("feed") if "fish" in stages else None
    hours = expected.cautious if feed is None or not np.any(feed.m > 0) else np.where(feed.m > 0, expected.cautious, 0.0)
    month = int(hours.argmax())
    longest, safe = expected.of(month), stage["safe_stop"]
    if longest <= safe.value:
        return None
    soonest = safe.low if safe.likely is None else safe.likely[0]
    typical, least = (safe.end_text(end, digits=2) for end in (safe.typical, soonest))
    sure = (
        f"Typically they live for {typical}, which is still less."
        if longest > safe.typical
        else f"Typically they live for {typical}; if the errors are independent of each other, for {least} or more."
    )
    act = (
        "Put a lid on it that lets air in, so that the media stay moist, or water them by hand. "
        if stage.facts["at_rest"] == "drained"
        else "Let the vessel drain by itself when the pump stops, or keep a trickle running from a small second pump. "
    )
    if expected.by_frost[month]:
        act = f"Keep the battery above freezing, {KEEP_WARM}. {act}"
    return Finding(
        "vessel.stop",
        Urgency.FIX if longest > safe.typical else Urgency.IMPROVE if longest > soonest else Urgency.NOTE,
        f"{why_it_stops(expected, month)}; in the worst case the media live without flow for only {safe.text(digits=2)}. {sure}",
        f"{act}After a longer stop run the first vessel-full, {_buckets(stages)}, to waste, rinse the media with pond water, and feed "
        "little for two weeks.",
        ("vessel.safe_stop",),
    )


def _stands(pond: Pond) -> Finding | None:
    under = built(pond.vessel).drowned
    if under is None or operation(pond) != "trickling" or under <= 0.2:
        return None
    level = show(Q(built(pond.vessel).rest, "m"), "cm")
    return Finding(
        "vessel.stands",
        Urgency.FIX,
        f"The pond file calls this a trickling filter, but water stands up to {level} in it: {100 * under:.0f} % of the media are flooded.",
        "Set an outlet lower, below the media, or plan it as a submerged filter.",
        (),
    )


def _bypass(pond: Pond) -> Finding | None:
    """Tell where water takes the short way: in at the top and out at the top, or in below and out below."""
    inside = built(pond.vessel)
    if inside.foot is None or inside.leaves is None:
        return None
    down = pond.vessel.flow == "down"
    if not (inside.leaves >= inside.top if down else inside.leaves <= inside.foot):
        return None
    level, edge = (show(Q(100 * height, "cm"), "cm") for height in (inside.leaves, inside.top if down else inside.foot))
    return Finding(
        "vessel.bypass",
        Urgency.FIX,
        f"The water comes in {'above' if down else 'below'} the media and leaves at {level}, {'above' if down else 'below'} their "
        f"{'top' if down else 'foot'} at {edge}: it takes the short way and does not pass them.",
        "Let it leave on the far side of the media: " + ("from the plenum below them." if down else "above them."),
    )


def _coarse_first(pond: Pond) -> Finding | None:
    met = [x for x in built(pond.vessel).strata if x.row is not None]
    met = met if pond.vessel.flow == "down" else met[::-1]
    for first, later in itertools.pairwise(met):
        if first.surface > FINER * later.surface and first.kind == "media":
            a, c = (show(Q(x.surface, "m2/m3"), "m2/m3") for x in (first, later))
            return Finding(
                "vessel.coarse_first",
                Urgency.FIX,
                f"The water meets {first.name} ({a}) before {later.name} ({c}): the fine media catch the dirt and clog.",
                "Coarse before fine: turn the layers round, with a mat where the water comes in.",
            )
    caught = pond.filter is not None and pond.filter.solids_filter
    if met and met[0].kind == "media" and not caught:
        return Finding(
            "vessel.no_mat",
            Urgency.IMPROVE,
            f"The water meets {met[0].name} with all its dirt: no mat lies before the media and no solids filter is planned.",
            "Put a coarse mat where the water comes in, easy to lift out and rinse, or a settling tank before the vessel.",
        )
    return None


def _loading(pond: Pond, stage: Stage) -> Finding | None:
    if "hydraulic_loading" not in stage:
        return None
    how = operation(pond)
    band, loading = coefficients()[f"hydraulic_loading_{how}"], stage["hydraulic_loading"].typical
    if band.low <= loading <= band.high:
        return None
    low, high = (show(band.at(end), "m3/m2/d", digits=2) for end in ("low", "high"))
    thin = loading < band.low
    starves = "Corners of the bed get no fresh water." if how == "submerged" else "Parts of the media stay dry or starve."
    harm = starves if thin else "So much water can wash the film off or flood the bed."
    return Finding(
        "vessel.loading",
        Urgency.IMPROVE,
        f"{show(loading, 'm3/m2/d')} passes this vessel; published {how} filters ran at {low} to {high}. {harm}",
        "Use a narrower, taller vessel or more flow." if thin else "Use a wider vessel, or two side by side.",
        ("vessel.hydraulic_loading",),
    )


def _rinse(stage: Stage) -> Finding | None:
    if "rinse_days" not in stage or stage["rinse_days"].typical >= RINSE_OFTEN:
        return None
    days = stage["rinse_days"]
    return Finding(
        "vessel.rinse",
        Urgency.IMPROVE,
        f"In the fullest month the mat is full after {show(days.typical, 'd', digits=2)} typically ({days.text(digits=2)} at worst); a "
        "week or more is what people keep up with.",
        "Take a larger or thicker mat, a coarser one before it, or a settling tank.",
        ("vessel.rinse_days", "vessel.solids"),
    )


def _uneven(pond: Pond, stage: Stage) -> Finding | None:
    sp = pond.vessel.spreader
    if sp is None or "holes_even" not in stage or sp.holes <= stage["holes_even"].value.m:
        return None
    most = f"{stage['holes_even'].value.m:.0f}"
    says = (
        f"its first hole gives only {stage['evenness'].text(digits=2)} of what the last gives"
        if "evenness" in stage
        else ("its first holes give next to nothing")
    )
    return Finding(
        "vessel.uneven",
        Urgency.IMPROVE,
        f"The spreader has {sp.holes} holes of {show(sp.hole, 'mm')} in a pipe of {show(sp.inside_diameter, 'mm')}: {says}; 90 % is common "
        "practice.",
        f"Drill at most {most} holes of that size, or smaller ones (not under {show(SMALL_HOLE, 'mm')}), or take a wider pipe.",
        ("vessel.evenness",) if "evenness" in stage else (),
    )


def _spreader_head(stage: Stage, stages: Mapping[str, Stage]) -> Finding | None:
    if "spreader_flow_clogged" not in stage:
        return None
    falls, now = stage["spreader_flow_clogged"].value, stages["plumbing"]["flow"].typical
    if falls > (1 - NOTABLE) * now:
        return None
    return Finding(
        "vessel.spreader_head",
        Urgency.IMPROVE,
        f"The spreader takes {show(stages['plumbing']['spreader_head'].value, 'cm', digits=2)} of head. Once a third of its holes have "
        f"clogged, the flow falls from {show(now, 'L/min')} to {show(falls, 'L/min')}.",
        "Take a wider spreader pipe with more or larger holes, and clean the holes when the flow falls.",
        ("vessel.spreader_flow_clogged", "plumbing.spreader_head"),
    )


def _small_holes(pond: Pond) -> Finding | None:
    sp = pond.vessel.spreader
    if sp is None or sp.hole >= SMALL_HOLE:
        return None
    return Finding(
        "vessel.small_holes",
        Urgency.IMPROVE,
        f"Holes of {show(sp.hole, 'mm')} clog with slime and snails; {show(SMALL_HOLE, 'mm')} or more is common practice.",
        "Drill fewer, larger holes, and give the pipe a cap that comes off, so that a brush gets in.",
    )


def _holes_touch(pond: Pond) -> Finding | None:
    sp = pond.vessel.spreader
    if sp is None or sp.kind != "pipe" or sp.length / sp.holes > sp.hole:
        return None
    return Finding(
        "vessel.holes_touch",
        Urgency.FIX,
        f"In one row the {sp.holes} holes of the spreader stand {show(sp.length / sp.holes, 'mm')} apart from middle to middle, and each "
        f"is {show(sp.hole, 'mm')} wide: they would run into each other.",
        "Drill fewer or smaller holes, or set them in two rows or more, with sound pipe between them.",
    )


def _no_spreader(pond: Pond) -> Finding | None:
    if pond.vessel.spreader is not None or operation(pond) != "trickling":
        return None
    return Finding(
        "vessel.no_spreader",
        Urgency.FIX,
        "No spreader is planned: a single jet wets a small part of the media, and the rest stays dry and does nothing.",
        "Plan a drilled pipe or plate over the whole top and write it into [vessel.spreader].",
    )


def _disagrees(pond: Pond, stage: Stage) -> Finding | None:
    if pond.filter is None or "media_volume" not in stage:
        return None
    layered, planned = stage["media_volume"].value, pond.filter.media_volume
    names = {x.layer.media for x in built(pond.vessel).media}
    if abs((layered / planned).m_as("dimensionless") - 1) <= DISAGREE and pond.filter.media in names:
        return None
    return Finding(
        "vessel.disagrees",
        Urgency.FIX,
        f"The layers hold {show(layered, 'L')} of media, [filter] plans {show(planned, 'L')} of {pond.filter.media}: the plan of ammonia "
        "is not that of this vessel.",
        "Make filter.media and filter.media_volume what the layers hold.",
        ("vessel.media_volume",),
    )


def _no_media(pond: Pond) -> Finding | None:
    if built(pond.vessel).media:
        return None
    return Finding(
        "vessel.no_media",
        Urgency.NOTE,
        "No layer of this vessel is media, so it catches dirt at most and converts no ammonia.",
        'Add a layer with kind = "media".',
    )
