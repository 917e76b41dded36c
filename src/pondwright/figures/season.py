"""The supply through the year, day by day: how long the pump runs, what the battery holds, and how long the pump stands still."""

from __future__ import annotations

import numpy as np
from matplotlib.patches import PathPatch
from matplotlib.path import Path

from ..pond.climate import DAYS, MONTHS
from ..pond.night import in_use
from ..pond.plan import Plan
from ..pond.results import Stage
from ..units import Quantity, show
from .base import BLACK, BLUE, GREY, PALE, PALE_BLUE, VERMILLION, Picture, roomy, tidy

_STARTS = np.concatenate([[0], np.cumsum(DAYS)[:-1]])
_MIDDLES = _STARTS + DAYS / 2
_DAYS = np.arange(366.0)
_LETTERS = [name[0] for name in MONTHS]
_SHAPE = np.zeros(365)
PAPER = {"facecolor": "white", "edgecolor": "none", "pad": 1}


class SeasonPicture(Picture):
    """Left: hours of each day that the pump runs, and below them the charge left. Right: the longest stop of each month."""

    size = (7.6, 2.9)
    shows = "season.pump_hours"

    def build(self) -> list:
        left, right = self.figure.add_gridspec(1, 2, width_ratios=(2.1, 1), left=0.085, right=0.985, bottom=0.16, top=0.81, wspace=0.2)
        upper, lower = left.subgridspec(2, 1, height_ratios=(1.7, 1), hspace=0.3)
        self.run, self.bank, self.stop = (self.figure.add_subplot(place) for place in (upper, lower, right))
        self.days = self.run.add_patch(PathPatch(steps(_SHAPE), facecolor=PALE_BLUE, edgecolor=GREY, linewidth=0.4))
        self.mean = self.run.plot([], [], color=BLACK, linewidth=2)[0]
        self.typical = self.run.plot(_MIDDLES, [0.0] * 12, color=BLUE, marker="o", linestyle="none", markersize=5)[0]
        self.wanted = self.run.plot([0, 365], [0, 0], color=VERMILLION, linestyle="--", linewidth=1.5)[0]
        names = ("each day, cautious", "month's mean", "mean, typical", "wanted")
        self.run.legend(handles=[self.days, self.mean, self.typical, self.wanted], labels=names, fontsize=8, frameon=False, ncol=4,
                        loc="lower center", bbox_to_anchor=(0.5, 0.95), columnspacing=1, handlelength=1.6)
        self.run.set_title("Hours of each day that the pump runs", fontsize=10, pad=20)
        self.charge = self.bank.add_patch(PathPatch(steps(_SHAPE), facecolor=PALE, edgecolor=BLACK, linewidth=0.6))
        self.bank.set_title("Lowest charge of each day, of what may be taken out", fontsize=9, pad=3)
        for axes, top, ticks in ((self.run, 25.5, (0, 6, 12, 18, 24)), (self.bank, 104, (0, 50, 100))):
            tidy(axes, "", "h" if axes is self.run else "%")
            names = [""] * 12 if axes is self.run else _LETTERS
            axes.set(xlim=(0, 365), xticks=_MIDDLES, xticklabels=names, ylim=(0, top), yticks=ticks)
            axes.tick_params(axis="x", length=0)
        self.used = self.stop.add_patch(PathPatch(bars(np.zeros(12)), facecolor=PALE_BLUE, edgecolor=BLACK))
        self.unused = self.stop.add_patch(PathPatch(bars(np.zeros(12)), facecolor="white", edgecolor=GREY, hatch="///"))
        self.middle = self.stop.plot(range(12), [0.0] * 12, color=BLUE, marker="o", linestyle="none", markersize=5)[0]
        self.safe = self.stop.plot([-0.6, 11.6], [0, 0], color=VERMILLION, linestyle="--", linewidth=1.5)[0]
        self.limit = self.stop.text(5.5, 0, "", fontsize=8, ha="center", va="bottom", bbox=PAPER)
        self.stop.set_title("Longest stop\nof each month", fontsize=10, pad=6)
        return [self.days, self.mean, self.typical, self.wanted, self.charge, self.used, self.unused, self.middle, self.safe, self.limit]

    def draw(self, plan: Plan, system: str) -> None:
        stage = plan["season"]
        hours = _values(stage, "day_hours", "h/d", 365)
        self.days.set_path(steps(hours))
        self.mean.set_data(np.repeat(np.append(_STARTS, 365), 2)[1:-1], np.repeat(_values(stage, "pump_hours", "h/d", 12), 2))
        self.typical.set_ydata(_values(stage, "pump_hours_typical", "h/d", 12))
        wanted = _wanted(plan)
        self.wanted.set_ydata([wanted, wanted])
        self.charge.set_path(steps(_share_left(stage)))
        self._draw_stops(plan, stage, system)

    def _draw_stops(self, plan: Plan, stage: Stage, system: str) -> None:
        gaps, typical = (_values(stage, key, "h", 12) for key in ("gap", "gap_typical"))
        used, safe = in_use(plan.stages), safe_stop(plan)
        self.used.set_path(bars(np.where(used, gaps, 0.0)))
        self.unused.set_path(bars(np.where(used, 0.0, gaps)))
        self.middle.set_ydata(typical)
        limit = float(safe.m_as("h")) if safe is not None else 0.0
        top = roomy(1.08 * max(gaps.max(), typical.max(), 1.5 * limit, 12.0), (1, 2, 5, 10))
        self.safe.set_data([-0.6, 11.6], [limit, limit])
        self.safe.set_visible(safe is not None)
        self.limit.set_text("" if safe is None else f"safe for the filter: {show(safe, 'h', system, digits=2)}")
        self.limit.set_y(limit + 0.02 * top)
        tidy(self.stop, "month" if used.all() else "hatched: fish not fed", "h")
        self.stop.set(xlim=(-0.6, 11.6), ylim=(0, top), xticks=range(12), xticklabels=_LETTERS)

    def alt(self, plan: Plan, system: str = "metric") -> str:
        stage = plan["season"]
        if not stage.planned:
            return f"Three empty charts of a year without a pump: the plan {stage.missing[0]}."
        hours, gap, safe = stage["run_hours"], stage["gap"], safe_stop(plan)
        said = [
            f"Left, a year day by day: how many hours the pump of {plan.pond.name} runs, out of "
            f"{show(plan.pond.pump.hours_per_day, 'h/d', system)} wanted. In {stage.facts['worst_month']}, the weakest month in use, it is "
            f"{hours.text(system)} in the mean at the cautious end, {show(hours.typical, 'h/d', system)} typically",
            f"Below, the battery's lowest charge of each day: {_empty_days(stage)}",
            f"Right, the longest stop of each month: the longest of the year is {gap.text(system)}"
            + (f"; a dashed line at {show(safe, 'h', system, digits=2)}, how long the filter may stand" if safe is not None else ""),
        ]
        return ". ".join(said) + "."


