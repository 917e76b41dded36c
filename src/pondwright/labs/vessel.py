"""Lab of lesson 05: where the water stands in the vessel, and how long its pump may stop."""

from __future__ import annotations

from dataclasses import dataclass

from ..figures.vessel import VesselPicture
from ..pond.model import CurvePoint, Pond, Pump
from ..pond.plan import Plan, plan
from ..pond.results import Stage, by_key, given
from ..pond.strata import built
from ..pond.vessel import Layer, Outlet, Vessel
from ..units import Q, Quantity, show, unit
from .base import Lab, Slider, Tick, start_in

# For a pond file without [vessel]: invented, and the lab says so.
PRACTICE = {
    "shape": "barrel", "diameter": "55 cm", "height": "90 cm",
    "layers": [{"kind": "gap", "thickness": "10 cm"}, {"kind": "mat", "media": "foam", "thickness": "5 cm"},
               {"kind": "media", "media": "gravel", "thickness": "50 cm"}, {"kind": "plenum", "thickness": "10 cm"}],
    "spreader": {"kind": "plate", "holes": 40, "hole": "6 mm"},
    "outlets": [{"name": "drain", "kind": "stub", "inside_diameter": "36 mm", "height": "4 cm"}],
}  # fmt: skip
_PUMP = Pump(curve=(CurvePoint(flow="0 L/min", head="2 m"), CurvePoint(flow="120 L/min", head="0 m")), power="20 W", hours_per_day="24 h/d")
_LEAST = 1.0  # cm, below the rim, for an outlet's highest place
_TOUCHES = 0.05  # cm: water that stands so close to the rim runs over it


@dataclass(frozen=True)
class VesselInputs:
    """What the controls say: the flow, the layers, the drains (Quantities), and whether one drain is blocked."""

    flow: Quantity
    mat: Quantity
    media: Quantity
    bore: Quantity
    drains: Quantity
    height: Quantity
    blocked: bool


class VesselLab(Lab):
    """Move the flow, the layers and the drains; see the levels, and how long the media live when the pump stops."""

    title = "The filter vessel"
    Inputs = VesselInputs
    Picture = VesselPicture

    def __init__(self, pond=None):
        self._before = None
        super().__init__(pond)

    @property
    def vessel(self) -> Vessel:
        """The vessel that the sliders change: the pond's own, or an invented one."""
        return self.pond.vessel or Vessel.model_validate(PRACTICE)

    def controls(self, pond):
        vessel = self.vessel
        mat, media = (sum(x.thickness.m_as("cm") for x in vessel.layers if x.kind == kind) for kind in ("mat", "media"))
        outlet = vessel.outlets[0] if vessel.outlets else None
        bore, height = (None, None) if outlet is None else (outlet.inside_diameter, outlet.height)
        flow = self._earlier()["plumbing"].numbers.get("flow")
        top = round(100 * built(vessel).rim - _LEAST)
        return (
            Slider("flow", "Flow into the vessel", "L/min", 1, 120, 1, start_in(1, flow and flow.typical, "L/min", 120, 20)),
            Slider("mat", "Thickness of the mat", "cm", 0, 20, 1, start_in(0, Q(mat, "cm"), "cm", 20, 0)),
            Slider("media", "Thickness of the media", "cm", 5, 150, 1, start_in(5, Q(media, "cm"), "cm", 150, 40)),
            Slider("bore", "Inside diameter of each drain", "mm", 10, 110, 1, start_in(10, bore, "mm", 110, 36)),
            Slider("drains", "Number of drains", "-", 1, 4, 1, float(min(max(len(vessel.outlets), 1), 4))),
            Slider("height", "Height of the drains' middle", "cm", 1, top, 1, start_in(1, height, "cm", top, 5)),
            Tick("blocked", "One drain is blocked", False),
        )

    def _earlier(self) -> dict[str, Stage]:
        """Return the stages before the vessel, worked out once: no slider touches fish, sun or ammonia."""
        if self._before is None:
            self._before = dict(plan(self.pond, until="filter").stages)
        return self._before

    def compute(self, inputs: VesselInputs) -> Plan:
        self.picture.blocked = inputs.blocked
        done = {**self._earlier(), "plumbing": Stage("plumbing", "", by_key(given("flow", "Flow", "L/min", inputs.flow)))}
        return plan(pond_of(self.pond, self.vessel, inputs), until="drains", done=done)

    def sentence(self, result: Plan, system: str) -> str:
        inputs, count = self.inputs, round(self.inputs.drains.magnitude)
        whose = "" if self.pond.vessel else " (an invented practice drum: your pond file has no [vessel] yet)"
        open_, shut = ("its one drain open", "its one drain blocked") if count == 1 else (
            f"{'both' if count == 2 else f'all {count}'} drains open", f"one of {count} drains blocked")  # fmt: skip
        level = result["drains"]["level_blocked" if inputs.blocked else "level_running"].value
        left = Q(100 * built(result.pond.vessel).rim, "cm") - level
        words = f"At {show(inputs.flow, 'L/min', system)} with {shut if inputs.blocked else open_}{whose} the "
        if left.m_as(unit("cm")) < _TOUCHES:
            words += "vessel runs over its rim; a vessel should carry its flow with one drain blocked. "
        else:
            words += f"water stands at {show(level, 'cm', system, 2)}, {show(left, 'cm', system, 2)} below the rim. "
        if (cut := _cut(self.vessel, inputs)) is not None:
            words += f"Only {show(cut, 'cm', system, 2)} of media fit. "
        return words + _stop(result["vessel"])


