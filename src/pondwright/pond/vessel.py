"""The filter vessel as it will be built: its inside, its layers, its spreader, its ways out."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from ..units import Q, QuantityError, in_unit, round_text, show, unit
from .fields import Depth, Name, Section, Share, measure, row_of, whole
from .fits import refuse_long_falls, refuse_misfits, refuse_short_loop

_CM = unit("cm")
Bore = measure("mm", at_least=5, at_most=500)
Height = measure("cm", at_most=500)
Side = measure("cm", at_least=5, at_most=1000)


class Layer(Section):
    """One layer of the vessel; `media` names a row of the media table for a mat or a media layer.

    A "gap" is free space (where the spreader hangs, or free water), a "grid" carries what lies above it, a "plenum" is the free space
    below the grid.
    """

    kind: Literal["gap", "mat", "media", "grid", "plenum"]
    media: row_of("media", "media") | None = None
    thickness: measure("cm", above=0, at_least=None, at_most=500)

    @model_validator(mode="after")
    def _known(self):
        if (self.kind in ("mat", "media")) != (self.media is not None):
            raise QuantityError('a "mat" or "media" layer needs media = "..." (a row of the media table); the other kinds have none.')
        return self


class Spreader(Section):
    """What spreads the feed over the top: a drilled pipe with a closed end, or a drilled plate with water standing on it."""

    kind: Literal["pipe", "plate"]
    holes: whole(1, 10_000)
    hole: measure("mm", at_least=0.5, at_most=100)
    inside_diameter: Bore | None = None
    length: measure("cm", at_least=2, at_most=1000) | None = None

    @model_validator(mode="after")
    def _whole(self):
        if self.kind == "pipe" and (self.inside_diameter is None or self.length is None):
            raise QuantityError("a drilled pipe needs inside_diameter and length, for how evenly it spreads.")
        if self.kind == "pipe" and self.hole.m_as("mm") >= self.inside_diameter.m_as("mm"):
            raise QuantityError(f"a hole of {show(self.hole, 'mm')} does not fit into a pipe of {show(self.inside_diameter, 'mm')}.")
        return self


class Outlet(Section):
    """One way out through wall or floor; heights are above the inside bottom.

    "hole": a bare hole in the wall. "stub": a straight pipe through the wall. "tee": a tee that stands upright inside, open above and
    below. "elbow_up", "elbow_down": an elbow turned up or down inside, its open end at `mouth`. "floor": a pipe through the floor, flush
    or standing up to `height`. For the others `height` is that of the pipe's axis. `length` and `drop` are those of the pipe outside,
    from the wall to its free end. `screen_open` is the open share of a screen before it.
    """

    name: Name
    kind: Literal["hole", "stub", "tee", "elbow_up", "elbow_down", "floor"]
    inside_diameter: Bore
    height: Height
    mouth: Height | None = None
    length: measure("m", at_most=50) | None = None
    drop: measure("m", at_most=20) | None = None
    screen_open: Share | None = None
    leads_to: Literal["pond", "waste"] = "pond"

    @model_validator(mode="after")
    def _whole(self):
        if (self.kind in ("elbow_up", "elbow_down")) != (self.mouth is not None):
            raise QuantityError("an elbow needs mouth, the height of its open end; the other kinds of outlet have none.")
        if self.kind == "elbow_up" and self.mouth.m_as("cm") < self.height.m_as("cm"):
            raise QuantityError("the mouth of an elbow turned up stands above its pipe: mouth is at least height.")
        if self.kind == "elbow_down" and self.mouth.m_as("cm") > self.height.m_as("cm"):
            raise QuantityError("the mouth of an elbow turned down hangs below its pipe: mouth is at most height.")
        if self.screen_open is not None and self.screen_open.m_as("%") <= 0:
            raise QuantityError("screen_open is the open share of the screen: more than 0 %.")
        refuse_long_falls(self.length, self.drop)
        return self

    @property
    def sill(self) -> float:
        """The level in cm below which no water leaves through this outlet: the lowest point of its opening.

        An elbow that is turned down holds water down to its pipe's bottom, not to its mouth: there air gets in.
        """
        if self.kind in ("elbow_up", "floor"):
            return float(in_unit(self.mouth if self.kind == "elbow_up" else self.height, _CM))
        return max(float(in_unit(self.height, _CM) - in_unit(self.inside_diameter, _CM) / 2), 0.0)


class Siphon(Section):
    """A siphon outlet (bell or loop): it starts when its standpipe runs full, and breaks when air reaches its mouth.

    Heights are above the inside bottom: `crest` where the water must rise over, `mouth` where air gets in again. `length` and `drop` are
    those of the whole pipe and from crest to free end.
    """

    kind: Literal["bell", "loop"]
    inside_diameter: Bore
    crest: Height
    mouth: Height
    length: measure("m", at_least=0.05, at_most=50)
    drop: measure("m", at_least=0.01, at_most=20)

    @model_validator(mode="after")
    def _stands(self):
        if self.mouth.m_as("cm") >= self.crest.m_as("cm"):
            raise QuantityError("a siphon's mouth lies below its crest: the level falls from the crest to the mouth in each run.")
        refuse_long_falls(self.length, self.drop)
        refuse_short_loop(self)
        return self


class Vessel(Section):
    """The vessel, inside dimensions. `above_pond` is the height of its inside bottom above the pond's water level (minus: below it).

    `layers` are listed from the top down. `flow` says which way the water passes them.
    """

    shape: Literal["box", "barrel", "cone"]
    length: Side | None = None
    width: Side | None = None
    diameter: Side | None = None
    height: Depth
    cone_height: measure("cm", above=0, at_least=None, at_most=300) | None = None
    empty_mass: measure("kg", at_most=2000) | None = None
    above_pond: measure("m", at_least=-10, at_most=20) | None = None
    flow: Literal["down", "up"] = "down"
    layers: Annotated[tuple[Layer, ...], Field(min_length=1)]
    spreader: Spreader | None = None
    outlets: tuple[Outlet, ...] = ()
    siphon: Siphon | None = None

    @model_validator(mode="after")
    def _shaped(self):
        box = self.shape == "box"
        if box != (self.length is not None and self.width is not None) or box == (self.diameter is not None):
            raise QuantityError("a box needs length and width; a barrel or a cone needs diameter; all inside.")
        if (self.shape == "cone") != (self.cone_height is not None):
            raise QuantityError('cone_height belongs to shape = "cone", and only there.')
        if self.cone_height is not None and self.cone_height >= self.height:
            raise QuantityError("cone_height is part of height and must be less than it.")
        return self

    @model_validator(mode="after")
    def _told_apart(self):
        names = ["the siphon", *(outlet.name for outlet in self.outlets)]
        if twice := next((name for n, name in enumerate(names) if name in names[:n]), None):
            raise QuantityError(f"two ways out are called '{twice}': give each outlet a name of its own.")
        return self

    @model_validator(mode="after")
    def _fits(self):
        rim, stack = self.height.m_as("cm"), sum(layer.thickness.m_as("cm") for layer in self.layers)
        edge = f"the rim at {show(self.height, 'cm')}"
        if stack > rim + 0.05:
            raise QuantityError(f"the layers are {round_text(stack)} cm thick together, taller than the vessel: {edge}.")
        for outlet in self.outlets:
            top = outlet.height if outlet.mouth is None else max(outlet.height, outlet.mouth)
            if top.m_as("cm") >= rim:
                raise QuantityError(f"outlet '{outlet.name}' stands at {show(top, 'cm')}, not below {edge}: the vessel would run over.")
            reaches = outlet.height.m_as("cm") + outlet.inside_diameter.m_as("cm") / 2
            if outlet.kind != "floor" and reaches > rim:
                raise QuantityError(f"outlet '{outlet.name}' reaches up to {show(Q(reaches, 'cm'), 'cm')}, above {edge}: its hole would "
                                    "cut through it.")
        if self.siphon is not None and self.siphon.crest.m_as("cm") >= rim:
            raise QuantityError(f"the siphon's crest at {show(self.siphon.crest, 'cm')} is not below {edge}: the vessel would run over.")
        refuse_misfits(self)
        return self
