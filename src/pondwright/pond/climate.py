"""The climate of a place: twelve monthly means, from its own weather file, or from the row of the climate table named or nearest.

Every stage asks here (:func:`of_place`, :func:`known`, :func:`refusal`, :func:`pressure`), so that distance, hemisphere and height above
the sea mean the same in the whole plan.
"""
from __future__ import annotations

import functools
import math
from dataclasses import dataclass, replace

import numpy as np

from ..science import oxygen
from ..tables import load
from ..units import Q, Quantity, show
from .results import Assumption

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
MONTH_NAMES = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December")
DAYS = np.array([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
FAR_KM = 100  # beyond this a "nearest place" is called a guess; a judgement, no source
LIMIT_KM = 500  # beyond this the weather of a place says nothing about a pond; a judgement, no source


@dataclass(frozen=True, eq=False)  # told apart by identity, so that what is worked out from one can be kept
class Climate:
    """Twelve monthly means (arrays of shape (12,)) of one place.

    The sun's energy has the names that weather files give it, all in kWh/m2 a day: `ghi` on level ground (global horizontal), `dni`
    straight from the sun on a surface that faces it (direct normal), `dhi` from the sky alone on level ground (diffuse horizontal).
    """

    key: str
    name: str
    latitude: Quantity
    longitude: Quantity
    elevation: Quantity | None  # None where a weather file does not say
    ghi: Quantity
    dni: Quantity
    dhi: Quantity
    air_temperature: Quantity
    wind_speed: Quantity | None = None  # these two only of the table's places
    relative_humidity: Quantity | None = None
    distance_km: float = 0.0
    turned: bool = False  # the months are moved by half a year, for a pond on the other side of the equator

    @property
    def is_near(self) -> bool:
        return self.distance_km <= FAR_KM

    @property
    def serves(self) -> bool:
        """Tell whether the place lies near enough to say anything about the pond."""
        return self.distance_km <= LIMIT_KM

    @property
    def where(self) -> str:
        """Name the place for people: how far away it is, and whether its months are moved by half a year."""
        away = f", {self.distance_km:.0f} km away" if self.distance_km >= 1 else ""
        return f"{self.name}{away}{', its months moved by half a year' if self.turned else ''}"


@functools.cache
def places() -> dict[str, str]:
    """Name the places of the table: key -> name with country."""
    return {row["site_key"]: f"{row['site_name']}, {row['country']}" for row in load("climates").rows}


@functools.cache
def climate(key: str) -> Climate:
    """Return the climate of one place of the table.

    Raises
    ------
    KeyError
        The key is not in the table; the message names the keys that are.
    """
    rows = sorted((r for r in load("climates").rows if r["site_key"] == key), key=lambda r: r["month"].magnitude)
    if not rows:
        raise KeyError(f"'{key}' is not a place in the climate table; it holds {', '.join(places())}")

    def monthly(column, unit_text):
        return Q(np.array([r[column].magnitude for r in rows]), unit_text)

    first = rows[0]
    return Climate(
        key, f"{first['site_name']}, {first['country']}", first["latitude_deg"], first["longitude_deg"], first["elevation_m"],
        monthly("ghi_kwh_per_m2_day", "kWh/m2/d"), monthly("dni_kwh_per_m2_day", "kWh/m2/d"), monthly("dhi_kwh_per_m2_day", "kWh/m2/d"),
        monthly("air_temperature_degc", "degC"), monthly("wind_speed_m_per_s", "m/s"), monthly("relative_humidity_percent", "%"),
    )


def of_place(place) -> Climate:
    """Return the climate of a pond's [place]: the row that it names, or that nearest to its latitude and longitude.

    Where the pond's latitude lies on the other side of the equator than the row, the months are moved by half a year. It may lie too far
    away to mean anything: see :func:`known`. A weather file that the place names goes before all of that.
    """
    if place.weather is not None:
        from .weather import monthly_means
        from .weather_file import read_weather

        return monthly_means(read_weather(place.weather))
    found = climate(place.climate) if place.climate is not None else nearest(place.latitude, place.longitude)
    across = place.latitude is not None and place.latitude.m_as("deg") * found.latitude.m_as("deg") < 0
    return _turned(found.key, found.distance_km) if across else found


def known(pond) -> Climate | None:
    """Return the climate of a pond, or None where the file names no place or the nearest in the table is too far away."""
    if pond.place is None:
        return None
    found = of_place(pond.place)
    return found if found.serves else None


def refusal(place) -> str:
    """Say what a place needs whose nearest row is too far away; "" where it has a climate."""
    found = of_place(place)
    if found.serves:
        return ""
    south = "; the plan moves its months by half a year" if found.turned else ""
    return (f"needs a climate of its own: the nearest in the table is {found.name}, {found.distance_km:.0f} km away; name in place.climate "
            f"one whose months are like yours{south}")


def elevation(pond) -> tuple[Quantity, str]:
    """Return how high a pond lies, and where that comes from: "" for the pond file, else words for an assumption."""
    if pond.place is not None and pond.place.elevation is not None:
        return pond.place.elevation, ""
    if (here := known(pond)) is not None and here.elevation is not None:
        return here.elevation, f"as high as {here.where}: {show(here.elevation, 'm')} above the sea"
    return Q(0.0, "m"), "at sea level"


def pressure(pond) -> Quantity:
    """Return the pressure of the air over a pond, from how high it lies."""
    return oxygen.air_pressure(elevation(pond)[0])


def pressure_assumption(pond) -> tuple[Assumption, ...]:
    """Say how high the pond is taken to lie where its file does not tell."""
    words = elevation(pond)[1]
    return (Assumption(f"The pond is taken to lie {words}; in the hills water holds less oxygen. If you know it, write place.elevation.",
                       ("ISO2533",)),) if words else ()


def nearest(latitude, longitude) -> Climate:
    """Return the climate of the place of the table nearest to a latitude and longitude (great circle, haversine)."""
    return _nearest(float(latitude.m_as("deg")), float(longitude.m_as("deg")))


@functools.cache
def _nearest(latitude: float, longitude: float) -> Climate:
    spots = {r["site_key"]: (r["latitude_deg"].magnitude, r["longitude_deg"].magnitude) for r in load("climates").rows}
    distances = {key: _great_circle_km((latitude, longitude), spot) for key, spot in spots.items()}
    key = min(distances, key=distances.get)
    return replace(climate(key), distance_km=distances[key])


@functools.cache
def _turned(key: str, distance_km: float) -> Climate:
    """Return a place as it would be across the equator: January's means in July, and the latitude's sign changed."""
    there = climate(key)
    series = {name: getattr(there, name) for name in ("ghi", "dni", "dhi", "air_temperature", "wind_speed", "relative_humidity")}
    moved = {name: Quantity(np.roll(monthly.magnitude, 6), monthly.units) for name, monthly in series.items()}
    return replace(there, latitude=-there.latitude, distance_km=distance_km, turned=True, **moved)


def _great_circle_km(a, b) -> float:
    (lat1, lon1), (lat2, lon2) = (tuple(map(math.radians, p)) for p in (a, b))
    h = math.sin((lat2 - lat1) / 2) ** 2 + math.cos(lat1) * math.cos(lat2) * math.sin((lon2 - lon1) / 2) ** 2
    return 2 * 6371 * math.asin(math.sqrt(h))
