"""Drains in words: what the stage assumes, the cautions, the holes to drill, and what fails when something clogs or bursts."""
from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

import numpy as np

from ..science.outlets import curved_gap
from ..tables import coefficients, load
from ..units import Q, Quantity, in_unit, show, unit
from . import climate
from . import levels as lv
from .below import how_known
from .model import Pond
from .results import Assumption, Finding, Grid, Number, Stage, Urgency
from .strata import surface
from .vessel import Outlet, Vessel

LITTLE = Q(5.0, "cm")  # of freeboard; common practice
SLOW, FAST = Q(6.1, "cm/s"), Q(12.2, "cm/s")  # 0.2 and 0.4 ft/s towards a screen, NMFSPump
FRY = Q(6.0, "cm")  # shorter fish count as fry there
FRY_GAP = Q(2.4, "mm")  # 3/32 inch, NMFSPump
FISH_GAP = 0.1  # of a fish's length; a judgement: a carp's head is about as wide
CROWDED = Q(15.0, "kg/m3")  # highest for fish on show, SRAC453: with running water, which there is none of then
DREGS = 0.1  # of the water; a judgement: with less than that left it is a matter of hours
LEVELLED = 3.0  # cm; a judgement: heights outdoors are not known better
AIR_HOLE = Q(5.0, "mm")  # in the line above the water, so that it does not siphon back; common practice
SMALL_GAP = Q(1.0, "mm")  # that a rubber seal takes up on a curved wall; a judgement
NEAR = 0.06  # how far a bore may lie from that of a pipe in the table of seals to be called that pipe
NO_SUCTION = ("No drain is taken to be under suction: what enters is never more than its open mouth lets in at that height of water. A "
              "drain that falls outside and runs full would carry more, but only while no air gets in, and nobody can rely on that.")
FREE_END = ("Nothing tells how high the vessel stands above the pond (above_pond): the free ends of all drains are taken to hang in the "
            "air. A drain that ends under water starts from that water's level.")
AT_ITS_TRIP = ("The siphon counts as a way out that runs full from the level on at which its mouth drowns; at worst it takes twice the "
               "flow that drowns it.")
ONE_CLOGS = "Of all ways out that one is taken to clog whose loss lifts the water most."
SOUND_WALL = ("Between two holes, and between a hole and a corner, a rib or the bottom, a hole's width of sound wall stays. The sizes of "
              "holes are common practice, from memory: measure the seal or the bulkhead fitting that you bought.")
USED_BY = {"drain_hole": {"hole", "elbow_up", "floor"}, "drain_pipe": {"stub", "tee", "elbow_down"}, "drain_lip": {"elbow_up", "floor"}}
MONTHS = climate.MONTHS
_CM = unit("cm")


def assumptions(pond: Pond, numbers: Mapping[str, Number]) -> tuple[Assumption, ...]:
    """Name the choices that the plan made for these drains, and how it knows what a pump leaves."""
    left = (how_known(pond.pond.shape),) if "intake_wanted" in numbers else ()
    return (*(_of_the_drains(pond) if "level_running" in numbers else ()), *left)


def _of_the_drains(pond: Pond) -> list[Assumption]:
    found = [Assumption(NO_SUCTION, ("Judgement",)), Assumption(_ends(pond.vessel), ("Judgement",)), Assumption(ONE_CLOGS, ("Judgement",))]
    kinds = {outlet.kind for outlet in pond.vessel.outlets} | ({"elbow_up"} if pond.vessel.siphon is not None else set())
    for name, needed in USED_BY.items():
        if not kinds & needed:
            continue
        c = coefficients()[name]
        words = f"{c.label[0].upper()}{c.label[1:]}: {c.typical.m:g} of the frictionless flow, range {c.low.m:g} to {c.high.m:g}."
        found.append(Assumption(words, c.sources, c.unverified))
    if bare := [outlet.name for outlet in pond.vessel.outlets if outlet.length is None and outlet.kind != "hole"]:
        words = f"Nothing tells the length of the pipe outside: {', '.join(bare)}. It is taken to end at the wall."
        found.append(Assumption(words, ("Judgement",)))
    if pond.vessel.outlets:
        found.append(Assumption(SOUND_WALL, ("Judgement",)))
    if pond.vessel.siphon is not None:
        found.append(Assumption(AT_ITS_TRIP, ("SiphonPriming",), True))
    return found


