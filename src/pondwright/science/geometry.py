"""How much water: areas, volumes and liners from what a tape and a rod can tell."""

from __future__ import annotations

import math

import numpy as np

from ..units import Arg, formula

_LENGTH = Arg("m", possible=(0, 1000))
_DEPTH = Arg("m", possible=(0, 20))  # twice what a pond file may give
_AREA = Arg("m2", possible=(0, 1e6))
_VOLUME = Arg("m3", possible=(0, 1e6))


@formula(length=_LENGTH, width=_LENGTH, returns=_AREA)
def rectangle_area(length, width):
    """Area of a rectangle.

    Parameters
    ----------
    length
        Long side.
    width
        Short side.

    Notes
    -----
    A = L W

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(rectangle_area(Q(4, "m"), Q(2.5, "m")), "m2")
    '10 m²'
    """
    return length * width


@formula(diameter=_LENGTH, returns=_AREA)
def circle_area(diameter):
    """Area of a circle.

    Parameters
    ----------
    diameter
        Across the middle.

    Notes
    -----
    A = pi D² / 4

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(circle_area(Q(3, "m")), "m2")
    '7.07 m²'
    """
    return math.pi * diameter**2 / 4


@formula(length=_LENGTH, width=_LENGTH, returns=_AREA)
def ellipse_area(length, width):
    """Area of an ellipse.

    Parameters
    ----------
    length
        Longest distance across.
    width
        Shortest distance across.

    Notes
    -----
    A = pi L W / 4

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(ellipse_area(Q(4, "m"), Q(2.5, "m")), "m2")
    '7.85 m²'
    """
    return math.pi * length * width / 4


@formula(length=_LENGTH, width=_LENGTH, returns=_AREA)
def stadium_area(length, width):
    """Area of a stadium: a rectangle with a half circle on each end.

    Parameters
    ----------
    length
        Over both round ends.
    width
        Diameter of the ends.

    Notes
    -----
    A = (L - W) W + pi W² / 4

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(stadium_area(Q(5, "m"), Q(2, "m")), "m2")
    '9.14 m²'
    """
    return (length - width) * width + math.pi * width**2 / 4


@formula(x=Arg("m", possible=(-1e4, 1e4)), y=Arg("m", possible=(-1e4, 1e4)), returns=_AREA)
def polygon_area(x, y):
    """Area inside an outline of straight edges.

    Parameters
    ----------
    x
        Corner positions along one tape, in walking order; array of shape (n,).
    y
        Corner positions along the other, shape (n,).

    Notes
    -----
    The shoelace rule: A = |sum(x_i y_(i+1) - x_(i+1) y_i)| / 2. Edges must not cross.

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(polygon_area(Q([0, 4, 4, 0], "m"), Q([0, 0, 3, 3], "m")), "m2")
    '12 m²'
    """
    return abs(float(np.dot(x, np.roll(y, -1)) - np.dot(np.roll(x, -1), y))) / 2


@formula(length=_LENGTH, widths=_LENGTH, returns=_AREA)
def simpson_area(length, widths):
    """Area from widths measured at equally spaced stations.

    Parameters
    ----------
    length
        From the first station to the last.
    widths
        An odd number of widths, one at each station; shape (n,).

    Notes
    -----
    Simpson's rule: A = (h/3)(w_0 + 4 w_1 + 2 w_2 + ... + 4 w_(n-2) + w_(n-1)), h = L/(n - 1).

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(simpson_area(Q(6, "m"), Q([0, 3, 4, 3, 0], "m")), "m2")
    '16 m²'
    """
    spacing = length / (len(widths) - 1)
    return spacing / 3 * float(widths[0] + 4 * widths[1:-1:2].sum() + 2 * widths[2:-1:2].sum() + widths[-1])


@formula(area=_AREA, depth=_DEPTH, returns=_VOLUME)
def prism_volume(area, depth):
    """Volume of a pond with straight walls, or of any pond from its mean depth.

    Parameters
    ----------
    area
        Water surface.
    depth
        Depth, or mean depth.

    Notes
    -----
    V = A d

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(prism_volume(Q(10, "m2"), Q(0.6, "m")), "L")
    '6000 L'
    """
    return area * depth


@formula(length=_LENGTH, width=_LENGTH, bottom_length=_LENGTH, bottom_width=_LENGTH, depth=_DEPTH, returns=_VOLUME)
def frustum_volume(length, width, bottom_length, bottom_width, depth):
    """Volume of a pond with sloping sides, by the prismoidal rule.

    Parameters
    ----------
    length
        At the water line.
    width
        At the water line.
    bottom_length
        Of the bottom.
    bottom_width
        Of the bottom.
    depth
        From the water line to the bottom.

    Notes
    -----
    V = (A + 4 B + C) D / 6: A the surface, B the area half-way down, C the bottom. Exact for plane sides.

    References
    ----------
    [AH590]_ excavated ponds; [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(frustum_volume(Q(4, "m"), Q(3, "m"), Q(3, "m"), Q(2, "m"), Q(0.9, "m")), "L")
    '7950 L'
    """
    middle = (length + bottom_length) / 2 * (width + bottom_width) / 2
    return (length * width + 4 * middle + bottom_length * bottom_width) * depth / 6


