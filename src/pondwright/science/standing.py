"""A filter whose pump has stopped: how long the oxygen lasts under water, and what keeps a drained, moist bed alive."""
from __future__ import annotations

import numpy as np

from ..units import Arg, formula

_WATER = Arg("L", possible=(0, 1e6))
_SOLUTE = Arg("mg/L", possible=(0, 1000))
_UPTAKE = Arg("mg/h", possible=(0, 1e9))
_SOME_UPTAKE = Arg("mg/h", possible=(1e-9, 1e9))
_TEMPERATURE = Arg("degC", possible=(-2, 50))
_SHARE = Arg("-", possible=(0, 1))


@formula(water=_WATER, oxygen=_SOLUTE, tan=_SOLUTE, nitrifying=_UPTAKE, resting=_SOME_UPTAKE, demand=Arg("-", possible=(3, 5)),
         returns=Arg("h", possible=(0, None)))
def hours_of_oxygen(water, oxygen, tan, nitrifying, resting, demand=4.57):
    """Time until the water that stands in a stopped bed has no oxygen left.

    Parameters
    ----------
    water
        In the bed: between and around the media.
    oxygen
        In that water when the flow stops.
    tan
        Ammonia in it, as N: when it is used up the nitrifying bacteria fall back to rest.
    nitrifying
        Oxygen that they take for ammonia in an hour, as long as there is any.
    resting
        Oxygen that everything in the bed takes all the time: bacteria at rest, and those that eat the dirt.
    demand
        Grams of oxygen for each gram of nitrogen.

    Notes
    -----
    Used after t hours: rest t + min(nit t, 4.57 tan V). It equals the store O2 V at the larger of O2 V/(nit + rest) and
    (O2 - 4.57 tan) V/rest. Rates are held until the oxygen is gone; in truth they sag at the end.

    References
    ----------
    [Geometry]_ mass balance; [Nitrification]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(hours_of_oxygen(Q(80, "L"), Q(8, "mg/L"), Q(0.3, "mg/L"), Q(100, "mg/h"), Q(150, "mg/h")), "h", digits=2)
    '3.5 h'
    """
    return np.maximum(oxygen * water / (nitrifying + resting), (oxygen - demand * tan) * water / resting)


@formula(water=_WATER, nitrate=_SOLUTE, resting=_SOME_UPTAKE, slower=_SHARE, returns=Arg("h", possible=(0, None)))
def hours_of_nitrate(water, nitrate, resting, slower=0.625):
    """Time for which nitrate stands in for oxygen once that is gone; after it the water turns foul.

    Parameters
    ----------
    water
        In the bed.
    nitrate
        In that water, as N.
    resting
        Oxygen that the bed took at rest.
    slower
        Share of that pace which the bacteria keep on nitrate.

    Notes
    -----
    t = 2.86 N V/(0.625 rest): a gram of nitrate-N takes up as many electrons as 2.86 g of oxygen (40/14), and respiration on nitrate is
    35 to 40 % slower.

    References
    ----------
    [Siegrist1999]_ abstract; [AtomicWeights]_ for 40/14

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(hours_of_nitrate(Q(80, "L"), Q(5, "mg/L"), Q(150, "mg/h")), "h", digits=2)
    '12 h'
    """
    return water * nitrate * (40 / 14) / (slower * resting)


@formula(temperature=_TEMPERATURE, pressure=Arg("kPa", possible=(30, 120)), returns=Arg("mg/L", possible=(0, 400)))
def air_oxygen(temperature, pressure=101.325):
    """Oxygen in a litre of moist air, such as stands in the pores of a drained bed.

    Parameters
    ----------
    temperature
        Of the air.
    pressure
        Of the air.

    Notes
    -----
    c = 0.2095 (P - w) 32.0/(R T), the gas law; w is the vapour pressure of water, as in the table of oxygen in water. About thirty times
    what the same litre of water holds.

    References
    ----------
    [GasLaw]_; [APHA4500O]_ vapour pressure

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(air_oxygen(Q(20, "degC")), "mg/L")
    '272 mg/L'
    """
    kelvin = temperature + 273.15
    vapour = 101.325 * np.exp(11.8571 - 3840.70 / kelvin - 216961 / kelvin**2)
    return 0.2095 * (pressure - vapour) * 31.998 / (8.31446 * kelvin) * 1000


