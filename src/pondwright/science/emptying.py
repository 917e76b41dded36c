"""Tanks and ponds that empty: how long it takes, how much is left, and what runs back when the pump stops."""
from __future__ import annotations

import math

import numpy as np

from ..units import Arg, QuantityError, formula
from .pipes import GRAVITY

_LEVEL = Arg("cm", possible=(0, 10_000))
_DEPTH = Arg("m", possible=(0, 20))
_AREA = Arg("m2", possible=(0, 1e6))
_SOME_AREA = Arg("m2", possible=(1e-6, 1e6))
_FLOW = Arg("L/min", possible=(0, 1e9))
_FLOWING = Arg("L/min", possible=(1e-6, 1e9))
_BORE = Arg("mm", possible=(1, 2000))
_VOLUME = Arg("L", possible=(0, 1e10))
_SOME_VOLUME = Arg("L", possible=(1e-3, 1e10))


@formula(area=_AREA, inside_diameter=_BORE, start=_LEVEL, end=_LEVEL, cd=Arg("-", possible=(0.01, 1)),
         returns=Arg("min", possible=(0, 1e12)))
def straight_tank_time(area, inside_diameter, start, end, cd=0.61):
    """Time in which a tank with upright walls falls from one level to another through a hole, with nothing flowing in.

    Parameters
    ----------
    area
        Of the water in the tank, the same at every height.
    inside_diameter
        Of the hole.
    start
        Height of the water above the hole's centre at first.
    end
        Height at last; not above `start`.
    cd
        Discharge coefficient of the hole.

    Notes
    -----
    t = 2 A (sqrt(h1) - sqrt(h2)) / (cd a sqrt(2 g)), after Torricelli: the jet weakens as the water falls.

    References
    ----------
    [CengelFluid]_ example 5-2

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(straight_tank_time(Q(0.25, "m2"), Q(26, "mm"), Q(40, "cm"), Q(10, "cm")), "min")
    '1.84 min'
    """
    if end > start:
        raise QuantityError(f"the water falls from start to end: {end:g} cm is above {start:g} cm.")
    hole = math.pi * (inside_diameter / 1000) ** 2 / 4
    return 2 * area * (math.sqrt(start / 100) - math.sqrt(end / 100)) / (cd * hole * math.sqrt(2 * GRAVITY)) / 60


@formula(water=_VOLUME, net_flow=_FLOWING, returns=Arg("min", possible=(0, 1e12)))
def passing_time(water, net_flow):
    """Time in which the water passes a row of levels, up or down, where room and flow change with the height.

    Parameters
    ----------
    water
        What the vessel holds below each level, in order (what the media leave free); shape (n,).
    net_flow
        What flows out less what flows in (or the other way round, when it fills) at each level; shape (n,).

    Notes
    -----
    t = ∑ ΔV / q, q = (q2 - q1) / ln(q2/q1) being the logarithmic mean of the flows at both ends of a slice: exact where the flow changes
    evenly from end to end, however near to nothing it comes. What flows in less what flows out is stored, nothing is lost.

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(passing_time(Q([20, 40, 60], "L"), Q([16, 16, 16], "L/min")), "min")
    '2.5 min'
    """
    flow = np.asarray(net_flow)
    change = np.log(flow[1:] / flow[:-1])
    change = np.where(np.abs(change) < 1e-9, 1e-9, change)
    return float(np.sum(np.abs(np.diff(water)) * change / (flow[:-1] * np.expm1(change))))


@formula(volume=_SOME_VOLUME, area=_SOME_AREA, max_depth=Arg("m", possible=(0.001, 20)), depth=_DEPTH, returns=_VOLUME)
def water_left(volume, area, max_depth, depth):
    """Water left in a pond when it has fallen to a depth above its deepest point.

    Parameters
    ----------
    volume
        Of the full pond; one number or an array.
    area
        Of its surface when full.
    max_depth
        Greatest depth when full.
    depth
        Of what is left, above the deepest point; not above `max_depth`.

    Notes
    -----
    V = V0 (h/H)^p with p = A H / V0: the one power that gives back both the volume and the surface of the full pond. Upright walls have
    p = 1, a bowl about 2, a cone 3. A flat shelf or a deep hole is not seen.

    References
    ----------
    [PowerBasin]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(water_left(Q(6000, "L"), Q(10, "m2"), Q(1.2, "m"), Q(0.3, "m")), "L")
    '375 L'
    """
    return volume * (min(depth, max_depth) / max_depth) ** np.maximum(1.0, area * max_depth * 1000 / volume)


@formula(volume=_SOME_VOLUME, area=_SOME_AREA, max_depth=Arg("m", possible=(0.001, 20)), share=Arg("%", possible=(0, 100)), returns=_DEPTH)
def depth_holding(volume, area, max_depth, share):
    """Depth above the deepest point below which a share of the pond's water lies: how high an intake must stand to leave it.

    Parameters
    ----------
    volume
        Of the full pond; one number or an array.
    area
        Of its surface when full.
    max_depth
        Greatest depth when full.
    share
        Of the water that is to stay.

    Notes
    -----
    h = H s^(1/p) with p = A H / V0: :func:`water_left` turned round.

    References
    ----------
    [PowerBasin]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(depth_holding(Q(6000, "L"), Q(10, "m2"), Q(1.2, "m"), Q(25, "%")), "m")
    '0.6 m'
    """
    return max_depth * (share / 100) ** (1 / np.maximum(1.0, area * max_depth * 1000 / volume))


@formula(volume=_VOLUME, flow=_FLOWING, returns=Arg("h", possible=(0, 1e12)))
def pumping_time(volume, flow):
    """Time in which a flow carries a volume away.

    Parameters
    ----------
    volume
        To be carried away.
    flow
        Volume that leaves in a time; more than nothing.

    Notes
    -----
    t = V / Q

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(pumping_time(Q(3000, "L"), Q(25, "L/min")), "h")
    '2 h'
    """
    return volume / flow / 60


@formula(area=_AREA, depth=_LEVEL, inside_diameter=_BORE, length=Arg("m", possible=(0, 10_000)), returns=_VOLUME)
def back_siphon_volume(area, depth, inside_diameter, length):
    """Water that runs back to the pond through the feed line when the pump stops.

    Parameters
    ----------
    area
        Of the free water in the vessel.
    depth
        How deep the end of the line lies under water; zero where it ends above, or has an air hole above the water.
    inside_diameter
        Bore of the line.
    length
        Of the line that stands full above the pond.

    Notes
    -----
    V = A h + (pi D²/4) L: the vessel down to the mouth of the line, where air gets in, and the line itself.

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(back_siphon_volume(Q(0.25, "m2"), Q(12, "cm"), Q(28, "mm"), Q(7.5, "m")), "L")
    '34.6 L'
    """
    return area * 10 * depth + math.pi * (inside_diameter / 1000) ** 2 / 4 * length * 1000


@formula(flow=_FLOW, open_area=Arg("cm2", possible=(1e-3, 1e8)), returns=Arg("cm/s", possible=(0, 1e6)))
def approach_velocity(flow, open_area):
    """Speed at which the water comes up to a screen, on the average over its openings.

    Parameters
    ----------
    flow
        That the pump draws.
    open_area
        All openings of the screen together.

    Notes
    -----
    v = Q / A. A clogged half doubles it in the other half.

    References
    ----------
    [NMFSPump]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(approach_velocity(Q(24, "L/min"), Q(80, "cm2")), "cm/s")
    '5 cm/s'
    """
    return flow * 1000 / 60 / open_area
