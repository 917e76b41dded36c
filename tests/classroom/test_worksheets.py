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


def test_no_stray_file():
    known = {w.file_name(n) for n in bank.lessons()} | {f"solutions-{w.file_name(n)}" for n in bank.lessons()}
    assert {p.name for p in EXERCISES.rglob("*.ipynb") if ".ipynb_checkpoints" not in p.parts} == known
