"""Pipes and pump: the head that the line takes, the flow at which the pump just gives it, and what another pipe would bring."""

from __future__ import annotations

import functools
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from ...science import pipes as p
from ...science import pump as u
from ...science.water_properties import kinematic_viscosity
from ...tables import Coefficient, coefficients, load
from ...units import Q, Quantity, show
from ..model import Plumbing, Pond
from ..results import Assumption, End, Finding, Grid, Number, Stage, Urgency, by_key, given, number

KEY, TITLE = "plumbing", "Pipes and pump"
SLOW, FAST = Q(0.3, "m/s"), Q(1.5, "m/s")  # dirt settles below, noise and loss grow above; common practice
NOTHING_LEFT = Q(1.0, "mm")  # a judgement: with less head than this to spare nothing flows
WORTH_IT = 0.10  # a judgement: a wider pipe is worth naming where it brings a tenth more water
GOOD_PUMP = Q(60, "%")  # from memory: small pumps reach 10 to 40 %, good solar pumps up to 55 %
POOR_PUMP = Q(5, "%")
MM = Q(1, "mm").units
COLD, MILD, WARM = Q(5.0, "degC"), Q(15.0, "degC"), Q(25.0, "degC")
NEEDS_PUMP = "needs [pump] with curve, power and hours_per_day"
NEEDS_LINE = "needs [plumbing] with pipe or inside_diameter, length, lift and fittings"
STRAIGHT = ("The pump curve has two points only and is taken as a straight line. The real one bulges upward, so the pump gives rather more "
            "than this.")
WALL = ("The pipe's wall is that of plastic pipe: smooth when new, slimy after a season. A hose that is ribbed inside loses much more.")
AT_LEAST = "at least: the curve ends before it meets the line"
POINTS = 25  # of the curves in the picture


@dataclass(frozen=True)
class _Line:
    """The line as formulas want it: what is known as plain numbers (m, mm), the rest as coefficients with two ends."""

    plumbing: Plumbing
    length: float
    lift: float
    bore: Quantity
    ends: Mapping[str, End]

    @functools.cached_property
    def typical(self) -> dict[str, float]:
        return self.at(lambda end: end.coefficient.typical)

    @functools.cached_property
    def worst(self) -> dict[str, float]:
        return self.at(lambda end: end.coefficient.at(end.cautious))

    @functools.cached_property
    def best(self) -> dict[str, float]:
        return self.at(lambda end: end.coefficient.at(end.favourable))

    def at(self, choose: Callable[[End], Quantity]) -> dict[str, float]:
        """Return bore (mm), k, roughness (mm) and viscosity (mm2/s), each coefficient at the end that `choose` picks."""
        found = {"bore": self.bore} | {name: choose(end) for name, end in self.ends.items()}
        return {"bore": found["bore"].m_as(MM), "k": found["k"].magnitude, "roughness": found["roughness"].m_as(MM),
                "viscosity": kinematic_viscosity(found["water"]).magnitude}

    def head(self, flow: float, bore: float, **at: float) -> float:
        """Return the head (m) that the line needs at a flow (L/min)."""
        return p.line_head.plain(flow, bore, self.length, self.lift, **at)


def plan(pond: Pond, so_far: Mapping[str, Stage]) -> Stage:
    """Find where the pump meets the line; with one of the two only, say what is known of it."""
    pump, plumbing = pond.pump, pond.plumbing
    power = [] if pump is None else [given("pump_power", "Power that the pump draws, by its label", "W", pump.power)]
    if plumbing is None:
        return Stage(KEY, TITLE, by_key(*power), missing=(*(() if pump else (NEEDS_PUMP,)), NEEDS_LINE), cautions=_cautions())
    line, assumptions = _line(plumbing, so_far)
    known = [given("lift", "Height to lift, water level to outlet", "m", plumbing.lift), *power]
    common = {"assumptions": assumptions, "cautions": _cautions()}
    if pump is None:
        return Stage(KEY, TITLE, by_key(*known), grids=(_fittings(line, None), _needs(line)), missing=(NEEDS_PUMP,), **common)
    curve = _curve(pump)
    if plumbing.lift >= curve[1][0] - NOTHING_LEFT:
        wanted = f"needs a pump that lifts more than {show(plumbing.lift, 'm')}: this one lifts {show(curve[1][0], 'm')} at most"
        grids = _fittings(line, None), _needs(line)
        return Stage(KEY, TITLE, by_key(*known), _curves(line, curve), grids=grids, missing=(wanted,), **common)
    if len(pump.curve) == 2:
        common["assumptions"] += (Assumption(STRAIGHT, ("Practice",)),)
    numbers, flow = _working(pump.power, line, curve)
    grids = _where_the_head_goes(line, flow), _fittings(line, flow), _other_pipes(line, curve, flow)
    return Stage(KEY, TITLE, by_key(*numbers, *known), _curves(line, curve), _facts(line, numbers), grids, **common)


