"""The question bank, one file a lesson. A question is data plus one function for its answer."""
from __future__ import annotations

import functools
import importlib
import pkgutil

from ..question import Question


@functools.cache
def lesson(number: str) -> tuple[Question, ...]:
    """Return the questions of one lesson ("01"), in order."""
    return tuple(importlib.import_module(f"{__name__}.lesson{number}").QUESTIONS)


def lessons() -> tuple[str, ...]:
    """Name the lessons that have questions."""
    return tuple(sorted(m.name.removeprefix("lesson") for m in pkgutil.iter_modules(__path__) if m.name.startswith("lesson")))


def question(key: str) -> Question:
    """Return one question by its key ("01-2").

    Raises
    ------
    KeyError
        There is no such question; the message names those of its lesson.
    """
    number = key.split("-")[0]
    found = lesson(number) if number in lessons() else ()
    for q in found:
        if q.key == key:
            return q
    known = ", ".join(q.key for q in found) or f"questions for the lessons {', '.join(lessons())}"
    raise KeyError(f"there is no question {key!r}; there are {known}")
