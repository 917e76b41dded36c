"""Reads the sums that stand in a text ("0.35 m × 1.2 m = 0.42 m²") and works them out again, to the digits that are shown."""

from __future__ import annotations

import itertools
import math
import operator
import re
from dataclasses import dataclass

from pondwright.units import Quantity, unit

# what may stand behind a number as its unit; any other word ends a sum
_UNITS = (
    "m³/m²/day g/m²/d mg/L/h L/min L/h mg/L g/day g/d kWh/m² kg/m³ cm³/s cm/s m³/s m/s ohm/km h/day m³ m² cm² cm mm km m L kg mg g oz lb "
    "min h d W Wh V A Ah J mol µmol"
).split()
_TOKEN = re.compile(
    r"(?P<number>\d+(?:\.\d+)?)|(?P<unit>(?:" + "|".join(map(re.escape, sorted(_UNITS, key=len, reverse=True))) + r")(?![\w²³/]))"
    r"|(?P<equals>=)|(?P<sign>[-+*/^()])|(?P<power>[²³])|(?P<percent>%)|(?P<pi>π)|(?P<log>log₁₀)|(?P<stop>[;,:.])|(?P<word>[^\W\d][^\s;,:.]*|\S)"
)
_PLAIN = {"×": "*", "÷": "/", "−": "-", "°C": "", "to the power of": "^"}
_SIGNS = {"+": operator.add, "-": operator.sub, "*": operator.mul, "/": operator.truediv, "^": operator.pow}
_JOINS = {"and", "so", "then"}


@dataclass(frozen=True)
class _Value:
    """What one side of a sum comes to: as a quantity (None where its units do not go together), and as numbers without their units."""

    quantity: Quantity | None
    number: float
    shown: str = ""  # its digits, where it is a single number

    def meet(self, sign: str, other: _Value) -> _Value:
        number = _SIGNS[sign](self.number, other.number)
        if self.quantity is None or other.quantity is None:
            return _Value(None, number)
        try:
            return _Value(_SIGNS[sign](self.quantity, other.quantity), number)
        except Exception:  # pint has a sort of its own for each way in which units can clash
            return _Value(None, number)


class _Side:
    """Works out one side of a sum; it is None where its words are no sum."""

    def __init__(self, tokens: list[tuple[str, str]], before: _Value | None = None):
        self.tokens, self.at, self.before = tokens, 0, before

    def value(self) -> _Value | None:
        try:
            found = self._sum()
        except (ValueError, ZeroDivisionError, IndexError):
            return None
        return found if self.at == len(self.tokens) else None

    def _next(self, *texts: str) -> str | None:
        if self.at < len(self.tokens) and self.tokens[self.at][1] in texts:
            self.at += 1
            return self.tokens[self.at - 1][1]
        return None

    def _sum(self) -> _Value:
        found = self._product()
        while sign := self._next("+", "-"):
            found = found.meet(sign, self._product())
        return found

    def _product(self) -> _Value:
        found = self.before if self.at == 0 and self.before else self._power()
        while sign := self._next("*", "/"):
            found = found.meet(sign, self._power())
        return found

    def _power(self) -> _Value:
        found = self._one()
        if power := self._next("²", "³"):
            return found.meet("^", _Value(Quantity("²³".index(power) + 2), "²³".index(power) + 2))
        return found.meet("^", self._one()) if self._next("^") else found

    def _one(self) -> _Value:
        kind, text = self.tokens[self.at]
        self.at += 1
        if text == "-":
            return _Value(Quantity(0.0), 0.0).meet("-", self._power())
        if text == "(":
            found = self._sum()
            if not self._next(")"):
                raise ValueError("a bracket is open")
            return found
        if kind == "pi":
            return _Value(Quantity(math.pi), math.pi)
        if kind == "log":
            number = math.log10(self._one().number)
            return _Value(Quantity(number), number)
        if kind != "number":
            raise ValueError(text)
        number, behind = float(text), self.tokens[self.at] if self.at < len(self.tokens) else ("", "")
        self.at += behind[0] in ("unit", "percent")
        if behind[0] == "percent":
            return _Value(Quantity(number / 100), number / 100, text)
        return _Value(Quantity(number, unit(behind[1])) if behind[0] == "unit" else Quantity(number), number, text)


def sums(text: str) -> list[tuple[str, bool]]:
    """List each sum of a text as it is read, and whether both sides are the same, to half the last digit that the right one shows."""
    found, before = [], None
    for joined, sides in _clauses(text):
        goes_on = before if joined and sides[0] and sides[0][0][1] in ("*", "/") else None
        values = [_Side(tokens, goes_on if n == 0 else None).value() for n, tokens in enumerate(sides)]
        for (left, told), (right, digits) in itertools.pairwise(zip(values, sides, strict=True)):
            if left is not None and right is not None:
                found.append((f"{_write(told)} = {_write(digits)}", _same(left, right)))
        before = values[-1] or before
    return found


def _clauses(text: str) -> list[tuple[bool, list[list[tuple[str, str]]]]]:
    """Cut a text at its words and stops, and each part at its equals signs; the first says whether it follows a comma or semicolon."""
    for sign, plain in _PLAIN.items():
        text = text.replace(sign, plain)
    text = re.sub(r"(?<=\d) (?=\d{3}(?!\d))", "", text)  # 21 600
    text = re.sub(r"% of (?=\d)", "% * ", text)
    found, sides, joined, bound = [], [[]], False, True
    for m in _TOKEN.finditer(text):
        kind, part = m.lastgroup, m[0]
        if kind == "equals" or (part in ("is", "are") and bound and sides[-1]):
            sides.append([])
        elif kind in ("stop", "word"):
            found.append((joined, sides))
            sides, joined, bound = [[]], part in (";", ","), kind == "stop" or part in _JOINS
        else:
            sides[-1].append((kind, part))
    return [*found, (joined, sides)]


def _same(left: _Value, right: _Value) -> bool:
    found = left.number
    if left.quantity is not None and right.quantity is not None and left.quantity.check(right.quantity.dimensionality):
        found = left.quantity.m_as(right.quantity.units) / right.quantity.m * right.number
    return abs(right.number - found) <= _half_a_digit(right.shown) * (1 + 1e-9) + 1e-9 * abs(found)


def _half_a_digit(shown: str) -> float:
    """Return half of the last digit; the zeros at the end of a whole number may stand for any digits."""
    if not shown:
        return 0.0
    whole, _, behind = shown.partition(".")
    return 0.5 * 10.0 ** (-len(behind) if behind else len(whole) - len(whole.rstrip("0")))


def _write(tokens: list[tuple[str, str]]) -> str:
    return " ".join(part for _, part in tokens)
