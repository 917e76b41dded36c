"""Where the pump meets the line, and what another pipe would give."""

from __future__ import annotations

from matplotlib.lines import Line2D

from ..pond.line import Pump
from ..pond.pipework import curve_of
from ..pond.plan import Plan
from ..pond.results import Stage
from ..units import Q, Quantity, short, show, unit_for
from .base import BLACK, BLUE, GREY, PALE, PALE_BLUE, VERMILLION, Picture, roomy, tidy

_BARS = 4


class PlumbingPicture(Picture):
    """Left: the head that the pump gives and the head that the line needs, over the flow. Right: the flow with neighbouring pipes."""

    size = (7.6, 3.4)
    shows = "plumbing.pump"

    def build(self) -> list:
        self.curves, self.pipes = self.figure.subplots(1, 2, width_ratios=(1.45, 1))
        self.figure.subplots_adjust(left=0.08, right=0.98, bottom=0.16, top=0.9, wspace=0.16)
        axes = self.curves
        self.band = axes.fill([0, 1, 1], [0, 0, 1], facecolor=PALE, edgecolor=GREY, hatch="///", linewidth=0.5)[0]
        self.lift = axes.plot([0, 1], [0, 0], color=BLACK, linestyle=":", linewidth=1.5)[0]
        self.line = axes.plot([0], [0], color=VERMILLION, linestyle="--", linewidth=2)[0]
        self.pump = axes.plot([0], [0], color=BLUE, linewidth=2)[0]
        self.points = axes.plot([0], [0], color=BLUE, marker="o", linestyle="none")[0]
        self.meeting = axes.plot([0], [0], color=BLACK, marker="D", markersize=8, linestyle="none")[0]
        paper = {"facecolor": "white", "edgecolor": "none", "pad": 1.5}
        self.words = [axes.text(0, 0, "", fontsize=9, va="bottom", bbox=paper if n == 0 else None) for n in range(2)]
        pump, line = Line2D([], [], color=BLUE, marker="o", linewidth=2), Line2D([], [], color=VERMILLION, linestyle="--", linewidth=2)
        names = ["the pump gives", "the line needs", "its range"]
        axes.legend(handles=[pump, line, self.band], labels=names, loc="upper right", fontsize=8, frameon=False)
        axes.set_title("Head over flow", fontsize=10)
        self.bars = list(self.pipes.barh(range(_BARS), [0.0] * _BARS, height=0.62, facecolor=PALE_BLUE, edgecolor=BLACK))
        self.names = [self.pipes.text(0, n - 0.36, "", fontsize=8, va="bottom") for n in range(_BARS)]
        self.pipes.set(ylim=(_BARS - 0.4, -0.75), yticks=[])
        self.pipes.set_title("Flow with another pipe", fontsize=10)
        self.pipes.spines["left"].set_visible(False)
        return [self.band, self.lift, self.line, self.pump, self.points, self.meeting, *self.words, *self.bars, *self.names]

    def draw(self, plan: Plan, system: str) -> None:
        stage, pond = plan["plumbing"], plan.pond
        flow_unit, head_unit = (unit_for(name, system) for name in ("L/min", "m"))
        if "pump" in stage.series:
            self._draw_curves(stage, _known_points(pond.pump), Q(1, flow_unit).units, Q(1, head_unit).units, system)
        tidy(self.curves, f"flow, {short(flow_unit)}", f"head, {short(head_unit)}")
        self._draw_bars(stage, system, flow_unit)

    def _draw_curves(self, stage: Stage, points, flow_unit, head_unit, system: str) -> None:
        flows = stage.series["axis"].m_as(flow_unit)
        pump, line, best, worst = (stage.series[n].m_as(head_unit) for n in ("pump", "line", "line_favourable", "line_cautious"))
        top, right = roomy(1.05 * max(pump[0], line[0])), roomy(flows[-1])
        self.band.set_xy([*zip(flows, best, strict=True), *zip(flows[::-1], worst[::-1], strict=True)])
        self.lift.set_data([0, right], [line[0], line[0]])
        self.line.set_data(flows, line)
        self.pump.set_data(flows, pump)
        self.points.set_data(*(axis.m_as(one) for axis, one in zip(points, (flow_unit, head_unit), strict=True)))
        meets = "flow" in stage
        self.meeting.set_visible(meets)
        if meets:
            at = stage["flow"].typical.m_as(flow_unit), stage["head"].typical.m_as(head_unit)
            self.meeting.set_data([at[0]], [at[1]])
            self.words[0].set_text(f"{show(stage['flow'].typical, 'L/min', system)} at {show(stage['head'].typical, 'm', system)}")
            self.words[0].set_position((min(at[0] + 0.03 * right, 0.62 * right), min(at[1] + 0.13 * top, 0.7 * top)))
        else:
            self.words[0].set_text("")
        self.words[1].set_text(f"lift {stage['lift'].text(system)}")
        self.words[1].set_position((0.01 * right, line[0] - 0.08 * top if line[0] > 0.1 * top else line[0] + 0.01 * top))
        self.curves.set(xlim=(0, right), ylim=(0, top))

    def _draw_bars(self, stage: Stage, system: str, flow_unit: str) -> None:
        rows = _pipes(stage)
        most = max((flow.m_as(Q(1, flow_unit).units) for _, flow, _ in rows), default=1.0)
        for n, (bar, words) in enumerate(zip(self.bars, self.names, strict=True)):
            name, flow, now = rows[n] if n < len(rows) else ("", Q(0.0, "L/min"), False)
            bar.set_width(flow.m_as(Q(1, flow_unit).units))
            bar.set(hatch="//" if now else "", linewidth=2.0 if now else 1.0, visible=n < len(rows))
            number = show(flow, "L/min", system).partition(" ")[0]  # the axis names the unit
            words.set_text(f"{name}: {number}" if name else "" if rows or n else "nothing flows")
        self.pipes.set_xlim(0, roomy(1.02 * most))
        tidy(self.pipes, f"flow, {short(flow_unit)}", "")
        self.pipes.set_yticks([])
        self.pipes.spines["left"].set_visible(False)

    def alt(self, plan: Plan, system: str = "metric") -> str:
        stage = plan["plumbing"]
        if "pump" not in stage.series:
            return f"No chart for {plan.pond.name}: {'; '.join(stage.missing)}. It would show where pump and line meet, in one point."
        if "flow" not in stage:
            return (f"A chart of head over flow for {plan.pond.name}: the pump's curve lies below the lift of {stage['lift'].text(system)} "
                    "everywhere, so nothing flows.")
        flow, head = (show(stage[key].typical, unit, system) for key, unit in (("flow", "L/min"), ("head", "m")))
        others = ", ".join(f"{name} {show(q, 'L/min', system)}" for name, q, now in _pipes(stage) if not now)
        return (f"Two charts for {plan.pond.name}. The falling curve of the pump meets the rising curve of the line at {flow} and {head} "
                f"of head, of which {stage['lift'].text(system)} is lift; flow {stage['flow'].band_text(system)}. Bars show the flow with "
                f"other pipes: {others}.")


def _known_points(pump: Pump) -> tuple[Quantity, Quantity]:
    """Return the points of the curve that somebody gave, at the voltage that the pump gets: of a label's parabola only its two ends."""
    flows, heads = curve_of(pump)
    return (flows, heads) if pump.max_flow is None else (flows[[0, -1]], heads[[0, -1]])


def _pipes(stage: Stage) -> list[tuple[str, Quantity, bool]]:
    """Return name and flow of the neighbouring pipes and of the pipe there is (marked), from narrow to wide."""
    if "flow" not in stage:
        return []
    others = [(row[1].magnitude, row[0].partition(" (")[0], row[2], False) for row in stage.grids[-1].rows]
    mine = stage["flow"].typical
    now = [*(r for r in others if r[2] < mine), (0.0, "as it is", mine, True), *(r for r in others if r[2] >= mine)]
    return [row[1:] for row in now[:_BARS]]
