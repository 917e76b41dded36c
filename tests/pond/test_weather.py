"""Weather files as people download them, and the year made from monthly means."""

from __future__ import annotations

import numpy as np
import pytest

from pondwright.pond import climate, weather
from pondwright.pond.weather import HOURS, WeatherError, monthly_means, typical_year
from pondwright.pond.weather_file import read_weather
from tests.weather_files import GREENSBORO, SAND_POINT, as_epw, as_nasa, as_pvgis, path, read


@pytest.fixture(scope="module")
def real():
    return read(GREENSBORO)


@pytest.mark.parametrize(("name", "latitude", "zone", "yearly"), [(GREENSBORO, 36.1, -5, 1566.2), (SAND_POINT, 55.317, -9, 829.2)])
def test_tmy3_files_that_pvlib_carries(name, latitude, zone, yearly):
    """The yearly sums were added up from the GHI column by awk, kWh/m2."""
    found = read(name)
    assert (found.latitude, found.utc_offset, len(found.flat)) == (latitude, zone, HOURS)
    assert found.flat.sum() / 1000 == pytest.approx(yearly, abs=0.05)


@pytest.mark.parametrize(("write", "ending"), [(as_epw, "epw"), (as_pvgis, "csv"), (as_nasa, "csv"), (lambda w: as_nasa(w, True), "csv")])
def test_the_same_year_in_other_formats(tmp_path, real, write, ending):
    file = tmp_path / f"year.{ending}"
    file.write_text(write(real))
    found = read_weather(file)
    assert found.latitude == pytest.approx(real.latitude) and found.utc_offset == real.utc_offset
    for name in ("flat", "direct", "sky", "air"):
        assert getattr(found, name) == pytest.approx(getattr(real, name), abs=0.051), name


def test_sun_and_clock_agree(real):
    """At the sun's noon it stands highest: the brightest clear-sky hours are those with the smallest hour angle."""
    noon = np.abs(real.hour_angle) < 8
    assert real.flat[noon].mean() > 3 * real.flat.mean() and np.abs(real.hour_angle).max() <= 180


@pytest.mark.parametrize(("spoil", "words"), [
    (lambda text: "\n".join(text.splitlines()[:5000]), "cut short"),
    (lambda text: text[: len(text) // 2], "weather file 'bad.epw'"),
    (lambda text: text.replace("2001,", "year,", 1), "weather file 'bad.epw' is damaged"),
    (lambda text: "", "none of EPW, TMY3"),
    (lambda text: "hello", "none of EPW"),
    (lambda text: text.replace("LOCATION,", "PLACE,"), "none of EPW"),
])
def test_damaged_files_are_refused_in_one_sentence(tmp_path, real, spoil, words):
    file = tmp_path / "bad.epw"
    file.write_text(spoil(as_epw(real)))
    with pytest.raises(WeatherError) as error:
        read_weather(file)
    assert words in str(error.value) and "\n" not in str(error.value)


def test_missing_sun_is_counted(tmp_path, real):
    lines = as_epw(real).splitlines()
    for i in range(1000, 1010):
        cells = lines[i].split(",")
        cells[13] = "9999"
        lines[i] = ",".join(cells)
    (tmp_path / "gaps.epw").write_text("\n".join(lines))
    with pytest.raises(WeatherError, match="10 of 8760 hours"):
        read_weather(tmp_path / "gaps.epw")


def test_a_file_that_is_not_there(tmp_path):
    with pytest.raises(WeatherError, match="cannot be read"):
        read_weather(tmp_path / "none.epw")
    with pytest.raises(WeatherError, match="weather file"):
        read_weather(tmp_path)


def test_nasa_without_a_whole_year_or_a_column(tmp_path, real):
    text = as_nasa(real)
    (tmp_path / "a.csv").write_text("\n".join(text.splitlines()[:4000]))
    with pytest.raises(WeatherError, match="no whole year"):
        read_weather(tmp_path / "a.csv")
    (tmp_path / "b.csv").write_text(text.replace("ALLSKY_SFC_SW_DNI", "SOMETHING"))
    with pytest.raises(WeatherError, match="lacks the column ALLSKY_SFC_SW_DNI"):
        read_weather(tmp_path / "b.csv")


@pytest.mark.parametrize("key", ["seattle", "yellowknife", "houston", "riyadh"])
def test_a_made_year_has_the_means_of_its_months(key):
    row = climate.climate(key)
    year = typical_year(row, row.latitude.m_as("deg"))
    assert weather._monthly_kwh(year.flat) == pytest.approx(row.ghi.m_as("kWh/m^2/d"), rel=1e-9)
    assert weather._monthly_kwh(year.sky) == pytest.approx(row.dhi.m_as("kWh/m^2/d"), rel=0.02, abs=0.02)
    assert (year.sky <= year.flat + 1e-9).all() and (year.flat >= 0).all() and np.isfinite(year.direct).all()
    assert weather._monthly_kwh(year.direct) == pytest.approx(row.dni.m_as("kWh/m^2/d"), rel=0.3, abs=0.1)


@pytest.mark.parametrize("latitude", [-89, -70, 0, 68, 85])
def test_polar_night_has_no_sun_and_no_nan(latitude):
    row = climate.climate("fairbanks")
    year = typical_year(row, float(latitude))
    for values in (year.flat, year.direct, year.sky):
        assert np.isfinite(values).all() and (values >= 0).all()


def test_means_of_a_file_and_the_year_made_from_them(real):
    means = monthly_means(real)
    assert weather._monthly_kwh(typical_year(means, real.latitude).flat) == pytest.approx(means.ghi.m_as("kWh/m^2/d"), rel=1e-9)


def test_the_same_file_name_read_again_after_a_change(tmp_path, real):
    file = tmp_path / "year.epw"
    file.write_text(as_epw(real))
    first = read_weather(file)
    assert read_weather(file) is first
    file.write_text(as_epw(read(SAND_POINT)))
    assert read_weather(file).latitude == 55.317


def test_paths_of_pvlib_files_exist():
    assert path(GREENSBORO).exists() and path(SAND_POINT).exists()
