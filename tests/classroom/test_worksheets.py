"""The worksheets are what the question bank builds; four to six exercises each; every lesson that has a bank has its title."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from pondwright.classroom import bank
from pondwright.classroom import worksheets as w

EXERCISES = Path(__file__).parents[2] / "exercises"


def source(cell):
    return "".join(cell["source"])


@pytest.mark.parametrize("lesson", bank.lessons())
def test_the_files_are_what_the_bank_builds(lesson):
    for build, path in (
        (w.worksheet, EXERCISES / w.file_name(lesson)),
        (w.solutions, EXERCISES / "teacher" / f"solutions-{w.file_name(lesson)}"),
    ):
        stored, built = json.loads(path.read_text(encoding="utf-8"))["cells"], build(lesson)["cells"]
        assert [source(c) for c in stored] == [source(c) for c in built], (
            f"run: python -m pondwright.classroom.worksheets exercises ({path.name})"
        )


@pytest.mark.parametrize("lesson", bank.lessons())
def test_four_to_six_exercises_and_three_in_the_lesson(lesson):
    assert 4 <= len(w.worksheet_questions(lesson)) <= 6
    assert sum("-t" in q.key for q in bank.lesson(lesson)) == 3
    assert all(q.key.startswith(lesson) for q in bank.lesson(lesson))


@pytest.mark.parametrize("lesson", bank.lessons())
def test_each_worksheet_has_all_four_kinds(lesson):
    questions = w.worksheet_questions(lesson)
    by_kind = {kind: [q for q in questions if q.kind == kind] for kind in ("numbers", "conversion", "choice", "mistake")}
    assert all(by_kind.values()), {kind: len(found) for kind, found in by_kind.items()}
    assert sum(map(len, by_kind.values())) == len(questions)
    assert all(q.unit == "word" and len(q.choices) >= 3 for q in by_kind["choice"])  # something is decided, and each way is answered
    assert all(q.text.startswith("Find the mistake.") for q in by_kind["mistake"])
    assert all(q.unit != "word" for q in by_kind["conversion"])


def test_no_stray_file():
    known = {w.file_name(n) for n in bank.lessons()} | {f"solutions-{w.file_name(n)}" for n in bank.lessons()}
    assert {p.name for p in EXERCISES.rglob("*.ipynb") if ".ipynb_checkpoints" not in p.parts} == known