# ------------------------------------------------------------------------------------------------------------------- the line


def _line(plumbing: Plumbing, so_far: Mapping[str, Stage]) -> tuple[_Line, tuple[Assumption, ...]]:
    """Gather bore, fittings, roughness and water temperature, with what the plan had to assume."""
    water, said = _water(so_far)
    rough = coefficients()["pipe_roughness"]
    ends = {"k": End(_sum_of_fittings(plumbing), "high"), "roughness": End(rough, "high"), "water": End(water, "low")}
    assumptions = [*said, Assumption(WALL, rough.sources, rough.unverified)]
    length, lift = plumbing.length.m_as("m"), plumbing.lift.m_as("m")
    if plumbing.pipe is None:
        return _Line(plumbing, length, lift, plumbing.inside_diameter, ends), tuple(assumptions)
    row = load("pipes")[plumbing.pipe]
    nominal, source, unverified = row["inside_diameter"], (row["source"],), row["verified"] != "yes"
    average = row["average_diameter"] or nominal
    if average != nominal or unverified:
        ends["bore"] = End(Coefficient("bore", "bore of the pipe", average, average, nominal, "mm", source, unverified, row["note"]), "low")
    words = f"The bore of the {row['size']} pipe ({row['series']}) is taken as {show(average, 'mm')}: measure yours."
    return _Line(plumbing, length, lift, average, ends), (*assumptions, Assumption(words, source, unverified))


def _water(so_far: Mapping[str, Stage]) -> tuple[Coefficient, tuple[Assumption, ...]]:
    """Take the water's temperature from the fish stage where it knows it: cold water is thick."""
    series = so_far["fish"].series.get("water_temperature") if "fish" in so_far else None
    label = "temperature of the water"
    if series is None:
        words = f"The water is taken as {show(COLD, 'degC')} to {show(WARM, 'degC')}, typically {show(MILD, 'degC')}."
        return Coefficient("water", label, COLD, MILD, WARM, "degC", (), False, ""), (Assumption(words),)
    months = np.clip(series.m_as("degC"), 0.0, 40.0)
    low, mean, high = (Q(float(value), "degC") for value in (months.min(), months.mean(), months.max()))
    return Coefficient("water", label, low, mean, high, "degC", (), False, ""), ()


def _sum_of_fittings(plumbing: Plumbing) -> Coefficient:
    """Add up the loss coefficients of all fittings, each at its low, typical and high end."""
    rows = [(load("fittings")[key], count) for key, count in plumbing.fittings.items() if count]
    low, typical, high = (Q(float(sum(count * row[end].magnitude for row, count in rows)), "-") for end in ("low", "typical", "high"))
    sources = tuple(dict.fromkeys(key for row, _ in rows for key in row["source"].split()))
    unverified = any(row["verified"] != "yes" for row, _ in rows)
    return Coefficient("k", "loss of the fittings", low, typical, high, "-", sources, unverified, "")


def _curve(pump) -> tuple[Quantity, Quantity]:
    return Q([point.flow.m_as("L/min") for point in pump.curve], "L/min"), Q([point.head.m_as("m") for point in pump.curve], "m")


# --------------------------------------------------------------------------------------------------------- the operating point


