"""The climate of a place: twelve monthly means, from the table that ships with the package or the nearest place in it."""
from __future__ import annotations

import functools
import math
from dataclasses import dataclass

import numpy as np

from ..tables import load
from ..units import Q

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
DAYS = np.array([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
FAR_KM = 100  # beyond this a "nearest place" is called a guess; a judgement, no source


@dataclass(frozen=True)
class Climate:
    """Twelve monthly means (arrays of shape (12,)) of one place."""

    key: str
    name: str
    latitude: object
    longitude: object
    elevation: object
    ghi: object
    dni: object
    dhi: object
    air_temperature: object
    wind_speed: object
    relative_humidity: object
    distance_km: float = 0.0

    @property
    def is_near(self) -> bool:
        return self.distance_km <= FAR_KM


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
    """Return the climate of a pond's [place]: the row that it names, or that nearest to its latitude and longitude."""
    return climate(place.climate) if place.climate is not None else nearest(place.latitude, place.longitude)


def nearest(latitude, longitude) -> Climate:
    """Return the climate of the place of the table nearest to a latitude and longitude (great circle, haversine)."""
    return _nearest(float(latitude.m_as("deg")), float(longitude.m_as("deg")))


@functools.cache
def _nearest(latitude: float, longitude: float) -> Climate:
    spots = {r["site_key"]: (r["latitude_deg"].magnitude, r["longitude_deg"].magnitude) for r in load("climates").rows}
    distances = {key: _great_circle_km((latitude, longitude), spot) for key, spot in spots.items()}
    key = min(distances, key=distances.get)
    return Climate(**{**climate(key).__dict__, "distance_km": distances[key]})


def _great_circle_km(a, b) -> float:
    (lat1, lon1), (lat2, lon2) = (tuple(map(math.radians, p)) for p in (a, b))
    h = math.sin((lat2 - lat1) / 2) ** 2 + math.cos(lat1) * math.cos(lat2) * math.sin((lon2 - lon1) / 2) ** 2
    return 2 * 6371 * math.asin(math.sqrt(h))
