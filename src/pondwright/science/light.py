"""Light for plants: the light of a day, and the electricity that a lamp takes to give it."""
from __future__ import annotations

from ..units import Arg, formula

_HOURS = Arg("h/d", possible=(0, 24))
_DAILY_LIGHT = Arg("mol/m2/d", possible=(0, 100))


@formula(flux=Arg("umol/m2/s", possible=(0, 3000)), hours=_HOURS, returns=_DAILY_LIGHT)
def daily_light(flux, hours):
    """Light that falls on each square metre in a day (daily light integral, DLI), from what a meter reads.

    Parameters
    ----------
    flux
        Light that plants can use (400 to 700 nm), as a quantum meter reads it: photosynthetic photon flux density, PPFD.
    hours
        That it shines each day as brightly.

    Notes
    -----
    DLI = PPFD t, with 3600 seconds in an hour and a million micromoles in a mole. A mole is a number, 6.02 x 10^23, here of
    particles of light.

    References
    ----------
    [DailyLight]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(daily_light(Q(200, "umol/m2/s"), Q(16, "h/d")), "mol/m2/d")
    '11.5 mol/m²/day'
    """
    return flux * hours * 3600e-6


@formula(light=_DAILY_LIGHT, area=Arg("m2", possible=(0, 1e4)),
         efficacy=Arg("umol/J", possible=(0.05, 6), calibrated=(0.05, 4.1), by="Kusuma2020"), returns=Arg("Wh/d", possible=(0, 1e9)))
def lamp_energy(light, area, efficacy):
    """Electricity that a lamp takes in a day to give plants their light.

    Parameters
    ----------
    light
        That the plants should get from the lamp each day (DLI).
    area
        That the lamp lights.
    efficacy
        Light for each joule of electricity: on the label as PPE, in micromoles per joule.

    Notes
    -----
    E = DLI A/efficacy, with a million micromoles in a mole and 3600 joules in a watt-hour. Light that falls beside the plants, or is
    lost in a controller or battery, comes on top.

    References
    ----------
    [Kusuma2020]_; [DailyLight]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(lamp_energy(Q(12, "mol/m2/d"), Q(0.5, "m2"), Q(2, "umol/J")), "Wh/d")
    '833 Wh/day'
    """
    return light * area * 1e6 / efficacy / 3600
