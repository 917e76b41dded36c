"""How high the water stands in the vessel: what the drains carry at each height, against what the pump brings."""

from __future__ import annotations

import textwrap

from ..pond.plan import Plan
from ..units import Q, short, show, unit_for
from .base import BLACK, BLUE, GREEN, GREY, PALE, PALE_BLUE, VERMILLION, Picture, roomy, tidy

_ROOM = 0.3  # of the width, that the words left of the pump's flow take
_NOTE = 24  # letters in a line beside the picture

class LevelPicture(Picture):
    """Level over flow: all ways out open (typical and at worst), the worst one shut, the running siphon, the pump's flow, the rim."""

    size = (7.6, 3.6)
    shows = "drains.carried"

    def build(self) -> list:
        self.axes = axes = self.figure.subplots()
        self.figure.subplots_adjust(left=0.09, right=0.68, bottom=0.15, top=0.97)
        self.band = axes.fill([0, 1, 1, 0], [0, 0, 1, 1], facecolor=PALE_BLUE, edgecolor=BLUE, linewidth=0.5)[0]
        self.spill = axes.fill([0, 1, 1, 0], [0, 0, 1, 1], facecolor=PALE, edgecolor=GREY, hatch="xx", linewidth=0.5)[0]
        self.rim = axes.plot([0, 1], [1, 1], color=BLACK, linewidth=2)[0]
        self.open = axes.plot([0], [0], color=BLUE, linewidth=2)[0]
        self.worst = axes.plot([0], [0], color=BLUE, linewidth=1.5, linestyle="--")[0]
        self.shut = axes.plot([0], [0], color=VERMILLION, linewidth=2, linestyle="-.")[0]
        self.siphon = axes.plot([0], [0], color=GREEN, linewidth=2, linestyle=":")[0]
        self.marks = axes.plot([0], [0], color=BLACK, marker="D", linestyle="none", markersize=7)[0]
        paper = {"facecolor": "white", "edgecolor": "none", "pad": 1.0, "alpha": 0.8}
        self.words = [axes.text(0, 0, "", fontsize=8.5, va="center", bbox=paper) for _ in range(4)]
        self.note = axes.text(1.02, 0.02, "", fontsize=8.5, va="bottom", transform=axes.transAxes)
        names = ["all open, typical", "all open, at worst", "one shut, at worst", "the pump's flow", "above the rim"]
        axes.legend(handles=[self.open, self.worst, self.shut, self.band, self.spill], labels=names, loc="upper left",
                    bbox_to_anchor=(1.01, 1.02), fontsize=8.5, frameon=False, handlelength=3)
        return [self.band, self.spill, self.rim, self.open, self.worst, self.shut, self.siphon, self.marks, *self.words, self.note]

    def draw(self, plan: Plan, system: str) -> None:
        stage = plan["drains"]
        across, up = unit_for("L/min", system), unit_for("cm", system)
        tidy(self.axes, f"flow, {short(across)}", f"height above the vessel's bottom, {short(up)}")
        drawn = "carried" in stage.series
        for artist in self.moving:
            artist.set_visible(drawn)
        if not drawn:
            return
        one_across, one_up = Q(1, across).units, Q(1, up).units
        heights, flow = stage.series["axis"].m_as(one_up), plan["plumbing.flow"]
        low, _, high = (q.m_as(one_across) for q in (flow.low, flow.typical, flow.high))
        siphon = "siphon" in stage.series
        runs = 1.1 * stage.series["siphon"].m_as(one_across)[-1] if siphon else 0.0
        rim, right = heights[-1], roomy(max(2 * high, min(runs, 4 * high)))
        for line, name in ((self.open, "carried"), (self.worst, "carried_cautious"), (self.shut, "carried_blocked")):
            line.set_data(stage.series[name].m_as(one_across), heights)
        self.siphon.set_visible(siphon)
        if siphon:
            self.siphon.set_data(stage.series["siphon"].m_as(one_across), stage.series["siphon_axis"].m_as(one_up))
        top = roomy(1.12 * rim, (1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10))
        self.band.set_xy([(low, 0), (high, 0), (high, rim), (low, rim)])
        self.spill.set_xy([(0, rim), (right, rim), (right, top), (0, top)])
        self.rim.set_data([0, right], [rim, rim])
        running, blocked = (stage[key].value.m_as(one_up) for key in ("level_running", "level_blocked"))
        self.marks.set_data([high, high], [running, blocked])
        self._say(stage, system, (low, high, running, blocked, rim, right, top))
        self.axes.set(xlim=(0, right), ylim=(0, top))

    def _say(self, stage, system: str, places) -> None:
        """Write the level with one way shut above its curve, left of the pump's flow where there is room; the running level below."""
        low, high, running, blocked, rim, right, top = places
        least, gap, room = 0.03 * top, 0.05 * top, low > _ROOM * right
        above = min(max(blocked + gap, running + 0.02 * top), rim - gap)
        below = max(min(running, rim if room else above) - gap, least)
        shut = low - 0.02 * right if room else high + 0.02 * right
        texts = [(stage["level_running"].text(system, 2), high + 0.02 * right, below, "left"),
                 (f"{stage['level_blocked'].text(system, 2)} with one shut", shut, above, "right" if room else "left"),
                 (f"rim {show(stage.series['axis'][-1], 'cm', system, 2)}", 0.02 * right, rim + gap, "left"), ("", 0.0, 0.0, "left")]
        if "siphon" in stage.series:
            flows, heights = (values[len(values) // 2] for values in self.siphon.get_data())
            side, away = ("left", 0.02) if flows < 0.6 * right else ("right", -0.02)
            texts[3] = ("siphon while it runs", flows + away * right, heights - 0.5 * gap, side)
        for words, (text, x, y, side) in zip(self.words, texts, strict=True):
            words.set(text=text, position=(x, y), ha=side)
        over = stage["overflow_flow"]
        ends = f"{over.text(system, 2)} run over the rim at worst" if over.value.m > 0 else "nothing runs over"
        self.note.set_text("\n".join([*textwrap.wrap(f"with {stage.facts['worst']} shut", _NOTE), *textwrap.wrap(ends, _NOTE)]))

    def alt(self, plan: Plan, system: str = "metric") -> str:
        stage = plan["drains"]
        if "carried" not in stage.series:
            return f"No chart for {plan.pond.name}: {'; '.join(stage.missing)}. It would show the level in the vessel over the flow."
        over, rim = stage["overflow_flow"], show(stage.series["axis"][-1], "cm", system)
        ends = (f"with {stage.facts['worst']} shut it reaches {stage['level_blocked'].text(system)}, and {over.text(system)} run over"
                if over.value.m > 0 else f"with {stage.facts['worst']} shut it rises to {stage['level_blocked'].text(system)}")
        siphon = f" {stage.facts['siphon']}" if "siphon" in stage.facts else ""
        flow = show(plan["plumbing.flow"].high, "L/min", system)
        return (f"A chart of height over flow for {plan.pond.name}: at the pump's {flow} the water stands at "
                f"{stage['level_running'].text(system)} at worst; {ends}. The rim lies at {rim}.{siphon}")

