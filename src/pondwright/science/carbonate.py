"""Carbon dioxide, alkalinity and pH: the buffer of the water, and what a dose of bicarbonate does to it.

Alkalinity and hardness are written as mg/L of calcium carbonate (CaCO3), as test kits and trade do.
"""
from __future__ import annotations

import functools

import numpy as np

from ..tables import load
from ..units import Arg, formula

CACO3, CO2 = 100.087, 44.0095  # g/mol
PER_EQUIVALENT = 1000 * CACO3 / 2  # mg of CaCO3 in one equivalent of alkalinity
# one unit of each scale, in mg/L as CaCO3; 64.79891 mg is one grain
SCALES = {
    "german_degree": 10 * CACO3 / 56.077, "french_degree": 10.0, "clark_degree": 64.79891 / 4.54609,
    "grain_per_US_gallon": 64.79891 / 3.785411784, "meq_per_liter": CACO3 / 2, "bicarbonate_mg_per_liter": CACO3 / 2 / 61.0168,
}

_PH = Arg("-", possible=(0, 14))
_TEMPERATURE = Arg("degC", possible=(-2, 90), calibrated=(0, 50))
_AS_CACO3 = Arg("mg/L", possible=(0, 1e5))
_IONS = Arg("mmol/L", possible=(0, 500), calibrated=(0, 100))  # Davies: up to about 0.1 mol/L
_VOLUME = Arg("L", possible=(0, 1e9))
_MOLAR_MASS = Arg("g/mol", possible=(1, 1000))
_EQUIVALENTS = Arg("-", possible=(1, 4))
_PURITY = Arg("-", possible=(0.01, 1))
_REACTIONS = ("carbonic_1", "carbonic_2", "water", "gas", "calcite")


@functools.cache
def _coefficients(reaction):
    row = load("carbonate_constants")[reaction]
    return tuple(float(row[letter].magnitude) for letter in "abcde")


@formula(temperature=_TEMPERATURE, reaction=_REACTIONS, returns=Arg("-", possible=(0, 20)))
def equilibrium_pk(temperature, reaction="carbonic_1"):
    """Strength of one step of the carbonate system, as pK = -log10 K.

    Parameters
    ----------
    temperature
        Of the water; a number or an array.
    reaction
        Carbonic acid's first and second step, water itself, carbon dioxide between air and water, or calcite (limestone).

    Notes
    -----
    log10 K = a + b T + c/T + d log10 T + e/T², T in kelvin, with the coefficients of the table carbonate_constants.

    References
    ----------
    [PlummerBusenberg1982]_ analytical expressions; [Millero1979]_ for water

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(equilibrium_pk(Q(25, "degC"), "carbonic_1"), "-", digits=4)
    '6.352'
    """
    a, b, c, d, e = _coefficients(reaction)
    kelvin = temperature + 273.15
    return -(a + b * kelvin + c / kelvin + d * np.log10(kelvin) + e / kelvin**2)


@formula(ionic_strength=_IONS, charge=Arg("-", possible=(1, 3)), returns=Arg("-", possible=(0, 1)))
def activity_coefficient(ionic_strength, charge=1):
    """How much weaker an ion acts among other ions than alone; 1 in pure water.

    Parameters
    ----------
    ionic_strength
        Half the sum of each ion's concentration times its charge squared; about 2 mmol/L in soft, 10 in hard tap water.
    charge
        Of the ion.

    Notes
    -----
    Davies' equation, log10 g = -0.509 z² (sqrt(I)/(1 + sqrt(I)) - 0.3 I), I in mol/L; 0.509 belongs to 25 °C and is 3 % smaller at 5 °C.

    References
    ----------
    [Davies1962]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(activity_coefficient(Q(2, "mmol/L")), "-")
    '0.952'
    """
    strength = ionic_strength / 1000
    return 10 ** (-0.509 * charge**2 * (strength**0.5 / (1 + strength**0.5) - 0.3 * strength))


def _shares(ph, temperature, ionic_strength):
    """Return H+ less OH- (mol/L), and bicarbonate and carbonate for each CO2, at a pH."""
    k1, k2, kw = (10 ** -equilibrium_pk.plain(temperature, r) for r in ("carbonic_1", "carbonic_2", "water"))
    g1, g2 = (activity_coefficient.plain(ionic_strength, z) for z in (1, 2))
    acid = 10.0**-ph
    return (acid - kw / acid) / g1, k1 / acid / g1, k1 * k2 / acid**2 / g2


