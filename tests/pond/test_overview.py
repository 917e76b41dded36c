"""Four needs at a glance, from the numbers of the plan."""

from __future__ import annotations

import re

import pytest

from pondwright.pond.file import demo_pond, parse_pond
from pondwright.pond.findings import findings
from pondwright.pond.overview import Need, at_a_glance, first_steps, needs, tightest
from pondwright.pond.plan import plan
from pondwright.units import Q, showing_in

BARE = '[pond.shape]\nkind = "circle"\ndiameter = "2 m"\ndepth = "0.6 m"\n'

KOI = '[fish]\nspecies = "koi"\ngroups = [{ count = 3, length = "10 inch" }]\n'


def test_share_of_what_is_there():
    need = Need("air", "02", Q(8, "h"), Q(20, "h"), "h", "{needed} of {there}")
    assert need.share == pytest.approx(0.4)  # 8 / 20
    assert need.sentence() == "8 h of 20 h"
    assert Need("sun", "07", Q(24, "h/d"), Q(0, "h/d"), "h/d", "").share == float("inf")


def test_the_demo_can_answer_all_four():
    result = plan(demo_pond())
    found = needs(result)
    assert [n.lesson for n in found] == ["02", "04", "08", "09"]
    assert found[0].needed == result.pond.pump.longest_stop and found[0].there == result["fish.hours_to_4"].value
    assert tightest(found).share == max(n.share for n in found)


def test_a_bare_pond_answers_none():
    assert needs(plan(parse_pond(BARE))) == ()
    assert "nothing to compare yet" in at_a_glance(plan(parse_pond(BARE)))


def test_every_line_says_whose_pond_it_is_and_its_lesson():
    result = plan(demo_pond())
    lines = at_a_glance(result).split("\n")
    assert lines == [f"Slipway basin (invented demo): {n.sentence()} Lesson {n.lesson}." for n in needs(result)]
    assert max(map(len, str(at_a_glance(result)).splitlines())) <= 90 < max(map(len, lines))


def test_the_first_steps_are_the_most_urgent_findings():
    result = plan(demo_pond())
    said = first_steps(result, 2)
    for finding in findings(result)[:2]:
        assert finding.what in said and f"Do: {finding.do}" in said
    assert findings(result)[2].what not in said and said.count("Slipway basin (invented demo): ") == 2


@pytest.mark.parametrize(("system", "words", "foreign"), [("us", "US gal", " L"), ("imperial", "imp gal", " L")])
def test_a_lesson_speaks_in_the_units_of_the_pond_file(system, words, foreign):
    text = f'[pond]\nunits = "{system}"\n{BARE}{KOI}'
    result = plan(parse_pond(text))
    said = str(first_steps(result, 9)) + str(result.say("survey.volume"))
    assert words in said and not re.search(rf"\d{foreign}\b", said)


def test_a_reader_s_units_go_before_those_of_the_pond_file():
    with showing_in("metric"):
        result = plan(parse_pond(f'[pond]\nunits = "us"\n{BARE}{KOI}'))
        assert "US gal" not in first_steps(result, 9)
