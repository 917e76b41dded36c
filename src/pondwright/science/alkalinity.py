"""Alkalinity, the buffer of the water: what an alkali adds, how long it lasts, and the scales in which it and hardness are read.

Alkalinity and hardness are written as mg/L of calcium carbonate (CaCO3), as test kits and trade do.
"""
from __future__ import annotations

import numpy as np

from ..units import Arg, formula

CACO3 = 100.087  # g/mol
PER_EQUIVALENT = 1000 * CACO3 / 2  # mg of CaCO3 in one equivalent of alkalinity
# one unit of each scale, in mg/L as CaCO3; 64.79891 mg is one grain
SCALES = {
    "german_degree": 10 * CACO3 / 56.077, "french_degree": 10.0, "clark_degree": 64.79891 / 4.54609,
    "grain_per_US_gallon": 64.79891 / 3.785411784, "meq_per_liter": CACO3 / 2, "bicarbonate_mg_per_liter": CACO3 / 2 / 61.0168,
}

_AS_CACO3 = Arg("mg/L", possible=(0, 1e5))
_VOLUME = Arg("L", possible=(0, 1e9))
_MOLAR_MASS = Arg("g/mol", possible=(1, 1000))
_EQUIVALENTS = Arg("-", possible=(1, 4))
_PURITY = Arg("-", possible=(0.01, 1))


@formula(
    rise=_AS_CACO3, volume=_VOLUME, molar_mass=_MOLAR_MASS, equivalents=_EQUIVALENTS, purity=_PURITY,
    returns=Arg("g", possible=(0, 1e9)),
)
def alkali_dose(rise, volume, molar_mass=84.0066, equivalents=1, purity=1.0):
    """Mass of an alkali that raises the alkalinity by a wanted amount.

    Parameters
    ----------
    rise
        Of the alkalinity, as CaCO3.
    volume
        Of the water.
    molar_mass
        Of the alkali; 84.0066 is sodium bicarbonate (baking soda).
    equivalents
        Equivalents of alkalinity in one mole: 1 for bicarbonate, 2 for carbonate.
    purity
        Share of the alkali in what the bag holds, from its label; 1 for pure.

    Notes
    -----
    m = rise V M / (z 50.04 purity): 1.679 mg of sodium bicarbonate for each mg of alkalinity.

    References
    ----------
    [AtomicWeights]_; [SRAC4604]_ table 1

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(alkali_dose(Q(20, "mg/L"), Q(5000, "L")), "g")
    '168 g'
    """
    return rise * volume * molar_mass / (equivalents * PER_EQUIVALENT * purity)


@formula(
    mass=Arg("g", possible=(0, 1e9)), volume=Arg("L", possible=(1e-3, 1e9)), molar_mass=_MOLAR_MASS, equivalents=_EQUIVALENTS,
    purity=_PURITY, returns=_AS_CACO3,
)
def alkalinity_gained(mass, volume, molar_mass=84.0066, equivalents=1, purity=1.0):
    """Rise of the alkalinity, as CaCO3, from a weighed dose of an alkali.

    Parameters
    ----------
    mass
        Of what the bag holds.
    volume
        Of the water.
    molar_mass
        Of the alkali; 84.0066 is sodium bicarbonate (baking soda).
    equivalents
        Equivalents of alkalinity in one mole: 1 for bicarbonate, 2 for carbonate.
    purity
        Share of the alkali in what the bag holds, from its label; 1 for pure.

    Notes
    -----
    rise = m z 50.04 purity / (M V).

    References
    ----------
    [AtomicWeights]_; [AlkaliTable]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(alkalinity_gained(Q(168, "g"), Q(5000, "L")), "mg/L", digits=2)
    '20 mg/L'
    """
    return mass * equivalents * PER_EQUIVALENT * purity / (molar_mass * volume)


@formula(
    alkalinity=_AS_CACO3, floor=_AS_CACO3, volume=_VOLUME, used=Arg("g/d", possible=(1e-9, 1e8)), returns=Arg("d", possible=(0, None)),
)
def alkalinity_days(alkalinity, floor, volume, used):
    """Days until a filter has used up the alkalinity above a floor, where nothing brings any back.

    Parameters
    ----------
    alkalinity
        Now, as CaCO3.
    floor
        Below which it shall not fall, as CaCO3.
    volume
        Of the water.
    used
        Alkalinity used each day.

    Notes
    -----
    t = (A - floor) V / used; none where the alkalinity is below the floor already. Top-up water, rain and concrete are left out.

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(alkalinity_days(Q(80, "mg/L"), Q(20, "mg/L"), Q(5000, "L"), Q(15, "g/d")), "d")
    '20 d'
    """
    return np.maximum(alkalinity - floor, 0.0) * volume / 1000 / used


@formula(reading=Arg("-", possible=(0, 1e5)), scale=tuple(SCALES), returns=_AS_CACO3)
def hardness_as_caco3(reading, scale):
    """Alkalinity or hardness as mg/L of CaCO3, from the scale of a test kit or a water report.

    Parameters
    ----------
    reading
        The plain number that the kit gives, such as 4 for 4 German degrees; a number or an array.
    scale
        The kit's scale: German degrees are dKH for alkalinity and dGH for hardness alike.

    Notes
    -----
    One German degree is 10 mg/L of CaO, 17.85 as CaCO3; one French degree 10; one Clark (English) degree a grain in an imperial
    gallon, 14.25; a grain in a US gallon 17.12; one meq/L 50.04; 1 mg/L of bicarbonate (HCO3-) 0.820.

    References
    ----------
    [AtomicWeights]_; [NIST811]_ grain and gallons

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(hardness_as_caco3(4, "german_degree"), "mg/L")
    '71.4 mg/L'
    """
    return reading * SCALES[scale]
