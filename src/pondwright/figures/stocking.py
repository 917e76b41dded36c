"""What the oxygen does when the pump stops on the warmest night, and which limit the fish meet first."""
from __future__ import annotations

from ..pond import night as n
from ..pond.plan import Plan
from ..pond.results import Number, Stage
from ..units import Q, short, show, unit, unit_for
from .base import BLACK, BLUE, GREEN, GREY, PALE_BLUE, VERMILLION, Picture, roomy, tidy

_CURVES = (("typical", "typical", BLACK, "-"), ("low", "cautious", BLUE, "--"), ("high", "favourable", GREEN, "-."))
_HOURS = 24
# row -> the limits that it stands for (the smallest counts), and what to write where there is none
_ROWS = (
    ("oxygen", ("oxygen",), "not planned yet"),
    ("ammonia", ("filter", "feed"), "not planned yet"),
    ("room and depth", ("adult_size", "depth"), "koi and carp only"),
    ("under the ice", ("winter_depth",), "no ice"),
)


class StockingPicture(Picture):
    """Left: oxygen over a night without the pump, with 4 mg/L and the longest stop. Right: what each limit allows, against the fish."""

    size = (7.6, 3.5)
    shows = "fish.hours_to_4"

    def build(self) -> list:
        self.night, self.limits = self.figure.subplots(1, 2, width_ratios=(1.15, 1))
        self.figure.subplots_adjust(left=0.08, right=0.985, bottom=0.15, top=0.89, wspace=0.44)
        level = n.LIMIT.m
        self.night.axhspan(0, level, facecolor="none", edgecolor=GREY, hatch="///", linewidth=0, alpha=0.45)
        self.night.axhline(level, color=VERMILLION, linewidth=1.4)
        self.curves = {end: self.night.plot([], [], color=color, linestyle=dash, linewidth=1.8, label=word)[0]
                       for end, word, color, dash in _CURVES}
        (self.stop,) = self.night.plot([], [], color=VERMILLION, linestyle=":", linewidth=2, label="longest stop")
        paper = {"facecolor": "white", "edgecolor": "none", "pad": 1.0}
        self.night.text(0.3, level - 0.15, f"{level:g} mg/L: trouble below", color=VERMILLION, fontsize=8, va="top", bbox=paper)
        self.night.legend(loc="upper right", fontsize=8, frameon=False, ncols=2)
        self.night.set(xlim=(0, _HOURS), title="Oxygen without the pump, warmest night")
        places = range(len(_ROWS))
        self.bars = list(self.limits.barh(places, [0.0] * len(_ROWS), height=0.42, facecolor=PALE_BLUE, edgecolor=BLACK))
        self.labels = [self.limits.text(0, k - 0.28, "", fontsize=8, va="bottom", bbox=paper, zorder=5) for k in places]
        (self.now,) = self.limits.plot([], [], color=BLACK, linewidth=1.8)
        (self.grown,) = self.limits.plot([], [], color=VERMILLION, linestyle="--", linewidth=1.8)
        self.limits.text(0.98, 0.985, "solid: fish now\ndashed: grown", fontsize=8, ha="right", va="top", transform=self.limits.transAxes)
        self.limits.set(ylim=(len(_ROWS) - 0.5, -1.05), title="What each limit allows, cautious end")
        for axes in (self.night, self.limits):
            axes.title.set_fontsize(10)
        return [*self.curves.values(), self.stop, *self.bars, *self.labels, self.now, self.grown]

    def draw(self, plan: Plan, system: str) -> None:
        fish, stocking = plan["fish"], plan["stocking"]
        stops = n.stops(plan.pond, n.supply(plan.stages))
        self._draw_night(fish, None if stops is None or not fish.series else stops.of(n.warmest_month(fish)))
        self._draw_limits(fish, stocking, system)
        tidy(self.night, "hours since the pump stopped", "oxygen, mg/L")
        self.night.set_xticks(range(0, _HOURS + 1, 6))
        self.night.set_yticks(range(0, int(self.night.get_ylim()[1]) + 1, 4))
        tidy(self.limits, f"mass of fish, {short(unit_for('kg', system))}", "")
        self.limits.set_yticks(range(len(_ROWS)), [words for words, *_ in _ROWS], fontsize=8)

    def _draw_night(self, fish: Stage, stop) -> None:
        top = 0.0
        for end, curve in self.curves.items():
            if (level := fish.series.get(f"night_oxygen_{end}")) is None:
                curve.set_data([], [])
                continue
            curve.set_data(fish.series["night_hours"].m, level.m)
            top = max(top, float(level.m.max()))
        hours = None if stop is None else float(stop.m_as(unit("h")))
        shown = hours is not None and hours <= _HOURS
        self.stop.set_data(([hours, hours], [0, 9.4]) if shown else ([], []))
        self.night.set_ylim(0, 12 if top <= 11.5 else 16)

    def _draw_limits(self, fish: Stage, stocking: Stage, system: str) -> None:
        target = unit(unit_for("kg", system))
        found = [_smallest(stocking, keys) for _, keys, _ in _ROWS]
        now, grown = (fish.numbers.get(key) for key in ("biomass", "grown_biomass"))
        masses = [m.value.m_as(target) for m in (now, grown) if m is not None]
        allowed = [f.value.m_as(target) for f in found if f is not None]
        most = roomy(1.25 * max([*masses, min(allowed, default=0.0), 0.05]), (1, 3, 10))
        for (_, _, absent), limit, bar, label, place in zip(_ROWS, found, self.bars, self.labels, range(len(_ROWS)), strict=True):
            value = 0.0 if limit is None else limit.value.m_as(target)
            bar.set_width(min(value, most))
            label.set_text(absent if limit is None else f"{_said(limit, system)}{' →' if value > most else ''}")
            label.set_position((0.01 * most, place - 0.28))
        for line, mass in ((self.now, now), (self.grown, grown)):
            at = None if mass is None else min(mass.value.m_as(target), most)
            line.set_data(([at, at], [-0.5, len(_ROWS) - 0.5]) if at is not None else ([], []))
        self.limits.set_xlim(0, most)

    def alt(self, plan: Plan, system: str = "metric") -> str:
        fish, stocking, name = plan["fish"], plan["stocking"], plan.pond.name
        if "hours_to_4" not in fish:
            needs = "; ".join([*fish.missing, *stocking.missing])
            return f"No chart of fish and oxygen for {name} yet: {needs}. It would show the oxygen of a night without the pump, and 4 mg/L."
        hours, parts = fish["hours_to_4"], []
        for words, keys, absent in _ROWS:
            limit = _smallest(stocking, keys)
            parts.append(f"{words}: {absent if limit is None else _said(limit, system)}")
        return (f"Two charts for {name}. Left, oxygen after the pump stops on the warmest night: from {_first(fish, 'low')} it falls to "
                f"{show(n.LIMIT, 'mg/L')} in {n.lasts(hours.value)} at the cautious end, typically {n.lasts(hours.typical)}. Right, the "
                f"fish that each limit allows, {'; '.join(parts)}; the fish weigh {fish['biomass'].text(system, 2)} now"
                + (f" and {fish['grown_biomass'].text(system, 2)} grown." if "grown_biomass" in fish else "."))


def _smallest(stage: Stage, keys) -> Number | None:
    there = [stage[f"limit_{k}"] for k in keys if f"limit_{k}" in stage]
    return min(there, key=lambda limit: limit.value.m_as(unit("kg")), default=None)


def _said(limit: Number, system: str) -> str:
    if limit.high.m <= 0:
        return "none"
    return f"{limit.text(system, 2)} (typical {show(limit.typical, 'kg', system, 2)})"


def _first(fish: Stage, end: str) -> str:
    return show(Q(float(fish.series[f"night_oxygen_{end}"].m[0]), "mg/L"), "mg/L", digits=2)

