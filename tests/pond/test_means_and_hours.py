"""A year made from monthly means against the hours of the same place: how far the pump's hours and its longest stop lie apart."""

from __future__ import annotations

import functools
from pathlib import Path

import numpy as np
import pytest

from pondwright.pond.season import Mount, season, sun_on_panel
from pondwright.pond.stages.season import LARGEST, LONGER, SHORTER, USUAL
from pondwright.pond.weather import HOURS, Weather, monthly_means, typical_year
from tests.weather_files import GREENSBORO, MIAMI, SAND_POINT, read

from .test_season import NOTHING, ONE, PUMP, replace

PLAIN = Path(__file__).resolve().parents[1] / "fixtures" / "weather" / "pvgis_45n_8e.csv.gz"  # its head says where it comes from
SIZES = [(panel, capacity) for panel in (60.0, 120.0, 250.0) for capacity in (80.0, 160.0)]
MOUNTS = [Mount(tilt, azimuth) for tilt, azimuth in ((20.0, 180.0), (50.0, 180.0), (80.0, 180.0), (50.0, 240.0))]


@functools.cache
def south_of_the_alps() -> Weather:
    """Read a real typical year: of thirteen that were tried, that whose hours its means tell worst."""
    _, air, flat, direct, sky = (np.roll(column, 1) for column in np.loadtxt(PLAIN, delimiter=",", unpack=True))  # from UTC
    return Weather("45 N, 8 E", 45.0, 8.0, 1.0, flat, direct, sky, air, moment=0.0)


YEARS = {"Greensboro": lambda: read(GREENSBORO), "Sand Point": lambda: read(SAND_POINT), "Miami": lambda: read(MIAMI),
         "south of the Alps": south_of_the_alps}


@functools.cache
def both(name: str) -> list[tuple]:
    """Run supplies of all sizes through the hours of a place, and through the year made of its monthly means."""
    hours = YEARS[name]()
    made, done = typical_year(monthly_means(hours), hours.latitude), []
    for mount in MOUNTS:
        light = [sun_on_panel(weather, mount) for weather in (hours, made)]
        for panel, capacity in SIZES:
            supply = replace(ONE, panel=(panel, 22.0, panel / 17, 18.0, panel / 18), series=1, voltage=12, charging=13.8, capacity=capacity,
                             limit=30)
            done.append(tuple(season(w, lit, supply, PUMP, NOTHING) for w, lit in zip((hours, made), light, strict=True)))
    return done


def misses(name: str) -> np.ndarray:
    """Return by how many percentage points of the month the made year's hours lie beside the real ones, shape (supplies, 12)."""
    return np.array([100 * (made.run_hours - real.run_hours) / 24 for real, made in both(name)])


@pytest.mark.parametrize("name", YEARS)
def test_no_month_lies_further_off_than_is_said(name):
    assert np.abs(misses(name)).max() <= LARGEST


def test_nineteen_of_twenty_months_lie_as_near_as_is_said():
    """Counted over the months in which the two differ at all: those in which the pump always runs are no test."""
    apart = np.abs(np.concatenate([misses(name) for name in YEARS]))
    assert 0.5 * USUAL < np.percentile(apart[apart > 0.05], 95) <= USUAL


def test_the_made_year_leans_to_neither_side():
    """Neither rosy nor gloomy by more than a point in the mean of all months that differ."""
    apart = np.concatenate([misses(name) for name in YEARS])
    assert abs(apart[np.abs(apart) > 0.05].mean()) < 1


def test_nine_of_ten_longest_stops_lie_as_near_as_is_said():
    real, made = (np.array([pair[n].longest_gap[0] for name in YEARS for pair in both(name)]) for n in (0, 1))
    long = real > 20
    share = real[long] / np.maximum(made[long], 1)
    assert long.sum() > 50 and np.mean((share >= SHORTER) & (share <= LONGER)) >= 0.9


def test_the_real_year_is_a_whole_one():
    year = south_of_the_alps()
    assert year.flat.shape == (HOURS,) and 1400 < year.flat.sum() / 1000 < 1600  # kWh/m2
    assert year.flat[: 24 * 31].sum() < year.flat[24 * 151 : 24 * 181].sum() / 3
