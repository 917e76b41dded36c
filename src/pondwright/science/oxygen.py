"""Oxygen: what water can hold, what the surface lets in, what mud and fish take out, and how long a still night may last."""
from __future__ import annotations

import numpy as np

from ..units import Arg, formula

_TEMPERATURE = Arg("degC", possible=(-2, 50))
_OXYGEN = Arg("mg/L", possible=(0, 60))
_DEPTH = Arg("m", possible=(0.001, 20))
_TRANSFER = Arg("m/d", possible=(0, 50))
_USE = Arg("mg/L/h", possible=(0, 1e9))
_HOURS = Arg("h", possible=(0, 1e4))


@formula(elevation=Arg("m", possible=(-500, 11000)), returns=Arg("kPa", possible=(20, 110)))
def air_pressure(elevation):
    """Pressure of the standard atmosphere at an elevation.

    Parameters
    ----------
    elevation
        Above sea level.

    Notes
    -----
    P = 101.325 (1 - 2.25577e-5 z)^5.25588 kPa. The weather moves the true pressure by about 3 % either way.

    References
    ----------
    [ISO2533]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(air_pressure(Q(1000, "m")), "kPa")
    '89.9 kPa'
    """
    return 101.325 * (1 - 2.25577e-5 * elevation) ** 5.25588


@formula(
    temperature=Arg("degC", possible=(-2, 50), calibrated=(0, 40), by="BensonKrause1984"),
    salinity=Arg("g/kg", possible=(0, 100), calibrated=(0, 40), by="BensonKrause1984"),
    pressure=Arg("kPa", possible=(30, 120), calibrated=(50.66, 111.5), by="BensonKrause1984"), returns=_OXYGEN,
)
def oxygen_saturation(temperature, salinity=0.0, pressure=101.325):
    """Oxygen that water holds when it has come to rest with moist air: the 100 % mark.

    Parameters
    ----------
    temperature
        Of the water; a number or an array.
    salinity
        Salt in the water, grams in a kilogram; a bare number is read as g/kg.
    pressure
        Of the air.

    Notes
    -----
    ln C = -139.34411 + 1.575701e5/T - 6.642308e7/T² + 1.2438e10/T³ - 8.621949e11/T⁴ - S (0.017674 - 10.754/T + 2140.7/T²), T in
    kelvin, S the salinity, C in mg/L at one atmosphere. At P atmospheres C is multiplied by
    P (1 - w/P)(1 - q P)/((1 - w)(1 - q)), with w the vapour pressure of water, ln w = 11.8571 - 3840.70/T - 216961/T², and
    q = 0.000975 - 1.426e-5 t + 6.436e-8 t², t in degrees Celsius.

    References
    ----------
    [BensonKrause1984]_ equations 24 and 32; [APHA4500O]_ Table 4500-O:I and its notes

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(oxygen_saturation(Q(20, "degC")), "mg/L")
    '9.09 mg/L'
    """
    kelvin, atmospheres = temperature + 273.15, pressure / 101.325
    at_one = np.exp(-139.34411 + 1.575701e5 / kelvin - 6.642308e7 / kelvin**2 + 1.2438e10 / kelvin**3 - 8.621949e11 / kelvin**4
                    - salinity * (0.017674 - 10.754 / kelvin + 2140.7 / kelvin**2))
    vapour = np.exp(11.8571 - 3840.70 / kelvin - 216961 / kelvin**2)
    squeeze = 0.000975 - 1.426e-5 * temperature + 6.436e-8 * temperature**2
    return at_one * atmospheres * (1 - vapour / atmospheres) * (1 - squeeze * atmospheres) / ((1 - vapour) * (1 - squeeze))


