"""What the ammonia test means at this pH, and what water changes do about it."""

from __future__ import annotations

import numpy as np

from ..pond.plan import Plan
from ..pond.readings import CHANGE, latest
from ..science.ammonia import unionized_ammonia
from ..science.dosing import after_changes
from ..tables import coefficients
from ..units import Q, show, unit
from .base import BLACK, BLUE, GREY, PALE_BLUE, VERMILLION, Picture, roomy, tidy

_PH = np.linspace(6, 10, 81)
_FLOOR, _TOP = 0.0002, 3.0  # mg/L of un-ionized ammonia that the left axis shows
_TIMES = np.arange(9)
_LIMITS = (("low", ":", "strictest limit"), ("typical", "--", "usual limit"), ("high", "-", "harm is seen"))


class WaterPicture(Picture):
    """Left: un-ionized ammonia against pH, with its limits. Right: total ammonia after one to eight water changes."""

    size = (7.6, 3.4)

    def build(self) -> list:
        self.poison, self.changes = self.figure.subplots(1, 2, width_ratios=(1.35, 1))
        self.figure.subplots_adjust(left=0.1, right=0.98, bottom=0.16, top=0.89, wspace=0.27)
        limit = coefficients()["unionized_ammonia_limit"]
        for end, dash, word in _LIMITS:
            self.poison.axhline(limit.at(end).m, color=VERMILLION, linestyle=dash, linewidth=1.2)
            self.poison.text(6.03, limit.at(end).m * 1.06, f"{word} {limit.at(end).m:g}", color=VERMILLION, fontsize=8, va="bottom")
        (curve,) = self.poison.semilogy(_PH, np.full_like(_PH, np.nan), color=BLACK, linewidth=1.6)
        (way,) = self.poison.plot([], [], color=GREY, linewidth=1)
        (now,) = self.poison.plot([], [], color=BLUE, marker="o", markersize=8, linestyle="none")
        (dose,) = self.poison.plot([], [], color=BLACK, marker="s", markersize=7, markerfacecolor="white", linestyle="none")
        label_now = self.poison.text(0, 0, "now", fontsize=9, color=BLUE, ha="right", va="bottom")
        label_dose = self.poison.text(0, 0, "", fontsize=9, color=BLACK, va="top")
        self.poison.set(xlim=(6, 10), ylim=(_FLOOR, _TOP), title="Un-ionized ammonia at this warmth")
        bars = self.changes.bar(_TIMES, np.zeros(len(_TIMES)), color=PALE_BLUE, edgecolor=BLACK, width=0.7)
        (strict,) = self.changes.plot([-0.6, 8.6], [0, 0], color=VERMILLION, linestyle=":", linewidth=1.8)
        (usual,) = self.changes.plot([-0.6, 8.6], [0, 0], color=VERMILLION, linestyle="--", linewidth=1.4)
        words = self.changes.text(0.98, 0.97, "", color=VERMILLION, fontsize=8, ha="right", va="top", transform=self.changes.transAxes)
        self.changes.set(xlim=(-0.6, 8.6), title="Total ammonia after water changes")
        for axes in (self.poison, self.changes):
            axes.title.set_fontsize(10)
        tidy(self.poison, "pH", "un-ionized ammonia, mg/L as N")
        tidy(self.changes, f"changes of {CHANGE.m:g} %", "total ammonia, mg/L as N")
        self.poison.set_xticks(range(6, 11))
        self.poison.set_yticks(ticks := (0.001, 0.01, 0.1, 1), [f"{tick:g}" for tick in ticks])
        self.curve, self.way, self.now, self.dose, self.label_now, self.label_dose = curve, way, now, dose, label_now, label_dose
        self.bars, self.strict, self.usual, self.words = bars, strict, usual, words
        return [curve, way, now, dose, label_now, label_dose, *bars, strict, usual, words]

    def draw(self, plan: Plan, system: str) -> None:
        reading, numbers = latest(plan.pond), plan["water"].numbers
        tan, limits = reading.tan.m_as(unit("mg/L")), numbers["tan_limit"]
        self._draw_poison(reading, numbers, tan)
        for bar, height in zip(self.bars, after_changes.plain(tan, 0.0, CHANGE.m, _TIMES), strict=True):
            bar.set_height(height)
        self.strict.set_ydata([limits.low.m] * 2)
        self.usual.set_ydata([limits.typical.m] * 2)
        low, typical = (show(q, "mg/L", digits=2) for q in (limits.low, limits.typical))
        self.words.set_text(f"allowed at this pH and warmth:\ndotted, strictest limit {low}\ndashed, usual limit {typical}")
        self.changes.set_ylim(0, roomy(1.35 * max(tan, min(limits.typical.m, 1.2 * tan), 0.05)))

    def _draw_poison(self, reading, numbers, tan: float) -> None:
        warmth, ph, toxic = reading.temperature.m_as(unit("degC")), reading.ph.m, numbers["unionized_ammonia"].value.m
        self.curve.set_ydata(unionized_ammonia.plain(tan, _PH, warmth) if tan else np.full_like(_PH, np.nan))
        spots = [(ph, max(toxic, _FLOOR))]
        if "unionized_after" in numbers:
            higher = max(numbers[key].value.m for key in ("ph_after_dose", "ph_after_airing"))
            spots.append((higher, max(numbers["unionized_after"].value.m, _FLOOR)))
        self.way.set_data(*zip(*spots, strict=True))
        self.now.set_data(*zip(*spots[:1], strict=True))
        self.dose.set_data(*zip(*spots[1:], strict=True) if spots[1:] else ([], []))
        self.label_now.set_position((max(ph - 0.08, 6.45), spots[0][1] * 1.15))
        self.label_dose.set_position((min(spots[-1][0] + 0.1, 8.7), max(spots[-1][1] * 0.8, 3 * _FLOOR)))
        self.label_dose.set_text("with bicarbonate,\nonce aired" if spots[1:] else "")

    def alt(self, plan: Plan, system: str = "metric") -> str:
        reading, numbers = latest(plan.pond), plan["water"].numbers
        limit, allowed = numbers["unionized_limit"], numbers["tan_limit"]
        words = (
            f"Left, un-ionized ammonia against pH for {show(reading.tan, 'mg/L', system)} of total ammonia at "
            f"{show(reading.temperature, 'degC', system)}: it rises steeply, and at pH {reading.ph.m:g} it is "
            f"{numbers['unionized_ammonia'].text(system)}, against limits of {show(limit.low, 'mg/L')} to {show(limit.high, 'mg/L')}. "
        )
        if "unionized_after" in numbers:
            words += f"A dose of bicarbonate would take it to {numbers['unionized_after'].text(system)} once the water has aired. "
        eight = Q(float(after_changes.plain(reading.tan.m_as(unit("mg/L")), 0.0, CHANGE.m, 8)), "mg/L")
        return words + (
            f"Right, total ammonia after up to eight water changes of {CHANGE.m:g} %: it falls to {show(eight, 'mg/L', system)}; "
            f"{allowed.text(system)} is allowed at this pH and warmth by the strictest limit."
        )
