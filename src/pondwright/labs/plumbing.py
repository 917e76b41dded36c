"""Lab of lesson 06: where pump and line agree, what a pipe, a lift or a voltage changes, and where the vessel's water then stands."""

from __future__ import annotations

from dataclasses import dataclass

from ..figures.drains import LevelPicture
from ..figures.plumbing import PlumbingPicture
from ..figures.profile import ProfilePicture
from ..pond.model import Plumbing, Pond, Pump, Run
from ..pond.plan import Plan, plan, stage_module
from ..pond.results import gather
from ..science import pump as u
from ..tables import load
from ..units import Q, Quantity, show
from .base import Choice, Lab
from .own import moved, own_slider

CURVES, PROFILE, LEVELS = "pump and line", "the line's profile", "level in the vessel"
PICTURES = {CURVES: PlumbingPicture, PROFILE: ProfilePicture, LEVELS: LevelPicture}

# For a pond file without [pump] or [plumbing]: invented, and the lab says so.
PRACTICE_LINE = {
    "inside_diameter": "28 mm",
    "length": "6 m",
    "lift": "1.2 m",
    "fittings": {"entrance": 1, "elbow_90": 4, "ball_valve": 1, "exit": 1},
}
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
        self._before, self._start, self._drawn = None, None, {}
        super().__init__(pond)

    def controls(self, pond):
        line = _line(pond)
        runs, one = line.line, _one(line.line)
        elbows = sum(run.fittings.get("elbow_90", 0) for run in runs)
        volts = pond.pump and Q(100 * pond.pump.speed, "%")
        which = "the pipe" if one is None else f"run {one + 1} of {len(runs)}"
        return (
            own_slider("bore", f"Inside diameter of {which}", "mm", 8, 60, 0.5, Q(_bore(runs[one or 0]), "mm"), 28),
            own_slider("length", "Length of the pipe", "m", 0.5, 40, 0.5, Q(_length(runs), "m"), 6),
            own_slider("lift", "Lift, pond level to outlet", "m", 0, 6, 0.05, line.lift, 1.2),
            own_slider("elbows", "Number of 90 degree elbows", "-", 0, 16, 1, Q(float(elbows), "-"), 4),
            own_slider("speed", "Voltage, of the pump's label", "%", 40, 120, 1, volts, 100),
            Choice("picture", "Picture", tuple(PICTURES), CURVES),
        )

    def compute(self, inputs: PlumbingInputs) -> Plan:
        self._start = self._start or inputs
        self._moved = moved(self._start, inputs) - {"picture"}
        if self._before is None:  # the sliders touch neither the pond's shape nor the temperature of its water
            self._before = plan(self.pond, until="fish").stages
        if inputs.picture not in self._drawn:
            self._drawn[inputs.picture] = PICTURES[inputs.picture]()
        self.picture = self._drawn[inputs.picture]
        found = plan(pond_of(self.pond, inputs, self._moved), until="plumbing", done=self._before)
        if inputs.picture != LEVELS:
            return found
        return Plan(found.pond, {**found.stages, "drains": gather(stage_module("drains").plan(found.pond, found.stages))})

    def sentence(self, result: Plan, system: str) -> str:
        stage = result["plumbing"]
        whose = self._whose()
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
            f"{'' if whose else 'Plan on '}{flow.text(system)}{band}{whose}. Of {stage['head'].text(system)} of head "
            f"{stage['lift'].text(system)} goes into the lift and {lost_text} is lost in {where}. The water runs at {speed.text(system)}, "
            f"{_judged(speed.value, system)}.{self._elbows()}"
        )

    def _whose(self) -> str:
        """Name what is invented, since the pond file does not have it yet."""
        lacks = [(words, f"[{key}]") for words, key in (("pump", "pump"), ("line", "plumbing")) if getattr(self.pond, key) is None]
        if not lacks:
            return ""
        words, sections = (" and ".join(part) for part in zip(*lacks, strict=True))
        return f" (an invented practice {words}: your pond file has no {sections.replace(' and ', ' and no ')} yet)"

    def _elbows(self) -> str:
        """Say in which of several runs elbows were added or left out."""
        one = _one(_line(self.pond).line)
        return "" if one is None or "elbows" not in self._moved else f" Elbows are put into run {one + 1}, or taken out there first."


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


