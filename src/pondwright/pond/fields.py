"""The kinds of fields that a pond file has: quantities with their limits, lists of readings, and the rules that all sections share."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field

from ..units import Quantity, QuantityError, read, unit


def measure(wanted: str, *, at_least: float | None = 0, above: float | None = None, at_most: float | None = None):
    """Make a field type: text with a unit such as `wanted` (or a Quantity of that kind), inside a range given in that unit."""
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

    return Annotated[Any, BeforeValidator(check)]


def one_or_more(field):
    """Make a field type: one value, or a list of repeated readings; kept as a tuple."""
    return Annotated[tuple[field, ...], BeforeValidator(lambda v: tuple(v) if isinstance(v, list | tuple) else (v,)), Field(min_length=1)]


Length = measure("m", at_least=0.1, at_most=200)
Depth = measure("m", at_least=0.02, at_most=10)
Sounding = measure("m", at_most=10)
Area = measure("m2", at_least=1e-4, at_most=1e5)
Temperature = measure("degC", at_least=-60, at_most=60)
WaterTemperature = measure("degC", at_least=-2, at_most=45)
Concentration = measure("mg/L", at_most=100_000)
Alkalinity = measure("mg/L", at_most=4000)  # as CaCO3; more than any soda lake, and what the carbonate formulas reach
Nitrogen = measure("mg/L", at_most=1000)
Share = measure("%", at_most=100)
Power = measure("W", above=0, at_least=None, at_most=5000)
Hours = measure("h/d", at_most=24)
Words = Annotated[str, AfterValidator(str.strip), Field(max_length=2000)]


class Section(BaseModel):
    """Shared rules: no unknown keys, nothing changed after reading."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)
