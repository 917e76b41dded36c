"""Drains, siphon and what can fail: where the water stands in the vessel, what runs over, what runs back, what is left of the pond."""
from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from ...science import emptying as e
from ...science import outlets as o
from ...tables import coefficients, load
from ...units import Q, Quantity, in_unit, show, unit
from .. import levels as lv
from ..below import Below
from ..drain_words import assumptions, cautions, find, holes  # noqa: F401  (a stage has plan and find)
from ..held import running
from ..model import Pond
from ..night import as_coefficient
from ..pipework import GRADES, graded, lacking
from ..results import End, Grid, Number, Stage, by_key, given, number
from ..siphoning import siphoning
from ..strata import built

KEY, TITLE = "drains", "Drains, siphon and what can fail"
NEEDS_VESSEL = "needs [vessel] with [[vessel.outlets]] or [vessel.siphon], for the levels"
NEEDS_INTAKE = "needs [plumbing.intake] with above_bottom, for the water that a split hose would leave"
NEEDS_MOUTH = "needs plumbing.mouth_under_water, for what runs back when the pump stops"
RISE = "at its highest: the siphon lets it fall and rise"
SIPHON = {"runs": RISE, "clings": RISE, "stays": "at its highest: it falls once the siphon has started"}
POINTS = 25  # heights in the picture, besides those at which a way out begins
STAY = Q(33.0, "%")  # of the pond's water should stay whatever happens; a judgement, no source
CLEAR, OVER, ABOVE = 1.0, 6.0, 1.0  # cm: rim above an overflow's water, its lip below the rim, its lip above the running level; judgements
_CM, _L_MIN, _MM, _M, _M3 = (unit(text) for text in ("cm", "L/min", "mm", "m", "m3"))


def plan(pond: Pond, so_far: Mapping[str, Stage]) -> Stage:
    """Find the levels, the siphon's ways and what is left when something fails, as far as the pond file tells."""
    flow = so_far["plumbing"].numbers.get("flow") if "plumbing" in so_far else None
    flow = flow if flow is not None and flow.low.m > 0 else None
    has_ways = pond.vessel is not None and bool(pond.vessel.outlets or pond.vessel.siphon)
    numbers, facts, grids, series, missing = [], {}, [], {}, []
    if has_ways and flow is not None:
        case = _Case(pond, flow)
        started, said, curve = siphoning(pond.vessel, flow)
        falls = SIPHON.get(said.get("siphon_does"), "")
        levels = _levels(case, falls)
        numbers += [*levels, *running(pond, flow, levels[0], falls), *started]
        facts |= {"worst": case.worst, "overflow": _overflow(case), "would_stand": _would_stand(case)} | said
        ways = _ways(case)
        grids += [_situations(case), ways, *holes(pond)]
        series |= {**_curves(case), **curve, "way_flows": Q(np.array([row[3].m for row in ways.rows]), "L/min")}  # outlets, then the siphon
    missing += [] if has_ways else [NEEDS_VESSEL]
    missing += [] if flow is not None else [f"needs {lacking(pond)}, for the flow that comes in"]
    numbers += _back(pond, by_key(*numbers).get("level_running"))
    numbers += _left(pond, so_far, flow, by_key(*numbers).get("overflow_flow"))
    if pond.plumbing is not None:
        intake = pond.plumbing.intake
        missing += [NEEDS_INTAKE] if intake is None or intake.above_bottom is None else []
        missing += [NEEDS_MOUTH] if has_ways and pond.plumbing.mouth_under_water is None else []
    return Stage(KEY, TITLE, by_key(*numbers), series, facts, tuple(grids), assumptions(pond, by_key(*numbers)), cautions(), tuple(missing))


# ------------------------------------------------------------------------------------------------------------------- levels


