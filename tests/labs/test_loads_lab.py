"""The lab of lesson 07 against worked arithmetic."""

from __future__ import annotations

import pytest

from pondwright.figures.loads import emptying
from pondwright.labs import LoadsLab
from pondwright.pond.file import demo_pond, parse_pond

SHAPE = '[pond.shape]\nkind = "circle"\ndiameter = "2 m"\ndepth = "1 m"\n'
LAMP = '[power]\nvoltage = "12 V"\n[[power.loads]]\nname = "aquarium lamp"\npower = "9 W"\nhours_per_day = "6 h/d"\n'


@pytest.fixture
def lab():
    return LoadsLab(demo_pond())


def days(lab):
    return lab.result["power.battery_days"].value.m_as("d")


def test_it_starts_from_the_pond(lab):
    assert lab.inputs.pump.m_as("W") == 20 and lab.inputs.battery.m_as("A*h") == 110 and lab.inputs.voltage == "24 V"
    assert "480 Wh/day" in lab.words and lab.result["power.battery_days"].text() in lab.words


def test_energy_is_power_times_hours(lab):
    lab.set(pump="15 W", pump_hours="10 h/d", first="50 W", first_hours="4 h/d")
    assert lab.result["power.daily_energy"].value.m_as("Wh/d") == pytest.approx(150 + 200)


def test_the_lamp_empties_the_battery_first(lab):
    lab.set(first="60 W", first_hours="10 h/d")
    assert [row[0] for row in emptying(lab.result["power"])] == ["grow light", "pump"] and "the grow light empties it first" in lab.words


def test_twice_the_volts_store_twice_the_energy_and_halve_the_current(lab):
    lab.set(voltage="12 V")
    short, amperes = days(lab), lab.result["power.load_current"].value.m_as("A")
    copper = lab.result["power.drop_area"].value.m_as("mm^2")
    lab.set(voltage="24 V")
    assert days(lab) == pytest.approx(2 * short)
    assert lab.result["power.load_current"].value.m_as("A") == pytest.approx(amperes / 2)
    assert lab.result["power.drop_area"].value.m_as("mm^2") == pytest.approx(copper / 4)  # half the current, twice the volts to lose


def test_a_long_cable_must_be_thicker(lab):
    lab.set(cable="50 m")
    # 2 x 50 m x 0.833 A x 0.020/0.48 V = 3.47 mm2: the next sizes are 4 mm2 and 10 AWG (5.26 mm2); 12 AWG has 3.31
    assert "4 mm² or 10 AWG" in lab.words and "a fuse of 2 A" in lab.words


def test_everything_switched_off(lab):
    assert "Nothing is switched on" in lab.set(pump_hours="0 h/d").words


def test_a_pond_s_own_loads_and_volts_are_taken():
    lab = LoadsLab(parse_pond(SHAPE + LAMP))
    assert lab._rows["first"].spec.label == "Aquarium lamp" and lab.inputs.first_hours.m_as("h/d") == 6
    assert "invented battery, cable and pump" in lab.words and "aquarium lamp" in [row[0] for row in emptying(lab.result["power"])]
    odd = LoadsLab(parse_pond(SHAPE + LAMP.replace("12 V", "36 V")))
    assert odd.inputs.voltage == "36 V"


def test_a_pond_without_a_supply_gets_an_invented_one_and_is_told():
    lab = LoadsLab(parse_pond(SHAPE))
    assert "invented power supply and pump" in lab.words and lab.pond.power is None
