"""Checks an answer at once: is there one, is it the right kind of quantity, is its size right, and if not, which slip fits."""

from __future__ import annotations

import math

from ..units import Q, Quantity, QuantityError, Said, read, round_text, short, show, unit
from . import bank
from .question import Question

# Slips that any question may meet: factor = given / right answer. Exact ratios of units.
_FACTORS = (
    (1000, "Your number is 1000 times too large. Look at the prefix: L and m³, mg and g, m and mm each differ by 1000."),
    (1 / 1000, "Your number is 1000 times too small. Look at the prefix: L and m³, mg and g, m and mm each differ by 1000."),
    (60, "Your number is 60 times too large: minutes and hours (or seconds and minutes) got mixed."),
    (1 / 60, "Your number is 60 times too small: minutes and hours (or seconds and minutes) got mixed."),
    (24, "Your number is 24 times too large: hours and days got mixed."),
    (1 / 24, "Your number is 24 times too small: hours and days got mixed."),
    (4.54609 / 3.785411784, "Your number fits US and imperial gallons mixed up: 1 imperial gallon is 1.2 US gallons."),
    (3.785411784 / 4.54609, "Your number fits US and imperial gallons mixed up: 1 US gallon is 0.83 imperial gallons."),
    (100, "Your number is 100 times too large: a percentage and a fraction got mixed, or cm and m."),
    (1 / 100, "Your number is 100 times too small: a percentage and a fraction got mixed, or cm and m."),
)
SPARE = 1.25  # "at least" and "at most" take up to a quarter more or less


class Verdict(Said):
    """A sentence that shows itself without quotes; `right` says whether the answer was."""

    right: bool

    def __new__(cls, text: str, right: bool = False):
        verdict = super().__new__(cls, text)
        verdict.right = right
        return verdict


def ask(key: str) -> Verdict:
    """Show the words of a question."""
    return Verdict(bank.question(key).asked())


def check(key: str, answer=None) -> Verdict:
    """Check an answer.

    Parameters
    ----------
    key : str
        The question, such as "01-2".
    answer : str, Quantity or None
        "4240 L", Q(4240, "L"), or the letter of a choice; None means not answered yet.

    Returns
    -------
    Verdict
        A sentence. It never raises for anything that a student may type as an answer.
    """
    question = bank.question(key)
    if answer is None or (isinstance(answer, str) and answer.strip() in ("", "...")):
        return Verdict(f"{key}: not answered yet.")
    text, right = (_judge_word if question.unit == "word" else _judge)(question, answer)
    return Verdict(f"{key}: {text}", right)


def _judge_word(question: Question, answer) -> tuple[str, bool]:
    given = str(answer).strip().lower()
    if given not in question.choices:
        return f"answer with one of {', '.join(question.choices)}.", False
    right = question.solved()
    return (f"Yes. {question.choices[right]}", True) if given == right else (f"Not that one. {question.choices[given]}", False)


def _judge(question: Question, answer) -> tuple[str, bool]:
    try:
        given = answer if isinstance(answer, Quantity) else read(answer, question.unit)
        number = float(given.m_as(unit(question.unit)))
    except QuantityError as error:
        return str(error), False
    except Exception:
        return f'that cannot be read as a number in {short(question.unit)}; write it like "12.5 {question.unit}".', False
    if not math.isfinite(number):
        return "that is not a finite number.", False
    right = float(question.solved().m_as(unit(question.unit)))
    if _fits(question, number, right):
        return _praise(question, number, right), True
    return _slip(question, number, right) or _direction(question, number, right), False


def _fits(question: Question, number: float, right: float) -> bool:
    near = math.isclose(number, right, rel_tol=question.tolerance)
    match question.rule:
        case "at least":
            return near or right <= number <= right * SPARE
        case "at most":
            return near or right / SPARE <= number <= right
        case "count":
            return number == round(right)
    return near


def _praise(question: Question, number: float, right: float) -> str:
    exact = show(Q(right, question.unit), question.unit)
    if question.rule in ("at least", "at most"):
        return f"Yes: {question.rule} {exact} is what it takes."
    return f"Yes: {exact}."


def _slip(question: Question, number: float, right: float) -> str:
    """Name the slips that lead to this very number; two that fit are both offered."""
    fits = [s.says for s in question.slips if _near(number, float(s.leads_to(**question.numbers()).m_as(unit(question.unit))), question)]
    if not fits:
        fits = [words for factor, words in _FACTORS if _near(number, right * factor, question)]
    return "Not yet. " + " Or: ".join(fits) if fits else ""


def _near(number, wrong, question) -> bool:
    return math.isclose(number, wrong, rel_tol=question.tolerance)


def _direction(question: Question, number: float, right: float) -> str:
    if question.rule == "count" and math.isclose(number, right, rel_tol=0.5) and number != round(number):
        return "Nearly: now decide how many whole ones that makes."
    if question.rule == "at least" and number < right:
        return f"Not yet: {round_text(number)} {short(question.unit)} is too little. {question.hint}"
    if question.rule == "at most" and number > right:
        return f"Not yet: {round_text(number)} {short(question.unit)} is too much. {question.hint}"
    return f"Not yet. {question.hint}"
