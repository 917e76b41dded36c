"""What the filter allows, over pH and warmth, in whole plans: the limit falls as the water gets worse, and every month counts."""
from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pondwright.pond.file import parse_pond
from pondwright.pond.plan import plan
from pondwright.units import unit

WATER = np.array([4, 5, 7, 10, 14, 17, 19, 18, 15, 11, 7, 5], dtype=float)
TEXT = """
[pond]
name = "Yard tank (invented)"
[pond.shape]
kind = "rectangle"
length = "3 m"
width = "2 m"
depth = "0.9 m"
[place]
climate = "seattle"
water_temperature = [{water}]
[fish]
species = "goldfish"
diet_protein = "32 %"
{feed}
[[fish.groups]]
count = 8
length = "14 cm"
[filter]
container = "200 L"
media = "lava_rock"
media_volume = "120 L"
operation = "trickling"
solids_filter = true
[pump]
curve = [{{ flow = "0 L/min", head = "3 m" }}, {{ flow = "40 L/min", head = "0 m" }}]
power = "20 W"
hours_per_day = "24 h/d"
[plumbing]
inside_diameter = "28 mm"
length = "6 m"
lift = "1 m"
[[readings]]
when = "2026-07-15 16:00"
temperature = "{read:.6f} degC"
ph = "{ph:.6f}"
"""


def pond(ph, warmer=0.0, feed=""):
    water = WATER + warmer
    return parse_pond(TEXT.format(water=", ".join(f'"{t:.6f} degC"' for t in water), read=water[6] + 2, ph=ph, feed=feed))


def allowed(ph, warmer=0.0, feed=""):
    """Return the filter's limit on the fish, cautious and typical, in kg."""
    limit = plan(pond(ph, warmer, feed), until="stocking")["stocking.limit_filter"]
    return limit.value.m_as(unit("kg")), limit.typical.m_as(unit("kg"))


@settings(max_examples=25, deadline=None)
@given(ph=st.floats(7.2, 9.6), rise=st.floats(0.01, 1.0), warmer=st.floats(0, 10))
def test_a_higher_ph_never_allows_more_fish(ph, rise, warmer):
    lower, higher = allowed(ph, warmer), allowed(ph + rise, warmer)
    assert all(after <= before * (1 + 1e-9) for before, after in zip(lower, higher, strict=True))


@settings(max_examples=25, deadline=None)
@given(ph=st.floats(8.0, 9.6), warmer=st.floats(0, 10), rise=st.floats(0.1, 5))
def test_warmer_water_never_allows_more_fish(ph, warmer, rise):
    """From pH 8 on the poison sets the limit. Below, the ceiling does, and there the slowest model gains as much as the fish eat more."""
    cooler, hotter = allowed(ph, warmer), allowed(ph, warmer + rise)
    assert all(after <= before * (1 + 1e-9) for before, after in zip(cooler, hotter, strict=True))


@settings(max_examples=15, deadline=None)
@given(ph=st.floats(7.2, 9.6), warmer=st.floats(0, 10), rise=st.floats(0.1, 5))
def test_typically_warmer_water_never_allows_more_fish(ph, warmer, rise):
    assert allowed(ph, warmer + rise)[1] <= allowed(ph, warmer)[1] * (1 + 1e-9)


def test_every_month_of_feeding_counts():
    # the limit is today's mass times the least of capacity/ammonia over the months, cautious with cautious
    p = plan(pond(8.2), until="stocking")
    load, capacity = (p["filter"].series[key].m for key in ("tan_load", "capacity"))
    least = min(c / a for a, c in zip(load, capacity, strict=True) if a > 0)
    assert p["filter.cover"].value.m == pytest.approx(least)
    assert p["stocking.limit_filter"].value.m_as(unit("kg")) == pytest.approx(least * p["fish.biomass"].value.m_as(unit("kg")))


def test_feed_that_is_just_allowed_allows_just_these_fish():
    p = plan(pond(8.2), until="stocking")
    feed = p["filter.feed_allowed"].value.m_as(unit("g/d"))
    p = plan(pond(8.2, feed=f'feed = "{feed:.9f} g/d"'), until="stocking")
    assert p["filter"].facts["month"] == "July"  # the warmest, for which a typed feed is told
    assert p["filter.cover"].value.m == pytest.approx(1.0)
    assert p["stocking.limit_filter"].value.m == pytest.approx(p["fish.biomass"].value.m)