def _ends(vessel: Vessel) -> str:
    """Say what the drains fall to: the pond's water where they end under it, else their free ends."""
    if vessel.above_pond is None:
        return FREE_END
    pond, under = 100 * surface(vessel), [way.name for way in lv.ways_of(vessel) if way.tail > -math.inf]
    where = f"{show(Q(abs(pond), 'cm'), 'cm')} {'above' if pond > 0 else 'below'} the vessel's bottom"
    if not under:
        return f"The free ends of all drains hang in the air, above the pond's water, which is taken to stay {where}."
    ends = "ends" if len(under) == 1 else "end"
    return f"{', '.join(under)} {ends} under the pond's water, which is taken to stay {where}: what runs out falls to that water only."


def cautions() -> tuple[str, ...]:
    """Give the usual cautions of drains, siphons and frost."""
    return (
        "Test drains, siphon and overflow with clean water before there are fish: shut one way out after the other, with someone at the "
        "pump's plug. Water that runs over must find its way back to the pond or away from every plug, battery and footpath.",
        "Never suck a siphon on with your mouth: pond and filter water carry germs. Fill the hose under water instead.",
        "Below freezing: lines that slope all the way drain themselves when the pump stops; one with a check valve or a sag stays full and "
        "bursts. Stop an exposed filter before the nights freeze hard, drain it, and raise the pump to half the depth, so that it does "
        "not mix the warmer water at the bottom with the cold. Keep an opening in the ice with an air stone or a pot of hot water. Never "
        "hit the ice: the shock harms the fish. Stay off it.",
        "Let the water come back far from the intake, so that it crosses the pond, and let it fall or spread at the surface in the warm "
        "months: that brings air. Guard the return so that nobody trips and no small child reaches the water.",
    )


def holes(pond: Pond) -> list[Grid]:
    """List the holes to drill, with what is common for rubber seals, and the gap that a round wall leaves under a flat seal."""
    rows, across = [], pond.vessel.diameter
    for outlet in pond.vessel.outlets:
        least = most = spacing = gap = None
        if outlet.kind == "hole":
            least = most = outlet.inside_diameter
        elif (seal := _seal(outlet.inside_diameter)) is not None:
            least, most, spacing = (seal[key] for key in ("hole_least", "hole_most", "spacing"))
        if most is not None and across is not None and outlet.kind != "floor" and most < across:
            gap = curved_gap(most, across)
        rows.append((outlet.name, least, most, spacing, gap))
    if (siphon := pond.vessel.siphon) is not None and siphon.kind == "bell":  # its standpipe goes through the floor
        seal = _seal(siphon.inside_diameter)
        rows.append(("the siphon", *((None,) * 3 if seal is None else (seal[key] for key in ("hole_least", "hole_most", "spacing"))), None))
    heads = "way out", "hole at least", "hole at most", "centres apart, at least", "gap on the round wall"
    title = "Holes to drill: measure the seal that you bought first"
    return [Grid(title, heads, ("", "mm", "mm", "mm", "mm"), tuple(rows))] if rows else []


def _seal(bore) -> dict | None:
    """Return the row of the table of seals for the pipe whose bore this is, None where none comes near."""
    pipes, wanted = load("pipes"), in_unit(bore, unit("mm"))
    found = min(load("seals").rows, key=lambda row: abs(pipes[row["pipe"]]["inside_diameter"].m - wanted))
    return found if abs(pipes[found["pipe"]]["inside_diameter"].m / wanted - 1) <= NEAR else None


# ------------------------------------------------------------------------------------------------------------------------ findings


