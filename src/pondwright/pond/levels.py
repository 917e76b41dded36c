"""The levels in a vessel: what its ways out carry at each height of the water, and where the water stands at a flow.

Plain numbers inside (cm, mm, m, L/min), so that a level is found in a fraction of a millisecond; heights are above the inside bottom.
"""
from __future__ import annotations

import functools
import math
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace

from ..science import outlets as o
from ..science import siphon as s
from ..science.pipes import GRAVITY
from ..science.water_properties import kinematic_viscosity
from ..tables import coefficients, load
from ..units import unit
from .pipework import COLD, MILD, WARM
from .strata import surface
from .vessel import Outlet, Siphon, Vessel

_M, _CM, _MM, _ONE = unit("m"), unit("cm"), unit("mm"), unit("-")
HIGHEST = 0.1  # Darcy factor at Re = 4000 in the roughest pipe that a file can hold (0.3 mm in 5 mm) is 0.09
CEILING = 1000.0  # cm above the rim up to which a level is sought as if the wall went on
# what an outlet's pipe loses besides its friction: rows of the fittings table by kind of outlet
LOSSES = {"stub": ("entrance_projecting", "exit"), "tee": ("tee_branch", "exit"), "elbow_up": ("entrance", "elbow_90", "exit"),
          "elbow_down": ("entrance", "elbow_90", "exit"), "floor": ("entrance", "exit"), "hole": ("exit",),
          "bell": ("entrance_projecting", "return_bend", "exit"), "loop": ("entrance_projecting", "return_bend", "exit")}
SIPHON = "the siphon"
GOOD_FLOW = {"low": "high", "typical": "typical", "high": "low"}  # a drain that carries little has high losses
WATER = {"low": COLD, "typical": MILD, "high": WARM}


@dataclass(frozen=True)
class Way:
    """One way out. `sill` is the lowest level at which water leaves, `end` the height of the pipe's free end (None: no pipe).

    A siphon has a `trip`, the level from which on it runs full; below it the water only dribbles over its crest. `tail` is the height of
    the pond's water where that way ends under it: from there on down nothing falls, and where the vessel's water stands lower the pond
    runs back.
    """

    name: str
    upright: bool
    bore: float
    sill: float
    end: float | None
    length: float
    cd: float
    cd_lip: float
    k: float
    roughness: float
    viscosity: float
    share: float = 1.0
    screened: bool = False
    trip: float = math.inf
    tail: float = -math.inf

    def flow(self, level: float) -> float:
        """Return what leaves at a level: the least of what mouth and pipe let through; less than nothing where the pond runs back."""
        over = level - self.sill
        if level <= self.tail:
            return -self._back(level)
        if over <= 0:
            return 0.0
        if level >= self.trip:
            return self._pipe(level, over)
        enters = self._enters(over)
        return enters if self.end is None or self._pipe_is_ample(enters, level, over) else min(enters, self._pipe(level, over))

    def full(self, level: float) -> float:
        """Return what it carries at a level when its pipe runs full."""
        return self._pipe(level, 0.0)

    def governs(self, level: float) -> str:
        """Name what holds the water back at a level."""
        over = level - self.sill
        if self.flow(level) < 0:
            return "way in from the pond"
        if over <= 0:
            return "dry"
        if level >= self.trip:
            return "siphon"
        if self.end is not None and self._pipe(level, over) < self._enters(over):
            return "full pipe"
        drowns = s.drowning_head.plain(self.bore, self.cd_lip, self.cd) if self.upright else self.bore / 10
        return "weir" if over < drowns else "orifice"

    def _enters(self, over: float) -> float:
        if self.upright:
            return self.share * min(o.lip_flow.plain(self.bore, over, self.cd_lip), o.orifice_flow.plain(self.bore, over, self.cd))
        if self.end is None and self.tail > self.sill:
            return self.share * o.drowned_hole_flow.plain(self.bore, over, self.tail - self.sill, self.cd)
        return self.share * o.hole_flow.plain(self.bore, over, self.cd)

    def _back(self, level: float) -> float:
        """Return what runs in from the pond where its water stands higher than the vessel's and than this way's mouth."""
        if self.tail <= self.sill:
            return 0.0
        if self.end is None:
            return self.share * o.drowned_hole_flow.plain(self.bore, self.tail - self.sill, max(level - self.sill, 0.0), self.cd)
        mouth = self.sill if self.upright or self.trip < math.inf else self.sill + self.bore / 20
        head = max(self.tail - max(level, mouth), 0.0)
        return o.full_pipe_flow.plain(head, self.bore, self.length, self.k, self.roughness, self.viscosity)

    def _drive(self, level: float, over: float) -> float:
        """Return the head (cm) that drives the pipe running full, from the middle of the wet part where its mouth is half-drowned."""
        half = self.bore / 20
        height = level if self.upright or self.trip < math.inf else self.sill + half + max(over / 2, over - half)
        return max(min(height - self.end, level - self.tail), 0.0)

    def _pipe(self, level: float, over: float) -> float:
        return o.full_pipe_flow.plain(self._drive(level, over), self.bore, self.length, self.k, self.roughness, self.viscosity)

    def _pipe_is_ample(self, enters: float, level: float, over: float) -> bool:
        """Tell without working out its friction whether the pipe carries what enters: no pipe in turbulent flow has more than HIGHEST."""
        bore = self.bore / 1000
        speed = enters / 47_123.9 / bore**2  # 60 000 pi/4
        return speed * self.bore * 1000 / self.viscosity > 4000 and (
            (self.k + HIGHEST * self.length / bore) * speed**2 < 2 * GRAVITY * self._drive(level, over) / 100)


