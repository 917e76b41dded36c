"""Where less works, no more fish are allowed; and what the limits do not tell yet is said, in the number and before anything is enough."""
from __future__ import annotations

import copy
import tomllib

import pytest

from pondwright.pond.file import demo_text
from pondwright.pond.findings import findings
from pondwright.pond.model import Pond
from pondwright.pond.overview import at_a_glance, needs
from pondwright.pond.plan import plan
from pondwright.pond.results import Urgency

DEMO = tomllib.loads(demo_text())
ENDS = ("value", "low", "typical", "high")


def made(*without, lift=None, hours=None, only=None, fish=None):
    """Plan the demo pond without some sections (or with `only` some), with another lift, other hours of the pump, other fish."""
    left = [key for key in DEMO if key not in without and (only is None or key in ("pond", *only))]
    data = {key: copy.deepcopy(DEMO[key]) for key in left}
    if lift is not None:
        data["plumbing"]["lift"] = lift
    if hours is not None:
        data["pump"]["hours_per_day"] = hours
    if fish is not None:
        data["fish"] |= fish
    return plan(Pond.model_validate(data))


def told(done):
    return {f.key: f for f in findings(done) if f.key.startswith("stocking.")}


def allowed(done):
    return [getattr(done["stocking.limit"], end).m_as("kg") for end in ENDS]


# ------------------------------------------------------------------------------------------------------------- less flow, fewer fish


def test_a_higher_lift_never_allows_more_fish():
    """The demo's pump lifts 3.6 m at most: from there on nothing flows, and that is known."""
    before = allowed(made(lift="1.4 m"))
    for lift in ("2.5 m", "3.3 m", "3.5 m", "3.59 m", "3.6 m", "4 m"):
        now = allowed(made(lift=lift))
        assert all(a <= b * (1 + 1e-9) for a, b in zip(now, before, strict=True)), lift
        before = now


def test_nor_do_fewer_hours_of_the_pump():
    before = allowed(made("power"))
    for hours in ("12 h/d", "1 h/d", "0 h/d"):
        now = allowed(made("power", hours=hours))
        assert all(a <= b * (1 + 1e-9) for a, b in zip(now, before, strict=True)), hours
        before = now


def test_a_filter_without_water_is_worth_as_much_as_none():
    """Weekly water changes carry the same ammonia away in both; the pump stops as long in both."""
    still, none = made(lift="4 m"), made("filter", lift="4 m")
    assert still["filter.capacity"].high.m == still["filter.cover"].high.m == 0 and "flow" not in still["plumbing"]
    assert allowed(still) == pytest.approx(allowed(none), rel=1e-9) and still["stocking"].facts["binds"] == "the filter"
    assert any("Where that carries away more ammonia than the filter, 20 %" in a.text for a in still["stocking"].assumptions)
    assert not any("each week" in a.text for a in made()["stocking"].assumptions)  # the demo's filter carries more than any change


def test_a_pump_that_cannot_lift_the_water_is_no_gap_in_the_pond_file():
    done = made(lift="4 m")
    assert not done["stocking"].missing and not done["filter"].missing and "needs a pump" in done["plumbing"].missing[0]
    found = told(done)["stocking.no_filter"]
    assert found.urgency == Urgency.FIX and "(bound by the filter; typical 0.447 kg): the filter converts nothing" in found.what
    too_small = {f.key: f for f in findings(done)}["filter.too_small"]
    assert "converts at least 0 g/day" in too_small.what and "Bring more water through the filter" in too_small.do


def test_lesson_00_still_tells_of_the_filter():
    done = made(lift="4 m")
    assert "the filter converts at least 0 g/day. Lesson 04." in " ".join(str(at_a_glance(done)).split())
    assert next(need for need in needs(done) if need.lesson == "04").share == float("inf")


# ------------------------------------------------------------------------------------------------------ what is not known is said


@pytest.mark.parametrize("only", [("place", "fish"), ("place", "fish", "filter"), ("place", "fish", "filter", "pump", "plumbing")])
def test_a_pond_without_readings_calls_nothing_enough(only):
    """So it stands in lesson 02: shape, place and fish are known, the pH is not."""
    done = made(only=only)
    limit, found = done["stocking.limit"], told(done)
    assert limit.label == "Fish that the limits known so far allow" and limit.note.endswith("what the ammonia allows is not known yet")
    assert all(done[f"stocking.{key}"].note.endswith("not known yet") for key in ("room", "fish_allowed"))
    assert found.keys() == {"stocking.ammonia_unknown"} and found["stocking.ammonia_unknown"].urgency == Urgency.FIX
    assert "now and 6.9 kg grown" in found["stocking.ammonia_unknown"].what and "Add no fish" in found["stocking.ammonia_unknown"].do
    assert not [f for f in findings(done) if "enough for the" in f.what]


def test_too_many_by_another_limit_does_not_hide_that_the_ammonia_is_unknown():
    found = told(made("readings"))
    assert found["stocking.too_many"].what.startswith("The limits known so far allow 1.6 kg of fish (bound by oxygen")
    assert found["stocking.ammonia_unknown"].urgency == Urgency.FIX


@pytest.mark.parametrize("without", [("pump",), ("plumbing",), ("pump", "power")])
def test_a_filter_whose_flow_nobody_knows_counts_as_none(without):
    """Only water changes are counted until its part of the plan is whole: 0.058 kg, as without a filter."""
    done, found = made(*without), told(made(*without))
    assert allowed(done) == pytest.approx(allowed(made(*without, "filter")))
    assert done["stocking.limit"].note.endswith("what the filter converts is not known yet")
    assert "What the filter converts is not known yet. Without it, weekly water changes carry away the ammonia of 0.0584 kg" in (
        found["stocking.ammonia_unknown"].what)
    assert found["stocking.ammonia_unknown"].urgency == Urgency.FIX and "Build a filter" not in str(found)
    assert all("bound by oxygen" in f.what for key, f in found.items() if key == "stocking.too_many")


def test_a_few_small_fish_need_no_filter_and_are_not_asked_for_one():
    tiny = {"groups": [{"count": 1, "length": "4 cm", "adult_length": "4 cm"}]}
    assert told(made("pump", "power", fish=tiny)).keys() == {"stocking.enough"}


def test_a_whole_plan_says_nothing_of_what_is_unknown():
    done = made()
    assert done["stocking.limit"].label == "Fish that this pond allows" and done["stocking.limit"].note == "bound by the filter"
    assert not [key for key in told(done) if key.endswith("unknown")]
