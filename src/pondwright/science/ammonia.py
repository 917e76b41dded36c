"""Ammonia: how much of a test's total is the poisonous part, and the limits that have been published for it."""
from __future__ import annotations

import numpy as np

from ..units import Arg, formula

_PH = Arg("-", possible=(0, 14))
_TEMPERATURE = Arg("degC", possible=(-2, 60), calibrated=(0, 50))  # Emerson et al. measured 0 to 50 degC
_CONCENTRATION = Arg("mg/L", possible=(0, 1e5))
_PKA = ("Emerson1975", "CleggWhitfield1995")


@formula(temperature=_TEMPERATURE, method=_PKA, returns=Arg("-", possible=(7, 12)))
def ammonium_pka(temperature, method="Emerson1975"):
    """Acidity of the ammonium ion, as pKa: the pH at which half of the ammonia is un-ionized.

    Parameters
    ----------
    temperature
        Of the water; a number or an array.
    method
        Whose measurements.

    Notes
    -----
    Emerson1975: pKa = 0.09018 + 2729.92/T. CleggWhitfield1995, in water without salt: pKa = 9.244605 - 2729.33 (1/298.15 - 1/T).
    T in kelvin. Copies of the first with 2727.92 are a misprint that makes the un-ionized part 1.5 % too large.

    References
    ----------
    [Emerson1975]_ pKa equation; [CleggWhitfield1995]_ equation 18

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(ammonium_pka(Q(25, "degC")), "-", digits=4)
    '9.246'
    """
    kelvin = temperature + 273.15
    if method == "Emerson1975":
        return 0.09018 + 2729.92 / kelvin
    return 9.244605 - 2729.33 * (1 / 298.15 - 1 / kelvin)


@formula(ph=_PH, temperature=_TEMPERATURE, method=_PKA, returns=Arg("-", possible=(0, 1)))
def unionized_fraction(ph, temperature, method="Emerson1975"):
    """Share of the total ammonia that is un-ionized (NH3): the part that passes through gills and poisons.

    Parameters
    ----------
    ph
        Of the water; a number or an array.
    temperature
        Of the water; a number or an array.
    method
        Whose pKa.

    Notes
    -----
    f = 1 / (1 + 10^(pKa - pH)). Fresh water; in sea water the share is about a fifth smaller.

    References
    ----------
    [Emerson1975]_ pKa equation; [CleggWhitfield1995]_ equation 18

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(unionized_fraction(8.0, Q(24, "degC")), "-")
    '0.0502'
    """
    return 1 / (1 + 10 ** (ammonium_pka.plain(temperature, method) - ph))


@formula(tan=_CONCENTRATION, ph=_PH, temperature=_TEMPERATURE, method=_PKA, returns=_CONCENTRATION)
def unionized_ammonia(tan, ph, temperature, method="Emerson1975"):
    """Un-ionized ammonia, as N, out of a reading of total ammonia.

    Parameters
    ----------
    tan
        Total ammonia nitrogen (TAN): NH3 and NH4+ together, as N; a number or an array.
    ph
        Of the same water at the same time.
    temperature
        Of the same water at the same time.
    method
        Whose pKa.

    Notes
    -----
    NH3-N = f TAN, f = 1 / (1 + 10^(pKa - pH)).

    References
    ----------
    [Emerson1975]_ pKa equation; [FA16]_ figure 3

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(unionized_ammonia(Q(1.0, "mg/L"), 8.0, Q(24, "degC")), "mg/L")
    '0.0502 mg/L'
    """
    return tan * unionized_fraction.plain(ph, temperature, method)


@formula(limit=_CONCENTRATION, ph=_PH, temperature=_TEMPERATURE, method=_PKA, returns=Arg("mg/L", possible=(0, None)))
def tan_at_limit(limit, ph, temperature, method="Emerson1975"):
    """Total ammonia nitrogen at which the un-ionized part just meets its limit.

    Parameters
    ----------
    limit
        For un-ionized ammonia, as N; a number or an array.
    ph
        The highest that the water reaches (a bright afternoon), not the mean.
    temperature
        Of the water at that time.
    method
        Whose pKa.

    Notes
    -----
    TAN = limit / f, f = 1 / (1 + 10^(pKa - pH)).

    References
    ----------
    [Emerson1975]_ pKa equation

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(tan_at_limit(Q(0.025, "mg/L"), 8.5, Q(22, "degC")), "mg/L")
    '0.198 mg/L'
    """
    return limit / unionized_fraction.plain(ph, temperature, method)