def _working(power: Quantity, line: _Line, curve) -> tuple[list[Number], float]:
    """Find the operating point and what follows from it; the rest is told at the typical flow, which is returned in L/min."""
    meets, at = _meeting(line, curve), line.typical
    bore, viscosity = Q(at["bore"], "mm"), Q(at["viscosity"], "mm2/s")
    flow = number("flow", "Flow that the pump gives through this line", "L/min", meets, decides=True, stacked=True, **line.ends)
    if flow.typical >= curve[0][-1] and curve[1][-1].magnitude > 0:
        flow = replace(flow, note=AT_LEAST)
    head = number("head", "Head at that flow", "m", lambda **c: u.pump_head(meets(**c), *curve), stacked=True, **line.ends)
    speed = number("velocity", "Speed of the water in the pipe", "m/s", lambda: p.velocity(flow.typical, bore))
    turning = number("reynolds", "Reynolds number", "-", lambda: p.reynolds(speed.typical, bore, viscosity))

    def friction():
        factor = p.friction_factor(turning.typical, at["roughness"] / at["bore"])
        return p.friction_head(speed.typical, bore, line.plumbing.length, factor)

    def fittings():
        return p.fittings_head(speed.typical, at["k"])

    water = number("hydraulic_power", "Power that reaches the water", "W", lambda: u.hydraulic_power(flow.typical, head.typical))
    each = number("energy_per_volume", "Electricity for a cubic metre of water", "Wh/m3", lambda: u.energy_per_volume(power, flow.typical))
    numbers = [flow, head, number("pipe_head", "Head that the straight pipe takes", "m", friction),
               number("fittings_head", "Head that the fittings take", "m", fittings), speed, turning, water, each]
    if water.typical < power:
        share = "Share of the electricity that reaches the water"
        numbers.insert(-1, number("efficiency", share, "%", lambda: u.wire_to_water_efficiency(water.typical, power)))
    return numbers, flow.typical.m_as("L/min")


def _meeting(line: _Line, curve) -> Callable[..., Quantity]:
    """Return what finds the operating flow for arrays of coefficients; the same question is answered only once."""
    known: dict[tuple, float] = {}
    flows, heads = (q.magnitude for q in curve)

    def meets(k, roughness, water, bore=None) -> Quantity:
        viscosity = kinematic_viscosity(water)
        bores = np.broadcast_to((line.bore if bore is None else bore).m_as(MM), k.shape)
        asked = list(zip(*(a.tolist() for a in (bores, k.magnitude, roughness.m_as(MM), viscosity.magnitude)), strict=True))
        if not known:  # the first goes through the formula's door, which checks it and leaves the trace; the rest differ little
            b, c, r, v = asked[0]
            door = u.operating_flow(*curve, Q(b, "mm"), line.plumbing.length, line.plumbing.lift, c, Q(r, "mm"), Q(v, "mm2/s"))
            known[asked[0]] = door.magnitude
        for one in asked:
            if one not in known:
                known[one] = u.operating_flow.plain(flows, heads, one[0], line.length, line.lift, *one[1:])
        return Q(np.array([known[one] for one in asked]), "L/min")

    return meets


def _facts(line: _Line, numbers: list[Number]) -> dict[str, str]:
    found = by_key(*numbers)
    re_number = found["reynolds"].typical.magnitude
    regime = "calm (laminar)" if re_number < 2000 else "turbulent" if re_number > 4000 else "undecided between calm and turbulent"
    return {"regime": regime, "curve_ends_early": "yes" if found["flow"].note else "no", "pipe": line.plumbing.pipe or "a measured bore"}


def _curves(line: _Line, curve) -> dict[str, Quantity]:
    """Return pump and line over one axis of flows, shape (25,), for pictures; the line at its typical, cautious and favourable ends."""
    flows = np.linspace(0, curve[0][-1].magnitude, POINTS)
    series = {"axis": Q(flows, "L/min"), "pump": Q(u.pump_head.plain(flows, *(q.magnitude for q in curve)), "m")}
    for name, at in (("line", line.typical), ("line_cautious", line.worst), ("line_favourable", line.best)):
        series[name] = Q([line.head(flow, **at) for flow in flows.tolist()], "m")
    return series


