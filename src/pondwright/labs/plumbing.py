"""Lab of lesson 06: where pump and line agree, what a pipe, a lift or a voltage changes, and where the vessel's water then stands."""

from __future__ import annotations

from dataclasses import dataclass

from ..figures.drains import LevelPicture
from ..figures.plumbing import PlumbingPicture
from ..figures.profile import ProfilePicture
from ..pond.model import Plumbing, Pond, Pump
from ..pond.plan import Plan, plan, stage_module
from ..pond.results import gather
from ..science import pump as u
from ..units import Q, Quantity, show
from .base import Choice, Lab, Slider, start_in

CURVES, PROFILE, LEVELS = "pump and line", "the line's profile", "level in the vessel"
PICTURES = {CURVES: PlumbingPicture, PROFILE: ProfilePicture, LEVELS: LevelPicture}

# For a pond file without [pump]: invented, and the lab says so.
PRACTICE = {
    "curve": [{"flow": f"{q} L/min", "head": f"{h} m"} for q, h in ((0, 3.5), (12, 3.2), (24, 2.2), (32, 1.2), (40, 0))],
    "power": "22 W",
    "hours_per_day": "24 h/d",
}


@dataclass(frozen=True)
class PlumbingInputs:
    """What the controls say: the line (Quantities), the number of elbows, the pump's voltage as a share of its label's, the picture."""

    bore: Quantity
    length: Quantity
    lift: Quantity
    elbows: Quantity
    speed: Quantity
    picture: str


class PlumbingLab(Lab):
    """Move the pipe, the outlet and the pump's voltage; see where pump and line meet, how the head is spent, where the water stands."""

    title = "Where do pump and pipe agree?"
    Inputs = PlumbingInputs
    Picture = PlumbingPicture

    def __init__(self, pond=None):
        self._before, self._drawn = None, {}
        super().__init__(pond)

    def controls(self, pond):
        line = pond.plumbing
        volts = pond.pump and Q(100 * pond.pump.speed, "%")
        elbows = sum(run.fittings.get("elbow_90", 0) for run in line.line) if line else 4
        return (
            Slider("bore", "Inside diameter of the pipe", "mm", 8, 60, 0.5, start_in(8, _bore(line), "mm", 60, 28)),
            Slider("length", "Length of the pipe", "m", 0.5, 40, 0.5, start_in(0.5, line and _length(line), "m", 40, 6)),
            Slider("lift", "Lift, pond level to outlet", "m", 0, 6, 0.05, start_in(0, line and line.lift, "m", 6, 1.2)),
            Slider("elbows", "Number of 90 degree elbows", "-", 0, 16, 1, float(min(elbows, 16))),
            Slider("speed", "Voltage, of the pump's label", "%", 40, 120, 1, start_in(40, volts, "%", 120, 100)),
            Choice("picture", "Picture", tuple(PICTURES), CURVES),
        )

    def compute(self, inputs: PlumbingInputs) -> Plan:
        if self._before is None:  # the sliders touch neither the pond's shape nor the temperature of its water
            self._before = plan(self.pond, until="fish").stages
        if inputs.picture not in self._drawn:
            self._drawn[inputs.picture] = PICTURES[inputs.picture]()
        self.picture = self._drawn[inputs.picture]
        found = plan(pond_of(self.pond, inputs), until="plumbing", done=self._before)
        if inputs.picture != LEVELS:
            return found
        return Plan(found.pond, {**found.stages, "drains": gather(stage_module("drains").plan(found.pond, found.stages))})

    def sentence(self, result: Plan, system: str) -> str:
        stage = result["plumbing"]
        whose = "" if self.pond.pump else " (an invented practice pump: your pond file has no [pump] yet)"
        if "flow" not in stage:
            return f"Nothing flows{whose}: this line {'; '.join(stage.missing)}."
        if "drains" in result.stages:
            return _levels(result, whose, system)
        flow, speed, lost = stage["flow"], stage["velocity"], stage["pipe_head"].typical + stage["fittings_head"].typical
        where = "pipe and fittings"
        if "spreader_head" in stage:
            lost, where = lost + stage["spreader_head"].typical, "pipe, fittings and spreader"
        little = Q(1, "cm")
        lost_text = show(lost, "m", system, 2) if lost >= little else f"less than {show(little, 'cm', system, 1)}"
        band = f" ({flow.band_text(system)})" if flow.has_band else ""
        return (
            f"Plan on {flow.text(system)}{band}{whose}. Of {stage['head'].text(system)} of head {stage['lift'].text(system)} goes into the "
            f"lift and {lost_text} is lost in {where}. The water runs at {speed.text(system)}, {_judged(speed.value, system)}."
        )


