"""Pond files at the edge of what a file may hold: a plan, its findings, and no warning that leaks out beside the marks."""

from __future__ import annotations

import warnings

import pytest

from pondwright.pond.file import PondFileError, demo_text, parse_pond
from pondwright.pond.findings import findings
from pondwright.pond.plan import plan

HOT, COLD = (f'elevation = "8 m"\nwater_temperature = [{", ".join([f"{t!r}"] * 12)}]' for t in ("45 degC", "-2 degC"))
EDGES = {
    "a pond on a high mountain": ('elevation = "8 m"', 'elevation = "6000 m"', "fish.night_saturation", "pressure"),
    "a pond below the sea": ('elevation = "8 m"', 'elevation = "-450 m"', None, None),
    "water hotter than any fish bears": ('elevation = "8 m"', HOT, "fish.night_saturation", "temperature"),
    "water at the edge of freezing all year": ('elevation = "8 m"', COLD, None, None),
    "a filter as wide as a thumb nail": ('plan_area = "0.25 m2"', 'plan_area = "0.0001 m2"', None, None),
    "a filter as wide as a lake": ('plan_area = "0.25 m2"', 'plan_area = "100000 m2"', None, None),
    "one tiny fish": ('length = "12 cm"', 'length = "1 cm"', "fish.biomass", "length"),
}


@pytest.mark.parametrize("old, new, dotted, outside", EDGES.values(), ids=EDGES)
def test_a_plan_at_the_edge_warns_in_its_marks_only(old, new, dotted, outside):
    assert old in demo_text()
    pond = parse_pond(demo_text().replace(old, new, 1))
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        made = plan(pond)
        findings(made)
    if dotted:
        assert outside in {e.parameter for e in made[dotted].extrapolated}


def test_an_area_that_no_formula_takes_is_a_fault_of_the_file():
    with pytest.raises(PondFileError, match="filter.plan_area: '0.00001 m2' must be at least 0.0001 m2"):
        parse_pond(demo_text().replace('plan_area = "0.25 m2"', 'plan_area = "0.00001 m2"'))