def find(pond: Pond, stages: Mapping[str, Stage]) -> list[Finding]:
    """Say what runs over, what empties the pond, what the siphon does, what freezes."""
    stage = stages["drains"]
    checks = (_runs_over(pond, stage, stages), _freeboard(stage), _screens(stage), _siphon(stage), _waste(pond, stage), _too_low(pond),
              _lift(pond, stage), _cut_holes(pond), _crowded(pond), _round_wall(stage), _back(pond, stage), _emptied(pond, stage, stages),
              _intake(pond, stage, stages), _frost(pond))
    return [finding for check in checks for finding in check]


def _runs_over(pond: Pond, stage: Stage, stages: Mapping[str, Stage]) -> Iterator[Finding]:
    if "level_running" not in stage or _is_sunk(pond):
        return
    flow, where = stages["plumbing"]["flow"], next(g for g in stage.grids if g.title.startswith("Where"))
    most = show(flow.high, "L/min")
    fix = f"Add an overflow that leads back to the pond: a {stage.facts['overflow']}." if stage.facts["overflow"] else (
        f"{'Raise the vessel or widen its ways out' if _drowned(pond) else 'Lower the ways out or widen them'}: there is no room for an "
        "overflow below the rim.")
    open_over, shut_over = (row[-1] for row in where.rows[:2])
    if open_over.m > 0:
        always = where.rows[0][1] >= pond.vessel.height  # at typical coefficients too
        does = "runs over" if always else "may run over"
        pond_too = " The pump empties the pond with it, unless that water finds its way back." if always else ""
        yield Finding("drains.runs_over", Urgency.DANGER if always and pond.fish is not None else Urgency.FIX,
                      f"This vessel {does} with all its drains open: at {most} they carry {show(flow.high - open_over, 'L/min')} "
                      f"with the water at the rim, and {show(open_over, 'L/min')} run over the edge.{pond_too}", fix,
                      ("drains.level_running",))
    elif shut_over.m > 0:
        shut, above = stage.facts["worst"], stage.facts["would_stand"]
        why = f"with {shut} shut the level would have to stand {above} above the rim, so" if above else f"{shut} is the only way out, and"
        yield Finding("drains.one_blocked", Urgency.FIX,
                      f"This vessel runs over if one drain clogs: at {most} {why} {show(shut_over, 'L/min')} run over the edge.", fix,
                      ("drains.level_blocked", "drains.overflow_flow"))


def _freeboard(stage: Stage) -> Iterator[Finding]:
    if "freeboard" in stage and 0 < stage["freeboard"].value.m < LITTLE.m:
        yield Finding("drains.freeboard", Urgency.IMPROVE,
                      f"While the pump runs the water stands {stage['freeboard'].text(digits=2)} below the rim at worst; "
                      f"{show(LITTLE, 'cm')} are common practice.", "Widen a drain, set it lower, or throttle the pump.",
                      ("drains.freeboard",))


def _screens(stage: Stage) -> Iterator[Finding]:
    if "level_screens" in stage and stage["level_screens"].note:
        yield Finding("drains.screens", Urgency.FIX,
                      "With half of each screen clogged this vessel runs over at worst: the level reaches the rim.",
                      "Give the drains larger screens (a basket has many times the area of a flat disc), and clean them each week.",
                      ("drains.level_screens",))


def _siphon(stage: Stage) -> Iterator[Finding]:
    does = stage.facts.get("siphon_does")
    advice = {
        "drains": "Shut the other drains down to a trickle, or give the siphon up: the vessel drains well without it.",
        "dribbles": "Take a narrower standpipe: the flow that it needs falls steeply with the bore.",
        "doubtful": "Take a narrower standpipe, or put a bend at the end of its pipe that holds some water, and try again.",
        "overflows": "Lower the crest or raise the rim.",
        "stays": "Lead the pipe further down, or take a wider one, so that it carries more than comes in; or let less water in.",
        "clings": "Lead the pipe further down, or take a wider one, so that it surely carries more than comes in.",
        "runs": "Count the cycle with a watch now and then: a siphon that has changed its pace is clogging or drawing air.",
    }
    if does is not None:
        yield Finding("drains.siphon", Urgency.NOTE if does == "runs" else Urgency.IMPROVE, stage.facts["siphon"], advice[does],
                      ("drains.siphon_start",))