def _levels(result: Plan, whose: str, system: str) -> str:
    """Say where the water stands in the vessel at this flow."""
    stage, flow = result["drains"], result["plumbing.flow"]
    if "level_running" not in stage:
        return f"At {flow.text(system)}{whose} no level is known: this pond file {'; '.join(stage.missing)}."
    over = stage["overflow_flow"]
    ends = f"runs over by {over.text(system)}" if over.value.m > 0 else f"stands at {stage['level_blocked'].text(system)}"
    return (f"At {flow.text(system)} and up to {show(flow.high, 'L/min', system)}{whose} the water in the vessel stands at "
            f"{stage['level_running'].text(system)} at worst, {stage['freeboard'].text(system)} below the rim; with "
            f"{stage.facts['worst']} shut it {ends}.")


def _judged(speed: Quantity, system: str) -> str:
    from ..pond.stages.plumbing_findings import FAST, SLOW

    if speed > FAST:
        return f"faster than the {show(FAST, 'm/s', system)} of common practice"
    if speed < SLOW:
        return f"slower than the {show(SLOW, 'm/s', system)} that keep dirt from settling (common practice)"
    return f"between the {show(SLOW, 'm/s', system)} and {show(FAST, 'm/s', system)} of common practice"


def _bore(line: Plumbing | None) -> Quantity | None:
    """Return the bore that the plan would take; of several runs that of the longest."""
    from ..tables import load

    if line is None:
        return None
    longest = max(line.line, key=lambda run: run.length.m_as("m"))
    row = load("pipes")[longest.pipe] if longest.pipe else {"average_diameter": longest.inside_diameter}
    return row["average_diameter"] or row["inside_diameter"]


def _length(line: Plumbing) -> Quantity:
    return sum((run.length for run in line.line), Q(0.0, "m"))


def pond_of(pond: Pond, inputs: PlumbingInputs) -> Pond:
    """Put the sliders' line, as one pipe, and pump into a pond; its other fittings, its mouth and its pump curve stay as they are."""
    fittings, kept = {"entrance": 1, "ball_valve": 1, "exit": 1}, {}
    if pond.plumbing:
        runs = pond.plumbing.line
        fittings = {key: sum(run.fittings.get(key, 0) for run in runs) for run in runs for key in run.fittings}
        kept = {key: getattr(pond.plumbing, key) for key in ("mouth_under_water", "air_break", "intake")}
    line = {**kept, "inside_diameter": _text(inputs.bore, "mm"), "length": _text(inputs.length, "m"), "lift": _text(inputs.lift, "m"),
            "fittings": fittings | {"elbow_90": round(inputs.elbows.magnitude)}}
    pump = pond.pump or Pump.model_validate(PRACTICE)
    return pond.model_copy(update={"plumbing": Plumbing.model_validate(line), "pump": _at_speed(pump, inputs.speed)})


def _at_speed(pump: Pump, speed: Quantity) -> Pump:
    """Return the pump at another speed, by the affinity laws."""
    ratio = speed.m_as("") if speed != Q(100, "%") else 1.0
    curve = tuple(p.model_copy(update={"flow": u.affinity_flow(p.flow, ratio), "head": u.affinity_head(p.head, ratio)}) for p in pump.curve)
    same = {"curve": curve, "power": u.affinity_power(pump.power, ratio), "supply_voltage": None}
    return pump.model_copy(update=same)


def _text(quantity: Quantity, unit_text: str) -> str:
    return f"{quantity.m_as(unit_text):.9g} {unit_text}"
