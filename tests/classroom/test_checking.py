"""The checker: kind of quantity first, then size, then the slip that fits."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pondwright.classroom import ask, bank, check
from pondwright.classroom.worksheets import answer_text
from pondwright.units import Q, Quantity, unit

EVERY = [q for lesson in bank.lessons() for q in bank.lesson(lesson)]
IDS = [q.key for q in EVERY]


def test_no_answer_yet():
    assert check("01-2") == "01-2: not answered yet." and not check("01-2").right
    assert repr(check("01-2", "...")) == "01-2: not answered yet."


@pytest.mark.parametrize("answer", ["1527 L", "1.53 m3", "403 US gal", "1530 L", Q(1527, "L"), "1,53 m3"])
def test_any_unit_of_the_right_kind(answer):
    assert check("01-2", answer).right  # pi x 0.9^2 x 0.6 = 1.5268 m3


@pytest.mark.parametrize(
    "answer, words",
    [
        ("6107 L", "diameter where the radius belongs"),  # pi x 1.8^2 x 0.6
        ("1.527 L", "1000 times too small"),
        ("1527 kg", "a mass; a volume is needed"),
        ("1527", "has no unit"),
        (1527, "has no unit"),
        ("1,527 L", "decimal comma or a thousands mark"),
        ("lots", "does not start with a number"),
        ("nan L", "not a finite number"),
        (Q(float("nan"), "L"), "not a finite number"),
        (Q(3, "kg"), "cannot be read as a number in L"),
        ("1650 L", "Not yet."),
    ],
)
def test_what_is_wrong_is_said(answer, words):
    assert words in check("01-2", answer) and not check("01-2", answer).right


@given(st.one_of(st.text(max_size=30), st.floats(), st.none(), st.booleans(), st.lists(st.integers(), max_size=3)))
def test_nothing_a_student_types_raises(answer):
    assert check("01-1", answer).startswith("01-1: ")


def test_an_unknown_question_names_the_known_ones():
    with pytest.raises(KeyError, match="01-1"):
        check("01-99", "1 L")
    with pytest.raises(KeyError, match="lessons"):
        ask("77-1")


@pytest.mark.parametrize("question", EVERY, ids=IDS)
def test_the_right_answer_is_right_and_well_told(question):
    assert check(question.key, answer_text(question)).right
    assert "{" not in question.asked() and "{" not in question.worked.format(**question.given, answer="x")


@pytest.mark.parametrize("question", [q for q in EVERY if q.unit != "word"], ids=[q.key for q in EVERY if q.unit != "word"])
def test_every_slip_is_reached_and_differs_from_the_answer(question):
    right = question.solved().m_as(unit(question.unit))
    wrongs = []
    for slip in question.slips:
        wrong = slip.leads_to(**question.numbers())
        assert isinstance(wrong, Quantity), f"{question.key}: a slip gives a quantity"
        number = wrong.m_as(unit(question.unit))
        assert abs(number - right) > 3 * question.tolerance * abs(right), f"{question.key}: the slip '{slip.says}' is too near the answer"
        assert slip.says in check(question.key, wrong)
        assert not any(math.isclose(number, other, rel_tol=question.tolerance) for other in wrongs), f"{question.key}: two slips agree"
        wrongs.append(number)


@pytest.mark.parametrize("question", [q for q in EVERY if q.unit == "word"], ids=[q.key for q in EVERY if q.unit == "word"])
def test_every_choice_has_its_words(question):
    assert question.solved() in question.choices and len(question.choices) >= 2
    for letter, words in question.choices.items():
        assert words in check(question.key, letter)
        assert check(question.key, letter).right == (letter == question.solved())
