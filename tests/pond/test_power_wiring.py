"""The wiring of the supply: a fuse and a cable for every line, panels that reach the battery's voltage, and too many volts."""

from __future__ import annotations

import pytest

from pondwright.pond.climate import climate
from pondwright.pond.file import demo_pond
from pondwright.pond.results import Urgency
from pondwright.pond.stages import power as stage
from pondwright.units import showing_in
from tests.pond.test_power_stage import LIGHT, WHOLE, found, made


def test_the_cable_from_the_panels():
    """1.25 x 1.25 x Isc (NEC 690.8): 10.4 A give 16.25 A, which 2.5 mm² (17 A at 40 °C) carries; 6.1 A give 9.53 A: 1.5 mm² (13 A)."""
    whole = made(WHOLE)
    assert stage.plan(demo_pond(), {})["panel_current"].value.m_as("A") == pytest.approx(1.25 * 1.25 * 10.4)
    assert stage.plan(demo_pond(), {}).facts["panel_cable"] == "2.5 mm² or 12 AWG"
    assert whole["panel_current"].value.m_as("A") == pytest.approx(1.25 * 1.25 * 6.1) and whole["panel_cable"].value.m_as("mm^2") == 1.5
    side_by_side = made(WHOLE.replace('tilt = "65 deg"', 'tilt = "65 deg"\ncount = 2'))
    assert side_by_side["panel_current"].value == 2 * whole["panel_current"].value
    many = made(WHOLE.replace('tilt = "65 deg"', 'tilt = "65 deg"\ncount = 14'))  # 133 A
    assert "panel_cable" not in many and any("more of them in series" in m for m in many.missing)


def test_cables_from_panel_and_controller_are_chosen_by_their_length_as_well():
    """Panel: Imp 5.4 A over 20 m of 18.6 V; 2 % is 0.372 V, so 2 x 20 x 5.4 x 0.020/0.372 = 11.6 mm²: the next size is 16 mm².

    It loses 2 x 20 x 5.4 x 0.020/16 = 0.27 V. Controller: 10 A over 2 m, 0.24 V: 2 x 2 x 10 x 0.020/0.24 = 3.33 mm², so 4 mm²; it loses
    2 x 2 x 10 x 0.020/4 = 0.2 V. Its fuse of 15 A alone would have asked for 2.5 mm².
    """
    known = made(WHOLE.replace('length = "6 m"', 'length = "6 m"\npanel_length = "20 m"\nbattery_length = "2 m"'))
    assert made(WHOLE)["panel_cable"].value.m_as("mm^2") == 1.5 and known["panel_cable"].value.m_as("mm^2") == 16
    assert known["panel_drop"].value.m_as("V") == pytest.approx(0.27) and "16 mm²" in known["panel_drop"].label
    rows = {row[0]: row[3] for grid in known.grids if "fuse" in grid.title for row in grid.rows}
    assert rows["controller to battery"].startswith("4 mm²") and known["controller_drop"].value.m_as("V") == pytest.approx(0.2)
    said = " ".join(made(WHOLE).missing)
    assert "needs power.cable.panel_length" in said and "needs power.cable.battery_length" in said
    assert "panel_drop" not in made(WHOLE) and not any("power.cable" in m for m in known.missing)
    far = made(WHOLE.replace('length = "6 m"', 'length = "6 m"\npanel_length = "150 m"'))
    assert "panel_cable" not in far and any("over 150 m: put more of them in series" in m for m in far.missing)


def test_a_cable_that_the_plan_refuses_is_marked():
    burns = made(WHOLE.replace('length = "6 m"', 'length = "6 m"\nsize = "0.5 mm2"'))
    assert burns.facts["cable_refused"] == "0.5 mm²" and "cable_refused" not in made(WHOLE).facts
    assert "cable_refused" not in made(WHOLE.replace('length = "6 m"', 'length = "6 m"\nsize = "6 mm2"')).facts


