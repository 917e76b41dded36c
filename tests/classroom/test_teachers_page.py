"""The teacher's page says the same as the lessons: their minutes, what they need, and that each has its safety and two misconceptions."""

from __future__ import annotations

import re
from pathlib import Path

import nbformat
import pytest

ROOT = Path(__file__).resolve().parents[2]
PAGE = (ROOT / "exercises" / "teacher" / "README.md").read_text(encoding="utf-8")
LESSONS = sorted((ROOT / "notebooks").glob("*.ipynb"))
ROWS = {row[2:4]: [cell.strip() for cell in row.strip("|").split("|")] for row in re.findall(r"^\| \d\d .*\|$", PAGE, re.M)}
NO_THING = {"thi", "your", "with", "have", "them", "pond", "demo", "argue", "known", "size", "most", "different", "small", "total"}

lessons = pytest.mark.parametrize("path", LESSONS, ids=lambda p: p.stem)


def goals(path: Path) -> str:
    text = next(c.source for c in nbformat.read(path, as_version=4).cells if c.cell_type == "markdown" and "**Time:**" in c.source)
    return " ".join(text.partition("**Time:**")[2].split())


def things(text: str) -> set[str]:
    return {word.removesuffix("s") for word in re.findall(r"[a-z]{4,}", text.lower())} - NO_THING


def test_every_lesson_has_a_row_and_a_section():
    numbers = {p.stem[:2] for p in LESSONS}
    assert set(ROWS) == numbers == set(re.findall(r"^## (\d\d) · ", PAGE, re.M))


@lessons
def test_the_minutes_are_the_lessons(path):
    """Written "50 minutes, and 30 minutes at the pond" there, "50 + 30 outdoors" here; "two lessons of 45 minutes" is "2 × 45"."""
    time = goals(path).partition("**You need:**")[0].replace("two lessons of", "2")
    minutes = re.findall(r"\d+(?= \d+ minutes| minutes)", time)  # the 2 of "2 45 minutes" too
    assert minutes and re.findall(r"\d+", ROWS[path.stem[:2]][1]) == minutes


@lessons
def test_a_lesson_longer_than_an_hour_is_two(path):
    assert max(map(int, re.findall(r"\d+", ROWS[path.stem[:2]][1]))) <= 60


@lessons
def test_what_the_lesson_needs_is_on_the_page(path):
    needed = re.split(r"\. |\.$", goals(path).partition("**You need:**")[2])[0]
    assert things(needed) and things(needed) <= things(ROWS[path.stem[:2]][2])


@lessons
def test_a_section_has_safety_and_two_misconceptions(path):
    section = re.search(rf"^## {path.stem[:2]} · .*?(?=^## )", PAGE, re.M | re.S)[0]
    safety, listen = section.partition("*Listen for:*")[::2]
    assert "*Safety:*" in safety and len(re.findall(r'"[^"]+"\s+\(', listen)) >= 2
