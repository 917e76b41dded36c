"""Whether the light of a weather file can be right: its place, the order of its hours, its sums, and the sun that its clock asks for."""
from __future__ import annotations

from dataclasses import replace

import numpy as np

from ..science import sun
from .climate import DAYS, MONTH_NAMES
from .weather import DAY_OF_YEAR, HOURS, Weather, WeatherError

LEAST, MOST = 0.2, 0.85  # judgements: of the sun outside the air; a dull wet valley keeps a quarter in a year, a high desert four fifths
APART = 0.15  # what QCRad (Long and Shi 2008; limits as pvanalytics has them) allows an hour of low sun; here the year's mean
SIDE = 0.05  # a judgement: no year is so clear, or so dull, that sky or sun bring less than this share
NIGHT = 0.01  # a judgement: share of light with the sun well below the horizon; real files have 0.0002 at most
DUSK = -3.0  # degrees; higher than this the sky is still bright
SHIFTS = np.sort(np.append(np.arange(-12.0, 12.0), [-0.5, 0.5]))  # hours
PARALLELS = np.arange(-88, 89, 4)  # degrees
NORTH = 5.0  # degrees; a judgement
LATE = 1.0  # hours; real files are out so far: zones in whole hours, hours named by their end, the sun's own time


def check_place(latitude: float, longitude: float, utc_offset: float) -> None:
    """Refuse a place that is not on earth, or a clock that no country has."""
    ranges = (("latitude", latitude, -90, 90), ("longitude", longitude, -180, 180), ("time zone", utc_offset, -12, 14))
    for what, given, least, most in ranges:
        if not least <= given <= most:  # also what is no number
            raise WeatherError(f"gives {given:g} as its {what}; {least} to {most} {'hours' if most == 14 else 'degrees'} would do.")


def check_order(months: np.ndarray, days: np.ndarray, hours: np.ndarray, first: int) -> None:
    """Refuse rows that are not the hours of one year from 1 January; `first` is the clock hour of the first row."""
    if len(months) != HOURS:
        years = "It holds more than one year: keep one." if len(months) > HOURS else "It may have been cut short: download it again."
        raise WeatherError(f"holds {len(months)} hours; a year has {HOURS}. {years}")
    starts = np.concatenate([[0], np.cumsum(DAYS)[:-1]])
    found, due = (24 * (starts[months - 1] + days - 1) + hours) % HOURS, (np.arange(HOURS) + first) % HOURS
    if (wrong := np.flatnonzero(found != due)).size:
        row = int(wrong[0])
        there, wanted = (_moment(int(hour)) for hour in (found[row], due[row]))
        raise WeatherError(f"has its hours out of order: hour {row + 1} of the year is {there}, where {wanted} is due. A year from "
                           "1 January to 31 December, each hour once, would do.")


def _moment(hour: int) -> str:
    day, starts = hour // 24, np.concatenate([[0], np.cumsum(DAYS)])
    month = int(np.searchsorted(starts, day, side="right")) - 1
    return f"{day - starts[month] + 1} {MONTH_NAMES[month]}, {hour % 24}:00"


def believable(weather: Weather) -> Weather:
    """Refuse a year whose light cannot be that of its place and clock; one whose clock is a little out is put right, and says so.

    Raises
    ------
    WeatherError
        What does not fit, and what would.
    """
    _check_sum(weather)
    total = weather.flat.sum()
    for what, light in (("direct sun (DNI)", np.minimum(weather.flat - weather.sky, weather.direct)), ("sky light (DHI)", weather.sky)):
        if light.sum() < SIDE * total:
            raise WeatherError(f"holds hardly any {what}, with {total / 1000:,.0f} kWh/m2 of sun on flat ground in its year: a column may "
                               "be empty. Download it again with sun on flat ground (GHI), direct sun (DNI) and sky light (DHI).")
    weather = _on_its_own_clock(weather)
    _check_latitude(weather)
    if (apart := float(_apart(weather))) > APART:
        raise WeatherError(f"has a direct sun (DNI) and a sky light (DHI) that do not add up to its sun on flat ground (GHI): they are "
                           f"{100 * apart:.0f} % apart, hour by hour, and {100 * APART:.0f} % would do. Columns may be swapped or in other "
                           f"units, or its latitude ({weather.latitude:g}), longitude or time zone wrong.")
    highest = _sine(weather, later=[-0.5, 0, 0.5]).max(axis=0)
    night = weather.flat[highest < np.sin(np.radians(DUSK))].sum() / total
    if night > NIGHT:
        raise WeatherError(f"has {100 * night:.0f} % of its light while the sun is below the horizon of latitude {weather.latitude:g}, "
                           f"longitude {weather.longitude:g} and time zone UTC{weather.utc_offset:+g}: one of them is wrong.")
    return weather