@formula(length=_LENGTH, width=_LENGTH, bottom_length=_LENGTH, bottom_width=_LENGTH, depth=_DEPTH, returns=_AREA)
def frustum_wetted_area(length, width, bottom_length, bottom_width, depth):
    """Bottom and sloping sides of a pond, as far as they are wet.

    Parameters
    ----------
    length
        At the water line.
    width
        At the water line.
    bottom_length
        Of the bottom.
    bottom_width
        Of the bottom.
    depth
        From the water line to the bottom.

    Notes
    -----
    Four trapezoids and the bottom; each slant height is the hypotenuse of the depth and half the difference of the sides.

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(frustum_wetted_area(Q(4, "m"), Q(3, "m"), Q(4, "m"), Q(3, "m"), Q(1, "m")), "m2")
    '26 m²'
    """
    ends = (width + bottom_width) * math.hypot(depth, (length - bottom_length) / 2)
    sides = (length + bottom_length) * math.hypot(depth, (width - bottom_width) / 2)
    return ends + sides + bottom_length * bottom_width


@formula(length=_LENGTH, width=_LENGTH, returns=_LENGTH)
def ellipse_perimeter(length, width):
    """Way round an ellipse; for a circle give the diameter twice.

    Parameters
    ----------
    length
        Longest distance across.
    width
        Shortest distance across.

    Notes
    -----
    Ramanujan's second approximation, P = pi (a + b)(1 + 3h/(10 + sqrt(4 - 3h))), h = ((a - b)/(a + b))²; exact for a circle,
    and less than 0.1 % off for any pond.

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(ellipse_perimeter(Q(4, "m"), Q(2, "m")), "m")
    '9.69 m'
    """
    a, b = length / 2, width / 2
    h = ((a - b) / (a + b)) ** 2
    return math.pi * (a + b) * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h)))


@formula(bottom=_AREA, perimeter=_LENGTH, depth=_DEPTH, returns=_AREA)
def wetted_area(bottom, perimeter, depth):
    """Bottom and straight walls of a pond, as far as they are wet.

    Parameters
    ----------
    bottom
        Area of the bottom.
    perimeter
        Way round the walls.
    depth
        Depth at the walls.

    Notes
    -----
    A_wet = A_bottom + P d

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(wetted_area(Q(12, "m2"), Q(14, "m"), Q(1, "m")), "m2")
    '26 m²'
    """
    return bottom + perimeter * depth


@formula(volume=_VOLUME, area=Arg("m2", possible=(1e-6, 1e6)), returns=_DEPTH)
def mean_depth(volume, area):
    """Mean depth of a pond.

    Parameters
    ----------
    volume
        Of the water.
    area
        Of the surface.

    Notes
    -----
    d = V / A

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(mean_depth(Q(6000, "L"), Q(10, "m2")), "m")
    '0.6 m'
    """
    return volume / area


@formula(side=_LENGTH, depth=_DEPTH, overlap=Arg("m", possible=(0, 5)), returns=_LENGTH)
def liner_side(side, depth, overlap):
    """One side of the liner sheet: across the bottom, up both walls, and over both edges.

    Parameters
    ----------
    side
        Length or width of the pond at the water line.
    depth
        Greatest depth.
    overlap
        Beyond the water line, on each side.

    Notes
    -----
    S = L + 2 d + 2 o; enough for straight walls, more than enough for sloping ones. Common practice.

    References
    ----------
    [Practice]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(liner_side(Q(3, "m"), Q(0.8, "m"), Q(0.3, "m")), "m")
    '5.2 m'
    """
    return side + 2 * depth + 2 * overlap


@formula(volume=_VOLUME, density=Arg("kg/m3", possible=(900, 1100)), returns=Arg("kg", possible=(0, 1e9)))
def water_mass(volume, density=999.1):
    """Mass of the water.

    Parameters
    ----------
    volume
        Of the water.
    density
        Of the water; 999.1 kg/m³ is fresh water at 15 °C.

    Notes
    -----
    m = rho V. Between 0 and 30 °C fresh water stays within 0.4 % of 999.1 kg/m³.

    References
    ----------
    [IAPWS95]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(water_mass(Q(5000, "L")), "kg", digits=2)
    '5000 kg'
    """
    return density * volume
