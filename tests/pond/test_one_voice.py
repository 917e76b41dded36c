"""What different findings advise fits together, can be done, and hurts no fish. The ponds are the fixtures and invented ones."""

from __future__ import annotations

from pathlib import Path

import pytest

from pondwright.pond.file import demo_pond, load_pond
from pondwright.pond.findings import findings
from pondwright.pond.plan import plan
from pondwright.pond.results import Urgency
from pondwright.pond.stages.stocking import LIMITS

from .test_hard_water import made
from .test_water_stage import milligrams, pond, read

FIXTURES = Path(__file__).parents[1] / "fixtures"


def told(name: str):
    done = plan(load_pond(FIXTURES / f"{name}.toml"))
    return done, {f.key: f for f in findings(done)}


# ------------------------------------------------------------------------------------------------------------- how many fish


@pytest.mark.parametrize("name", ["half-barrel", "courtyard", "earth-pond", ""])
def test_the_pond_allows_the_smallest_of_its_limits_at_each_end(name):
    stage = plan(load_pond(FIXTURES / f"{name}.toml") if name else demo_pond())["stocking"]
    limits = [stage[f"limit_{key}"] for key in LIMITS if f"limit_{key}" in stage]
    for end in ("value", "low", "typical", "high"):
        assert getattr(stage["limit"], end) == min(getattr(found, end) for found in limits)


def test_a_filter_for_two_kilograms_is_not_hidden_behind_oxygen_for_five():
    # typically the oxygen allows 4.72 kg and the filter 1.803 x 1.185 kg = 2.14 kg; at the cautious end the oxygen allows nothing, and the
    # filter converts nothing: water changes carry away 0.045 mg/L x 5.24 m3 x 10 %/7 d = 3.37 mg/d of N, the feed of 3.37 mg/(0.35 x
    # 0.09216) = 104 mg/d, where 1.185 kg of fish get 31 g/d
    done, found = told("courtyard")
    assert done["filter.cover"].value.m == 0 == done["stocking"]["limit_oxygen"].value.m
    changes = 0.045 * 5.24 * 0.1 / 7 / (0.35 * 0.09216) * 1.185 / 31
    assert done["stocking"]["limit_filter"].value.m_as("kg") == pytest.approx(changes, rel=0.01)
    assert done["stocking"]["limit"].typical.m_as("kg") == pytest.approx(1.803 * 1.1847, rel=1e-3)
    assert "typical 2.14 kg): at the cautious end muck and green water alone take the oxygen" in found["stocking.no_oxygen"].what


def test_a_barrel_that_suits_no_koi_does_not_ask_for_fewer_of_them():
    _, found = told("half-barrel")
    assert "allows none of these fish" in found["stocking.too_many"].what and "Keep fewer" not in found["stocking.too_many"].do
    assert "never release" in found["stocking.too_many"].do


# -------------------------------------------------------------------------------------------------------- feed, shade, the pump


@pytest.mark.parametrize("name", ["courtyard", "earth-pond"])
def test_no_lesser_finding_feeds_fish_that_another_tells_to_fast(name):
    _, found = told(name)
    water = {key: f.do for key, f in found.items() if key.startswith("water.")}
    assert water["water.ammonia"].startswith("Stop feeding now")
    assert not [key for key, do in water.items() if "eed less" in do or "feed in the cool" in do]


def test_feeding_less_stays_where_nothing_is_dangerous():
    _, found = read(pond(tan="1.0 mg/L", ph="7.8", nitrite_n="0.05 mg/L", chloride="1 mg/L", temperature="18 degC"))
    assert found["water.ammonia"].urgency is not Urgency.DANGER and found["water.ammonia"].do.startswith("Feed less")
    assert found["water.nitrite"].do.startswith("Feed less")


def test_a_high_ph_of_hard_water_is_not_laid_on_algae():
    # 250 mg/L of alkalinity airs to 8.75 by itself: shade is no cure, and the filter's own finding says so too
    done = plan(made("chalk", "hardness", ph=8.6))
    found = {f.key: f for f in findings(done)}
    assert "own alkalinity brings it there (up to 8.7 once it has aired)" in found["water.ph"].what
    assert "algae" not in found["water.ph"].what and "Shade alone does not" in found["water.ph"].do
    soft = read(pond(ph="8.8"))[1]["water.ph"]  # 40 mg/L airs to 8.1: what is above it comes from algae
    assert "algae" in soft.what and soft.do.startswith("Shade the pond")


def test_a_pump_that_is_to_run_all_day_is_not_told_to():
    _, found = told("half-barrel")
    assert found["filter.stops"].do.startswith("Have an alarm tell of a pump that stands still")


def test_what_the_filter_converts_is_no_part_of_what_the_feed_brings():
    _, found = told("courtyard")
    assert "the filter can convert 1.8 g/day, and the feed brings 1 g/day: that would be enough" in found["filter.no_media_will_do"].what


# ------------------------------------------------------------------------------------------------------------- carbon dioxide


def test_much_carbon_dioxide_is_aired_all_the_same_but_gently():
    # pH 7.3 and 250 mg/L: 27 mg/L of it, past every limit; aired, 0.2 mg/L of ammonia comes past the strictest limit only
    stage, found = read(pond(ph="7.2", alkalinity="250 mg/L", tan="0.12 mg/L", hardness=None))
    assert milligrams(stage, "carbon_dioxide") > 20 and 0.0125 < milligrams(stage, "unionized_aired") < 0.05
    assert "air the water gently" in found["water.carbon_dioxide"].do and "no hard airing" in found["water.ammonia"].do
    # where it would come past what harms, it must wait
    _, found = read(pond(ph="7.2", alkalinity="250 mg/L", tan="1 mg/L", hardness=None))
    assert found["water.carbon_dioxide"].do.startswith("Do not stir or air")


def test_new_water_with_less_alkalinity_is_called_so():
    done = plan(demo_pond())  # 62 mg/L in the pond, 40 in the tap
    assert "new water brings its own alkalinity, only 40 mg/L" in done["water"].facts["bicarbonate"]
