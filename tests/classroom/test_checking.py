"""The checker: kind of quantity first, then size, then the slip that fits."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pondwright.classroom import ask, bank, check, checking
from pondwright.classroom.worksheets import answer_text
from pondwright.units import Q, Quantity, unit

EVERY = [q for lesson in bank.lessons() for q in bank.lesson(lesson)]
IDS = [q.key for q in EVERY]
HOPEFUL = st.text(st.sampled_from("0123456789,./x× LgdWhabc°%()"), max_size=12)


@pytest.fixture(autouse=True)
def nothing_missed_before():
    checking._missed.clear()


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
        (Q(3, "kg"), "'3 kg' is a mass; a volume is needed"),
        (Q([3.0], "L"), "several numbers were given; one is needed"),
        ("1.79e308 L", "larger than anything"),
        ("1650 L", "01-2: 1650 L: not yet."),  # 8 % too much: no slip fits
        ("1585 L", "Close, but more than 2 % off"),  # 1585/1527 = 1.038
    ],
)
def test_what_is_wrong_is_said(answer, words):
    assert words in check("01-2", answer) and not check("01-2", answer).right


def test_far_past_a_least_or_a_most_is_told_which_way():
    assert "400 Ah would do, but it is far more than it takes." in check("08-2", "400 Ah")  # 285.6 Ah at least
    assert "1 kg would be safe, but much more is possible." in check("02-4", "1 kg")  # 1200 / 200 = 6 kg at most


# what a student types without quotes, Python takes apart: (12, 5) is 12,5
@pytest.mark.parametrize(
    "key, answer, words",
    [
        ("00-t1", (12, 5), 'Python reads 12,5 as two numbers. Put the answer in quotes, with its unit: "12,5 L".'),
        ("00-t1", (12.5, "L"), 'number and unit belong inside one pair of quotes, such as "12.5 L".'),
        ("00-t1", ("12.5", "L"), 'inside one pair of quotes, such as "12.5 L".'),
        ("00-t1", (1, 2, 3), "more than one answer"),
        ("00-t1", ([1], "L"), "more than one answer"),
        ("00-t1", 12.5, 'Put it in quotes: "12.5 L".'),
        ("00-t2", "15 L", "'15 L' is a volume; a plain number is needed."),
        ("00-t2", "15 gal", "has two meanings"),
    ],
)
def test_what_python_makes_of_an_answer(key, answer, words):
    assert words in check(key, answer) and not check(key, answer).right
    if isinstance(answer, tuple):
        assert check(key, *answer) == check(key, answer)  # straight in the call, or in a name first


@pytest.mark.parametrize("answer", ["15 buckets", "15", 15, 15.0, (15, 0), "15,0", "15 x", "x15", "15 of them", "15."])
def test_a_counted_thing_is_a_plain_number(answer):
    assert check("00-t2", answer).right  # 180 / 12


@pytest.mark.parametrize("answer", ["8 times", "8x", "×8", "8 times as much water"])
def test_times_is_a_plain_number(answer):
    assert check("01-t2", answer).right and str(answer) in check("01-t2", answer)


def test_what_is_meant_for_one_day_is_taken_either_way_and_said():
    assert check("07-t1", "360 Wh/d").startswith("07-t1: 360 Wh/d (read as 360 Wh in one day) is right.")  # 15 W x 24 h
    assert check("07-t1", "0.36 kWh/day").right
    assert check("04-t1", "1.47 g").startswith("04-t1: 1.47 g (read as 1.47 g/day) is right.")  # 50 x 0.32 x 0.092
    assert "(read as 3 g/day): not yet" in check("04-t1", "3 g")
    assert "needed" in check("01-2", "1527 L/min") and not check("01-2", "1527 L/min").right  # a flow is no volume
    assert "needed" in check("00-2", "900 L")  # nor a volume a flow: its hour was not named
    assert "needed" in check("04-t1", "18 degC")


@pytest.mark.parametrize("answer", ["c", "C", "(c)", "c.", " c ) ", "c) its filter is too small", "answer c", "Answer: (C)"])
def test_a_letter_in_any_dress(answer):
    assert check("00-4", answer).right and check("00-4", answer).startswith("00-4: c is right.")


@pytest.mark.parametrize("answer", ["e", "a larger pump", "cc", 3, ("a", "b"), Q(1, "L"), True])
def test_no_letter_of_the_choice(answer):
    assert 'answer with one of the letters a, b, c, d in quotes, such as "a".' in check("00-4", answer)


def test_the_solution_comes_with_the_right_answer_and_after_a_second_wrong_one():
    worked = "Area = π × 0.9² = 2.545 m²"
    for same in ("1000 L", "1 m3", "1000 L"):  # one and the same wrong number
        assert worked not in check("01-2", same)
    for not_read in ("1000", "lots", "1000 kg"):  # nothing to judge yet
        assert worked not in check("01-2", not_read)
    assert worked in check("01-2", "1100 L") and not check("01-2", "1100 L").right
    assert worked in check("01-2", "1527 L")
    assert "Worked out" not in check("00-4", "a") and "Worked out: Pond c" in check("00-4", "b")


def test_units_are_written_for_people():
    assert "surface of a pond is 12 m²" in ask("01-t3") and "12 m² × 0.8 m" in check("01-t3", "9600 L")
    assert "68 °F" in ask("00-3") and "250 US gal (US gallons)" in ask("01-3") and "= 20 °C." in check("00-3", "20 degC")


def test_a_long_answer_is_printed_in_lines_and_its_numbers_keep_their_units():
    verdict = check("01-2", "1527 L")
    assert "\n" not in verdict and len(verdict) > 100
    lines = str(verdict).splitlines()
    assert len(lines) > 1 and max(map(len, lines)) <= 90
    assert "\n" not in f"{verdict}" and '"12,5 L"' in str(check("00-t1", 12, 5))  # the line would break between 12,5 and L


@given(st.one_of(st.text(max_size=30), st.floats(), st.none(), st.booleans(), st.lists(st.integers(), max_size=3), HOPEFUL))
def test_nothing_a_student_types_raises(answer):
    for key in ("01-1", "00-t2", "00-4", "04-t1"):
        assert check(key, answer).startswith(f"{key}: ") and check(key, answer, answer).startswith(f"{key}: ")


def test_an_unknown_question_names_the_known_ones():
    with pytest.raises(KeyError, match="01-1"):
        check("01-99", "1 L")
    with pytest.raises(KeyError, match="lessons"):
        ask("77-1")


@pytest.mark.parametrize("question", EVERY, ids=IDS)
def test_the_right_answer_is_right_and_well_told(question):
    verdict = check(question.key, answer_text(question))
    assert verdict.right and "{" not in question.asked() and "{" not in question.worked_out()
    assert (question.choices[question.solved()] if question.unit == "word" else question.worked_out()) in verdict


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
