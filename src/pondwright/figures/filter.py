"""What limits a filter, and why so little ammonia means so much media."""

from __future__ import annotations

import numpy as np

from ..pond.filter_words import MONTH
from ..pond.plan import Plan
from ..pond.results import Stage
from ..science import nitrogen
from ..units import short, show, unit
from .base import BLACK, BLUE, GREEN, GREY, PALE, PALE_BLUE, VERMILLION, Picture, roomy, tidy

_ROWS = (("tan_load", "from the feed"), ("surface_capacity", "media surface"), ("flow_capacity", "flow"), ("oxygen_capacity", "oxygen"))
_MODELS = (("ZhuChen1999", "Zhu & Chen 1999", BLACK, "-"), ("Kamstra1998", "Kamstra 1998", BLUE, "--"),
           ("MaloneBeecher2000", "Malone & Beecher 2000", GREEN, "-."))
_POINTS, _WARMEST = 61, 30.0
_COARSE = (1, 3, 10)  # steps of an axis limit that a slider would move far


class FilterPicture(Picture):
    """Left: the ammonia of the feed against the filter's three limits. Right: what 1 m² converts, over the ammonia in the water."""

    size = (7.6, 3.4)
    shows = "filter.answer"

    def build(self) -> list:
        self.limits, self.rates = self.figure.subplots(1, 2, width_ratios=(1.05, 1))
        self.figure.subplots_adjust(left=0.135, right=0.98, bottom=0.16, top=0.89, wspace=0.24)
        places, paper = range(len(_ROWS)), {"facecolor": "white", "edgecolor": "none", "pad": 0.8}
        self.bars = list(self.limits.barh(places, [0.0] * len(_ROWS), height=0.5, facecolor=PALE_BLUE, edgecolor=BLACK))
        self.bars[0].set(facecolor=PALE, hatch="///")
        (self.load,) = self.limits.plot([0, 0], [-0.25, len(_ROWS) - 0.5], color=VERMILLION, linestyle="--", linewidth=1.6)
        self.labels = [self.limits.text(0, n - 0.33, "", fontsize=8, va="bottom", bbox=paper, zorder=5) for n in places]
        self.limits.set(ylim=(len(_ROWS) - 0.5, -0.75))
        self.limits.set_title("Ammonia (as N) a day, cautious end", fontsize=10)
        self.curves = [self.rates.plot([], [], color=c, linestyle=dash, linewidth=1.8, label=name)[0] for _, name, c, dash in _MODELS]
        (self.cautious,) = self.rates.plot([], [], color=VERMILLION, linestyle=":", linewidth=2.2, label="design TAN, cautious")
        (self.typical,) = self.rates.plot([], [], color=GREY, linestyle=(0, (6, 2)), linewidth=1.4, label="design TAN, typical")
        self.rates.set_title("What 1 m² converts, clean water", fontsize=10)
        self.rates.legend(loc="upper left", fontsize=8, frameon=False)
        return [*self.bars, *self.labels, self.load, *self.curves, self.cautious, self.typical]

    def draw(self, plan: Plan, system: str) -> None:
        stage = plan["filter"]
        self._draw_limits(stage)
        if "design_tan" in stage:
            self._draw_rates(stage, plan["fish"].series["water_temperature"][MONTH.index(stage.facts["month"])].m)
        tidy(self.rates, "total ammonia in the water (TAN), mg/L", short("g/m2/d"))

    def _draw_limits(self, stage: Stage) -> None:
        """Draw the bars, in grams in every system of units: a day's ammonia is less than an ounce."""
        values = [stage[key].value.m_as(unit("g/d")) if key in stage else 0.0 for key, _ in _ROWS]
        most = roomy(1.4 * max(values[0], min(values[1:]), 1e-9), _COARSE)
        for (key, _), bar, label, value, place in zip(_ROWS, self.bars, self.labels, values, range(len(_ROWS)), strict=True):
            bar.set_width(min(value, most))
            label.set_text(_label(stage, key, value > most))
            label.set_position((0.01 * most, place - 0.33))
        self.load.set_xdata([values[0], values[0]])
        self.load.set_visible("tan_load" in stage)
        self.limits.set_xlim(0, most)
        tidy(self.limits, short("g/d"), "")
        self.limits.set_yticks(range(len(_ROWS)), [words for _, words in _ROWS], fontsize=8)

    def _draw_rates(self, stage: Stage, warmth: float) -> None:
        """Draw the curves; the axes hold what the warmest water would give, so that they seldom move."""
        design, height = stage["design_tan"], 0.0
        top = roomy(1.1 * design.typical.m, _COARSE)
        tan = np.linspace(0, top, _POINTS)
        for (model, *_), curve in zip(_MODELS, self.curves, strict=True):
            curve.set_data(tan, nitrogen.areal_removal.plain(tan, warmth, method=model))
            height = max(height, float(nitrogen.areal_removal.plain(top, _WARMEST, method=model)))
        height = roomy(height)
        for line, value in ((self.cautious, design.low.m), (self.typical, design.typical.m)):
            line.set_data([value, value], [0, 0.52 * height])
        self.rates.set(xlim=(0, top), ylim=(0, height))

    def alt(self, plan: Plan, system: str = "metric") -> str:
        stage, name = plan["filter"], plan.pond.name
        if "answer" not in stage.facts:
            return (f"No chart of the filter for {name} yet: {'; '.join(stage.missing) or 'the fish are not fed'}. It would show the "
                    "ammonia from one day's feed beside the filter's three limits.")
        parts = ", ".join(f"{words} {stage[key].text(system, 2)}" for key, words in _ROWS)
        return (f"Two charts for {name}. Bars for {stage.facts['month']}, cautious end: {parts}; what limits it is {stage.facts['binds']}. "
                "Curves: what 1 m² converts rises with the ammonia in the water; at the design TAN of "
                f"{stage['design_tan'].text(system, 2)} the plan counts on {stage['removal'].text(system, 2)}.")


def _label(stage: Stage, key: str, cut: bool) -> str:
    """Write a bar's number, and its typical value; an arrow tells a bar that goes on past the axis."""
    if key not in stage:
        return "not planned yet"
    number = stage[key]
    return f"{number.text('metric', 2)}, typical {show(number.typical, number.unit, 'metric', 2)}{' →' if cut else ''}"
