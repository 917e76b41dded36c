"""The inside of a filter vessel in plain numbers (m, m², m³): where each layer lies, what is open in it, what water stands up to a level.

Shared by the stages vessel and drains and by their pictures; heights are above the lowest point inside.
"""

from __future__ import annotations

import collections
import math
from dataclasses import dataclass

from ..science.vessel import filled_volume
from ..tables import load
from ..units import in_unit, unit
from .vessel import Layer, Vessel

_M = unit("m")


@dataclass(frozen=True)
class Stratum:
    """One layer where it lies; `row` is that of the media table for a mat or media, with its surface, void and masses as plain numbers."""

    layer: Layer
    row: dict | None
    bottom: float
    top: float
    volume: float
    void: float = 1.0
    surface: float = 0.0
    bulk: float = 0.0
    soaks: float = 0.0

    @property
    def kind(self) -> str:
        return self.layer.kind

    @property
    def name(self) -> str:
        return self.kind if self.row is None else self.row["name"].split(",")[0]

    @property
    def thickness(self) -> float:
        return self.top - self.bottom


@dataclass(frozen=True)
class Built:
    """A vessel as it stands: its size, its layers from the top down, where its media lie.

    Water stays up to `rest` when the pump stops; `leaves` is the lowest height from which a way out takes it.
    """

    area: float
    cone: float
    rim: float
    strata: tuple[Stratum, ...]
    foot: float | None
    top: float | None
    rest: float | None
    leaves: float | None

    @property
    def media(self) -> tuple[Stratum, ...]:
        return tuple(s for s in self.strata if s.kind == "media")

    @property
    def media_volume(self) -> float:
        return sum(s.volume for s in self.media)

    @property
    def drowned(self) -> float | None:
        """The share of the media's height that stands in water at rest, None where nothing tells."""
        if self.rest is None or self.foot is None:
            return None
        return min(max((self.rest - self.foot) / (self.top - self.foot), 0.0), 1.0)

    def room(self, level: float) -> float:
        """Return the room up to a level, layers and all."""
        return float(filled_volume.plain(level, self.area, self.cone))

    def water_below(self, level: float) -> float:
        """Return the water that stands in the vessel up to a level: between the media, and above and below them."""
        solid = sum((1 - s.void) * self.part(s, level) for s in self.strata if s.row is not None)
        return self.room(level) - solid

    def part(self, stratum: Stratum, level: float) -> float:
        """Return how much of a layer (m3) lies below a level."""
        if level >= stratum.top:
            return stratum.volume
        return self.room(level) - self.room(stratum.bottom) if level > stratum.bottom else 0.0


_kept: collections.deque = collections.deque(maxlen=8)  # vessels are frozen: what was worked out for one holds


def built(vessel: Vessel) -> Built:
    """Work out the inside of a vessel; the layers lie on its bottom. The last few are remembered."""
    for known, found in _kept:
        if known is vessel:
            return found
    found = _build(vessel)
    _kept.append((vessel, found))
    return found


def _build(vessel: Vessel) -> Built:
    if vessel.shape == "box":
        area = _metres(vessel.length) * _metres(vessel.width)
    else:
        area = math.pi / 4 * _metres(vessel.diameter) ** 2
    cone = 0.0 if vessel.cone_height is None else _metres(vessel.cone_height)
    bottom, strata = 0.0, []
    for layer in reversed(vessel.layers):
        top = bottom + _metres(layer.thickness)
        volume = float(filled_volume.plain(top, area, cone) - filled_volume.plain(bottom, area, cone))
        strata.append(Stratum(layer, None, bottom, top, volume) if layer.media is None else _filled(layer, bottom, top, volume))
        bottom = top
    media = [s for s in strata if s.kind == "media"]
    foot, top = (media[0].bottom, media[-1].top) if media else (None, None)
    return Built(area, cone, _metres(vessel.height), tuple(reversed(strata)), foot, top, _rest(vessel), _leaves(vessel))


def _filled(layer: Layer, bottom: float, top: float, volume: float) -> Stratum:
    row = load("media")[layer.media]
    void, surface, bulk = (float(row[key].m) for key in ("void_fraction", "ssa_typical", "bulk_density"))
    return Stratum(layer, row, bottom, top, volume, void, surface, bulk, float(row["soaks"].m) if row["soaks"] else 0.0)


def surface(vessel: Vessel) -> float:
    """Return the height of the pond's water above the vessel's inside bottom (m); minus infinity where nothing tells."""
    return -math.inf if vessel.above_pond is None else -_metres(vessel.above_pond)


def _rest(vessel: Vessel) -> float | None:
    """Return the level at which water stays when the pump has stopped, None where no way out is known.

    A siphon leaves any level between its mouth and its crest: the crest counts, or an outlet that lies lower. What leads to the pond from
    below the pond's water lets that water in up to its own level, or up to the rim.
    """
    pond, rim = surface(vessel), _metres(vessel.height)
    sills = [max(outlet.sill / 100, pond if outlet.leads_to == "pond" else -math.inf) for outlet in vessel.outlets]
    sills += [] if vessel.siphon is None else [max(_metres(vessel.siphon.crest), pond)]
    return min([*sills, rim]) if sills else None


def _leaves(vessel: Vessel) -> float | None:
    """Return the lowest height at which water enters a way out: the mouth of a siphon or of an elbow turned down, else the sill."""
    taken = [_metres(outlet.mouth) if outlet.kind == "elbow_down" else outlet.sill / 100 for outlet in vessel.outlets]
    return min([*taken, *([] if vessel.siphon is None else [_metres(vessel.siphon.mouth)])], default=None)


def _metres(length) -> float:
    return float(in_unit(length, _M))
