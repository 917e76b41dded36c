"""Fish: what they weigh, how much they breathe, what they eat."""
from __future__ import annotations

import numpy as np

from ..units import Arg, formula

_MASS = Arg("g", possible=(0, 5e5))
_BIOMASS = Arg("g", possible=(0, None))
_FEED = Arg("g/d", possible=(0, None))
_TEMPERATURE = Arg("degC", possible=(-2, 50))

# Rations on which juvenile carp neither grow nor shrink, Goolish & Adelman 1984: degrees Celsius, and per cent of body mass a day.
RATION_AT = np.array([12.0, 18.0, 24.0, 30.0])
RATION = np.array([0.40, 0.75, 1.20, 1.90])
_SLOPE = np.log(RATION[1] / RATION[0]) / (RATION_AT[1] - RATION_AT[0])  # carried on below the coldest trial


@formula(
    length=Arg("cm", possible=(0.5, 150), calibrated=(20, None), by="Bister2000"), stoutness=Arg("-", possible=(0.2, 5)),
    method=("Bister2000", "FishBase"), returns=_MASS,
)
def carp_mass(length, stoutness=1.0, method="Bister2000"):
    """Mass of a carp from its length.

    Parameters
    ----------
    length
        Total length, nose to tail tip; a number or an array.
    stoutness
        Mass compared with the published carp of the same length: about 0.8 for a lean fish, 1.2 for a fat one, more for goldfish, which
        are deeper in the body.
    method
        Whose relation.

    Notes
    -----
    Bister2000: log10 W = -4.639 + 2.920 log10 L, L in mm, the standard weight of common carp from 200 mm up (three of four populations
    are leaner). FishBase: W = 0.0148 L^3.02, L in cm, over all sizes. Mass grows with nearly the cube of length: twice as long is
    eight times as heavy.

    References
    ----------
    [Bister2000]_ standard-weight equation; [FishBaseCarp]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(carp_mass(Q(40, "cm")), "g")
    '910 g'
    """
    if method == "Bister2000":
        return stoutness * 10**-4.639 * (10 * length) ** 2.920
    return stoutness * 0.0148 * length**3.02


@formula(count=Arg("fish", possible=(0, 1e6)), mass=_MASS, returns=_BIOMASS)
def total_mass(count, mass):
    """Mass of all fish together: the biomass.

    Parameters
    ----------
    count
        Fish in each group; an array of shape (groups,).
    mass
        Of one fish in each group; shape (groups,), or (groups, n) for n tries at once.

    Notes
    -----
    B = sum(n_i m_i) over the groups.

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(total_mass(Q([14, 6], "fish"), Q([40, 90], "g")), "g")
    '1100 g'
    """
    return np.tensordot(count, mass, 1)[()]


@formula(
    mass=Arg("g", possible=(0.001, 5e5), calibrated=(None, 20), by="Yamanaka2013"),
    temperature=Arg("degC", possible=(-2, 50), calibrated=(15, 30), by="Yamanaka2013"), method=("Yamanaka2013", "CookeHill2010"),
    returns=Arg("mg/kg/h", possible=(0, 1e5)),
)
def respiration_rate(mass, temperature, method="Yamanaka2013"):
    """Oxygen that a fish uses, for each kilogram of it, when it swims about quietly and is not fed.

    Parameters
    ----------
    mass
        Of one fish; a number or an array.
    temperature
        Of the water.
    method
        Whose measurements.

    Notes
    -----
    Yamanaka2013 (crucian carp, the goldfish's wild kin, larvae and juveniles at 15 to 30 °C): R = 67.4 W^-0.193 exp(0.0562 T), W in g. The
    abstract gives no largest mass; 20 g is set here. For a 100 g goldfish at 20 °C it gives 85 mg/kg/h; calorimetry gave 73.
    CookeHill2010 (bighead carp): R = 220.8 W^-0.299 exp(0.048 T), from 0.0053 g/g/d. Small fish use more for each kilogram than large
    ones.

    References
    ----------
    [Yamanaka2013]_ abstract; [CookeHill2010]_ RA, RB, RQ; [Waversveld1989]_ abstract

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(respiration_rate(Q(10, "g"), Q(25, "degC")), "mg/kg/h")
    '176 mg/kg/h'
    """
    if method == "Yamanaka2013":
        return 67.4 * mass**-0.193 * np.exp(0.0562 * temperature)
    return 0.0053e6 / 24 * mass**-0.299 * np.exp(0.048 * temperature)


