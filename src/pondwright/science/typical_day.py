"""Days of a typical year from monthly means: how bright they are, in which order they come, and how a day's sun spreads over its hours."""
from __future__ import annotations

import numpy as np

from ..units import Arg, formula

# the order in which the ranked days of a dull month follow each other (1 is the dullest); Knight1991 has it for clearness up to 0.45
ORDER = np.array([24, 28, 11, 19, 18, 3, 2, 4, 9, 20, 14, 23, 8, 16, 21, 26, 15, 10, 22, 17, 5, 1, 6, 29, 12, 7, 31, 30, 27, 13, 25])
DULLEST = 0.05  # clearness of the darkest overcast day in the published distribution

_CLEARNESS = Arg("-", possible=(0, 1))
_MEAN = Arg("-", possible=(0.01, 0.8), calibrated=(0.3, 0.7))


@formula(mean=_MEAN, share=Arg("-", possible=(0, 1)), returns=_CLEARNESS)
def daily_clearness(mean, share):
    """How clear a day of given rank in a month is: the value that a share of the days does not pass.

    Parameters
    ----------
    mean
        Mean clearness of the month: sun on flat ground over sun outside the air.
    share
        Share of the days that are duller; a number or an array.

    Notes
    -----
    The share of days up to K is (e^(g Kmin) - e^(g K))/(e^(g Kmin) - e^(g Kmax)) with Kmin = 0.05,
    Kmax = 0.6313 + 0.267 mean - 11.9 (mean - 0.75)^8, x = (Kmax - Kmin)/(Kmax - mean) and
    g = -1.498 + (1.184 x - 27.182 e^(-1.5 x))/(Kmax - Kmin). Here it is solved for K.

    References
    ----------
    [Bendt1981]_ as in Duffie & Beckman, section 2.9

    Examples
    --------
    >>> from pondwright import show
    >>> show(daily_clearness(0.4, 0.1), "-", digits=2), show(daily_clearness(0.4, 0.9), "-", digits=2)
    ('0.12', '0.67')
    """
    brightest = np.maximum(0.6313 + 0.267 * mean - 11.9 * (mean - 0.75) ** 8, mean + 0.02)
    span = brightest - DULLEST
    x = span / (brightest - mean)
    g = -1.498 + (1.184 * x - 27.182 * np.exp(-1.5 * x)) / span
    g = np.where(np.abs(g) < 1e-6, 1e-6, g)
    return np.clip(np.log((1 - share) * np.exp(g * DULLEST) + share * np.exp(g * brightest)) / g, 0, 1)


@formula(hour_angle=Arg("deg", possible=(-180, 180)), sunset=Arg("deg", possible=(0, 180)), returns=Arg("-", possible=(0, 1)))
def hour_share(hour_angle, sunset):
    """Share of a day's sun on flat ground that falls in the hour around an hour angle (r_t).

    Parameters
    ----------
    hour_angle
        Of the middle of the hour; a number or an array.
    sunset
        Hour angle of sunset on that day; a number, or an array of the same shape.

    Notes
    -----
    r_t = pi/24 (a + b cos w)(cos w - cos ws)/(sin ws - ws cos ws), a = 0.409 + 0.5016 sin(ws - 60 deg),
    b = 0.6609 - 0.4767 sin(ws - 60 deg), ws in radians where it stands alone. It is 0 at night.

    References
    ----------
    [CollaresPereira1979]_; [DuffieBeckman]_ equation 2.13.2

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(hour_share(Q(0, "deg"), Q(70, "deg")), "%")
    '17.7 %'
    """
    w, ws = np.radians(hour_angle), np.radians(sunset)
    a, b = 0.409 + 0.5016 * np.sin(ws - np.pi / 3), 0.6609 - 0.4767 * np.sin(ws - np.pi / 3)
    spread = np.maximum(np.sin(ws) - ws * np.cos(ws), 1e-9)
    share = np.pi / 24 * (a + b * np.cos(w)) * (np.cos(w) - np.cos(ws)) / spread
    return np.where(np.abs(hour_angle) < sunset, np.clip(share, 0, 1), 0.0)


@formula(clearness=_CLEARNESS, returns=Arg("-", possible=(0, 1)))
def hourly_diffuse_share(clearness):
    """Share of sky light in one hour's sun on flat ground, from the clearness of that hour.

    Parameters
    ----------
    clearness
        Sun on flat ground over sun outside the air in that hour; a number or an array.

    Notes
    -----
    1 - 0.09 k up to 0.22; 0.9511 - 0.1604 k + 4.388 k^2 - 16.638 k^3 + 12.336 k^4 up to 0.80; 0.165 above.

    References
    ----------
    [Erbs1982]_ hourly correlation

    Examples
    --------
    >>> from pondwright import show
    >>> show(hourly_diffuse_share(0.1), "-"), show(hourly_diffuse_share(0.5), "-"), show(hourly_diffuse_share(0.9), "-")
    ('0.991', '0.659', '0.165')
    """
    k = np.asarray(clearness, dtype=float)
    middle = 0.9511 - 0.1604 * k + 4.388 * k**2 - 16.638 * k**3 + 12.336 * k**4
    return np.where(k <= 0.22, 1 - 0.09 * k, np.where(k <= 0.80, middle, 0.165))
