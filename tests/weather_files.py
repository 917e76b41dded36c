"""Real weather files for tests: the typical years that pvlib carries, and the same hours written in the other formats that are read."""

from __future__ import annotations

import functools
import json
from pathlib import Path

import numpy as np

GREENSBORO, SAND_POINT, MIAMI = "723170TYA.CSV", "703165TY.csv", "12839.tm2"


def path(name: str) -> Path:
    import pvlib

    return Path(pvlib.__file__).parent / "data" / name


@functools.cache
def read(name: str):
    """Read one of pvlib's own files; the old TMY2 one, which the workbook does not read itself, straight through pvlib."""
    from pondwright.pond.weather import Weather
    from pondwright.pond.weather_file import read_weather

    if name != MIAMI:
        return read_weather(path(name))
    from pvlib.iotools import read_tmy2

    data, about = read_tmy2(path(name))
    columns = (np.asarray(data[c], dtype=float) for c in ("GHI", "DNI", "DHI"))
    return Weather("Miami", about["latitude"], about["longitude"], about["TZ"], *columns, np.asarray(data["DryBulb"], float) / 10)


def as_epw(weather, height=10.0) -> str:
    """Write a year in the layout of an EnergyPlus weather file: eight lines of head, 35 columns."""
    head = [f"LOCATION,{weather.name},-,-,TEST,0,{weather.latitude},{weather.longitude},{weather.utc_offset},{height}"]
    head += ["DESIGN CONDITIONS,0", "TYPICAL/EXTREME PERIODS,0", "GROUND TEMPERATURES,0", "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
             "COMMENTS 1,", "COMMENTS 2,", "DATA PERIODS,1,1,Data,Sunday,1/1,12/31"]
    lines = []
    for i, (month, day, hour) in enumerate(_calendar()):
        cells = ["2001", month, day, hour + 1, 0, "?", round(float(weather.air[i]), 1), 0, 50, 101325, 0, 0, 0]
        cells += [round(float(x[i]), 1) for x in (weather.flat, weather.direct, weather.sky)] + [0] * 19
        lines.append(",".join(map(str, cells)))
    return "\n".join([*head, *lines]) + "\n"


def as_nasa(weather, leap_day: bool = False, about: str = "", watts: float = 1.0) -> str:
    """Write a year in the layout of an hourly NASA POWER download in universal time, with a leap day if asked.

    `about` are lines of its header, `watts` how many W/m2 one of its units of sun is.
    """
    late = round(weather.utc_offset)
    head = ["-BEGIN HEADER-", "NASA/POWER Source Native Resolution Hourly Data",
            "Dates (month/day/year): 01/01/2020 through 12/31/2020 in UTC",
            f"Location: Latitude  {weather.latitude}   Longitude {weather.longitude}", *about.splitlines(), "-END HEADER-",
            "YEAR,MO,DY,HR,ALLSKY_SFC_SW_DWN,ALLSKY_SFC_SW_DNI,ALLSKY_SFC_SW_DIFF,T2M"]
    columns = [np.roll(a, -late) for a in (weather.flat / watts, weather.direct / watts, weather.sky / watts, weather.air)]
    lines = []
    for i, (month, day, hour) in enumerate(_calendar()):
        if leap_day and (month, day, hour) == (3, 1, 0):
            lines += [f"2020,2,29,{h},1,1,1,1" for h in range(24)]
        lines.append(",".join(map(str, (2020, month, day, hour, *(round(float(c[i]), 5) for c in columns)))))
    return "\n".join([*head, *lines]) + "\n"


def as_pvgis_json(weather) -> str:
    """Write a year in the layout of a typical year from PVGIS (JSON)."""
    _, _, table = as_pvgis(weather).partition("time(UTC),")
    names, *rows = [line.split(",") for line in f"time(UTC),{table}".splitlines() if line.count(",") == 9]
    place = {"latitude": weather.latitude, "longitude": weather.longitude, "elevation": 250.0}
    hours = [dict(zip(names, [row[0], *map(float, row[1:])], strict=True)) for row in rows]
    return json.dumps({"inputs": {"location": place, "meteo_data": {}}, "outputs": {"months_selected": [], "tmy_hourly": hours},
                       "meta": {"inputs": {}}})


def as_pvgis(weather) -> str:
    """Write a year in the layout of a typical year from PVGIS (CSV, universal time)."""
    late = round(weather.utc_offset)
    head = [f"Latitude (decimal degrees): {weather.latitude}", f"Longitude (decimal degrees): {weather.longitude}", "Elevation (m): 10.0",
            "month,year", *(f"{m},2010" for m in range(1, 13)), "time(UTC),T2m,RH,G(h),Gb(n),Gd(h),IR(h),WS10m,WD10m,SP"]
    columns = [np.roll(a, -late) for a in (weather.air, weather.flat, weather.direct, weather.sky)]
    lines = [f"2010{month:02d}{day:02d}:{hour:02d}00,{t:.2f},50.0,{g:.1f},{b:.1f},{d:.1f},300.0,2.0,100.0,101325.0"
             for (month, day, hour), t, g, b, d in zip(_calendar(), *columns, strict=True)]
    return "\n".join([*head, *lines, "T2m: 2-m air temperature (degree Celsius)", ""]) + "\n"


def _calendar():
    from pondwright.pond.climate import DAYS

    return [(m + 1, d + 1, h) for m, count in enumerate(DAYS) for d in range(count) for h in range(24)]