@formula(count=Arg("fish", possible=(0, 1e6)), mass=_MASS, rate=Arg("mg/kg/h", possible=(0, 1e5)), activity=Arg("-", possible=(0.1, 20)),
         returns=Arg("g/h", possible=(0, None)))
def fish_oxygen(count, mass, rate, activity=1.0):
    """Oxygen that all fish together use.

    Parameters
    ----------
    count
        Fish in each group; shape (groups,).
    mass
        Of one fish in each group; shape (groups,), or (groups, n) for n tries at once.
    rate
        Of one fish in each group, quiet and unfed; the shape of `mass`.
    activity
        How much more a fish uses that has eaten and swims: about 1.3 after a ration of 1 % of its mass, 2 after a full meal.

    Notes
    -----
    F = a sum(n_i m_i R_i) over the groups.

    References
    ----------
    [Geometry]_; activity [Fu2005]_ abstract

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(fish_oxygen(Q([10], "fish"), Q([200], "g"), Q([80], "mg/kg/h"), 1.5), "g/h")
    '0.24 g/h'
    """
    return activity * np.tensordot(count, mass * rate, 1)[()] * 1e-6  # g x mg/kg/h = 1e-3 mg/h


@formula(temperature=Arg("degC", possible=(-2, 50), calibrated=(12, 30)), returns=Arg("%/d", possible=(0, 20)))
def maintenance_ration(temperature):
    """Feed on which a young carp just keeps its mass, as a share of that mass a day.

    Parameters
    ----------
    temperature
        Of the water; a number or an array.

    Notes
    -----
    0.40, 0.75, 1.20 and 1.90 % a day at 12, 18, 24 and 30 °C; between them the logarithm runs straight, below 12 °C it runs on with the
    first slope, above 30 °C it stays. Juvenile fish: a large one needs less for its mass.

    References
    ----------
    [Goolish1984]_ abstract

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(maintenance_ration(Q(18, "degC")), "%/d")
    '0.75 %/d'
    """
    below = np.minimum(temperature - RATION_AT[0], 0.0) * _SLOPE
    return np.exp(np.interp(temperature, RATION_AT, np.log(RATION)) + below)


@formula(
    biomass=_BIOMASS, temperature=Arg("degC", possible=(-2, 50), calibrated=(12, 30), by="Goolish1984"), stop=_TEMPERATURE,
    generosity=Arg("-", possible=(0, 20)), returns=_FEED,
)
def feed_by_temperature(biomass, temperature, stop, generosity=1.5):
    """Feed for one day at the water's temperature; none below the temperature at which feeding stops.

    Parameters
    ----------
    biomass
        Of all fish.
    temperature
        Of the water; a number or an array (twelve months, say).
    stop
        Below it fish are not fed: they digest too slowly.
    generosity
        How many times the ration that just keeps their mass.

    Notes
    -----
    F = g r(T) B for T at or above the stop, else 0; r is :func:`maintenance_ration`.

    References
    ----------
    [Goolish1984]_ abstract; [FAOCarp]_ feeding practically stops below about 8 °C

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(feed_by_temperature(Q(2, "kg"), Q(18, "degC"), Q(8, "degC"), 1.5), "g/d")
    '22.5 g/day'
    """
    return np.where(temperature >= stop, generosity * maintenance_ration.plain(temperature) / 100 * biomass, 0.0)[()]


