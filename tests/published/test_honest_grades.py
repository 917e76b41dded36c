"""A grade is a claim: the test calls the formulas that it names, and "published" rows were read in print, not evaluated."""

from __future__ import annotations

import ast
import importlib
import inspect
from pathlib import Path

import pytest

from tests.grades import OUTSIDE

from .reference import Row

HERE = Path(__file__).parent
FILES = sorted(path for path in HERE.glob("test_*.py") if path != Path(__file__))
GRADE_WORDS = {*OUTSIDE, "regression"}


def definitions(path: Path) -> dict[str, ast.FunctionDef | ast.Assign]:
    """Find what a file defines by name: its functions, and the tables of cases that they draw on."""
    defined = {}
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        if isinstance(node, ast.FunctionDef):
            defined[node.name] = node
        elif isinstance(node, ast.Assign):
            defined |= {target.id: node for target in node.targets if isinstance(target, ast.Name)}
    return defined


def claims(definition: ast.FunctionDef | ast.Assign):
    """Yield the formulas (module.name) that a test's grades name."""
    for mark in getattr(definition, "decorator_list", ()):
        if isinstance(mark, ast.Call) and isinstance(mark.func, ast.Name) and mark.func.id in GRADE_WORDS:
            yield from (ast.unparse(a) for a in mark.args if isinstance(a, ast.Attribute))


def used(definition: ast.FunctionDef | ast.Assign, known: dict, seen: frozenset = frozenset()) -> set[str]:
    """Name everything that a test's body uses, also through helpers and tables of its own file."""
    names = set()
    for statement in getattr(definition, "body", [definition]):
        for node in ast.walk(statement):
            if isinstance(node, ast.Attribute):
                names.add(ast.unparse(node))
                names.add(ast.unparse(node.value))
            elif isinstance(node, ast.Name) and node.id in known and node.id not in seen:
                names |= used(known[node.id], known, seen | {node.id})
    return names


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_a_test_calls_the_formulas_that_it_claims(path):
    known = definitions(path)
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
