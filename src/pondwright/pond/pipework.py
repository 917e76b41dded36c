"""The line from pump to filter as formulas want it: bores, lengths and losses run by run, and the pump's curve at its voltage."""
from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ..science import pipes as p
from ..science import pump as u
from ..science import spreader as sp
from ..science.water_properties import kinematic_viscosity
from ..tables import Coefficient, coefficients, load
from ..units import Q, Quantity, in_unit, show
from .line import Pump, Run
from .model import Pond
from .results import Assumption, End, Stage
from .vessel import Spreader

MM = Q(1, "mm").units
COLD, MILD, WARM = Q(5.0, "degC"), Q(15.0, "degC"), Q(25.0, "degC")
EVEN_LIMIT = 1.5  # area ratio above which the formula has no answer: the first holes of the spreader give next to nothing
SPREADER = ("The line ends in the drilled pipe of [vessel.spreader]: the head that its holes take stands in place of the speed that an "
            "open end would lose.")
WALL = ("The pipe's wall is that of plastic pipe: smooth when new, slimy after a season. A hose that is ribbed inside loses much more.")


@dataclass(frozen=True)
class Line:
    """The line as formulas want it: what is known as plain numbers (m, mm), the rest by its low, typical and high end.

    With several runs `lengths`, `bores` and `losses` hold arrays of shape (runs,), with one run plain numbers. `losses` are those of the
    fittings alone; a `spreader` at the end of the line is counted by :meth:`loss`.
    """

    runs: tuple[Run, ...]
    lengths: float | np.ndarray
    lift: float
    bores: Mapping[str, float | np.ndarray]
    losses: Mapping[str, float | np.ndarray]
    ends: Mapping[str, End]
    spreader: Spreader | None = None

    @functools.cached_property
    def typical(self) -> dict:
        return self.at({name: "typical" for name in self.ends})

    @functools.cached_property
    def worst(self) -> dict:
        return self.at({name: end.cautious for name, end in self.ends.items()})

    @functools.cached_property
    def best(self) -> dict:
        return self.at({name: end.favourable for name, end in self.ends.items()})

    def at(self, which: Mapping[str, str]) -> dict:
        """Return bore (mm), k, roughness (mm) and viscosity (mm2/s), each coefficient at the end that `which` names."""
        rough, water = (self.ends[name].coefficient.at(which[name]) for name in ("roughness", "water"))
        bore = self.bores[which.get("bore", "typical")]
        return {"bore": bore, "k": self.loss(which["k"], bore), "roughness": rough.m_as(MM),
                "viscosity": kinematic_viscosity(water).magnitude}

    def loss(self, end: str, bore, clogged: float = 0.0):
        """Return the loss coefficients of the fittings at one end, the spreader's with those of the last run, for bores in mm.

        `clogged` is the share of the spreader's holes that give nothing.
        """
        fittings = self.losses[end]
        if self.spreader is None:
            return fittings
        wider = self.each(bore)[-1] / float(in_unit(self.spreader.inside_diameter, MM))
        more = float(sp.manifold_loss.plain(_ratio(self.spreader, clogged, end), wider))
        if len(self.runs) == 1:
            return fittings + more
        return np.array([*fittings[:-1], fittings[-1] + more])

    def head(self, flow: float, bore, **at) -> float:
        """Return the head (m) that the line needs at a flow (L/min)."""
        needs = p.line_head if len(self.runs) == 1 else p.runs_head
        return needs.plain(flow, bore, self.lengths, self.lift, **at)

    def each(self, values) -> list[float]:
        """Return one number for each run."""
        return np.atleast_1d(values).tolist()