def _waste(pond: Pond, stage: Stage) -> Iterator[Finding]:
    """Water that leaves to waste while all is well takes the pond with it."""
    if "level_running" not in stage or pond.fish is None:
        return
    level = stage["level_running"].value
    if running := [o.name for o in pond.vessel.outlets if o.leads_to == "waste" and o.sill < in_unit(level, _CM)]:
        yield Finding("drains.waste", Urgency.DANGER,
                      f"{running[0]} leads to waste and begins at {show(Q(_sill(pond, running[0]), 'cm'), 'cm')}, below the running "
                      f"level of {show(level, 'cm')} at worst: the pump would empty the pond through it.",
                      "Lead it back to the pond, or set it above every level that can occur.", ("drains.level_running",))


def _sill(pond: Pond, name: str) -> float:
    return next(o.sill for o in pond.vessel.outlets if o.name == name)


def _too_low(pond: Pond) -> Iterator[Finding]:
    """Say what a vessel does whose ways back begin below the pond's water: it fills from the pond, or empties the pond over its rim."""
    drowned = _drowned(pond)
    if not drowned:
        return
    way, rim = drowned[0], float(in_unit(pond.vessel.height, _CM))
    if _is_sunk(pond):
        yield Finding("drains.below_pond", Urgency.FIX if pond.fish is None else Urgency.DANGER,
                      f"The vessel's rim lies {show(Q(way.tail - rim, 'cm'), 'cm')} below the pond's water, and {way.name} leads there: "
                      "the pond runs back through it and over the rim, pump or no pump, until its water has sunk that far.",
                      "Raise the vessel until its rim stands above the pond's water, before any water goes in.", ())
        return
    yield Finding("drains.below_pond", Urgency.FIX,
                  f"{way.name} lies {show(Q(way.tail - way.sill, 'cm'), 'cm')} below the pond's water: nothing runs back through it until "
                  f"the vessel has filled to the pond's own level, {show(Q(way.tail, 'cm'), 'cm')} above its bottom, and there the water "
                  "stays when the pump stops.", "Raise the vessel, or move the outlet up.", ())


def _drowned(pond: Pond) -> list[lv.Way]:
    """Return the ways back that begin below the pond's water."""
    return [] if pond.vessel is None else [way for way in lv.ways_of(pond.vessel) if way.tail > way.sill]


def _is_sunk(pond: Pond) -> bool:
    """Tell whether the pond runs back over the vessel's rim: that lies below the pond's water, and a way back leads there."""
    return any(way.tail > in_unit(pond.vessel.height, _CM) for way in _drowned(pond))


def _lift(pond: Pond, stage: Stage) -> Iterator[Finding]:
    """Hold the lift of the line against where the vessel's water stands: a line that ends under water lifts to that water's surface."""
    if pond.plumbing is None or pond.vessel is None or pond.vessel.above_pond is None or "level_running" not in stage:
        return
    stands = in_unit(pond.vessel.above_pond, _CM) + in_unit(stage["level_running"].typical, _CM)
    if in_unit(pond.plumbing.lift, _CM) < stands - LEVELLED:
        yield Finding("drains.lift", Urgency.FIX,
                      f"By [vessel] its water stands {show(Q(stands, 'cm'), 'm')} above the pond's while the pump runs, but plumbing.lift "
                      f"is {show(pond.plumbing.lift, 'm')}. A pump lifts to the surface, even where the line ends below it: the "
                      "flow of this plan is too large.", "Measure both heights again, and write the lift up to that water or higher.",
                      ("drains.level_running", "plumbing.lift"))


def _cut_holes(pond: Pond) -> Iterator[Finding]:
    for outlet in pond.vessel.outlets if pond.vessel is not None else ():
        hole = _hole(outlet)
        low = in_unit(outlet.height, _CM) - in_unit(hole, _CM) / 2
        if outlet.kind not in ("floor", "elbow_up") and low < 0:
            yield Finding("drains.cut_floor", Urgency.FIX,
                          f"{outlet.name} stands {show(outlet.height, 'cm')} above the bottom, and its hole is about {show(hole, 'mm')} "
                          "wide: it would cut into the bottom.", "Set it a hole's width above the bottom, or go through the floor.", ())
            return