# ------------------------------------------------------------------------------------------------------- the line on the sliders


def _line(pond: Pond) -> Plumbing:
    return pond.plumbing or Plumbing.model_validate(PRACTICE_LINE)


def _bore(run: Run) -> float:
    """Return the bore (mm) that the plan takes for a run."""
    if run.pipe is None:
        return float(run.inside_diameter.m_as("mm"))
    row = load("pipes")[run.pipe]
    return float((row["average_diameter"] or row["inside_diameter"]).m_as("mm"))


def _length(runs: tuple[Run, ...]) -> float:
    return float(sum(run.length.m_as("m") for run in runs))


def _one(runs: tuple[Run, ...]) -> int | None:
    """Return the place of the run whose bore the slider changes, the one that takes most head; None where all are equally wide."""
    bores = [_bore(run) for run in runs]
    if len(set(bores)) == 1:
        return None
    return max(range(len(runs)), key=lambda n: runs[n].length.m_as("m") / bores[n] ** 5)


def pond_of(pond: Pond, inputs: PlumbingInputs, changed: frozenset[str]) -> Pond:
    """Put what the moved controls say into a pond; all else of its line and its pump stays as it is."""
    line, pump = _line(pond), pond.pump or Pump.model_validate(PRACTICE)
    if changed & {"bore", "length", "lift", "elbows"}:
        line = _changed(line, inputs, changed)
    return pond.model_copy(update={"plumbing": line, "pump": _at_speed(pump, inputs.speed) if "speed" in changed else pump})


def _changed(line: Plumbing, inputs: PlumbingInputs, changed: frozenset[str]) -> Plumbing:
    """Change a line: the bore of one run or of all, length and rise in every run's share, elbows first in the run of the bore."""
    runs, one = list(line.line), _one(line.line)
    update = {"lift": inputs.lift} if "lift" in changed else {}
    if "bore" in changed:
        wide = {"pipe": None, "inside_diameter": inputs.bore}
        runs = [run.model_copy(update=wide) if one in (None, n) else run for n, run in enumerate(runs)]
    if "elbows" in changed:
        runs = _with_elbows(runs, one or 0, round(inputs.elbows.magnitude))
    if "lift" in changed and runs[0].rise is not None:
        steeper = (inputs.lift - line.lift) / _length(runs)
        runs = [run.model_copy(update={"rise": run.rise + steeper * run.length.m_as("m")}) for run in runs]
    if "length" in changed:
        times = (inputs.length / Q(_length(runs), "m")).m_as("")
        runs = [run.model_copy(update={"length": times * run.length}) for run in runs]
    if line.runs:
        return line.model_copy(update={**update, "runs": tuple(runs)})
    return line.model_copy(update={**update, **{key: getattr(runs[0], key) for key in ("pipe", "inside_diameter", "length", "fittings")}})


def _with_elbows(runs: list[Run], first: int, count: int) -> list[Run]:
    """Put so many elbows into a line: more go into the first of the runs, fewer come out of it and then of the others."""
    have = [run.fittings.get("elbow_90", 0) for run in runs]
    missing = count - sum(have)
    for n in (first, *(n for n in range(len(runs)) if n != first)):
        change = max(missing, -have[n])
        have[n], missing = have[n] + change, missing - change
    return [run.model_copy(update={"fittings": {**run.fittings, "elbow_90": some}}) for run, some in zip(runs, have, strict=True)]


def _at_speed(pump: Pump, speed: Quantity) -> Pump:
    """Return the pump at another speed, by the affinity laws."""
    ratio = speed.m_as("") if speed != Q(100, "%") else 1.0
    curve = tuple(p.model_copy(update={"flow": u.affinity_flow(p.flow, ratio), "head": u.affinity_head(p.head, ratio)}) for p in pump.curve)
    same = {"curve": curve, "power": u.affinity_power(pump.power, ratio), "supply_voltage": None}
    return pump.model_copy(update=same)