@formula(air=_SHARE, void=Arg("-", possible=(0.2, 1)), temperature=_TEMPERATURE, method=("MillingtonQuirk1961", "Penman1940"),
         returns=Arg("m2/d", possible=(0, None)))
def pore_diffusivity(air, void, temperature=20.0, method="MillingtonQuirk1961"):
    """How fast oxygen finds its way through the air in the pores of a bed.

    Parameters
    ----------
    air
        Share of the bed that is air.
    void
        Share of the bed that is air or water.
    temperature
        Of the air.
    method
        Whose rule for the detour that pores make.

    Notes
    -----
    D = D0 x, with D0 = 0.178 (T/273.15 K)^1.75 cm²/s for oxygen in free air, and x = air^(10/3)/void² (Millington and Quirk) or
    0.66 air (Penman).

    References
    ----------
    [MillingtonQuirk1961]_; [Penman1940]_; D0 [OxygenInAir]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> round(float(pore_diffusivity(0.43, 0.48).m), 2)
    0.45
    """
    free = 0.178 * ((temperature + 273.15) / 273.15) ** 1.75 * 8.64  # cm2/s to m2/d
    return free * (air ** (10 / 3) / void**2 if method == "MillingtonQuirk1961" else 0.66 * air)


@formula(outside=Arg("mg/L", possible=(0, 400)), uptake=Arg("g/m3/d", possible=(0, None)), height=Arg("m", possible=(0, 10)),
         diffusivity=Arg("m2/d", possible=(1e-6, 100)), returns=Arg("mg/L", possible=(0, 400)))
def deepest_oxygen(outside, uptake, height, diffusivity):
    """Oxygen in the air at the foot of a drained bed that is open only at its top.

    Parameters
    ----------
    outside
        Oxygen in the air above.
    uptake
        Oxygen that a cubic metre of bed takes in a day.
    height
        Of the bed.
    diffusivity
        Of oxygen in its pores.

    Notes
    -----
    c = c0 - q H²/(2 D), zero at the least: the steady state of diffusion with an even uptake and a closed foot. A draught through an open
    drain brings far more.

    References
    ----------
    [FickSteady]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(deepest_oxygen(Q(272, "mg/L"), Q(50, "g/m3/d"), Q(0.6, "m"), Q(0.45, "m2/d")), "mg/L")
    '252 mg/L'
    """
    return np.maximum(outside - uptake * height**2 / (2 * diffusivity), 0.0)


@formula(held=_SHARE, layer=Arg("mm", possible=(1, 2000)), evaporation=Arg("mm/d", possible=(0.01, 30)),
         returns=Arg("h", possible=(0, None)))
def drying_time(held, layer, evaporation):
    """Time in which the uppermost media of a drained bed dry out.

    Parameters
    ----------
    held
        Share of the bed that is water after draining.
    layer
        Thickness of the layer that is looked at.
    evaporation
        That a wet surface loses in a day at this place.

    Notes
    -----
    t = held s/e. A lid stops nearly all of it; the layers below stay moist for days longer.

    References
    ----------
    [Geometry]_ water balance

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(drying_time(0.05, Q(50, "mm"), Q(3, "mm/d")), "h", digits=2)
    '20 h'
    """
    return 24 * held * layer / evaporation


@formula(time=Arg("h", possible=(0, 1e5)), decay=Arg("%/d", possible=(0, 500)), returns=_SHARE)
def share_alive(time, decay):
    """Share of the nitrifying power that is left after a time without ammonia.

    Parameters
    ----------
    time
        Without ammonia.
    decay
        Loss in a day: about 20 % with oxygen, 3 % without any, at 20 °C.

    Notes
    -----
    s = exp(-b t). Starving with oxygen costs more than sleeping without it: what kills is the foul water, not the pause.

    References
    ----------
    [Siegrist1999]_ abstract

    Examples
    --------
    >>> from pondwright import Q, show
    >>> round(float(share_alive(Q(24, "h"), Q(20, "%/d")).m), 2)
    0.82
    """
    return np.exp(-decay / 100 * time / 24)
