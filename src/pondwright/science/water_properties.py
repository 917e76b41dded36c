"""What water weighs and how thick it is: density and viscosity by temperature."""
from __future__ import annotations

from ..units import Arg, formula

_LIQUID = Arg("degC", possible=(0, 100), calibrated=(0, 40))


@formula(temperature=_LIQUID, returns=Arg("kg/m3", possible=(900, 1001)))
def density(temperature):
    """Density of fresh water at normal air pressure.

    Parameters
    ----------
    temperature
        Of the water.

    Notes
    -----
    rho = 999.97495 (1 - (t - 3.983035)² (t + 301.797) / (522528.9 (t + 69.34881))), t in °C. Water is densest at 4 °C, which is why
    a pond stays warmest at the bottom under ice.

    References
    ----------
    [Tanaka2001]_ p. 305

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(density(Q(20, "degC")), "kg/m3", digits=4)
    '998.2 kg/m³'
    """
    return 999.97495 * (1 - (temperature - 3.983035) ** 2 * (temperature + 301.797) / (522528.9 * (temperature + 69.34881)))


@formula(temperature=Arg("degC", possible=(0, 100)), returns=Arg("mPa_s", possible=(0.1, 2)))
def dynamic_viscosity(temperature):
    """Dynamic viscosity of fresh water: how strongly it resists being sheared.

    Parameters
    ----------
    temperature
        Of the water.

    Notes
    -----
    mu = sum(a_i (T/300)^b_i) in µPa s, T in kelvin, a = 280.68, 511.45, 61.131, 0.45903, b = -1.9, -7.7, -19.6, -40. The source gives
    it for -20 to 110 °C. Water of 5 °C is twice as thick as water of 35 °C.

    References
    ----------
    [IAPWSSR6]_ equation for viscosity

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(dynamic_viscosity(Q(20, "degC")), "mPa_s")
    '1 mPa s'
    """
    t = (temperature + 273.15) / 300
    return (280.68 * t**-1.9 + 511.45 * t**-7.7 + 61.131 * t**-19.6 + 0.45903 * t**-40) / 1000


@formula(temperature=_LIQUID, returns=Arg("mm2/s", possible=(0.1, 2)))
def kinematic_viscosity(temperature):
    """Kinematic viscosity of fresh water: the dynamic viscosity shared out over its density, as pipe formulas want it.

    Parameters
    ----------
    temperature
        Of the water.

    Notes
    -----
    nu = mu / rho

    References
    ----------
    [IAPWSSR6]_, [Tanaka2001]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(kinematic_viscosity(Q(5, "degC")), "mm2/s")
    '1.52 mm²/s'
    """
    return dynamic_viscosity.plain(temperature) / density.plain(temperature) * 1000
