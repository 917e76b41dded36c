"""Cable and fuse: resistance of copper, voltage lost on the way, and the copper that keeps it small."""
from __future__ import annotations

import numpy as np

from ..units import Arg, formula

_CURRENT = Arg("A", possible=(0, 1e7))
_LENGTH = Arg("m", possible=(0, 1000))
_AREA = Arg("mm2", possible=(0.01, 500))
_CELSIUS = Arg("degC", possible=(-60, 120))
_RESISTIVITY = Arg("ohm_mm2/m", possible=(0.01, 0.1))
_PER_KM = Arg("ohm/km", possible=(0, 1e4))


@formula(gauge=Arg("-", possible=(-3, 40)), returns=Arg("mm", possible=(0, 20)))
def awg_diameter(gauge):
    """Diameter of the bare wire of an American wire gauge.

    Parameters
    ----------
    gauge
        AWG number; the larger the number, the thinner the wire.

    Notes
    -----
    d = 0.127 mm 92^((36 - n)/39)

    References
    ----------
    [ASTMB258]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(awg_diameter(12), "mm")
    '2.05 mm'
    """
    return 0.127 * 92 ** ((36 - gauge) / 39)


@formula(gauge=Arg("-", possible=(-3, 40)), returns=Arg("mm2", possible=(0, 200)))
def awg_area(gauge):
    """Copper area of an American wire gauge.

    Parameters
    ----------
    gauge
        AWG number.

    Notes
    -----
    A = pi d²/4

    References
    ----------
    [ASTMB258]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(awg_area(12), "mm2")
    '3.31 mm²'
    """
    return np.pi / 4 * awg_diameter.plain(gauge) ** 2


@formula(resistance=_PER_KM, temperature=_CELSIUS, coefficient=Arg("%/K", possible=(0, 1)), returns=_PER_KM)
def warm_resistance(resistance, temperature, coefficient=0.393):
    """Resistance of copper wire that is warmer (or colder) than 20 °C.

    Parameters
    ----------
    resistance
        For each kilometre at 20 °C.
    temperature
        Of the wire.
    coefficient
        Change for each degree; 0.393 %/K is annealed copper, 0.4 %/K the rounding of IEC 60228.

    Notes
    -----
    R = R_20 (1 + alpha (T - 20))

    References
    ----------
    [IACS]_; [IEC60228]_ temperature correction

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(warm_resistance(Q(7.98, "ohm/km"), Q(50, "degC")), "ohm/km")
    '8.92 ohm/km'
    """
    return resistance * (1 + coefficient / 100 * (temperature - 20))


@formula(area=_AREA, resistivity=_RESISTIVITY, returns=_PER_KM)
def wire_resistance(area, resistivity=0.017241):
    """Resistance of copper wire at 20 °C.

    Parameters
    ----------
    area
        Copper cross-section.
    resistivity
        Of the metal; 0.017241 ohm mm²/m is pure annealed copper. Fine-stranded cable needs more length and has about 0.020.

    Notes
    -----
    R = rho/A, for one wire, one way.

    References
    ----------
    [IACS]_; [IEC60228]_ for stranded cable

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(wire_resistance(Q(2.5, "mm2")), "ohm/km")
    '6.9 ohm/km'
    """
    return 1000 * resistivity / area


@formula(current=_CURRENT, length=_LENGTH, resistance=_PER_KM, returns=Arg("V", possible=(0, 1e8)))
def voltage_drop(current, length, resistance):
    """Voltage lost in a two-wire cable.

    Parameters
    ----------
    current
        That flows.
    length
        Of the cable, one way; the current goes there and back.
    resistance
        Of one wire, for each kilometre.

    Notes
    -----
    V_drop = 2 L I R

    References
    ----------
    [ElectricBasics]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(voltage_drop(Q(0.83, "A"), Q(9, "m"), Q(7.98, "ohm/km")), "V")
    '0.119 V'
    """
    return 2 * length * current * resistance / 1000


@formula(current=_CURRENT, length=_LENGTH, drop=Arg("V", possible=(1e-3, 100)), resistivity=_RESISTIVITY,
         returns=Arg("mm2", possible=(0, 1e8)))
def cable_area(current, length, drop, resistivity=0.017241):
    """Copper area that keeps the voltage lost in a two-wire cable to a limit.

    Parameters
    ----------
    current
        That flows.
    length
        Of the cable, one way.
    drop
        Voltage that may be lost.
    resistivity
        Of the wire; 0.017241 ohm mm²/m is pure annealed copper. Fine-stranded cable has about 0.020.

    Notes
    -----
    A = 2 L I rho/V_drop

    References
    ----------
    [ElectricBasics]_; [IACS]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(cable_area(Q(5, "A"), Q(10, "m"), Q(0.36, "V")), "mm2")
    '4.79 mm²'
    """
    return 2 * length * current * resistivity / drop
