"""The lab of lesson 00: which bar follows which slider, and what it says of a pond that cannot be compared yet."""

from __future__ import annotations

import pytest

from pondwright.labs import OverviewLab
from pondwright.pond.file import demo_pond, demo_text, parse_pond
from pondwright.pond.overview import needs
from pondwright.pond.plan import plan
from pondwright.units import Q

BARE = '''
[pond]
name = "Half filled in"
[pond.shape]
kind = "circle"
diameter = "3 m"
depth = "1 m"
[fish]
groups = [{ count = 3, length = "20 cm" }]
[filter]
container = "100 L"
media = "lava_rock"
media_volume = "50 L"
operation = "trickling"
[pump]
power = "20 W"
hours_per_day = "24 h/d"
curve = [{ flow = "0 L/min", head = "3 m" }, { flow = "30 L/min", head = "0 m" }]
'''


def shares(lab) -> dict[str, float]:
    return {need.lesson: need.share for need in needs(lab.result)}


def test_fish_move_air_and_filter_and_neither_sun_nor_water():
    lab = OverviewLab(demo_pond())
    lab.set(fish="10")
    before = shares(lab)
    lab.set(fish="20")
    after = shares(lab)
    assert after["02"] > before["02"] and after["04"] == pytest.approx(2 * before["04"], rel=0.02)  # twice the feed
    assert (after["08"], after["09"]) == (before["08"], before["09"])


def test_it_says_the_plans_own_numbers_of_fish_of_two_sizes():
    lab, whole = OverviewLab(demo_pond()), plan(demo_pond())
    assert lab.result.pond == demo_pond() and [need.sentence() for need in needs(lab.result)] == [need.sentence() for need in needs(whole)]


def test_a_slider_changes_only_what_it_says():
    lab = OverviewLab(demo_pond())
    own = demo_pond().fish.groups  # 14 of 12 cm and 6 of 16 cm
    lab.set(fish="10")
    assert lab.result.pond.fish.groups == tuple(g.model_copy(update={"count": n}) for g, n in zip(own, (7, 3), strict=True))
    lab.set(fish="11")  # 7.7 and 3.3: the larger remainder rounds up
    assert [g.count for g in lab.result.pond.fish.groups] == [8, 3]
    lab.set(fish="1")
    assert [g.count for g in lab.result.pond.fish.groups] == [1]
    lab.set(fish="20", length="15 cm")
    assert lab.result.pond.fish.groups == tuple(g.model_copy(update={"length": Q(15.0, "cm")}) for g in own)
    assert lab.result.pond.filter is lab.pond.filter and lab.result.pond.pump is lab.pond.pump


def test_a_stop_that_nobody_knows_is_not_made_up():
    text = demo_text().replace('longest_stop = "10 h"', "# nobody knows")
    lab = OverviewLab(parse_pond(text))
    assert lab.pond.pump.longest_stop is None and "02" not in shares(lab)
    lab.set(stop="12 h")
    assert shares(lab)["02"] > 0


def test_media_move_the_filter_only():
    lab = OverviewLab(demo_pond())
    lab.set(media="40 L")
    before = shares(lab)
    lab.set(media="80 L")
    after = shares(lab)
    assert after["04"] < before["04"] and {k: v for k, v in after.items() if k != "04"} == {k: v for k, v in before.items() if k != "04"}


def test_a_pond_that_is_half_filled_in_is_told_what_it_needs():
    lab = OverviewLab(parse_pond(BARE))
    assert lab.words.startswith("Half filled in: nothing to compare yet. The pond file needs ")
    assert "[place]" in lab.words and "[power]" in lab.words and "[[readings]]" in lab.words
    assert "An empty chart" in lab.picture.alt(lab.result)
