"""Read a year of hourly weather from a file as people download it; one that cannot serve is refused in one sentence."""
from __future__ import annotations

import functools
import io
import re
from dataclasses import replace
from pathlib import Path

import numpy as np

from .weather import HOURS, Weather, WeatherError
from .weather_checks import believable, check_order, check_place

MAX_BYTES = 40_000_000
LOWEST, HIGHEST = -450.0, 6000.0  # m above the sea
PART_HOURS = ("5", "50", "25", "75")  # of time zones, in hundredths of an hour


def read_weather(path) -> Weather:
    """Read a year of hourly weather: EPW, TMY3, a typical year of PVGIS, or hourly NASA POWER, as downloaded.

    Raises
    ------
    WeatherError
        One sentence: what the file lacks, or why its light cannot be right.
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
        text = _text(Path(path).read_bytes())
    except OSError as error:
        raise WeatherError(f"the weather file '{name}' cannot be read ({error.strerror}).") from None
    head = text[:20_000]
    reader = next((reader for marks, reader in _READERS if all(mark in head for mark in marks)), None)
    if reader is None:
        raise WeatherError(f"the weather file '{name}' is none of EPW, TMY3, PVGIS (typical year, CSV or JSON), NASA POWER (hourly, CSV)."
                           f"{next((f' {words}' for marks, words in _OTHERS if all(mark in head for mark in marks)), '')}")
    try:
        weather = believable(reader(text))
    except WeatherError as error:
        raise WeatherError(f"the weather file '{name}' {error}") from None
    except Exception as error:  # the readers stop in many ways at a damaged file
        what = "a line or a number in it cannot be read"
        raise WeatherError(f"the weather file '{name}' is damaged: {what}. Download it again.") from error
    return weather


def _text(raw: bytes) -> str:
    """Return the text of a file as old and new programs write it: Unicode, or the western European letters of before."""
    if raw[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return raw.decode("utf-16", errors="replace")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        return raw.decode("latin-1")


def _epw(text: str) -> Weather:
    from pvlib.iotools import read_epw

    first, _, hours = text.partition("\n")
    cells = first.split(",")
    if len(cells) == 11 and cells[9].strip() in PART_HOURS:  # some write the time zone of India as 5,5, which would push the height aside
        cells[8:10] = [f"{cells[8]}.{cells[9].strip()}"]
    data, about = read_epw(io.StringIO(f"{','.join(cells)}\n{hours}"))
    return _weather(f"{about['city'].strip()} (EPW)", data, (about["latitude"], about["longitude"], about["TZ"]), about["altitude"])


def _tmy3(text: str) -> Weather:
    from pvlib.iotools import read_tmy3

    data, about = read_tmy3(io.StringIO(text.replace("(W/m^2))", "(W/m^2)")), map_variables=True)  # some write one bracket too many
    place = str(about["Name"]).strip(' "').title()
    return _weather(f"{place} (TMY3)", data, (about["latitude"], about["longitude"], about["TZ"]), about["altitude"], first=1)


def _pvgis(text: str) -> Weather:
    from pvlib.iotools import read_pvgis_tmy

    as_json = text.lstrip()[:1] == "{"
    file = io.StringIO(text) if as_json else io.BytesIO(text.encode())
    data, about = read_pvgis_tmy(file, pvgis_format="json" if as_json else "csv", map_variables=True)
    place = about["inputs"]["location"] if as_json else about["inputs"]
    weather = _weather("PVGIS typical year", data, (place["latitude"], place["longitude"], 0.0), place.get("elevation"))
    moment = place.get("irradiance time offset", place.get("irradiance_time_offset", 0.0))
    return replace(_on_local_clock(weather), moment=float(moment))


NASA = {"ghi": "ALLSKY_SFC_SW_DWN", "dni": "ALLSKY_SFC_SW_DNI", "dhi": "ALLSKY_SFC_SW_DIFF", "temp_air": "T2M"}
IN_WATTS = {"w/m^2": 1.0, "wh/m^2": 1.0, "w m-2": 1.0, "kwh/m^2": 1e3, "mj/hr": 1 / 0.0036, "mj/m^2": 1 / 0.0036, "mj/m^2/hr": 1 / 0.0036}


def _nasa(text: str) -> Weather:
    import pandas as pd

    head, end, table = text.partition("-END HEADER-")
    spot = re.search(r"[Ll]atitude\s+(-?[\d.]+)\s+[Ll]ongitude\s+(-?[\d.]+)", head)
    if not end or spot is None:
        raise WeatherError("has no '-END HEADER-' line with latitude and longitude above it.")
    data = pd.read_csv(io.StringIO(table.partition("\n")[2]))
    if missing := [n for n in ("YEAR", "MO", "DY", "HR", *NASA.values()) if n not in data]:
        raise WeatherError(f"lacks the column{'s' if len(missing) > 1 else ''} {', '.join(missing)}: ask for them when you download it.")
    data = data[~((data.MO == 2) & (data.DY == 29))]
    full = data.groupby("YEAR").size()
    if not (full == HOURS).any():
        raise WeatherError(f"holds no whole year: {HOURS} hours are needed, the fullest year has {int(full.max())}.")
    year = int(full[full == HOURS].index[-1])
    data = data[year == data.YEAR].rename(columns={theirs: ours for ours, theirs in NASA.items()})
    for ours, theirs in NASA.items():
        data[ours] = data[ours] * _factor(head, theirs)
    latitude, longitude = float(spot[1]), float(spot[2])
    universal = "UTC" in head
    offset = 0.0 if universal else longitude / 15  # its local time is the sun's, not the clock's
    height = re.search(r"[Ee]levation.*=\s*(-?[\d.]+)\s*met", head)
    weather = _weather(f"NASA POWER {year}", data, (latitude, longitude, offset), height and height[1])
    return _on_local_clock(weather) if universal else weather


def _factor(head: str, column: str) -> float:
    """Return what turns a column of NASA POWER into W/m2 (or degC), by the unit that its header names."""
    air = column == NASA["temp_air"]
    found = (re.search(rf"^{name}\s.*\(([^()]*)\)\s*$", head, re.MULTILINE) for name in ((column,) if air else (column, NASA["ghi"])))
    if (named := next(filter(None, found), None)) is None:  # no unit: the year's sum will show it
        return 1.0
    known = {"c": 1.0} if air else IN_WATTS
    if (unit := named[1].strip()).lower() not in known:
        raise WeatherError(f"gives {column} in '{unit}'; {'C' if air else 'W/m^2, Wh/m^2 or MJ/hr'} would do.")
    return known[unit.lower()]


_READERS = (
    (("LOCATION,",), _epw),
    (("Latitude (decimal degrees):", "month,year"), _pvgis),
    (('"inputs"', '"meteo_data"', '"tmy_hourly"'), _pvgis),
    (("-BEGIN HEADER-", "NASA"), _nasa),
    (("Date (MM/DD/YYYY)", "GHI (W/m^2)"), _tmy3),
)
_OTHERS = (
    (("PK\x03\x04",), "It is a zip archive: unpack it, and name the file inside."),
    (('"inputs"', '"meteo_data"'), "It is a PVGIS series for a panel: ask PVGIS for a typical year (TMY) instead."),
    (("Latitude (decimal degrees):",), "It is a PVGIS series for a panel: ask PVGIS for a typical year (TMY) instead."),
    (("time(UTC)", "G(h)"), "It is a PVGIS year without its place: download the CSV that begins with latitude and longitude."),
)


def _weather(name: str, data, place: tuple[float, float, float], height, first: int = 0) -> Weather:
    """Check a table of hours and take the four columns that the plan needs.

    `place` is latitude, longitude and hours ahead of universal time. `first` is the clock hour of the first row: 1 where rows are named
    by the end of their hour.
    """
    check_place(*place)
    months, days, hours = (data.MO, data.DY, data.HR) if "MO" in data else (data.index.month, data.index.day, data.index.hour)
    if len(data) > HOURS and "MO" not in data:
        kept = ~((months == 2) & (days == 29))
        data, months, days, hours = data[kept], months[kept], days[kept], hours[kept]
    check_order(*(np.asarray(column, dtype=int) for column in (months, days, hours)), first)
    if missing := [column for column in NASA if column not in data]:
        raise WeatherError(f"lacks the column for {' and '.join(missing)}: it cannot be used.")
    flat, direct, sky, air = (np.asarray(data[column], dtype=float) for column in NASA)
    bad = ~(np.isfinite(flat + direct + sky + air) & (flat >= -5) & (flat < 1600) & (direct >= -5) & (direct < 1600) & (sky >= -5)
            & (sky < 1600) & (np.abs(air) < 70))
    if bad.any():
        raise WeatherError(f"has {int(bad.sum())} of {HOURS} hours in which sun or temperature is missing or impossible.")
    metres = None if height is None or not LOWEST <= float(height) <= HIGHEST else float(height)  # 9999 stands for "not known"
    return Weather(name, *map(float, place), np.maximum(flat, 0), np.maximum(direct, 0), np.maximum(sky, 0), air, height=metres)


def _on_local_clock(weather: Weather) -> Weather:
    """Move a year that runs on universal time to the clock of its longitude, in whole hours."""
    hours = round(weather.longitude / 15)
    moved = {name: np.roll(getattr(weather, name), hours) for name in ("flat", "direct", "sky", "air")}
    return replace(weather, utc_offset=float(hours), **moved)
