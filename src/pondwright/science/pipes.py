"""What a pipe costs in head: speed, Reynolds number, friction, fittings, and the whole line from pump to outlet."""
from __future__ import annotations

import math

from ..units import Arg, formula

GRAVITY = 9.80665  # m/s2, standard gravity (exact by definition)

_FLOW = Arg("L/min", possible=(0, 1e9))
_BORE = Arg("mm", possible=(1, 2000))
_LENGTH = Arg("m", possible=(0, 10_000))
_SPEED = Arg("m/s", possible=(0, 1000))
_HEAD = Arg("m", possible=(0, 10_000))
_K = Arg("-", possible=(0, 1e15))  # a shut valve has no upper end
_FACTOR = Arg("-", possible=(1e-4, 1e12))  # 64/Re has no upper end
_ROUGHNESS = Arg("mm", possible=(0, 20))
_VISCOSITY = Arg("mm2/s", possible=(0.1, 1e6))
_DENSITY = Arg("kg/m3", possible=(500, 2000))


@formula(flow=_FLOW, inside_diameter=_BORE, returns=_SPEED)
def velocity(flow, inside_diameter):
    """Mean speed of the water in a full pipe.

    Parameters
    ----------
    flow
        Volume that passes in a time.
    inside_diameter
        Bore of the pipe.

    Notes
    -----
    v = Q / (pi D² / 4). Half the bore: four times the speed, the same flow.

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(velocity(Q(30, "L/min"), Q(28, "mm")), "m/s")
    '0.812 m/s'
    """
    return flow / 60_000 / (math.pi * (inside_diameter / 1000) ** 2 / 4)


@formula(velocity=_SPEED, inside_diameter=_BORE, viscosity=_VISCOSITY, returns=Arg("-", possible=(0, 1e9)))
def reynolds(velocity, inside_diameter, viscosity=1.1386):
    """Reynolds number: below about 2000 the water flows in calm layers, above about 4000 it is turbulent.

    Parameters
    ----------
    velocity
        Mean speed.
    inside_diameter
        Bore of the pipe.
    viscosity
        Kinematic viscosity; 1.1386 mm²/s is water at 15 °C.

    Notes
    -----
    Re = v D / nu, a plain number: the ratio of the water's momentum to its stickiness.

    References
    ----------
    [MunsonFluid]_ section 8.1; viscosity [IAPWS95]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(reynolds(Q(0.8, "m/s"), Q(28, "mm")), "-")
    '19700'
    """
    return velocity * inside_diameter * 1000 / viscosity


@formula(reynolds=Arg("-", possible=(1e-9, 1e9)), relative_roughness=Arg("-", possible=(0, 0.5), calibrated=(0, 0.05)), returns=_FACTOR)
def friction_factor(reynolds, relative_roughness):
    """Darcy friction factor of a pipe, which is four times the Fanning factor of some books.

    Parameters
    ----------
    reynolds
        Reynolds number.
    relative_roughness
        Height of the wall's bumps over the bore.

    Notes
    -----
    f = 64/Re below Re = 2040; above it the root of 1/sqrt(f) = -2 log10((e/D)/3.7 + 2.51/(Re sqrt(f))), by the library fluids.
    Between about 2000 and 4000 nature is undecided and so is the number.

    References
    ----------
    [Colebrook1939]_, [FluidsLibrary]_; range [MoodyChart]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(friction_factor(30_000, 0.001), "-")
    '0.026'
    """
    from fluids.friction import friction_factor as colebrook

    return colebrook(Re=reynolds, eD=relative_roughness)


@formula(equivalent_length=_LENGTH, inside_diameter=_BORE, friction_factor=_FACTOR, returns=_K)
def loss_coefficient(equivalent_length, inside_diameter, friction_factor):
    """Loss coefficient K of a fitting from the length of straight pipe that would take as much head.

    Parameters
    ----------
    equivalent_length
        Of straight pipe, as tables of fittings give it.
    inside_diameter
        Bore of the pipe.
    friction_factor
        Darcy factor of the pipe for which the table was made.

    Notes
    -----
    K = f L / D

    References
    ----------
    [IRC2018]_ table A.2.2; [MunsonFluid]_ section 8.4.2

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(loss_coefficient(Q(2.62, "ft"), Q(1.049, "inch"), 0.023), "-", digits=2)
    '0.69'
    """
    return friction_factor * equivalent_length / (inside_diameter / 1000)


@formula(velocity=_SPEED, inside_diameter=_BORE, length=_LENGTH, friction_factor=_FACTOR, returns=_HEAD)
def friction_head(velocity, inside_diameter, length, friction_factor):
    """Head that a straight pipe takes by friction, after Darcy and Weisbach.

    Parameters
    ----------
    velocity
        Mean speed.
    inside_diameter
        Bore of the pipe.
    length
        Of the pipe.
    friction_factor
        Darcy factor.

    Notes
    -----
    h = f (L/D) v² / (2 g). Head is a height of water: metres, not pressure.

    References
    ----------
    [MunsonFluid]_ section 8.4.1

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(friction_head(Q(0.8, "m/s"), Q(28, "mm"), Q(7.5, "m"), 0.028), "m")
    '0.245 m'
    """
    return friction_factor * length / (inside_diameter / 1000) * velocity**2 / (2 * GRAVITY)


