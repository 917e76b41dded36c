"""The lab of lesson 00: which bar follows which slider, and what it says of a pond that cannot be compared yet."""

from __future__ import annotations

import pytest

from pondwright.labs import OverviewLab
from pondwright.pond.file import demo_pond, parse_pond
from pondwright.pond.overview import needs
from pondwright.pond.plan import plan

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


def test_it_starts_with_the_fish_that_the_plan_counts():
    """A fish of mean volume stands for all of them, so the lab and the plan below it do not tell two different ammonias."""
    lab = OverviewLab(demo_pond())
    assert lab.result["filter.tan_load"].value.m == pytest.approx(plan(demo_pond(), until="filter")["filter.tan_load"].value.m, rel=0.02)


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
