"""What the sun brings month by month against what the loads need, and the battery that is needed against the one there is."""

from __future__ import annotations

import numpy as np
from matplotlib.patches import PathPatch

from ..pond.climate import MONTHS
from ..pond.plan import Plan
from ..pond.results import Stage
from ..units import Q, show
from .base import BLACK, BLUE, GREY, PALE, PALE_BLUE, VERMILLION, Picture, roomy, tidy
from .season import bars


class PowerPicture(Picture):
    """Left: energy that reaches the loads in a mean day of each month, and what they need. Right: the battery needed and planned."""

    size = (7.6, 3.0)
    shows = "power.energy_in"

    def build(self) -> list:
        self.year, self.store = self.figure.subplots(1, 2, width_ratios=(2.1, 1))
        self.figure.subplots_adjust(left=0.09, right=0.98, bottom=0.165, top=0.815, wspace=0.12)
        # all bars of a kind are one patch: twelve of them would take as long to draw as everything else
        self.used = self.year.add_patch(PathPatch(bars(np.zeros(12)), facecolor=PALE_BLUE, edgecolor=BLACK))
        self.unused = self.year.add_patch(PathPatch(bars(np.zeros(12)), facecolor="white", edgecolor=GREY, hatch="///"))
        self.typical = self.year.plot(range(12), [0.0] * 12, color=BLUE, marker="o", linestyle="none")[0]
        self.need = self.year.plot([-0.6, 11.6], [0, 0], color=VERMILLION, linestyle="--", linewidth=2)[0]
        self.year.set(xlim=(-0.6, 11.6), xticks=range(12))
        handles = [self.used, self.typical, self.need]
        where = {"loc": "lower center", "bbox_to_anchor": (0.5, 0.98), "ncol": 3}  # above the axes: no bar can hide it
        self.year.legend(handles=handles, labels=["cautious", "typical", "the loads need"], fontsize=8, frameon=False, **where)
        self.year.set_title("Energy that reaches the loads in a mean day", fontsize=10, pad=20)
        self.banks = list(self.store.barh((0, 1), (0.0, 0.0), height=0.5, facecolor=PALE, edgecolor=BLACK))
        self.banks[0].set_hatch("//")
        # words that stay are drawn once, with the axes; of the words that move only numbers are left, since text is slow to draw
        for y, words in ((-0.3, "battery needed"), (0.7, "battery planned"), (1.75, "pump's cable, at least; its fuse")):
            self.store.text(0, y, words, fontsize=9, va="bottom")
        beside = self.store.get_yaxis_transform()  # in the line of the words, at the right: above its bar, where it hides nothing of it
        self.sizes = [self.store.text(1, y - 0.3, "", fontsize=9, va="bottom", ha="right", transform=beside) for y in (0, 1)]
        self.wire = self.store.text(0, 1.82, "", fontsize=9, va="top")
        self.store.set(ylim=(2.35, -0.75), yticks=[])
        self.store.set_title("Between sun and pump", fontsize=10, pad=20)
        self.store.spines["left"].set_visible(False)
        return [self.used, self.unused, self.typical, self.need, *self.banks, *self.sizes, self.wire]

    def draw(self, plan: Plan, system: str) -> None:
        stage = plan["power"]
        self._draw_year(stage)
        self._draw_store(plan, stage, system)

    def _draw_year(self, stage: Stage) -> None:
        low, typical = (_watt_hours(stage, key) for key in ("energy_in", "energy_typical"))
        need = float(stage["daily_energy"].value.m_as(_DAILY)) if "daily_energy" in stage else 0.0
        used = _used(stage)
        self.used.set_path(bars(np.where(used, low, 0.0)))
        self.unused.set_path(bars(np.where(used, 0.0, low)))
        top = roomy(2.5 * need if need else max(1.2 * typical.max(), 1.0))  # what is far more than enough may leave the picture
        self.typical.set_data(range(12), typical)
        self.need.set_data([-0.6, 11.6], [need, need])
        tidy(self.year, "hatched: not in use" if not used.all() else "month", "Wh a day")
        self.year.set(ylim=(0, top), xticks=range(12), xticklabels=[name[0] for name in MONTHS])

    def _draw_store(self, plan: Plan, stage: Stage, system: str) -> None:
        battery = plan.pond.power.battery if plan.pond.power else None
        have = battery.capacity if battery else Q(0.0, "Ah")
        needed = stage["battery_needed"].value if "battery_needed" in stage else Q(0.0, "Ah")
        widest = roomy(1.05 * max(float(needed.m_as(_AH)), float(have.m_as(_AH)), 1.0))
        for bar, words, ah in zip(self.banks, self.sizes, (needed, have), strict=True):
            size = float(ah.m_as(_AH))
            bar.set_width(size)
            bar.set_visible(size > 0)
            words.set_text(show(ah, "Ah", system) if size > 0 else "none")
        cable = stage.facts.get("cable", "none in the table")
        self.wire.set_text(f"{cable}, {stage['pump_fuse'].text(system)}" if "pump_fuse" in stage else "")
        tidy(self.store, "Ah", "")
        self.store.set(xlim=(0, widest), yticks=[])

    def alt(self, plan: Plan, system: str = "metric") -> str:
        stage, pond = plan["power"], plan.pond
        need = f", {stage['daily_energy'].text(system)}" if "daily_energy" in stage else ""
        said = [f"Bars for twelve months: the energy that reaches the loads of {pond.name} in a mean day; a dashed line: their need{need}"]
        if "pump_hours" in stage:
            wanted = show(pond.pump.hours_per_day, "h/d", system)
            said.append(
                f"In {stage.facts['worst_month']}, the weakest month in use, that carries the pump for {stage['pump_hours'].text(system)} "
                f"of the {wanted} wanted"
            )
        elif "energy_in" not in stage.series and stage.missing:
            said.append(f"The bars are empty: the plan {stage.missing[0]}")
        if "battery_needed" in stage:
            have = show(pond.power.battery.capacity, "Ah", system)
            said.append(f"On the right, two bars: a battery of {stage['battery_needed'].text(system)} is needed, {have} planned")
        if "pump_fuse" in stage:
            cable = stage.facts.get("cable", "none in the table")
            said.append(f"Below them the pump's cable, {cable}, and its fuse, {stage['pump_fuse'].text(system)}")
        return ". ".join(said) + "."


_DAILY, _AH = Q(1, "Wh/d").units, Q(1, "Ah").units


def _watt_hours(stage: Stage, key: str) -> np.ndarray:
    return stage.series[key].m_as(_DAILY) if key in stage.series else np.zeros(12)


def _used(stage: Stage) -> np.ndarray:
    """Tell which months are in use."""
    words = stage.facts.get("months_in_use", "all year")
    return np.array([words == "all year" or name in words for name in MONTHS])