VISCOSITY = {end: float(kinematic_viscosity.plain(water.m_as("degC"))) for end, water in WATER.items()}


@functools.cache
def carrying(kind: str, end: str) -> tuple[float, float, float, float, float]:
    """Return the coefficients of one kind of outlet (or siphon): cd, cd of a lip, K of its pipe, roughness (mm), viscosity (mm2/s)."""
    c, fittings = coefficients(), load("fittings")
    cd = c["drain_pipe" if kind in ("stub", "tee", "elbow_down") else "drain_hole"].at(end).magnitude
    k = sum(fittings[key][GOOD_FLOW[end]].magnitude for key in LOSSES[kind])
    rough = c["pipe_roughness"].at(GOOD_FLOW[end]).m_as("mm")
    return float(cd), float(c["drain_lip"].at(end).magnitude), float(k), float(rough), VISCOSITY[end]


def way(outlet: Outlet, end: str = "typical", pond: float = -math.inf) -> Way:
    """Turn an outlet of the pond file into plain numbers; `end` is "low" where it carries little, `pond` the height of the pond's water.

    No pipe is under suction: what enters is never more than the open mouth lets in, and the pipe's whole fall drives its friction only.
    An elbow turned down and a tee take in water at the height of their pipe, where air gets in; a bare hole has no pipe. What leads to the
    pond pushes against the pond's water where it ends under it.
    """
    bore, height = float(outlet.inside_diameter.m_as(_MM)), float(outlet.height.m_as(_CM))
    upright, axis = outlet.kind in ("elbow_up", "floor"), 0.0 if outlet.kind == "floor" else height
    length = drop = 0.0
    if outlet.length is not None:
        length = float(outlet.length.m_as(_M))
    if outlet.drop is not None:
        drop = float(outlet.drop.m_as(_CM))
    share = 1.0 if outlet.screen_open is None else float(outlet.screen_open.m_as(_ONE))
    sill = outlet.sill if upright else axis - bore / 20
    turned = float(outlet.mouth.m_as(_CM)) if outlet.kind == "elbow_down" else sill if upright else axis
    length += abs(turned - axis) / 100  # the pipe inside, up or down
    tail = pond if outlet.leads_to == "pond" else -math.inf
    falls_to = axis - drop if outlet.kind != "hole" and (outlet.length is not None or tail > sill) else None
    tail = tail if tail > (sill if falls_to is None else falls_to) else -math.inf
    screened = outlet.screen_open is not None
    return Way(outlet.name, upright, bore, sill, falls_to, length, *carrying(outlet.kind, end), share, screened, tail=tail)


