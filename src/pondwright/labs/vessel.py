"""Lab of lesson 05: where the water stands in the vessel, and how long its pump may stop."""

from __future__ import annotations

from dataclasses import dataclass

from ..figures.vessel import VesselPicture
from ..pond.levels import SIPHON
from ..pond.model import CurvePoint, Pond, Pump
from ..pond.plan import Plan, plan
from ..pond.results import Stage, by_key, given
from ..pond.strata import built
from ..pond.vessel import Layer, Outlet, Vessel
from ..units import Q, Quantity, show, unit
from .base import Lab, Tick
from .own import moved, own_slider

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
_ADDED = {"mat": "foam", "media": "gravel"}  # for a vessel that has none
_PLACE = {"elbow_up": "mouth", "floor": "top"}  # what of an outlet the slider of its height moves; of the others the middle
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
        self._before = self._start = None
        super().__init__(pond)

    @property
    def vessel(self) -> Vessel:
        """The vessel that the sliders change: the pond's own, or an invented one."""
        return self.pond.vessel or Vessel.model_validate(PRACTICE)

    def controls(self, pond):
        vessel, flow = self.vessel, self._earlier()["plumbing"].numbers.get("flow")
        outlet, top = vessel.outlets[0] if vessel.outlets else None, round(100 * built(vessel).rim - _LEAST)
        bore, height = (None, None) if outlet is None else (outlet.inside_diameter, _height(outlet))
        place = "middle" if outlet is None else _PLACE.get(outlet.kind, "middle")
        alike = _alike(vessel.outlets)
        return (
            own_slider("flow", "Flow into the vessel", "L/min", 1, 120, 1, flow and flow.typical, 20),
            own_slider("mat", "Thickness of the mat", "cm", 0, 20, 1, _thickness(vessel, "mat"), 0),
            own_slider("media", "Thickness of the media", "cm", 5, 150, 1, _thickness(vessel, "media"), 40),
            own_slider("bore", "Inside diameter of each drain" if alike else "First drain, inside width", "mm", 10, 110, 1, bore, 36),
            own_slider("drains", "Number of drains", "-", 1, 4, 1, Q(float(len(vessel.outlets)), "-"), 1),
            own_slider("height", f"Height of the drains' {place}" if alike else f"First drain, its {place} at", "cm", 1, top, 1, height, 5),
            Tick("blocked", "One drain is blocked", False),
        )

    def _earlier(self) -> dict[str, Stage]:
        """Return the stages before the vessel, worked out once: no slider touches fish, sun or ammonia."""
        if self._before is None:
            self._before = dict(plan(self.pond, until="filter").stages)
        return self._before

    @property
    def _flow_is_own(self) -> bool:
        return "flow" in self._earlier()["plumbing"] and "flow" not in self._moved

    def compute(self, inputs: VesselInputs) -> Plan:
        self._start = self._start or inputs
        self._moved, self.picture.blocked = moved(self._start, inputs), inputs.blocked
        done = dict(self._earlier())
        if not self._flow_is_own:
            done["plumbing"] = Stage("plumbing", "", by_key(given("flow", "Flow", "L/min", inputs.flow)))
        return plan(pond_of(self.pond, self.vessel, inputs, self._moved), until="drains", done=done)

    def sentence(self, result: Plan, system: str) -> str:
        stage, words = result["drains"], self._level(result, system)
        if self._moved & {"mat", "media"} and (cut := _cut(self.vessel, self.inputs)) is not None:
            words += f" Only {show(cut, 'cm', system, 2)} of media fit."
        if "siphon" in stage.facts and not (self.inputs.blocked and stage.facts["worst"] == SIPHON):
            words += f" {stage.facts['siphon']}"
        return f"{words} {_stop(result['vessel'])}"

    def _level(self, result: Plan, system: str) -> str:
        """Say where the water stands, at worst, and what was invented."""
        stage, vessel, flow = result["drains"], result.pond.vessel, result["plumbing.flow"]
        lacks = [] if self.pond.vessel else ["an invented practice drum: your pond file has no [vessel] yet"]
        lacks += [] if self._flow_is_own or "flow" in self._moved else ["an invented flow: your pond file tells none yet"]
        whose = f" ({'; '.join(lacks)})" if lacks else ""
        if "level_running" not in stage:
            return f"No level is known: your pond file {'; '.join(stage.missing)}."
        blocked = self.inputs.blocked
        level, rim = stage["level_blocked" if blocked else "level_running"], Q(100 * built(vessel).rim, "cm")
        comes = f"{'Up to ' if flow.has_band else ''}{show(flow.high, 'L/min', system)}"
        words = f"{comes} come in, with {_shut(vessel, stage) if blocked else _open(vessel)}{whose}."
        if (left := rim - level.value).m_as(unit("cm")) >= _TOUCHES:
            stands = "rises to" if stage.facts.get("siphon_does") == "runs" and not blocked else "stands at"
            worst = ", at worst" if level.has_band else ""
            return f"{words} The water {stands} {level.text(system)}, {show(left, 'cm', system)} below the rim{worst}."
        if (rim - level.typical).m_as(unit("cm")) >= _TOUCHES:
            return f"{words} At worst the vessel runs over its rim; typically the water stands at {show(level.typical, 'cm', system)}."
        return f"{words} The vessel runs over its rim; a vessel should carry its flow with one drain blocked."


