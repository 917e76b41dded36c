"""Which climate a pond gets, how far away it may be, what the other side of the equator means, and how high the pond lies."""

from __future__ import annotations

import math

import numpy as np
import pytest

from pondwright.pond import climate as c
from pondwright.pond.file import parse_pond

SHAPE = '[pond.shape]\nkind = "circle"\ndiameter = "3 m"\ndepth = "1 m"\n'


def pond(place=""):
    return parse_pond(SHAPE + (f"[place]\n{place}\n" if place else ""))


def test_distance_on_the_great_circle():
    # a degree of latitude is 6371 km x pi/180 = 111.19 km; Halifax stands at 44.65 north in the table
    halifax = c.climate("halifax")
    south = pond(f'latitude = "{halifax.latitude.m_as("deg") - 2:.4f} deg"\nlongitude = "{halifax.longitude.m_as("deg"):.4f} deg"')
    found = c.of_place(south.place)
    assert found.key == "halifax" and found.distance_km == pytest.approx(2 * 6371 * math.pi / 180, rel=1e-3)
    assert not found.is_near and found.serves and "222 km away" in found.where


def test_a_place_beyond_500_km_is_refused_in_words():
    far = pond('latitude = "-45 deg"\nlongitude = "170 deg"')
    assert c.known(far) is None
    words = c.refusal(far.place)
    assert "km away" in words and "place.climate" in words and "half a year" in words
    near = pond('climate = "seattle"')
    assert c.refusal(near.place) == "" and c.known(near).key == "seattle" and c.known(pond()) is None


def test_months_are_moved_by_half_a_year_across_the_equator():
    there, here = c.climate("halifax"), c.known(pond('climate = "halifax"\nlatitude = "-44 deg"\nlongitude = "170 deg"'))
    for series in ("air_temperature", "ghi", "dni", "dhi", "wind_speed", "relative_humidity"):
        before, after = getattr(there, series), getattr(here, series)
        assert after.units == before.units
        assert after.magnitude[[0, 6, 11]].tolist() == before.magnitude[[6, 0, 5]].tolist()
    assert here.latitude == -there.latitude and here.turned and "moved by half a year" in here.where
    assert int(here.air_temperature.magnitude.argmax()) in (0, 1)  # January or February is the warmest in the south
    north = c.known(pond('climate = "halifax"\nlatitude = "45 deg"\nlongitude = "-63 deg"'))
    assert not north.turned and np.array_equal(north.ghi.magnitude, there.ghi.magnitude)


@pytest.mark.parametrize("place, kilopascals, words", [
    # the standard atmosphere (ISO 2533): 101.325 at sea level, 89.875 at 1000 m, 83.4 at Denver's 1600 and some metres
    ('climate = "denver-aurora"\nelevation = "0 m"', 101.325, ""),
    ('climate = "seattle"\nelevation = "1000 m"', 89.875, ""),
    ('climate = "denver-aurora"', None, "as high as Denver"),
    ('latitude = "-45 deg"\nlongitude = "170 deg"', 101.325, "at sea level"),
    ("", 101.325, "at sea level"),
])
def test_the_air_over_a_pond(place, kilopascals, words):
    found, said = c.pressure(pond(place)).m_as("kPa"), c.pressure_assumption(pond(place))
    if kilopascals is None:
        metres = c.climate("denver-aurora").elevation.m_as("m")
        kilopascals = 101.325 * (1 - 0.0065 * metres / 288.15) ** 5.25588  # the barometric formula, lapse rate 6.5 K a kilometre
    assert found == pytest.approx(kilopascals, abs=0.01)
    assert [words in a.text and "place.elevation" in a.text for a in said] == ([True] if words else [])
