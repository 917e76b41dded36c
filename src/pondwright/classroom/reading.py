"""Reads what a student types as an answer, as kindly as can be without guessing what kind of quantity was meant."""

from __future__ import annotations

import re

from ..units import Quantity, QuantityError, kind_of, read, read_noting, round_text, short, unit, write_unit

_DAY = unit("d")
_LONGEST = 40  # characters of an answer that are said back
_COUNTED = re.compile(r"^(?P<times>[x×])?\s*(?P<number>[-+]?[\d.,/]+)\s*(?P<words>[x×]|[^\W\d_]+(?:\s[^\W\d_]+){0,5})?\.?$")
_LETTER = re.compile(r"^\W*(?:(?:answer|choice|letter)\b)?\W*(?P<letter>[a-z])(?:\W*$|[).:,]\s)")


def letter(answer, choices) -> str | None:
    """Return the letter of a choice, written "b", "B", "(b)", "b." or "b) Take a wider pipe"; None where it is none of `choices`."""
    found = _LETTER.match(answer.lower()) if isinstance(answer, str) else None
    return found["letter"] if found and found["letter"] in choices else None


def quantity(answer, wanted: str) -> tuple[Quantity, str]:
    """Read an answer as a quantity of the kind of `wanted`.

    A counted thing ("8 times", "15 buckets") is a plain number. What is meant for one day may be written with or without "a day", where the
    question asks for the other; the second value then says how it was read.

    Returns
    -------
    tuple of Quantity and str
        The quantity, and how the answer was read where that is not how it was written.

    Raises
    ------
    QuantityError
        One sentence: what was given, why it cannot be used, what would do.
    """
    if isinstance(answer, tuple | list):
        return _several(answer, wanted)
    try:
        if isinstance(answer, Quantity):
            return _of_kind(answer, wanted), ""
        given, note = read_noting(answer, wanted)
        return given, note.partition(" is read as ")[2].partition(":")[0]
    except QuantityError as error:
        if (found := _counted(answer, wanted) or _in_one_day(answer, wanted)) is not None:
            return found
        bare = isinstance(answer, int | float) and not isinstance(answer, bool) and unit(wanted) != unit("-")
        raise QuantityError(f'{error} Put it in quotes: "{answer} {wanted}".' if bare else str(error)) from None


def _of_kind(given: Quantity, wanted: str) -> Quantity:
    if hasattr(given.magnitude, "__len__"):
        raise QuantityError(f"several numbers were given; one is needed, such as '1.5 {wanted}'.")
    try:
        given.m_as(unit(wanted))
    except Exception:
        raise QuantityError(f"'{echo(given)}' is {kind_of(given)}; {kind_of(unit(wanted))} is needed, such as '1.5 {wanted}'.") from None
    return given


def _several(parts, wanted: str) -> tuple[Quantity, str]:
    """Put together what Python took apart: 12,5 without quotes is two whole numbers to it."""
    first, second = parts if len(parts) == 2 else (None, None)
    if _whole(first) and _whole(second) and second >= 0:
        if wanted == "-":
            return read(f"{first}.{second}"), f"{first}.{second}"
        mend = f'"{first},{second} {wanted}"'
        raise QuantityError(f"Python reads {first},{second} as two numbers. Put the answer in quotes, with its unit: {mend}.")
    if isinstance(second, str) and not isinstance(first, tuple | list | dict):
        raise QuantityError(f'number and unit belong inside one pair of quotes, such as "{_plain(f"{first} {second}")}".')
    raise QuantityError("that is more than one answer; write one.")


def _whole(part) -> bool:
    return isinstance(part, int) and not isinstance(part, bool)


def _counted(answer, wanted: str) -> tuple[Quantity, str] | None:
    """Read "8 times" and "15 buckets" where a plain number is asked for; a unit is never taken for a thing that is counted."""
    if wanted != "-" or not isinstance(answer, str) or not (found := _COUNTED.match(answer.strip())):
        return None
    words = found["words"] or found["times"]
    if not words or (words not in ("x", "×") and (_is_unit(words) or _is_unit(words.split()[0]))):
        return None
    return _plain_number(found["number"])


def _plain_number(text: str) -> tuple[Quantity, str] | None:
    try:
        return read(text, "-"), ""
    except QuantityError:
        return None


def _is_unit(words: str) -> bool:
    try:
        unit(words)
    except QuantityError as error:
        return "two meanings" in str(error)
    return True


def _in_one_day(answer, wanted: str) -> tuple[Quantity, str] | None:
    """Read "360 Wh/d" where Wh are asked for, or "1.47 g" where g/d are: the same number, for one day."""
    try:
        given = answer if isinstance(answer, Quantity) else read(answer)
    except QuantityError:
        return None
    asked, daily = unit(wanted), _per_day(given.units)
    meant = given.units * _DAY if daily else given.units / _DAY
    if daily == _per_day(asked) or meant.dimensionality != asked.dimensionality:
        return None
    number = Quantity(given.magnitude, meant).to(asked)
    return number, f"{round_text(number.magnitude, 4)} {short(wanted)}" + (" in one day" if daily else "")


def _per_day(units) -> bool:
    return dict(units._units.items()).get("day") == -1


def echo(answer) -> str:
    """Say an answer back in a few words, as it was written."""
    if isinstance(answer, Quantity):
        try:
            return f"{round_text(float(answer.magnitude), 4)} {short(write_unit(answer.units))}".strip()
        except Exception:
            return _plain(answer)
    return _plain(",".join(map(str, answer)) if isinstance(answer, tuple | list) else answer)


def _plain(answer) -> str:
    text = " ".join("".join(c if c.isprintable() else " " for c in str(answer)).split())
    return text if len(text) <= _LONGEST else f"{text[:_LONGEST]} ..."
