"""The kinds of fields that a pond file has: quantities with their limits, lists of readings, and the rules that all sections share."""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field

from ..units import Quantity, QuantityError, read, unit


def measure(wanted: str, *, at_least: float | None = 0, above: float | None = None, at_most: float | None = None):
    """Make a field type: text with a unit such as `wanted` (or a Quantity of that kind), inside a range given in that unit."""
    return Annotated[Any, BeforeValidator(_within(wanted, at_least, above, at_most))]


def _within(wanted: str, at_least: float | None, above: float | None, at_most: float | None):
    target = unit(wanted)

    def check(value):
        quantity = value if isinstance(value, Quantity) and value.is_compatible_with(target) else read(value, wanted)
        number, value = quantity.m_as(target), " ".join(str(value).split())
        if above is not None and number <= above:
            raise QuantityError(f"'{value}' must be more than {above:g} {wanted}.".replace(" -.", "."))
        if at_least is not None and number < at_least:
            raise QuantityError(f"'{value}' must be at least {at_least:g} {wanted}.".replace(" -.", "."))
        if at_most is not None and number > at_most:
            raise QuantityError(f"'{value}' must be at most {at_most:g} {wanted}.".replace(" -.", "."))
        return quantity

    return check


def one_or_more(field):
    """Make a field type: one value, or a list of repeated readings; kept as a tuple."""
    return Annotated[tuple[field, ...], BeforeValidator(lambda v: tuple(v) if isinstance(v, list | tuple) else (v,)), Field(min_length=1)]


_PARTICLES = re.compile(r"mol|eq\b|val\b|°?fH\b|°f\b", re.IGNORECASE)


def milligrams(counted: str, *, at_most: float):
    """Make a field type: mg/L; for those whose test counts particles or French degrees, `counted` says what one of them is."""
    plain = _within("mg/L", 0, None, at_most)

    def check(value):
        try:
            return plain(value)
        except QuantityError:
            if isinstance(value, str) and _PARTICLES.search(value):
                raise QuantityError(f"'{' '.join(value.split())}': write it in mg/L; {counted}.") from None
            raise

    return Annotated[Any, BeforeValidator(check)]


def whole(at_least: int, at_most: int):
    """Make a field type: a whole number, which stands in a pond file without quotes; text, yes and no are not taken for one."""
    return Annotated[int, Field(strict=True, ge=at_least, le=at_most)]


def row_of(table: str, called: str):
    """Make a field type: a word that names a row of a table; `called` is what people call that table."""
    return Annotated[str, AfterValidator(lambda word: _row(word, table, called))]


def counts_of(table: str, called: str, counted):
    """Make a field type: words that name rows of a table, each with how many there are of it."""
    def check(counts: dict) -> dict:
        for word in counts:
            _row(word, table, called)
        return counts

    return Annotated[dict[str, counted], AfterValidator(check)]


def _row(word: str, table: str, called: str) -> str:
    from ..tables import load

    keys = dict.fromkeys(load(table).keys())  # the climate table has twelve rows for each of its places
    if word not in keys:
        raise QuantityError(f"'{word}' is not in the {called} table; it holds {', '.join(keys)}.")
    return word


def _named(name: str) -> str:
    if not name:
        raise QuantityError("an empty name was given; a few words would do.")
    return name


Length = measure("m", at_least=0.1, at_most=200)
Depth = measure("m", at_least=0.02, at_most=10)
Sounding = measure("m", at_most=10)
Area = measure("m2", at_least=1e-4, at_most=1e5)
Temperature = measure("degC", at_least=-60, at_most=60)
WaterTemperature = measure("degC", at_least=-2, at_most=45)
Chloride = milligrams("1 mmol/L of chloride is 35.5 mg/L", at_most=100_000)
Hardness = milligrams("1 mmol/L of hardness is 100 mg/L as CaCO3, 1 French degree 10 mg/L", at_most=100_000)
# as CaCO3; 4000 is more than any soda lake, and what the carbonate formulas reach
Alkalinity = milligrams("1 meq/L, or 1 mmol/L of acid capacity, is 50 mg/L as CaCO3, 1 French degree 10 mg/L", at_most=4000)
Nitrogen = milligrams("1 mmol/L is 14 mg/L as N", at_most=1000)
Share = measure("%", at_most=100)
Power = measure("W", above=0, at_least=None, at_most=5000)
Hours = measure("h/d", at_most=24)
YesNo = Annotated[bool, Field(strict=True)]
Words = Annotated[str, AfterValidator(str.strip), Field(max_length=2000)]
Name = Annotated[Words, AfterValidator(_named)]


class Section(BaseModel):
    """Shared rules: no unknown keys, nothing changed after reading."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)