def _open(vessel: Vessel) -> str:
    """Name the ways out, all of them open."""
    count, siphon = len(vessel.outlets), "its siphon" if vessel.siphon else ""
    drains = {0: "", 1: "its one drain", 2: "both drains"}.get(count, f"all {count} drains")
    return f"{' and '.join(part for part in (drains, siphon) if part)} open"


def _shut(vessel: Vessel, stage: Stage) -> str:
    """Name the way out that is shut: the one whose loss lifts the water most."""
    if vessel.siphon or not _alike(vessel.outlets):
        return f"{worst} blocked" if (worst := stage.facts["worst"]) == SIPHON else f'"{worst}" blocked'
    return "its one drain blocked" if len(vessel.outlets) == 1 else f"one of {len(vessel.outlets)} drains blocked"


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


# ---------------------------------------------------------------------------------------------------- the vessel on the sliders


def pond_of(pond: Pond, vessel: Vessel, inputs: VesselInputs, changed: frozenset[str]) -> Pond:
    """Put what the moved controls say into a pond; all else of its vessel stays as it is."""
    update = {}
    if changed & {"mat", "media"}:
        update["layers"] = _layers(vessel, inputs, changed)
    if changed & {"bore", "drains", "height"}:
        update["outlets"] = _outlets(vessel, inputs, changed)
    return pond.model_copy(update={"vessel": vessel.model_copy(update=update) if update else vessel, "pump": pond.pump or _PUMP})


def _thickness(vessel: Vessel, kind: str) -> Quantity:
    """Return how thick all layers of a kind are together."""
    return Q(sum(x.thickness.m_as("cm") for x in vessel.layers if x.kind == kind), "cm")


def _cut(vessel: Vessel, inputs: VesselInputs) -> Quantity | None:
    """Return how much media fit where the slider asks for more."""
    others = sum(_thickness(vessel, kind).m for kind in ("gap", "grid", "plenum"))
    room = max(float(vessel.height.m_as("cm") - others - inputs.mat.m_as("cm")), 1.0)
    return Q(room, "cm") if inputs.media.m_as("cm") > room + 1e-6 else None


def _layers(vessel: Vessel, inputs: VesselInputs, changed: frozenset[str]) -> tuple[Layer, ...]:
    """Make the mat or the media as thick as the slider says: of several each in its share, where there is none one of an invented kind."""
    cut, layers = _cut(vessel, inputs), list(vessel.layers)
    wanted = {kind: getattr(inputs, kind) for kind in ("mat", "media") if kind in changed} | ({} if cut is None else {"media": cut})
    for kind, thick in wanted.items():
        have = _thickness(vessel, kind)
        if have.m > 0:
            times = (thick / have).m_as("")
            layers = [x.model_copy(update={"thickness": times * x.thickness}) if x.kind == kind else x for x in layers]
            layers = [x for x in layers if x.thickness.m > 0]
        elif thick.m > 0:
            layers.insert(_where(layers, kind, vessel.flow), Layer(kind=kind, media=_ADDED[kind], thickness=thick))
    return tuple(layers)


def _where(layers: list[Layer], kind: str, flow: str) -> int:
    """Find the place of a new layer: the water meets the mat before the media."""
    filled = [n for n, x in enumerate(layers) if x.kind in _ADDED]
    if filled:
        return filled[0] if (kind == "mat") == (flow == "down") else filled[-1] + 1
    return next((n for n, x in enumerate(layers) if x.kind != "gap"), len(layers))


def _alike(outlets: tuple[Outlet, ...]) -> bool:
    return len({(x.kind, x.inside_diameter, x.height, x.mouth) for x in outlets}) <= 1


def _height(outlet: Outlet) -> Quantity:
    return outlet.mouth if outlet.kind == "elbow_up" else outlet.height


def _outlets(vessel: Vessel, inputs: VesselInputs, changed: frozenset[str]) -> tuple[Outlet, ...]:
    """Change the drains: all of them where they are alike, else the first; a drain more is one like the first."""
    own = vessel.outlets or (Outlet(name="drain", kind="stub", inside_diameter=inputs.bore, height=inputs.height),)
    mine = len(own) if _alike(own) else 1
    outlets = [*(_changed(outlet, inputs, changed) for outlet in own[:mine]), *own[mine:]]
    count = round(inputs.drains.magnitude) if "drains" in changed else len(vessel.outlets)
    names = [name for n in range(1, count + len(own) + 1) if (name := f"drain {n}") not in {outlet.name for outlet in own}]
    more = (outlets[0].model_copy(update={"name": name}) for name in names[: max(count - len(own), 0)])
    return (*outlets[:count], *more)


def _changed(outlet: Outlet, inputs: VesselInputs, changed: frozenset[str]) -> Outlet:
    """Give an outlet the bore and the height of the sliders, where they were moved; the other end of an elbow gives way."""
    update = {"inside_diameter": inputs.bore} if "bore" in changed else {}
    if "height" in changed:
        update["height"] = inputs.height
        if outlet.kind == "elbow_up":
            update |= {"mouth": inputs.height, "height": min(outlet.height, inputs.height)}
        elif outlet.kind == "elbow_down":
            update["mouth"] = min(outlet.mouth, inputs.height)
    return outlet.model_copy(update=update)
