"""The lab of lesson 07 against worked arithmetic."""

from __future__ import annotations

import pytest

from pondwright.labs import PowerLab
from pondwright.pond.file import demo_pond, parse_pond

SHAPE = '[pond.shape]\nkind = "circle"\ndiameter = "2 m"\ndepth = "1 m"\n'


@pytest.fixture
def lab():
    return PowerLab(demo_pond())


def hours(lab):
    return lab.result["power.pump_hours"].typical.m_as("hour/day")


def test_it_starts_from_the_pond(lab):
    assert lab.inputs.climate == "seattle" and lab.inputs.panel.m_as("W") == 400 and lab.inputs.battery.m_as("ampere*hour") == 110
    assert lab.result["power.battery_needed"].text() in lab.words and "110 Ah" in lab.words


def test_twice_the_panel_carries_twice_as_long(lab):
    lab.set(panel="100 W", hours="24 h/d")
    once = hours(lab)
    lab.set(panel="200 W")
    assert hours(lab) == pytest.approx(2 * once)


def test_half_the_hours_need_half_the_battery(lab):
    lab.set(hours="24 h/d", autonomy="2 d")
    whole = lab.result["power.battery_needed"].value
    lab.set(hours="12 h/d")
    assert lab.result["power.battery_needed"].value.m_as("ampere*hour") == pytest.approx(whole.m_as("ampere*hour") / 2)
    assert lab.result["power.daily_energy"].value.m_as("watt*hour/day") == pytest.approx(240)  # 20 W x 12 h


def test_a_long_cable_must_be_thicker(lab):
    lab.set(cable="50 m")
    # 2 x 50 m x 0.833 A x 0.020/0.48 V = 3.47 mm2: the next sizes are 4 mm2 and 10 AWG (5.26 mm2)... 12 AWG has 3.31
    assert "4 mm² or 10 AWG, with a fuse of 2 A" in lab.words


def test_another_place_changes_the_months_in_use(lab):
    lab.set(climate="edmonton")
    cold = lab.result["power"].facts["months_in_use"]
    lab.set(climate="honolulu")
    assert lab.result["power"].facts["months_in_use"] == "all year" != cold
    assert "no month in use falls short" in lab.set(panel="1500 W", tilt="20 deg").words


def test_a_pond_without_a_supply_gets_an_invented_one_and_is_told():
    lab = PowerLab(parse_pond(SHAPE))
    assert "invented power and pump" in lab.words and lab.pond.power is None
    half = PowerLab(parse_pond(SHAPE + '[power]\nvoltage = "24 V"\n'))
    assert "invented pump" in half.words and half.result.pond.power.voltage.m_as("V") == 24


def test_a_pond_far_from_every_station_may_borrow_a_climate():
    lab = PowerLab(parse_pond(SHAPE + '[place]\nlatitude = "-45 deg"\nlongitude = "170 deg"\n'))
    assert "pump_hours" in lab.result["power"]


def test_months_without_feeding_do_not_count_as_short(lab):
    # the demo's fish are not fed from December to February: the sun is too weak then as well, but no fish waits for it
    assert "In November" in lab.words and "no other month in use falls short" in lab.words
    assert (lab.result["power"].series["pump_hours"].m_as("hour/day")[[0, 1, 11]] < 23).all()


def test_south_of_the_equator_the_invented_panel_faces_north_whatever_climate_is_chosen():
    lab = PowerLab(parse_pond(SHAPE + '[place]\nlatitude = "-45 deg"\nlongitude = "170 deg"\n'))
    assert lab.inputs.azimuth.m_as("deg") == 0
    june, december = (lab.set(climate="halifax").result["power"].series["day_length"].m_as("hour")[m] for m in (5, 11))
    assert june < 10 < 14 < december