@pytest.mark.parametrize("system, cable", [("metric", "35 mm² or 1 AWG"), ("us", "1 AWG or 35 mm²")])
def test_a_large_controller_s_cable_is_named_in_both_series(system, cable):
    """60 A ask for 75 A, so for a fuse of 80 A: 35 mm² carries 86 A and 1 AWG 90.2 A; 2 AWG only 77.9 A."""
    with showing_in(system):
        large = made(WHOLE.replace('max_current = "10 A"', 'max_current = "60 A"'))
    (guards,) = (g for g in large.grids if g.title == "A fuse for every cable")
    assert next(row[3] for row in guards.rows if row[0] == "controller to battery") == cable


def test_too_low_a_voltage_says_how_many_panels_reach_it_and_whether_the_controller_stands_them():
    """Vmp 18.6 V at 70 °C is 18.6 x 0.7975 = 14.83 V: for 28.8 V two in a row; Voc 22.5 V at -29 °C at most 22.5 x 1.216 = 27.4 V each."""
    low = WHOLE.replace('voltage = "12 V"', 'voltage = "24 V"')
    fits = found(low)["power.charging_voltage"].do
    assert fits.startswith("Put 2 panels in series, with a controller for more than the 54.7 V")
    stands = found(low.replace('max_voltage = "50 V"', 'max_voltage = "75 V"'))["power.charging_voltage"].do
    assert stands.startswith("Put 2 panels in series: at the coldest dawn they reach 54.7 V, and the controller stands 75 V")


def test_every_cable_has_a_fuse_of_its_own():
    # controller 10 A: 12.5 A, so 15 A; a light of 30 W at 12 V draws 2.5 A: 3.125 A, so 4 A; the pump likewise
    whole = made(WHOLE.replace('autonomy = "3 d"\n', LIGHT))
    # and both through one disconnect 5 A: 6.25 A, so 7.5 A
    assert [whole[k].value.m_as("A") for k in ("pump_fuse", "controller_fuse", "load_1_fuse", "disconnect_fuse")] == [4, 15, 4, 7.5]
    assert "disconnect_fuse" not in made(WHOLE) and "plus pole" in made(WHOLE)["pump_fuse"].label  # the pump alone needs one fuse
    assert whole["pump_fuse"].label.endswith("where it begins")
    guards = next(g for g in whole.grids if "fuse" in g.title)
    assert [row[0] for row in guards.rows] == ["the pump's cable", "controller to battery", "battery to disconnect", "cable to light"]
    # 15 A of fuse: 2.5 mm2 carries 17 A at 40 degrees (1.5 mm2 only 13), 12 AWG carries 16.4 A (14 AWG 12.3)
    assert guards.rows[1][3] == "2.5 mm² or 12 AWG"
    told = found(WHOLE.replace('autonomy = "3 d"\n', LIGHT))
    assert "pump's cable is 4 A" in told["power.pump_fuse"].what
    others = told["power.other_fuses"].what
    assert "7.5 A between battery and disconnect, for all loads; 15 A between controller and battery; 4 A for the cable to light" in others


def test_a_fuse_is_told_to_break_a_direct_short_circuit():
    said = " ".join(a.text for a in made(WHOLE).assumptions)
    for words in ("direct current at 14.4 V", "breaking or interrupting capacity", "1000 A", "10 000 A"):
        assert words in said


@pytest.mark.parametrize("count, strings", [(2, None), (3, 3), (4, 4)])
def test_three_strings_side_by_side_need_a_fuse_each(count, strings):
    text = WHOLE.replace('azimuth = "180 deg"\n', f'azimuth = "180 deg"\ncount = {count}\n')
    if strings is None:
        assert "string_fuse" not in made(text) and "power.string_fuse" not in found(text)
    else:
        assert made(text)["string_fuse"].value.m_as("A") == pytest.approx(1.25 * 1.25 * 6.1)
        assert found(text)["power.string_fuse"].what.startswith(f"{strings} strings")


