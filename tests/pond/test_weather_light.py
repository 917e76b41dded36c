"""Weather files whose light cannot be right are refused, each in one line; good ones are read whatever letters and units they use.

The spoiled files are made from the typical years that pvlib carries; what is expected of each is what was done to it.
"""
from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pondwright.pond import climate
from pondwright.pond.file import load_pond
from pondwright.pond.season import Mount, sun_on_panel
from pondwright.pond.weather import WeatherError
from pondwright.pond.weather_file import read_weather
from pondwright.units import show
from tests.test_cli import refused, run
from tests.weather_files import GREENSBORO, SAND_POINT, as_epw, as_nasa, as_pvgis, as_pvgis_json, path, read

POND = '[pond.shape]\nkind = "circle"\ndiameter = "2 m"\ndepth = "1 m"\n[place]\nweather = "year.epw"\n'
UNITS = """Elevation from MERRA-2: Average for 0.5 x 0.625 degree lat/lon region = 213.4 meters
Parameter(s):
ALLSKY_SFC_SW_DWN     CERES SYN1deg All Sky Surface Shortwave Downward Irradiance ({0})
ALLSKY_SFC_SW_DNI     CERES SYN1deg All Sky Surface Shortwave Downward Direct Normal Irradiance ({0})
ALLSKY_SFC_SW_DIFF    CERES SYN1deg All Sky Surface Shortwave Diffuse Irradiance ({0})
T2M                   MERRA-2 Temperature at 2 Meters ({1})"""


@pytest.fixture(scope="module")
def real():
    return read(GREENSBORO)


@pytest.fixture
def reading(tmp_path):
    """Give a function that writes a file, reads it, and returns the year or the words of its refusal."""

    def attempt(what, **choice):
        file = tmp_path / "year.epw"
        file.write_bytes(what.encode(**choice) if isinstance(what, str) else what)
        try:
            return read_weather(file)
        except WeatherError as error:
            assert str(error).startswith("the weather file 'year.epw' ") and "\n" not in str(error)
            return str(error)

    return attempt


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "latin-1"])
def test_letters_of_every_age(reading, real, encoding):
    found = reading(as_epw(replace(real, name="São José do Paço")), encoding=encoding)
    assert found.name == "São José do Paço (EPW)" and found.flat.sum() == pytest.approx(real.flat.sum(), rel=1e-4)


def test_a_tmy3_with_a_registered_sign_and_a_bracket_too_many(reading, real):
    raw = path(GREENSBORO).read_bytes().replace(b"\n", b',"Some maker\xae"\n', 1).replace(b"DNI (W/m^2)", b"DNI (W/m^2))", 1)
    assert np.array_equal(reading(raw).direct, real.direct)


@pytest.mark.parametrize(("unit", "watts"), [("MJ/hr", 1 / 0.0036), ("Wh/m^2", 1.0), ("W/m^2", 1.0), ("kWh/m^2", 1000.0)])
def test_nasa_says_its_unit(reading, real, unit, watts):
    """One megajoule in an hour is 1 000 000 J/3600 s = 278 W."""
    found = reading(as_nasa(real, about=UNITS.format(unit, "C"), watts=watts))
    assert found.flat.sum() / 1000 == pytest.approx(1566.2, abs=0.2) and found.height == 213.4
    assert found.direct == pytest.approx(real.direct, abs=0.02) and found.air == pytest.approx(real.air)


@pytest.mark.parametrize(("units", "watts", "says"), [
    (("BTU/hr", "C"), 1.0, "gives ALLSKY_SFC_SW_DWN in 'BTU/hr'; W/m^2, Wh/m^2 or MJ/hr would do."),
    (("W/m^2", "F"), 1.0, "gives T2M in 'F'; C would do."),
    (None, 1 / 0.0036, "holds 5.638 kWh/m2 of sun on flat ground in its year; at a latitude of 36.1 degrees"),
])
def test_other_units_are_named(reading, real, units, watts, says):
    assert says in reading(as_nasa(real, about=UNITS.format(*units) if units else "", watts=watts))