def line_of(pond: Pond, so_far: Mapping[str, Stage]) -> tuple[Line, tuple[Assumption, ...]]:
    """Gather bores, fittings, roughness and water temperature of the line in [plumbing], with what the plan had to assume."""
    water, said = water_of(so_far)
    rough, runs, spreader = coefficients()["pipe_roughness"], pond.plumbing.line, drilled(pond)
    if spreader is not None:
        runs = (*runs[:-1], _without_exit(runs[-1]))
        said = (*said, Assumption(SPREADER, ("DeadEndManifold",)))
    losses, of_fittings = _sums_of_fittings(runs, spreader is not None)
    ends = {"k": End(of_fittings, "high"), "roughness": End(rough, "high"), "water": End(water, "low")}
    assumptions = [*said, Assumption(WALL, rough.sources, rough.unverified)]
    average, nominal, of_pipes = [], [], {}
    for run in runs:
        row = load("pipes")[run.pipe] if run.pipe else {"inside_diameter": run.inside_diameter, "average_diameter": None}
        nominal.append(row["inside_diameter"].m_as(MM))
        average.append((row["average_diameter"] or row["inside_diameter"]).m_as(MM))
        if run.pipe:
            of_pipes[run.pipe] = row
    for row in of_pipes.values():
        bore = show(row["average_diameter"] or row["inside_diameter"], "mm")
        words = f"The bore of the {row['size']} pipe ({row['series']}) is taken as {bore}: measure yours."
        assumptions.append(Assumption(words, (row["source"],), row["verified"] != "yes"))
    unverified = any(row["verified"] != "yes" for row in of_pipes.values())
    if average != nominal or unverified:
        sources = tuple(dict.fromkeys(row["source"] for row in of_pipes.values()))
        ends["bore"] = End(graded("bore", "bore of the pipe", sources, unverified), "low")
    bores = {"low": average, "typical": average, "high": nominal}
    one = len(runs) == 1
    shaped = {end: values[0] if one else np.array(values) for end, values in bores.items()}
    lost = {end: values[0] if one else np.array(values) for end, values in losses.items()}
    lengths = [run.length.m_as("m") for run in runs]
    line = Line(runs, lengths[0] if one else np.array(lengths), pond.plumbing.lift.m_as("m"), shaped, lost, ends, spreader)
    return line, tuple(assumptions)


def drilled(pond: Pond) -> Spreader | None:
    """Return the drilled pipe in which the line ends, None where there is none: a plate has its water standing in the open."""
    spreader = None if pond.vessel is None else pond.vessel.spreader
    return spreader if spreader is not None and spreader.kind == "pipe" else None


def holes_left(spreader: Spreader, clogged: float) -> int:
    """Return how many holes still give water where a share of them is clogged; one is left at least."""
    return max(round(spreader.holes * (1 - clogged)), 1)


def hole_ratio(spreader: Spreader, clogged: float = 0.0) -> Quantity:
    """Return the ratio of the holes' working area and the drilled pipe's, typical; it stays at the limit beyond which no formula holds."""
    ratio = sp.area_ratio(holes_left(spreader, clogged), spreader.hole, spreader.inside_diameter)
    return Q(min(float(ratio.m), EVEN_LIMIT), "-")


def _ratio(spreader: Spreader, clogged: float, end: str) -> float:
    """Return the same as a plain number at one end of the loss: a hole that lets little through takes much."""
    cd = float(coefficients()["drain_hole"].at({"low": "high", "high": "low"}.get(end, end)).m)
    hole, bore = (float(in_unit(q, MM)) for q in (spreader.hole, spreader.inside_diameter))
    return min(sp.area_ratio.plain(holes_left(spreader, clogged), hole, bore, cd), EVEN_LIMIT)


def _without_exit(run: Run) -> Run:
    """Take away the open end that the list of fittings may name: the spreader stands there."""
    left = {key: count - (key == "exit") for key, count in run.fittings.items()}
    return run.model_copy(update={"fittings": {key: count for key, count in left.items() if count > 0}})


def graded(name: str, label: str, sources: tuple, unverified: bool) -> Coefficient:
    """Make a coefficient that stands for several at once: -1 picks the low end of each, 0 the typical, 1 the high one."""
    return Coefficient(name, label, Q(-1.0, "-"), Q(0.0, "-"), Q(1.0, "-"), "-", sources, unverified, "")


GRADES = {-1.0: "low", 0.0: "typical", 1.0: "high"}


