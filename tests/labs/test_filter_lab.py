"""The lab of lesson 04 against worked arithmetic."""

from __future__ import annotations

import pytest

from pondwright.labs import FilterLab
from pondwright.pond.file import demo_pond, demo_text, parse_pond
from pondwright.pond.plan import plan


@pytest.fixture
def lab():
    lab = FilterLab(demo_pond())
    lab.set(feed="20 g/d", ph="8.0", temperature="24 degC", media="lava_rock", volume="100 L", flow="20 L/min", hours="24 h/d", solids=True)
    return lab


def test_three_limits(lab):
    # FA-16: 5.02 % un-ionized, so 0.0125/0.0502 = 0.249 mg/L; feed 20 x 0.32 x 0.0976 = 0.625 g; flow 28.8 x 0.249 x 0.1 = 0.717 g
    # surface, lowest model 0.30 x 0.249 x 1.1^-1 = 0.0679 g/m2/d on 10 m2: 0.679 g, which binds
    stage = lab.result["filter"]
    assert stage["tan_load"].value.m == pytest.approx(0.62464)
    assert stage["flow_capacity"].value.m == pytest.approx(0.717, abs=0.006)
    assert stage["capacity"].value.m == pytest.approx(0.679, abs=0.006)
    assert "0.62 g/day" in lab.words and "0.68 g/day" in lab.words and "enough" in lab.words and "the surface of the media" in lab.words


def test_half_the_hours_are_not_enough(lab):
    lab.set(hours="12 h/d")
    assert "not enough" in lab.words and "0.34 g/day" in lab.words


def test_little_flow_binds(lab):
    lab.set(flow="5 L/min")
    assert "What limits it is the flow" in lab.words


def test_two_different_numbers_read_differently(lab):
    # 40 x 0.32 x 0.0976 = 1.249 g/d; 14.4 m3/d x 0.806 x 0.1 = 1.16 g/d: both 1.2 with two digits, and yet not enough
    lab.set(feed="40 g/d", ph="7.6", temperature="20 degC", volume="200 L", flow="10 L/min")
    assert "1.25 g/day of ammonia" in lab.words and "at least 1.16 g/day: not enough" in lab.words


def test_dirt_on_the_media(lab):
    clean = lab.result["filter"]["surface_capacity"].typical
    lab.set(solids=False)
    assert lab.result["filter"]["surface_capacity"].typical.m == pytest.approx(clean.m / 2)


def test_high_ph_starves_the_film(lab):
    lab.set(ph="9.4")
    assert "no media will do" in lab.words and "pH down first" in lab.words


def test_no_feed(lab):
    lab.set(feed="0 g/d")
    assert "No feed, no ammonia" in lab.words
    assert "No chart" in lab.picture.alt(lab.result)


def test_media_that_only_work_flooded(lab):
    lab.set(media="sand")
    assert lab.result.pond.filter.operation == "submerged"


def test_it_says_the_plans_own_numbers():
    lab, whole = FilterLab(demo_pond()), plan(demo_pond(), until="filter")["filter"]
    for key, number in whole.numbers.items():
        for end in ("value", "low", "typical", "high"):
            assert getattr(lab.result["filter"][key], end) == getattr(number, end), key
    assert lab.result.pond == demo_pond() and lab.result["filter"].facts == whole.facts
    # aired water of 62 mg/L has pH 8.3; 24 h in August, which decides; November's sun carries the pump for less
    assert lab.inputs.media == "lava_rock" and lab.inputs.ph == whole["design_ph"].value and lab.inputs.hours.m == 24
    assert f"In {whole.facts['month']} the feed, which nobody weighed, brings up to {whole['tan_load'].text(digits=2)}" in lab.words


def test_a_feed_on_the_slider_was_weighed_and_is_that_of_one_day():
    """Nobody doubts it any more: 20 x 0.32 x 0.0976 = 0.625 g; the day is one of the warmest month."""
    lab = FilterLab(demo_pond())
    lab.set(feed="20 g/d")
    load = lab.result["filter"]["tan_load"]
    assert load.value.m == pytest.approx(0.62464) and load.note == "" and "On such a day the feed brings up to 0.62 g/day" in lab.words
    assert (lab.result["fish"].series["feed"].m > 0).sum() == 1 and lab.result["filter"].facts["month"] == "August"
    own = plan(demo_pond(), until="filter")["filter"]
    assert lab.result["filter"]["capacity"].value == own["capacity"].value  # the filter is not touched by it


