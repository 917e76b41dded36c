"""Nitrogen: ammonia from feed, what bacteria use to turn it into nitrate, and how fast they do it on a surface."""
from __future__ import annotations

import numpy as np

from ..units import Arg, formula

_FEED = Arg("g/d", possible=(0, 1e7))
_TAN_LOAD = Arg("g/d", possible=(0, 1e6))
_TAN = Arg("mg/L", possible=(0, 1000))
_SHARE = Arg("-", possible=(0, 1))
_TEMPERATURE = Arg("degC", possible=(-2, 60))
_THETA = Arg("-", possible=(1.0, 1.2))
_RULES = ("TimmonsEbeling2010", "FAO589", "ExtensionAmmonia")
_G_O2, _G_N, _G_CACO3, _G_CO2 = 31.998, 14.007, 100.087, 44.009  # grams for each mol, standard atomic weights


@formula(nitrogen=_SHARE, assimilated=_SHARE, excreted=_SHARE, ammonia=_SHARE, returns=_SHARE)
def tan_factor(nitrogen=0.16, assimilated=0.80, excreted=0.80, ammonia=0.90):
    """Share of the protein in the feed that comes back as ammonia, as N: the rule's 0.092 in its parts.

    Parameters
    ----------
    nitrogen
        Share of nitrogen in protein.
    assimilated
        Share of that nitrogen that the fish takes into its blood.
    excreted
        Share of the assimilated nitrogen that leaves again.
    ammonia
        Share of the excreted nitrogen that leaves as ammonia; the rest is mostly urea.

    Notes
    -----
    0.16 x 0.80 x 0.80 x 0.90 = 0.0922, printed as 0.092.

    References
    ----------
    [TimmonsEbeling2010]_ mass balance

    Examples
    --------
    >>> from pondwright import show
    >>> show(tan_factor(), "-"), show(tan_factor(ammonia=0.70), "-")
    ('0.0922', '0.0717')
    """
    return nitrogen * assimilated * excreted * ammonia


@formula(feed=_FEED, protein=_SHARE, factor=_SHARE, method=_RULES, returns=_TAN_LOAD)
def tan_from_feed(feed, protein, factor=0.092, method="TimmonsEbeling2010"):
    """Ammonia that fish give off, as N (TAN, total ammonia nitrogen), from what they are fed.

    Parameters
    ----------
    feed
        Given in a day; a number or an array.
    protein
        Share of protein in the feed.
    factor
        Ammonia, as N, from each gram of protein, as :func:`tan_factor` gives it; only the first rule asks for it.
    method
        Whose rule.

    Notes
    -----
    TimmonsEbeling2010: P = F PC 0.092. FAO589: P = F PC 0.16 x 0.61. ExtensionAmmonia: 25 mg of ammonia for each gram of feed, whatever
    its protein. A feed of less than 15.6 % protein does not hold that much nitrogen (0.16 of its protein), so there the rule stops at
    all that it holds.

    References
    ----------
    [TimmonsEbeling2010]_ mass balance; [FAO589]_ Appendix 4; [ExtensionAmmonia]_ worked example

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(tan_from_feed(Q(200, "g/d"), Q(32, "%")), "g/d")
    '5.89 g/day'
    """
    if method == "ExtensionAmmonia":
        return feed * np.minimum(0.025, 0.16 * protein)
    return feed * protein * (0.16 * 0.61 if method == "FAO589" else factor)


@formula(tan=_TAN_LOAD, protein=Arg("-", possible=(0.01, 1)), factor=Arg("-", possible=(0.001, 1)), returns=_FEED)
def feed_for_tan(tan, protein, factor=0.092):
    """Feed whose ammonia comes to a given load: the rule for ammonia from feed, turned round.

    Parameters
    ----------
    tan
        Ammonia, as N, that the filter can convert in a day; a number or an array.
    protein
        Share of protein in the feed.
    factor
        Ammonia, as N, from each gram of protein.

    Notes
    -----
    F = P / (PC 0.092)

    References
    ----------
    [Geometry]_ the inverse; [TimmonsEbeling2010]_ mass balance

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(feed_for_tan(Q(5.89, "g/d"), Q(32, "%")), "g/d")
    '200 g/day'
    """
    return tan / (protein * factor)


