"""The climate of a place: twelve monthly means, from its own weather file, or from the row of the climate table named or nearest.

Every stage asks here (:func:`of_place`, :func:`known`, :func:`refusal`, :func:`pressure`), so that distance, hemisphere and height above
the sea mean the same in the whole plan.
"""
from __future__ import annotations

import functools
import math
from dataclasses import dataclass, replace

import numpy as np

from ..science import oxygen, sun
from ..tables import load
from ..units import Q, Quantity, show
from .results import Assumption

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
MONTH_NAMES = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December")
DAYS = np.array([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
FAR_KM = 100  # beyond this a "nearest place" is called a guess; a judgement, no source
SAME_SUN = Q(0.5, "deg")  # a judgement: nobody needs to be told of less
DARK = 0.01  # kWh/m2 a day outside the air, or hours: polar night
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
    at_least: bool = False  # the pond's longitude is not known, so only the distance from its latitude is
    turned: bool = False  # the months are moved by half a year, for a pond on the other side of the equator
    station: Quantity | None = None  # the latitude of the place itself, where `latitude` and the sun are the pond's own
    chosen: bool = False  # named in the pond file as the one whose weather is like the pond's, however far away

    @property
    def is_near(self) -> bool:
        return self.distance_km <= FAR_KM

    @property
    def serves(self) -> bool:
        """Tell whether the place lies near enough to say anything about the pond, or was named for its likeness."""
        return self.chosen or self.distance_km <= LIMIT_KM

    @property
    def where(self) -> str:
        """Name the place for people: how far away it is, and whether its months are moved by half a year."""
        away = f", {'at least ' * self.at_least}{self.distance_km:,.0f} km away" if self.distance_km >= 1 else ""
        return f"{self.name}{away}{', its months moved by half a year' if self.turned else ''}"

    @property
    def source(self) -> str:
        return "OpenStudioStat" if self.key else "WeatherFile"

    @property
    def whose_sun(self) -> str:
        """Say whose sun it is: that of the place, or that of the pond's own latitude through the air of the place."""
        if self.station is None or abs(abs(self.station) - abs(self.latitude)) < SAME_SUN:
            return f"that of {self.where}"
        return f"that of your own latitude, {_north_or_south(self.latitude)}, through the clouds of {self.where}"


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
    """Return the climate of a pond's [place]: of its weather file, of the row that it names, or of that nearest to it.

    Where the place gives its latitude, the sun of a row is moved there: the same clouds, under the sun of the pond's own latitude; on the
    other side of the equator the months are moved by half a year as well. A weather file keeps its own sun. How far away either lies is
    told; it may lie too far to mean anything: see :func:`known`.
    """
    north, east = (None if angle is None else float(angle.m_as("deg")) for angle in (place.latitude, place.longitude))
    if place.weather is not None:
        from .weather import monthly_means
        from .weather_file import read_weather

        return _seen_from(monthly_means(read_weather(place.weather)), north, east)
    if place.climate is not None:
        return _moved(_seen_from(_named(place.climate), north, east), north)
    return _moved(nearest(north, east), north)


def known(pond) -> Climate | None:
    """Return the climate of a pond, or None where the file names no place or the nearest in the table is too far away."""
    if pond.place is None:
        return None
    found = of_place(pond.place)
    return found if found.serves else None


def refusal(place) -> str:
    """Say what a place needs whose climate lies too far away; "" where it has one."""
    found = of_place(place)
    if found.serves:
        return ""
    if place.weather is not None:
        return (f"needs a weather file of its own place: {found.name} lies {found.distance_km:,.0f} km from the latitude and longitude "
                "given; where its weather is like yours all the same, leave them out")
    south = "; the plan moves its months by half a year" if found.turned else ""
    return (f"needs a climate of its own: the nearest in the table is {found.name}, {found.distance_km:,.0f} km away; name in "
            f"place.climate one whose weather is like yours (the sun stays that of your own latitude){south}")


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


@functools.lru_cache(maxsize=64)
def nearest(latitude: float, longitude: float) -> Climate:
    """Return the climate of the place of the table nearest to a latitude and longitude in degrees (great circle, haversine)."""
    spots = {r["site_key"]: (r["latitude_deg"].magnitude, r["longitude_deg"].magnitude) for r in load("climates").rows}
    distances = {key: _great_circle_km((latitude, longitude), spot) for key, spot in spots.items()}
    key = min(distances, key=distances.get)
    return replace(climate(key), distance_km=distances[key])


@functools.cache
def _named(key: str) -> Climate:
    return replace(climate(key), chosen=True)


@functools.lru_cache(maxsize=64)
def _seen_from(there: Climate, latitude: float | None, longitude: float | None) -> Climate:
    """Say how far away a place lies; from a latitude alone, how far at least."""
    if latitude is None:
        return there
    spot = float(there.latitude.m_as("deg")), float(there.longitude.m_as("deg"))
    distance = _great_circle_km((latitude, spot[1] if longitude is None else longitude), spot)
    return replace(there, distance_km=distance, at_least=longitude is None)


@functools.lru_cache(maxsize=64)
def _moved(there: Climate, latitude: float | None) -> Climate:
    """Return a place's clouds under the sun of another latitude; across the equator January's means stand in July.

    What is kept of each month is its clearness: the share of the sun outside the air that comes through. So flat ground and sky get more
    or less as the sun outside the air is more or less there, and a surface that faces the sun as the days are longer or shorter.
    """
    if latitude is None:
        return there
    half_a_year = 6 if latitude * there.latitude.m_as("deg") < 0 else 0
    series = {name: getattr(there, name) for name in ("ghi", "dni", "dhi", "air_temperature", "wind_speed", "relative_humidity")}
    moved = {name: Quantity(np.roll(monthly.magnitude, half_a_year), monthly.units) for name, monthly in series.items()}
    before, after = _outside(float(there.latitude.m_as("deg"))), _outside(latitude)
    flat, facing = (np.divide(new, np.roll(old, half_a_year), out=np.zeros(12), where=np.roll(old, half_a_year) > DARK)
                    for new, old in zip(after, before, strict=True))
    moved |= {"ghi": moved["ghi"] * flat, "dhi": moved["dhi"] * flat, "dni": moved["dni"] * facing}
    return replace(there, latitude=Q(latitude, "deg"), station=there.latitude, turned=half_a_year > 0, **moved)


@functools.lru_cache(maxsize=64)
def _outside(latitude: float) -> tuple[np.ndarray, np.ndarray]:
    """Return each month's mean sun outside the air at a latitude, on flat ground (kWh/m2 a day) and facing the sun (relative)."""
    days = np.arange(1, 366)
    axis = sun.declination.plain(days)
    facing = sun.day_length.plain(sun.sunset_hour_angle.plain(latitude, axis)) * (1 + 0.033 * np.cos(2 * np.pi * days / 365))
    starts = np.concatenate([[0], np.cumsum(DAYS)[:-1]])
    return tuple(np.add.reduceat(daily, starts) / DAYS for daily in (sun.extraterrestrial.plain(latitude, axis, days), facing))


def _north_or_south(latitude: Quantity) -> str:
    degrees = float(latitude.m_as("deg"))
    return f"{abs(degrees):.1f} degrees {'north' if degrees >= 0 else 'south'}"


def _great_circle_km(a, b) -> float:
    (lat1, lon1), (lat2, lon2) = (tuple(map(math.radians, p)) for p in (a, b))
    h = math.sin((lat2 - lat1) / 2) ** 2 + math.cos(lat1) * math.cos(lat2) * math.sin((lon2 - lon1) / 2) ** 2
    return 2 * 6371 * math.asin(math.sqrt(h))
