"""Pipes and pump: the head that the line takes, the flow at which the pump just gives it, and what another pipe would bring."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

import numpy as np

from ...science import pipes as p
from ...science import pump as u
from ...science import spreader as sp
from ...science.water_properties import kinematic_viscosity
from ...tables import load
from ...units import Q, Quantity, show
from ..line import Pump
from ..model import Pond
from ..pipework import GRADES, MM, Line, choices, curve_of, hole_ratio, line_of
from ..results import Assumption, Grid, Number, Stage, by_key, given, number
from .plumbing_findings import find  # noqa: F401  (a stage has plan and find)

KEY, TITLE = "plumbing", "Pipes and pump"
NOTHING_LEFT = Q(1.0, "mm")  # a judgement: with less head than this to spare nothing flows
NEEDS_PUMP = "needs [pump] with curve, power and hours_per_day"
NEEDS_LINE = "needs [plumbing] with pipe or inside_diameter, length, lift and fittings"
STRAIGHT = ("The pump curve has two points only and is taken as a straight line. The real one bulges upward, so the pump gives rather more "
            "than this.")
RATED = ("The pump curve is taken as a parabola through the two numbers of the label, its largest flow and its largest head. Labels are "
         "often kinder than the pump: a bucket and a watch at the real height tell better.")
VOLTAGE = ("The pump's speed is taken to follow its voltage, as in a plain direct-current motor. A pump with electronics of its own may "
           "hold its speed instead: see its label.")
VOLTAGES = 0.85, 1.0, 1.15  # of the label: a battery nearly empty, as labelled, under charge; common practice
STRAIGHT_RISE = "The line's profile is drawn as one straight rise: give rise for each run to see its high points."
AT_LEAST = "at least: the curve ends before it meets the line"
POINTS = 25  # of the curves in the picture


def plan(pond: Pond, so_far: Mapping[str, Stage]) -> Stage:
    """Find where the pump meets the line; with one of the two only, say what is known of it."""
    pump, plumbing = pond.pump, pond.plumbing
    power = [] if pump is None else [_drawn(pump)]
    if plumbing is None:
        return Stage(KEY, TITLE, by_key(*power), missing=(*(() if pump else (NEEDS_PUMP,)), NEEDS_LINE), cautions=_cautions())
    line, assumptions = line_of(pond, so_far)
    known = [given("lift", "Height to lift, water level to outlet", "m", plumbing.lift), *power]
    common = {"assumptions": assumptions, "cautions": _cautions()}
    if pump is None:
        return Stage(KEY, TITLE, by_key(*known), grids=(_fittings(line, None), _needs(line)), missing=(NEEDS_PUMP,), **common)
    common["assumptions"] += _of_the_pump(pump)
    curve = curve_of(pump)
    if plumbing.lift >= curve[1][0] - NOTHING_LEFT:
        wanted = f"needs a pump that lifts more than {show(plumbing.lift, 'm')}: this one lifts {show(curve[1][0], 'm')} at most"
        grids = _fittings(line, None), _needs(line)
        return Stage(KEY, TITLE, by_key(*known), _curves(line, curve), grids=grids, missing=(wanted,), **common)
    numbers, flow = _working(pump, power[0].value, line, curve)
    grids = [_where_the_head_goes(line, flow), _fittings(line, flow)]
    if len(line.runs) > 1:
        grids.append(_runs(line, flow))
    if pump.rated_voltage is not None:
        grids.append(_voltages(pump, line))
    if None in [run.rise for run in line.runs]:
        common["assumptions"] += (Assumption(STRAIGHT_RISE),)
    series = {**_curves(line, curve), **_profile(line, flow)}
    return Stage(KEY, TITLE, by_key(*numbers, *known), series, _facts(line, numbers), (*grids, _other_pipes(line, curve, flow)), **common)


def _drawn(pump: Pump) -> Number:
    """Return the pump's power: that of its label, or what it draws at the voltage that it gets."""
    if pump.speed == 1:
        return given("pump_power", "Power that the pump draws, by its label", "W", pump.power)
    note = f"at {show(pump.supply_voltage, 'V')}, where the label says {show(pump.rated_voltage, 'V')}"
    return replace(number("pump_power", "Power that the pump draws", "W", lambda: u.affinity_power(pump.power, pump.speed)), note=note)


def _of_the_pump(pump: Pump) -> tuple[Assumption, ...]:
    said = [Assumption(RATED, ("PumpParabola",))] if pump.max_flow is not None else []
    if pump.speed != 1:
        said.append(Assumption(VOLTAGE, ("Affinity", "Suehrcke1997")))
    return (*said, *([Assumption(STRAIGHT, ("Practice",))] if len(pump.curve) == 2 else []))


