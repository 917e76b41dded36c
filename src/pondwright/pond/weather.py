"""A year of hourly weather, and how one is made from the climate table's monthly means; :mod:`weather_file` reads one from a file."""
from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np

from ..science import sun, typical_day
from ..units import Q, QuantityError
from .climate import DAYS, Climate

HOURS = 8760
DAY_OF_YEAR = np.repeat(np.arange(1, 366), 24)
CLOCK = np.tile(np.arange(24) + 0.5, 365)  # the middle of each hour
MONTH_OF_HOUR = np.repeat(np.arange(12), DAYS * 24)
DARK = 0.04  # sine of the sun's height below which clearness means nothing: 2 degrees
BRIGHTEST = 1100.0  # W/m2; a judgement: no hour's direct sun is stronger at the ground


class WeatherError(QuantityError):
    """A weather file that cannot serve; the message says what is wrong with it and what would do."""


@dataclass(frozen=True, eq=False)
class Weather:
    """Hourly means of a year, arrays of shape (8760,) from 1 January, hour by hour of local standard time.

    Sun in W/m2 on flat ground (`flat`), straight from the sun (`direct`) and from the sky (`sky`); air in degC. `solar_clock`: the hours
    are those of the sun itself, as in a year made from monthly means. `moment`: how far into its hour the sun was read (half an hour
    for means). `height`: metres above the sea, None where the file does not say. `said`: what a plan that rests on it must tell.
    """

    name: str
    latitude: float
    longitude: float
    utc_offset: float
    flat: np.ndarray
    direct: np.ndarray
    sky: np.ndarray
    air: np.ndarray
    solar_clock: bool = False
    moment: float = 0.5
    height: float | None = None
    said: str = ""

    @functools.cached_property
    def hour_angle(self) -> np.ndarray:
        """Return where the sun stands on its daily way at the moment of each hour (degrees, 0 at its noon)."""
        if self.solar_clock:
            return 15 * (CLOCK - 12)
        from pvlib.solarposition import equation_of_time_spencer71

        minutes = equation_of_time_spencer71(DAY_OF_YEAR) + 4 * (self.longitude - 15 * self.utc_offset)
        return (15 * (CLOCK - 0.5 + self.moment + minutes / 60 - 12) + 180) % 360 - 180

    @functools.cached_property
    def monthly_air(self) -> tuple[float, ...]:
        """Return the mean air temperature of each month (degC)."""
        return tuple(self.by_month(self.air).tolist())

    def by_month(self, values: np.ndarray, how=np.mean) -> np.ndarray:
        """Return one number a month, shape (12,)."""
        ends = np.cumsum(DAYS * 24)
        return np.array([how(part) for part in np.split(values, ends[:-1])])


# ------------------------------------------------------------------------------------------------- made from monthly means


@functools.lru_cache(maxsize=32)
def typical_year(climate: Climate, latitude: float) -> Weather:
    """Make the hours of a typical year from twelve monthly means, with bright and dull days in a published order.

    Parameters
    ----------
    climate : Climate
        The row of the climate table.
    latitude : float
        Of the pond, in degrees.

    Returns
    -------
    Weather
        Its monthly sums of sun on flat ground and from the sky are those of the table.
    """
    angle = 15 * (CLOCK - 12)
    tilt_of_axis = sun.declination.plain(np.arange(1, 366))
    sunset = sun.sunset_hour_angle.plain(latitude, tilt_of_axis)
    outside = sun.extraterrestrial.plain(latitude, tilt_of_axis, np.arange(1, 366))
    wanted = climate.ghi.m_as("kWh/m^2/d")
    daily = _bright_and_dull(wanted, outside)
    flat = 1000 * np.repeat(daily, 24) * typical_day.hour_share.plain(angle, np.repeat(sunset, 24))
    flat = flat * _by_hour(_ratio(wanted, _monthly_kwh(flat)))
    height = np.sin(np.radians(sun.solar_altitude.plain(latitude, np.repeat(tilt_of_axis, 24), angle)))
    above = np.maximum(height, DARK)
    share = typical_day.hourly_diffuse_share.plain(np.clip(flat / (1361 * above), 0, 1))
    sky = flat * share
    sky = np.minimum(sky * _by_hour(_ratio(climate.dhi.m_as("kWh/m^2/d"), _monthly_kwh(sky))), flat)
    direct = np.where(height > DARK, np.minimum((flat - sky) / above, BRIGHTEST), 0.0)
    air = _by_hour(climate.air_temperature.m_as("degC"))
    return Weather(climate.where, latitude, 0.0, 0.0, flat, direct, sky, air, solar_clock=True)


def _bright_and_dull(wanted: np.ndarray, outside: np.ndarray) -> np.ndarray:
    """Return the sun of each day (kWh/m2, shape (365,)): the month's distribution of days, in the published order."""
    days, start = np.zeros(365), 0
    for month, count in enumerate(DAYS):
        there = outside[start : start + count]
        if there.mean() > 0.01:
            mean = min(max(wanted[month] / there.mean(), 0.02), 0.78)
            rank = typical_day.ORDER[typical_day.ORDER <= count]
            days[start : start + count] = there * typical_day.daily_clearness.plain(mean, (rank - 0.5) / count)
        start += count
    return days


def _monthly_kwh(hourly: np.ndarray) -> np.ndarray:
    ends = np.cumsum(DAYS * 24)
    return np.add.reduceat(hourly, np.concatenate([[0], ends[:-1]])) / DAYS / 1000


def _by_hour(monthly: np.ndarray) -> np.ndarray:
    return np.asarray(monthly, dtype=float)[MONTH_OF_HOUR]


def _ratio(wanted: np.ndarray, made: np.ndarray) -> np.ndarray:
    return np.divide(wanted, made, out=np.zeros(12), where=made > 1e-6)


# ---------------------------------------------------------------------------------------------------------------- its means


@functools.lru_cache(maxsize=8)
def monthly_means(weather: Weather) -> Climate:
    """Return a weather file's monthly means as a row of the climate table would hold them."""
    flat, direct, sky = (Q(_monthly_kwh(a), "kWh/m2/d") for a in (weather.flat, weather.direct, weather.sky))
    height = None if weather.height is None else Q(weather.height, "m")
    return Climate("", weather.name, Q(weather.latitude, "deg"), Q(weather.longitude, "deg"), height, flat, direct, sky,
                   Q(np.array(weather.monthly_air), "degC"))