def _check_sum(weather: Weather) -> None:
    """Hold the year's sun on flat ground against that outside the air: another unit shows here."""
    days = np.arange(1, 366)
    outside = float(sun.extraterrestrial.plain(weather.latitude, sun.declination.plain(days), days).sum())
    found = float(weather.flat.sum()) / 1000
    if not LEAST * outside <= found <= MOST * outside:
        raise WeatherError(f"holds {found:,.4g} kWh/m2 of sun on flat ground in its year; at a latitude of {weather.latitude:g} degrees "
                           f"{LEAST * outside:,.0f} to {MOST * outside:,.0f} would do. Its columns must be in W/m2 or Wh/m2, and "
                           "its latitude its own.")


def _on_its_own_clock(weather: Weather) -> Weather:
    """Find the clock with which direct sun and sky light add up best; one that is hours away from the file's own is refused."""
    apart, now = _apart(weather, later=SHIFTS), float(_apart(weather))
    best, least = float(SHIFTS[apart.argmin()]), float(apart.min())
    if best == 0 or least > now / 2:
        return weather
    if abs(best) <= LATE:
        return replace(weather, moment=weather.moment + best, said=f"The clock of {weather.name} is {abs(best):g} h out, as its direct "
                       f"sun and sky light show: the sun is taken where it stands {abs(best):g} h {'later' if best > 0 else 'earlier'}.")
    fits = (weather.utc_offset - best + 12) % 24 - 12
    raise WeatherError(f"has a clock that is {abs(best):g} h out: at longitude {weather.longitude:g} its light fits a time zone of "
                       f"UTC{fits:+g}, and it says UTC{weather.utc_offset:+g}. Correct the time zone or the longitude in its first lines, "
                       "or download it again.")


def _check_latitude(weather: Weather) -> None:
    """Find the latitude at which direct sun and sky light add up best; one that is far from the file's own is refused."""
    apart = _apart(weather, latitude=PARALLELS)
    best = int(PARALLELS[apart.argmin()])
    if abs(best - weather.latitude) > NORTH and apart.min() < float(_apart(weather)) / 2:
        raise WeatherError(f"has the light of another latitude: it fits {best} degrees, and {weather.latitude:g} stands in its first lines."
                           " Correct it there, or download the file again.")


def _apart(weather: Weather, later=0.0, latitude=None) -> np.ndarray:
    """Return how far direct sun and sky light are from adding up to the sun on flat ground, hour by hour, as a share of the year's sum.

    One number for each of so many hours `later`, or for each `latitude` tried in the file's stead.
    """
    lit = weather.direct > 0
    made = weather.direct[lit] * np.maximum(_sine(weather, later, latitude, lit), 0) + weather.sky[lit]
    dull = np.abs(weather.sky - weather.flat)[~lit].sum()
    return (np.abs(made - weather.flat[lit]).sum(axis=-1) + dull) / weather.flat.sum()


def _sine(weather: Weather, later=0.0, latitude=None, lit=slice(None)) -> np.ndarray:
    """Return the sine of the sun's height in some hours, seen so many hours later, or from another latitude; a row for each of these."""
    axis = np.radians(sun.declination.plain(DAY_OF_YEAR[lit]))
    north = np.radians(np.asarray(weather.latitude if latitude is None else latitude, dtype=float))[..., None]
    turned = np.radians(weather.hour_angle[lit] + 15 * np.asarray(later, dtype=float)[..., None])
    return np.sin(north) * np.sin(axis) + np.cos(north) * np.cos(axis) * np.cos(turned)