def water_of(so_far: Mapping[str, Stage]) -> tuple[Coefficient, tuple[Assumption, ...]]:
    """Take the water's temperature from the fish stage where it knows it: cold water is thick."""
    series = so_far["fish"].series.get("water_temperature") if "fish" in so_far else None
    label = "temperature of the water"
    if series is None:
        words = f"The water is taken as {show(COLD, 'degC')} to {show(WARM, 'degC')}, typically {show(MILD, 'degC')}."
        return Coefficient("water", label, COLD, MILD, WARM, "degC", (), False, ""), (Assumption(words),)
    months = np.clip(series.m_as("degC"), 0.0, 40.0)
    low, mean, high = (Q(float(value), "degC") for value in (months.min(), months.mean(), months.max()))
    return Coefficient("water", label, low, mean, high, "degC", (), False, ""), ()


def _sums_of_fittings(runs: tuple[Run, ...], spreads: bool) -> tuple[dict[str, list[float]], Coefficient]:
    """Add up the loss coefficients of all fittings, run by run, each at its low, typical and high end."""
    rows = [[(load("fittings")[key], count) for key, count in run.fittings.items() if count] for run in runs]
    losses = {end: [float(sum(count * row[end].magnitude for row, count in run)) for run in rows] for end in ("low", "typical", "high")}
    flat = [row for run in rows for row, _ in run]
    sources = [key for row in flat for key in row["source"].split()]
    sources += ["DeadEndManifold", *coefficients()["drain_hole"].sources] if spreads else []
    label = "loss of the fittings and the spreader" if spreads else "loss of the fittings"
    return losses, graded("k", label, tuple(dict.fromkeys(sources)), any(row["verified"] != "yes" for row in flat))


def lacking(pond) -> str:
    """Say what a pond file lacks for a flow: sections, or a pump that lifts so high."""
    sections = " and ".join(f"[{key}]" for key in ("pump", "plumbing") if getattr(pond, key) is None)
    return sections or "a pump that lifts water through this line (see pipes and pump)"


def curve_of(pump: Pump) -> tuple[Quantity, Quantity]:
    """Return the pump's curve at the voltage that it gets."""
    flows, heads = [point.flow.m_as("L/min") for point in pump.curve], [point.head.m_as("m") for point in pump.curve]
    n = pump.speed
    return Q([u.affinity_flow.plain(q, n) for q in flows], "L/min"), Q([u.affinity_head.plain(h, n) for h in heads], "m")


def choices(line: Line, curve) -> list[tuple[dict, float, float]]:
    """Return the next smaller and the two next larger pipes of the same series, each with its bore (mm) and its flow (L/min).

    Of several runs the one that takes most head for its length of pipe, counted with all of it, is changed.
    """
    at, (flows, heads) = line.typical, (q.magnitude for q in curve)
    rest = at["roughness"], at["viscosity"]
    bores = line.each(at["bore"])
    tight = max(range(len(bores)), key=lambda n: line.runs[n].length.m_as("m") / bores[n] ** 5)

    def with_bore(bore: float):
        return bore if len(bores) == 1 else np.array([*bores[:tight], bore, *bores[tight + 1 :]])

    def flow(new) -> float:
        return u.operating_flow.plain(flows, heads, new, line.lengths, line.lift, line.loss("typical", new), *rest)

    return [(row, bore, flow(with_bore(bore))) for row, bore in _neighbours(line.runs[tight].pipe, bores[tight])]


@functools.lru_cache(maxsize=64)
def _neighbours(pipe: str | None, bore: float) -> tuple[tuple[dict, float], ...]:
    """Choose them: in the pipe's own series, or for a measured bore in the series that has the nearest one."""
    rows = [(row, (row["average_diameter"] or row["inside_diameter"]).magnitude) for row in load("pipes").rows]
    series = load("pipes")[pipe]["series"] if pipe else min(rows, key=lambda r: abs(r[1] - bore))[0]["series"]
    mine = sorted((r for r in rows if r[0]["series"] == series), key=lambda r: r[1])
    return (*[r for r in mine if r[1] < 0.95 * bore][-1:], *[r for r in mine if r[1] > 1.05 * bore][:2])
