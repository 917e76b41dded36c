"""Water changes, salt, chlorine remover, and the two ways in which nitrogen is written ("as the ion" and "as N")."""
from __future__ import annotations

import numpy as np

from ..units import Arg, formula

# molar masses, g/mol
NITROGEN, CHLORINE, CHLORIDE, SALT = 14.007, 70.90, 35.45, 58.44  # CHLORINE is Cl2
IONS = {"NO3": 62.0049, "NO2": 46.0055, "NH3": 17.0305, "NH4": 18.0385}
THIOSULFATE, WATER = 158.108, 18.0153  # Na2S2O3 without water, and the water of its crystals

_CONCENTRATION = Arg("mg/L", possible=(0, 1e6))
_VOLUME = Arg("L", possible=(0, 1e9))
_SHARE = Arg("%", possible=(0, 100))
_MASS = Arg("g", possible=(0, 1e9))
_PURITY = Arg("-", possible=(0.01, 1))
_CONDUCTIVITY = Arg("uS/cm", possible=(0, 1e5))
_PER_SALT = Arg("-", possible=(0.5, 4), calibrated=(1.85, 2.2))


@formula(concentration=_CONCENTRATION, ion=tuple(IONS), returns=_CONCENTRATION)
def as_nitrogen(concentration, ion):
    """Nitrogen in a reading that a kit gives as the whole ion or molecule.

    Parameters
    ----------
    concentration
        Of the ion, as the kit gives it; a number or an array.
    ion
        Nitrate, nitrite, ammonia or ammonium.

    Notes
    -----
    c_N = c x 14.007/M: nitrate is divided by 4.43, nitrite by 3.28, ammonia by 1.22, ammonium by 1.29.

    References
    ----------
    [AtomicWeights]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(as_nitrogen(Q(40, "mg/L"), "NO3"), "mg/L")
    '9.04 mg/L'
    """
    return concentration * NITROGEN / IONS[ion]


@formula(nitrogen=_CONCENTRATION, ion=tuple(IONS), returns=_CONCENTRATION)
def as_ion(nitrogen, ion):
    """Concentration of the whole ion or molecule, from a reading "as N".

    Parameters
    ----------
    nitrogen
        The reading as N; a number or an array.
    ion
        Nitrate, nitrite, ammonia or ammonium.

    Notes
    -----
    c = c_N x M/14.007: nitrate 4.43, nitrite 3.28, ammonia 1.22, ammonium 1.29 times the nitrogen.

    References
    ----------
    [AtomicWeights]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(as_ion(Q(0.1, "mg/L"), "NO2"), "mg/L")
    '0.328 mg/L'
    """
    return nitrogen * IONS[ion] / NITROGEN


@formula(concentration=_CONCENTRATION, volume=_VOLUME, purity=_PURITY, returns=_MASS)
def dose_mass(concentration, volume, purity=1.0):
    """Mass that brings a volume of water to a wanted concentration.

    Parameters
    ----------
    concentration
        Wanted rise.
    volume
        Of the water.
    purity
        Share of the substance in what the bag holds, from its label; 1 for pure.

    Notes
    -----
    m = c V / purity.

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(dose_mass(Q(100, "mg/L"), Q(5000, "L")), "g")
    '500 g'
    """
    return concentration * volume / 1000 / purity


@formula(share=_SHARE, times=Arg("-", possible=(0, 1000)), returns=_SHARE)
def share_changed(share, times):
    """Share of the old water that is gone after several changes of the same size.

    Parameters
    ----------
    share
        Changed each time.
    times
        Number of changes; a number or an array.

    Notes
    -----
    1 - (1 - s)^n. Two changes of 25 % renew 43.75 %, not 50 %, since the second takes some of the new water out again.

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(share_changed(Q(25, "%"), 2), "%", digits=4)
    '43.75 %'
    """
    return 100 * (1 - (1 - share / 100) ** times)