@dataclass
class _Case:
    """A vessel at the pump's flow: its ways out at each end of the coefficients, and the levels found so far."""

    pond: Pond
    flow: Number
    ways: Mapping[str, tuple] = field(init=False)
    rim: float = field(init=False)
    worst: str = field(init=False)
    known: dict = field(default_factory=dict)

    def __post_init__(self):
        self.ways = {end: lv.ways_of(self.pond.vessel, end) for end in ("low", "typical", "high")}
        self.rim = float(in_unit(self.pond.vessel.height, _CM))
        self.worst = self._worst()

    def _worst(self) -> str:
        """Name the way out whose clogging lifts the water most, at the cautious ends; of equal ones the first."""
        low, most = self.ways["low"], float(in_unit(self.flow.high, _L_MIN))
        tried = {replace(w, name=""): w for w in reversed(low)}.values()
        levels = {w.name: (lv.level_at(most, lv.without(low, w.name), self.rim), w.flow(self.rim)) for w in reversed(tried)}
        return max(levels, key=levels.get)

    @property
    def ends(self) -> dict[str, End]:
        c = coefficients()
        used = [c[name] for name in ("drain_hole", "drain_pipe", "drain_lip")]
        sources = tuple(dict.fromkeys(key for one in used for key in one.sources))
        drains = graded("drains", "discharge of the drains", sources, True)
        return {"drains": End(drains, "low"), "flow": End(as_coefficient(self.flow, "flow"), "high")}

    def ways_left(self, end: str, state: str) -> tuple:
        """Return the ways in one state of things: "open", "blocked" (the worst one shut) or "screens" (half of each screen clogged)."""
        ways = self.ways[end]
        if state == "blocked":
            return lv.without(ways, self.worst)
        return lv.half_blocked(ways) if state == "screens" else ways

    def level(self, state: str, end: str, flow: float) -> float:
        """Return the level (cm) as if the wall went on above the rim."""
        asked = state, end, flow
        if asked not in self.known:
            self.known[asked] = lv.level_at(flow, self.ways_left(end, state), self.rim)
        return self.known[asked]

    def at_worst(self, state: str) -> float:
        return self.level(state, "low", float(in_unit(self.flow.high, _L_MIN)))

    def levels(self, state: str):
        """Return what finds the level in that state, never above the rim, for arrays of coefficients."""

        def found(drains: Quantity, flow: Quantity) -> Quantity:
            self.through_the_doors()
            asked = zip(drains.m.tolist(), in_unit(flow, _L_MIN).tolist(), strict=True)
            return Q(np.array([min(max(self.level(state, GRADES[grade], q), 0.0), self.rim) for grade, q in asked]), "cm")

        return found

    def through_the_doors(self) -> None:
        """Leave the trace of the formulas that carry the ways; their loops use the plain ones."""
        for way in {w.upright: w for w in self.ways["typical"]}.values():
            bore, over = Q(way.bore, "mm"), Q(max(self.rim - way.sill, 0.0), "cm")
            if way.upright:
                o.lip_flow(bore, over, way.cd_lip), o.orifice_flow(bore, over, way.cd)
            elif way.end is None and way.tail > way.sill:
                o.drowned_hole_flow(bore, over, Q(min(way.tail - way.sill, over.m), "cm"), way.cd)
            else:
                o.hole_flow(bore, over, way.cd)
            if way.end is not None:
                wall, water = Q(way.roughness, "mm"), Q(way.viscosity, "mm2/s")
                o.full_pipe_flow(Q(max(self.rim - max(way.end, way.tail), 0.0), "cm"), bore, Q(way.length, "m"), way.k, wall, water)


def _levels(case: _Case, siphon: str) -> list[Number]:
    """Give the levels, the freeboard and what runs over; `siphon` says what becomes of the running level where one starts."""
    rim, ends = case.rim, case.ends

    def level(key: str, label: str, state: str) -> Number:
        found = number(key, label, "cm", case.levels(state), decides=True, stacked=True, **ends)
        if case.at_worst(state) >= rim:
            return replace(found, note="at the rim: the rest runs over")
        return replace(found, note=siphon) if siphon and state == "open" else found

    running = level("level_running", "Level in the vessel while the pump runs", "open")
    free = number("freeboard", "Height from that level up to the rim", "cm", lambda **c: Q(rim, "cm") - case.levels("open")(**c),
                  decides=True, stacked=True, **ends)
    found = [running, free, level("level_blocked", f'Level with "{case.worst}" shut', "blocked")]
    if any(w.screened for w in case.ways["typical"]):
        found.append(level("level_screens", "Level with half of each screen clogged", "screens"))

    def over(drains: Quantity, flow: Quantity) -> Quantity:
        case.through_the_doors()
        asked = zip(drains.m.tolist(), in_unit(flow, _L_MIN).tolist(), strict=True)
        return Q(np.array([max(q - lv.carried(case.ways_left(GRADES[g], "blocked"), rim), 0.0) for g, q in asked]), "L/min")

    label = f'What runs over the rim with "{case.worst}" shut'
    return [*found, number("overflow_flow", label, "L/min", over, decides=True, stacked=True, **ends)]