@formula(flow=_FLOW, inside_diameter=_BORE, length=_LENGTH, c=Arg("-", possible=(40, 160)), returns=_HEAD)
def hazen_williams_head(flow, inside_diameter, length, c=150):
    """Head that a straight pipe takes by friction, after Hazen and Williams: the rule of thumb of irrigation tables.

    Parameters
    ----------
    flow
        Volume that passes in a time.
    inside_diameter
        Bore of the pipe.
    length
        Of the pipe.
    c
        Smoothness of the pipe: 150 for new plastic in one code, 140 in another table.

    Notes
    -----
    h = 10.67 L Q^1.852 / (c^1.852 D^4.8704), Q in m³/s, D and L in m. It knows no temperature, so it fits water of about 15 to 20 °C,
    turbulent flow, and is 5 to 10 % below Darcy and Weisbach in pipes as small as a pond's.

    References
    ----------
    [HazenWilliams]_; c [IllinoisCode906]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(hazen_williams_head(Q(10, "US gpm"), Q(1.049, "inch"), Q(100, "ft")), "m")
    '1.67 m'
    """
    return 10.67 * length * (flow / 60_000) ** 1.852 / (c**1.852 * (inside_diameter / 1000) ** 4.8704)


@formula(velocity=_SPEED, k=_K, returns=_HEAD)
def fittings_head(velocity, k):
    """Head that elbows, valves, the inlet and the outlet take.

    Parameters
    ----------
    velocity
        Mean speed in the pipe.
    k
        Sum of their loss coefficients.

    Notes
    -----
    h = K v² / (2 g)

    References
    ----------
    [MunsonFluid]_ section 8.4.2

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(fittings_head(Q(0.8, "m/s"), 5.2), "m")
    '0.17 m'
    """
    return k * velocity**2 / (2 * GRAVITY)


@formula(flow=_FLOW, inside_diameter=_BORE, length=_LENGTH, lift=Arg("m", possible=(0, 1000)), k=_K, roughness=_ROUGHNESS,
         viscosity=_VISCOSITY, returns=_HEAD)
def line_head(flow, inside_diameter, length, lift, k, roughness=0.03, viscosity=1.1386):
    """Total dynamic head of a line: the height to lift, the friction of the pipe and the fittings, at one flow.

    Parameters
    ----------
    flow
        Volume that passes in a time.
    inside_diameter
        Bore of the pipe.
    length
        Of the pipe.
    lift
        From the pond's water level up to the outlet.
    k
        Sum of the loss coefficients of all fittings.
    roughness
        Height of the wall's bumps; 0.03 mm is plastic pipe with cemented joints.
    viscosity
        Kinematic viscosity; 1.1386 mm²/s is water at 15 °C.

    Notes
    -----
    H = z + (f L/D + K) v² / (2 g), with the Darcy factor f of :func:`friction_factor`.

    References
    ----------
    [MunsonFluid]_ equation 8.21 and section 8.5; roughness [WallingfordTables]_; viscosity [IAPWS95]_; [Colebrook1939]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(line_head(Q(26, "L/min"), Q(28, "mm"), Q(7.5, "m"), Q(1.4, "m"), 5.2), "m")
    '1.73 m'
    """
    if flow == 0:
        return lift
    speed = velocity.plain(flow, inside_diameter)
    factor = friction_factor.plain(reynolds.plain(speed, inside_diameter, viscosity), roughness / inside_diameter)
    return lift + friction_head.plain(speed, inside_diameter, length, factor) + fittings_head.plain(speed, k)


@formula(flow=_FLOW, inside_diameter=_BORE, length=_LENGTH, lift=Arg("m", possible=(0, 1000)), k=_K, roughness=_ROUGHNESS,
         viscosity=_VISCOSITY, returns=_HEAD)
def runs_head(flow, inside_diameter, length, lift, k, roughness=0.03, viscosity=1.1386):
    """Total dynamic head of a line of several runs of pipe, one after the other, at one flow.

    Parameters
    ----------
    flow
        Volume that passes in a time; the same in every run.
    inside_diameter
        Bore of each run; shape (n,).
    length
        Of each run; shape (n,).
    lift
        From the pond's water level up to the outlet.
    k
        Sum of the loss coefficients of the fittings in each run, each for the speed in its own run; shape (n,).
    roughness
        Height of the wall's bumps; 0.03 mm is plastic pipe with cemented joints.
    viscosity
        Kinematic viscosity; 1.1386 mm²/s is water at 15 °C.

    Notes
    -----
    H = z + sum over the runs of (f L/D + K) v²/(2 g). Where pipes of two widths join, the fitting there belongs to one of them.

    References
    ----------
    [MunsonFluid]_ section 8.5 (pipes in series); roughness [WallingfordTables]_; viscosity [IAPWS95]_; [Colebrook1939]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(runs_head(Q(26, "L/min"), Q([28, 20], "mm"), Q([6, 1.5], "m"), Q(1.4, "m"), [4.2, 1]), "m")
    '1.96 m'
    """
    runs = zip(inside_diameter.tolist(), length.tolist(), k.tolist(), strict=True)
    return lift + sum([line_head.plain(flow, bore, long, 0.0, fittings, roughness, viscosity) for bore, long, fittings in runs])


@formula(head=_HEAD, density=_DENSITY, returns=Arg("kPa", possible=(0, 1e6)))
def pressure(head, density=999.1):
    """Pressure under a height of water.

    Parameters
    ----------
    head
        Height of the water.
    density
        Of the water; 999.1 kg/m³ is fresh water at 15 °C.

    Notes
    -----
    p = rho g h: about 10 kPa, or 1.4 psi, for each metre.

    References
    ----------
    [MunsonFluid]_ section 2.3; density [IAPWS95]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(pressure(Q(1, "m")), "kPa")
    '9.8 kPa'
    """
    return density * GRAVITY * head / 1000
