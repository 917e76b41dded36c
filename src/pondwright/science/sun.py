"""How much sun: where the sun stands, how long the day is, and what falls on a tilted panel in a mean day of each month.

Angles are degrees. Azimuth counts clockwise from north (east 90, south 180, west 270); an hour angle is 15 degrees for each hour from
solar noon, morning negative. Latitude is negative in the south, where a panel that faces the equator has azimuth 0.
"""
from __future__ import annotations

import numpy as np

from ..units import Arg, formula

MEAN_DAYS = np.array([17, 47, 75, 105, 135, 162, 198, 228, 258, 288, 318, 344])  # the day of each month whose sun is the month's mean
_SLICES = (np.arange(72) + 0.5) / 36 - 1  # 72 equal slices from sunrise (-1) to sunset (+1), each taken at its middle

_LATITUDE = Arg("deg", possible=(-90, 90))
_DECLINATION = Arg("deg", possible=(-24, 24))
_DAY = Arg("-", possible=(1, 366))
_HOUR_ANGLE = Arg("deg", possible=(-180, 180))
_TILT = Arg("deg", possible=(0, 90))
_AZIMUTH = Arg("deg", possible=(0, 360))
_SUN = Arg("kWh/m2/d", possible=(0, 20))
_SHARE = Arg("-", possible=(0, 1))


@formula(day=_DAY, method=("Spencer1971", "Cooper1969", "FAO56"), returns=_DECLINATION)
def declination(day, method="Spencer1971"):
    """Declination: how far north of the equator the sun stands overhead at noon.

    Parameters
    ----------
    day
        Day of the year, 1 for 1 January; a number or an array.
    method
        Which published fit.

    Notes
    -----
    Spencer1971 is a Fourier series in B = 360 (n - 1)/365 and agrees with an almanac to 0.04 degrees. Cooper1969 is
    23.45 sin(360 (284 + n)/365), up to 1.3 degrees off near the equinoxes. FAO56 is 0.409 rad sin(2 pi n/365 - 1.39).

    References
    ----------
    [Spencer1971]_; [Cooper1969]_; [FAO56]_ equation 24

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(declination(355), "deg"), show(declination(44), "deg")
    ('-23.4 deg', '-13.6 deg')
    """
    if method == "Cooper1969":
        return 23.45 * np.sin(np.radians(360 * (284 + day) / 365))
    if method == "FAO56":
        return np.degrees(0.409 * np.sin(2 * np.pi * day / 365 - 1.39))
    b = 2 * np.pi * (day - 1) / 365
    return np.degrees(0.006918 - 0.399912 * np.cos(b) + 0.070257 * np.sin(b) - 0.006758 * np.cos(2 * b) + 0.000907 * np.sin(2 * b)
                      - 0.002697 * np.cos(3 * b) + 0.00148 * np.sin(3 * b))


@formula(latitude=_LATITUDE, declination=_DECLINATION, depression=Arg("deg", possible=(0, 18)), returns=Arg("deg", possible=(0, 180)))
def sunset_hour_angle(latitude, declination, depression=0.0):
    """Hour angle of sunset: half the day's length as an angle.

    Parameters
    ----------
    latitude
        Of the place.
    declination
        Of the sun; a number or an array.
    depression
        How far the middle of the sun's disc stands below the horizon: 0 in solar engineering; 0.833 in an almanac, which counts the
        upper edge of the disc and the bending of light.

    Notes
    -----
    cos(omega_s) = (-sin(depression) - sin phi sin delta)/(cos phi cos delta), which is -tan phi tan delta without depression. In
    polar night it is 0, in midnight sun 180.

    References
    ----------
    [FAO56]_ equation 25; [DuffieBeckman]_ equation 1.6.10

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(sunset_hour_angle(Q(47.5, "deg"), Q(-23.0, "deg")), "deg")
    '62.4 deg'
    """
    phi, delta = np.radians(latitude), np.radians(declination)
    below = -np.sin(np.radians(depression)) - np.sin(phi) * np.sin(delta)
    return np.degrees(np.arccos(np.clip(below / np.maximum(np.cos(phi) * np.cos(delta), 1e-9), -1, 1)))


@formula(sunset=Arg("deg", possible=(0, 180)), returns=Arg("h", possible=(0, 24)))
def day_length(sunset):
    """Hours from sunrise to sunset.

    Parameters
    ----------
    sunset
        Hour angle of sunset.

    Notes
    -----
    N = 24 omega_s/180. An almanac's day is 0.1 to 0.4 h longer than that of solar engineering (see sunset_hour_angle).

    References
    ----------
    [FAO56]_ equation 34

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(day_length(Q(62.4, "deg")), "h")
    '8.32 h'
    """
    return 24 * sunset / 180