@formula(start=_CONCENTRATION, source=_CONCENTRATION, share=_SHARE, times=Arg("-", possible=(0, 1000)), returns=_CONCENTRATION)
def after_changes(start, source, share, times):
    """Concentration in the pond after several changes of the same size.

    Parameters
    ----------
    start
        Before the first change.
    source
        In the new water.
    share
        Changed each time.
    times
        Number of changes; a number or an array.

    Notes
    -----
    c = c_new + (c_start - c_new)(1 - s)^n, with nothing made or used meanwhile.

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(after_changes(Q(40, "mg/L"), Q(4, "mg/L"), Q(25, "%"), 2), "mg/L")
    '24.2 mg/L'
    """
    return source + (start - source) * (1 - share / 100) ** times


@formula(
    start=_CONCENTRATION, target=_CONCENTRATION, source=_CONCENTRATION, share=Arg("%", possible=(0.1, 99.9)),
    returns=Arg("-", possible=(0, 10000)),
)
def changes_needed(start, target, source, share):
    """How many changes of the same size bring the pond down to a target; round it up.

    Parameters
    ----------
    start
        Before the first change.
    target
        Wanted; below the start and above what the new water holds, or no number of changes will do.
    source
        In the new water.
    share
        Changed each time.

    Notes
    -----
    n = ln((c_target - c_new)/(c_start - c_new)) / ln(1 - s).

    References
    ----------
    [Geometry]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(changes_needed(Q(40, "mg/L"), Q(20, "mg/L"), Q(4, "mg/L"), Q(25, "%")), "-")
    '2.82'
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.log(np.divide(target - source, start - source)) / np.log(1 - share / 100)


@formula(moles=Arg("-", possible=(0.25, 2)), crystal_water=Arg("-", possible=(0, 5)), returns=Arg("-", possible=(0, 10)))
def thiosulfate_per_chlorine(moles=2.0, crystal_water=5.0):
    """Grams of sodium thiosulfate that take up one gram of chlorine.

    Parameters
    ----------
    moles
        Of thiosulfate for each mole of chlorine: 2 where it ends as tetrathionate, 1 as sulfate and sulfur, 0.25 as sulfate alone.
    crystal_water
        Moles of water in the crystals: 5 in the usual ones, 0 in the dry powder.

    Notes
    -----
    n (158.11 + 18.015 w)/70.90. Which reaction runs depends on pH and on what is in excess, so dose for the largest: 7.0.

    References
    ----------
    [AtomicWeights]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(thiosulfate_per_chlorine(2), "-", digits=2)
    '7'
    """
    return moles * (THIOSULFATE + crystal_water * WATER) / CHLORINE


@formula(chlorine=_CONCENTRATION, volume=_VOLUME, per_chlorine=Arg("-", possible=(0.5, 20)), purity=_PURITY, returns=_MASS)
def chlorine_remover(chlorine, volume, per_chlorine=7.0, purity=1.0):
    """Mass of sodium thiosulfate crystals that takes the chlorine out of new water.

    Parameters
    ----------
    chlorine
        Total chlorine in the new water (free chlorine and chloramine together, as Cl2).
    volume
        Of the new water.
    per_chlorine
        Grams of crystals for each gram of chlorine.
    purity
        Share of thiosulfate crystals in what the bag or bottle holds, from its label.

    Notes
    -----
    m = c V r / purity. It breaks chloramine too, but leaves its ammonia in the water.

    References
    ----------
    [AtomicWeights]_; [LabDechlorination]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(chlorine_remover(Q(1, "mg/L"), Q(2500, "L")), "g")
    '17.5 g'
    """
    return chlorine * volume / 1000 * per_chlorine / purity


@formula(chlorine=_CONCENTRATION, per_nitrogen=Arg("-", possible=(1, 10), calibrated=(3, 5.1)), returns=_CONCENTRATION)
def chloramine_nitrogen(chlorine, per_nitrogen=5.0618):
    """Ammonia nitrogen that new water with chloramine brings once its chlorine is taken away.

    Parameters
    ----------
    chlorine
        Chloramine in the new water, as Cl2, as water works and kits give it.
    per_nitrogen
        Mass of chlorine for each mass of ammonia nitrogen that the water works mix: 70.90/14.007 where all of it is bound, as little
        as 3 where ammonia is left over.

    Notes
    -----
    N = c / r. One nitrogen goes with each chlorine taken as Cl2 (monochloramine): 1/5.06 = 0.198.

    References
    ----------
    [AtomicWeights]_; [ADWGChloramine]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(chloramine_nitrogen(Q(2, "mg/L")), "mg/L")
    '0.395 mg/L'
    """
    return chlorine / per_nitrogen


@formula(nitrite=_CONCENTRATION, ratio=Arg("-", possible=(1, 50)), basis=("NO2-N", "NO2"), returns=_CONCENTRATION)
def chloride_needed(nitrite, ratio=10.0, basis="NO2-N"):
    """Chloride that keeps nitrite out of the blood of fish.

    Parameters
    ----------
    nitrite
        The reading; a number or an array.
    ratio
        Grams of chloride for each gram of nitrite (the whole ion): 10 by one rule, 6 by another.
    basis
        What the reading counts: nitrogen alone, or the whole ion.

    Notes
    -----
    Cl = ratio x NO2, with NO2 = 3.28 x NO2-N. The 10:1 rule comes from catfish; sick fish want more.

    References
    ----------
    [SRAC462]_; [FarmNitrite]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(chloride_needed(Q(0.2, "mg/L")), "mg/L")
    '6.57 mg/L'
    """
    return ratio * (nitrite * IONS["NO2"] / NITROGEN if basis == "NO2-N" else nitrite)


@formula(rise=_CONCENTRATION, volume=_VOLUME, purity=_PURITY, returns=_MASS)
def salt_for_chloride(rise, volume, purity=1.0):
    """Mass of plain salt (sodium chloride) that raises the chloride by a wanted amount.

    Parameters
    ----------
    rise
        Of the chloride.
    volume
        Of the water.
    purity
        Share of sodium chloride in what the bag holds, from its label.

    Notes
    -----
    m = rise V / (0.6066 purity): 60.66 % of salt is chloride.

    References
    ----------
    [AtomicWeights]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(salt_for_chloride(Q(30, "mg/L"), Q(5000, "L")), "g")
    '247 g'
    """
    return rise * volume / 1000 * SALT / CHLORIDE / purity


@formula(rise=_CONDUCTIVITY, volume=_VOLUME, per_salt=_PER_SALT, returns=_MASS)
def tracer_salt(rise, volume, per_salt=2.03):
    """Mass of plain salt that lifts the conductivity by a wanted amount, to measure a volume by.

    Parameters
    ----------
    rise
        Above the background: the conductivity after, less that before.
    volume
        Rough guess of the pond's.
    per_salt
        Rise in µS/cm for each mg/L of sodium chloride, a plain number.

    Notes
    -----
    m = rise V / per_salt; the same coefficient as in the tracer's volume, so its error of a few per cent stays in both.

    References
    ----------
    [PHREEQC]_ specific conductance; [NaClConductivity]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(tracer_salt(Q(203, "uS/cm"), Q(5000, "L")), "g")
    '500 g'
    """
    return rise * volume / 1000 / per_salt


@formula(salt=_CONCENTRATION, returns=_CONCENTRATION)
def chloride_of_salt(salt):
    """Chloride in water that holds a known concentration of sodium chloride.

    Parameters
    ----------
    salt
        Sodium chloride; a number or an array.

    Notes
    -----
    Cl = 0.6066 NaCl.

    References
    ----------
    [AtomicWeights]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(chloride_of_salt(Q(100, "mg/L")), "mg/L")
    '60.7 mg/L'
    """
    return salt * CHLORIDE / SALT
