"""Places where a plan must not say "enough": daily rests of the pump, an unknown ammonia limit, a cable thicker than the table."""

from __future__ import annotations

import pytest

from pondwright.labs import PowerLab
from pondwright.pond.file import demo_pond, demo_text, parse_pond
from pondwright.pond.findings import findings
from pondwright.pond.night import longest_stop
from pondwright.pond.plan import plan
from pondwright.pond.results import Urgency
from pondwright.units import Q


def changed(*pairs):
    text = demo_text()
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new, 1)
    return parse_pond(text)


def found(pond):
    return {f.key: f for f in findings(plan(pond))}


@pytest.mark.parametrize("hours, typed, stop", [("24 h/d", "10 h", 10), ("8 h/d", "2 h", 16), ("20 h/d", "10 h", 10)])
def test_a_daily_rest_is_a_stop(hours, typed, stop):
    pond = changed(('hours_per_day = "24 h/d"', f'hours_per_day = "{hours}"'), ('longest_stop = "10 h"', f'longest_stop = "{typed}"'))
    assert longest_stop(pond) == Q(stop, "h")  # 24 - 8 = 16; 24 - 20 = 4, less than the 10 that were typed


def test_many_fish_beside_a_resting_pump_are_in_danger():
    crowd = (("count = 14", "count = 60"), ('length = "12 cm"', 'length = "20 cm"'))
    pond = changed(*crowd, ('hours_per_day = "24 h/d"', 'hours_per_day = "8 h/d"'), ('longest_stop = "10 h"', 'longest_stop = "2 h"'))
    assert found(pond)["fish.hours_to_4"].urgency == Urgency.DANGER


@pytest.mark.parametrize("pair", [('lift = "1.4 m"', 'lift = "4 m"'), ('diet_protein = "32 %"\n', "")])
def test_an_unknown_ammonia_limit_is_never_enough(pair):
    keys = found(changed(pair))
    assert "stocking.enough" not in keys
    assert keys.keys() & {"stocking.ammonia_unknown", "stocking.no_filter"}


def test_no_pump_and_many_fish_is_more_than_a_note():
    pond = changed(("count = 14", "count = 200"), ('length = "12 cm"', 'length = "20 cm"')).model_copy(update={"pump": None})
    assert found(pond)["fish.no_pump"].urgency <= Urgency.FIX


def test_a_thin_cable_is_told_even_where_no_cable_of_the_table_fits():
    pond = changed(('power = "20 W"', 'power = "200 W"'), ('length = "9 m"', 'length = "200 m"'), ('size = "2.5 mm2"', 'size = "0.5 mm2"'))
    stage = plan(pond)["power"]
    assert "pump_fuse" in stage and "cable_needed" not in stage
    # 200 W / 24 V = 8.3 A: no fuse from 1.25 x 8.3 = 10.4 A on protects a cable of half a square millimetre
    assert found(pond)["power.cable_fuse"].urgency == Urgency.DANGER
    PowerLab(pond)


def test_the_demo_stands_as_before():
    assert longest_stop(demo_pond()) == Q(10, "h")