@formula(biomass=Arg("kg", possible=(0, 1e6)), rate=Arg("g/kg/d", possible=(0, 10)), returns=_TAN_LOAD)
def tan_from_biomass(biomass, rate=0.25):
    """Ammonia that fish give off by a rule that knows only their mass: to compare, since it misses how much they are fed.

    Parameters
    ----------
    biomass
        Of all fish.
    rate
        Ammonia for each kilogram of fish in a day.

    Notes
    -----
    P = m r. At 3 % of body mass fed a day this is a third of what the feed rule of the same text gives.

    References
    ----------
    [ExtensionAmmonia]_ worked example

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(tan_from_biomass(Q(4, "kg")), "g/d")
    '1 g/day'
    """
    return biomass * rate


_O2_PER_N = {"no_growth": 2.0, "Ebeling2006": 1.83, "EPA1975": 1.83, "HaugMcCarty1972": 1.86, "GujerJenkins1974": 1.89,
             "ASM1": (4.57 - 0.24) * _G_N / _G_O2}


@formula(tan=_TAN_LOAD, method=tuple(_O2_PER_N), returns=Arg("g/d", possible=(0, 1e7)))
def nitrification_oxygen(tan, method="no_growth"):
    """Oxygen that bacteria use to turn ammonia into nitrate.

    Parameters
    ----------
    tan
        Ammonia converted in a day, as N; a number or an array.
    method
        Whose balance; all but no_growth count the nitrogen that becomes new bacteria.

    Notes
    -----
    NH4+ + n O2 -> NO3- ...: n = 2 without growth (4.57 g/g), 1.83 (4.18 g/g, Ebeling2006 and EPA1975), 1.86 (4.25, HaugMcCarty1972),
    1.89 for each mol of nitrate (4.32, GujerJenkins1974); ASM1 takes the yield off, 4.57 - 0.24 = 4.33.

    References
    ----------
    [Nitrification]_; [Ebeling2006]_; [EPA1975]_; [HaugMcCarty1972]_; [GujerJenkins1974]_ equation 3.10; [ASM1]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(nitrification_oxygen(Q(10, "g/d")), "g/d")
    '45.7 g/day'
    """
    return tan * _O2_PER_N[method] * _G_O2 / _G_N


_HCO3_PER_N = {"no_growth": 2.0, "Ebeling2006": 1.97, "EPA1975": 1.98}


@formula(tan=_TAN_LOAD, method=tuple(_HCO3_PER_N), returns=Arg("g/d", possible=(0, 1e7)))
def nitrification_alkalinity(tan, method="no_growth"):
    """Alkalinity, as CaCO3, that the acid from nitrification uses up.

    Parameters
    ----------
    tan
        Ammonia converted in a day, as N; a number or an array.
    method
        Whose balance.

    Notes
    -----
    n mol of bicarbonate for each mol of N, each half a mol of CaCO3: n = 2 without growth (7.14 g/g), 1.97 (7.04), 1.98 (7.07).

    References
    ----------
    [Nitrification]_; [Ebeling2006]_; [EPA1975]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(nitrification_alkalinity(Q(10, "g/d")), "g/d")
    '71.5 g/day'
    """
    return tan * _HCO3_PER_N[method] / 2 * _G_CACO3 / _G_N


@formula(tan=_TAN_LOAD, returns=Arg("g/d", possible=(0, 1e7)))
def nitrification_carbon_dioxide(tan):
    """Carbon dioxide that nitrification sets free, counting the bicarbonate that its acid breaks down.

    Parameters
    ----------
    tan
        Ammonia converted in a day, as N; a number or an array.

    Notes
    -----
    1.86 mol of CO2 for each mol of N, with growth.

    References
    ----------
    [Ebeling2006]_ reaction

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(nitrification_carbon_dioxide(Q(10, "g/d")), "g/d")
    '58.4 g/day'
    """
    return tan * 1.86 * _G_CO2 / _G_N


@formula(temperature=_TEMPERATURE, reference=_TEMPERATURE, theta=_THETA, returns=Arg("-", possible=(0, None)))
def temperature_factor(temperature, reference=20.0, theta=1.043):
    """How much faster or slower bacteria work than at a reference temperature.

    Parameters
    ----------
    temperature
        Of the water; a number or an array.
    reference
        Temperature for which the rate is known.
    theta
        Factor for each degree.

    Notes
    -----
    k = theta^(T - T_ref). In a film 1.011 (oxygen limits) to 1.043 (ammonia limits); free-swimming bacteria 1.10.

    References
    ----------
    [ZhuChen2002]_; [ASM1]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(temperature_factor(Q(10, "degC"), theta=1.07), "-")
    '0.508'
    """
    return theta ** (temperature - reference)