@formula(
    wind=Arg("m/s", possible=(0, 60)), temperature=_TEMPERATURE, theta=Arg("-", possible=(1, 1.2)), method=("Gelda1996", "Banks1977"),
    returns=_TRANSFER,
)
def surface_transfer(wind, temperature, theta=1.024, method="Gelda1996"):
    """How fast a still water surface exchanges oxygen with the air: the transfer velocity K_L.

    Parameters
    ----------
    wind
        Over the water, ten metres up; a sheltered yard has far less than an airfield.
    temperature
        Of the water.
    theta
        Growth of K_L for each degree.
    method
        Whose relation to the wind.

    Notes
    -----
    K_L = K_20 theta^(T - 20). Gelda1996 (a lake): K_20 = 0.2 U up to 3.5 m/s, 0.057 U² above. Banks1977: K_20 = 0.728 sqrt(U) -
    0.317 U + 0.0372 U². A flow through the surface is K_L (C_saturation - C), in grams a square metre a day. No wind gives none, though
    in truth water that cools at night still turns over a little. No calibrated range is declared, since the abstracts that were read print
    none; the lake's mean K_20, 1.50 and 2.64 m/d, tell of winds around 5 and 7 m/s.

    References
    ----------
    [Gelda1996]_ abstract; [Banks1977]_; theta [ElmoreWest1961]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(surface_transfer(Q(2, "m/s"), Q(20, "degC")), "m/d")
    '0.4 m/d'
    """
    if method == "Gelda1996":
        at_20 = np.where(wind <= 3.5, 0.2 * wind, 0.057 * wind**2)[()]
    else:
        at_20 = 0.728 * np.sqrt(wind) - 0.317 * wind + 0.0372 * wind**2
    return at_20 * theta ** (temperature - 20)


@formula(
    at_20=Arg("g/m2/d", possible=(0, 100)), temperature=_TEMPERATURE, theta=Arg("-", possible=(1, 1.2)),
    returns=Arg("g/m2/d", possible=(0, 1e4)),
)
def muck_demand(at_20, temperature, theta=1.065):
    """Oxygen that the mud and leaves on the bottom take out of the water.

    Parameters
    ----------
    at_20
        Grams of oxygen a square metre of bottom a day, at 20 °C.
    temperature
        Of the water at the bottom.
    theta
        Growth for each degree.

    Notes
    -----
    M = M_20 theta^(T - 20).

    References
    ----------
    [SODTheta]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(muck_demand(Q(1, "g/m2/d"), Q(25, "degC")), "g/m2/d")
    '1.37 g/m²/day'
    """
    return at_20 * theta ** (temperature - 20)


@formula(
    fish=Arg("g/h", possible=(0, None)), nitrification=Arg("g/h", possible=(0, None)), muck=Arg("g/m2/d", possible=(0, 1e4)),
    bottom=Arg("m2", possible=(0, 1e6)), water_share=Arg("-", possible=(0, 10)), volume=Arg("m3", possible=(1e-4, 1e6)), returns=_USE,
)
def oxygen_use(fish, nitrification, muck, bottom, water_share, volume):
    """How fast all that breathes in the dark draws the oxygen down.

    Parameters
    ----------
    fish
        All fish together.
    nitrification
        Of the bacteria on the walls and stones of the pond itself.
    muck
        For each square metre of bottom.
    bottom
        Area that the muck covers: the water surface, as seen from above.
    water_share
        What algae and bacteria afloat take, as a share of what the muck takes.
    volume
        Of the water.

    Notes
    -----
    D = (F + N + M A (1 + w)) / V: a plain sum, in milligrams a litre an hour. It stays the same while the level falls, which is a little
    pessimistic below 3 mg/L.

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> d = oxygen_use(Q(0.5, "g/h"), Q(0.1, "g/h"), Q(1.2, "g/m2/d"), Q(12, "m2"), 0.5, Q(10, "m3"))
    >>> show(d, "mg/L/h")
    '0.15 mg/L/h'
    """
    return (fish + nitrification + muck / 24 * bottom * (1 + water_share)) / volume  # g/m3/h = mg/L/h