@formula(
    ph=Arg("-", possible=(0, 14), calibrated=(6.5, 9.0)), temperature=Arg("degC", possible=(-2, 60), calibrated=(0, 30)),
    trout=("absent", "present"), method=("EPA2013", "EPA1999"), returns=_CONCENTRATION,
)
def acute_criterion(ph, temperature, trout="absent", method="EPA2013"):
    """Total ammonia nitrogen that the water of a river shall not pass for an hour: a criterion for wild water, to compare with.

    Parameters
    ----------
    ph
        Of the water; a number or an array.
    temperature
        Of the water; the 1999 criterion does not use it.
    trout
        Whether trout and salmon live there.
    method
        Which edition.

    Notes
    -----
    EPA1999: a/(1 + 10^(7.204-pH)) + b/(1 + 10^(pH-7.204)), a, b = 0.411, 58.4 without trout and 0.275, 39.0 with.
    EPA2013: 0.7249 (0.0114/(1 + 10^(7.204-pH)) + 1.6181/(1 + 10^(pH-7.204))) min(51.93, 23.12 x 10^(0.036(20-T))); with trout no more
    than the 1999 value for trout.

    References
    ----------
    [EPA1999]_ equations 1 and 2; [EPA2013]_ acute criterion

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(acute_criterion(7.0, Q(20, "degC")), "mg/L", digits=2)
    '17 mg/L'
    """
    alkaline, acid = 1 + 10 ** (7.204 - ph), 1 + 10 ** (ph - 7.204)
    a, b = (0.411, 58.4) if trout == "absent" else (0.275, 39.0)
    old = a / alkaline + b / acid
    if method == "EPA1999":
        return old
    new = 0.7249 * (0.0114 / alkaline + 1.6181 / acid) * np.minimum(51.93, 23.12 * 10 ** (0.036 * (20 - temperature)))
    return new if trout == "absent" else np.minimum(old, new)


@formula(
    ph=Arg("-", possible=(0, 14), calibrated=(6.5, 9.0)), temperature=Arg("degC", possible=(-2, 60), calibrated=(0, 30)),
    young=("present", "absent"), method=("EPA2013", "EPA1999"), returns=_CONCENTRATION,
)
def chronic_criterion(ph, temperature, young="present", method="EPA2013"):
    """Total ammonia nitrogen that the water of a river shall not pass as a 30-day mean: a criterion for wild water, to compare with.

    Parameters
    ----------
    ph
        Of the water; a number or an array.
    temperature
        Of the water; a number or an array.
    young
        Whether eggs and fry live there; only the 1999 criterion asks.
    method
        Which edition.

    Notes
    -----
    EPA1999: (0.0577/(1 + 10^(7.688-pH)) + 2.487/(1 + 10^(pH-7.688))) min(2.85, 1.45 x 10^(0.028(25-T))); without young fish the last
    factor is 1.45 x 10^(0.028(25-max(T,7))). EPA2013, set by mussels and snails: 0.8876 (0.0278/(1 + 10^(7.688-pH)) +
    1.1994/(1 + 10^(pH-7.688))) 2.126 x 10^(0.028(20-max(T,7))).

    References
    ----------
    [EPA1999]_ equations 3 and 4; [EPA2013]_ chronic criterion

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(chronic_criterion(7.0, Q(20, "degC")), "mg/L", digits=2)
    '1.9 mg/L'
    """
    alkaline, acid = 1 + 10 ** (7.688 - ph), 1 + 10 ** (ph - 7.688)
    if method == "EPA2013":
        return 0.8876 * (0.0278 / alkaline + 1.1994 / acid) * 2.126 * 10 ** (0.028 * (20 - np.maximum(temperature, 7)))
    shape = 0.0577 / alkaline + 2.487 / acid
    if young == "present":
        return shape * np.minimum(2.85, 1.45 * 10 ** (0.028 * (25 - temperature)))
    return shape * 1.45 * 10 ** (0.028 * (25 - np.maximum(temperature, 7)))
