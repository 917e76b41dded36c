"""The lab of lesson 09 against printed examples and worked arithmetic."""

from __future__ import annotations

import pytest

from pondwright.labs import WaterLab
from pondwright.pond.file import demo_pond, demo_text, parse_pond
from pondwright.pond.model import Tap
from pondwright.pond.plan import plan


@pytest.fixture
def lab():
    return WaterLab(demo_pond())


def test_the_printed_example():
    lab = WaterLab(demo_pond().model_copy(update={"tap": Tap(disinfectant="none")}))
    # UF/IFAS FA-16: 1.0 mg/L at pH 8.0 and 24 degC is 0.0502 mg/L; 0.75^5 = 0.24 brings it below 0.0125/0.0502 = 0.249
    # 25 mg/L of alkalinity air to pH 7.9, so that 8 as read counts
    lab.set(tan="1 mg/L", ph="8", temperature="24 degC", alkalinity="25 mg/L")
    assert lab.result["water.unionized_ammonia"].value.m_as("mg/L") == pytest.approx(0.0502, abs=0.0003)
    assert "0.0502 mg/L at pH 8. That is above 0.05 mg/L, from which harm is seen. 5 water changes" in lab.words
    assert "No bicarbonate now: after a dose it would be" in lab.words


def test_the_same_reading_on_two_days(lab):
    # shares at pH 7.0 and 15 degC and at pH 8.8 and 25 degC: 1/(1 + 10^2.5641) = 0.00272, 1/(1 + 10^0.4464) = 0.2635: 97 times
    lab.set(tan="0.5 mg/L", ph="7", temperature="15 degC")
    mild = lab.result["water.unionized_ammonia"].value
    lab.set(ph="8.8", temperature="25 degC")
    assert (lab.result["water.unionized_ammonia"].value / mild).m_as("") == pytest.approx(97, abs=0.5)


def test_a_dose_is_told_and_refused(lab):
    lab.set(tan="0.1 mg/L", ph="7.2", temperature="16 degC", alkalinity="35 mg/L")
    volume = lab.result["survey.volume"].low.m_as("m**3")
    assert lab.result["water.bicarbonate_today"].value.m_as("g") == pytest.approx(20 * volume * 84.0066 / 50.0435, rel=1e-6)
    assert "Bicarbonate: at most" in lab.words
    lab.set(tan="1.5 mg/L")
    assert "No bicarbonate now" in lab.words and "bicarbonate_today" not in lab.result["water"]


def test_no_ammonia_at_all(lab):
    lab.set(tan="0 mg/L")
    assert "poisons: 0 mg/L" in lab.words and "water change" not in lab.words


def test_it_starts_from_the_newest_readings(lab):
    assert lab.inputs.ph.m == 8.0 and lab.inputs.tan.m_as("mg/L") == pytest.approx(0.28)


def test_a_pond_without_readings_has_a_lab_too():
    lab = WaterLab(parse_pond('[pond.shape]\nkind = "circle"\ndiameter = "2 m"\ndepth = "1 m"\n'))
    assert "the part that poisons" in lab.words and "binds ammonia" in lab.words  # its tap is not known
    assert lab.words.startswith("Invented, since your pond file has no readings yet: total ammonia, pH, temperature, alkalinity. ")
    lab.set(tan="0.4 mg/L", ph=8, temperature="12 degC", alkalinity="80 mg/L")
    assert "Invented" not in lab.words


def test_a_set_that_lacks_a_reading_says_which():
    lab = WaterLab(parse_pond(demo_text().replace('tan = "0.28 mg/L"', "")))
    assert lab.words.startswith("Invented, since your newest readings have none: total ammonia. ")
    lab.set(tan="0.28 mg/L")
    assert "Invented" not in lab.words and lab.words == WaterLab(demo_pond()).words


def test_a_set_without_alkalinity_gets_none():
    """An invented buffer would air the water to an invented pH."""
    lab = WaterLab(parse_pond(demo_text().replace('alkalinity = "62 mg/L"', "")))
    own = plan(lab.pond)["water"]
    assert lab.result["water.unionized_worst"].value == own["unionized_worst"].value and "ph_aired" not in lab.result["water"]
    assert "Alkalinity (not known)" in [row.spec.label for row in lab._rows.values()] and "alkalinity" in lab.words
    lab.set(alkalinity="62.5 mg/L")
    assert "ph_aired" in lab.result["water"]


def test_all_else_that_was_read_stays(lab):
    """The date, the nitrite and the older sets are the pond's own, whatever the sliders say of one set."""
    assert lab.result.pond == demo_pond()
    lab.set(ph=8.4)
    before, now = demo_pond().readings, lab.result.pond.readings
    assert now[:-1] == before[:-1] and now[-1] == before[-1].model_copy(update={"ph": now[-1].ph}) and now[-1].ph.m == pytest.approx(8.4)


def test_readings_beyond_the_sliders_range_are_not_cut():
    text = demo_text().replace('alkalinity = "62 mg/L"', 'alkalinity = "310 mg/L"').replace('tan = "0.28 mg/L"', 'tan = "5 mg/L"')
    lab = WaterLab(parse_pond(text))
    assert (lab.inputs.tan.m, lab.inputs.alkalinity.m) == (5, 310)
    assert lab.result["water.unionized_ammonia"].value == plan(lab.pond)["water.unionized_ammonia"].value


def test_what_it_says_is_short(lab):
    """At most some forty words: the picture stands below, and both must fit on a small screen."""
    for values in ({}, {"tan": "4 mg/L", "ph": "6.4"}, {"tan": "4 mg/L", "ph": "10"}, {"tan": "0 mg/L"}):
        lab.set(**values)
        assert len(lab.words.split()) < 75 and len(lab.words) < 400
