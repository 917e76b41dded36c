"""A grade is a claim: the test calls the formulas that it names, and "published" rows were read in print, not evaluated."""

from __future__ import annotations

import ast
import importlib
import inspect
from pathlib import Path

import pytest

from tests.grades import OUTSIDE, regression

from .reference import Row

HERE = Path(__file__).parent
CHAPTERS = "electrics sun pipes pump ammonia carbonate dosing water_properties fish oxygen".split()
FILES = [HERE / f"test_{name}.py" for name in CHAPTERS]
GRADE_WORDS = {*OUTSIDE, regression.__name__, "regression"}


def functions(path: Path) -> dict[str, ast.FunctionDef]:
    return {n.name: n for n in ast.parse(path.read_text(encoding="utf-8")).body if isinstance(n, ast.FunctionDef)}


def claims(function: ast.FunctionDef):
    """Yield the formulas (module.name) that a test's grades name."""
    for mark in function.decorator_list:
        if isinstance(mark, ast.Call) and isinstance(mark.func, ast.Name) and mark.func.id in GRADE_WORDS:
            yield from (ast.unparse(a) for a in mark.args if isinstance(a, ast.Attribute))


def used(function: ast.FunctionDef, known: dict, seen: frozenset = frozenset()) -> set[str]:
    """Name everything that a test's body uses, also through helpers of its own file."""
    names = set()
    for statement in function.body:
        for node in ast.walk(statement):
            if isinstance(node, ast.Attribute):
                names.add(ast.unparse(node))
                names.add(ast.unparse(node.value))
            elif isinstance(node, ast.Name) and node.id in known and node.id not in seen:
                names |= used(known[node.id], known, seen | {node.id})
    return names


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_a_test_calls_the_formulas_that_it_claims(path):
    known = functions(path)
    idle = [f"{name}: {claim}" for name, f in known.items() for claim in claims(f) if claim not in used(f, known)]
    assert not idle


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_published_rows_were_read(path):
    module = importlib.import_module(f"tests.published.{path.stem}")
    evaluated = []
    for name, test in inspect.getmembers(module, inspect.isfunction):
        marks = getattr(test, "pytestmark", [])
        if any(m.name == "published" for m in marks):
            rows = [r for m in marks if m.name == "parametrize" for r in m.args[1] if isinstance(r, Row)]
            evaluated += [f"{name}: {r.file}-{r.line}" for r in rows if r.status != "looked-up"]
    assert not evaluated