@formula(ph=_PH, alkalinity=_AS_CACO3, temperature=_TEMPERATURE, ionic_strength=_IONS, returns=_AS_CACO3)
def carbon_dioxide(ph, alkalinity, temperature, ionic_strength=0.0):
    """Carbon dioxide dissolved in the water, from its pH and alkalinity.

    Parameters
    ----------
    ph
        Of the water; a number or an array.
    alkalinity
        As CaCO3; a number or an array.
    temperature
        Of the water.
    ionic_strength
        Of the water; left out, the ions count as if they were alone, which gives some 5 % more carbon dioxide.

    Notes
    -----
    Alkalinity = [HCO3-] + 2 [CO3--] + [OH-] - [H+], with the four tied to CO2 and pH by equilibrium. A reading that no water can have
    (a high pH with hardly any alkalinity) gives less than none and is refused. Humus and phosphate are left out.

    References
    ----------
    [PlummerBusenberg1982]_ constants; [Tucker1984]_ table of factors

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(carbon_dioxide(6.8, Q(50, "mg/L"), Q(25, "degC")), "mg/L")
    '15.7 mg/L'
    """
    extra_acid, bicarbonate, carbonate = _shares(ph, temperature, ionic_strength)
    return (alkalinity / PER_EQUIVALENT + extra_acid) / (bicarbonate + 2 * carbonate) * CO2 * 1000


@formula(ph=_PH, alkalinity=_AS_CACO3, temperature=_TEMPERATURE, ionic_strength=_IONS, returns=Arg("mmol/L", possible=(0, 1e4)))
def total_carbon(ph, alkalinity, temperature, ionic_strength=0.0):
    """All dissolved inorganic carbon: carbon dioxide, bicarbonate and carbonate together.

    Parameters
    ----------
    ph
        Of the water; a number or an array.
    alkalinity
        As CaCO3; a number or an array.
    temperature
        Of the water.
    ionic_strength
        Of the water.

    Notes
    -----
    C = [CO2] (1 + [HCO3-]/[CO2] + [CO3--]/[CO2]).

    References
    ----------
    [PlummerBusenberg1982]_ constants

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(total_carbon(8.0, Q(100, "mg/L"), Q(20, "degC")), "mmol/L")
    '2.04 mmol/L'
    """
    _, bicarbonate, carbonate = _shares(ph, temperature, ionic_strength)
    return carbon_dioxide.plain(ph, alkalinity, temperature, ionic_strength) / CO2 * (1 + bicarbonate + carbonate)


@formula(
    alkalinity=_AS_CACO3, carbon=Arg("mmol/L", possible=(1e-6, 1e4)), temperature=_TEMPERATURE, ionic_strength=_IONS,
    returns=Arg("-", possible=(3, 13)),
)
def ph_of_carbon(alkalinity, carbon, temperature, ionic_strength=0.0):
    """PH of water that holds a known alkalinity and a known total of inorganic carbon: a closed bottle.

    Parameters
    ----------
    alkalinity
        As CaCO3; one number.
    carbon
        Total inorganic carbon; one number.
    temperature
        Of the water.
    ionic_strength
        Of the water.

    Notes
    -----
    Finds the pH at which the carbon carries just this alkalinity (Brent's method, pH 3 to 13).

    References
    ----------
    [PlummerBusenberg1982]_ constants

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(ph_of_carbon(Q(100, "mg/L"), Q(2.04, "mmol/L"), Q(20, "degC")), "-", digits=2)
    '8'
    """
    from scipy.optimize import brentq

    def surplus(ph):
        extra_acid, bicarbonate, carbonate = _shares(ph, temperature, ionic_strength)
        carried = carbon / 1000 * (bicarbonate + 2 * carbonate) / (1 + bicarbonate + carbonate) - extra_acid
        return carried - alkalinity / PER_EQUIVALENT

    return brentq(surplus, 3, 13, xtol=1e-9)


@formula(
    alkalinity=_AS_CACO3, carbon_dioxide=Arg("mg/L", possible=(1e-4, 1e4)), temperature=_TEMPERATURE, ionic_strength=_IONS,
    returns=Arg("-", possible=(3, 13)),
)
def ph_of_carbon_dioxide(alkalinity, carbon_dioxide, temperature, ionic_strength=0.0):
    """PH of water that holds a known alkalinity and a known concentration of carbon dioxide: an open bowl.

    Parameters
    ----------
    alkalinity
        As CaCO3; one number.
    carbon_dioxide
        Dissolved; one number.
    temperature
        Of the water.
    ionic_strength
        Of the water.

    Notes
    -----
    Finds the pH at which this carbon dioxide goes with this alkalinity (Brent's method, pH 3 to 13).

    References
    ----------
    [PlummerBusenberg1982]_ constants

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(ph_of_carbon_dioxide(Q(100, "mg/L"), Q(0.7, "mg/L"), Q(20, "degC")), "-")
    '8.47'
    """
    from scipy.optimize import brentq

    def surplus(ph):
        extra_acid, bicarbonate, carbonate = _shares(ph, temperature, ionic_strength)
        return carbon_dioxide / CO2 / 1000 * (bicarbonate + 2 * carbonate) - extra_acid - alkalinity / PER_EQUIVALENT

    return brentq(surplus, 3, 13, xtol=1e-9)