def _through_the_door(pump: Pump) -> None:
    """Leave the trace of the formulas that made the curve."""
    if pump.max_flow is not None:
        u.rated_head(pump.max_flow, pump.max_flow, pump.max_head)
    if pump.speed != 1:
        u.affinity_flow(pump.curve[-1].flow, pump.speed), u.affinity_head(pump.curve[0].head, pump.speed)


# --------------------------------------------------------------------------------------------------------- the operating point


def _working(pump: Pump, power: Quantity, line: Line, curve) -> tuple[list[Number], float]:
    """Find the operating point and what follows from it; the rest is told at the typical flow, which is returned in L/min."""
    meets, at = _meeting(pump, line, curve), line.typical
    bores, losses, viscosity = line.each(at["bore"]), line.each(line.losses["typical"]), Q(at["viscosity"], "mm2/s")
    flow = number("flow", "Flow that the pump gives through this line", "L/min", meets, decides=True, stacked=True, **line.ends)
    if flow.typical >= curve[0][-1] and curve[1][-1].magnitude > 0:
        flow = replace(flow, note=AT_LEAST)
    head = number("head", "Head at that flow", "m", lambda **c: u.pump_head(meets(**c), *curve), stacked=True, **line.ends)
    narrow = Q(min(bores), "mm")
    speed = number("velocity", "Speed of the water in the pipe", "m/s", lambda: p.velocity(flow.typical, narrow))
    if len(set(bores)) > 1:
        speed = replace(speed, label="Speed of the water in the narrowest pipe")
    turning = number("reynolds", "Reynolds number", "-", lambda: p.reynolds(speed.typical, narrow, viscosity))

    def speeds():
        return [speed.typical if bore == narrow.magnitude else p.velocity(flow.typical, Q(bore, "mm")) for bore in bores]

    def friction():
        whole = Q(0.0, "m")
        for run, bore, fast in zip(line.runs, bores, speeds(), strict=True):
            factor = p.friction_factor(p.reynolds(fast, Q(bore, "mm"), viscosity).magnitude, at["roughness"] / bore)
            whole = whole + p.friction_head(fast, Q(bore, "mm"), run.length, factor)
        return whole

    def fittings():
        return sum((p.fittings_head(fast, k) for fast, k in zip(speeds(), losses, strict=True)), Q(0.0, "m"))

    water = number("hydraulic_power", "Power that reaches the water", "W", lambda: u.hydraulic_power(flow.typical, head.typical))
    each = number("energy_per_volume", "Electricity for the water pumped", "Wh/m3", lambda: u.energy_per_volume(power, flow.typical))
    numbers = [flow, head, number("pipe_head", "Head that the straight pipe takes", "m", friction),
               number("fittings_head", "Head that the fittings take", "m", fittings), *_spread(line, flow), speed, turning, water, each]
    if water.typical < power:
        share = "Share of the electricity that reaches the water"
        numbers.insert(-1, number("efficiency", share, "%", lambda: u.wire_to_water_efficiency(water.typical, power)))
    return numbers, flow.typical.m_as("L/min")


def _spread(line: Line, flow: Number) -> list[Number]:
    """Give the head of the drilled pipe in which the line ends; the speed that an open end would lose is part of it."""
    end = line.spreader
    if end is None:
        return []
    return [number("spreader_head", "Head that the spreader takes", "m",
                   lambda: sp.manifold_head(flow.typical, end.inside_diameter, hole_ratio(end)))]


def _meeting(pump: Pump, line: Line, curve) -> Callable[..., Quantity]:
    """Return what finds the operating flow for arrays of coefficients; the same question is answered only once."""
    known: dict[tuple, float] = {}
    flows, heads = (q.magnitude for q in curve)

    def meets(k, roughness, water, bore=None) -> Quantity:
        viscosity = kinematic_viscosity(water)
        bores = np.zeros(k.shape) if bore is None else bore.magnitude
        asked = list(zip(*(a.tolist() for a in (bores, k.magnitude, roughness.m_as(MM), viscosity.magnitude)), strict=True))
        for one in asked:
            if one in known:
                continue
            bore_of_it = line.bores[GRADES[one[0]]]
            loss = line.loss(GRADES[one[1]], bore_of_it)
            if not known:  # the first goes through the formula's door, which checks it and leaves the trace; the rest differ little
                _through_the_door(pump)
                water_now = Q(one[2], "mm"), Q(one[3], "mm2/s")
                door = u.operating_flow(*curve, Q(bore_of_it, "mm"), Q(line.lengths, "m"), Q(line.lift, "m"), loss, *water_now)
                known[one] = door.magnitude
            else:
                known[one] = u.operating_flow.plain(flows, heads, bore_of_it, line.lengths, line.lift, loss, *one[2:])
        return Q(np.array([known[one] for one in asked]), "L/min")

    return meets