@formula(latitude=_LATITUDE, declination=_DECLINATION, day=_DAY, solar_constant=Arg("W/m2", possible=(1300, 1400)), returns=_SUN)
def extraterrestrial(latitude, declination, day, solar_constant=1361.0):
    """Sun on a flat square metre outside the air in one day: the most that clear sky could ever let through.

    Parameters
    ----------
    latitude
        Of the place.
    declination
        Of the sun; a number or an array.
    day
        Day of the year, for the distance to the sun.
    solar_constant
        Power of sunlight outside the air. 1361 is the modern measurement; older tables use 1367.

    Notes
    -----
    H0 = (24/pi) G (1 + 0.033 cos(2 pi n/365)) (cos phi cos delta sin omega_s + omega_s sin phi sin delta), omega_s in radians.

    References
    ----------
    [DuffieBeckman]_ equation 1.10.3; [FAO56]_ equations 21 and 23; [KoppLean2011]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(extraterrestrial(Q(47.5, "deg"), Q(-23, "deg"), 344), "kWh/m2/d")
    '2.54 kWh/m²/day'
    """
    phi, delta = np.radians(latitude), np.radians(declination)
    sunset = np.radians(sunset_hour_angle.plain(latitude, declination))
    distance = 1 + 0.033 * np.cos(2 * np.pi * day / 365)
    day_sum = np.cos(phi) * np.cos(delta) * np.sin(sunset) + sunset * np.sin(phi) * np.sin(delta)
    return np.maximum(24 / np.pi * solar_constant / 1000 * distance * day_sum, 0)


@formula(horizontal=_SUN, outside=_SUN, returns=Arg("-", possible=(0, 1.2)))
def clearness(horizontal, outside):
    """Share of the sun outside the air that reaches flat ground: the clearness index.

    Parameters
    ----------
    horizontal
        Sun on flat ground in a mean day.
    outside
        Sun on a flat square metre outside the air.

    Notes
    -----
    K_T = H/H0; 0 in a month without sun. About 0.3 is a dull month, 0.7 a clear one.

    References
    ----------
    [DuffieBeckman]_ equation 2.9.1

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(clearness(Q(0.9, "kWh/m2/d"), Q(2.6, "kWh/m2/d")), "-", digits=2)
    '0.35'
    """
    horizontal, outside = np.broadcast_arrays(np.asarray(horizontal, float), np.asarray(outside, float))
    ratio = np.divide(horizontal, outside, out=np.zeros(horizontal.shape), where=outside > 1e-9)
    return ratio if ratio.ndim else float(ratio)


@formula(clearness=Arg("-", possible=(0, 1.2), calibrated=(0.3, 0.8)), sunset=Arg("deg", possible=(0, 180)), returns=_SHARE)
def diffuse_share(clearness, sunset):
    """Share of the sun on flat ground that comes from the whole sky, guessed from the clearness of a mean month.

    Parameters
    ----------
    clearness
        Clearness index of the month.
    sunset
        Hour angle of sunset on the month's mean day.

    Notes
    -----
    A cubic in K_T, one for winter (omega_s up to 81.4 degrees) and one for the rest of the year. It gave 18 to 24 % too little sky
    light for Chicago winters, so where a table holds measured sky light, that is used instead.

    References
    ----------
    [Erbs1982]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(diffuse_share(0.482, Q(66.4, "deg")), "-")
    '0.409'
    """
    k = clearness
    winter = 1.391 - 3.560 * k + 4.189 * k**2 - 2.137 * k**3
    summer = 1.311 - 3.022 * k + 3.427 * k**2 - 1.821 * k**3
    return np.clip(np.where(np.asarray(sunset) <= 81.4, winter, summer), 0, 1)


@formula(latitude=_LATITUDE, declination=_DECLINATION, hour_angle=_HOUR_ANGLE, returns=Arg("deg", possible=(-90, 90)))
def solar_altitude(latitude, declination, hour_angle):
    """Height of the sun above the horizon.

    Parameters
    ----------
    latitude
        Of the place.
    declination
        Of the sun.
    hour_angle
        Time from solar noon, as an angle.

    Notes
    -----
    sin(alpha) = cos phi cos delta cos omega + sin phi sin delta; negative below the horizon.

    References
    ----------
    [DuffieBeckman]_ equation 1.6.5

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(solar_altitude(Q(43, "deg"), Q(-14, "deg"), Q(-37.5, "deg")), "deg")
    '23.5 deg'
    """
    return np.degrees(np.arcsin(np.clip(_cosines(latitude, declination, hour_angle, 0.0, 180.0)[0], -1, 1)))