@formula(
    temperature=_TEMPERATURE, share=Arg("-", possible=(0, 0.1)), pressure=Arg("kPa", possible=(30, 120)),
    returns=Arg("mg/L", possible=(0, 500)),
)
def air_carbon_dioxide(temperature, share=420e-6, pressure=101.325):
    """Carbon dioxide that water holds once it has been stirred in open air for long.

    Parameters
    ----------
    temperature
        Of the water.
    share
        Of carbon dioxide in the air; 420 in a million by the middle of the 2020s.
    pressure
        Of the air.

    Notes
    -----
    Henry's law: [CO2] = K_gas x p. Damp air is a few per cent poorer in carbon dioxide; left out.

    References
    ----------
    [PlummerBusenberg1982]_ constants

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(air_carbon_dioxide(Q(20, "degC")), "mg/L", digits=2)
    '0.72 mg/L'
    """
    return 10 ** -equilibrium_pk.plain(temperature, "gas") * share * pressure / 101.325 * CO2 * 1000


@formula(ph=_PH, alkalinity=_AS_CACO3, rise=_AS_CACO3, temperature=_TEMPERATURE, ionic_strength=_IONS, returns=Arg("-", possible=(3, 13)))
def ph_after_bicarbonate(ph, alkalinity, rise, temperature, ionic_strength=0.0):
    """PH just after a dose of bicarbonate has dissolved, before carbon dioxide has had time to leave or come in.

    Parameters
    ----------
    ph
        Before the dose; one number.
    alkalinity
        Before the dose, as CaCO3; one number.
    rise
        Of the alkalinity by the dose, as CaCO3; one number.
    temperature
        Of the water.
    ionic_strength
        Of the water.

    Notes
    -----
    Closed system: total carbon and alkalinity both grow by what the bicarbonate brings, one equivalent with each mole of carbon.
    Bicarbonate pulls the pH towards 8.3 from both sides.

    References
    ----------
    [PlummerBusenberg1982]_ constants; [SRAC4604]_ table 1

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(ph_after_bicarbonate(7.0, Q(40, "mg/L"), Q(20, "mg/L"), Q(20, "degC")), "-")
    '7.17'
    """
    carbon = total_carbon.plain(ph, alkalinity, temperature, ionic_strength) + 1000 * rise / PER_EQUIVALENT
    return ph_of_carbon.plain(alkalinity + rise, carbon, temperature, ionic_strength)


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


@formula(nitrogen=Arg("g/d", possible=(0, 1e7)), per_nitrogen=Arg("-", possible=(5, 9)), returns=Arg("g/d", possible=(0, 1e8)))
def alkalinity_used(nitrogen, per_nitrogen=7.14):
    """Alkalinity, as CaCO3, that a biofilter uses up each day.

    Parameters
    ----------
    nitrogen
        Ammonia nitrogen turned into nitrate; a number or an array.
    per_nitrogen
        Grams of alkalinity for each gram of nitrogen.

    Notes
    -----
    Two equivalents of acid for each mole of nitrogen: 2 x 50.04/14.007 = 7.14. With the growth of the bacteria counted, 7.04 to 7.07.

    References
    ----------
    [AtomicWeights]_; [OperatorNitrification]_ page 21; [Boyd]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(alkalinity_used(Q(2, "g/d")), "g/d")
    '14.3 g/day'
    """
    return nitrogen * per_nitrogen


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
    return max(alkalinity - floor, 0.0) * volume / 1000 / used


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


@formula(
    ph=_PH, alkalinity=_AS_CACO3, hardness=Arg("mg/L", possible=(1e-3, 1e5)), temperature=_TEMPERATURE, ionic_strength=_IONS,
    returns=Arg("-", possible=(-20, 10)),
)
def calcite_saturation(ph, alkalinity, hardness, temperature, ionic_strength=0.0):
    """Whether limestone, shell and concrete dissolve in the water: the saturation index, 0 at balance, below it they dissolve.

    Parameters
    ----------
    ph
        Of the water; a number or an array.
    alkalinity
        As CaCO3.
    hardness
        Calcium hardness, as CaCO3; a kit for total hardness counts magnesium too, and so gives the index at most.
    temperature
        Of the water.
    ionic_strength
        Of the water.

    Notes
    -----
    SI = log10([Ca++] [CO3--] g²) + pK_calcite. Ions held in pairs are left out.

    References
    ----------
    [PlummerBusenberg1982]_ constants

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(calcite_saturation(8.0, Q(70, "mg/L"), Q(85, "mg/L"), Q(20, "degC")), "-", digits=2)
    '0.15'
    """
    _, _, carbonate = _shares(ph, temperature, ionic_strength)
    carbonate = carbonate * carbon_dioxide.plain(ph, alkalinity, temperature, ionic_strength) / CO2 / 1000
    calcium = hardness / CACO3 / 1000
    activity = activity_coefficient.plain(ionic_strength, 2)
    return np.log10(calcium * carbonate * activity**2) + equilibrium_pk.plain(temperature, "calcite")