def _hole(outlet: Outlet) -> Quantity:
    """Return the widest hole that is common for an outlet, or its bore where the table has no such pipe."""
    seal = _seal(outlet.inside_diameter) if outlet.kind != "hole" else None
    return outlet.inside_diameter if seal is None else seal["hole_most"]


def _crowded(pond: Pond) -> Iterator[Finding]:
    """Tell holes side by side that leave no sound wall between them all the way round."""
    vessel = pond.vessel
    walls = [] if vessel is None else [(in_unit(x.height, _CM), in_unit(_hole(x), _CM)) for x in vessel.outlets if x.kind != "floor"]
    for height, _ in walls:
        beside = [hole for h, hole in walls if abs(h - height) < hole]
        if vessel.diameter is None:
            wall = 2 * (in_unit(vessel.length, _CM) + in_unit(vessel.width, _CM))
        else:
            cone = in_unit(vessel.cone_height, _CM) if vessel.cone_height is not None else 0.0
            wall = np.pi * in_unit(vessel.diameter, _CM) * (min(height / cone, 1.0) if cone else 1.0)
        if len(beside) > 1 and 2 * sum(beside) > wall:
            yield Finding("drains.crowded", Urgency.FIX,
                          f"{len(beside)} holes of up to {show(Q(10 * max(beside), 'mm'), 'mm')} about {show(Q(height, 'cm'), 'cm')} above "
                          f"the bottom take {show(Q(2 * sum(beside), 'cm'), 'cm')} of wall with a hole's width of sound wall between "
                          f"them, and the wall is {show(Q(wall, 'cm'), 'cm')} round.",
                          "Take fewer or narrower ways out, set some of them higher, or go through the floor.", ())
            return


def _round_wall(stage: Stage) -> Iterator[Finding]:
    gaps = [(row[0], row[-1]) for grid in stage.grids if grid.title.startswith("Holes") for row in grid.rows if row[-1] is not None]
    if gaps and max(gap for _, gap in gaps) > SMALL_GAP:
        name, gap = max(gaps, key=lambda pair: pair[1])
        yield Finding("drains.round_wall", Urgency.NOTE,
                      f"Under the seal of {name} the round wall bends away by {show(gap, 'mm')}; a flat washer bridges about "
                      f"{show(SMALL_GAP, 'mm')}.",
                      "Use a rubber seal that is made for round walls, drill where the wall is flattest, or go through the floor.", ())


def _back(pond: Pond, stage: Stage) -> Iterator[Finding]:
    line = pond.plumbing
    if "back_siphon" not in stage or not in_unit(line.mouth_under_water, _CM) > 0 or line.air_break:
        return
    low = pond.vessel.above_pond is not None and in_unit(pond.vessel.above_pond + pond.vessel.height, _CM) < 0
    yield Finding("drains.back_siphon", Urgency.DANGER if low else Urgency.IMPROVE,
                  f"The line ends {show(line.mouth_under_water, 'cm')} under water and has no air hole: when the pump stops, "
                  f"{stage['back_siphon'].text(digits=2)} run back to the pond, dirt and all" +
                  (", or the pond empties into the vessel, whose rim lies below it." if low else "."),
                  f"Drill a hole of some {show(AIR_HOLE, 'mm', digits=1)} into the line just above the vessel's highest water, or end the "
                  "line above it. What this plan says of the water that stays in the vessel holds only then.",
                  ("drains.back_siphon",))


