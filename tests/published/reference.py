"""Reads the reference values beside this file: tests/published/values/*.csv, each row with its source and tolerance.

Columns: quantity, inputs, expected, unit, tolerance, source, status. `status` is looked-up (the printed number was read), computed
(by a named library or from a named equation) or memory (never a hard test).
"""

from __future__ import annotations

import csv
import functools
import re
from dataclasses import dataclass
from pathlib import Path

import pytest

from pondwright.units import Q

VALUES = Path(__file__).parent / "values"
_NUMBER = re.compile(r"[-+]?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?")


@dataclass(frozen=True)
class Row:
    file: str
    line: int
    quantity: str
    inputs: str
    expected: str
    unit: str
    tolerance: str
    source: str
    status: str

    @property
    def value(self) -> float:
        return float(self.expected)

    def given(self) -> dict[str, float]:
        """Read inputs written as "T_C=5; S=0" (other words are left out)."""
        return {m[1]: float(m[2]) for m in re.finditer(r"(\w+)\s*=\s*([-+]?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?)", self.inputs)}

    def numbers(self) -> list[float]:
        """Read every number of the inputs, in order."""
        return [float(n) for n in _NUMBER.findall(self.inputs)]

    def margin(self) -> float:
        """Turn the tolerance column into an absolute margin; where it allows "A or B", the wider of both, as the source does."""
        found = [
            float(m[2]) * (abs(self.value) if m[1] == "rel" else 1) for m in re.finditer(r"(abs|rel)[: ]\s*(\d+(?:\.\d+)?)", self.tolerance)
        ]
        if self.tolerance.strip() == "exact":
            found = [1e-9 * max(1.0, abs(self.value))]
        if not found:
            raise ValueError(f"{self.file}:{self.line} has no tolerance that can be asserted ({self.tolerance!r})")
        return max(found)

    def assert_close(self, got, unit: str | None = None, floor: float = 0.0):
        """Assert that a Quantity (or a float, already in the row's unit) meets the expected value; `floor` is half the printed digit."""
        number = got if isinstance(got, int | float) else float(got.m_as(Q(1, unit or self.unit).units))
        assert abs(number - self.value) <= max(self.margin(), floor), (
            f"{self.quantity} ({self.inputs}): expected {self.expected} {self.unit} +- {self.margin():g}, got {number:.6g}; {self.source}"
        )


@functools.cache
def _read(file: str) -> tuple:
    with open(VALUES / f"{file}.csv", encoding="utf-8", newline="") as handle:
        return tuple(
            Row(file, n, *(r[k] or "" for k in ("quantity", "inputs", "expected", "unit", "tolerance", "source", "status")))
            for n, r in enumerate(csv.DictReader(handle), 2)
        )


def rows(file: str, quantity: str, *, source: str = "", inputs: str = "", memory: bool = False):
    """Choose rows whose quantity, source and inputs match the regular expressions; an empty choice is an error."""
    chosen = [
        r
        for r in _read(file)
        if re.search(quantity, r.quantity)
        and re.search(source, r.source)
        and re.search(inputs, r.inputs)
        and (memory or r.status != "memory")
    ]
    if not chosen:
        raise LookupError(f"no row of {file}.csv matches {quantity!r} {source!r} {inputs!r}")
    return chosen


def each(file: str, quantity: str, **choice):
    """Parametrise a test over rows: ``@each("oxygen", "DO saturation")`` gives the test an argument `row`."""
    chosen = rows(file, quantity, **choice)
    return pytest.mark.parametrize("row", chosen, ids=[f"{r.file}-{r.line}" for r in chosen])
