"""The line from pump to filter as it lies, and the height to which its water would rise in a gauge."""

from __future__ import annotations

from ..pond.plan import Plan
from ..units import Q, short, show, unit_for
from .base import BLACK, BLUE, GREY, PALE_BLUE, VERMILLION, Picture, roomy, tidy

STEPS = (1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10)


class ProfilePicture(Picture):
    """Height over the way along the line: the pipe, the pond's water, the hydraulic grade line that sinks to the mouth."""

    size = (7.6, 3.2)
    shows = "plumbing.profile_way"

    def build(self) -> list:
        self.axes = axes = self.figure.subplots()
        self.figure.subplots_adjust(left=0.09, right=0.98, bottom=0.16, top=0.96)
        self.water = axes.fill([0, 1, 1, 0], [0, 0, -1, -1], facecolor=PALE_BLUE, edgecolor=BLUE, linewidth=0.8)[0]
        self.lost = axes.fill([0, 1, 1], [1, 1, 0], facecolor="none", edgecolor=GREY, hatch="///", linewidth=0.3)[0]
        self.start = axes.plot([0, 1], [0, 0], color=GREY, linestyle=":", linewidth=1.2)[0]
        self.grade = axes.plot([0], [0], color=VERMILLION, linestyle="--", linewidth=2)[0]
        self.pipe = axes.plot([0], [0], color=BLACK, linewidth=4, solid_capstyle="butt")[0]
        self.ends = axes.plot([0], [0], color=BLACK, marker="o", linestyle="none", markersize=8)[0]
        paper = {"facecolor": "white", "edgecolor": "none", "pad": 1.5, "alpha": 0.85}
        self.words = [axes.text(0, 0, "", fontsize=8.5, va="bottom", bbox=paper) for _ in range(5)]
        return [self.water, self.lost, self.start, self.grade, self.pipe, self.ends, *self.words]

    def draw(self, plan: Plan, system: str) -> None:
        stage = plan["plumbing"]
        unit = unit_for("m", system)
        tidy(self.axes, f"way along the line, {short(unit)}", f"height over the pond's water, {short(unit)}")
        drawn = "profile_way" in stage.series
        for artist in self.moving:
            artist.set_visible(drawn)
        if not drawn:
            return
        one = Q(1, unit).units
        way, height, grade = (stage.series[f"profile_{name}"].m_as(one) for name in ("way", "height", "grade"))
        head, lift = stage["head"].typical.m_as(one), stage["lift"].value.m_as(one)
        right, top = roomy(1.02 * way[-1], STEPS), roomy(1.12 * max(head, *height), STEPS)
        bottom = min(-0.12 * top, 1.1 * min(height))
        self.water.set_xy([(0, 0), (0.16 * right, 0), (0.16 * right, bottom), (0, bottom)])
        self.lost.set_xy([(0, head), (way[-1], head), *zip(way[::-1], grade[::-1], strict=True)])
        self.start.set_data([0, way[-1]], [head, head])
        self.grade.set_data(way, grade)
        self.pipe.set_data(way, height)
        self.ends.set_data([way[0], way[-1]], [height[0], height[-1]])
        lost = _lost(stage)
        spread = f", then {_spread(stage, system)} for the spreader" if _spread(stage, system) else ""
        texts = (
            ("the pond's water", 0.17 * right, bottom + 0.01 * top, "left"),
            (f"head of the pump {show(stage['head'].typical, 'm', system)}", 0.02 * right, head + 0.01 * top, "left"),
            (f"lift {stage['lift'].text(system)}{spread}", way[-1], lift - 0.14 * top, "right"),
            (f"lost on the way {show(lost, 'm', system, 2)}", way[-1], head - 0.09 * top, "right"),
            ("so high would the water rise in a gauge", 0.06 * right, grade[0] - 0.16 * top, "left"),
        )
        for words, (text, x, y, side) in zip(self.words, texts, strict=True):
            words.set(text=text, position=(x, y), ha=side)
        self.axes.set(xlim=(0, right), ylim=(bottom, top))

    def alt(self, plan: Plan, system: str = "metric") -> str:
        stage = plan["plumbing"]
        if "profile_way" not in stage.series:
            return f"No drawing for {plan.pond.name}: {'; '.join(stage.missing)}. It would show the line and the pressure in it."
        length, lost = stage.series["profile_way"][-1], _lost(stage)
        spread = f"{_spread(stage, system)} press it through the spreader's holes, " if _spread(stage, system) else ""
        return (f"The line of {plan.pond.name} drawn along its {show(length, 'm', system)}: the pump gives "
                f"{show(stage['head'].typical, 'm', system)} "
                f"of head, the dashed grade line sinks by {show(lost, 'm', system, 2)} on the way, {spread}and the water leaves "
                f"{stage['lift'].text(system)} above the pond.")


def _spread(stage, system: str) -> str:
    """Return the head of the spreader at the line's end in words, "" where it has none."""
    return show(stage["spreader_head"].typical, "cm", system, 2) if "spreader_head" in stage else ""


def _lost(stage):
    """Return the head that pipe and fittings take."""
    return stage["pipe_head"].typical + stage["fittings_head"].typical
