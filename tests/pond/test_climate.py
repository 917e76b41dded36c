"""Which climate a pond gets, how far away it may be, what the other side of the equator means, and how high the pond lies."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from pondwright.pond import climate as c
from pondwright.pond.faults import PondFileError
from pondwright.pond.file import load_pond, parse_pond
from pondwright.pond.sunlight import latitude_of, sunlight
from pondwright.units import Q
from tests.weather_files import GREENSBORO, as_epw, read

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
    for series in ("air_temperature", "wind_speed", "relative_humidity"):
        before, after = getattr(there, series), getattr(here, series)
        assert after.units == before.units
        assert after.magnitude[[0, 6, 11]].tolist() == before.magnitude[[6, 0, 5]].tolist()
    assert here.latitude.m_as("deg") == -44 and here.turned and "moved by half a year" in here.where
    assert int(here.air_temperature.magnitude.argmax()) in (0, 1)  # January or February is the warmest in the south
    north = c.known(pond('climate = "halifax"\nlatitude = "45 deg"\nlongitude = "-63 deg"'))
    assert not north.turned and north.is_near


def test_the_summer_of_the_south_is_nearer_to_the_sun():
    """At the same latitude January there against July here, by the distance to the sun alone: 1 + 0.033 cos(360 n/365), n = 16 and 197."""
    there = c.climate("halifax")
    here = c.known(pond(f'climate = "halifax"\nlatitude = "{-there.latitude.m_as("deg")} deg"'))
    nearer = (1 + 0.033 * math.cos(2 * math.pi * 16 / 365)) / (1 + 0.033 * math.cos(2 * math.pi * 197 / 365))
    for series in ("ghi", "dhi", "dni"):
        assert getattr(here, series).m[0] / getattr(there, series).m[6] == pytest.approx(nearer, rel=0.01)


# ------------------------------------------------------------------------------- the clouds of one place, the sun of another latitude

# Sun outside the air (MJ/m2 in a day, mid-month) at 43.6 degrees north and at another latitude: FAO Irrigation and Drainage Paper 56,
# equations 21 to 25, as tests/published/values/solar.csv has them. Boise stands at 43.6 north in the table.
FAO56 = [(40, 1, 20.2, 18.1), (40, 2, 27.8, 26.1), (40, 11, 13.6, 11.4), (45, 1, 17.2, 18.1), (45, 8, 27.9, 28.5), (45, 11, 10.5, 11.4),
         (50, 2, 22.8, 26.1), (50, 3, 31.8, 33.9), (50, 4, 38.8, 39.6), (50, 5, 41.7, 41.9)]


@pytest.mark.parametrize(("north", "month", "here", "boise"), FAO56)
def test_a_month_keeps_its_clearness(north, month, here, boise):
    there, moved = c.climate("boise"), c.known(pond(f'climate = "boise"\nlatitude = "{north} deg"'))
    for series in ("ghi", "dhi"):  # the mean of a month's days lies within 1.5 % of its middle day, and the table is rounded
        assert getattr(moved, series).m[month] / getattr(there, series).m[month] == pytest.approx(here / boise, rel=0.02)
    assert moved.latitude.m_as("deg") == north and np.array_equal(moved.air_temperature.m, there.air_temperature.m)


def test_direct_sun_follows_the_length_of_the_day():
    """On 10 December, its middle day, the sun stands 23.05 degrees south: a day has 2/15 acos(tan(latitude) tan(23.05)) hours.

    tan 23.05 = 0.4255; at 43.62 north acos(0.9528 x 0.4255) = 66.08 degrees, 8.81 h; at 40 north acos(0.8391 x 0.4255) = 69.08, 9.21 h.
    """
    there, moved = c.climate("boise"), c.known(pond('climate = "boise"\nlatitude = "40 deg"'))
    assert moved.dni.m[11] / there.dni.m[11] == pytest.approx(9.21 / 8.81, rel=0.003)


def test_moved_clouds_are_nearer_to_what_was_measured_than_the_sun_of_elsewhere():
    """Each place of the table guessed from another, 2 degrees and more north or south of it, against its own year in the table."""
    rows = [c.climate(key) for key in c.places()]
    for nearer, farther in ((0, 500), (500, 1500), (1500, 4000)):
        year, darkest = [], []
        for there in rows:
            for here in rows:
                spots = [tuple(float(x.m_as("deg")) for x in (row.latitude, row.longitude)) for row in (there, here)]
                if not nearer < c._great_circle_km(*spots) <= farther or abs(spots[0][0] - spots[1][0]) < 2:
                    continue
                own, dark = here.ghi.m, int(here.ghi.m.argmin())
                guesses = c._moved(there, spots[1][0]).ghi.m, there.ghi.m
                year.append([np.abs(guess - own).mean() for guess in guesses])
                darkest.append([abs(math.log(guess[dark] / own[dark])) for guess in guesses])
        for errors, share in ((year, 0.8), (darkest, 0.5)):  # in the darkest month, by which is planned, half the error at most
            moved, as_it_stands = np.mean(errors, axis=0)
            assert len(errors) > 20 and moved < share * as_it_stands


def test_what_is_named_from_far_away_is_told_and_gets_the_wider_band():
    """The northern Norwegian coast at 69.65 north: its sun does not rise in December, whatever climate lends its clouds."""
    far = pond('climate = "fairbanks"\nlatitude = "69.65 deg"\nlongitude = "18.96 deg"')
    found = c.known(far)
    assert found.serves and not found.is_near and c.refusal(far.place) == ""
    assert "Fairbanks, United States, 5,028 km away" in found.where
    assert "that of your own latitude, 69.7 degrees north, through the clouds of Fairbanks" in found.whose_sun
    assert latitude_of(far.place).m_as("deg") == 69.65
    assert found.ghi.m[11] == 0 and found.ghi.m[0] < 0.02 and found.ghi.m[5] > 5
    light = sunlight(found, found.latitude, Q(60, "deg"), Q(180, "deg"))
    assert light.day_length.m[11] == 0 and light.on_panel.m[11] == 0
    a, b, d = math.radians(69.65), math.radians(64.82), math.radians(18.96 + 147.86)
    angle = math.acos(math.sin(a) * math.sin(b) + math.cos(a) * math.cos(b) * math.cos(d))  # the law of cosines on the sphere
    assert found.distance_km == pytest.approx(6371 * angle, rel=2e-3)


def test_from_a_latitude_alone_the_distance_is_the_least():
    found = c.known(pond('climate = "halifax"\nlatitude = "41 deg"'))
    assert "at least 406 km away" in found.where and not found.is_near  # 3.655 degrees of 111.19 km
    near = c.known(pond('climate = "halifax"\nlatitude = "44.3 deg"'))
    assert near.is_near and near.whose_sun.startswith("that of Halifax, Canada, at least 39 km away")
    assert c.known(pond('climate = "halifax"')).where == "Halifax, Canada"


# ------------------------------------------------------------------------------------------------------- a weather file from elsewhere


def with_file(tmp_path, place, **changed):
    (tmp_path / "year.epw").write_text(as_epw(replace(read(GREENSBORO), **changed)))
    (tmp_path / "pond.toml").write_text(f'{SHAPE}[place]\nweather = "year.epw"\n{place}')
    return load_pond(tmp_path / "pond.toml")


def test_a_weather_file_keeps_its_own_sun_and_is_told_how_far_it_lies(tmp_path):
    """Greensboro's file stands at 36.1 north, 79.95 west; 2 degrees of latitude are 222 km."""
    near, far = with_file(tmp_path, ""), with_file(tmp_path, 'latitude = "38.1 deg"\nlongitude = "-79.95 deg"')
    assert c.known(near).is_near and "km away" not in c.known(near).where
    found = c.known(far)
    assert not found.is_near and "222 km away" in found.where and latitude_of(far.place).m_as("deg") == 36.1
    assert c.refusal(far.place) == "" and found.source == "WeatherFile"


@pytest.mark.parametrize("place", ['latitude = "51.1 deg"\nlongitude = "-0.2 deg"', 'latitude = "-36.1 deg"\nlongitude = "-79.95 deg"',
                                   'latitude = "45 deg"'])
def test_a_weather_file_of_another_part_of_the_world_is_a_fault(tmp_path, place):
    with pytest.raises(PondFileError) as caught:
        with_file(tmp_path, place)
    (fault,) = caught.value.faults
    assert fault.startswith("place.weather: needs a weather file of its own place:") and "km from the latitude and longitude given" in fault


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
