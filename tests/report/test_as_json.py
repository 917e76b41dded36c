"""Every result as value and unit under a stable dotted name."""
from __future__ import annotations

import json

import pytest

from pondwright.report.as_json import as_json
from pondwright.units import SYSTEMS, unit

from .handmade import NASTY, made


def results(system="metric", name="Quarry puddle (invented)") -> dict:
    return json.loads(as_json(*made(name), system))


def test_names_and_values():
    found = results()
    assert found["filter.capacity"] == {
        "value": 2.0, "unit": "g/d", "low": 2.0, "typical": 4.0, "high": 9.0, "label": "Filter capacity", "decides": True,
        "moved_most_by": "the nitrification rate", "sources": ["GUM", "AH590"], "formulas": [], "widened": False,
        "remarks": ["in the peak month", "moved most by the nitrification rate", "unverified: organic load factor",
                    "extrapolated: temperature 3 °C; the source vouches for 8 to 24 °C (JCGM 100)"]}
    assert found["survey.volume"]["formulas"] == ["geometry.prism_volume"]
    assert found["survey.feed.series"] == {"value": [float(n) for n in range(12)], "unit": "g/d"}
    assert found["filter.facts.binds"] == {"value": "oxygen", "unit": ""}
    assert found["power.missing"]["value"] == "Not planned yet: needs [power] with voltage and a panel."
    assert found["finding.filter.short"]["urgency"] == "danger"


@pytest.mark.parametrize("system", SYSTEMS)
def test_every_entry_has_a_value_and_a_unit_that_can_be_read_back(system):
    for key, entry in results(system).items():
        assert "." in key and {"value", "unit"} <= entry.keys()
        if not isinstance(entry["value"], str):
            unit(entry["unit"])


def test_systems():
    assert results("us")["survey.volume"] | {"value": 0} == results("us")["survey.volume"] | {"value": 0}
    assert results("us")["survey.volume"]["value"] == pytest.approx(8000 / 3.785411784, rel=1e-5)
    assert results("imperial")["survey.volume"]["value"] == pytest.approx(8000 / 4.54609, rel=1e-5)
    assert results("us")["survey.feed.series"]["unit"] == "oz/d"


def test_a_nasty_name_is_text():
    text = as_json(*made(NASTY))
    assert text.isascii() and "\\u001b" not in text
    assert json.loads(text)["pond.name"]["value"].startswith("<script>alert(1)</script> [bold]")
