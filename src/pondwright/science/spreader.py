"""The spreader over a filter: a drilled pipe or plate, the head it takes, how evenly its holes share the water."""
from __future__ import annotations

import numpy as np

from ..units import Arg, formula
from .pipes import GRAVITY

_HOLE = Arg("mm", possible=(0.1, 200))
_BORE = Arg("mm", possible=(1, 1000))
_HOLES = Arg("-", possible=(1, 1e5))
_CD = Arg("-", possible=(0.4, 1))
_RATIO = Arg("-", possible=(1e-9, 1.55))


@formula(flow=Arg("L/min", possible=(0, 1e5)), hole=_HOLE, cd=_CD, returns=Arg("m", possible=(0, None)))
def hole_head(flow, hole, cd=0.61):
    """Height of water over a drilled hole that pushes a flow through it.

    Parameters
    ----------
    flow
        Through one hole.
    hole
        Its diameter.
    cd
        Discharge coefficient: about 0.61 for a clean hole with a sharp edge, less where burrs hang in it.

    Notes
    -----
    q = cd A sqrt(2 g h), solved for h: half the flow needs a quarter of the head.

    References
    ----------
    [Orifice]_; [NJAC79A]_ table of hole discharge

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(hole_head(Q(1, "L/min"), Q(6, "mm")), "cm")
    '4.75 cm'
    """
    speed = flow / 60_000 / (cd * np.pi / 4 * (hole / 1000) ** 2)
    return speed**2 / (2 * GRAVITY)


@formula(holes=_HOLES, hole=_HOLE, inside_diameter=_BORE, cd=_CD, returns=Arg("-", possible=(0, None)))
def area_ratio(holes, hole, inside_diameter, cd=0.61):
    """Holes' working area over the pipe's: the one thing that rules how evenly a drilled pipe spreads.

    Parameters
    ----------
    holes
        How many.
    hole
        Diameter of each.
    inside_diameter
        Of the pipe.
    cd
        Discharge coefficient of a hole.

    Notes
    -----
    r = cd n (d/D)²

    References
    ----------
    [DeadEndManifold]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(area_ratio(20, Q(6, "mm"), Q(28, "mm")), "-")
    '0.56'
    """
    return cd * holes * (hole / inside_diameter) ** 2


@formula(ratio=_RATIO, returns=Arg("-", possible=(0, 1)))
def first_to_last(ratio):
    """Flow of the first hole of a drilled pipe over that of the last, at the closed end.

    Parameters
    ----------
    ratio
        The area ratio r of holes and pipe.

    Notes
    -----
    q_first/q_last = cos r, r in radians. The water slows down along the pipe and its pressure rises, so the last hole gives the most. No
    friction is counted: in a long, thin pipe it works the other way.

    References
    ----------
    [DeadEndManifold]_

    Examples
    --------
    >>> round(float(first_to_last(0.45).m), 2)
    0.9
    """
    return np.cos(ratio)


@formula(flow=Arg("L/min", possible=(0, 1e5)), inside_diameter=_BORE, ratio=_RATIO, returns=Arg("m", possible=(0, None)))
def manifold_head(flow, inside_diameter, ratio):
    """Head that a drilled pipe takes: what stands behind its last hole, and what its inlet must be given.

    Parameters
    ----------
    flow
        Into the pipe.
    inside_diameter
        Of the pipe.
    ratio
        The area ratio r of holes and pipe.

    Notes
    -----
    E = V²/(2 g sin² r), V the speed of the water as it enters. With few small holes sin r is r, and E is the head of one hole.

    References
    ----------
    [DeadEndManifold]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(manifold_head(Q(20, "L/min"), Q(28, "mm"), 0.56), "cm")
    '5.3 cm'
    """
    speed = flow / 60_000 / (np.pi / 4 * (inside_diameter / 1000) ** 2)
    return speed**2 / (2 * GRAVITY * np.sin(ratio) ** 2)


@formula(ratio=_RATIO, wider=Arg("-", possible=(0.01, 100)), returns=Arg("-", possible=(0, None)))
def manifold_loss(ratio, wider=1.0):
    """Loss coefficient of a drilled pipe, to be counted with the speed of the water in the pipe that feeds it.

    Parameters
    ----------
    ratio
        The area ratio r of holes and drilled pipe.
    wider
        Bore of the pipe that feeds it over that of the drilled pipe.

    Notes
    -----
    K = b^4/sin² r, b that ratio of bores: the head of a drilled pipe, E = V²/(2 g sin² r), over v²/(2 g) of the feeding pipe, V = v b². The
    speed that an open end would lose (K = 1) is part of it.

    References
    ----------
    [DeadEndManifold]_

    Examples
    --------
    >>> from pondwright import show
    >>> show(manifold_loss(0.56), "-")
    '3.54'
    """
    return wider**4 / np.sin(ratio) ** 2


@formula(spread=Arg("-", possible=(0.001, 0.999)), hole=_HOLE, inside_diameter=_BORE, cd=_CD, returns=Arg("-", possible=(0, None)))
def most_holes(spread, hole, inside_diameter, cd=0.61):
    """Most holes that a pipe can feed while its first hole gives no more than a share less than its last.

    Parameters
    ----------
    spread
        How much less, as a share of the last: 0.10 is common practice.
    hole
        Diameter of each.
    inside_diameter
        Of the pipe.
    cd
        Discharge coefficient of a hole.

    Notes
    -----
    n = arccos(1 - spread)/(cd (d/D)²), rounded down. For 10 % the holes' area comes to 0.74 of the pipe's; the old rule of "at most half"
    gives about 5 %.

    References
    ----------
    [DeadEndManifold]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(most_holes(0.1, Q(6, "mm"), Q(28, "mm")), "-")
    '16'
    """
    return np.floor(np.arccos(1 - spread) / (cd * (hole / inside_diameter) ** 2) + 1e-9)