def _facts(line: Line, numbers: list[Number]) -> dict[str, str]:
    found = by_key(*numbers)
    re_number = found["reynolds"].typical.magnitude
    regime = "calm (laminar)" if re_number < 2000 else "turbulent" if re_number > 4000 else "undecided between calm and turbulent"
    pipes = dict.fromkeys(run.pipe or "a measured bore" for run in line.runs)
    return {"regime": regime, "curve_ends_early": "yes" if found["flow"].note else "no", "pipe": ", ".join(pipes)}


def _curves(line: Line, curve) -> dict[str, Quantity]:
    """Return pump and line over one axis of flows, shape (25,), for pictures; the line at its typical, cautious and favourable ends."""
    flows = np.linspace(0, curve[0][-1].magnitude, POINTS)
    series = {"axis": Q(flows, "L/min"), "pump": Q(u.pump_head.plain(flows, *(q.magnitude for q in curve)), "m")}
    for name, at in (("line", line.typical), ("line_cautious", line.worst), ("line_favourable", line.best)):
        series[name] = Q([line.head(flow, **at) for flow in flows.tolist()], "m")
    return series


def _profile(line: Line, flow: float) -> dict[str, Quantity]:
    """Return the line's course at the typical flow, shape (2 x runs,), for a picture.

    Way along it, its height over the pond's water, and the height to which the water would rise in a gauge (hydraulic grade line).
    Fittings are taken as spread along their run; the exit stands at the end, a spreader behind it.
    """
    at, way, whole = line.typical, 0.0, line.head(flow, **line.typical)
    rises = [0.0 if run.rise is None else run.rise.m_as("m") for run in line.runs]
    if None in [run.rise for run in line.runs]:
        lengths = np.atleast_1d(line.lengths)
        rises = (line.lift * lengths / lengths.sum()).tolist()
    energy, height, course = whole, line.lift - sum(rises), []
    for run, bore, k, rise in zip(line.runs, line.each(at["bore"]), line.each(line.losses["typical"]), rises, strict=True):
        length, speed = run.length.m_as("m"), p.velocity.plain(flow, bore)
        leaves = run.fittings.get("exit", 0) * load("fittings")["exit"]["typical"].magnitude if run is line.runs[-1] else 0.0
        lost = p.line_head.plain(flow, bore, length, 0.0, k - leaves, at["roughness"], at["viscosity"])
        moving = p.fittings_head.plain(speed, 1.0)
        course += [(way, height, energy - moving), (way + length, height + rise, energy - lost - moving)]
        way, height, energy = way + length, height + rise, energy - lost
    names = "profile_way", "profile_height", "profile_grade"
    return {name: Q(list(values), "m") for name, values in zip(names, zip(*course, strict=True), strict=True)}


# -------------------------------------------------------------------------------------------------------------------- tables


def _where_the_head_goes(line: Line, flow: float) -> Grid:
    whole, at = line.head(flow, **line.typical), line.typical
    bores = line.each(at["bore"])
    local, fittings = ([_lost_in_fittings(flow, bore, k) for bore, k in zip(bores, line.each(ks), strict=True)]
                       for ks in (at["k"], line.losses["typical"]))
    length, spread = Q(float(np.sum(line.lengths)), "m"), local[-1] - fittings[-1]
    parts = [("lift", line.lift), (f"{show(length, 'm')} of pipe", whole - line.lift - sum(local)), ("fittings", sum(fittings))]
    parts += [] if line.spreader is None else [("spreader", spread)]
    return Grid("Where the head goes", ("part", "head", "share"), ("", "m", "%"),
                tuple((name, Q(head, "m"), Q(100 * head / whole if whole else 0.0, "%")) for name, head in parts))


def _lost_in_fittings(flow: float, bore: float, k: float) -> float:
    return p.fittings_head.plain(p.velocity.plain(flow, bore), k)