def _emptied(pond: Pond, stage: Stage, stages: Mapping[str, Stage]) -> Iterator[Finding]:
    if "water_left" not in stage or pond.pump is None:
        return
    left, wanted, depth = stage["water_left"], stage["intake_wanted"], stage["depth_left"]
    if depth.value >= wanted.value:
        return
    mass = stages["fish"]["biomass"].value if "biomass" in stages["fish"] else None
    crowded = mass is not None and (left.value.m == 0 or mass / left.value > CROWDED)
    fish = "" if mass is None else f" for {show(mass, 'kg', digits=2)} of fish"
    hours = f"within {stage['time_to_empty'].text(digits=2)} " if "time_to_empty" in stage else ""
    other = f" A vessel that runs over does the same in {stage['time_to_overflow'].text(digits=2)}." if "time_to_overflow" in stage else ""
    share = left.value / stages["survey"]["volume"].low
    yield Finding("drains.pond_emptied", Urgency.DANGER if crowded else Urgency.FIX if share < DREGS else Urgency.IMPROVE,
                  f"A split hose lets the pump draw the pond down to its intake {hours}and leave {left.text(digits=2)}{fish}, "
                  f"{depth.text(digits=2)} deep.{other}", f"Raise the intake to {wanted.text(digits=2)} above the bottom or higher: then "
                                                          "a third of the water "
                                   "stays. Lead every "
                  "overflow back to the pond.", ("drains.water_left", "drains.intake_wanted"))


def _intake(pond: Pond, stage: Stage, stages: Mapping[str, Stage]) -> Iterator[Finding]:
    intake = pond.plumbing.intake if pond.plumbing is not None else None
    deepest = stages["survey"]["max_depth"].value if "survey" in stages and "max_depth" in stages["survey"] else None
    if intake is not None and intake.above_bottom is not None and deepest is not None and intake.above_bottom >= deepest:
        yield Finding("drains.intake_dry", Urgency.FIX,
                      f"The intake stands {show(intake.above_bottom, 'm')} above the bottom, and the water is only {show(deepest, 'm')} "
                      "deep: the pump would draw air.", "Measure the intake's height from the bottom, where the pond is deepest.", ())
    if intake is None or pond.fish is None:
        return
    small = min((g.length for g in pond.fish.groups), key=lambda length: in_unit(length, _CM))
    limit = FRY_GAP if small < FRY else FISH_GAP * small
    if intake.opening is not None and intake.opening > limit:
        yield Finding("drains.intake_gap", Urgency.FIX,
                      f"The intake's widest gap is {show(intake.opening, 'mm')}; for fish of {show(small, 'cm')} it should be at most "
                      f"{show(limit, 'mm', digits=2)}.", "Put the pump into a basket of finer mesh, with as much open area as will go.", ())
    if "intake_speed" in stage and stage["intake_speed"].value > SLOW:
        speed = stage["intake_speed"]
        yield Finding("drains.intake_speed", Urgency.FIX if speed.value > FAST else Urgency.IMPROVE,
                      f"The water runs through the intake's screen at {speed.text(digits=2)}; for young fish {show(SLOW, 'cm/s')} is the "
                      f"limit where nobody cleans it daily, {show(FAST, 'cm/s')} where someone does.",
                      "Give the screen more open area: a large basket or a bag of mesh round the pump.", ("drains.intake_speed",))


def _frost(pond: Pond) -> Iterator[Finding]:
    here = climate.known(pond)
    if here is None or (pond.vessel is None and pond.plumbing is None):
        return
    air = here.air_temperature.m_as("degC")
    cold = [MONTHS[n] for n in np.flatnonzero(air <= 0.0)]
    record = pond.place.record_cold
    if not cold and (record is None or record.m_as("degC") >= 0):
        return
    when = f"in {', '.join(cold)} the mean of the air is below freezing" if cold else f"nights of {show(record, 'degC')} have been known"
    valve = pond.plumbing is not None and any(run.fittings.get("check_valve") for run in pond.plumbing.line)
    full = " The line holds its water behind the check valve and would burst." if valve else ""
    yield Finding("drains.frost", Urgency.FIX if cold and valve else Urgency.IMPROVE if cold else Urgency.NOTE,
                  f"Lines and vessel can freeze: {when}.{full}",
                  "Lay every line so that it drains itself when the pump stops, stop and drain an exposed filter before hard frost, "
                  "raise the pump to half the depth, and keep an opening in the ice without a blow.", ())
