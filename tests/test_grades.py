"""Where the expected values come from: no formula without a check from outside, and enough of them."""

from __future__ import annotations

import importlib
import inspect
import math
from collections import Counter
from pathlib import Path

import pytest

from pondwright.units import FORMULAS
from tests.grades import GRADES, OUTSIDE, every_formula

TESTS = Path(__file__).resolve().parent
LEAST = 250  # outside values asserted, each with its source
LETTERS = {"published": "p", "hand_worked": "h", "independent": "i", "common_practice": "c", "regression": "r"}


def modules():
    """Import every test module under its package name, so that its grades are registered (twice does no harm: they are sets)."""
    for path in sorted(TESTS.rglob("test_*.py")):
        if path.parent.name not in ("browser", "benchmarks"):
            yield importlib.import_module(".".join(path.relative_to(TESTS.parent).with_suffix("").parts))


def graded():
    """Yield (test, grade, sources, cases): how often a graded test runs is the product of its parameter lists."""
    for module in modules():
        for name, test in inspect.getmembers(module, inspect.isfunction):
            if not name.startswith("test_") or test.__module__ != module.__name__:
                continue
            marks = getattr(test, "pytestmark", [])
            cases = math.prod(len(list(m.args[1])) for m in marks if m.name == "parametrize")
            for mark in marks:
                if mark.name in LETTERS:
                    yield f"{module.__name__}.{name}", mark.name, mark.args, cases


def test_every_formula_is_checked_from_outside(say):
    list(modules())
    names = every_formula()
    lines = [f"{name:<44} {' '.join(LETTERS[g] for g in LETTERS if g in GRADES.get(name, ()))}" for name in names]
    words = ", ".join(f"{letter} {word.replace('_', ' ')}" for word, letter in LETTERS.items())
    say(f"{len(names)} formulas by the grade of their checks ({words})", "\n".join(in_columns(lines)))
    unknown = sorted(set(GRADES) - set(FORMULAS))
    assert not unknown, f"grades of formulas that do not exist: {unknown}"
    bare = [name for name in names if not set(OUTSIDE) & GRADES.get(name, set())]
    assert not bare, f"no published, hand-worked, independent or common-practice check: {', '.join(bare)}"


def in_columns(lines: list[str], columns: int = 2) -> list[str]:
    rows = math.ceil(len(lines) / columns)
    return ["".join(f"{line:<56}" for line in lines[i::rows]).rstrip() for i in range(rows)]


def test_enough_values_from_outside_are_asserted(say):
    counts, once = Counter(), {}
    for test, grade, _, cases in graded():
        counts[grade] += cases
        if grade in OUTSIDE:
            once[test] = cases
    total = sum(once.values())
    text = ", ".join(f"{counts[g]} {g.replace('_', ' ')}" for g in LETTERS if counts[g])
    say("values from outside", f"at least {total} cases (a test of several values, or of two grades, counts once); by grade: {text}")
    assert total >= LEAST


@pytest.mark.parametrize("grade", ["published", "independent"])
def test_a_test_from_outside_names_its_source(grade):
    silent = [test for test, found, sources, _ in graded() if found == grade and not any(str(s).strip() for s in sources)]
    assert not silent, f"{grade} without a source: {', '.join(silent)}"


def test_rows_from_memory_are_never_hard_tests():
    """The reader of the reference values leaves them out unless asked, and nobody asks."""
    asking = [m.__name__ for m in modules() if "memory=True" in inspect.getsource(m) and m.__name__ != __name__]
    assert not asking
