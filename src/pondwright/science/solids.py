"""Dirt: how much the fish make of their feed, what settles out of the water, what a mat catches and how soon it is full."""
from __future__ import annotations

from ..units import Arg, formula
from .pipes import GRAVITY
from .water_properties import density, dynamic_viscosity

_FEED = Arg("g/d", possible=(0, 1e7))
_SHARE = Arg("-", possible=(0, 1))
_PARTICLE = Arg("kg/m3", possible=(1001, 3000), calibrated=(1050, 1190))
_TEMPERATURE = Arg("degC", possible=(0, 50))


@formula(feed=_FEED, share=_SHARE, returns=_FEED)
def solids_from_feed(feed, share):
    """Solids, weighed dry, that a day's feed leaves in the water: droppings and what nobody ate.

    Parameters
    ----------
    feed
        Fed in a day; a number or an array.
    share
        Grams of solids for each gram of feed.

    Notes
    -----
    S = F s

    References
    ----------
    [SolidsTalk]_; [SolidsProduction]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(solids_from_feed(Q(20, "g/d"), 0.3), "g/d")
    '6 g/day'
    """
    return feed * share


@formula(diameter=Arg("µm", possible=(0.1, 1000), calibrated=(0.1, 100)), particle=_PARTICLE, temperature=_TEMPERATURE,
         returns=Arg("mm/s", possible=(0, None)))
def settling_velocity(diameter, particle=1050.0, temperature=20.0):
    """Speed at which a small particle sinks in still water.

    Parameters
    ----------
    diameter
        Of the particle, in micrometres (thousandths of a millimetre).
    particle
        Density of the wet particle.
    temperature
        Of the water: in cold, thick water everything sinks slower.

    Notes
    -----
    v = g (rho_p - rho) d²/(18 mu) (Stokes), for balls so small that the water flows round them calmly: up to about 0.1 mm here.

    References
    ----------
    [Stokes1851]_; densities of droppings [SolidsTalk]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(settling_velocity(Q(50, "µm"), Q(1050, "kg/m3"), Q(20, "degC")), "mm/s")
    '0.0704 mm/s'
    """
    heavier = particle - density.plain(temperature)
    return 1000 * GRAVITY * heavier * (diameter * 1e-6) ** 2 / (18 * dynamic_viscosity.plain(temperature) / 1000)


@formula(overflow=Arg("m3/m2/d", possible=(0, 1e5), calibrated=(0, 3000), by="SchillerNaumann1933"), particle=_PARTICLE,
         temperature=_TEMPERATURE, returns=Arg("µm", possible=(0, None)))
def smallest_settled(overflow, particle=1050.0, temperature=20.0):
    """Smallest particle that a settling space keeps, when the water rises or crosses it evenly.

    Parameters
    ----------
    overflow
        Surface overflow rate: flow over the area, seen from above; a number or an array.
    particle
        Density of the wet particle; a number or an array.
    temperature
        Of the water; a number or an array.

    Notes
    -----
    A particle stays where it sinks faster than the water rises: d² = 18 mu v f/(g (rho_p - rho)), v being the overflow rate (1 m³/m² a day
    is 0.0116 mm/s). Small ones sink by Stokes' law, f = 1. Larger ones stir the water up: f = 1 + 0.15 Re^0.687, Re = rho v d/mu, found
    together with d step by step, up to Re = 800. All are taken for balls: flakes of the same size sink slower.

    References
    ----------
    [Stokes1851]_; [SchillerNaumann1933]_; [SettlingReprint]_ design rates

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(smallest_settled(Q(24.3, "m3/m2/d"), Q(1050, "kg/m3"), Q(20, "degC")), "µm", digits=2)
    '100 µm'
    """
    weight, viscosity, speed = density.plain(temperature), dynamic_viscosity.plain(temperature) / 1000, overflow / 86_400
    size = stokes = (18 * viscosity * speed / (GRAVITY * (particle - weight))) ** 0.5
    for _ in range(20):  # each step brings it nearer by a factor of three at least
        size = stokes * (1 + 0.15 * (weight * speed * size / viscosity) ** 0.687) ** 0.5
    return 1e6 * size


@formula(volume=Arg("L", possible=(0, 1e6)), void=_SHARE, fill=_SHARE, sludge=Arg("g/L", possible=(0.1, 300)),
         returns=Arg("g", possible=(0, None)))
def mat_capacity(volume, void, fill, sludge):
    """Dry solids that a mat holds before so many of its pores are full of sludge that it must be rinsed.

    Parameters
    ----------
    volume
        Of the mat.
    void
        Share of it that is open space.
    fill
        Share of the open space that sludge may take.
    sludge
        Dry solids in a litre of the wet sludge.

    Notes
    -----
    m = V void f c. Sludge is nearly all water: 20 g/L is 2 % dry.

    References
    ----------
    [Geometry]_; [Judgement]_ for how full a mat may be

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(mat_capacity(Q(10, "L"), 0.97, 0.25, Q(20, "g/L")), "g")
    '48.5 g'
    """
    return volume * void * fill * sludge


@formula(capacity=Arg("g", possible=(0, 1e7)), solids=Arg("g/d", possible=(1e-9, 1e7)), capture=Arg("-", possible=(0.001, 1)),
         returns=Arg("d", possible=(0, None)))
def days_between_rinses(capacity, solids, capture):
    """Days until a mat has caught as much as it holds.

    Parameters
    ----------
    capacity
        Dry solids that the mat holds.
    solids
        Dry solids that reach it in a day.
    capture
        Share of them that it catches.

    Notes
    -----
    t = m/(S e)

    References
    ----------
    [Geometry]_ mass balance

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(days_between_rinses(Q(48.5, "g"), Q(6, "g/d"), 0.45), "d", digits=2)
    '18 d'
    """
    return capacity / (solids * capture)


@formula(mass=Arg("g", possible=(0, 1e7)), rate=Arg("mg/g/h", possible=(0, 100)),
         temperature=Arg("degC", possible=(0, 45), calibrated=(15, 25)), theta=Arg("-", possible=(1, 1.2)),
         returns=Arg("mg/h", possible=(0, None)))
def solids_uptake(mass, rate=4.2, temperature=20.0, theta=1.075):
    """Oxygen that bacteria take in an hour while they eat the dirt that a filter has caught.

    Parameters
    ----------
    mass
        Dry solids.
    rate
        At 20 °C: 4.2 mg for each gram of fish droppings, 8.8 for feed that nobody ate.
    temperature
        Of the water.
    theta
        Factor for each degree.

    Notes
    -----
    R = m r theta^(T - 20), measured in the first six hours on fresh droppings of two sea fish at 15 to 25 °C.

    References
    ----------
    [YellowtailFaeces1989]_ abstract

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(solids_uptake(Q(20, "g"), Q(4.2, "mg/g/h"), Q(25, "degC")), "mg/h")
    '121 mg/h'
    """
    return mass * rate * theta ** (temperature - 20)
