"""For the class: a question bank, instant checking, worksheets and their worked solutions.

``from pondwright.classroom import check``: ``check("01-2", "4240 L")`` answers with a sentence.
"""

from .checking import ask, check

__all__ = ["ask", "check"]