@formula(latitude=_LATITUDE, declination=_DECLINATION, hour_angle=_HOUR_ANGLE, tilt=_TILT, azimuth=_AZIMUTH,
         returns=Arg("deg", possible=(0, 180)))
def incidence_angle(latitude, declination, hour_angle, tilt, azimuth):
    """Angle between the sunbeam and the line that stands square on the panel.

    Parameters
    ----------
    latitude
        Of the place.
    declination
        Of the sun.
    hour_angle
        Time from solar noon, as an angle.
    tilt
        Of the panel; 0 lies flat, 90 stands upright.
    azimuth
        Where the panel faces, clockwise from north.

    Notes
    -----
    cos(theta) = cos(theta_z) cos(beta) + sin(beta) (cos delta sin phi cos gamma cos omega - sin delta cos phi cos gamma
    + cos delta sin gamma sin omega), with gamma the azimuth counted from south. Beyond 90 degrees the sun stands behind the panel.

    References
    ----------
    [DuffieBeckman]_ equation 1.6.2

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(incidence_angle(Q(43, "deg"), Q(-14, "deg"), Q(-22.5, "deg"), Q(45, "deg"), Q(195, "deg")), "deg")
    '35.2 deg'
    """
    return np.degrees(np.arccos(np.clip(_cosines(latitude, declination, hour_angle, tilt, azimuth)[1], -1, 1)))


def _cosines(latitude, declination, hour_angle, tilt, azimuth):
    """Return the cosines of the angle of the sunbeam to flat ground and to the panel."""
    phi, delta, omega, beta = (np.radians(x) for x in (latitude, declination, hour_angle, tilt))
    gamma = np.radians(azimuth - 180)
    flat = np.cos(phi) * np.cos(delta) * np.cos(omega) + np.sin(phi) * np.sin(delta)
    south = np.cos(delta) * np.sin(phi) * np.cos(omega) - np.sin(delta) * np.cos(phi)
    across = south * np.cos(gamma) + np.cos(delta) * np.sin(omega) * np.sin(gamma)
    return flat, flat * np.cos(beta) + across * np.sin(beta)


@formula(latitude=_LATITUDE, declination=_DECLINATION, tilt=_TILT, azimuth=_AZIMUTH, diffuse_share=_SHARE,
         method=("CollaresPereira1979", "Klein1977"), returns=Arg("-", possible=(0, 1e4)))
def beam_ratio(latitude, declination, tilt, azimuth, diffuse_share=0.5, method="CollaresPereira1979"):
    """How much more direct sun a tilted panel gets in a mean day than flat ground does (R_b).

    Parameters
    ----------
    latitude
        Of the place.
    declination
        Of the sun; a number or an array.
    tilt
        Of the panel; a number, or an array of the same shape.
    azimuth
        Where the panel faces, clockwise from north.
    diffuse_share
        Share of sky light in the sun on flat ground; a number, or an array of the same shape.
    method
        How direct sun is spread over the day.

    Notes
    -----
    The day from sunrise to sunset is cut into 72 slices; each slice's direct sun is turned onto the panel (not below zero) and the
    sum is divided by that on flat ground. CollaresPereira1979 spreads the day's sun by r_t and sky light by r_d, so low sun, which is
    dimmed by the air, counts less. Klein1977 spreads it as outside the air: for a panel that faces the equator this is Klein's
    closed form, and too high in winter. In a month without sun it is 0.

    References
    ----------
    [CollaresPereira1979]_; [LiuJordan1960]_ r_d; [Klein1977]_; [DuffieBeckman]_ sections 2.13 and 2.19

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(beam_ratio(Q(43, "deg"), Q(-23, "deg"), Q(60, "deg"), Q(180, "deg"), 0.4), "-", digits=2)
    '2.9'
    """
    shape = np.broadcast_shapes(np.shape(declination), np.shape(tilt), np.shape(diffuse_share))
    delta, beta, share = (np.broadcast_to(x, shape).reshape(-1, 1) for x in (declination, tilt, diffuse_share))
    sunset = np.radians(sunset_hour_angle.plain(latitude, delta))
    omega = sunset * _SLICES
    flat, panel = _cosines(latitude, delta, np.degrees(omega), beta, azimuth)
    weight = np.maximum(flat, 0)
    if method == "CollaresPereira1979":
        a, b = 0.409 + 0.5016 * np.sin(sunset - np.pi / 3), 0.6609 - 0.4767 * np.sin(sunset - np.pi / 3)
        weight = np.maximum(a + b * np.cos(omega) - share, 0) * (np.cos(omega) - np.cos(sunset))
    total = weight.sum(axis=1)
    turned = (weight * np.maximum(panel, 0) / np.maximum(flat, 1e-6)).sum(axis=1)
    ratio = np.divide(turned, total, out=np.zeros(total.shape), where=total > 1e-12).reshape(shape)
    return ratio if shape else float(ratio)


