"""Carbon dioxide, alkalinity and pH: how they hang together, and what a dose of bicarbonate does to the pH."""
from __future__ import annotations

import functools

import numpy as np

from ..tables import load
from ..units import Arg, formula
from .alkalinity import CACO3, PER_EQUIVALENT

CO2 = 44.0095  # g/mol

_PH = Arg("-", possible=(0, 14))
_TEMPERATURE = Arg("degC", possible=(-2, 90), calibrated=(0, 50))
_AS_CACO3 = Arg("mg/L", possible=(0, 1e5))
_DILUTE = Arg("mg/L", possible=(0, 4000))  # as CaCO3; what pH 3 to 13 can carry
_IONS = Arg("mmol/L", possible=(0, 500), calibrated=(0, 100))  # Davies: up to about 0.1 mol/L
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


def _constants(temperature, ionic_strength):
    """Return K1, K2 and Kw, and the activity coefficients of ions of one and of two charges."""
    return (
        *(10.0 ** -equilibrium_pk.plain(temperature, reaction) for reaction in ("carbonic_1", "carbonic_2", "water")),
        *(activity_coefficient.plain(ionic_strength, charge) for charge in (1, 2)),
    )


def _shares(ph, temperature, ionic_strength):
    """Return H+ less OH- (mol/L), and bicarbonate and carbonate for each CO2, at a pH."""
    k1, k2, kw, g1, g2 = _constants(temperature, ionic_strength)
    acid = 10.0**-ph
    return (acid - kw / acid) / g1, k1 / acid / g1, k1 * k2 / acid**2 / g2


