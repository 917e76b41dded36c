"""Warmth and ice: a pond's water temperature from that of the air, and how thick the ice may grow."""
from __future__ import annotations

import numpy as np

from ..units import Arg, formula

_TEMPERATURE = Arg("degC", possible=(-70, 60))


@formula(air=_TEMPERATURE, offset=Arg("delta_degC", possible=(-20, 20)), floor=Arg("degC", possible=(-2, 10)), returns=_TEMPERATURE)
def pond_temperature(air, offset, floor):
    """Monthly mean temperature of a small pond from that of the air.

    Parameters
    ----------
    air
        Monthly mean; a number or an array.
    offset
        By how much the water is warmer than the air (sun on it), or colder (shade, a spring).
    floor
        Lowest that the water becomes: under ice it stays liquid.

    Notes
    -----
    T_water = max(T_air + offset, floor). Over a month a shallow pond follows the air; common practice, and wide.

    References
    ----------
    [MacanMaudsley1966]_ summary: the mean of a fishpond's water follows that of the air closely

    Examples
    --------
    >>> from pondwright import Q
    >>> print(pond_temperature(Q([-6, 17], "degC"), Q(1, "delta_degC"), Q(2, "degC")).magnitude)
    [ 2. 18.]
    """
    return np.maximum(air + offset, floor)


@formula(temperature=_TEMPERATURE, days=Arg("d", possible=(0, 400)), returns=Arg("-", possible=(0, 20000)))
def freezing_degree_days(temperature, days):
    """Frost of a winter: degrees below zero times days, added up.

    Parameters
    ----------
    temperature
        Mean of each month (or day); an array.
    days
        In each month, the same shape (1 for days).

    Notes
    -----
    sum(max(0, -T) days). From monthly means it comes out low where frost and thaw take turns.

    References
    ----------
    [CRREL043]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(freezing_degree_days(Q([-5, 1, -2], "degC"), Q([31, 28, 31], "d")), "-")
    '217'
    """
    return float(np.sum(np.maximum(-temperature, 0.0) * days))


@formula(degree_days=Arg("-", possible=(0, 20000)), growth=Arg("cm", possible=(0, 10)), returns=Arg("cm", possible=(0, 1000)))
def ice_thickness(degree_days, growth):
    """Thickness of still-water ice after a frost.

    Parameters
    ----------
    degree_days
        Frost so far, degrees Celsius times days.
    growth
        Thickness after one degree day: 2.7 cm on a windy lake without snow, 1.7 to 2.4 with snow on it, 3.5 in theory.

    Notes
    -----
    Stefan's relation, h = a sqrt(frost). A small or raised container also freezes from its sides, which this leaves out.

    References
    ----------
    [CRREL043]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(ice_thickness(100, Q(2.05, "cm")), "cm")
    '20.5 cm'
    """
    return growth * np.sqrt(degree_days)
