"""Makes the working folder: lessons, worksheets, the demo pond, and a pond file to fill in. Never overwrites what a student changed."""

from __future__ import annotations

import contextlib
import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from ..pond.file import MY_POND, PondFileError, blank_text, demo_text, write_atomically

RECORD = ".pondwright.json"  # in the working folder: checksums of what was put there, so that a changed file can be told from an older one
WORKSHEETS = "worksheets"


class WorkFolderError(ValueError):
    """Why the working folder cannot be made; one sentence."""


@dataclass(frozen=True)
class Outcome:
    """What happened to each file, by its name in the folder; `beside` maps a file that was kept to the newer one put beside it."""

    folder: Path
    made: list[str] = field(default_factory=list)
    renewed: list[str] = field(default_factory=list)
    kept: list[str] = field(default_factory=list)
    beside: dict[str, str] = field(default_factory=dict)
    first_lesson: str = ""

    def sentences(self) -> list[str]:
        """Say what was done, one line each."""
        said = [f"Working folder: {self.folder}"]
        if self.made:
            said.append(f"Made: {_listed(self.made)}.")
        if self.renewed:
            said.append(f"Renewed, since nobody had changed them: {_listed(self.renewed)}.")
        if self.kept:
            said.append(f"Left as you changed them: {_listed(self.kept)}.")
        said += [f"{old}: there is a newer one. Yours stays as it is; the newer one is {new}." for old, new in self.beside.items()]
        return said


def _listed(names: list[str]) -> str:
    """Name a few files, or count many."""
    return ", ".join(names) if len(names) <= 4 else f"{', '.join(names[:3])} and {len(names) - 3} more"


def workbook() -> tuple[Path, Path]:
    """Find the folders of the lessons and of the worksheets: in the installed package, or beside ``src`` in a checkout.

    Raises
    ------
    WorkFolderError
        Neither place holds a lesson.
    """
    package = Path(__file__).resolve().parents[1]
    for lessons, worksheets in (
        (package / "_workbook/notebooks", package / "_workbook/exercises"),
        (package.parents[1] / "notebooks", package.parents[1] / "exercises"),
    ):
        if any(lessons.glob("*.ipynb")):
            return lessons, worksheets
    raise WorkFolderError("the lessons are missing from this installation; install pondwright again from its own folder.")


def contents() -> dict[str, bytes]:
    """Return every file of a fresh working folder, by its name there; what is for teachers is not among them."""
    lessons, worksheets = workbook()
    files = {p.name: p.read_bytes() for p in sorted(lessons.glob("*.ipynb"))}
    files |= {f"{WORKSHEETS}/{p.name}": p.read_bytes() for p in sorted(worksheets.glob("*.ipynb"))}
    return files | {"demo-pond.toml": demo_text().encode(), MY_POND: blank_text().encode()}


def make(folder, files: Mapping[str, bytes] | None = None, *, today: date | None = None) -> Outcome:
    """Make a working folder, or bring one up to date.

    Parameters
    ----------
    folder : path
        Made where it is missing.
    files : mapping, optional
        What goes into it; the installed package's :func:`contents` by default.
    today : date, optional
        For the name of a newer file beside a changed one.

    Returns
    -------
    Outcome
        What was made, renewed, kept, and put beside.

    Raises
    ------
    WorkFolderError
        The folder cannot be made or written.
    """
    folder, files = Path(folder).absolute(), contents() if files is None else files
    if folder.exists() and not folder.is_dir():
        raise WorkFolderError(f"{folder}: is a file, so no working folder can be made there; give another name.")
    with _plainly(folder):
        folder.mkdir(parents=True, exist_ok=True)
    first = min(name for name in files if name.endswith(".ipynb") and "/" not in name)
    record, outcome = _read_record(folder), Outcome(folder, first_lesson=first)
    try:
        for name, new in files.items():
            with _plainly(folder / name):
                _place(outcome, record, name, new, today or date.today())
    finally:
        with contextlib.suppress(PondFileError):  # without a record the next start only keeps more than it must
            write_atomically(folder / RECORD, json.dumps(record, indent=1, sort_keys=True))
    return outcome


def _place(outcome: Outcome, record: dict, name: str, new: bytes, today: date) -> None:
    """Put one file where it belongs, and note its checksum."""
    path, latest, known = outcome.folder / name, _sum(name, new), record.get(name, {})
    there = _sum(name, path.read_bytes()) if path.exists() else None
    if there is None or there == known.get("put") != latest:
        with _plainly(path.parent):
            path.parent.mkdir(parents=True, exist_ok=True)
        write_atomically(path, new.decode())
        (outcome.made if there is None else outcome.renewed).append(name)
        there = latest
    if there == latest:
        record[name] = {"put": latest}
    elif name == MY_POND or latest in known.values():  # the student's own file from the first day on; or the newer one was offered before
        outcome.kept.append(name)
    else:
        outcome.beside[name] = _put_beside(path, new, today).relative_to(outcome.folder).as_posix()
        record[name] = {**known, "beside": latest}


def _put_beside(path: Path, new: bytes, today: date) -> Path:
    """Write the newer file under a dated name that is still free."""
    for number in range(1, 1000):
        dated = path.with_name(f"{path.stem}-{today.isoformat()}{'' if number == 1 else f'-{number}'}{path.suffix}")
        if not dated.exists():
            write_atomically(dated, new.decode())
            return dated
        if dated.read_bytes() == new:
            return dated
    raise WorkFolderError(f"{path.name}: there are a thousand dated copies of it already; take some away.")


def _sum(name: str, content: bytes) -> str:
    """Return a checksum of what a person can have changed: of a notebook its cells and outputs, since only opening it rewrites the rest."""
    if name.endswith(".ipynb"):
        with contextlib.suppress(ValueError, KeyError, TypeError, AttributeError):
            cells = [(c["cell_type"], c["source"], c.get("outputs", [])) for c in json.loads(content)["cells"]]
            content = json.dumps(_joined(cells), sort_keys=True).encode()
    return hashlib.sha256(content).hexdigest()


def _joined(part):
    """Write lists of lines as one text, as either may stand for the other in a notebook."""
    if isinstance(part, dict):
        return {key: _joined(value) for key, value in part.items()}
    if isinstance(part, list) and part and all(isinstance(p, str) for p in part):
        return "".join(part)
    if isinstance(part, list | tuple):
        return [_joined(p) for p in part]
    return part


def _read_record(folder: Path) -> dict:
    """Read the checksums; a record that is missing or damaged means that nothing is known, so everything there is kept."""
    try:
        record = json.loads((folder / RECORD).read_text(encoding="utf-8"))
        return {name: dict(sums) for name, sums in record.items()}
    except (OSError, ValueError, AttributeError, TypeError):
        return {}


@contextlib.contextmanager
def _plainly(path: Path):
    """Turn what the disk says into one sentence."""
    try:
        yield
    except PondFileError as error:
        raise WorkFolderError(str(error)) from None
    except OSError as error:
        raise WorkFolderError(f"{path}: cannot be used ({error.strerror}); nothing of yours was changed.") from None