@formula(feed=_FEED, temperature=_TEMPERATURE, warmest=_TEMPERATURE, stop=_TEMPERATURE, returns=_FEED)
def feed_scaled(feed, temperature, warmest, stop):
    """Feed of a summer day, scaled down to the temperature of another day.

    Parameters
    ----------
    feed
        What is fed on a day in the warmest month.
    temperature
        Of the water on the other day; a number or an array.
    warmest
        Of the water in the warmest month.
    stop
        Below it fish are not fed.

    Notes
    -----
    F = F_summer r(T)/r(T_warmest) for T at or above the stop, else 0; r is :func:`maintenance_ration`.

    References
    ----------
    [Goolish1984]_ abstract; [FAOCarp]_ feeding practically stops below about 8 °C

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(feed_scaled(Q(30, "g/d"), Q(12, "degC"), Q(24, "degC"), Q(8, "degC")), "g/d")
    '10 g/day'
    """
    share = maintenance_ration.plain(temperature) / maintenance_ration.plain(warmest)
    return np.where(temperature >= stop, feed * share, 0.0)[()]


@formula(biomass=_BIOMASS, volume=Arg("m3", possible=(1e-4, 1e6)), returns=Arg("kg/m3", possible=(0, None)))
def stocking_density(biomass, volume):
    """Mass of fish in each cubic metre of water.

    Parameters
    ----------
    biomass
        Of all fish.
    volume
        Of the water.

    Notes
    -----
    B/V

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(stocking_density(Q(4000, "kg"), Q(50, "m3")), "kg/m3")
    '80 kg/m³'
    """
    return biomass / 1000 / volume


@formula(
    allowed=Arg("mg/L/h", possible=(0, 1e9)), volume=Arg("m3", possible=(1e-4, 1e6)), muck=Arg("g/m2/d", possible=(0, 1e4)),
    bottom=Arg("m2", possible=(0, 1e6)), water_share=Arg("-", possible=(0, 10)), per_fish=Arg("mg/kg/h", possible=(1e-3, 1e5)),
    returns=_BIOMASS,
)
def biomass_by_oxygen(allowed, volume, muck, bottom, water_share, per_fish):
    """Fish that the oxygen allows: what is left when muck and water have taken theirs.

    Parameters
    ----------
    allowed
        Largest use of oxygen with which the level still stands at its limit after the longest stop.
    volume
        Of the water.
    muck
        For each square metre of bottom.
    bottom
        Area that the muck covers.
    water_share
        What algae and bacteria afloat take, as a share of what the muck takes.
    per_fish
        Oxygen for each kilogram of fish, with what their waste needs.

    Notes
    -----
    B = (D V - M A (1 + w))/R: the sum of :func:`oxygen_use` solved for the fish; 0 where muck and water alone take too much.

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> b = biomass_by_oxygen(Q(0.15, "mg/L/h"), Q(10, "m3"), Q(1.2, "g/m2/d"), Q(12, "m2"), 0.5, Q(200, "mg/kg/h"))
    >>> show(b, "kg")
    '3 kg'
    """
    return np.maximum(allowed * volume - muck / 24 * bottom * (1 + water_share), 0.0) / per_fish * 1e6


@formula(
    tan=Arg("mg/L", possible=(0, 100)), volume=Arg("m3", possible=(1e-4, 1e6)), share=Arg("-", possible=(0, 1)),
    returns=Arg("g/d", possible=(0, 1e6)),
)
def tan_by_water_changes(tan, volume, share):
    """Ammonia, as N, that a weekly water change alone can carry away, in a pond without a filter.

    Parameters
    ----------
    tan
        That must not be passed, just before the change.
    volume
        Of the water.
    share
        Changed each week.

    Notes
    -----
    P = C V s/7: week after week, what is made in seven days is what the change takes out. Clean fill water; nothing counted for algae,
    plants or the pond's own walls.

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(tan_by_water_changes(Q(0.5, "mg/L"), Q(10, "m3"), Q(20, "%")), "g/d")
    '0.143 g/day'
    """
    return tan * volume * share / 7  # mg/L x m3 = g


@formula(feed=_FEED, ration=Arg("%/d", possible=(1e-12, None)), returns=_BIOMASS)
def biomass_by_feed(feed, ration):
    """Fish that a daily amount of feed keeps.

    Parameters
    ----------
    feed
        That may be given on a day.
    ration
        That these fish need, as a share of their mass a day.

    Notes
    -----
    B = F/r

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(biomass_by_feed(Q(30, "g/d"), Q(1.5, "%/d")), "kg")
    '2 kg'
    """
    return feed / ration * 100