def steps(values: np.ndarray) -> Path:
    """Return the outline of 365 columns, one a day, as one path."""
    x, y = np.repeat(_DAYS, 2), np.concatenate([[0.0], np.repeat(values, 2), [0.0]])
    return Path(np.column_stack([x, y]))


def bars(heights: np.ndarray) -> Path:
    """Return twelve upright bars as one path."""
    x, zero = np.arange(12.0), np.zeros(12)
    corners = [(x - 0.38, zero), (x - 0.38, heights), (x + 0.38, heights), (x + 0.38, zero), (x - 0.38, zero)]
    vertices = np.array([np.column_stack(c) for c in corners]).transpose(1, 0, 2).reshape(-1, 2)
    return Path(vertices, [Path.MOVETO, Path.LINETO, Path.LINETO, Path.LINETO, Path.CLOSEPOLY] * 12)


def safe_stop(plan: Plan) -> Quantity | None:
    """Return how long the filter may stand still, where the plan of the vessel says so."""
    vessel = plan.stages.get("vessel")
    return vessel["safe_stop"].value if vessel is not None and "safe_stop" in vessel else None


def _values(stage: Stage, key: str, unit: str, count: int) -> np.ndarray:
    return np.asarray(stage.series[key].m_as(unit)) if key in stage.series else np.zeros(count)


def _share_left(stage: Stage) -> np.ndarray:
    """Return the lowest charge of each day as a percentage of the highest of the year; nothing without a battery."""
    charge = _values(stage, "day_charge", "Wh", 365)
    return 100 * charge / charge.max() if charge.max() > 0 else charge


def _empty_days(stage: Stage) -> str:
    charge = _values(stage, "day_charge", "Wh", 365)
    if charge.max() <= 0:
        return "there is none"
    days = int(np.sum(charge < 0.01 * charge.max()))
    return f"empty at some hour of {days} days" if days else "never empty"


def _wanted(plan: Plan) -> float:
    return float(plan.pond.pump.hours_per_day.m_as("h/d")) if plan.pond.pump else 0.0