# -------------------------------------------------------------------------------------------------------------------- tables


def _where_the_head_goes(line: _Line, flow: float) -> Grid:
    whole = line.head(flow, **line.typical)
    fittings = p.fittings_head.plain(p.velocity.plain(flow, line.typical["bore"]), line.typical["k"])
    parts = (("lift", line.lift), (f"{show(line.plumbing.length, 'm')} of pipe", whole - line.lift - fittings), ("fittings", fittings))
    return Grid("Where the head goes", ("part", "head", "share"), ("", "m", "%"),
                tuple((name, Q(head, "m"), Q(100 * head / whole if whole else 0.0, "%")) for name, head in parts))


def _fittings(line: _Line, flow: float | None) -> Grid:
    """List each kind of fitting with its loss coefficients and, where the flow is known, the head it takes."""
    speed = None if flow is None else p.velocity.plain(flow, line.typical["bore"])
    rows = []
    for key, count in line.plumbing.fittings.items():
        if count:
            row = load("fittings")[key]
            head = None if speed is None else Q(p.fittings_head.plain(speed, count * row["typical"].magnitude), "m")
            rows.append((row["label"], str(count), row["typical"], f"{row['low'].magnitude:g} to {row['high'].magnitude:g}", head))
    return Grid("Fittings", ("fitting", "number", "K of one", "sources say", "head of all"), ("", "", "-", "", "m"), tuple(rows))


def _needs(line: _Line) -> Grid:
    """Say what head the line needs at flows of a common speed, for choosing a pump."""
    rows, heads = [], ("flow", "speed", "head", "head at worst")
    for speed in (0.3, 0.6, 1.0, 1.5):
        flow = speed * np.pi * line.typical["bore"] ** 2 / 4 * 0.06  # mm2 x m/s = mL/s; 0.06 L/min each
        rows.append((Q(flow, "L/min"), Q(speed, "m/s"), *(Q(line.head(flow, **at), "m") for at in (line.typical, line.worst))))
    return Grid("What the line needs, for choosing a pump", heads, ("L/min", "m/s", "m", "m"), tuple(rows))


def _other_pipes(line: _Line, curve, flow: float) -> Grid:
    rows = tuple((f"{row['size']} ({row['series']})", Q(bore, "mm"), Q(other, "L/min"), Q(p.velocity.plain(other, bore), "m/s"),
                  f"{100 * (other / flow - 1):+.0f} %") for row, bore, other in _choices(line, curve))
    return Grid("What another pipe would give", ("pipe", "bore", "flow", "speed", "change of flow"), ("", "mm", "L/min", "m/s", ""), rows)


def _choices(line: _Line, curve) -> list[tuple[dict, float, float]]:
    """Return the next smaller and the two next larger pipes of the same series, each with its bore (mm) and its flow (L/min)."""
    at, (flows, heads) = line.typical, (q.magnitude for q in curve)
    rest = line.length, line.lift, at["k"], at["roughness"], at["viscosity"]
    return [(row, bore, u.operating_flow.plain(flows, heads, bore, *rest)) for row, bore in _neighbours(line.plumbing.pipe, at["bore"])]


@functools.lru_cache(maxsize=64)
def _neighbours(pipe: str | None, bore: float) -> tuple[tuple[dict, float], ...]:
    """Choose them: in the pipe's own series, or for a measured bore in the series that has the nearest one."""
    rows = [(row, (row["average_diameter"] or row["inside_diameter"]).magnitude) for row in load("pipes").rows]
    series = load("pipes")[pipe]["series"] if pipe else min(rows, key=lambda r: abs(r[1] - bore))[0]["series"]
    mine = sorted((r for r in rows if r[0]["series"] == series), key=lambda r: r[1])
    return (*[r for r in mine if r[1] < 0.95 * bore][-1:], *[r for r in mine if r[1] > 1.05 * bore][:2])


# ------------------------------------------------------------------------------------------------------------------ findings


