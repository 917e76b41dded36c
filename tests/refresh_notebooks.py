"""Runs lessons and stores what their Check cells print: ``python -m tests.refresh_notebooks notebooks/01-*.ipynb``.

Only cells tagged ``nbval-check-output`` keep their output and count; every other cell is left without, so that a change of a picture or
a widget never shows up in git.
"""

from __future__ import annotations

import sys
from pathlib import Path

import nbformat
from nbclient import NotebookClient

CHECK = "nbval-check-output"


def refresh(path: Path) -> int:
    """Run one notebook in its own folder and store its Check outputs; return how many cells keep one."""
    notebook = nbformat.read(path, as_version=4)
    NotebookClient(notebook, timeout=120, coalesce_streams=True, resources={"metadata": {"path": str(path.parent)}}).execute()
    kept = 0
    for cell in (c for c in notebook.cells if c.cell_type == "code"):
        cell.metadata.pop("execution", None)
        if CHECK in cell.metadata.get("tags", []):
            kept += 1
        else:
            cell.outputs, cell.execution_count = [], None
    notebook.metadata = {
        "kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"},
        "language_info": {"name": "python"},
    }
    nbformat.write(notebook, path)
    return kept


if __name__ == "__main__":
    for name in sys.argv[1:]:
        print(f"{name}: {refresh(Path(name))} Check cells stored")