@formula(ph=Arg("-", possible=(0, 14), calibrated=(5.0, 9.0), by="Villaverde1997"), method=("EPA1975", "Villaverde1997"), returns=_SHARE)
def ph_factor(ph, method="Villaverde1997"):
    """Share of their rate that the bacteria keep in water of low pH.

    Parameters
    ----------
    ph
        The lowest that was read; a number or an array.
    method
        Whose measurements.

    Notes
    -----
    1 from pH 7.2 upward. Below it EPA1975 (bacteria afloat in sewage): 1 - 0.833 (7.2 - pH), nothing at 6.0. Villaverde1997 (a film on
    media): 13 % less for each unit of pH. Films that had months to get used to it worked at full rate even at pH 4.3 (TarreGreen2004);
    a pond filter seldom has those months.

    References
    ----------
    [EPA1975]_; [Villaverde1997]_ abstract; [TarreGreen2004]_ abstract

    Examples
    --------
    >>> from pondwright import show
    >>> show(ph_factor(6.5), "-"), show(ph_factor(6.5, "EPA1975"), "-")
    ('0.909', '0.417')
    """
    return np.clip(1 - {"EPA1975": 0.833, "Villaverde1997": 0.13}[method] * (7.2 - ph), 0.0, 1.0)


# rate at the reference temperature in g/m2/d from TAN in mg/L, and that temperature
_MODELS = {
    "ZhuChen1999": (lambda s: 1.859 * (s - 0.07) / (s + 1.93), 27.2),
    "Kamstra1998": (lambda s: 0.55 * np.sqrt(s) - 0.1, 25.0),
    "MaloneBeecher2000": (lambda s: 0.30 * s, 25.0),
}
MINIMUM_TAN = {"ZhuChen1999": 0.07, "Kamstra1998": (0.1 / 0.55) ** 2, "MaloneBeecher2000": 0.0}  # mg/L at which each rate is zero


@formula(
    tan=Arg("mg/L", possible=(0, 1000), calibrated=(0.1, None), by="Malone2006"),
    temperature=Arg("degC", possible=(-2, 60), calibrated=(15, 27.2)),
    theta=_THETA, organic=_SHARE, acid=_SHARE, method=(*_MODELS, "lowest", "highest"), returns=Arg("g/m2/d", possible=(0, None)),
)
def areal_removal(tan, temperature, theta=1.043, organic=1.0, acid=1.0, method="ZhuChen1999"):
    """Ammonia, as N, that bacteria on one square metre turn into nitrate in a day, at the ammonia they really get.

    Parameters
    ----------
    tan
        Total ammonia nitrogen in the water at the film; a number or an array.
    temperature
        Of the water; a number or an array.
    theta
        Temperature factor for each degree; a number or an array.
    organic
        Share of the clean-water rate that is left where solids reach the media; 1 behind a solids filter.
    acid
        Share that is left in water of low pH, as :func:`ph_factor` gives it; 1 from pH 7.2 upward.
    method
        Whose measurements; lowest and highest give the least and the most that any of them gives.

    Notes
    -----
    In clean water with oxygen in plenty: ZhuChen1999 1.859 (S - 0.07)/(S + 1.93) at 27.2 °C; Kamstra1998 0.55 sqrt(S) - 0.1 at 25 °C;
    MaloneBeecher2000 0.30 S at 25 °C (350 g/m³/d for each mg/L on 1150 m²/m³), a straight line as Malone2006 found best at 0.1 to
    0.5 mg/L. Each times theta^(T - T_ref), `organic` and `acid`, none below zero. The experiments that were read ran at 15 to 27.2 °C and
    reach down to 0.1 mg/L; no upper end was printed. Other bacteria that live on dirt take room and oxygen: 30 to 70 % less was measured.

    References
    ----------
    [ZhuChen1999]_; [ZhuChen2002]_; [Kamstra1998]_; [MaloneBeecher2000]_; [Malone2006]_; [LingChen2005]_; [Michaud2006]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(areal_removal(Q(0.5, "mg/L"), Q(27.2, "degC")), "g/m2/d")
    '0.329 g/m²/day'
    """
    chosen = _MODELS if method in ("lowest", "highest") else (method,)
    rates = [np.maximum(_MODELS[m][0](tan), 0.0) * theta ** (temperature - _MODELS[m][1]) for m in chosen]
    return organic * acid * (np.max(rates, axis=0) if method == "highest" else np.min(rates, axis=0))