def test_a_slider_changes_only_what_it_says():
    lab, own = FilterLab(demo_pond()), plan(demo_pond(), until="filter")["filter"]
    lab.set(volume="80 L")  # half the media
    stage = lab.result["filter"]
    assert stage["surface_capacity"].value.m == pytest.approx(own["surface_capacity"].value.m / 2)
    assert [stage[key].value for key in ("tan_load", "flow_capacity", "oxygen_capacity")] == [
        own[key].value for key in ("tan_load", "flow_capacity", "oxygen_capacity")]
    lab.set(volume="160 L", hours="12 h/d")
    stage = lab.result["filter"]
    assert stage["flow_capacity"].value.m == pytest.approx(own["flow_capacity"].value.m / 2) and stage["tan_load"] == own["tan_load"]
    lab.set(hours="24 h/d", ph=8.0)
    assert lab.result["filter"]["design_ph"].value.m == pytest.approx(8.0) and not lab.result["filter"]["design_ph"].has_band
    assert [r.ph.m for r in lab.result.pond.readings] == [7.8, 8.0]
    lab.set(ph=7.0)
    assert [r.ph.m for r in lab.result.pond.readings] == [7.0, 7.0]


def test_a_temperature_on_the_slider_holds_all_day():
    lab = FilterLab(demo_pond())
    lab.set(temperature="25 degC")
    assert "On such a day, with the water all day at 25 °C, the feed, which nobody weighed, brings" in lab.words
    water = lab.result["fish"].series["water_temperature"].m
    assert water[7] == 25 and water[0] == FilterLab(demo_pond()).result["fish"].series["water_temperature"].m[0]
    assert lab.result["filter"]["tan_load"].value == plan(demo_pond(), until="filter")["filter.tan_load"].value


def test_from_nothing_but_a_shape():
    lab = FilterLab(parse_pond('[pond.shape]\nkind = "circle"\ndiameter = "2 m"\ndepth = "1 m"\n'))
    invented = "feed, pH, temperature, filter, flow, hours of the pump, protein 32 %"
    assert lab.words.startswith(f"Invented, since your pond file does not tell it yet: {invented}. On such a day")
    lab.set(feed="25 g/d", ph=7.8, temperature="18 degC", media="plastic_rings", flow="25 L/min", hours="20 h/d")
    assert lab.words.startswith("Invented, since your pond file does not tell it yet: protein 32 %. On such a day")


def test_what_one_section_lacks_is_all_that_is_invented():
    lab = FilterLab(parse_pond(demo_text().split("[[readings]]")[0]))
    assert lab.words.startswith("Invented, since your pond file does not tell it yet: pH. In ")
    lab = FilterLab(parse_pond(demo_text().replace('diet_protein = "32 %"', "")))
    assert lab.words.startswith("Invented, since your pond file does not tell it yet: protein 32 %. In ")


def test_the_two_ponds_of_the_lesson(lab):
    # 20 degC: pKa 9.4026, so 0.0125 x (1 + 10^1.8026) = 0.806 and 0.0125 x (1 + 10^1.0026) = 0.138 mg/L; 40 x 0.32 x 0.0976 = 1.249 g/d
    # pond B by the straight line: 1.249 g/d / (0.30 x 0.138 x 1.1^-5 = 0.0258 g/m2/d) on 100 m2/m3
    needed = {}
    for ph in ("7.6", "8.4"):
        lab.set(feed="40 g/d", ph=ph, temperature="20 degC")
        needed[ph] = lab.result["filter"]["media_needed"].value.m_as("L")
    assert needed["8.4"] == pytest.approx(1.24928 / (0.30 * 0.1384 * 1.1**-5) / 100 * 1000, rel=0.01)
    assert needed["8.4"] / needed["7.6"] == pytest.approx(5.8, abs=0.1)  # "about six times": 0.806/0.138
    for ph, helps in (("8.7", True), ("8.8", False)):  # 0.0755 and 0.0626 mg/L; the bacteria need 0.07
        lab.set(ph=ph)
        assert ("no media will do" not in lab.words) == helps