def test_a_controller_too_large_for_a_blade_fuse_is_told():
    big = made(WHOLE.replace('max_current = "10 A"', 'max_current = "70 A"'))  # 87.5 A; the largest blade is 80 A
    assert "controller_fuse" not in big and any("87.5 A" in m for m in big.missing)


@pytest.mark.parametrize("volts, urgent", [("12 V", False), ("24 V", False), ("25.5 V", True), ("48 V", True)])
def test_more_than_30_volts_at_a_pump_in_the_pond_is_a_danger(volts, urgent):
    told = found(WHOLE.replace('voltage = "12 V"\nautonomy', f'voltage = "{volts}"\nautonomy'))
    assert ("power.water_voltage" in told) == urgent  # 1.2 x 25 V = 30 V
    if urgent:
        wet = told["power.water_voltage"]
        assert wet.urgency is Urgency.DANGER and "30 V" in wet.what and "12 V" in wet.what and "licensed electrician" in wet.do
        assert f"{1.2 * float(volts.split()[0]):.3g} V" in wet.what


@pytest.mark.parametrize("key, record", [("calgary", -45.0), ("edmonton", -48.3), ("saskatoon", -50.0), ("fairbanks", (-66 - 32) / 1.8),
                                         ("denver-aurora", (-29 - 32) / 1.8)])
def test_the_guessed_cold_is_no_milder_than_the_records_that_were_read(key, record):
    """Source ColdRecords: Environment Canada's normals of 1971 to 2000, and the weather services of Denver and Fairbanks in °F."""
    text = WHOLE.replace('record_cold = "-29 degC"\n', "").replace("halifax", key)
    guessed = float(made(text).facts["guessed_cold"].removesuffix(" °C"))
    assert record - 8 < guessed <= record


@pytest.mark.parametrize("in_series, urgency, words", [
    (1, None, ()), (2, Urgency.NOTE, ("30 V", "code of your place")),
    (3, Urgency.FIX, ("60 V", "licensed person", "code of your place")), (4, Urgency.FIX, ("60 V", "fewer panels in series")),
    (5, Urgency.DANGER, ("120 V", "licensed electrician", "code of your place"))])  # fmt: skip
def test_the_higher_the_panel_side_the_firmer_the_words(in_series, urgency, words):
    """One panel reaches at most 22.5 V x (1 + 0.0040 x 54) = 27.4 V at -29 °C: 54.7, 82.1, 109 and 137 V in a row.

    IEC's glossary: extra-low voltage ends at 120 V of direct current, and at 60 V where bare parts may be touched (source ExtraLow).
    """
    text = WHOLE.replace('azimuth = "180 deg"\n', f'azimuth = "180 deg"\ncount = {in_series}\nin_series = {in_series}\n')
    told = found(text.replace('max_voltage = "50 V"', 'max_voltage = "250 V"')).get("power.touch")
    assert (told.urgency if told else None) == urgency
    assert all(word in f"{told.what} {told.do}" for word in words)


def test_cold_voltage_without_a_record_is_estimated_and_says_so():
    text = WHOLE.replace('record_cold = "-29 degC"\n', "")
    cold = made(text)["cold_voltage"]
    mean = climate("halifax").air_temperature.m_as("degC").min()
    # one panel of 22.5 V; at the cautious end 40 degrees below the coldest month's mean and 0.40 % for each degree below 25
    assert cold.value.m_as("V") == pytest.approx(22.5 * (1 + 0.0040 * (25 - (mean - 40))))
    assert cold.typical.m_as("V") == pytest.approx(22.5 * (1 + 0.0034 * (25 - (mean - 25))))
    assert "guessed" in cold.label and any("estimate" in a.text and a.unverified for a in made(text).assumptions)
    danger = found(text.replace('max_voltage = "50 V"', 'max_voltage = "25 V"'))["power.voltage"]
    assert danger.urgency is Urgency.DANGER and "guessed" in danger.what
    assert "cold_voltage" not in made(text.replace('climate = "halifax"', 'latitude = "-45 deg"\nlongitude = "170 deg"'))