@formula(
    temperature=Arg("degC", possible=(-2, 60), calibrated=(5, 25), by="AquaDictionary"), method=("AquaDictionary", "WortmanWheaton1991"),
    returns=Arg("g/m2/d", possible=(0, None)),
)
def guideline_removal(temperature, method="AquaDictionary"):
    """Areal removal as published without its ammonia concentration: to compare with, never to size a filter.

    Parameters
    ----------
    temperature
        Of the water; a number or an array.
    method
        Whose rates.

    Notes
    -----
    AquaDictionary: 0.3, 0.5, 0.7, 0.9, 1.0 g/m²/d at 5, 10, 15, 20, 25 °C, straight lines between. WortmanWheaton1991:
    (140 + 8.5 T)/1000, a line fitted at 7 to 35 °C. Both were measured where ammonia was plentiful; a clean pond has far
    less.

    References
    ----------
    [AquaDictionary]_; [WortmanWheaton1991]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(guideline_removal(Q(20, "degC")), "g/m2/d"), show(guideline_removal(Q(20, "degC"), "WortmanWheaton1991"), "g/m2/d")
    ('0.9 g/m²/day', '0.31 g/m²/day')
    """
    if method == "WortmanWheaton1991":
        return np.maximum((140 + 8.5 * temperature) / 1000, 0.0)
    return np.interp(temperature, [5, 10, 15, 20, 25], [0.3, 0.5, 0.7, 0.9, 1.0])


@formula(
    temperature=Arg("degC", possible=(-2, 40), calibrated=(8, 25)), oxygen=Arg("mg/L", possible=(0, 40)), ph=Arg("-", possible=(6.0, 14)),
    method=("ASM1", "EPA1975"), returns=Arg("%/d", possible=(0, None)),
)
def nitrifier_growth_rate(temperature, oxygen, ph=7.2, method="ASM1"):
    """Greatest growth of the ammonia-eating bacteria in a day, where ammonia is plentiful.

    Parameters
    ----------
    temperature
        Of the water; a number or an array.
    oxygen
        Dissolved in the water.
    ph
        Of the water; ASM1 does not ask for it, EPA1975 counts everything above 7.2 as 7.2.
    method
        Whose constants.

    Notes
    -----
    ASM1: 80 % a day at 20 °C and 30 % at 10 °C, so 80 (8/3)^((T - 20)/10), times DO/(0.4 + DO). EPA1975: 47 e^(0.098 (T - 15))
    DO/(1.3 + DO) (1 - 0.833 (7.2 - pH)).

    References
    ----------
    [ASM1]_; [EPA1975]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(nitrifier_growth_rate(Q(15, "degC"), Q(2, "mg/L"), method="EPA1975"), "%/d")
    '28.5 %/d'
    """
    if method == "ASM1":
        return 80 * (8 / 3) ** ((temperature - 20) / 10) * oxygen / (0.4 + oxygen)
    return 47 * np.exp(0.098 * (temperature - 15)) * oxygen / (1.3 + oxygen) * np.maximum(1 - 0.833 * (7.2 - np.minimum(ph, 7.2)), 0)


@formula(growth=Arg("%/d", possible=(0.1, 1000)), returns=Arg("d", possible=(0, None)))
def doubling_time(growth):
    """Days in which a population doubles.

    Parameters
    ----------
    growth
        In a day; a number or an array.

    Notes
    -----
    t = ln 2 / mu

    References
    ----------
    [ASM1]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(doubling_time(Q(30, "%/d")), "d")
    '2.31 d'
    """
    return np.log(2) / (growth / 100)


@formula(growth=Arg("%/d", possible=(0, 1000)), decay=Arg("%/d", possible=(0, 100)), half_saturation=_TAN, returns=_TAN)
def minimum_tan(growth, decay=5.0, half_saturation=1.0):
    """Ammonia, as N, below which bacteria die faster than they grow, so that no film lives and no surface helps.

    Parameters
    ----------
    growth
        Greatest growth in a day; more than the decay. A number or an array.
    decay
        Bacteria lost in a day.
    half_saturation
        Ammonia at which they grow at half their greatest rate.

    Notes
    -----
    S_min = K b / (mu - b). Zhu and Chen measured 0.07 mg/L at 27.2 °C.

    References
    ----------
    [RittmannMcCarty]_; constants [ASM1]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(minimum_tan(Q(80, "%/d")), "mg/L")
    '0.0667 mg/L'
    """
    return half_saturation * decay / (growth - decay)
