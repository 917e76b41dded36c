"""What a question is: words with numbers in them, one function for the answer, and the slips it can tell apart."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from ..units import Quantity, read, short, show


@dataclass(frozen=True)
class Slip:
    """A likely mistake: what to say, and the answer it leads to (called with the question's numbers)."""

    says: str
    leads_to: Callable[..., Quantity]


@dataclass(frozen=True)
class Question:
    """One question.

    Parameters
    ----------
    key : str
        "01-2": lesson and number; "01-t1" for the *Try it yourself* questions inside the lesson.
    text : str
        The words; ``{name}`` stands for a number of `given`.
    given : mapping
        The numbers as text with units; the answer and the slips are called with them as Quantities.
    answer : callable
        Computes the answer from the numbers with library formulas.
    unit : str
        The unit in which the answer is asked for, or "word" for a choice among `choices`.
    rule : str
        "value" (within `tolerance`), "at least" (up to a quarter more will do), "at most" (down to a quarter less), "count" (a whole
        number).
    tolerance : float
        Relative; 0.02 for one formula, 0.03 for several steps.
    slips : tuple of Slip
        Beside these, wrong powers of 1000, minutes for hours and US for imperial gallons are always looked for.
    worked : str
        The solution in words, with the same ``{name}`` and ``{answer}``.
    hint : str
        One nudge, shown with a wrong answer that fits no slip.
    kind : str
        "numbers" (with units), "conversion" (of units), "choice" (of a design) or "mistake" (to find); each worksheet has all four.
    """

    key: str
    text: str
    given: Mapping[str, str]
    answer: Callable[..., object]
    unit: str
    worked: str
    hint: str = "Read the question once more and write down what is given, each with its unit."
    rule: str = "value"
    tolerance: float = 0.02
    slips: tuple[Slip, ...] = ()
    choices: Mapping[str, str] = field(default_factory=dict)
    kind: str = "numbers"

    def numbers(self) -> dict[str, Quantity]:
        return {name: read(text) for name, text in self.given.items()}

    def asked(self) -> str:
        """Return the words with their numbers in them."""
        return self.text.format(**self._shown())

    def solved(self):
        """Return the answer: a Quantity, or a word."""
        return self.answer(**self.numbers())

    def answer_shown(self) -> str:
        """Write the right answer for people: "1530 L", "20 °C", or the letter."""
        right = self.solved()
        return show(right, self.unit, digits=4 if self.rule == "at least" else 3) if isinstance(right, Quantity) else right

    def worked_out(self) -> str:
        """Return the solution in words, with its numbers."""
        return self.worked.format(**self._shown(), answer=self.answer_shown())

    def _shown(self) -> dict[str, str]:
        """Return the given numbers for people to read: 12 m2 as 12 m², 68 degF as 68 °F."""
        parts = {name: text.rpartition(" ") for name, text in self.given.items()}
        return {name: f"{number}{space}{short(unit)}" for name, (number, space, unit) in parts.items()}
