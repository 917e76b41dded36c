"""The battery: how large for how many dark days, what cold takes away, and when it freezes."""
from __future__ import annotations

import functools

import numpy as np

from ..tables import load
from ..units import Arg, formula, unit

_VOLTAGE = Arg("V", possible=(0.1, 1000))
_ENERGY = Arg("Wh/d", possible=(0, 1e9))
_SOME_SHARE = Arg("%", possible=(1, 100))


@formula(energy=_ENERGY, autonomy=Arg("d", possible=(0, 60)), voltage=_VOLTAGE, depth=_SOME_SHARE, efficiency=_SOME_SHARE,
         temperature_factor=Arg("-", possible=(1, 5)), returns=Arg("Ah", possible=(0, 1e9)))
def battery_capacity(energy, autonomy, voltage, depth, efficiency=100.0, temperature_factor=1.0):
    """Battery that carries the loads through dark days.

    Parameters
    ----------
    energy
        That all loads use in a day.
    autonomy
        Days without sun.
    voltage
        Of the battery.
    depth
        Depth of discharge: the share of the label's capacity that may be taken out.
    efficiency
        Share that reaches the loads (cable, inverter).
    temperature_factor
        How many times larger a cold battery must be.

    Notes
    -----
    C = E days k_T/(V DoD eta)

    References
    ----------
    [BatteryWorksheet]_; [HomePower]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(battery_capacity(Q(480, "Wh/d"), Q(2, "d"), Q(24, "V"), Q(50, "%"), Q(97, "%"), 1.3), "Ah")
    '107 Ah'
    """
    return energy * autonomy * temperature_factor / (voltage * depth / 100 * efficiency / 100)


@formula(capacity=Arg("Ah", possible=(0, 1e5)), energy=Arg("Wh/d", possible=(1e-6, 1e9)), voltage=_VOLTAGE, depth=_SOME_SHARE,
         efficiency=_SOME_SHARE, temperature_factor=Arg("-", possible=(1, 5)), returns=Arg("d", possible=(0, 1e9)))
def battery_days(capacity, energy, voltage, depth, efficiency=100.0, temperature_factor=1.0):
    """Days without sun for which a battery carries the loads.

    Parameters
    ----------
    capacity
        On the battery's label.
    energy
        That all loads use in a day.
    voltage
        Of the battery.
    depth
        Depth of discharge: the share of the label's capacity that may be taken out.
    efficiency
        Share that reaches the loads (cable, inverter).
    temperature_factor
        How many times larger a cold battery must be.

    Notes
    -----
    days = C V DoD eta/(E k_T): battery_capacity turned round.

    References
    ----------
    [BatteryWorksheet]_; [HomePower]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(battery_days(Q(110, "Ah"), Q(480, "Wh/d"), Q(24, "V"), Q(50, "%"), Q(97, "%"), 1.3), "d")
    '2.05 d'
    """
    return capacity * voltage * depth / 100 * efficiency / 100 / (energy * temperature_factor)


@formula(temperature=Arg("degC", possible=(-60, 60), calibrated=(-6.7, 60)), returns=Arg("-", possible=(1, 5)))
def lead_acid_factor(temperature):
    """How many times larger a lead-acid battery must be because it is cold.

    Parameters
    ----------
    temperature
        Of the battery at its coldest.

    Notes
    -----
    Straight lines between the points of the table lead_acid_cold: 1 at 26.7 °C (80 °F) and above, 1.19 at 10 °C, 1.59 at -6.7 °C.
    Colder than that, the last line goes on.

    References
    ----------
    [BatteryWorksheet]_ multiplier table

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(lead_acid_factor(Q(10, "degC")), "-")
    '1.19'
    """
    points, factors = _points("lead_acid_cold", "temperature", "degC", "factor", "-")
    colder = np.maximum(points[0] - temperature, 0) * (factors[0] - factors[1]) / (points[1] - points[0])
    return np.interp(temperature, points, factors) + colder


@formula(temperature=Arg("degC", possible=(-60, 60), calibrated=(-20, 60)), at_freezing=Arg("-", possible=(1, 5)),
         at_20_below=Arg("-", possible=(1, 5)), returns=Arg("-", possible=(1, 20)))
def lithium_factor(temperature, at_freezing=1.15, at_20_below=1.33):
    """How many times larger a lithium iron phosphate battery must be because it is cold while it is emptied.

    Parameters
    ----------
    temperature
        Of the battery at its coldest.
    at_freezing
        The factor at 0 °C; a number or an array.
    at_20_below
        The factor at -20 °C; a number or an array.

    Notes
    -----
    Straight lines: 1 at 25 °C and above, then through the two given points; colder than -20 °C the last line goes on. A data sheet
    gives 80 % of the capacity at 0 °C and 70 % at -20 °C: factors of 1/0.80 = 1.25 and 1/0.70 = 1.43. Below 0 °C such a battery may be
    emptied but not charged.

    References
    ----------
    [LithiumSheets]_ capacity against temperature

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(lithium_factor(Q(-10, "degC"), 1.25, 1.43), "-")
    '1.34'
    """
    mild, frost = np.clip((25 - temperature) / 25, 0, 1), np.maximum(-temperature, 0) / 20
    return 1 + (at_freezing - 1) * mild + (at_20_below - at_freezing) * frost


@formula(charge=Arg("%", possible=(0, 100)), returns=Arg("degC", possible=(-80, 0)))
def lead_acid_freezing(charge):
    """Temperature at which the acid of a lead-acid battery freezes.

    Parameters
    ----------
    charge
        State of charge: what is left in it.

    Notes
    -----
    Straight lines: charge to density of the acid, then density to freezing point. A battery run flat freezes near -10 °C and bursts; a
    full one near -60 °C does not.

    References
    ----------
    [BatteryDensity]_; [TM51185]_ table III

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(lead_acid_freezing(Q(50, "%")), "degC", digits=2)
    '-24 °C'
    """
    density = np.interp(charge, *_points("lead_acid_density", "charge", "%", "density", "-"))
    return np.interp(density, *_points("lead_acid_freezing", "density", "-", "freezing", "degC"))


@functools.cache
def _points(name, x, x_unit, y, y_unit):
    """Return two columns of a table as floats in the wanted units, x rising."""
    rows = sorted((row[x].m_as(unit(x_unit)), row[y].m_as(unit(y_unit))) for row in load(name).rows)
    return tuple(np.array(rows).T)
