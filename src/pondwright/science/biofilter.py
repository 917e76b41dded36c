"""The filter: surface and volume of its media, water through it, and the least of the three things that limit it."""
from __future__ import annotations

import numpy as np

from ..units import Arg, formula

_AREA = Arg("m2", possible=(0, 1e7))
_MEDIA = Arg("m3", possible=(0, 1e5))
_SURFACE = Arg("m2/m3", possible=(1, 1e5))
_RATE = Arg("g/m2/d", possible=(0, 100))
_TAN_LOAD = Arg("g/d", possible=(0, 1e6))
_TAN = Arg("mg/L", possible=(0, 1000))
_FLOW = Arg("L/min", possible=(0, 1e6))
_HOURS, _SOME_HOURS = Arg("h/d", possible=(0, 24)), Arg("h/d", possible=(0.01, 24))
_SHARE = Arg("-", possible=(0, 1))
_PER_DAY = 60 / 1000  # (L/min) x (h/d) x this = m3/d, and m3/d x mg/L = g/d


@formula(diameter=Arg("mm", possible=(0.01, 1000)), void=Arg("-", possible=(0.2, 0.99)), returns=Arg("m2/m3", possible=(0, None)))
def sphere_bed_surface(diameter, void):
    """Outer surface of a bed of equal balls: a check on what is claimed for stones and pebbles.

    Parameters
    ----------
    diameter
        Of one ball.
    void
        Share of the bed that is open space.

    Notes
    -----
    a = 6 (1 - void)/d. Rough stones have about 1.2 to 2 times as much; pores too fine for water to move in add nothing.

    References
    ----------
    [SphereBed]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(sphere_bed_surface(Q(20, "mm"), 0.48), "m2/m3")
    '156 m²/m³'
    """
    return 6 * (1 - void) / (diameter / 1000)


@formula(volume=_MEDIA, surface=_SURFACE, returns=Arg("m2", possible=(0, None)))
def media_area(volume, surface):
    """Surface of the media in a filter.

    Parameters
    ----------
    volume
        Of the media, loosely filled.
    surface
        Specific surface area: square metres on each cubic metre of media.

    Notes
    -----
    A = V a

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(media_area(Q(160, "L"), Q(160, "m2/m3")), "m2")
    '25.6 m²'
    """
    return volume * surface


@formula(load=_TAN_LOAD, rate=Arg("g/m2/d", possible=(1e-6, 100)), hours=_SOME_HOURS, returns=Arg("m2", possible=(0, None)))
def area_needed(load, rate, hours=24.0):
    """Surface on which bacteria turn a given load of ammonia into nitrate.

    Parameters
    ----------
    load
        Ammonia a day, as N; a number or an array.
    rate
        Areal removal at the ammonia in the pond.
    hours
        That the pump runs in a day; media without flow convert nothing.

    Notes
    -----
    A = P / (r h/24)

    References
    ----------
    [Geometry]_; [TimmonsEbeling2010]_ biofilter sizing; [FAO589]_ Appendix 4

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(area_needed(Q(7.5, "g/d"), Q(0.57, "g/m2/d")), "m2")
    '13.2 m²'
    """
    return load / (rate * hours / 24)


@formula(area=_AREA, surface=_SURFACE, returns=Arg("m3", possible=(0, None)))
def media_volume(area, surface):
    """Volume of media that carries a given surface.

    Parameters
    ----------
    area
        Surface needed; a number or an array.
    surface
        Specific surface area of the media.

    Notes
    -----
    V = A / a

    References
    ----------
    [FAO589]_ Appendix 4; [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(media_volume(Q(13.2, "m2"), Q(300, "m2/m3")), "L")
    '44 L'
    """
    return area / surface


@formula(load=_TAN_LOAD, conversion=Arg("g/m3/d", possible=(0.1, 1e5)), returns=Arg("m3", possible=(0, None)))
def volume_by_conversion(load, conversion):
    """Volume of media from a rate that was published for each cubic metre: for media whose surface nobody can measure.

    Parameters
    ----------
    load
        Ammonia a day, as N.
    conversion
        Volumetric TAN conversion rate, for the ammonia in your own pond.

    Notes
    -----
    V = P / VTR

    References
    ----------
    [Rusten2006]_; [MaloneBeecher2000]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(volume_by_conversion(Q(32.2, "g/d"), Q(350, "g/m3/d")), "L")
    '92 L'
    """
    return load / conversion


@formula(rate=_RATE, area=_AREA, hours=_HOURS, returns=_TAN_LOAD)
def surface_capacity(rate, area, hours=24.0):
    """Ammonia, as N, that the bacteria on a surface can convert in a day.

    Parameters
    ----------
    rate
        Areal removal at the ammonia in the pond; a number or an array.
    area
        Surface of the media.
    hours
        That the pump runs in a day; media without flow convert nothing.

    Notes
    -----
    C = r A h/24

    References
    ----------
    [Geometry]_; [TimmonsEbeling2010]_ biofilter sizing

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(surface_capacity(Q(0.2, "g/m2/d"), Q(25, "m2")), "g/d")
    '5 g/day'
    """
    return rate * area * hours / 24


