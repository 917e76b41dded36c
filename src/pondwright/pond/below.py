"""The water that lies below a height in the pond, by the geometry that the pond file gives; heights are above the deepest bottom."""
from __future__ import annotations

import numpy as np

from ..science import emptying as e
from ..science import geometry as g
from ..units import Q, Quantity, in_unit, unit
from .results import Assumption, Stage
from .shapes import Shape

_M, _M2, _M3, _ONE = unit("m"), unit("m2"), unit("m3"), unit("-")
LEAST_SHARE = 0.2  # of the typical water: what the spread of the readings leaves at least; a judgement, no source
UNSOUNDED = "salt", "fill"  # kinds of shape that tell the volume, the surface and the greatest depth, and nothing between
STEPS = np.linspace(0.0, 1.0, 25)  # heights at which the water is worked out, twice, to find the one below which a share of it lies
BY_READINGS = ("The water that a pump leaves is counted from the depths in the pond file: each stands for an equal part of the pond, with "
               "the walls of its shape. The intake's height is taken from the deepest place, where it leaves least.")
BY_STEPS = "The water that a pump leaves is that of the steps in the pond file. The intake's height is taken from the deepest bottom."
AS_A_BOWL = ("Nothing in the pond file tells how the bottom falls, so the water that a pump leaves is that of a bowl with the volume, "
             "surface and depth of this pond. A wide deep part holds more than that, a narrow hole less: sound the pond to know.")
BOWL_NOTE = "taken as a bowl: nothing tells how the bottom falls"


def how_known(shape: Shape) -> Assumption:
    """Say how the water below a height is known."""
    if shape.kind in UNSOUNDED:
        return Assumption(AS_A_BOWL, ("PowerBasin",))
    return Assumption(BY_STEPS if shape.kind == "shelves" else BY_READINGS, ("Geometry",))


class Below:
    """A pond's water below a height, at the low, typical and high end of its depth readings; plain numbers inside (m, m2, m3)."""

    def __init__(self, shape: Shape, survey: Stage):
        self.shape, volume = shape, survey["volume"]
        self.area = float(in_unit(survey["surface_area"].typical, _M2))
        self.deepest = float(in_unit(survey["max_depth"].value, _M))
        self.volumes = {end: float(in_unit(getattr(volume, end), _M3)) for end in ("low", "typical", "high")}
        self.sources = volume.sources
        self.note = BOWL_NOTE if shape.kind in UNSOUNDED else ""
        self.depths = None if shape.kind in (*UNSOUNDED, "shelves") else self._depths()

    def water(self, height: Quantity, end: str) -> Quantity:
        """Return the water below a height."""
        if end == "typical":
            self._through_the_doors(height)
        return Q(float(self._below(float(in_unit(height, _M)), end)), "m3")

    def height(self, share: Quantity, end: str) -> Quantity:
        """Return the height below which a share of the water lies."""
        if self.shape.kind in UNSOUNDED:
            return e.depth_holding(Q(self.volumes[end], "m3"), Q(self.area, "m2"), Q(self.deepest, "m"), share)
        if end == "typical":
            self._through_the_doors(Q(self.deepest, "m"))
        low, high, wanted = 0.0, self.deepest, float(in_unit(share, _ONE)) * float(self._below(self.deepest, end))
        for _ in range(2):
            heights = low + (high - low) * STEPS
            found = self._below(heights, end)
            n = min(int(np.searchsorted(found, wanted, side="right")), len(STEPS) - 1)
            low, high = heights[n - 1], heights[n]
        return Q(float(np.interp(wanted, found[n - 1 : n + 1], heights[n - 1 : n + 1])), "m")

    def _through_the_doors(self, height: Quantity) -> None:
        """Leave the trace of the formula that gives the water; the rest uses the plain one."""
        shape = self.shape
        if shape.kind in UNSOUNDED:
            e.water_left(Q(self.volumes["typical"], "m3"), Q(self.area, "m2"), Q(self.deepest, "m"), height)
        elif shape.kind == "sloped":
            g.frustum_volume(shape.length, shape.width, shape.bottom_length, shape.bottom_width, height)
        else:
            g.prism_volume(Q(self.area, "m2"), height)

    def _below(self, height, end: str):
        """Return the water below a height or below each of an array of them."""
        if self.shape.kind in UNSOUNDED:
            return e.water_left.plain(self.volumes[end] * 1000, self.area, self.deepest, height) / 1000
        if self.shape.kind == "shelves":
            return self._on_steps(height)
        if self.shape.kind == "sloped":
            return np.minimum(self._between_slopes(height, end), self.volumes[end])
        return np.minimum(g.prism_volume.plain(self.area, self._over_the_readings(height, end).mean(axis=0)), self.volumes[end])

    def _depths(self) -> dict[str, np.ndarray]:
        """Return the readings at each end: there all of them are off by as much as their mean may be."""
        read = self.shape.depths if self.shape.kind in ("soundings", "widths") else self.shape.depth
        depths = np.array([float(in_unit(depth, _M)) for depth in read])
        return {end: depths + (volume / self.volumes["typical"] - 1) * depths.mean() for end, volume in self.volumes.items()}

    def _over_the_readings(self, height, end: str) -> np.ndarray:
        """Return the water over the bottom at each reading, shape (readings, *heights)."""
        level = height - self.deepest
        over = np.maximum(np.add.outer(self.depths[end], level), 0.0)
        if end == "low":
            over = np.maximum(over, LEAST_SHARE * np.add.outer(self.depths["typical"], level))
        return np.minimum(over, height)

    def _between_slopes(self, height, end: str):
        """Return the water of a pond that narrows evenly to its bottom."""
        names = "length", "width", "bottom_length", "bottom_width"
        length, width, below_length, below_width = (float(in_unit(getattr(self.shape, name), _M)) for name in names)
        over, depths = self._over_the_readings(height, end), self._over_the_readings(self.deepest, end)
        part = over / (depths if over.ndim == 1 else depths[:, np.newaxis])
        sides = below_length + (length - below_length) * part, below_width + (width - below_width) * part
        return g.frustum_volume.plain(*sides, below_length, below_width, over).mean(axis=0)

    def _on_steps(self, height):
        """Return the water on the steps, from the deepest one up."""
        whole, bottom = 0.0, 0.0
        for layer in reversed(self.shape.layers):
            length, width, thick = (float(in_unit(side, _M)) for side in (layer.length, layer.width, layer.depth))
            whole = whole + g.prism_volume.plain(length * width, np.clip(height - bottom, 0.0, thick))
            bottom += thick
        return whole