def _curves(case: _Case) -> dict[str, Quantity]:
    """Return what the ways carry over heights from the bottom to the rim, shape (n,), for the picture."""
    bends = {h for w in case.ways["typical"] for h in (w.sill, w.sill + w.bore / 30, w.sill + w.bore / 10) if 0 < h < case.rim}
    heights = sorted({*np.linspace(0.0, case.rim, POINTS).tolist(), *bends})
    shut = [w for w in case.ways["low"] if w.name == case.worst]
    open_, low, lost = (np.array(lv.curve(ways, heights)) for ways in (case.ways["typical"], case.ways["low"], shut))
    series = {"axis": Q(np.array(heights), "cm")}
    return series | {name: Q(flow, "L/min") for name, flow in
                     (("carried", open_), ("carried_cautious", low), ("carried_blocked", np.maximum(low - lost, 0.0)))}


def _situations(case: _Case) -> Grid:
    """Set the levels of every state side by side, typical and at worst, with what runs over."""
    words = {"open": "all ways out open", "blocked": f"{case.worst} shut", "screens": "half of each screen clogged"}
    states = [state for state in words if state != "screens" or any(w.screened for w in case.ways["typical"])]
    typical, high, rows = float(in_unit(case.flow.typical, _L_MIN)), float(in_unit(case.flow.high, _L_MIN)), []
    for state in states:
        likely, worst = case.level(state, "typical", typical), case.at_worst(state)
        least = min(lv.carried(case.ways_left(end, state), case.rim) for end in ("low", "high"))  # the pond runs back most at the other end
        over = max(high - least, 0.0)
        levels = (Q(min(level, case.rim), "cm") for level in (likely, worst))
        rows.append((words[state], *levels, Q(max(case.rim - worst, 0.0), "cm"), Q(over, "L/min")))
    heads = "ways out", "level, typical", "level at worst", "below the rim at worst", "runs over at worst"
    return Grid("Where the water stands", heads, ("", "cm", "cm", "cm", "L/min"), tuple(rows))


def _ways(case: _Case) -> Grid:
    """Say of each way out where it begins, what it carries, and what holds the water back."""
    level, rows = case.level("open", "typical", float(in_unit(case.flow.typical, _L_MIN))), []
    for way in case.ways["typical"]:
        at = min(level + 1e-6, case.rim)  # at its trip a siphon runs
        carries = Q(way.flow(at), "L/min"), way.governs(at), Q(way.flow(case.rim), "L/min")
        rows.append((way.name, Q(way.bore, "mm"), Q(way.sill, "cm"), *carries))
    heads = "way out", "bore", "water leaves from", "carries while the pump runs", "as a", "carries at the rim"
    return Grid("What each way out carries, typical", heads, ("", "mm", "cm", "L/min", "", "L/min"), tuple(rows))


def _would_stand(case: _Case) -> str:
    """Say how far above the rim the water would have to stand with the worst way shut; "" where it does not or never could."""
    above = case.at_worst("blocked") - case.rim
    return show(Q(above, "cm"), "cm", digits=2) if 0 < above < math.inf else ""


def _overflow(case: _Case) -> str:
    """Name the smallest pipe that, turned up as an overflow below the rim, carries the pump's whole flow at worst; "" where none fits."""
    most, running = float(in_unit(case.flow.high, _L_MIN)), case.at_worst("open")
    lip = max(running + ABOVE, case.rim - OVER)
    head = case.rim - CLEAR - lip
    if not math.isfinite(running) or head <= 0:
        return ""
    series = "metric PVC-U PN 10" if case.pond.pond.units == "metric" else "Schedule 40 PVC"
    cd, cd_lip = lv.carrying("floor", "low")[:2]
    for row in load("pipes").rows:
        bore = float(in_unit(row["inside_diameter"], _MM))
        if row["series"] == series and min(o.lip_flow.plain(bore, head, cd_lip), o.orifice_flow.plain(bore, head, cd)) >= most:
            return f"{row['size']} pipe ({series}) turned up inside, its lip {show(Q(case.rim - lip, 'cm'), 'cm')} below the rim"
    return ""