@formula(flow=_FLOW, tan=_TAN, per_pass=_SHARE, hours=_HOURS, returns=_TAN_LOAD)
def flow_capacity(flow, tan, per_pass, hours=24.0):
    """Ammonia, as N, that the water carries into the filter and leaves there in a day.

    Parameters
    ----------
    flow
        Through the filter.
    tan
        Total ammonia nitrogen in the pond; a number or an array.
    per_pass
        Share of it that is gone after one pass.
    hours
        That the pump runs in a day.

    Notes
    -----
    C = Q S E: no filter converts what does not reach it.

    References
    ----------
    [Geometry]_ mass balance; removal per pass [BeadStages1996]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(flow_capacity(Q(20, "L/min"), Q(0.5, "mg/L"), 0.3), "g/d")
    '4.32 g/day'
    """
    return flow * hours * _PER_DAY * tan * per_pass


@formula(flow=_FLOW, usable=Arg("mg/L", possible=(0, 40)), hours=_HOURS, demand=Arg("-", possible=(3, 5)), returns=_TAN_LOAD)
def oxygen_capacity(flow, usable, hours=24.0, demand=4.57):
    """Ammonia, as N, for which the oxygen in the water is enough.

    Parameters
    ----------
    flow
        Through the filter.
    usable
        Oxygen that the water may lose in the filter: what comes in less what the bacteria need to have left.
    hours
        That the pump runs in a day.
    demand
        Grams of oxygen for each gram of nitrogen.

    Notes
    -----
    C = Q dO2 / 4.57. In a trickling filter the air adds oxygen, so there this limit is on the safe side.

    References
    ----------
    [Nitrification]_; [StenstromSong1991]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(oxygen_capacity(Q(20, "L/min"), Q(4.5, "mg/L")), "g/d")
    '28.4 g/day'
    """
    return flow * hours * _PER_DAY * usable / demand


@formula(surface=_TAN_LOAD, flow=_TAN_LOAD, oxygen=_TAN_LOAD, returns=_TAN_LOAD)
def filter_capacity(surface, flow, oxygen):
    """Ammonia, as N, that a filter can convert in a day: the smallest of its three limits.

    Parameters
    ----------
    surface
        What the bacteria can convert; a number or an array.
    flow
        What the water brings and leaves.
    oxygen
        What the oxygen in the water allows.

    Notes
    -----
    C = min(C_surface, C_flow, C_oxygen)

    References
    ----------
    [TimmonsEbeling2010]_ mass balance; [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(filter_capacity(Q(5, "g/d"), Q(4.3, "g/d"), Q(28, "g/d")), "g/d")
    '4.3 g/day'
    """
    return np.minimum(np.minimum(surface, flow), oxygen)


@formula(load=_TAN_LOAD, tan=Arg("mg/L", possible=(1e-4, 1000)), per_pass=Arg("-", possible=(0.01, 1)), hours=_SOME_HOURS,
         returns=Arg("L/min", possible=(0, None)))
def flow_needed(load, tan, per_pass, hours=24.0):
    """Flow that brings a day's ammonia to the filter.

    Parameters
    ----------
    load
        Ammonia a day, as N; a number or an array.
    tan
        Total ammonia nitrogen in the pond that must not be passed.
    per_pass
        Share of it that is gone after one pass.
    hours
        That the pump runs in a day.

    Notes
    -----
    Q = P / (S E)

    References
    ----------
    [Geometry]_ mass balance

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(flow_needed(Q(4.32, "g/d"), Q(0.5, "mg/L"), 0.3), "L/min")
    '20 L/min'
    """
    return load / (hours * _PER_DAY * tan * per_pass)


@formula(flow=_FLOW, plan_area=Arg("m2", possible=(1e-4, 1e5)), returns=Arg("m3/m2/d", possible=(0, None)))
def hydraulic_loading(flow, plan_area):
    """Water that falls on each square metre of the filter's top, while the pump runs.

    Parameters
    ----------
    flow
        Through the filter.
    plan_area
        Of the filter, seen from above.

    Notes
    -----
    HLR = Q / A

    References
    ----------
    [EnvWq714]_; [Eding2006]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(hydraulic_loading(Q(20, "L/min"), Q(0.25, "m2")), "m3/m2/d")
    '115 m³/m²/day'
    """
    return flow * 1.44 / plan_area  # L/min x 1440 min/d / 1000 L/m3


@formula(volume=Arg("L", possible=(0, 1e9)), flow=Arg("L/min", possible=(1e-6, 1e6)), returns=Arg("h", possible=(0, None)))
def turnover_time(volume, flow):
    """Time in which a pump moves as much water as the pond holds.

    Parameters
    ----------
    volume
        Of the pond.
    flow
        Through the filter.

    Notes
    -----
    t = V / Q. After one turnover about a third of the water has not been through the filter yet, since the pond mixes.

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(turnover_time(Q(6000, "L"), Q(50, "L/min")), "h")
    '2 h'
    """
    return volume / flow / 60


@formula(
    container=_MEDIA, media=_MEDIA, void=_SHARE, bulk_density=Arg("kg/m3", possible=(1, 3000)), density=Arg("kg/m3", possible=(900, 1100)),
    returns=Arg("kg", possible=(0, None)),
)
def full_mass(container, media, void, bulk_density, density=999.1):
    """Mass of a filter container with its media, full of water: what its stand must carry if the outlet clogs.

    Parameters
    ----------
    container
        What the container holds.
    media
        Volume of the media in it.
    void
        Share of the media that is open space.
    bulk_density
        Of the dry media.
    density
        Of the water.

    Notes
    -----
    m = V_media rho_bulk + rho (V - (1 - void) V_media). The container's own mass, and water soaked up by porous media, come on top.

    References
    ----------
    [Geometry]_; [IAPWS95]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(full_mass(Q(220, "L"), Q(160, "L"), 0.48, Q(750, "kg/m3")), "kg")
    '257 kg'
    """
    return media * bulk_density + density * (container - (1 - void) * media)
