"""Lab of lesson 01: how far off the volume is when the depth is a little off."""

from __future__ import annotations

from dataclasses import dataclass, replace

from ..figures.survey import SurveyPicture
from ..pond.model import Facts, Pond
from ..pond.plan import Plan, plan
from ..pond.results import Stage
from ..units import Q, Quantity, show
from .base import Choice, Lab, Slider, start_in

_SHAPES = (
    ("rectangle", "rectangle"),
    ("ellipse", "ellipse"),
    ("rectangle with round ends", "stadium"),
    ("circle (uses the length)", "circle"),
    ("rectangle with sloping sides", "sloped"),
)


@dataclass(frozen=True)
class VolumeInputs:
    """What the sliders say: a shape and four lengths (Quantities)."""

    shape: str
    length: Quantity
    width: Quantity
    depth: Quantity
    doubt: Quantity


class VolumeLab(Lab):
    """Move the shape, the tape readings and the doubt about the depth; see the water and how far off it may be."""

    title = "How much water?"
    Inputs = VolumeInputs
    Picture = SurveyPicture

    def controls(self, pond):
        shape = pond.pond.shape
        known = dict(_SHAPES)
        length = getattr(shape, "length", None) or getattr(shape, "diameter", None)
        readings = getattr(shape, "depth", None)
        mean = sum(readings[1:], readings[0]) / len(readings) if isinstance(readings, tuple) else None
        depth = plan(pond, until="survey")["survey.mean_depth"].value if mean is None else mean
        return (
            Choice("shape", "Shape from above", _SHAPES, shape.kind if shape.kind in known.values() else "rectangle"),
            Slider("length", "Length", "m", 0.5, 20, 0.1, start_in(0.5, length, "m", 20, 4)),
            Slider("width", "Width", "m", 0.5, 12, 0.1, start_in(0.5, getattr(shape, "width", None), "m", 12, 2.5)),
            Slider("depth", "Depth", "m", 0.1, 3, 0.01, round(start_in(0.1, depth, "m", 3, 0.8), 2)),
            Slider("doubt", "The depth may be off by", "cm", 0, 30, 1, 5),
        )

    def compute(self, inputs: VolumeInputs) -> Plan:
        """Survey the pond as it stands on the sliders, and once more with the depth off either way, for the band."""
        survey = _survey(inputs, inputs.depth)
        less, more = (_survey(inputs, depth)["volume"].typical for depth in _ends(inputs))
        volume = replace(survey["volume"], low=less, high=more, note="as far off as the depth may be")
        numbers = {**survey.numbers, "volume": volume}
        return Plan(pond_of(inputs, inputs.depth), {"survey": replace(survey, numbers=numbers)})

    def sentence(self, result: Plan, system: str) -> str:
        volume, inputs = result["survey.volume"], self.inputs
        off = volume.high - volume.typical
        percent = 100 * (off / volume.typical).m_as("")
        limit = "inside" if percent <= 10 else "past"
        return (
            f"About {volume.text(system)}. If the depth is off by {show(inputs.doubt, 'cm', system)}, the volume is off by "
            f"{show(off, 'L', system, 2)}, that is {percent:.0f} %: {limit} the 10 % that a plan can live with."
        )


def _survey(inputs: VolumeInputs, depth: Quantity) -> Stage:
    return plan(pond_of(inputs, depth), until="survey")["survey"]


def _ends(inputs: VolumeInputs) -> tuple[Quantity, Quantity]:
    """Return the depth less its doubt (some water is always left) and the depth plus its doubt."""
    return max(inputs.depth - inputs.doubt, Q(0.02, "m")), inputs.depth + inputs.doubt


def pond_of(inputs: VolumeInputs, depth: Quantity) -> Pond:
    """Turn the sliders into a pond that has only a shape, of some depth."""
    sides = {"length": max(inputs.length, inputs.width), "width": min(inputs.length, inputs.width), "depth": depth}
    match inputs.shape:
        case "circle":
            sides = {"diameter": inputs.length, "depth": depth}
        case "sloped":  # the sides run in by half the depth on each side, as far as there is room
            sides |= {f"bottom_{side}": max(sides[side] - depth, Q(0.0, "m")) for side in ("length", "width")}
    return Pond(pond=Facts(name="the pond on the sliders", shape={"kind": inputs.shape, **sides}))
