"""Ways out of a vessel: what a hole in the wall, a lip, a drowned mouth and a full pipe let through at each height of the water."""
from __future__ import annotations

import math

from ..units import Arg, QuantityError, formula
from .pipes import GRAVITY

_FLOW = Arg("L/min", possible=(0, 1e9))
_BORE = Arg("mm", possible=(1, 2000))
_LEVEL = Arg("cm", possible=(0, 10_000))
_SHARE = Arg("-", possible=(0.01, 1))
_FALL = math.sqrt(2 * GRAVITY)
# nodes and weights of Gauss and Legendre's rule of 8 points, as (sin² phi, weight x 4 sin² phi cos² phi) for phi from 0 to a right angle
_POINTS = ((0.1834346424956498, 0.3626837833783620), (0.5255324099163290, 0.3137066458778873),
           (0.7966664774136267, 0.2223810344533745), (0.9602898564975363, 0.1012285362903763))
_RULE = tuple((s, 4 * s * (1 - s) * w * math.pi / 4) for x, w in _POINTS for s in (math.sin(math.pi / 4 * (1 + x)) ** 2,
                                                                                  math.sin(math.pi / 4 * (1 - x)) ** 2))
_STRIPS = tuple((s, w / (2 * math.sqrt(s * (1 - s)))) for s, w in _RULE)  # the same points, with weights for a plain integral over s


@formula(inside_diameter=_BORE, level=_LEVEL, cd=_SHARE, returns=_FLOW)
def hole_flow(inside_diameter, level, cd=0.61):
    """Flow out of a round hole in a wall: a weir while the water stands below its top, an orifice when it is drowned.

    Parameters
    ----------
    inside_diameter
        Of the hole.
    level
        Of the water above the lowest point of the hole; one number.
    cd
        Discharge coefficient: the share of the frictionless flow that passes, since the jet shrinks behind the edge.

    Notes
    -----
    Q = cd ∫ b(z) sqrt(2 g (h - z)) dz over the wet part of the hole, b(z) = 2 sqrt(z (D - z)) being its width at the height z. With
    z = m sin² phi and m and M the smaller and the larger of h and D, the integral is that of 4 m² sin² phi cos² phi sqrt(M - m sin² phi)
    from 0 to a right angle. Far above the hole it becomes cd A sqrt(2 g h), h above the centre. The jet falls free on the other side.

    References
    ----------
    [Unwin1911]_ section 40 (large jets) and the tables of round orifices

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(hole_flow(Q(26, "mm"), Q(1.3, "cm")), "L/min"), show(hole_flow(Q(26, "mm"), Q(5, "cm")), "L/min")
    ('2.99 L/min', '16.5 L/min')
    """
    bore, height = inside_diameter / 1000, level / 100
    small, large = (height, bore) if height < bore else (bore, height)
    return 60_000 * cd * _FALL * small**2 * sum([w * math.sqrt(large - small * s) for s, w in _RULE])


@formula(inside_diameter=_BORE, level=_LEVEL, tail=_LEVEL, cd=_SHARE, returns=_FLOW)
def drowned_hole_flow(inside_diameter, level, tail, cd=0.61):
    """Flow through a round hole in a wall with water on its other side too.

    Parameters
    ----------
    inside_diameter
        Of the hole.
    level
        Of the higher water above the lowest point of the hole; one number.
    tail
        Of the lower water above that point.
    cd
        Discharge coefficient.

    Notes
    -----
    Q = cd (a sqrt(2 g (h - t)) + ∫ b(z) sqrt(2 g (h - z)) dz): below the lower water, at the height t, the difference of the two levels
    drives the flow through the drowned part a of the hole; above it the hole works as if it stood in the open (:func:`hole_flow`). Both
    waters are taken to stand still.

    References
    ----------
    [DrownedHole]_; [Unwin1911]_ section 40 (large jets)

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(drowned_hole_flow(Q(26, "mm"), Q(5, "cm"), Q(4, "cm")), "L/min")
    '8.61 L/min'
    """
    if tail > level:
        raise QuantityError(f"the tail water is the lower one: {tail:g} cm is above {level:g} cm.")
    bore, height, other = inside_diameter / 1000, level / 100, tail / 100
    low, top = min(other, bore), min(height, bore)
    angle = math.acos(1 - 2 * low / bore)
    drowned = bore**2 / 4 * (angle - math.sin(angle) * math.cos(angle)) * math.sqrt(height - other)
    heights = [(low + (top - low) * s, w) for s, w in _STRIPS]
    free = (top - low) * sum([w * 2 * math.sqrt(z * (bore - z) * (height - z)) for z, w in heights])
    return 60_000 * cd * _FALL * (drowned + free)