def _stop(stage: Stage) -> str:
    """Say what becomes of the media when the pump stops."""
    if "safe_stop" not in stage:
        return "How long the pump may stop is not known yet: that takes the fish and the place."
    rest = {"drained": "drain", "flooded": "stand under water"}.get(stage.facts["at_rest"], f"are {stage.facts['at_rest']}")
    worst, typical = (_time(getattr(stage["safe_stop"], end)) for end in ("value", "typical"))
    return f"When the pump stops the media {rest}: they are sure to live for {worst}, typically for {typical}."


def _time(hours: Quantity) -> str:
    """Write a short time in minutes, a long one in days."""
    name = "min" if hours < Q(2, "h") else "h" if hours < Q(72, "h") else "d"
    return show(hours, name, digits=2)


def _room(vessel: Vessel, inputs: VesselInputs) -> float:
    """Return the height (cm) that is left for the media."""
    others = sum(x.thickness.m_as("cm") for x in vessel.layers if x.kind not in ("mat", "media"))
    return float(vessel.height.m_as("cm") - others - inputs.mat.m_as("cm"))


def _cut(vessel: Vessel, inputs: VesselInputs) -> Quantity | None:
    """Return how much media fit where the slider asks for more."""
    room = max(_room(vessel, inputs), 1.0)
    return Q(room, "cm") if inputs.media.m_as("cm") > room + 1e-6 else None


def pond_of(pond: Pond, vessel: Vessel, inputs: VesselInputs) -> Pond:
    """Put the sliders' layers and drains into a pond; the vessel's size, its spreader and its other layers stay as they are."""
    cut = _cut(vessel, inputs)
    thickness = {"mat": inputs.mat, "media": inputs.media if cut is None else cut}
    kept = [x for x in vessel.layers if x.kind not in thickness]
    names = {"mat": "foam", "media": "gravel"} | {x.kind: x.media for x in reversed(vessel.layers) if x.media is not None}
    own = [Layer(kind=kind, media=names[kind], thickness=_text(q, "cm")) for kind, q in thickness.items() if q.m_as("cm") > 0]
    above = [x for x in kept if x.kind == "gap"]
    layers = (*above, *(own if vessel.flow == "down" else own[::-1]), *(x for x in kept if x.kind != "gap"))
    first = vessel.outlets[0] if vessel.outlets else None
    pipe = {"inside_diameter": _text(inputs.bore, "mm"), "height": _text(inputs.height, "cm")}
    more = {key: value for key in ("length", "drop") if first is not None and (value := getattr(first, key)) is not None}
    outlets = tuple(Outlet(name=f"drain {n + 1}", kind="stub", **pipe, **more) for n in range(round(inputs.drains.magnitude)))
    changed = {"layers": layers, "outlets": outlets, "siphon": None}
    return pond.model_copy(update={"vessel": vessel.model_copy(update=changed), "pump": pond.pump or _PUMP})


def _text(quantity: Quantity, unit_text: str) -> str:
    return f"{quantity.m_as(unit(unit_text)):.9g} {unit_text}"