@formula(start=_OXYGEN, saturation=_OXYGEN, transfer=_TRANSFER, depth=_DEPTH, use=_USE, time=_HOURS, returns=_OXYGEN)
def oxygen_after(start, saturation, transfer, depth, use, time):
    """Oxygen left some time after the pump has stopped.

    Parameters
    ----------
    start
        When the pump stops.
    saturation
        The 100 % mark at the water's temperature.
    transfer
        Velocity K_L at the surface.
    depth
        Mean depth.
    use
        Drawn down by all that breathes.
    time
        Since the pump stopped; a number or an array.

    Notes
    -----
    dC/dt = k (C_s - C) - D with k = K_L/z has the solution C = C_end + (C_0 - C_end) exp(-k t), C_end = C_s - D/k; without exchange
    C = C_0 - D t. Never below zero. The water is taken as mixed: a deep pond that lies in layers runs out at the bottom first.

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> c = oxygen_after(Q(8, "mg/L"), Q(9, "mg/L"), Q(0.48, "m/d"), Q(1, "m"), Q(0.4, "mg/L/h"), Q([5, 10], "h"))
    >>> print(c.magnitude.round(2))
    [6.19 4.55]
    """
    rate = np.maximum(transfer / 24 / depth, 1e-9)  # a rate of nothing runs into the straight line C_0 - D t
    end = saturation - use / rate
    return np.maximum(start + (start - end) * np.expm1(-rate * time), 0.0)


@formula(
    start=_OXYGEN, limit=_OXYGEN, saturation=_OXYGEN, transfer=_TRANSFER, depth=_DEPTH, use=_USE, longest=_HOURS, returns=_HOURS,
)
def hours_to_level(start, limit, saturation, transfer, depth, use, longest=168.0):
    """Hours until the oxygen has fallen to a limit, with the pump off.

    Parameters
    ----------
    start
        When the pump stops.
    limit
        Below which fish are in trouble.
    saturation
        The 100 % mark at the water's temperature.
    transfer
        Velocity K_L at the surface.
    depth
        Mean depth.
    use
        Drawn down by all that breathes.
    longest
        What is returned where the level never reaches the limit, or later than this.

    Notes
    -----
    From C = C_end + (C_0 - C_end) exp(-k t), k = K_L/z, C_end = C_s - D/k: t = ln((C_0 - C_end)/(C_lim - C_end))/k. Where the surface
    lets in as much as is used before the limit is reached (C_end at or above it) the answer is `longest`; a start below the limit
    gives 0.

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> t = hours_to_level(Q(8, "mg/L"), Q(4, "mg/L"), Q(9, "mg/L"), Q(0.48, "m/d"), Q(1, "m"), Q(0.4, "mg/L/h"))
    >>> show(t, "h")
    '11.8 h'
    """
    rate = np.maximum(transfer / 24 / depth, 1e-9)
    end = saturation - use / rate
    falls = (end < limit) & (start > limit)
    drop = np.log1p(np.where(falls, (start - limit) / np.where(falls, limit - end, 1.0), 0.0)) / rate
    return np.where(start <= limit, 0.0, np.where(falls, np.minimum(drop, longest), longest))[()]


@formula(start=_OXYGEN, limit=_OXYGEN, saturation=_OXYGEN, transfer=_TRANSFER, depth=_DEPTH, time=_HOURS, returns=_USE)
def allowed_use(start, limit, saturation, transfer, depth, time):
    """Largest use of oxygen with which the level still stands at the limit after a given stop.

    Parameters
    ----------
    start
        When the pump stops.
    limit
        Below which fish are in trouble.
    saturation
        The 100 % mark at the water's temperature.
    transfer
        Velocity K_L at the surface.
    depth
        Mean depth.
    time
        The longest stop to expect.

    Notes
    -----
    The equation of :func:`oxygen_after` solved for D: with E = exp(-k t), C_end = (C_lim - C_0 E)/(1 - E) and D = k (C_s - C_end).
    None is allowed where the start is already below the limit and the surface cannot make it good.

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> d = allowed_use(Q(8, "mg/L"), Q(4, "mg/L"), Q(9, "mg/L"), Q(0.48, "m/d"), Q(1, "m"), Q(12, "h"))
    >>> show(d, "mg/L/h", digits=2)
    '0.4 mg/L/h'
    """
    rate = np.maximum(transfer / 24 / depth, 1e-9)
    gone = -np.expm1(-rate * time)
    end = (limit - start * (1 - gone)) / gone
    return np.maximum(rate * (saturation - end), 0.0)
