"""Checks an answer at once: is there one, is it the right kind of quantity, is its size right, and if not, which slip fits.

After a right answer, or a second wrong one, the solution is shown worked out.
"""

from __future__ import annotations

import math

from ..units import Paragraph, Q, QuantityError, round_text, short, show, unit
from . import bank
from .question import Question
from .reading import echo, letter, quantity

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
CLOSE = 3  # times the tolerance: so near, a number was most likely rounded on the way
HUGE = 1e99  # of any unit
MISSES = 2  # wrong answers after which the solution is shown

_missed: dict[str, set] = {}  # the wrong answers to each question since this Python started; the same one twice is one


class Verdict(Paragraph):
    """A sentence that shows itself without quotes; `right` says whether the answer was."""

    right: bool

    def __new__(cls, text: str, right: bool = False):
        verdict = super().__new__(cls, text)
        verdict.right = right
        return verdict


def ask(key: str) -> Verdict:
    """Show the words of a question."""
    return Verdict(bank.question(key).asked())


def check(key: str, answer=None, *rest) -> Verdict:
    """Check an answer.

    Parameters
    ----------
    key : str
        The question, such as "01-2".
    answer : str, Quantity or None
        "4240 L", Q(4240, "L"), or the letter of a choice; None means not answered yet.
    *rest
        What Python makes of an answer without quotes, such as 12,5: two numbers.

    Returns
    -------
    Verdict
        A sentence. It never raises for anything that a student may type as an answer.
    """
    question = bank.question(key)
    answer = (answer, *rest) if rest else answer
    if answer is None or (isinstance(answer, str) and answer.strip() in ("", "...")):
        return Verdict(f"{key}: not answered yet.")
    text, right = (_judge_word if question.unit == "word" else _judge)(question, answer)
    return Verdict(f"{key}: {text}", right)


def _judge_word(question: Question, answer) -> tuple[str, bool]:
    given = letter(answer, question.choices)
    if given is None:
        return f'answer with one of the letters {", ".join(question.choices)} in quotes, such as "{next(iter(question.choices))}".', False
    if given == question.solved():
        return f"{given} is right. {question.choices[given]}", True
    return _missing(question, given, f"{given}: not that one. {question.choices[given]}"), False


def _judge(question: Question, answer) -> tuple[str, bool]:
    try:
        given, remark = quantity(answer, question.unit)
        number = float(given.m_as(unit(question.unit)))
    except QuantityError as error:
        return str(error), False
    if not math.isfinite(number):
        return "that is not a finite number.", False
    if abs(number) > HUGE:
        return "that is larger than anything that these questions ask for.", False
    right = float(question.solved().m_as(unit(question.unit)))
    said = f"{echo(answer)}{f' (read as {remark})' if remark else ''}"
    if _fits(question, number, right):
        return f"{said} is right{_limit(question, right)}. {question.worked_out()}", True
    wrong = f"{said}: not yet. {_slip(question, number, right) or _direction(question, number, right)}"
    return _missing(question, round_text(number), wrong), False


def _missing(question: Question, wrong: str, text: str) -> str:
    """Note a wrong answer, and add the solution to what is said about the second one."""
    missed = _missed.setdefault(question.key, set())
    missed.add(wrong)
    return text if len(missed) < MISSES else f"{text}\nWorked out: {question.worked_out()}"


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


def _limit(question: Question, right: float) -> str:
    if question.rule in ("at least", "at most"):
        return f": {question.rule} {show(Q(right, question.unit), question.unit)} is what it takes"
    return ""


def _slip(question: Question, number: float, right: float) -> str:
    """Name the slips that lead to this very number; two that fit are both offered."""
    fits = [s.says for s in question.slips if _near(number, float(s.leads_to(**question.numbers()).m_as(unit(question.unit))), question)]
    if not fits:
        fits = [words for factor, words in _FACTORS if _near(number, right * factor, question)]
    return " Or: ".join(fits)


def _near(number, wrong, question) -> bool:
    return math.isclose(number, wrong, rel_tol=question.tolerance)


def _direction(question: Question, number: float, right: float) -> str:
    if question.rule == "count" and math.isclose(number, right, rel_tol=0.5) and number != round(number):
        return "Nearly: now decide how many whole ones that makes."
    given = f"{round_text(number)} {short(question.unit)}".strip()
    if question.rule == "at least" and number < right:
        return f"{given} is too little. {question.hint}"
    if question.rule == "at most" and number > right:
        return f"{given} is too much. {question.hint}"
    if question.rule == "at least":
        return f"{given} would do, but it is far more than it takes. {question.hint}"
    if question.rule == "at most" and number > 0:
        return f"{given} would be safe, but much more is possible. {question.hint}"
    if question.rule == "value" and math.isclose(number, right, rel_tol=CLOSE * question.tolerance):
        return f"Close, but more than {100 * question.tolerance:.0f} % off: round only at the end. {question.hint}"
    return question.hint
