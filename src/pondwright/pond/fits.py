"""Whether the parts of a filter vessel fit into it: what cannot be built is refused, with both numbers."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from ..units import Q, Quantity, QuantityError, in_unit, show, unit

if TYPE_CHECKING:
    from .vessel import Outlet, Siphon, Spreader, Vessel

PACKED = math.pi / (2 * math.sqrt(3))  # of a plate, at most, is holes: round ones that touch each other leave the rest between them
ROUNDED = 1.001  # two lengths as people measure them
_CM, _M = unit("cm"), unit("m")


def refuse_long_falls(length: Quantity | None, drop: Quantity | None) -> None:
    """Refuse a pipe that falls further than it is long."""
    if drop is None:
        return
    if length is None:
        raise QuantityError("drop, the fall of the pipe outside, needs its length as well.")
    if in_unit(drop, _M) > in_unit(length, _M) * ROUNDED:
        raise QuantityError(f"a pipe of {show(length, 'm')} cannot fall {show(drop, 'm')}: length is that of the whole pipe.")


def refuse_short_loop(siphon: Siphon) -> None:
    """Refuse a loop siphon whose pipe is shorter than its way up inside and down outside."""
    up, down, length = (in_unit(q, _M) for q in (siphon.crest - siphon.mouth, siphon.drop, siphon.length))
    if siphon.kind == "loop" and up + down > length * ROUNDED:
        raise QuantityError(f"a loop that rises {show(Q(100 * up, 'cm'), 'cm')} inside and falls {show(siphon.drop, 'm')} cannot be made "
                            f"of {show(siphon.length, 'm')} of pipe: length is that of the whole pipe.")


def refuse_misfits(vessel: Vessel) -> None:
    """Refuse ways out that are as wide as the vessel, and a spreader that does not go into it."""
    for outlet in vessel.outlets:
        _goes_in(f"outlet '{outlet.name}'", outlet.inside_diameter, _across_at(vessel, outlet))
    if vessel.siphon is not None:
        _goes_in("the siphon's pipe", vessel.siphon.inside_diameter, _narrow(vessel))
    if vessel.spreader is not None:
        _spreader_fits(vessel, vessel.spreader)


def _goes_in(name: str, bore: Quantity, across: float) -> None:
    if in_unit(bore, _CM) >= across:
        raise QuantityError(f"{name} is {show(bore, 'mm')} wide, and the vessel only {show(Q(10 * across, 'mm'), 'mm')} there.")


def _narrow(vessel: Vessel) -> float:
    """Return the vessel's width in cm, of a box the shorter side."""
    return min(in_unit(q, _CM) for q in (vessel.length, vessel.width, vessel.diameter) if q is not None)


def _across_at(vessel: Vessel, outlet: Outlet) -> float:
    """Return how wide the vessel is (cm) where an outlet goes through: its floor, its longer wall, or its cone at that height."""
    if outlet.kind == "floor":
        return _narrow(vessel)
    if vessel.shape == "box":
        return max(in_unit(vessel.length, _CM), in_unit(vessel.width, _CM))
    height, across = in_unit(outlet.height, _CM), in_unit(vessel.diameter, _CM)
    return across if vessel.cone_height is None else across * min(height / in_unit(vessel.cone_height, _CM), 1.0)


def _spreader_fits(vessel: Vessel, spreader: Spreader) -> None:
    box = vessel.shape == "box"
    if spreader.kind == "pipe":
        room = math.hypot(*(in_unit(q, _CM) for q in (vessel.length, vessel.width))) if box else in_unit(vessel.diameter, _CM)
        if in_unit(spreader.length, _CM) > room * ROUNDED:
            raise QuantityError(f"the drilled pipe of the spreader is {show(spreader.length, 'cm')} long, and inside the vessel there are "
                                f"only {show(Q(room, 'cm'), 'cm')} from wall to wall{', corner to corner' if box else ''}.")
        _goes_in("the drilled pipe of the spreader", spreader.inside_diameter, _narrow(vessel))
        return
    area = in_unit(vessel.length, _CM) * in_unit(vessel.width, _CM) if box else math.pi / 4 * in_unit(vessel.diameter, _CM) ** 2
    holes = spreader.holes * math.pi / 4 * in_unit(spreader.hole, _CM) ** 2
    if holes > PACKED * area:
        raise QuantityError(f"{spreader.holes} holes of {show(spreader.hole, 'mm')} have {show(Q(holes, 'cm2'), 'cm2')} together; they do "
                            f"not fit into a plate of {show(Q(area, 'cm2'), 'cm2')}, as wide as the vessel.")
