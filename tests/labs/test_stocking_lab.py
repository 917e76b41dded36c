"""The lab of lesson 02 against worked arithmetic and common practice."""
from __future__ import annotations

import pytest

from pondwright.labs import StockingLab
from pondwright.pond.file import demo_pond, demo_text, parse_pond
from pondwright.pond.plan import plan
from tests.ponds import TEXTS


@pytest.fixture
def lab():
    return StockingLab(demo_pond())


def test_ten_koi(lab):
    # 909.9 g at 400 mm (Bister and others 2000), at most 1.2 times: 10.9 kg; 600 mm is 1.5^2.92 = 3.268 times as much: 35.7 kg
    lab.set(species="koi", count="10", length="40 cm", grown="60 cm", volume="15000 L", depth="1.5 m")
    assert lab.result["fish.biomass"].value.m_as("kg") == pytest.approx(10.92, abs=0.01)
    assert lab.result["survey.volume"].typical.m_as("L") == pytest.approx(15000)
    assert lab.result["survey.mean_depth"].typical.m_as("m") == pytest.approx(1.5)
    assert "10 koi weigh up to 11 kg now and 36 kg grown" in lab.words


def test_half_a_barrel_does_not_suit_koi(lab):
    lab.set(species="koi", count="3", length="20 cm", grown="60 cm", volume="900 L", depth="0.7 m")
    assert "allows 0 kg of fish (typically 0 kg), bound by room for grown koi" in lab.words and "too many already" in lab.words
    lab.set(species="goldfish", grown="20 cm")
    assert "room for grown koi" not in lab.words


def test_a_longer_stop_leaves_room_for_fewer(lab):
    lab.set(stop="4 h")
    short = lab.result["stocking.limit_oxygen"].value
    lab.set(stop="16 h")
    assert lab.result["stocking.limit_oxygen"].value < short


def test_the_comparison_with_the_stop_is_said(lab):
    lab.set(count="100", length="25 cm", grown="25 cm", stop="24 h")
    assert "The longest stop is 24 h: the oxygen does not last" in lab.words and "too many already" in lab.words
    lab.set(count="1", length="10 cm", stop="2 h")
    assert "The longest stop is 2 h: the oxygen lasts" in lab.words


def test_the_slider_says_the_stop_whatever_the_sun_leaves():
    """The demo pond with a small panel stands still for most of a day; the lab starts there, and then asks what another stop would do."""
    small = StockingLab(parse_pond(demo_text().replace('power = "200 W"', 'power = "20 W"').replace('imp = "9.8 A"', 'imp = "0.98 A"')))
    assert small.inputs.stop.m_as("h") > 14
    small.set(stop="2 h")
    whole = StockingLab(demo_pond()).set(stop="2 h")
    assert small.result["stocking.limit_oxygen"].value == whole.result["stocking.limit_oxygen"].value


def test_the_year_follows_the_slider(lab):
    lab.set(warmth="25 degC")
    water = lab.result["fish"].series["water_temperature"].m_as("degC")
    assert water.max() == pytest.approx(25) and water.min() < 14  # Seattle's winter, some degrees warmer


def test_it_says_the_plans_own_numbers(lab):
    whole = plan(demo_pond(), until="stocking")
    for key in ("fish.biomass", "fish.grown_biomass", "fish.hours_to_4", "fish.hours_to_4_grown", "stocking.limit", "stocking.room"):
        for end in ("value", "low", "typical", "high"):
            assert getattr(lab.result[key], end) == getattr(whole[key], end), key
    assert lab.result.pond == demo_pond() and lab.result["stocking"].facts == whole["stocking"].facts
    assert f"weigh up to {whole['fish.biomass'].text(digits=2)} now and {whole['fish.grown_biomass'].text(digits=2)} grown" in lab.words


def test_the_filter_follows_the_fish(lab):
    """As many fish as the filter covers: the limit in kilograms stays about the same while the fish become more."""
    few = lab.set(count="10").result["stocking.limit_filter"].typical
    many = lab.set(count="40").result["stocking.limit_filter"].typical
    assert (few / many).m_as("") == pytest.approx(1, rel=0.02)


def test_it_starts_from_the_pond(lab):
    assert lab.inputs.species == "goldfish" and lab.inputs.count.m == 20 and lab.inputs.stop.m_as("h") == 10
    assert lab.inputs.volume.m_as("L") == pytest.approx(10950, abs=5)
    # the mean length weighs what the two groups do: (14 x 12^3 + 6 x 16^3)/20 = 13.46^3, and (14 x 22^3 + 6 x 24^3)/20 = 22.64^3
    assert lab.inputs.length.m_as("cm") == 13.46 and lab.inputs.grown.m_as("cm") == 22.64


def test_a_pond_with_nothing_but_a_shape():
    lab = StockingLab(parse_pond('[pond.shape]\nkind = "circle"\ndiameter = "2 m"\ndepth = ["0.6 m"]\n'))
    assert lab.inputs.species == "goldfish" and "bound by oxygen" in lab.words
    lab.set(count="1", length="8 cm", grown="12 cm", volume="20000 L", depth="1.5 m", stop="1 h")
    assert "what the ammonia allows is not known yet" in lab.words and "enough" not in lab.words


