"""Sun to pump: what the loads need in a day, what the panel brings, and what the charge controller must bear.

Everything here is low-voltage direct current. Mains wiring is the work of a licensed electrician.
"""
from __future__ import annotations

import numpy as np

from ..units import Arg, formula

_POWER = Arg("W", possible=(0, 1e7))
_HOURS = Arg("h/d", possible=(0, 24))
_VOLTAGE = Arg("V", possible=(0.1, 1000))
_CURRENT = Arg("A", possible=(0, 1e7))
_ENERGY = Arg("Wh/d", possible=(0, 1e9))
_CHARGE = Arg("Ah/d", possible=(0, 1e9))
_SUN = Arg("kWh/m2/d", possible=(0, 20))
_SOME_SUN = Arg("kWh/m2/d", possible=(1e-3, 20))
_SHARE = Arg("%", possible=(0, 100))
_SOME_SHARE = Arg("%", possible=(1, 100))
_CELSIUS = Arg("degC", possible=(-60, 120))


# ---------------------------------------------------------------------------------------------------------- loads and panels


@formula(power=_POWER, hours=_HOURS, returns=_ENERGY)
def daily_energy(power, hours):
    """Energy that a load uses in a day.

    Parameters
    ----------
    power
        On the label, in watts.
    hours
        That it runs each day.

    Notes
    -----
    E = P t. Watts say how fast energy is used, watt-hours how much.

    References
    ----------
    [ElectricBasics]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(daily_energy(Q(20, "W"), Q(24, "h/d")), "Wh/d")
    '480 Wh/day'
    """
    return power * hours


@formula(power=_POWER, voltage=_VOLTAGE, returns=_CURRENT)
def load_current(power, voltage):
    """Amperes that a load draws.

    Parameters
    ----------
    power
        Of the load.
    voltage
        Of the battery.

    Notes
    -----
    I = P / V

    References
    ----------
    [ElectricBasics]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(load_current(Q(20, "W"), Q(24, "V")), "A")
    '0.833 A'
    """
    return power / voltage


@formula(air=Arg("degC", possible=(-60, 60)), irradiance=Arg("W/m2", possible=(0, 1500)), noct=Arg("degC", possible=(30, 60)),
         returns=_CELSIUS)
def cell_temperature(air, irradiance, noct=46.0):
    """Temperature of the cells of a panel in the sun.

    Parameters
    ----------
    air
        Temperature of the air; a number or an array.
    irradiance
        Sunlight on the panel.
    noct
        The cells' temperature in 20 °C air, 800 W/m² and a light wind (on many data sheets; 46 °C is the median of the module table).

    Notes
    -----
    T_cell = T_air + (NOCT - 20) G/800, for a panel with air behind it.

    References
    ----------
    [NOCT]_; [SAMModules]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(cell_temperature(Q(25, "degC"), Q(800, "W/m2")), "degC")
    '51 °C'
    """
    return air + (noct - 20) / 800 * irradiance


@formula(power=_POWER, irradiance=Arg("W/m2", possible=(0, 1500)), cell=_CELSIUS, coefficient=Arg("%/K", possible=(-1, 0)), returns=_POWER)
def panel_power(power, irradiance, cell, coefficient=-0.45):
    """Power of a panel at a sunlight and a cell temperature.

    Parameters
    ----------
    power
        On the label: at 1000 W/m² and cells at 25 °C.
    irradiance
        Sunlight on the panel.
    cell
        Temperature of its cells; a number or an array.
    coefficient
        Change of power for each degree above 25 °C (on the data sheet; -0.45 %/K is the median of the module table).

    Notes
    -----
    P = P_label G/1000 (1 + gamma (T_cell - 25))

    References
    ----------
    [PVWatts5]_ DC power; [SAMModules]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(panel_power(Q(200, "W"), Q(1000, "W/m2"), Q(55, "degC")), "W")
    '173 W'
    """
    return power * irradiance / 1000 * (1 + coefficient / 100 * (cell - 25))


