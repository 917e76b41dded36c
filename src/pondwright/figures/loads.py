"""What the loads use in a day, and how a full battery empties without sun."""

from __future__ import annotations

from textwrap import shorten

from ..pond.plan import Plan
from ..pond.results import Stage
from ..pond.stages.power import EMPTYING
from ..units import Q, Quantity, show
from .base import BLACK, BLUE, GREEN, PALE_BLUE, VERMILLION, Picture, roomy, tidy

MOST = 4
COARSE = (1, 3, 10)  # steps of both axes: a slider moves these numbers far, and each new axis is slow to draw
_LINES = ((BLUE, "--"), (VERMILLION, ":"), (GREEN, "-."), (BLACK, (0, (1, 4))))
_HATCHES = ("", "///", "...", "xx")
LONGEST_NAME = 36  # letters: with its number such a name is as wide as the axes


class LoadsPicture(Picture):
    """Left: energy of each load in a day. Right: charge left in a full battery without sun, for each load alone and for all."""

    size = (7.6, 2.9)

    def build(self) -> list:
        self.day, self.dark = self.figure.subplots(1, 2, width_ratios=(1.15, 1))
        self.figure.subplots_adjust(left=0.02, right=0.98, bottom=0.17, top=0.8, wspace=0.17)
        self.bars = list(self.day.barh(range(MOST), [0.0] * MOST, height=0.42, facecolor=PALE_BLUE, edgecolor=BLACK))
        for bar, hatch in zip(self.bars, _HATCHES, strict=True):
            bar.set_hatch(hatch)
        # name and number stand above their bar, where they hide nothing of the shortest one
        self.names = [self.day.text(0, y - 0.29, "", fontsize=9, va="bottom") for y in range(MOST)]
        self.day.set(ylim=(MOST - 0.6, -0.85), yticks=[])
        self.day.spines["left"].set_visible(False)
        self.day.set_title("Energy in a day", fontsize=10, pad=20)
        self.alone = [self.dark.plot([0, 0], [100, 0], color=c, linestyle=s, linewidth=1.8)[0] for c, s in _LINES]
        self.all = self.dark.plot([0, 0], [100, 0], color=BLACK, linewidth=2.5)[0]
        self.mark = self.dark.text(1, -0.17, "", fontsize=9, va="top", ha="right", transform=self.dark.transAxes)  # clear of all lines
        self.dark.set(ylim=(0, 104), yticks=(0, 50, 100))
        self.dark.set_title("Charge left that may be used, without sun (%)", fontsize=10, pad=20)
        # above the axes, where no line can hide it
        self.dark.legend([self.all, *self.alone], ["all", "1st alone", "2nd", "3rd", "4th"], fontsize=8, frameon=False, ncol=5,
                         loc="lower center", bbox_to_anchor=(0.5, 0.97), columnspacing=0.9, handlelength=2.1, handletextpad=0.5)
        return [*self.bars, *self.names, *self.alone, self.all, self.mark]

    def draw(self, plan: Plan, system: str) -> None:
        stage = plan["power"]
        rows, total = emptying(stage)[:MOST], _all_days(stage)
        top = roomy(1.05 * max((float(energy.m_as("Wh/d")) for _, energy, _ in rows), default=10.0), COARSE)
        last = roomy(1.5 * total if total else 1.0, COARSE)
        for n in range(MOST):
            name, energy, days = rows[n] if n < len(rows) else ("", Q(0.0, "Wh/d"), Q(0.0, "d"))
            self.bars[n].set_width(float(energy.m_as("Wh/d")))
            told = f"{n + 1}. {shorten(name, LONGEST_NAME, placeholder='...')}: {show(energy, 'Wh/d', system)}"
            self.names[n].set_text(told if name else "")
            self.bars[n].set_visible(bool(name))
            self.alone[n].set_data([0, float(days.m_as("d"))], [100, 0])
            self.alone[n].set_visible(bool(name) and len(rows) > 1)
        self.all.set_data([0, total], [100, 0])
        self.all.set_visible(total > 0)
        self.mark.set_text(f"all: {show(Q(total, 'd'), 'd', system)}" if total else "")
        tidy(self.day, "Wh a day", "")
        self.day.set(xlim=(0, top), yticks=[])
        tidy(self.dark, "days", "")
        self.dark.set(xlim=(0, last), yticks=(0, 50, 100))

    def alt(self, plan: Plan, system: str = "metric") -> str:
        stage = plan["power"]
        rows, total = emptying(stage), _all_days(stage)
        if not rows:
            return f"Empty axes: no load is planned, or the plan {(stage.missing or ('needs a battery',))[0]}."
        each = ", ".join(f"{name} {show(energy, 'Wh/d', system)} ({show(days, 'd', system)} alone)" for name, energy, days in rows)
        return (
            f"Left, a bar for each load of {plan.pond.name}: {each}. Right, lines that fall from a full battery: without sun all loads "
            f"together empty it to the depth allowed in {show(Q(total, 'd'), 'd', system)}."
        )


def emptying(stage: Stage) -> list[tuple[str, Quantity, Quantity]]:
    """Return name, energy a day and days alone of each load, the thirstiest first; nothing where no battery is planned."""
    return [row for grid in stage.grids if grid.title == EMPTYING for row in grid.rows]


def _all_days(stage: Stage) -> float:
    return float(stage["battery_days"].value.m_as("d")) if "battery_days" in stage else 0.0