def test_nothing_is_enough_for_now_either_while_the_ammonia_is_unknown():
    lab = StockingLab(demo_pond().model_copy(update={"readings": ()}))
    lab.set(stop="14 h")  # the oxygen then allows more than the 1.7 kg of now and less than the 6.9 kg of later
    assert "that is less than the grown fish weigh, and what the ammonia allows is not known yet" in lab.words and "enough" not in lab.words


def test_a_filter_without_a_pump_is_not_called_too_small():
    """Without a pump only water changes are counted: 0.0584 kg in the demo pond."""
    lab = StockingLab(demo_pond().model_copy(update={"pump": None}))
    assert "allows 0.058 kg of fish" in lab.words and "too many" not in lab.words
    assert "only water changes are counted, since what the filter converts is not known yet" in lab.words


def test_a_slider_changes_only_what_it_says(lab):
    own = demo_pond()
    lab.set(count=10)
    assert [g.count for g in lab.result.pond.fish.groups] == [7, 3]  # 14 and 6
    assert lab.result.pond.model_copy(update={"fish": own.fish}) == own
    lab.set(count=20, length="15 cm")
    assert [(g.count, g.length.m_as("cm"), g.adult_length) for g in lab.result.pond.fish.groups] == [
        (g.count, 15, g.adult_length) for g in own.fish.groups]
    lab.set(length="13.46 cm", grown="30 cm")
    assert [(g.length, g.adult_length.m_as("cm")) for g in lab.result.pond.fish.groups] == [(g.length, 30) for g in own.fish.groups]
    lab.set(grown="22.64 cm")
    assert lab.result.pond == own


def test_more_water_of_the_same_depth_keeps_all_else(lab):
    own = lab.result["survey"]
    lab.set(volume="21900 L")
    more, times = lab.result["survey"], 21900 / own["volume"].typical.m_as("L")
    for key, by in (("surface_area", times), ("volume", times), ("mean_depth", 1), ("max_depth", 1)):
        assert more[key].typical.m == pytest.approx(by * own[key].typical.m)
    assert not more["volume"].has_band and lab.result.pond == demo_pond()
    lab.set(volume=own["volume"].typical, depth="2.02 m")  # twice as deep on half the surface; the readings stay as far apart
    deep = lab.result["survey"]
    for key, by in (("surface_area", 0.5), ("volume", 1), ("mean_depth", 2), ("max_depth", 2)):
        assert deep[key].typical.m == pytest.approx(by * own[key].typical.m)
    assert deep["volume"].has_band


def test_a_feed_that_was_weighed_goes_with_the_number_of_fish():
    lab = StockingLab(parse_pond(demo_text().replace('species = "goldfish"', 'species = "goldfish"\nfeed = "12 g/d"')))
    lab.set(count=10)
    assert lab.result.pond.fish.feed.m_as("g/d") == pytest.approx(6)
    lab.set(length="20 cm")
    assert lab.result.pond.fish.feed is None


def test_a_pump_that_rests_keeps_its_hours_for_the_filter():
    """Another stop is another stop: the filter still gets the water of the pump's own hours."""
    lab = StockingLab(parse_pond(TEXTS["submerged-box"]))
    before = lab.result["stocking.limit_filter"].value
    assert lab.pond.pump.hours_per_day.m_as("h/d") < 24
    lab.set(stop="3 h")
    assert lab.result["stocking.limit_filter"].value == before and "The longest stop is 3 h" in lab.words


def test_a_stop_that_nobody_knows_is_a_night():
    lab = StockingLab(parse_pond(demo_text().replace('longest_stop = "10 h"', "").split("[power]")[0]))
    assert "No longest stop is known, so a night of 14 h counts" in lab.words
    assert lab.result["stocking.limit_oxygen"].note == plan(lab.pond, until="stocking")["stocking.limit_oxygen"].note
    lab.set(stop="9 h")
    assert "The longest stop is 9 h" in lab.words


def test_a_dark_month_is_told(lab):
    stage = lab.result["stocking"]
    assert f"In {stage.facts['dark_month']} the pump may stand still for {stage['stop'].text(digits=2)}" in lab.words
    lab.set(stop="12 h")  # in every month
    assert "may stand still" not in lab.words


def test_what_is_invented_is_said():
    bare = '[pond.shape]\nkind = "circle"\ndiameter = "4 m"\ndepth = "1.2 m"\n'
    lab = StockingLab(parse_pond(bare))
    assert "10 goldfish (invented: your pond file has no [fish] and no [place] yet)" in lab.words
    lab.set(warmth="22 degC")
    assert "10 goldfish (invented: your pond file has no [fish] yet)" in lab.words
    lab.set(count=4)
    assert "invented" not in lab.words
    other = bare + '[place]\nclimate = "seattle"\n[fish]\nspecies = "other"\ngroups = [{ count = 5, length = "20 cm" }]\n'
    lab = StockingLab(parse_pond(other))
    own = plan(lab.pond, until="fish")["fish"]
    assert lab.inputs.species == "other" and f"5 fish weigh up to {own['biomass'].text(digits=2)} now. On the warmest" in lab.words
    assert "Grown length (not known)" in [row.spec.label for row in lab._rows.values()] and "grown" not in lab.words
    lab.set(grown="35 cm")
    assert " grown. On the warmest nights" in lab.words


def test_far_too_many_fish_are_answered_with_a_sentence():
    lab = StockingLab(parse_pond(demo_text()))
    lab.set(count=100, length="80 cm", grown="80 cm", volume="300 L")
    assert "is more fish than any tank holds" in lab.words