@formula(power=_POWER, sun=_SUN, clean=_SHARE, wiring=_SHARE, controller=_SHARE, battery=_SHARE, returns=_ENERGY)
def panel_energy(power, sun, clean, wiring, controller, battery):
    """Energy that reaches the loads in a day from panels on an MPPT controller.

    Parameters
    ----------
    power
        Of all panels at 1000 W/m²; a number or an array.
    sun
        On the panel in a mean day, in kWh/m²: as many hours of full sun of 1 kW/m².
    clean
        Share left by dirt and shade.
    wiring
        Share left by cables, plugs and uneven panels.
    controller
        Share left by the controller's conversion.
    battery
        Share of the energy put into the battery that comes out again.

    Notes
    -----
    E = P H/(1 kW/m²) times the four shares. All energy is taken to pass through the battery, which is on the safe side.

    References
    ----------
    [PVWatts5]_ system losses; [ElectricBasics]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> shares = [Q(x, "%") for x in (95, 93, 95, 80)]
    >>> show(panel_energy(Q(400, "W"), Q(1.5, "kWh/m2/d"), *shares), "Wh/d")
    '403 Wh/day'
    """
    return power * sun * clean * wiring * controller * battery * 1e-8


@formula(current=_CURRENT, sun=_SUN, clean=_SHARE, wiring=_SHARE, battery=_SHARE, returns=_CHARGE)
def panel_charge(current, sun, clean, wiring, battery):
    """Charge that reaches the loads in a day from panels on a switching (PWM) controller.

    Parameters
    ----------
    current
        Imp on the label, times the number of strings side by side.
    sun
        On the panel in a mean day, in kWh/m²: as many hours of full sun of 1 kW/m².
    clean
        Share left by dirt and shade.
    wiring
        Share left by plugs and uneven panels.
    battery
        Share of the ampere-hours put into the battery that come out again.

    Notes
    -----
    Q = Imp H/(1 kW/m²) times the shares. A switching controller holds the panel at the battery's voltage, so volts above that are
    lost and only the current counts.

    References
    ----------
    [ElectricBasics]_; [PVWatts5]_ system losses

    Examples
    --------
    >>> from pondwright import Q, show
    >>> shares = [Q(x, "%") for x in (95, 93, 90)]
    >>> show(panel_charge(Q(9.8, "A"), Q(1.5, "kWh/m2/d"), *shares), "Ah/d")
    '11.7 Ah/d'
    """
    return current * sun * clean * wiring * battery * 1e-6


@formula(energy=_ENERGY, sun=_SOME_SUN, clean=_SOME_SHARE, wiring=_SOME_SHARE, controller=_SOME_SHARE, battery=_SOME_SHARE,
         warm=_SOME_SHARE, returns=Arg("W", possible=(0, 1e9)))
def panel_needed(energy, sun, clean, wiring, controller, battery, warm=100.0):
    """Panel power that carries the loads through a mean day on an MPPT controller.

    Parameters
    ----------
    energy
        That all loads use in a day.
    sun
        On the panel in a mean day of the month.
    clean
        Share left by dirt and shade.
    wiring
        Share left by cables, plugs and uneven panels.
    controller
        Share left by the controller's conversion.
    battery
        Share of the energy put into the battery that comes out again.
    warm
        Share of the label's watts that is left when the cells are warmer than 25 °C (panel_power over the label).

    Notes
    -----
    P = E/(H times the five shares): panel_energy and panel_power turned round.

    References
    ----------
    [PVWatts5]_ system losses; [ElectricBasics]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> shares = [Q(x, "%") for x in (95, 93, 95, 80)]
    >>> show(panel_needed(Q(480, "Wh/d"), Q(1.5, "kWh/m2/d"), *shares), "W")
    '477 W'
    """
    return energy / (sun * clean * wiring * controller * battery * warm * 1e-10)


