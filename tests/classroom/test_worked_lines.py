"""Every sum in a worked solution holds to the digits that it shows; a student works it out again on paper."""

from __future__ import annotations

import pytest

from pondwright.classroom import bank, check
from pondwright.science.ammonia import unionized_fraction
from pondwright.units import Q

from .arithmetic import sums

EVERY = [q for lesson in bank.lessons() for q in bank.lesson(lesson)]
IDS = [q.key for q in EVERY]


@pytest.mark.parametrize("question", EVERY, ids=IDS)
def test_the_sums_of_a_worked_line_hold(question):
    worked = question.worked_out()
    found = sums(worked)
    assert [text for text, holds in found if not holds] == [], worked
    assert found or "=" not in worked, f"no sum could be read in: {worked}"


@pytest.mark.parametrize("question", EVERY, ids=IDS)
def test_the_sums_of_hints_and_of_what_is_said_of_slips_hold(question):
    said = [question.asked(), question.hint, *question.choices.values(), *(slip.says for slip in question.slips)]
    assert [text for line in said for text, holds in sums(line) if not holds] == []


@pytest.mark.parametrize(
    "text, holds",
    [
        ("0.62 % is 0.0062, and 0.5 × 0.0062 = 0.00312 mg/L", [True, False]),  # it is 0.0031
        ("1.1 × 0.9 × 0.35 = 0.3465 m³, × 1550 = 537 kg", [True, True]),  # 537.1
        ("1.1 × 0.9 × 0.35 = 0.3465 m³, × 1550 = 540.2 kg", [True, False]),
        ("21 600 L = 21.6 m³ a day", [True]),
        ("21 600 L = 216 m³ a day", [False]),
        ("π × 0.9² = 2.545 m². Volume = 2.545 m² × 0.6 m = 1.527 m³ = 1530 L", [True, True, True]),
        ("(68 − 32) × 5 ÷ 9 = 20 °C", [True]),
        ("−4.639 + 2.920 × log₁₀ 300 = 2.594, and 10 to the power of 2.594 is 393 g", [True, True]),  # 2.5942; 392.6
        ("85 % of 8.26 is 7.12 mg/L", [False]),  # 7.021
        ("the limit is 3, not 4", []),
    ],
)
def test_the_reader_of_sums(text, holds):
    assert [held for _, held in sums(text)] == holds


def test_the_share_that_a_find_the_mistake_gives_is_that_of_its_water():
    """The words say 20 °C and pH 7.2, and the solution reckons with the share that is given."""
    assert unionized_fraction(Q(7.2, "-"), Q(20, "degC")).m_as("%") == pytest.approx(0.62, abs=0.005)
    assert "0.5 × 0.0062 = 0.0031 mg/L" in check("04-6", "0.0031 mg/L")
