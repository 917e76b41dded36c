"""Lab of lesson 01: how far off the volume is when the depth is a little off."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from ..figures.survey import SurveyPicture
from ..pond.model import Facts, Pond
from ..pond.plan import Plan, plan
from ..pond.results import Stage
from ..units import Q, Quantity, show
from .base import Choice, Lab, Slider
from .own import moved, own_slider

_SHAPES = (
    ("rectangle", "rectangle"),
    ("ellipse", "ellipse"),
    ("rectangle with round ends", "stadium"),
    ("circle (uses the length)", "circle"),
    ("rectangle with sloping sides", "sloped"),
)
# shapes that the sliders cannot build: they stretch what the pond file says
_MEASURED = {"shelves": "steps, as in your pond file", "soundings": "outline and soundings, as in your pond file",
             "widths": "widths and soundings, as in your pond file", "salt": "as the salt told", "fill": "as the filling told"}  # fmt: skip
_NOT_BY_DEPTH = ("salt", "fill")


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

    def __init__(self, pond=None):
        self._start = None
        super().__init__(pond)

    def controls(self, pond):
        kind = pond.pond.shape.kind
        length, width, depth = _lengths(pond)
        more = ((_MEASURED[kind], kind),) if kind in _MEASURED else ()
        return (
            Choice("shape", "Shape from above", (*more, *_SHAPES), kind),
            own_slider("length", "Length", "m", 0.5, 20, 0.1, length, 4),
            own_slider("width", "Width", "m", 0.5, 12, 0.1, width, 2.5),
            own_slider("depth", "Depth", "m", 0.1, 3, 0.01, depth, 0.8),
            Slider("doubt", "The depth may be off by", "cm", 0, 30, 1, 5),
        )

    def compute(self, inputs: VolumeInputs) -> Plan:
        """Survey the pond as it stands on the sliders, and once more with the depth off either way, for the band."""
        self._start = self._start or inputs
        pond = self._pond(inputs)
        survey = _survey(pond)
        least, most = (survey["volume"].typical if inputs.shape in _NOT_BY_DEPTH else
                       _survey(self._pond(replace(inputs, depth=depth)))["volume"].typical for depth in _ends(inputs))  # fmt: skip
        volume = replace(survey["volume"], low=least, high=most, note="as far off as the depth may be")
        return Plan(pond, {"survey": replace(survey, numbers={**survey.numbers, "volume": volume})})

    def _pond(self, inputs: VolumeInputs) -> Pond:
        """Stretch the pond's own shape as far as the sliders were moved, or make the other shape that was chosen."""
        facts = self.pond.pond
        if inputs.shape != facts.shape.kind:
            return pond_of(inputs)
        changed = moved(self._start, inputs)
        times = (float((getattr(inputs, name) / getattr(self._start, name)).m_as("")) if name in changed else 1.0
                 for name in ("length", "width", "depth"))  # fmt: skip
        return self.pond.model_copy(update={"pond": facts.model_copy(update={"shape": stretched(facts.shape, *times)})})

    def sentence(self, result: Plan, system: str) -> str:
        volume, inputs = result["survey.volume"], self.inputs
        if inputs.shape in _NOT_BY_DEPTH:
            return f"About {volume.text(system)}. That was measured without the depth: it stays, however far off the depth is."
        off = volume.high - volume.typical
        percent = 100 * (off / volume.typical).m_as("")
        limit = "inside" if percent <= 10 else "past"
        return (
            f"About {volume.text(system)}. If the depth is off by {show(inputs.doubt, 'cm', system)}, the volume is off by "
            f"{show(off, 'L', system, 2)}, that is {percent:.0f} %: {limit} the 10 % that a plan can live with."
        )


def _survey(pond: Pond) -> Stage:
    return plan(pond, until="survey")["survey"]


def _ends(inputs: VolumeInputs) -> tuple[Quantity, Quantity]:
    """Return the depth less its doubt (some water is always left) and the depth plus its doubt."""
    return max(inputs.depth - inputs.doubt, Q(0.02, "m")), inputs.depth + inputs.doubt


def _lengths(pond: Pond) -> tuple[Quantity, Quantity | None, Quantity]:
    """Return the pond's own length, width (None for a circle) and mean depth."""
    shape, survey = pond.pond.shape, _survey(pond)
    readings = getattr(shape, "depth", None)
    depth = sum(readings[1:], readings[0]) / len(readings) if isinstance(readings, tuple) else survey["mean_depth"].typical
    match shape.kind:
        case "circle":
            return shape.diameter, None, depth
        case "shelves":
            return shape.layers[0].length, shape.layers[0].width, depth
        case "soundings":
            length, width = (max(side) - min(side) for side in zip(*shape.outline, strict=True))
            return length, width, depth
        case "widths":
            return shape.length, max(shape.widths), depth
        case "salt" | "fill":  # drawn as a circle of that surface
            across = 2 * (shape.surface_area / math.pi) ** 0.5
            return across, across, depth
    return shape.length, shape.width, depth


def stretched(shape, along: float, across: float, down: float):
    """Make a measured shape so many times as long, as wide and as deep; a sloped pond keeps how far its sides run in."""
    match shape.kind:
        case "shelves":
            update = {"layers": tuple(x.model_copy(update={"length": along * x.length, "width": across * x.width, "depth": down * x.depth})
                                      for x in shape.layers)}  # fmt: skip
        case "soundings":
            update = {"outline": tuple((along * x, across * y) for x, y in shape.outline), "depths": tuple(down * d for d in shape.depths)}
        case "widths":
            update = {"length": along * shape.length, "widths": tuple(across * w for w in shape.widths),
                      "depths": tuple(down * d for d in shape.depths)}  # fmt: skip
        case "salt" | "fill":
            told = "salt" if shape.kind == "salt" else "fill_time"
            update = {told: along * across * down * getattr(shape, told), "surface_area": along * across * shape.surface_area,
                      "depth": down * shape.depth}  # fmt: skip
        case "circle":
            update = {"diameter": along * shape.diameter, "depth": tuple(down * d for d in shape.depth)}
        case _:
            update = {"length": along * shape.length, "width": across * shape.width, "depth": tuple(down * d for d in shape.depth)}
    if shape.kind == "stadium":
        update |= {"length": max(update["length"], update["width"]), "width": min(update["length"], update["width"])}
    if shape.kind == "sloped":
        update |= {f"bottom_{side}": max(update[side] - getattr(shape, side) + getattr(shape, f"bottom_{side}"), Q(0.0, "m"))
                   for side in ("length", "width")}  # fmt: skip
    return shape.model_copy(update=update)


def pond_of(inputs: VolumeInputs) -> Pond:
    """Turn the sliders into a pond that has only a shape."""
    sides = {"length": max(inputs.length, inputs.width), "width": min(inputs.length, inputs.width), "depth": inputs.depth}
    match inputs.shape:
        case "circle":
            sides = {"diameter": inputs.length, "depth": inputs.depth}
        case "sloped":  # the sides run in by half the depth on each side, as far as there is room
            sides |= {f"bottom_{side}": max(sides[side] - inputs.depth, Q(0.0, "m")) for side in ("length", "width")}
    return Pond(pond=Facts(name="the pond on the sliders", shape={"kind": inputs.shape, **sides}))
