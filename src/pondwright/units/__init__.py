"""Units: the one registry, the one parser, the one decorator, and the three unit systems.

Nothing else in the package hands text to pint. pint alone reads "12,5 L" as 125 L, "18 C" as coulomb, "5 pH" as picohenry,
and lets "nan L" pass; :func:`read` does not.
"""
from .formula import FORMULAS, Arg, Extrapolation, Use, formula, tracing
from .parser import read, read_noting
from .registry import ExtrapolationWarning, Paragraph, Q, Quantity, QuantityError, Said, in_unit, kind_of, quantity, unit, ureg, write_unit
from .systems import SYSTEMS, round_text, short, show, showing_in, shown_unit, unit_for

__all__ = [
    "FORMULAS", "SYSTEMS", "Arg", "Extrapolation", "ExtrapolationWarning", "Paragraph", "Q", "Quantity", "QuantityError", "Said", "Use",
    "formula", "in_unit", "kind_of", "quantity", "read", "read_noting", "round_text", "short", "show", "showing_in", "shown_unit",
    "tracing", "unit", "unit_for", "ureg", "write_unit",
]