@pytest.mark.parametrize(("given", "says"), [
    ({"latitude": 96.1}, "gives 96.1 as its latitude; -90 to 90 degrees would do."),
    ({"longitude": 200.0}, "gives 200 as its longitude; -180 to 180 degrees would do."),
    ({"utc_offset": 15.0}, "gives 15 as its time zone; -12 to 14 hours would do."),
    ({"latitude": float("nan")}, "gives nan as its latitude"),
])
def test_a_place_on_earth(reading, real, given, says):
    assert says in reading(as_epw(replace(real, **given)))


def test_the_hours_stand_in_order(reading, real):
    lines = as_epw(real).splitlines()
    head, hours = lines[:8], lines[8:]

    def with_hours(*parts):
        return "\n".join([*head, *(line for part in parts for line in part)])

    half = 181 * 24  # January to June
    assert "hour 1 of the year is 1 July, 0:00, where 1 January, 0:00 is due" in reading(with_hours(hours[half:], hours[:half]))
    assert "hour 49 of the year is 2 January, 0:00, where 3 January, 0:00" in reading(with_hours(hours[:48], hours[24:48], hours[72:]))
    assert "holds 17520 hours; a year has 8760. It holds more than one year: keep one." in reading(with_hours(hours, hours))
    assert "holds 8730 hours; a year has 8760. It may have been cut short" in reading(with_hours(hours[:3000], hours[3030:]))
    leap = [f"2020,2,29,{h + 1}," + hours[h].split(",", 4)[4] for h in range(24)]
    assert np.array_equal(reading(with_hours(hours[: 59 * 24], leap, hours[59 * 24 :])).flat, reading(as_epw(real)).flat)


@pytest.mark.parametrize("name", [GREENSBORO, SAND_POINT])
@pytest.mark.parametrize("wrong", [-3, -2, 2, 3, 6, 12])
def test_a_time_zone_that_is_hours_out(reading, name, wrong):
    good = read(name)
    found = reading(as_epw(replace(good, utc_offset=good.utc_offset + wrong)))
    assert f"has a clock that is {abs(wrong)} h out" in found and f"fits a time zone of UTC{good.utc_offset:+g}" in found
    assert f"it says UTC{good.utc_offset + wrong:+g}" in found


@pytest.mark.parametrize("name", [GREENSBORO, SAND_POINT])
@pytest.mark.parametrize(("wrong", "way"), [(-1, "1 h earlier"), (-0.5, "0.5 h earlier"), (1, "1 h later")])
def test_a_clock_that_is_a_little_out_is_put_right_and_told(reading, name, wrong, way):
    good = reading(as_epw(read(name)))
    found = reading(as_epw(replace(good, name="X", utc_offset=good.utc_offset + wrong)))
    assert way in found.said and good.said == ""
    for mount in (Mount(60, 100), Mount(30, 180)):
        assert sun_on_panel(found, mount) == pytest.approx(sun_on_panel(good, mount))


@pytest.mark.parametrize("name", [GREENSBORO, SAND_POINT])
@pytest.mark.parametrize("turn", [lambda north: -north, lambda north: north + 12, lambda north: north - 20])
def test_another_latitude(reading, name, turn):
    good = read(name)
    found = reading(as_epw(replace(good, latitude=turn(good.latitude))))
    fits = 4 * round(good.latitude / 4)  # it is looked for in steps of 4 degrees
    assert f"has the light of another latitude: it fits {fits} degrees, and {turn(good.latitude):g} stands" in found


@pytest.mark.parametrize(("spoil", "says"), [
    (lambda w: {"longitude": -w.longitude}, "has a clock that is"),
    (lambda w: {"direct": 0 * w.direct}, "hardly any direct sun (DNI)"),
    (lambda w: {"direct": w.direct / 1000}, "hardly any direct sun (DNI)"),
    (lambda w: {"direct": 0 * w.direct, "sky": w.flat}, "hardly any direct sun (DNI)"),
    (lambda w: {"sky": 0 * w.sky}, "hardly any sky light (DHI)"),
    (lambda w: {"flat": w.direct, "direct": w.flat}, "do not add up to its sun on flat ground (GHI)"),
    (lambda w: {"sky": w.sky / 2, "direct": w.direct / 2}, "do not add up to its sun on flat ground (GHI): they are 50 % apart"),
    (lambda w: {name: getattr(w, name) / 1000 for name in ("flat", "direct", "sky")}, "kWh/m2 of sun on flat ground in its year; at a"),
    (lambda w: {"flat": 0 * w.flat}, "holds 0 kWh/m2 of sun on flat ground"),
    (lambda w: {"sky": w.sky + 10, "flat": w.flat + 10}, "% of its light while the sun is below the horizon of latitude"),
])
@pytest.mark.parametrize("name", [GREENSBORO, SAND_POINT])
def test_light_that_cannot_be(reading, name, spoil, says):
    good = read(name)
    assert says in reading(as_epw(replace(good, **spoil(good))))