def _halving(surplus, low=3.0, high=13.0):
    """Return where a rising function passes zero, by halving the span until it is far thinner than any pH meter; NaN if it never does."""
    if surplus(low) > 0 or surplus(high) < 0:
        return np.nan
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if surplus(middle) < 0 else (low, middle)
    return (low + high) / 2


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
    alkalinity=_DILUTE, carbon=Arg("mmol/L", possible=(1e-6, 1e4)), temperature=_TEMPERATURE, ionic_strength=_IONS,
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
    Finds the pH at which the carbon carries just this alkalinity, by halving the span from pH 3 to 13 forty times.

    References
    ----------
    [PlummerBusenberg1982]_ constants

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(ph_of_carbon(Q(100, "mg/L"), Q(2.04, "mmol/L"), Q(20, "degC")), "-", digits=2)
    '8'
    """
    k1, k2, kw, g1, g2 = _constants(temperature, ionic_strength)
    carbon, alkalinity = carbon / 1000, alkalinity / PER_EQUIVALENT

    def surplus(ph):
        acid = 10.0**-ph
        bicarbonate, carbonate = k1 / acid / g1, k1 * k2 / acid**2 / g2
        return carbon * (bicarbonate + 2 * carbonate) / (1 + bicarbonate + carbonate) - (acid - kw / acid) / g1 - alkalinity

    return _halving(surplus)


@formula(
    alkalinity=_DILUTE, carbon_dioxide=Arg("mg/L", possible=(1e-4, 1e4)), temperature=_TEMPERATURE, ionic_strength=_IONS,
    returns=Arg("-", possible=(3, 13)),
)
def ph_of_carbon_dioxide(alkalinity, carbon_dioxide, temperature, ionic_strength=0.0):
    """PH of water that holds a known alkalinity and a known concentration of carbon dioxide: an open bowl.

    Parameters
    ----------
    alkalinity
        As CaCO3; a number or an array.
    carbon_dioxide
        Dissolved; a number or an array.
    temperature
        Of the water; a number or an array.
    ionic_strength
        Of the water.

    Notes
    -----
    With x = 1/[H+] the balance of charges is p x³ + q x² - A x - 1/g = 0, p = 2 [CO2] K1 K2/g2, q = ([CO2] K1 + Kw)/g. Newton's steps
    come down on its one positive root from above, from the root without the carbonate (p = 0).

    References
    ----------
    [PlummerBusenberg1982]_ constants

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(ph_of_carbon_dioxide(Q(100, "mg/L"), Q(0.7, "mg/L"), Q(20, "degC")), "-")
    '8.47'
    """
    k1, k2, kw, g1, g2 = _constants(temperature, ionic_strength)
    gas, a = carbon_dioxide / CO2 / 1000, alkalinity / PER_EQUIVALENT
    p, q = 2 * gas * k1 * k2 / g2, (gas * k1 + kw) / g1
    x = (a + np.sqrt(a * a + 4 * q / g1)) / (2 * q)
    for _ in range(20):
        step = (p * x**3 + q * x**2 - a * x - 1 / g1) / (3 * p * x**2 + 2 * q * x - a)
        x = x - step
        if (np.abs(step) < 1e-9 * x).all():
            break
    return np.log10(x)


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


@formula(
    ph=Arg("-", possible=(4, 12)), alkalinity=Arg("mg/L", possible=(0, 2000)), rise=Arg("mg/L", possible=(0, 2000)),
    temperature=_TEMPERATURE, ionic_strength=_IONS, returns=Arg("-", possible=(3, 13)),
)
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


@formula(alkalinity=_DILUTE, calcium=_DILUTE, returns=_IONS)
def hard_water_ions(alkalinity, calcium):
    """Ionic strength of water of which only alkalinity and calcium are known: the least that its charges leave open.

    Parameters
    ----------
    alkalinity
        As CaCO3; a number or an array.
    calcium
        Calcium hardness, as CaCO3; a number or an array.

    Notes
    -----
    I = (4 [Ca++] + [HCO3-] + [other])/2; the other ions, of one charge each, make up the difference of 2 [Ca++] and [HCO3-].

    References
    ----------
    [Geometry]_ the definition of ionic strength, and charges that balance

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(hard_water_ions(Q(250, "mg/L"), Q(250, "mg/L")), "mmol/L")
    '7.49 mmol/L'
    """
    ca, bicarbonate = calcium / CACO3, alkalinity / (CACO3 / 2)
    return (4 * ca + bicarbonate + np.abs(2 * ca - bicarbonate)) / 2


@formula(
    alkalinity=_DILUTE, calcium=_DILUTE, carbon_dioxide=Arg("mg/L", possible=(1e-4, 1e4)), temperature=_TEMPERATURE,
    saturation=Arg("-", possible=(-1, 3)), ionic_strength=_IONS, returns=Arg("-", possible=(3, 13)),
)
def ph_of_lime_water(alkalinity, calcium, carbon_dioxide, temperature, saturation=0.0, ionic_strength=0.0):
    """Acidity (pH) of an open bowl of hard water that drops lime (calcite) until its saturation index is down at a given value.

    Parameters
    ----------
    alkalinity
        Before any lime has dropped, as CaCO3; a number or an array.
    calcium
        Calcium hardness before any lime has dropped, as CaCO3; a number or an array.
    carbon_dioxide
        Dissolved, as the air leaves it; a number or an array.
    temperature
        Of the water; a number or an array.
    saturation
        Index at which no more lime drops: 0 with lime in the water and years of time, more in ponds and streams.
    ionic_strength
        Of the water; left out, the ions count as if they were alone.

    Notes
    -----
    Lime takes alkalinity and calcium in equal parts, so [Ca++] = [Ca++]0 - (A0 - A)/2, with A the alkalinity of an open bowl at this pH
    (see :func:`ph_of_carbon_dioxide`). Newton's steps find x = 1/[H+] at which [Ca++] [CO3--] g² = K_calcite 10^saturation. Water that
    does not reach the index would have to dissolve lime first: the answer then lies above that of :func:`ph_of_carbon_dioxide`, and the
    lower of the two holds.

    References
    ----------
    [PlummerBusenberg1982]_ constants

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(ph_of_lime_water(Q(250, "mg/L"), Q(250, "mg/L"), Q(0.72, "mg/L"), Q(20, "degC"), 1.0, Q(7.5, "mmol/L")), "-")
    '8.55'
    """
    k1, k2, kw, g1, g2 = _constants(temperature, ionic_strength)
    gas, a, ca = carbon_dioxide / CO2 / 1000, alkalinity / PER_EQUIVALENT, calcium / CACO3 / 1000
    p, q = 2 * gas * k1 * k2 / g2, (gas * k1 + kw) / g1
    enough = 2 * 10.0 ** (saturation - equilibrium_pk.plain(temperature, "calcite")) / (p * g2**2)
    x = (a + np.sqrt(a * a + 4 * q / g1)) / (2 * q)
    for _ in range(40):
        left = ca + (p * x**2 + q * x - 1 / (g1 * x) - a) / 2
        step = (left * x**2 - enough) / ((2 * p * x + q + 1 / (g1 * x**2)) * x**2 / 2 + 2 * left * x)
        x = x - step
        if (np.abs(step) < 1e-9 * x).all():
            break
    return np.log10(x)
