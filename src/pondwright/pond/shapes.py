"""The shapes that a pond may have, each with the lengths that its volume needs."""

from __future__ import annotations

import itertools
from typing import Annotated, Literal

import numpy as np
from pydantic import Field, model_validator

from ..science.geometry import polygon_area
from ..science.survey import salt_tracer_volume, timed_fill_volume
from ..units import QuantityError, round_text, show
from .fields import Area, Depth, Length, Section, Sounding, measure, one_or_more


class Rectangle(Section):
    """Straight walls, a rectangle seen from above."""

    kind: Literal["rectangle"]
    length: Length
    width: Length
    depth: one_or_more(Depth)


class Circle(Section):
    """Straight walls, a circle seen from above."""

    kind: Literal["circle"]
    diameter: Length
    depth: one_or_more(Depth)


class Ellipse(Section):
    """Straight walls, an ellipse seen from above."""

    kind: Literal["ellipse"]
    length: Length
    width: Length
    depth: one_or_more(Depth)


class Stadium(Section):
    """Straight walls, a rectangle with two round ends seen from above; `length` over the ends."""

    kind: Literal["stadium"]
    length: Length
    width: Length
    depth: one_or_more(Depth)

    @model_validator(mode="after")
    def _long_enough(self):
        if self.length.m_as("m") < self.width.m_as("m"):
            raise QuantityError('a stadium is at least as long as it is wide: swap length and width, or use kind = "circle".')
        return self


class Sloped(Section):
    """A rectangle at the water line, a smaller one at the bottom, sloping sides between."""

    kind: Literal["sloped"]
    length: Length
    width: Length
    bottom_length: measure("m", at_most=200)
    bottom_width: measure("m", at_most=200)
    depth: one_or_more(Depth)

    @model_validator(mode="after")
    def _narrows(self):
        if self.bottom_length.m_as("m") > self.length.m_as("m") or self.bottom_width.m_as("m") > self.width.m_as("m"):
            raise QuantityError(
                "the bottom of a sloped pond is not larger than its top: compare bottom_length and bottom_width with length and width."
            )
        return self


class Shelf(Section):
    """One layer of a stepped pond: a rectangle as wide as the pond is at that layer, and the layer's thickness."""

    length: Length
    width: Length
    depth: Depth


class Shelves(Section):
    """Steps: layers from the water line down, each a rectangle with its own thickness."""

    kind: Literal["shelves"]
    layers: Annotated[tuple[Shelf, ...], Field(min_length=1)]

    @model_validator(mode="after")
    def _narrows(self):
        for upper, lower in itertools.pairwise(self.layers):
            if lower.length.m_as("m") > upper.length.m_as("m") or lower.width.m_as("m") > upper.width.m_as("m"):
                raise QuantityError("each layer lies inside the one above it: list the layers from the water line down.")
        return self


class Soundings(Section):
    """An outline of corner points and depths sounded on a grid inside it."""

    kind: Literal["soundings"]
    outline: Annotated[
        tuple[Annotated[tuple[measure("m", at_least=-200, at_most=200), ...], Field(min_length=2, max_length=2)], ...], Field(min_length=3)
    ]
    depths: Annotated[tuple[Sounding, ...], Field(min_length=1)]

    @model_validator(mode="after")
    def _holds_water(self):
        x, y = ([p[i].m_as("m") for p in self.outline] for i in (0, 1))
        if polygon_area.plain(np.array(x), np.array(y)) < 0.01:
            raise QuantityError("the corner points of outline enclose no surface; list them in the order in which you walk round the pond.")
        return _deep_somewhere(self)


class Widths(Section):
    """Widths across the pond at an odd number of equally spaced stations along its length, and depths sounded over it."""

    kind: Literal["widths"]
    length: Length
    widths: Annotated[tuple[measure("m", at_most=200), ...], Field(min_length=3)]
    depths: Annotated[tuple[Sounding, ...], Field(min_length=1)]

    @model_validator(mode="after")
    def _odd(self):
        if len(self.widths) % 2 == 0:
            raise QuantityError(f"Simpson's rule needs an odd number of widths; {len(self.widths)} were given.")
        if max(w.m_as("m") for w in self.widths[1:-1]) < 0.1:
            raise QuantityError("at least one of the widths between the ends must be 0.1 m or more.")
        return _deep_somewhere(self)


def _deep_somewhere(shape):
    if max(d.m_as("m") for d in shape.depths) < 0.02:
        raise QuantityError("at least one of the depths must be 0.02 m or more.")
    return shape


class SaltTracer(Section):
    """A volume from a weighed dose of salt and the rise in conductivity; the surface and greatest depth by tape."""

    kind: Literal["salt"]
    salt: measure("g", above=0, at_least=None, at_most=1e6)
    conductivity_before: measure("uS/cm", at_most=1e5)
    conductivity_after: one_or_more(measure("uS/cm", at_most=1e5))
    surface_area: Area
    depth: Depth

    @model_validator(mode="after")
    def _rises(self):
        if min(c.m_as("uS/cm") for c in self.conductivity_after) <= self.conductivity_before.m_as("uS/cm"):
            raise QuantityError(
                "conductivity_after must be above conductivity_before: salt raises it. Were they swapped, or is the salt not mixed in?"
            )
        return _fits_its_depth(self)

    def volume(self, after=None):
        """Return the volume that the dilution of the salt tells (Quantity), from the mean reading or from one that is given."""
        return salt_tracer_volume(self.salt, self.conductivity_before, _mean(self.conductivity_after) if after is None else after)


class TimedFill(Section):
    """A volume from the time to fill at a flow measured with a bucket; the surface and greatest depth by tape."""

    kind: Literal["fill"]
    bucket: measure("L", above=0, at_least=None, at_most=1e5)
    bucket_time: one_or_more(measure("s", at_least=0.5, at_most=86_400))
    fill_time: measure("h", above=0, at_least=None, at_most=8760)
    surface_area: Area
    depth: Depth

    @model_validator(mode="after")
    def _plausible(self):
        return _fits_its_depth(self)

    def volume(self, bucket_time=None):
        """Return the volume that flowed in (Quantity), by the mean time of the bucket or by one that is given."""
        return timed_fill_volume(self.bucket, _mean(self.bucket_time) if bucket_time is None else bucket_time, self.fill_time)


def _mean(readings: tuple):
    return sum(readings[1:], readings[0]) / len(readings)


def _fits_its_depth(shape):
    """Refuse a volume that would stand far deeper on its surface than the deepest place: a slip of the pen, not a pond."""
    depth, deepest = shape.volume().m_as("m ** 3") / shape.surface_area.m_as("m ** 2"), shape.depth.m_as("m")
    if depth > min(1.5 * deepest, 10):
        raise QuantityError(
            f"the volume comes to {show(shape.volume(), 'L')}, which would stand {round_text(depth)} m deep on that surface, but the "
            f"deepest place is {round_text(deepest)} m: check units and readings."
        )
    return shape


Shape = Annotated[
    Rectangle | Circle | Ellipse | Stadium | Sloped | Shelves | Soundings | Widths | SaltTracer | TimedFill, Field(discriminator="kind")
]
