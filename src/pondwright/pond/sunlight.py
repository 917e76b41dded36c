"""The sun of a place on a panel, month by month: from the climate table to kilowatt-hours on the glass."""

from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np

from ..science import sun
from ..units import Q, Quantity, tracing
from .climate import Climate, of_place

TILTS = np.arange(0.0, 91.0, 5.0)
AWAY, FLAT = 90.0, Q(10.0, "deg")  # degrees; a panel as good as flat faces nowhere


@dataclass(frozen=True)
class Sunlight:
    """The mean day of each month (arrays of shape (12,)): its length, and the sun on flat ground and on the panel."""

    day_length: Quantity
    flat: Quantity
    on_panel: Quantity


def sunlight(climate: Climate, latitude: Quantity, tilt: Quantity, azimuth: Quantity) -> Sunlight:
    """Turn a place's monthly sun onto a panel, with the table's own measured or modelled sky light; what was worked out once is kept."""
    light, uses = _sunlight(climate, *(float(angle.m_as("deg")) for angle in (latitude, tilt, azimuth)))
    with tracing() as seen:  # whoever asks again sees the same formulas at work
        seen.extend(uses)
    return light


@functools.lru_cache(maxsize=256)
def _sunlight(climate: Climate, north: float, leaning: float, facing: float) -> tuple[Sunlight, tuple]:
    latitude, tilt, azimuth = (Q(angle, "deg") for angle in (north, leaning, facing))
    with tracing() as uses:
        declination = sun.declination(sun.MEAN_DAYS)
        sunset = sun.sunset_hour_angle(latitude, declination)
        ratio = sun.beam_ratio(latitude, declination, tilt, azimuth, _sky_share(climate))
        on_panel = sun.tilted(climate.ghi, climate.dhi, ratio, tilt, direct=climate.dni)
        light = Sunlight(sun.day_length(sunset), climate.ghi, on_panel)
    return light, tuple(uses)


def latitude_of(place) -> Quantity:
    """Return the latitude whose sun shines on a place: the one it gives, else that of its climate; a weather file keeps its own sun."""
    return of_place(place).latitude


def faces_away(panel, latitude: Quantity) -> bool:
    """Tell whether a tilted panel faces away from the equator: it sees little of the bright sky round the sun."""
    towards = 180.0 if latitude.m_as("deg") >= 0 else 0.0
    off = abs((panel.azimuth.m_as("deg") - towards + 180) % 360 - 180)
    return bool(off > AWAY and panel.tilt > FLAT)


def best_tilt(climate: Climate, latitude: Quantity, azimuth: Quantity, months: list[int]) -> tuple[Quantity, Quantity]:
    """Return the tilt, in steps of 5 degrees, that gives a panel the most sun in the weakest of some months, and that sun."""
    where = float(latitude.m_as("deg")), float(azimuth.m_as("deg"))
    weakest = np.min([_over_tilts(climate, *where, month) for month in months], axis=0)
    best = int(weakest.argmax())
    return Q(TILTS[best], "deg"), Q(weakest[best], "kWh/m2/d")


@functools.lru_cache(maxsize=256)
def _over_tilts(climate: Climate, north: float, facing: float, month: int) -> np.ndarray:
    """Return the sun on the panel in one month, in kWh/m2 a day, at each of TILTS."""
    latitude, azimuth = Q(north, "deg"), Q(facing, "deg")
    same = np.full(TILTS.shape, 1.0)
    declination = Q(sun.declination(sun.MEAN_DAYS[month]).m_as("deg") * same, "deg")
    ratio = sun.beam_ratio(latitude, declination, Q(TILTS, "deg"), azimuth, _sky_share(climate)[month] * same)
    flat, sky, direct = (Q(q.m_as("kWh/m^2/day")[month] * same, "kWh/m2/d") for q in (climate.ghi, climate.dhi, climate.dni))
    return sun.tilted(flat, sky, ratio, Q(TILTS, "deg"), direct=direct).m_as("kWh/m^2/day")


def _sky_share(climate: Climate) -> np.ndarray:
    flat, sky = climate.ghi.magnitude, climate.dhi.magnitude
    return np.clip(np.divide(sky, flat, out=np.ones(12), where=flat > 0), 0, 1)
