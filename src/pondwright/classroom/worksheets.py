"""Builds the worksheets and their worked solutions as notebooks from the question bank.

``python -m pondwright.classroom.worksheets exercises`` writes them anew; a test asserts that the files in exercises/ are what this
builds, so question and worksheet never differ.
"""

from __future__ import annotations

import sys
from pathlib import Path

from . import bank
from .question import Question

TITLES = {
    "00": "Your pond in three minutes",
    "01": "How much water?",
    "02": "How many fish?",
    "04": "How much filter?",
    "05": "The filter vessel",
    "06": "Pipes and pump",
    "07": "Watts and watt-hours",
    "08": "Sun, battery and cable",
    "09": "Reading the water",
}
_KERNEL = {
    "kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"},
    "language_info": {"name": "python"},
}


def worksheet_questions(lesson: str) -> tuple[Question, ...]:
    """Return the questions of the worksheet; those of *Try it yourself* stay in the lesson."""
    return tuple(q for q in bank.lesson(lesson) if "-t" not in q.key)


def file_name(lesson: str) -> str:
    """Name the worksheet's file after its lesson: "01-how-much-water.ipynb"."""
    words = "".join(c if c.isalnum() else " " for c in TITLES[lesson].lower()).split()
    return f"{lesson}-{'-'.join(words)}.ipynb"


def worksheet(lesson: str) -> dict:
    """Build the student's notebook: each question, an empty answer, a check."""
    top = (
        f'# Worksheet {lesson}: {TITLES[lesson]}\n\nWrite each answer in quotes, with its unit, like `answer = "12.5 L"` (or a letter '
        'where you choose, like `answer = "b"`), and run the cell with Shift and Enter. You may try as often as you like; a right answer, '
        "or a second wrong one, shows the solution. *SyntaxError* or *NameError* in red: a quote is missing. The numbers are invented."
        "\n\nName: ______________________"
    )
    cells = [_markdown("top", top), _code("setup", "from pondwright.classroom import check")]
    for q in worksheet_questions(lesson):
        cells += [_markdown(f"q-{q.key}", f"## {q.key}\n\n{q.asked()}"), _code(f"a-{q.key}", f'answer = None\ncheck("{q.key}", answer)')]
    return _notebook([*cells, _markdown("end", "Done? Compare with a neighbour: where do you differ, and why?")])


def solutions(lesson: str) -> dict:
    """Build the teacher's notebook: each question with its worked solution, and the answer checked by the same function."""
    cells = [
        _markdown("top", f"# Worked solutions {lesson}: {TITLES[lesson]}\n\nFor the teacher. The numbers are invented."),
        _code("setup", "from pondwright.classroom import check"),
    ]
    for q in worksheet_questions(lesson):
        cells += [
            _markdown(f"q-{q.key}", f"## {q.key}\n\n{q.asked()}\n\n**Solution.** {q.worked_out()}"),
            _code(f"a-{q.key}", f'verdict = check("{q.key}", "{answer_text(q)}")\nassert verdict.right\nverdict'),
        ]
    return _notebook(cells)


def answer_text(question: Question) -> str:
    """Write the right answer as a student types it: three significant figures and the unit, or the letter."""
    if question.unit in ("word", "-"):
        return question.answer_shown()
    return f"{question.answer_shown().split(' ')[0]} {question.unit}"


def _markdown(name: str, text: str) -> dict:
    return {"cell_type": "markdown", "id": name, "metadata": {}, "source": text}


def _code(name: str, text: str) -> dict:
    return {"cell_type": "code", "execution_count": None, "id": name, "metadata": {}, "outputs": [], "source": text}


def _notebook(cells: list[dict]) -> dict:
    return {"cells": cells, "metadata": _KERNEL, "nbformat": 4, "nbformat_minor": 5}


def write_all(folder: Path) -> list[Path]:
    """Write every worksheet into `folder` and every solution into ``folder/teacher``."""
    import nbformat

    written = []
    for lesson in bank.lessons():
        for build, where in ((worksheet, folder / file_name(lesson)), (solutions, folder / "teacher" / f"solutions-{file_name(lesson)}")):
            where.parent.mkdir(parents=True, exist_ok=True)
            nbformat.write(nbformat.from_dict(build(lesson)), where)
            written.append(where)
    return written


if __name__ == "__main__":
    for path in write_all(Path(sys.argv[1])):
        print(path)