@formula(charge=_CHARGE, sun=_SOME_SUN, clean=_SOME_SHARE, wiring=_SOME_SHARE, battery=_SOME_SHARE, returns=Arg("A", possible=(0, 1e8)))
def panel_current_needed(charge, sun, clean, wiring, battery):
    """Panel current (Imp) that carries the loads through a mean day on a switching controller.

    Parameters
    ----------
    charge
        Ampere-hours that all loads use in a day.
    sun
        On the panel in a mean day of the month.
    clean
        Share left by dirt and shade.
    wiring
        Share left by plugs and uneven panels.
    battery
        Share of the ampere-hours put into the battery that come out again.

    Notes
    -----
    Imp = Q/(H times the shares): panel_charge turned round.

    References
    ----------
    [ElectricBasics]_; [PVWatts5]_ system losses

    Examples
    --------
    >>> from pondwright import Q, show
    >>> shares = [Q(x, "%") for x in (95, 93, 90)]
    >>> show(panel_current_needed(Q(20, "Ah/d"), Q(1.5, "kWh/m2/d"), *shares), "A")
    '16.8 A'
    """
    return charge / (sun * clean * wiring * battery * 1e-6)


@formula(wanted=_HOURS, supplied=_ENERGY, needed=Arg("Wh/d", possible=(1e-6, 1e9)), returns=_HOURS)
def carried_hours(wanted, supplied, needed):
    """Hours a day for which the supply carries a load.

    Parameters
    ----------
    wanted
        Hours that the load should run.
    supplied
        Energy that reaches the loads; a number or an array.
    needed
        Energy that all loads use in a day if they run as wanted.

    Notes
    -----
    t = t_wanted min(1, E_in/E_needed): all loads are cut by the same share.

    References
    ----------
    [ElectricBasics]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(carried_hours(Q(24, "h/d"), Q(403, "Wh/d"), Q(480, "Wh/d")), "h/d")
    '20.2 h/day'
    """
    return wanted * np.minimum(1.0, supplied / needed)


# ---------------------------------------------------------------------------------------------------------------- controller


@formula(current=_CURRENT, factor=Arg("-", possible=(1, 2)), returns=_CURRENT)
def controller_current(current, factor=1.25):
    """Amperes for which a controller, or a fuse, is chosen.

    Parameters
    ----------
    current
        That flows at the most: Isc of all strings together, or a load's current.
    factor
        Margin; for panels the edge of a cloud can give a quarter more than the label.

    Notes
    -----
    I = 1.25 I_max

    References
    ----------
    [NEC690]_ 690.8

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(controller_current(Q(10.4, "A")), "A")
    '13 A'
    """
    return factor * current


@formula(power=_POWER, voltage=_VOLTAGE, efficiency=_SHARE, returns=_CURRENT)
def mppt_current(power, voltage, efficiency=95.0):
    """Amperes that an MPPT controller sends into the battery at full sun.

    Parameters
    ----------
    power
        Of all panels.
    voltage
        Of the battery while it charges.
    efficiency
        Of the controller's conversion.

    Notes
    -----
    I = eta P/V

    References
    ----------
    [ElectricBasics]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(mppt_current(Q(400, "W"), Q(28.8, "V")), "A")
    '13.2 A'
    """
    return efficiency / 100 * power / voltage


@formula(voltage=_VOLTAGE, in_series=Arg("-", possible=(1, 50)), temperature=_CELSIUS,
         coefficient=Arg("%/K", possible=(-1, 0)), returns=Arg("V", possible=(0, 1e5)))
def string_voltage(voltage, in_series, temperature, coefficient):
    """Voltage of panels in series at a cell temperature.

    Parameters
    ----------
    voltage
        Voc (or Vmp) of one panel on its label, at 25 °C.
    in_series
        Panels one behind the other.
    temperature
        Of the cells: the coldest dawn on record for Voc, a hot panel for Vmp.
    coefficient
        Change for each degree above 25 °C (on the data sheet).

    Notes
    -----
    V = n V_label (1 + beta (T - 25)): cold raises the voltage, and at dawn no current flows yet.

    References
    ----------
    [NEC690]_ 690.7(A); [SAMModules]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(string_voltage(Q(24.3, "V"), 2, Q(-12, "degC"), Q(-0.34, "%/K")), "V")
    '54.7 V'
    """
    return in_series * voltage * (1 + coefficient / 100 * (temperature - 25))