@pytest.mark.parametrize("name", [GREENSBORO, SAND_POINT])
def test_good_years_are_taken_as_they_are_north_and_south(reading, name):
    good = read(name)
    assert good.said == ""
    columns = {each: np.roll(getattr(good, each), 4344) for each in ("flat", "direct", "sky", "air")}  # 181 days: half a year later
    south = reading(as_epw(replace(good, latitude=-good.latitude, name="South", **columns)))
    assert south.latitude == -good.latitude


@pytest.mark.parametrize(("text", "says"), [
    ('{"inputs": {"location": {"latitude": 45.0}, "meteo_data": {}}, "outputs": {"hourly": []}}', "ask PVGIS for a typical year (TMY)"),
    ("Latitude (decimal degrees):\t45.000\ntime,Gb(i),Gd(i)\n", "ask PVGIS for a typical year (TMY)"),
    ("time(UTC),T2m,RH,G(h),Gb(n)\n", "download the CSV that begins with latitude and longitude"),
    ("PK\x03\x04", "It is a zip archive: unpack it"),
    ("LOCATION;Town;-", "is none of EPW"),
])
def test_what_else_people_download(reading, text, says):
    assert says in reading(text)


# ---------------------------------------------------------------------------------------------------------------- its own height


@pytest.mark.parametrize(("write", "metres"), [
    (lambda w: as_epw(w, height=2276), 2276), (lambda w: as_epw(w, height=62), 62), (lambda w: as_epw(w, height=9999), None),
    (as_pvgis, 10), (as_pvgis_json, 250), (lambda w: as_nasa(w, about=UNITS.format("W/m^2", "C")), 213.4), (as_nasa, None),
])
def test_the_height_is_that_of_its_own_first_lines(reading, real, tmp_path, write, metres):
    assert reading(write(real)).height == metres
    (tmp_path / "pond.toml").write_text(POND)
    height, words = climate.elevation(load_pond(tmp_path / "pond.toml"))
    assert height.m_as("m") == (metres or 0.0)
    assert words == ("at sea level" if metres is None else f"as high as {climate.of_place(load_pond(tmp_path / 'pond.toml').place).where}: "
                     f"{show(height, 'm')} above the sea")


@pytest.mark.parametrize(("written", "zone"), [("-5,5", -5.5), ("-4,75", -4.75), ("-5", -5.0)])
def test_a_time_zone_with_a_decimal_comma_does_not_push_the_height_aside(reading, real, written, zone):
    text = as_epw(replace(real, utc_offset=zone), height=2122)
    found = reading(text.replace(f",{zone},", f",{written},", 1))
    assert (found.utc_offset, found.height) == (zone, 2122)


@pytest.mark.parametrize(("name", "metres"), [(GREENSBORO, 273), (SAND_POINT, 7)])
def test_the_height_of_tmy3(name, metres):
    """The last cell of the files' own first line."""
    assert read(name).height == metres == float(path(name).read_text().splitlines()[0].split(",")[-1])


# ------------------------------------------------------------------------------------------------------- beside the pond file


@pytest.mark.parametrize("command", ["check", "plan"])
def test_the_command_line_says_it_in_one_line(tmp_path, real, command):
    (tmp_path / "pond.toml").write_text(POND)
    (tmp_path / "year.epw").write_text(as_epw(replace(real, latitude=96.1)))
    says = "place.weather: the weather file 'year.epw' gives 96.1 as its latitude; -90 to 90 degrees would do."
    refused(run(command, cwd=tmp_path), says)