def find(pond: Pond, stages: Mapping[str, Stage]) -> list[Finding]:
    """Say where the pump and the line do not fit each other."""
    stage = stages[KEY]
    if pond.pump is None or pond.plumbing is None:
        return []
    if "flow" not in stage:
        top, lift = show(pond.pump.curve[0].head, "m"), show(pond.plumbing.lift, "m")
        return [Finding("plumbing.cannot_lift", Urgency.FIX,
                        f"The pump lifts water {top} at most, and the outlet stands {lift} above the pond: nothing flows.",
                        "Lower the outlet, or take a pump whose curve begins well above the lift.", ("plumbing.lift",))]
    return [*_speed(stage), *_wider(pond, stages), *_power(pond, stage), *_gaps(pond, stage)]


def _speed(stage: Stage):
    speed = stage["velocity"]
    if speed.value > FAST:
        yield Finding("plumbing.too_fast", Urgency.IMPROVE,
                      f"The water runs through the pipe at {speed.text()}; up to {show(FAST, 'm/s')} is common practice, and the loss "
                      "grows with the square.", "Take a wider pipe.", ("plumbing.velocity",))
    elif speed.value < SLOW:
        yield Finding("plumbing.too_slow", Urgency.IMPROVE,
                      f"The water creeps through the pipe at {speed.text()}; below {show(SLOW, 'm/s')} dirt settles (common practice).",
                      "A narrower pipe would stay cleaner; or give the line a plug where it can be flushed.", ("plumbing.velocity",))


def _wider(pond: Pond, stages: Mapping[str, Stage]):
    stage = stages[KEY]
    line, _ = _line(pond.plumbing, stages)
    flow, lost = stage["flow"].typical.m_as("L/min"), stage["pipe_head"].typical + stage["fittings_head"].typical
    for row, bore, other in _choices(line, _curve(pond.pump)):
        if bore > line.typical["bore"] and other > (1 + WORTH_IT) * flow:
            now, then = (show(Q(q, "L/min"), "L/min") for q in (flow, other))
            yield Finding("plumbing.wider_pipe", Urgency.IMPROVE,
                          f"Pipe and fittings take {show(lost, 'm')} of the pump's {stage['head'].text()} of head. A wider line, "
                          f"{row['series']} {row['size']}, would bring {then} instead of {now}, {100 * (other / flow - 1):.0f} % more, for "
                          "the same electricity.",
                          "Take the wider line, with fittings to match.", ("plumbing.flow", "plumbing.pipe_head"))
            return


def _power(pond: Pond, stage: Stage):
    water, drawn = stage["hydraulic_power"], show(pond.pump.power, "W")
    if "efficiency" not in stage or stage["efficiency"].value > GOOD_PUMP:
        share = 100 * (water.value / pond.pump.power).m_as("")
        yield Finding("plumbing.efficiency", Urgency.FIX,
                      f"By its curve the pump puts {water.text()} into the water and draws {drawn}: {share:.0f} %, where good small pumps "
                      f"stay under {show(GOOD_PUMP, '%')} (from memory). The curve and the power do not belong together.",
                      "Look at the label again, and measure the flow with a bucket and a watch.", ("plumbing.hydraulic_power",))
    elif stage["efficiency"].value < POOR_PUMP:
        yield Finding("plumbing.poor_pump", Urgency.IMPROVE,
                      f"Only {stage['efficiency'].text()} of the pump's electricity reaches the water; small pumps commonly reach 10 to "
                      "40 % (from memory).", "Look for a pump that works nearer to the middle of its curve at this head.",
                      ("plumbing.efficiency",))


def _gaps(pond: Pond, stage: Stage):
    if not pond.plumbing.fittings.get("exit"):
        yield Finding("plumbing.no_exit", Urgency.NOTE,
                      "The list of fittings names no exit, yet every open end loses the speed of the water (K = 1).",
                      "Write exit = 1 into plumbing.fittings.", ("plumbing.fittings_head",))
    if stage.facts["curve_ends_early"] == "yes":
        yield Finding("plumbing.curve_ends_early", Urgency.NOTE,
                      f"The pump curve ends at {show(pond.pump.curve[-1].flow, 'L/min')} with head to spare, so the flow is at least that.",
                      "Add a point with more flow and less head: let the pump run into a bucket at a lower outlet.", ("plumbing.flow",))


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
