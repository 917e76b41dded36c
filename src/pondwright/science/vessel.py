"""The filter vessel: what it holds at each level, what its media keep of the water, how long the water stays, what its stand carries."""
from __future__ import annotations

import numpy as np

from ..units import Arg, formula
from .pipes import GRAVITY
from .water_properties import kinematic_viscosity

_LEVEL = Arg("m", possible=(0, 20))
_AREA = Arg("m2", possible=(1e-4, 1e5))
_SURFACE = Arg("m2/m3", possible=(1, 1e5))
_VOID = Arg("-", possible=(0.2, 0.995))
_SHARE = Arg("-", possible=(0, 1))
_VOLUME = Arg("m3", possible=(0, 1e5))
_PER_DAY = 86_400  # s


@formula(level=_LEVEL, area=_AREA, cone_height=Arg("m", possible=(0, 20)), returns=_VOLUME)
def filled_volume(level, area, cone_height=0.0):
    """Room in a vessel with straight walls, and perhaps a cone below them, up to a level.

    Parameters
    ----------
    level
        Height above the lowest point; a number or an array.
    area
        Inside, seen from above, where the walls are straight.
    cone_height
        Of a cone or pyramid that narrows to a point at the bottom; none by default.

    Notes
    -----
    Above the cone V = A (h - c) + A c/3, inside it V = (A c/3) (h/c)³: a cone holds a third of the cylinder around it.

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(filled_volume(Q(0.9, "m"), Q(0.25, "m2"), Q(0.3, "m")), "L")
    '175 L'
    """
    below = (level < cone_height) * 1.0
    inside = area * cone_height / 3 * (level / (cone_height or 1.0)) ** 3
    return below * inside + (1 - below) * (area * level - 2 / 3 * area * cone_height)


@formula(surface=_SURFACE, void=_VOID, returns=Arg("mm", possible=(0, None)))
def equivalent_diameter(surface, void):
    """Size of the balls that would have the surface and the open space of a bed: one length for stones, rings and foam alike.

    Parameters
    ----------
    surface
        Specific surface area of the bed.
    void
        Share of the bed that is open space.

    Notes
    -----
    d = 6 (1 - void)/a, the geometry of packed balls turned round.

    References
    ----------
    [SphereBed]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(equivalent_diameter(Q(160, "m2/m3"), 0.48), "mm")
    '19.5 mm'
    """
    return 6000 * (1 - void) / surface


@formula(diameter=Arg("mm", possible=(0.01, 1000)), void=_VOID, tension=Arg("J/m2", possible=(0.01, 0.1)), returns=_SHARE)
def static_holdup(diameter, void, tension=0.0727):
    """Share of a clean bed that stays wet after it has drained: drops where the pieces touch, held by surface tension.

    Parameters
    ----------
    diameter
        Of the pieces; the equivalent diameter where they are no balls.
    void
        Share of the bed that is open space.
    tension
        Surface tension of the water: 0.0727 J/m² (or N/m) at 20 °C.

    Notes
    -----
    h = 1/(20 + 0.9 E), E = 1000 g d² void²/(s (1 - void)²), s the surface tension, d the diameter: at most 5 %. It leaves out water
    soaked into porous stones, and the film of bacteria, which is nearly all water.

    References
    ----------
    [SaezCarbonell1985]_; the form of h as read in a textbook of packed columns, eq. 62, E from memory

    Examples
    --------
    >>> from pondwright import Q, show
    >>> round(float(static_holdup(Q(3, "mm"), 0.4).m), 4)
    0.0488
    """
    bond = 1000 * GRAVITY * (diameter / 1000) ** 2 * void**2 / (tension * (1 - void) ** 2)
    return 1 / (20 + 0.9 * bond)


@formula(loading=Arg("m3/m2/d", possible=(0, 1e4)), surface=_SURFACE, void=_VOID, temperature=Arg("degC", possible=(0, 60)),
         method=("BilletSchultes1999", "Stichlmair1989", "Nusselt1916"), returns=Arg("-", possible=(0, None)))
def running_holdup(loading, surface, void, temperature=15.0, method="BilletSchultes1999"):
    """Share of a trickling bed that running water takes up, beside what it holds when it has drained.

    Parameters
    ----------
    loading
        Water on each square metre.
    surface
        Specific surface area of the bed.
    void
        Share of the bed that is open space.
    temperature
        Of the water: cold water is thicker and runs off slower.
    method
        Whose equation.

    Notes
    -----
    With u the loading in m/s, a the surface, v the viscosity: a film that slides down walls has (3 v u a²/g)^(1/3) (Nusselt); measured
    on rings and sheets with air rising, (12 v u a²/g)^(1/3) (Billet and Schultes); 0.555 (a u²/(g void^4.65))^(1/3) (Stichlmair).

    References
    ----------
    [BilletSchultes1999]_; [Stichlmair1989]_; [Nusselt1916]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> round(float(running_holdup(Q(115, "m3/m2/d"), Q(160, "m2/m3"), 0.48).m), 3)
    0.036
    """
    speed = loading / _PER_DAY
    if method == "Stichlmair1989":
        return 0.555 * (surface * speed**2 / (GRAVITY * void**4.65)) ** (1 / 3)
    factor = 12 if method == "BilletSchultes1999" else 3
    return (factor * kinematic_viscosity.plain(temperature) * 1e-6 * speed * surface**2 / GRAVITY) ** (1 / 3)


@formula(surface=_SURFACE, thickness=Arg("mm", possible=(0, 10)), void=_VOID, returns=_SHARE)
def film_water(surface, thickness, void):
    """Share of a bed that its film of bacteria takes up; nearly all of it is water.

    Parameters
    ----------
    surface
        Specific surface area of the bed.
    thickness
        Of the film.
    void
        Share of the bed that is open space.

    Notes
    -----
    h = a s, and never more than the void: a film as thick as that has clogged the bed.

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(film_water(Q(160, "m2/m3"), Q(0.2, "mm"), 0.48), "-", digits=2)
    '0.032'
    """
    return np.minimum(surface * thickness / 1000, void)


@formula(volume=Arg("L", possible=(0, 1e9)), flow=Arg("L/min", possible=(1e-6, 1e6)), returns=Arg("min", possible=(0, None)))
def contact_time(volume, flow):
    """Empty-bed contact time: how long the water would need to fill the room that the media take.

    Parameters
    ----------
    volume
        Of the bed, stones and gaps together.
    flow
        Through it.

    Notes
    -----
    t = V/Q. In a flooded bed the water itself stays for t times the void share; in a trickling bed far shorter.

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(contact_time(Q(160, "L"), Q(20, "L/min")), "min")
    '8 min'
    """
    return volume / flow


@formula(dry=Arg("kg", possible=(0, 1e6)), water=_VOLUME, density=Arg("kg/m3", possible=(900, 1100)), returns=Arg("kg", possible=(0, None)))
def mass_on_stand(dry, water, density=999.1):
    """Mass that the ground or a stand carries: the vessel with its dry media, and the water in it.

    Parameters
    ----------
    dry
        Vessel and dry media.
    water
        Between the media, in their pores and above and below them.
    density
        Of the water.

    Notes
    -----
    m = m_dry + rho V

    References
    ----------
    [Geometry]_; [IAPWS95]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(mass_on_stand(Q(130, "kg"), Q(140, "L")), "kg")
    '270 kg'
    """
    return dry + density * water
