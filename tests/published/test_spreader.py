"""A drilled pipe: printed discharge of holes, and how evenly they share, against a numerical integration."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pondwright.science import spreader as s
from pondwright.units import Q
from tests.grades import hand_worked, independent, published

from .reference import each, rows


def hole_and_head(row):
    hole, head = row.numbers()[:2]
    return Q(hole, "inch"), head


@each("open_flow", "^orifice discharge, drilled hole")
@published(s.hole_head, "New Jersey Administrative Code 7:9A-9.7, table of hole discharge")
def test_holes_of_the_sewage_code(row):
    """The code's 11.79 d² sqrt(h) is a coefficient of 0.60; a flow 2 % off is a head 4 % off."""
    hole, head = hole_and_head(row)
    got = s.hole_head(Q(row.value, "US gpm"), hole, cd=0.6)
    assert got.m_as("ft") == pytest.approx(head, rel=0.04)


@each("open_flow", "^orifice discharge Cd=0.61")
@hand_worked(s.hole_head)
def test_holes_evaluated(row):
    hole, head = hole_and_head(row)
    assert s.hole_head(Q(row.value, "US gpm"), hole).m_as("ft") == pytest.approx(head, rel=0.01)


@hand_worked(s.area_ratio, s.most_holes)
def test_the_ratio_of_areas():
    # 12 holes of 5 mm in 25 mm: 0.61 x 12 x 0.04 = 0.2928
    assert float(s.area_ratio(12, Q(5, "mm"), Q(25, "mm")).m) == pytest.approx(0.2928)
    # 10 % less in the first: arccos 0.9 = 0.4510; 0.4510/(0.61 x 0.04) = 18.48, so 18 holes
    assert float(s.most_holes(0.10, Q(5, "mm"), Q(25, "mm")).m) == 18


@each("open_flow", "^flow ratio first/last hole")
@hand_worked(s.first_to_last)
def test_first_and_last_hole(row):
    ratio = float(re.search(r"= ([\d.]+) ", row.inputs)[1])
    row.assert_close(float(s.first_to_last(ratio).m))


def test_the_rule_of_a_tenth_and_the_rule_of_half():
    # total hole area 0.74 of the pipe's area is r = 0.61 x 0.74 = 0.4514; "at most half" is r = 0.305
    assert float(s.first_to_last(0.61 * 0.74).m) == pytest.approx(0.90, abs=0.002)
    assert float(s.first_to_last(0.61 * 0.5).m) == pytest.approx(0.95, abs=0.005)


@independent(s.first_to_last, s.manifold_head, "a pipe of 400 small holes, hole by hole, solved from its closed end")
@pytest.mark.parametrize("ratio", [0.3, 0.7, 1.0])
def test_hole_by_hole(ratio):
    """From the closed end back: each hole gives cd a sqrt(2 g h), and h falls by the gain of V²/2g, with no loss."""
    bore, count, g, end_head = 0.025, 400, 9.80665, 0.2
    pipe = math.pi / 4 * bore**2
    working = ratio * pipe / count  # cd times the area of one hole
    flow, energy = 0.0, end_head
    holes = []
    for _ in range(count):
        head = energy - (flow / pipe) ** 2 / (2 * g)
        holes.append(working * math.sqrt(2 * g * head))
        flow += holes[-1]
    assert holes[-1] / holes[0] == pytest.approx(float(s.first_to_last(ratio).m), abs=0.01)
    head = s.manifold_head(Q(flow * 60_000, "L/min"), Q(bore, "m"), ratio)
    assert head.m_as("m") == pytest.approx(end_head, rel=0.01)


@hand_worked(s.manifold_head)
def test_a_pipe_with_few_holes_takes_the_head_of_one_hole():
    # ten holes of 4 mm in 40 mm: r = 0.061, sin r = r within 0.1 %; 10 L/min is 1 L/min a hole
    pipe = s.manifold_head(Q(10, "L/min"), Q(40, "mm"), s.area_ratio(10, Q(4, "mm"), Q(40, "mm")))
    assert pipe.m_as("cm") == pytest.approx(s.hole_head(Q(1, "L/min"), Q(4, "mm")).m_as("cm"), rel=2e-3)


def test_printed_rule_of_heads_and_flows():
    """Kitsap County: 10 % more flow from a hole means 21 % more head, 15 % means 32 %."""
    for row, more in zip(rows("open_flow", "^manifold uniformity"), (1.10, 1.15), strict=True):
        heads = [s.hole_head(Q(f, "L/min"), Q(5, "mm")).m for f in (1.0, more)]
        assert 100 * (heads[1] / heads[0] - 1) == pytest.approx(row.value, abs=0.5)


@given(st.integers(2, 60), st.floats(2, 12))
def test_clogging_a_third_makes_the_rest_more_even_and_needs_more_head(holes, hole):
    before = float(s.area_ratio(holes, Q(hole, "mm"), Q(60, "mm")).m)
    after = float(s.area_ratio(max(holes * 2 // 3, 1), Q(hole, "mm"), Q(60, "mm")).m)
    if before < 1.5:
        assert s.first_to_last(after) >= s.first_to_last(before)
        heads = [s.manifold_head(Q(20, "L/min"), Q(60, "mm"), r).m for r in (before, after)]
        assert heads[1] > heads[0] and np.all(np.isfinite(heads))


@hand_worked(s.manifold_loss)
@pytest.mark.parametrize("feeding, drilled, holes", [(28, 28, 28), (26, 35, 14), (34, 20, 9)])
def test_the_loss_of_a_drilled_pipe_is_its_head(feeding, drilled, holes):
    """20 L/min: the head of the drilled pipe, by its own formula, is K v²/(2 g) with the speed v in the pipe that feeds it."""
    ratio = s.area_ratio(holes, Q(6, "mm"), Q(drilled, "mm"))
    speed = 20 / 60_000 / (math.pi / 4 * (feeding / 1000) ** 2)
    head = s.manifold_head(Q(20, "L/min"), Q(drilled, "mm"), ratio).m_as("m")
    assert s.manifold_loss(ratio, feeding / drilled).m * speed**2 / (2 * 9.80665) == pytest.approx(head, rel=1e-6)
