"""A year of hourly weather: read from a file that the user downloaded, or made from the climate table's monthly means."""
from __future__ import annotations

import functools
from dataclasses import dataclass, replace
from pathlib import Path

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
MAX_BYTES = 40_000_000


@dataclass(frozen=True, eq=False)
class Weather:
    """Hourly means of a year, arrays of shape (8760,) from 1 January, hour by hour of local standard time.

    Sun in W/m2 on flat ground (`flat`), straight from the sun (`direct`) and from the sky (`sky`); air in degC. `solar_clock`: the hours
    are those of the sun itself, as in a year made from monthly means. `moment`: how far into its hour the sun was read (half an hour
    for means).
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


# ---------------------------------------------------------------------------------------------------------- read from a file


class WeatherError(QuantityError):
    """A weather file that cannot serve; the message says what is wrong with it and what would do."""


def read_weather(path) -> Weather:
    """Read a year of hourly weather: EPW, TMY3, a typical year of PVGIS, or hourly NASA POWER, as downloaded.

    Raises
    ------
    WeatherError
        One sentence: what the file lacks.
    """
    path = Path(path)
    try:
        stamp = path.stat()
    except OSError as error:
        raise WeatherError(f"the weather file '{path.name}' cannot be read ({error.strerror}).") from None
    if stamp.st_size > MAX_BYTES:
        raise WeatherError(f"the weather file '{path.name}' is larger than a year of hours can be ({MAX_BYTES // 1_000_000} MB).")
    return _read(str(path), stamp.st_mtime_ns)


@functools.lru_cache(maxsize=4)
def _read(path: str, changed: int) -> Weather:
    del changed  # part of the key: a file that changed is read again
    name = Path(path).name
    try:
        with open(path, encoding="utf-8", errors="replace") as file:
            head = file.read(4000)
    except OSError as error:
        raise WeatherError(f"the weather file '{name}' cannot be read ({error.strerror}).") from None
    for marks, reader in _READERS:
        if all(mark in head for mark in marks):
            try:
                return reader(path)
            except WeatherError as error:
                raise WeatherError(f"the weather file '{name}' {error}") from None
            except Exception as error:  # the readers stop in many ways at a damaged file
                what = "a line or a number in it cannot be read"
                raise WeatherError(f"the weather file '{name}' is damaged: {what}. Download it again.") from error
    raise WeatherError(f"the weather file '{name}' is none of EPW, TMY3, PVGIS (typical year, CSV or JSON), NASA POWER (hourly, CSV).")


def _epw(path: str) -> Weather:
    from pvlib.iotools import read_epw

    data, about = read_epw(path)
    name = f"{about['city'].strip()} (EPW)"
    return _weather(name, data, about["latitude"], about["longitude"], about["TZ"], ("ghi", "dni", "dhi", "temp_air"))


def _tmy3(path: str) -> Weather:
    from pvlib.iotools import read_tmy3

    data, about = read_tmy3(path, map_variables=True, encoding="utf-8")
    place = str(about["Name"]).strip(' "').title()
    return _weather(f"{place} (TMY3)", data, about["latitude"], about["longitude"], about["TZ"], ("ghi", "dni", "dhi", "temp_air"))


def _pvgis(path: str) -> Weather:
    from pvlib.iotools import read_pvgis_tmy

    as_json = Path(path).read_bytes()[:1] == b"{"
    data, about, *_ = read_pvgis_tmy(path, pvgis_format="json" if as_json else "csv", map_variables=True)
    place = about["inputs"]["location"] if as_json else about["inputs"]
    weather = _weather("PVGIS typical year", data, place["latitude"], place["longitude"], 0.0, ("ghi", "dni", "dhi", "temp_air"))
    moment = place.get("irradiance time offset", place.get("irradiance_time_offset", 0.0))
    return replace(_on_local_clock(weather), moment=float(moment))


def _nasa(path: str) -> Weather:
    import re

    import pandas as pd

    lines = Path(path).read_text(encoding="utf-8", errors="replace").splitlines()
    end = next((i for i, line in enumerate(lines) if "-END HEADER-" in line), None)
    spot = re.search(r"[Ll]atitude\s+(-?[\d.]+)\s+[Ll]ongitude\s+(-?[\d.]+)", "\n".join(lines[: end or 0]))
    if end is None or spot is None:
        raise WeatherError("has no '-END HEADER-' line with latitude and longitude above it.")
    data = pd.read_csv(path, skiprows=end + 1)
    names = ("ALLSKY_SFC_SW_DWN", "ALLSKY_SFC_SW_DNI", "ALLSKY_SFC_SW_DIFF", "T2M")
    if missing := [n for n in ("YEAR", "MO", "DY", "HR", *names) if n not in data]:
        raise WeatherError(f"lacks the column{'s' if len(missing) > 1 else ''} {', '.join(missing)}: ask for them when you download it.")
    data = data[~((data.MO == 2) & (data.DY == 29))]
    full = data.groupby("YEAR").size()
    if not (full == HOURS).any():
        raise WeatherError(f"holds no whole year: {HOURS} hours are needed, the fullest year has {int(full.max())}.")
    year = int(full[full == HOURS].index[-1])
    latitude, longitude = float(spot[1]), float(spot[2])
    universal = "UTC" in "\n".join(lines[:end])
    offset = 0.0 if universal else longitude / 15  # its local time is the sun's, not the clock's
    weather = _weather(f"NASA POWER {year}", data[year == data.YEAR], latitude, longitude, offset, names)
    return _on_local_clock(weather) if universal else weather


_READERS = (
    (("LOCATION,",), _epw),
    (("Latitude (decimal degrees):", "month,year"), _pvgis),
    (('"inputs"', '"meteo_data"'), _pvgis),
    (("-BEGIN HEADER-", "NASA"), _nasa),
    (("Date (MM/DD/YYYY)", "GHI (W/m^2)"), _tmy3),
)


def _weather(name, data, latitude, longitude, utc_offset, columns) -> Weather:
    """Check a table of hours and take the four columns that the plan needs."""
    months, days = (data.MO, data.DY) if "MO" in data else (data.index.month, data.index.day)
    if len(data) > HOURS and "MO" not in data:
        data = data[~((months == 2) & (days == 29))]
    if len(data) != HOURS:
        raise WeatherError(f"holds {len(data)} hours; a year has {HOURS}. It may have been cut short: download it again.")
    flat, direct, sky, air = (np.asarray(data[c], dtype=float) for c in columns)
    bad = ~(np.isfinite(flat + direct + sky + air) & (flat >= -5) & (flat < 1600) & (direct >= -5) & (direct < 1600) & (sky >= -5)
            & (sky < 1600) & (np.abs(air) < 70))
    if bad.any():
        raise WeatherError(f"has {int(bad.sum())} of {HOURS} hours in which sun or temperature is missing or impossible.")
    if flat.sum() < 1:
        raise WeatherError("has no sun in it.")
    return Weather(name, float(latitude), float(longitude), float(utc_offset), np.maximum(flat, 0), np.maximum(direct, 0),
                   np.maximum(sky, 0), air)


def _on_local_clock(weather: Weather) -> Weather:
    """Move a year that runs on universal time to the clock of its longitude, in whole hours."""
    hours = round(weather.longitude / 15)
    moved = {name: np.roll(getattr(weather, name), hours) for name in ("flat", "direct", "sky", "air")}
    return replace(weather, utc_offset=float(hours), **moved)


@functools.lru_cache(maxsize=8)
def monthly_means(weather: Weather) -> Climate:
    """Return a weather file's monthly means as a row of the climate table would hold them."""
    from .climate import nearest

    base = nearest(Q(weather.latitude, "deg"), Q(weather.longitude, "deg"))
    flat, direct, sky = (Q(_monthly_kwh(a), "kWh/m2/d") for a in (weather.flat, weather.direct, weather.sky))
    return replace(base, key="", name=weather.name, latitude=Q(weather.latitude, "deg"), longitude=Q(weather.longitude, "deg"),
                   ghi=flat, dni=direct, dhi=sky, air_temperature=Q(np.array(weather.monthly_air), "degC"), distance_km=0.0)