@formula(tilt=_TILT, azimuth=_AZIMUTH, bearing=_AZIMUTH, height=Arg("deg", possible=(0, 90)), returns=_SHARE)
def sky_view(tilt, azimuth, bearing, height):
    """Share of an evenly bright sky that shines on a panel over what stands round it (sky view factor).

    Parameters
    ----------
    tilt
        Of the panel.
    azimuth
        Where the panel faces, clockwise from north.
    bearing
        Directions in equal steps all round the compass; shape (n,).
    height
        How high what hides the sky reaches in each direction, seen from the panel; shape (n,).

    Notes
    -----
    F = (1/pi) times the integral of cos(theta) over the open sky, cos(theta) = cos beta sin h + sin beta cos h cos(phi - azimuth). In
    each direction it runs from a, the height of the obstruction or of the panel's own plane, whichever is higher, to the zenith:
    cos beta cos²a / 2 + sin beta cos(phi - azimuth) ((pi/2 - a)/2 - sin(2a)/4). Nothing in the way: (1 + cos beta)/2. What hides the
    sky is taken as black.

    References
    ----------
    [LiuJordan1960]_ for the open sky; [Geometry]_ for the rest

    Examples
    --------
    >>> from pondwright import Q, show
    >>> round_about, wall = Q([15, 45, 75, 105, 135, 165, 195, 225, 255, 285, 315, 345], "deg"), Q([30.0] * 12, "deg")
    >>> show(sky_view(Q(0, "deg"), Q(180, "deg"), round_about, wall), "-", digits=2)
    '0.75'
    """
    beta, ahead = np.radians(tilt), np.cos(np.radians(bearing - azimuth))
    own_plane = np.arctan2(-np.sin(beta) * ahead, np.cos(beta))
    low = np.maximum(np.radians(height), np.maximum(own_plane, 0))
    rays = np.cos(beta) * np.cos(low) ** 2 / 2 + np.sin(beta) * ahead * ((np.pi / 2 - low) / 2 - np.sin(2 * low) / 4)
    return float(2 * np.mean(rays))  # 1/pi of a sum over the 2 pi of the compass


@formula(horizontal=_SUN, diffuse=_SUN, beam_ratio=Arg("-", possible=(0, 1e4)), tilt=_TILT,
         direct=Arg("kWh/m2/d", possible=(0, 20), optional=True), albedo=_SHARE, returns=_SUN)
def tilted(horizontal, diffuse, beam_ratio, tilt, direct=None, albedo=0.2):
    """Sun on a tilted panel in a mean day: direct, from the sky, and thrown back by the ground.

    Parameters
    ----------
    horizontal
        Sun on flat ground.
    diffuse
        The part of it that comes from the whole sky.
    beam_ratio
        Direct sun on the panel over direct sun on flat ground.
    tilt
        Of the panel.
    direct
        Sun on a surface that follows the sun; where it is known, the panel's direct part cannot exceed it.
    albedo
        Share of light that the ground throws back: 0.2 for grass, up to 0.7 for fresh snow.

    Notes
    -----
    H_T = (H - H_d) R_b + H_d (1 + cos beta)/2 + H albedo (1 - cos beta)/2: the sky taken as equally bright all over, which is on the
    low side. The limit by `direct` keeps a very low sun from giving more than there is.

    References
    ----------
    [LiuJordan1960]_; [DuffieBeckman]_ equation 2.19.1

    Examples
    --------
    >>> from pondwright import Q, show
    >>> sun = [Q(x, "kWh/m2/d") for x in (1.6, 0.65)]
    >>> show(tilted(*sun, 2.8, Q(60, "deg")), "kWh/m2/d")
    '3.23 kWh/m²/day'
    """
    cosine = np.cos(np.radians(tilt))
    beam = np.maximum(horizontal - diffuse, 0) * beam_ratio
    if direct is not None:
        beam = np.minimum(beam, direct)
    return beam + diffuse * (1 + cosine) / 2 + horizontal * albedo * (1 - cosine) / 2
