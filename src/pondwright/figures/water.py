"""What the ammonia test means at this pH, and what water changes do about it."""

from __future__ import annotations

import numpy as np

from ..pond.plan import Plan
from ..pond.readings import CHANGE, latest
from ..science.ammonia import unionized_ammonia
from ..science.dosing import after_changes
from ..tables import coefficients
from ..units import Q, in_unit, show, unit
from .base import BLACK, BLUE, GREY, VERMILLION, Picture, tidy

_PH = np.linspace(6, 10, 81)
_FLOOR, _TOP = 0.0002, 3.0  # mg/L of un-ionized ammonia that the left axis shows
_LEAST, _MOST = 0.01, 30.0  # mg/L of total ammonia that the right axis shows; its key stands above what a pond has
_TIMES = np.arange(9.0)
_LIMITS = (("low", ":", "strictest limit"), ("typical", "--", "usual limit"), ("high", "-", "harm is seen"))
_GONE = [np.nan]
MG_L = unit("mg/L")


class WaterPicture(Picture):
    """Left: un-ionized ammonia against pH, with its limits. Right: total ammonia after one to eight water changes.

    Both axes of concentration go by tens and stand still, and no words move: a slider draws lines and points only, which is fast.
    """

    size = (7.6, 3.1)
    shows = "water.unionized_ammonia"

    def build(self) -> list:
        self.poison, self.changes = self.figure.subplots(1, 2, width_ratios=(1.3, 1))
        self.figure.subplots_adjust(left=0.1, right=0.99, bottom=0.17, top=0.91, wspace=0.28)
        moving = self._build_poison() + self._build_changes()
        for axes, ticks in ((self.poison, (0.001, 0.01, 0.1, 1)), (self.changes, (0.01, 0.1, 1, 10))):
            axes.title.set_fontsize(10)
            axes.set_yscale("log")
            axes.set_yticks(ticks, [f"{tick:g}" for tick in ticks])
        self.poison.set(xlim=(6, 10), ylim=(_FLOOR, _TOP), xticks=range(6, 11))
        self.changes.set(xlim=(-0.4, 8.4), ylim=(_LEAST, _MOST), xticks=range(0, 9, 2))
        return moving

    def _build_poison(self) -> list:
        axes, limit = self.poison, coefficients()["unionized_ammonia_limit"]
        for end, dash, word in _LIMITS:
            axes.axhline(limit.at(end).m, color=VERMILLION, linestyle=dash, linewidth=1.2)
            axes.text(6.03, limit.at(end).m * 1.06, f"{word} {limit.at(end).m:g}", color=VERMILLION, fontsize=8, va="bottom")
        (self.curve,) = axes.plot(_PH, np.full_like(_PH, np.nan), color=GREY, linewidth=1.4)
        (self.now,) = axes.plot(_GONE, _GONE, color=BLUE, marker="o", markersize=8, linestyle="none", label="as read")
        (self.aired,) = axes.plot(_GONE, _GONE, color=BLACK, marker="^", markersize=8, linestyle="none", label="once aired")
        (self.dose,) = axes.plot(
            _GONE, _GONE, color=BLACK, marker="s", markersize=7, markerfacecolor="none", linestyle="none", label="with bicarbonate"
        )
        axes.legend(loc="lower right", fontsize=8, frameon=False, handletextpad=0.2)
        axes.set_title("Un-ionized ammonia at this warmth")
        tidy(axes, "pH", "un-ionized ammonia, mg/L as N")
        return [self.curve, self.now, self.aired, self.dose]

    def _build_changes(self) -> list:
        axes = self.changes
        (self.stems,) = axes.plot(_GONE, _GONE, color=GREY, linewidth=1)
        (self.left,) = axes.plot(_GONE, _GONE, color=BLUE, marker="o", markersize=6, linestyle="none", label="left in the pond")
        (self.bare,) = axes.plot(
            _GONE, _GONE, color=BLACK, marker="x", markersize=6, linestyle="none", label="where chloramine brings more"
        )
        (self.strict,) = axes.plot([-0.4, 8.4], [np.nan] * 2, color=VERMILLION, linestyle=":", linewidth=1.8)
        (self.usual,) = axes.plot(
            [-0.4, 8.4], [np.nan] * 2, color=VERMILLION, linestyle="--", linewidth=1.4, label="allowed by these limits"
        )
        axes.legend(loc="upper right", fontsize=8, frameon=False, handletextpad=0.4, labelspacing=0.2, borderaxespad=0)
        axes.set_title("Total ammonia after water changes")
        tidy(axes, f"changes of {CHANGE.m:g} %", "total ammonia, mg/L as N")
        return [self.stems, self.strict, self.usual, self.left, self.bare]

    def draw(self, plan: Plan, system: str) -> None:
        reading, numbers = latest(plan.pond), plan["water"].numbers
        tan = in_unit(reading.tan, MG_L)
        self._draw_poison(reading, numbers, tan)
        left, bare = self._after_changes(numbers, tan)
        self.left.set_data(_TIMES, left)
        self.bare.set_data(_TIMES, bare)
        self.stems.set_data(np.repeat(_TIMES, 3), np.column_stack([np.full(9, _LEAST), left, np.full(9, np.nan)]).ravel())
        limits = numbers["tan_limit"]
        self.strict.set_ydata([in_unit(limits.low, MG_L)] * 2)
        self.usual.set_ydata([in_unit(limits.typical, MG_L)] * 2)

    def _after_changes(self, numbers, tan: float) -> tuple:
        """Return total ammonia after 0 to 8 changes: with new water that brings none, and with what chloramine may leave in it."""
        left = after_changes.plain(tan, 0.0, CHANGE.m, _TIMES) if tan else np.full(9, np.nan)
        if "tap_ammonia" not in numbers:
            return left, np.full(9, np.nan)
        return left, after_changes.plain(tan, in_unit(numbers["tap_ammonia"].value, MG_L), CHANGE.m, _TIMES)

    def _draw_poison(self, reading, numbers, tan: float) -> None:
        warmth, now = in_unit(reading.temperature, unit("degC")), in_unit(numbers["unionized_ammonia"].value, MG_L)
        self.curve.set_ydata(unionized_ammonia.plain(tan, _PH, warmth) if tan else np.full_like(_PH, np.nan))
        self.now.set_data([reading.ph.m], [max(now, _FLOOR)])
        aired = numbers.get("unionized_aired")
        rises = aired is not None and aired.value > numbers["unionized_ammonia"].value
        spot = ([numbers["ph_aired"].value.m], [max(in_unit(aired.value, MG_L), _FLOOR)]) if rises else (_GONE, _GONE)
        self.aired.set_data(*spot)
        spot = (_GONE, _GONE)
        if "unionized_after" in numbers:
            higher = max(numbers[key].value.m for key in ("ph_after_dose", "ph_after_airing"))
            spot = ([higher], [max(in_unit(numbers["unionized_after"].value, MG_L), _FLOOR)])
        self.dose.set_data(*spot)

    def alt(self, plan: Plan, system: str = "metric") -> str:
        reading, numbers = latest(plan.pond), plan["water"].numbers
        limit, allowed = numbers["unionized_limit"], numbers["tan_limit"]
        words = (
            f"Left, un-ionized ammonia against pH for {show(reading.tan, 'mg/L', system)} of total ammonia at "
            f"{show(reading.temperature, 'degC', system)}: it rises steeply, and at pH {reading.ph.m:g} it is "
            f"{numbers['unionized_ammonia'].text(system)}, against limits of {show(limit.low, 'mg/L')} to {show(limit.high, 'mg/L')}. "
        )
        if numbers["unionized_worst"].value > numbers["unionized_ammonia"].value:
            words += f"Once aired, at pH {numbers['ph_aired'].value.m:.1f}, it is {numbers['unionized_aired'].text(system)}. "
        if "unionized_after" in numbers:
            words += f"A dose of bicarbonate would take it to {numbers['unionized_after'].text(system)}. "
        eight = Q(float(after_changes.plain(in_unit(reading.tan, MG_L), 0.0, CHANGE.m, 8)), "mg/L")
        words += (
            f"Right, total ammonia after up to eight water changes of {CHANGE.m:g} %: it falls to {show(eight, 'mg/L', system)}; "
            f"{allowed.text(system)} is allowed at this pH and warmth by the strictest limit."
        )
        if "tap_ammonia" in numbers:
            words += f" Where the remover leaves the ammonia of chloramine, new water brings {numbers['tap_ammonia'].text(system)} along."
        return words
