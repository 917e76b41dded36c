"""Four bars: how much of what the pond has is needed. At the line it is just enough; past it, too little."""

from __future__ import annotations

from ..pond.overview import needs, tightest
from ..pond.plan import Plan
from .base import BLACK, GREY, PALE_BLUE, VERMILLION, Picture

_MOST = 3.0  # the bars stop here; the words go on
_ROOM = 2.05  # behind a longer bar its words find no room


class OverviewPicture(Picture):
    """One bar for each need that the plan can answer, with its share in words at the end of the bar."""

    size = (7.6, 2.6)

    def build(self) -> list:
        self.axes = self.figure.subplots()
        self.figure.subplots_adjust(left=0.22, right=0.97, bottom=0.2, top=0.95)
        bars = self.axes.barh(range(4), [0] * 4, height=0.55, facecolor=PALE_BLUE, edgecolor=BLACK)
        names = [self.axes.text(-0.04, i, "", ha="right", va="center", clip_on=False) for i in range(4)]
        shares = [self.axes.text(0, i, "", ha="left", va="center", fontsize=9, clip_on=False) for i in range(4)]
        self.axes.axvline(1, color=VERMILLION, linestyle="--", linewidth=1.5)
        self.axes.text(1.02, 3.62, "just enough", color=VERMILLION, fontsize=9, va="center")
        self.axes.set_xlabel("needed / available")
        self.axes.set(xlim=(0, _MOST), ylim=(-0.5, 3.8), xticks=(0, 0.5, 1, 2, 3), yticks=())
        self.axes.spines[["top", "right"]].set_visible(False)
        self.axes.spines["left"].set_color(GREY)
        self.bars, self.names, self.shares = list(bars), names, shares
        return [*self.bars, *names, *shares]

    def draw(self, plan: Plan, system: str) -> None:
        found = needs(plan)
        for i, (bar, name, share) in enumerate(zip(self.bars, self.names, self.shares, strict=True)):
            need = found[i] if i < len(found) else None
            length = min(need.share, _MOST) if need else 0
            bar.set(width=length, hatch="///" if need and need.share > 1 else "", y=3 - i - 0.275)
            name.set(text=need.name if need else "", y=3 - i)
            # the words keep clear of the dashed line, and stand inside a bar that leaves no room behind it
            inside = length > _ROOM
            share.set(text=_words(need) if need else "", x=length - 0.04 if inside else max(length, 1) + 0.04, y=3 - i)
            share.set_horizontalalignment("right" if inside else "left")
            share.set_bbox({"facecolor": "white", "edgecolor": "none", "pad": 1.5} if inside else None)

    def alt(self, plan: Plan, system: str = "metric") -> str:
        found = needs(plan)
        if not found:
            return f"An empty chart: {plan.pond.name} has no fish, filter, power or readings yet to compare."
        first = tightest(found)
        return f"Bars for {plan.pond.name}: " + "; ".join(f"{n.name}, {_words(n)}" for n in found) + f". {first.sentence(system)}"


def _words(need) -> str:
    return f"needs {100 * need.share:.0f} % of what is there" if need.share < 100 else "nearly nothing is there"