@formula(inside_diameter=_BORE, head=_LEVEL, cd=_SHARE, returns=_FLOW)
def lip_flow(inside_diameter, head, cd=0.62):
    """Flow over the round lip of a pipe that stands upright: a weir as long as the lip.

    Parameters
    ----------
    inside_diameter
        Of the pipe; the lip's length is its circumference.
    head
        Height of the water over the lip; one number.
    cd
        Discharge coefficient of a sharp weir.

    Notes
    -----
    Q = (2/3) cd sqrt(2 g) pi D h^1.5. A lip that is not level, or a swirl over it, changes the flow by a fifth either way.

    References
    ----------
    [SharpWeir]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(lip_flow(Q(52.5, "mm"), Q(2, "cm")), "L/min")
    '51.2 L/min'
    """
    return 60_000 * 2 / 3 * cd * _FALL * math.pi * inside_diameter / 1000 * (head / 100) ** 1.5


@formula(inside_diameter=_BORE, head=_LEVEL, cd=_SHARE, returns=_FLOW)
def orifice_flow(inside_diameter, head, cd=0.61):
    """Flow through a round opening that lies well under water.

    Parameters
    ----------
    inside_diameter
        Of the opening.
    head
        Height of the water over the centre of the opening; one number.
    cd
        Discharge coefficient.

    Notes
    -----
    Q = cd A sqrt(2 g h). Four times the head gives twice the flow.

    References
    ----------
    [NJAC79A]_ table of hole discharge (cd about 0.60); [Unwin1911]_ tables of round orifices (0.60 to 0.64)

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(orifice_flow(Q(0.25, "inch"), Q(3, "ft"), 0.6), "US gpm")
    '1.28 US gpm'
    """
    return 60_000 * cd * math.pi * (inside_diameter / 1000) ** 2 / 4 * _FALL * math.sqrt(head / 100)


@formula(head=_LEVEL, inside_diameter=_BORE, length=Arg("m", possible=(0, 10_000)), k=Arg("-", possible=(0.5, 10_000)),
         roughness=Arg("mm", possible=(0, 20)), viscosity=Arg("mm2/s", possible=(0.1, 1e6)), returns=_FLOW)
def full_pipe_flow(head, inside_diameter, length, k, roughness=0.03, viscosity=1.1386):
    """Flow that a height of water drives through a pipe running full: a drain, a siphon, a line by gravity.

    Parameters
    ----------
    head
        From the water down to the pipe's free end (or to the water it ends in); one number.
    inside_diameter
        Bore of the pipe.
    length
        Of the pipe.
    k
        Sum of the loss coefficients, with 1 for the speed that is lost at the end.
    roughness
        Height of the wall's bumps; 0.03 mm is plastic pipe with cemented joints.
    viscosity
        Kinematic viscosity; 1.1386 mm²/s is water at 15 °C.

    Notes
    -----
    v = sqrt(2 g h / (K + f L/D)), with the larger of 64/Re and the root of 1/sqrt(f) = -2 log10((e/D)/3.7 + 2.51/(Re sqrt(f))), both
    found together step by step. A pipe that falls and runs full pulls water by its whole fall; it does so only while no air gets in.

    References
    ----------
    [MunsonFluid]_ equation 8.21 and section 8.5; [Colebrook1939]_; roughness [WallingfordTables]_; viscosity [IAPWS95]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(full_pipe_flow(Q(10, "cm"), Q(26.6, "mm"), Q(0.5, "m"), 1.5), "L/min")
    '32.9 L/min'
    """
    bore, wall = inside_diameter / 1000, roughness / inside_diameter / 3.7
    drive, slender, before, root = 2 * GRAVITY * head / 100, length / bore, 0.0, 6.0  # root: 1/sqrt(f)
    if drive == 0:
        return 0.0
    while abs(root - before) > 1e-8 * root:
        speed = math.sqrt(drive / (k + slender / root**2))
        re_number = speed * inside_diameter * 1000 / viscosity
        before, root = root, min(-2 * math.log10(wall + 2.51 * root / re_number), math.sqrt(re_number) / 8)
        root = max(root, 1e-3)
    return 60_000 * speed * math.pi * bore**2 / 4


@formula(hole=Arg("mm", possible=(1, 2000)), diameter=Arg("cm", possible=(1, 2000)), returns=Arg("mm", possible=(0, 2000)))
def curved_gap(hole, diameter):
    """Gap that a flat seal has to bridge on a round wall: how far the wall bends away across a hole.

    Parameters
    ----------
    hole
        Diameter of the hole; smaller than the vessel.
    diameter
        Of the vessel.

    Notes
    -----
    s = (D - sqrt(D² - d²)) / 2: the height of the arc over the chord d.

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(curved_gap(Q(50, "mm"), Q(57, "cm")), "mm")
    '1.1 mm'
    """
    across = 10 * diameter
    if hole > across:
        raise QuantityError(f"a hole is no wider than the vessel: {hole:g} mm in {diameter:g} cm.")
    return (across - math.sqrt(across**2 - hole**2)) / 2
