"""Lab of lesson 06: where pump and line agree, and what a wider pipe, a lower outlet or a slower pump changes."""

from __future__ import annotations

from dataclasses import dataclass

from ..figures.plumbing import PlumbingPicture
from ..pond.model import Plumbing, Pond, Pump
from ..pond.plan import Plan, plan
from ..science import pump as u
from ..units import Q, Quantity, show
from .base import Lab, Slider, start_in

# For a pond file without [pump]: invented, and the lab says so.
PRACTICE = {
    "curve": [{"flow": f"{q} L/min", "head": f"{h} m"} for q, h in ((0, 3.5), (12, 3.2), (24, 2.2), (32, 1.2), (40, 0))],
    "power": "22 W",
    "hours_per_day": "24 h/d",
}


@dataclass(frozen=True)
class PlumbingInputs:
    """What the sliders say: the line (Quantities), the number of elbows, and the pump's speed as a share of full."""

    bore: Quantity
    length: Quantity
    lift: Quantity
    elbows: Quantity
    speed: Quantity


class PlumbingLab(Lab):
    """Move the pipe, the outlet and the pump's speed; see where the pump's curve meets the line."""

    title = "Where do pump and pipe agree?"
    Inputs = PlumbingInputs
    Picture = PlumbingPicture

    def __init__(self, pond=None):
        self._before = None
        super().__init__(pond)

    def controls(self, pond):
        line = pond.plumbing
        elbows = line.fittings.get("elbow_90", 0) if line else 4
        return (
            Slider("bore", "Inside diameter of the pipe", "mm", 8, 60, 0.5, start_in(8, _bore(line), "mm", 60, 28)),
            Slider("length", "Length of the pipe", "m", 0.5, 40, 0.5, start_in(0.5, line and line.length, "m", 40, 6)),
            Slider("lift", "Lift, pond level to outlet", "m", 0, 6, 0.05, start_in(0, line and line.lift, "m", 6, 1.2)),
            Slider("elbows", "Number of 90 degree elbows", "-", 0, 16, 1, float(min(elbows, 16))),
            Slider("speed", "Speed of the pump", "%", 40, 120, 1, 100),
        )

    def compute(self, inputs: PlumbingInputs) -> Plan:
        if self._before is None:  # the sliders touch neither the pond's shape nor the temperature of its water
            self._before = plan(self.pond, until="fish").stages
        return plan(pond_of(self.pond, inputs), until="plumbing", done=self._before)

    def sentence(self, result: Plan, system: str) -> str:
        stage = result["plumbing"]
        whose = "" if self.pond.pump else " (an invented practice pump: your pond file has no [pump] yet)"
        if "flow" not in stage:
            return f"Nothing flows{whose}: this line {'; '.join(stage.missing)}."
        flow, speed, lost = stage["flow"], stage["velocity"], stage["pipe_head"].typical + stage["fittings_head"].typical
        little = Q(1, "cm")
        lost_text = show(lost, "m", system, 2) if lost >= little else f"less than {show(little, 'cm', system, 1)}"
        band = f" ({flow.band_text(system)})" if flow.has_band else ""
        return (
            f"Plan on {flow.text(system)}{band}{whose}. Of {stage['head'].text(system)} of head {stage['lift'].text(system)} goes into the "
            f"lift and {lost_text} is lost in pipe and fittings. The water runs at {speed.text(system)}, {_judged(speed.value, system)}."
        )


def _judged(speed: Quantity, system: str) -> str:
    from ..pond.stages.plumbing_findings import FAST, SLOW

    if speed > FAST:
        return f"faster than the {show(FAST, 'm/s', system)} of common practice"
    if speed < SLOW:
        return f"slower than the {show(SLOW, 'm/s', system)} that keep dirt from settling (common practice)"
    return f"between the {show(SLOW, 'm/s', system)} and {show(FAST, 'm/s', system)} of common practice"


def _bore(line: Plumbing | None) -> Quantity | None:
    """Return the bore that the plan would take."""
    from ..tables import load

    if line is None or line.pipe is None:
        return line and line.inside_diameter
    row = load("pipes")[line.pipe]
    return row["average_diameter"] or row["inside_diameter"]


def pond_of(pond: Pond, inputs: PlumbingInputs) -> Pond:
    """Put the sliders' line and pump into a pond; its other fittings and its pump curve stay as they are."""
    fittings = dict(pond.plumbing.fittings) if pond.plumbing else {"entrance": 1, "ball_valve": 1, "exit": 1}
    line = {"inside_diameter": _text(inputs.bore, "mm"), "length": _text(inputs.length, "m"), "lift": _text(inputs.lift, "m"),
            "fittings": fittings | {"elbow_90": round(inputs.elbows.magnitude)}}
    pump = pond.pump or Pump.model_validate(PRACTICE)
    return pond.model_copy(update={"plumbing": Plumbing.model_validate(line), "pump": _at_speed(pump, inputs.speed)})


def _at_speed(pump: Pump, speed: Quantity) -> Pump:
    """Return the pump at another speed, by the affinity laws."""
    ratio = speed.m_as("") if speed != Q(100, "%") else 1.0
    curve = tuple(p.model_copy(update={"flow": u.affinity_flow(p.flow, ratio), "head": u.affinity_head(p.head, ratio)}) for p in pump.curve)
    return pump.model_copy(update={"curve": curve, "power": u.affinity_power(pump.power, ratio)})


def _text(quantity: Quantity, unit_text: str) -> str:
    return f"{quantity.m_as(unit_text):.9g} {unit_text}"