def siphon_way(siphon: Siphon, end: str = "typical", pond: float = -math.inf) -> Way:
    """Return a siphon as a way out: below its trip water dribbles over its crest, from there on it runs full."""
    crest, drop, length = float(siphon.crest.m_as(_CM)), float(siphon.drop.m_as(_CM)), float(siphon.length.m_as(_M))
    bore, tail = float(siphon.inside_diameter.m_as(_MM)), pond if pond > crest - drop else -math.inf
    carries = carrying(siphon.kind, end)
    return Way(SIPHON, siphon.kind == "bell", bore, crest, crest - drop, length, *carries, trip=trip_level(siphon, end), tail=tail)


def trip_level(siphon: Siphon, end: str = "typical") -> float:
    """Return the level from which on a siphon runs full: typically that at which its mouth drowns.

    At the "low" end it takes more flow than that, as far as anyone knows: a drowned mouth's flow grows with the root of the height, a
    lip's with its power 1.5.
    """
    bore, share = float(siphon.inside_diameter.m_as(_MM)), float(coefficients()["siphon_start"].at(GOOD_FLOW[end]).m)
    cd, cd_lip = carrying(siphon.kind, end)[:2]
    drowns = bore / 10 if siphon.kind == "loop" else s.drowning_head.plain(bore, cd_lip, cd)
    return float(siphon.crest.m_as(_CM)) + drowns * (share**2 if share > 1 else share ** (2 / 3))


# ------------------------------------------------------------------------------------------------------------------- levels


def outlets_of(vessel: Vessel, end: str = "typical") -> tuple[Way, ...]:
    """Return every outlet of a vessel, against the pond's water where the file tells how high that stands."""
    pond = 100 * surface(vessel)
    return tuple(way(outlet, end, pond) for outlet in vessel.outlets)


def ways_of(vessel: Vessel, end: str = "typical") -> tuple[Way, ...]:
    """Return every outlet of a vessel, and its siphon."""
    siphon = () if vessel.siphon is None else (siphon_way(vessel.siphon, end, 100 * surface(vessel)),)
    return (*outlets_of(vessel, end), *siphon)


def carried(ways: Iterable[Way], level: float) -> float:
    """Return what all ways carry together at a level."""
    return sum([w.flow(level) for w in ways])


def alike(ways: Iterable[Way]) -> list[tuple[Way, int]]:
    """Tell how many ways there are of each kind, so that drains of one kind are worked out once."""
    return list(Counter(replace(w, name="") for w in ways).items())


def curve(ways: Iterable[Way], heights: list[float]) -> list[float]:
    """Return what all ways carry together at each of many heights."""
    kinds = alike(ways)
    return [sum([count * w.flow(height) for w, count in kinds]) for height in heights]


def level_at(flow: float, ways: tuple[Way, ...], rim: float) -> float:
    """Return the level at which the ways carry a flow, as if the wall went on above the rim; infinite where none ever does.

    The levels between which it must lie are widened step by step and then narrowed (bracketing root finder of the library fluids).
    """
    from fluids.numerics import brenth

    if not ways or carried(ways, rim + CEILING) < flow:
        return math.inf
    kinds = alike(ways)

    def spare(level: float) -> float:
        return sum([count * w.flow(level) for w, count in kinds]) - flow

    low = min(w.sill for w in ways)
    high = low + 2.0
    while spare(high) < 0:
        low, high = high, high + 2 * (high - low)
    return brenth(spare, low, high, xtol=1e-7)


def without(ways: tuple[Way, ...], shut: str) -> tuple[Way, ...]:
    """Return the ways that are left when the one of that name is shut."""
    return tuple(w for w in ways if w.name != shut)


def half_blocked(ways: tuple[Way, ...]) -> tuple[Way, ...]:
    """Return the ways with half of each screen clogged."""
    return tuple(replace(w, share=w.share / 2) if w.screened else w for w in ways)