def _fittings(line: Line, flow: float | None) -> Grid:
    """List each kind of fitting in the order of the line, with its loss coefficients and, where the flow is known, the head it takes."""
    rows = []
    for n, (run, bore) in enumerate(zip(line.runs, line.each(line.typical["bore"]), strict=True), 1):
        for key, count in run.fittings.items():
            if count:
                row = load("fittings")[key]
                head = None if flow is None else Q(_lost_in_fittings(flow, bore, count * row["typical"].magnitude), "m")
                name = row["label"] if len(line.runs) == 1 else f"run {n}: {row['label']}"
                rows.append((name, str(count), row["typical"], f"{row['low'].magnitude:g} to {row['high'].magnitude:g}", head))
    return Grid("Fittings", ("fitting", "number", "K of one", "sources say", "head of all"), ("", "", "-", "", "m"), tuple(rows))


def _runs(line: Line, flow: float) -> Grid:
    """Tell the runs apart: what each is, how fast the water runs in it, what head it takes with its fittings."""
    at, rows = line.typical, []
    for n, (run, bore, k) in enumerate(zip(line.runs, line.each(at["bore"]), line.each(line.losses["typical"]), strict=True), 1):
        head = p.line_head.plain(flow, bore, run.length.m_as("m"), 0.0, k, at["roughness"], at["viscosity"])
        rows.append((str(n), Q(bore, "mm"), run.length, Q(p.velocity.plain(flow, bore), "m/s"), Q(head, "m")))
    heads = "run", "bore", "length", "speed", "head with fittings"
    return Grid("The runs, from the pump on", heads, ("", "mm", "m", "m/s", "m"), tuple(rows))


def _voltages(pump: Pump, line: Line) -> Grid:
    """Say what the pump gives at other voltages: a battery runs down and is charged up again."""
    at, rows = line.typical, []
    flows, heads = ([getattr(point, key).m_as(unit) for point in pump.curve] for key, unit in (("flow", "L/min"), ("head", "m")))
    for n in VOLTAGES:
        scaled = np.array(flows) * n, np.array(heads) * n**2
        flow = 0.0
        if scaled[1][0] > line.lift + NOTHING_LEFT.m_as("m"):
            flow = u.operating_flow.plain(*scaled, at["bore"], line.lengths, line.lift, at["k"], at["roughness"], at["viscosity"])
        rows.append((n * pump.rated_voltage, Q(flow, "L/min"), u.affinity_power.plain(pump.power, n)))
    return Grid("What the pump gives at other voltages", ("at the pump", "flow", "power"), ("V", "L/min", "W"), tuple(rows))


def _needs(line: Line) -> Grid:
    """Say what head the line needs at flows of a common speed, for choosing a pump."""
    rows, heads = [], ("flow", "speed", "head", "head at worst")
    for speed in (0.3, 0.6, 1.0, 1.5):
        flow = speed * np.pi * min(line.each(line.typical["bore"])) ** 2 / 4 * 0.06  # mm2 x m/s = mL/s; 0.06 L/min each
        rows.append((Q(flow, "L/min"), Q(speed, "m/s"), *(Q(line.head(flow, **at), "m") for at in (line.typical, line.worst))))
    return Grid("What the line needs, for choosing a pump", heads, ("L/min", "m/s", "m", "m"), tuple(rows))


def _other_pipes(line: Line, curve, flow: float) -> Grid:
    rows = tuple((f"{row['size']} ({row['series']})", Q(bore, "mm"), Q(other, "L/min"), Q(p.velocity.plain(other, bore), "m/s"),
                  f"{100 * (other / flow - 1):+.0f} %") for row, bore, other in choices(line, curve))
    return Grid("What another pipe would give", ("pipe", "bore", "flow", "speed", "change of flow"), ("", "mm", "L/min", "m/s", ""), rows)


def _cautions() -> tuple[str, ...]:
    return (
        "Switch the pump off and unplug it before anyone puts a hand into the water. A mains pump belongs on a socket with a ground-fault "
        "or residual-current device, fitted by a licensed electrician; a low-voltage pump needs a fuse at the battery. Local electrical "
        "rules come first.",
        "Lift a pump by its handle or a rope, never by its cable. Wet hose, pumps and filter drums are heavy: two people lift, and nobody "
        "works alone at the edge.",
        "Before a hole saw turns: clamp the container, protect the eyes, tie back hair and sleeves, wear no gloves near the saw, and have "
        "an adult stand by. Measure the seal that you bought and cut the hole to its own instructions.",
        "Keep copper, brass and galvanised parts out of fish water, since they give off metals that harm fish: plastic or stainless steel "
        "will do. Use solvent cement in fresh air, away from flames, and let it dry as its label says before fish water runs through.",
        "Set the intake off the bottom and behind a guard, so that a burst pipe cannot pump the pond dry and no fish is drawn in. An "
        "outlet that dips under water needs a small air hole above the water line, or the water siphons back when the pump stops.",
    )
