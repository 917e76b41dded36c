"""How a test says where its expected values come from.

    @published(unionized_fraction, "Emerson1975", "table 2")      # the source prints the number
    @hand_worked(rectangle_volume)                                  # the arithmetic stands in the test
    @independent(oxygen_saturation, "gsw")                          # another library computed it
    @common_practice(stop_feeding)                                  # a fact of the trade, no source
    @regression(...)                                                # never a formula's only test

Each registers the grade of a formula; tests/test_grades.py prints the table and fails where a formula has none from outside.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections import defaultdict

import pytest

import pondwright.science
from pondwright.units import FORMULAS

GRADES: dict[str, set] = defaultdict(set)
OUTSIDE = ("published", "hand_worked", "independent", "common_practice")


def _grade(word):
    def mark(*formulas_then_source):
        formulas = [f for f in formulas_then_source if hasattr(f, "formula_name")]
        where = [str(x) for x in formulas_then_source if not hasattr(x, "formula_name")]
        for f in formulas:
            GRADES[f.formula_name].add(word)
        return getattr(pytest.mark, word)(*where)

    return mark


def every_formula() -> list[str]:
    """Import every chapter of science, so that its formulas are registered, and name them all."""
    for found in pkgutil.iter_modules(pondwright.science.__path__, "pondwright.science."):
        importlib.import_module(found.name)
    return sorted(name for name, f in FORMULAS.items() if f.plain.__module__.startswith("pondwright."))


published, hand_worked, independent = _grade("published"), _grade("hand_worked"), _grade("independent")
common_practice, regression = _grade("common_practice"), _grade("regression")
