"""The pond from above and cut open, to scale, with its water."""

from __future__ import annotations

import numpy as np
from matplotlib.patches import Rectangle

from ..pond.plan import Plan
from ..units import Q, short, unit_for
from .base import BLACK, BLUE, GREY, PALE_BLUE, Picture, roomy, tidy

_TURN = np.linspace(0, 2 * np.pi, 73)


class SurveyPicture(Picture):
    """Left: the water line from above. Right: the depth along the middle; the mean depth is dashed, how far off it may be is hatched."""

    size = (7.6, 3.0)
    shows = "survey.volume"

    def build(self) -> list:
        self.above, self.section = self.figure.subplots(1, 2, width_ratios=(1, 1.25))
        self.figure.subplots_adjust(left=0.08, right=0.98, bottom=0.18, top=0.88, wspace=0.25)
        (outline,) = self.above.fill([0, 1, 1], [0, 0, 1], facecolor=PALE_BLUE, edgecolor=BLACK, linewidth=1.5)
        (water,) = self.section.fill([0, 1, 1], [0, 0, 1], facecolor=PALE_BLUE, edgecolor=BLACK, linewidth=1.5)
        (mean,) = self.section.plot([0, 1], [0, 0], color=BLUE, linestyle="--", linewidth=1.5)
        spread = self.section.add_patch(Rectangle((0, 0), 1, 0, facecolor="none", edgecolor=GREY, hatch="///", linewidth=0.5))
        paper = {"facecolor": PALE_BLUE, "edgecolor": "none"}
        words = self.section.text(0, 0, "", color=BLACK, va="center", ha="center", fontsize=9, bbox=paper)
        self.outline, self.water, self.mean, self.spread, self.words = outline, water, mean, spread, words
        self.above.set_title("From above", fontsize=10)
        self.section.set_title("Cut along the middle", fontsize=10)
        self.above.set_aspect("equal", adjustable="box")
        return [outline, water, mean, spread, words]

    def draw(self, plan: Plan, system: str) -> None:
        survey, shape = plan["survey"], plan.pond.pond.shape
        scale = 1 / _m(Q(1, unit_for("m", system)))
        outline, profile = _outline(shape, survey) * scale, _profile(shape, survey) * scale
        mean, low, high = (_spread(survey, end) * scale for end in ("typical", "low", "high"))
        length, name = np.ptp(profile[:, 0]), short(unit_for("m", system))
        self.outline.set_xy(outline - outline.min(axis=0))
        self.water.set_xy(profile)
        self.mean.set_data([0, length], [mean, mean])
        self.spread.set_bounds(0, low, length, high - low)
        self.spread.set_visible(high > low)
        self.words.set_position((0.5 * length, 0.4 * low))
        band = f" ± {(high - low) / 2:.2f}" if high - low >= 0.01 else ""
        self.words.set_text(f"mean depth {mean:.2f}{band} {name}\n{survey['volume'].text(system)}")
        self.above.set(xlim=(0, roomy(1.02 * length)), ylim=(0, roomy(1.02 * np.ptp(outline[:, 1]))))
        self.section.set(xlim=(0, roomy(1.02 * length)), ylim=(roomy(1.02 * max(profile[:, 1].max(), high)), 0))
        tidy(self.above, f"along, {name}", f"across, {name}")
        tidy(self.section, f"along, {name}", f"below the water line, {name}")

    def alt(self, plan: Plan, system: str = "metric") -> str:
        survey = plan["survey"]
        band = survey["volume"].band_text(system)
        return (
            f"Two drawings of {plan.pond.name}: the water line from above, {survey['surface_area'].text(system)} of surface, and a cut "
            f"along the middle with a mean depth of {survey['mean_depth'].text(system)}. The water is {survey['volume'].text(system)}"
            + (f" ({band})." if band else "; the depth has no known spread.")
        )


def _spread(survey, end: str) -> float:
    """Return the mean depth in metres at an end of the volume's band."""
    return float(getattr(survey["volume"], end).m_as("meter ** 3") / survey["surface_area"].typical.m_as("meter ** 2"))


def _m(quantity) -> float:
    return float(quantity.m_as("meter"))


def _outline(shape, survey) -> np.ndarray:
    """Return the water line as points in metres, shape (n, 2)."""
    match shape.kind:
        case "soundings":
            return np.array([[_m(p[0]), _m(p[1])] for p in shape.outline])
        case "widths":
            along = np.linspace(0, _m(shape.length), len(shape.widths))
            half = np.array([_m(w) for w in shape.widths]) / 2
            return np.column_stack([np.r_[along, along[::-1]], np.r_[half, -half[::-1]]])
        case "circle" | "ellipse":
            length, width = (shape.diameter, shape.diameter) if shape.kind == "circle" else (shape.length, shape.width)
            return np.column_stack([_m(length) / 2 * (1 + np.cos(_TURN)), _m(width) / 2 * np.sin(_TURN)])
        case "stadium":
            radius, straight = _m(shape.width) / 2, _m(shape.length) - _m(shape.width)
            arc = np.linspace(-np.pi / 2, np.pi / 2, 19)
            right = np.column_stack([radius + straight + radius * np.cos(arc), radius * np.sin(arc)])
            left = np.column_stack([radius - radius * np.cos(arc[::-1]), radius * np.sin(arc[::-1])])
            return np.vstack([right, left])
        case "salt" | "fill":  # no outline was measured: a circle of the same surface
            radius = float(np.sqrt(survey["surface_area"].typical.m_as("meter ** 2") / np.pi))
            return np.column_stack([radius * (1 + np.cos(_TURN)), radius * np.sin(_TURN)])
    length, width = (shape.layers[0].length, shape.layers[0].width) if shape.kind == "shelves" else (shape.length, shape.width)
    return np.array([[0, -_m(width) / 2], [_m(length), -_m(width) / 2], [_m(length), _m(width) / 2], [0, _m(width) / 2]])


def _profile(shape, survey) -> np.ndarray:
    """Return the cut along the middle as points in metres (x, depth), shape (n, 2)."""
    length = float(np.ptp(_outline(shape, survey)[:, 0]))
    if shape.kind == "shelves":
        points, top = [[0.0, 0.0]], 0.0
        for layer in shape.layers:
            inset = (length - _m(layer.length)) / 2
            points += [[inset, top], [inset, top + _m(layer.depth)]]
            top += _m(layer.depth)
        return np.array(points + [[length - x, y] for x, y in reversed(points)])
    if shape.kind in ("soundings", "widths"):  # the soundings in the order given, spread along the pond
        depths = [_m(d) for d in shape.depths]
        along = np.linspace(0, length, len(depths) + 2)
        return np.array([[0, 0], *([x, d] for x, d in zip(along[1:-1], depths, strict=True)), [length, 0]])
    inset = (length - _m(shape.bottom_length)) / 2 if shape.kind == "sloped" else 0.0
    depth = _m(survey["max_depth"].value) if shape.kind == "sloped" else _spread(survey, "typical")
    return np.array([[0, 0], [inset, depth], [length - inset, depth], [length, 0]])