# ------------------------------------------------------------------------------------------------- what runs back, what is left


def _back(pond: Pond, running: Number | None) -> list[Number]:
    """Give what runs back through the feed line when the pump stops: from the running level down to the line's mouth."""
    line, vessel = pond.plumbing, pond.vessel
    if line is None or vessel is None or line.mouth_under_water is None or any(run.fittings.get("check_valve") for run in line.line):
        return []
    depth = 0.0 if line.air_break else float(in_unit(line.mouth_under_water, _CM))
    inside = built(vessel)
    level = inside.rest if running is None else float(in_unit(running.typical, _M))
    level = inside.rim if level is None else min(level, inside.rim)
    water = inside.water_below(level) - inside.water_below(max(level - depth / 100, 0.0))
    area = Q(max(water, 0.0) / (depth / 100) if depth else 0.0, "m2")
    bores = [load("pipes")[run.pipe]["inside_diameter"] if run.pipe else run.inside_diameter for run in line.line]

    def runs_back() -> Quantity:
        first, *others = zip(bores, line.line, strict=True)
        whole = e.back_siphon_volume(area, Q(depth, "cm"), first[0], first[1].length)
        none = Q(0.0, "m2"), Q(0.0, "cm")
        return whole + sum((e.back_siphon_volume(*none, bore, run.length) for bore, run in others), Q(0.0, "L"))

    return [number("back_siphon", "Water that runs back to the pond when the pump stops", "L", runs_back)]


def _left(pond: Pond, so_far: Mapping[str, Stage], flow: Number | None, overflow: Number | None) -> list[Number]:
    """Give the water and the time that the fish have when the pump empties the pond, and how high the intake should stand."""
    survey = so_far.get("survey")
    if pond.plumbing is None or survey is None or "volume" not in survey:
        return []
    deepest = survey["max_depth"].value
    if survey["volume"].low.m <= 0 or deepest.m <= 0:
        return []
    below = Below(pond.pond.shape, survey)
    full, inflow = {"depths": End(graded("depths", "depth of the pond", below.sources, False), "low")}, {}
    if flow is not None:
        inflow = {"flow": End(as_coefficient(flow, "flow"), "high")}
    found = [number("intake_wanted", f"Height of the intake above the bottom that leaves {show(STAY, '%')} of the water", "m",
                    lambda depths: below.height(STAY, GRADES[depths.m]), decides=True, note=below.note, **full)]
    intake = pond.plumbing.intake
    if intake is not None and intake.above_bottom is not None:
        depth = min(intake.above_bottom, deepest)
        stays = number("water_left", "Water left when the pump has drawn the pond down to its intake", "L",
                       lambda depths: below.water(depth, GRADES[depths.m]), decides=True, note=below.note, **full)
        at = {grade: max(below.volumes[end] - float(in_unit(getattr(stays, end), _M3)), 0.0) for grade, end in GRADES.items()}

        def lasts(depths: Quantity, flow: Quantity) -> Quantity:
            return e.pumping_time(Q(np.array([at[grade] for grade in depths.m.tolist()]), "m3"), flow)

        found += [stays, given("depth_left", "Depth of that water at the deepest place", "m", depth)]
        if inflow:
            found.append(number("time_to_empty", "Time in which a split hose brings the pond down to the intake", "h", lasts, decides=True,
                                stacked=True, **full, **inflow))
        if overflow is not None and overflow.value.m > 0:
            found.append(number("time_to_overflow", "Time in which a vessel that runs over does the same", "h",
                                lambda depths: lasts(depths, overflow.value), decides=True, stacked=True, **full))
    if intake is not None and intake.area is not None and flow is not None:
        found.append(number("intake_speed", "Speed of the water towards the intake's screen", "cm/s",
                            lambda flow: e.approach_velocity(flow, intake.area), decides=True, stacked=True, **inflow))
    return found
