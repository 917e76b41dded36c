"""The working folder: made once, brought up to date, and never at the cost of a student's work."""
from __future__ import annotations

import json
import os
from datetime import date
from pathlib import Path

import pytest

from pondwright.classroom import workfolder
from pondwright.classroom.workfolder import RECORD, WorkFolderError, contents, make, workbook
from pondwright.pond.file import blank_text

DAY = date(2031, 5, 4)


def notebook(*sources, outputs=(), **metadata) -> bytes:
    cells = [{"cell_type": "code", "source": s, "outputs": list(outputs), "metadata": {}} for s in sources]
    return json.dumps({"cells": cells, "metadata": metadata, "nbformat": 4, "nbformat_minor": 5}).encode()


def files(lesson=b"") -> dict:
    return {"00-first.ipynb": lesson or notebook("1 + 1"), "worksheets/00-first.ipynb": notebook("answer = None"),
            "demo-pond.toml": b"# demo\n", "pond.toml": b"# blanks\n"}


def test_a_fresh_folder(tmp_path):
    done = make(tmp_path / "a" / "my pond", files())
    assert sorted(done.made) == ["00-first.ipynb", "demo-pond.toml", "pond.toml", "worksheets/00-first.ipynb"]
    assert done.first_lesson == "00-first.ipynb"
    assert (done.folder / "worksheets/00-first.ipynb").read_bytes() == files()["worksheets/00-first.ipynb"]


def test_a_second_start_changes_nothing(tmp_path):
    make(tmp_path, files())
    before = {p: p.read_bytes() for p in tmp_path.rglob("*") if p.is_file()}
    done = make(tmp_path, files())
    assert not (done.made or done.renewed or done.kept or done.beside)
    assert {p: p.read_bytes() for p in tmp_path.rglob("*") if p.is_file()} == before


def test_an_unchanged_older_lesson_is_renewed(tmp_path):
    make(tmp_path, files())
    done = make(tmp_path, files(notebook("2 + 2")))
    assert done.renewed == ["00-first.ipynb"]
    assert (tmp_path / "00-first.ipynb").read_bytes() == notebook("2 + 2")


def test_a_lesson_that_was_only_opened_counts_as_unchanged(tmp_path):
    make(tmp_path, files(notebook("1 + 1")))
    (tmp_path / "00-first.ipynb").write_bytes(notebook(["1 + 1"], kernelspec={"name": "python3"}))  # what JupyterLab writes on opening
    assert make(tmp_path, files(notebook("2 + 2"))).renewed == ["00-first.ipynb"]


@pytest.mark.parametrize("changed", [notebook("1 + 1  # mine"), notebook("1 + 1", outputs=[{"text": "2"}]), b"not a notebook at all", b""])
def test_a_changed_lesson_stays_and_the_newer_one_lands_beside_it(tmp_path, changed):
    make(tmp_path, files())
    (tmp_path / "00-first.ipynb").write_bytes(changed)
    done = make(tmp_path, files(notebook("2 + 2")), today=DAY)
    assert done.beside == {"00-first.ipynb": "00-first-2031-05-04.ipynb"}
    assert (tmp_path / "00-first.ipynb").read_bytes() == changed
    assert (tmp_path / "00-first-2031-05-04.ipynb").read_bytes() == notebook("2 + 2")
    assert any("Yours stays as it is; the newer one is 00-first-2031-05-04.ipynb" in line for line in done.sentences())


def test_the_newer_lesson_is_offered_once(tmp_path):
    make(tmp_path, files())
    (tmp_path / "00-first.ipynb").write_bytes(notebook("mine"))
    make(tmp_path, files(notebook("2 + 2")), today=DAY)
    (tmp_path / "00-first-2031-05-04.ipynb").unlink()
    done = make(tmp_path, files(notebook("2 + 2")), today=date(2031, 5, 5))
    assert not done.beside and done.kept == ["00-first.ipynb"]
    again = make(tmp_path, files(notebook("3 + 3")), today=date(2031, 5, 6))
    assert again.beside == {"00-first.ipynb": "00-first-2031-05-06.ipynb"}


def test_a_dated_name_that_is_taken_is_not_overwritten(tmp_path):
    make(tmp_path, files())
    (tmp_path / "00-first.ipynb").write_bytes(notebook("mine"))
    (tmp_path / "00-first-2031-05-04.ipynb").write_bytes(b"the student's own")
    done = make(tmp_path, files(notebook("2 + 2")), today=DAY)
    assert done.beside == {"00-first.ipynb": "00-first-2031-05-04-2.ipynb"}
    assert (tmp_path / "00-first-2031-05-04.ipynb").read_bytes() == b"the student's own"


def test_a_filled_pond_file_is_never_touched_nor_doubled(tmp_path):
    make(tmp_path, files())
    (tmp_path / "pond.toml").write_bytes(b"[pond]\nname = 'mine'\n")
    done = make(tmp_path, {**files(), "pond.toml": b"# newer blanks\n"}, today=DAY)
    assert done.kept == ["pond.toml"] and not done.beside
    assert (tmp_path / "pond.toml").read_bytes() == b"[pond]\nname = 'mine'\n"


@pytest.mark.parametrize("record", [b"", b"{", b"[]", b'{"00-first.ipynb": 3}', b"\xff\xfe", None])
def test_without_a_record_everything_there_is_kept(tmp_path, record):
    make(tmp_path, files())
    (tmp_path / "00-first.ipynb").write_bytes(notebook("mine"))
    (tmp_path / RECORD).unlink() if record is None else (tmp_path / RECORD).write_bytes(record)
    make(tmp_path, files(notebook("2 + 2")), today=DAY)
    assert (tmp_path / "00-first.ipynb").read_bytes() == notebook("mine")


def test_a_deleted_lesson_comes_back(tmp_path):
    make(tmp_path, files())
    (tmp_path / "00-first.ipynb").unlink()
    assert make(tmp_path, files()).made == ["00-first.ipynb"]


def test_a_file_in_the_folders_place(tmp_path):
    (tmp_path / "my-pond").write_text("my notes")
    with pytest.raises(WorkFolderError, match="my-pond: is a file"):
        make(tmp_path / "my-pond", files())
    assert (tmp_path / "my-pond").read_text() == "my notes"


def test_a_folder_in_a_lessons_place(tmp_path):
    (tmp_path / "00-first.ipynb").mkdir()
    with pytest.raises(WorkFolderError, match="00-first.ipynb: cannot be used"):
        make(tmp_path, files())


def test_a_file_in_the_place_of_a_folder_is_named(tmp_path):
    (tmp_path / "worksheets").write_text("mine")
    with pytest.raises(WorkFolderError, match="worksheets: cannot be used"):
        make(tmp_path, {"worksheets/01-first.ipynb": notebook("1"), "00-first.ipynb": notebook("1")})
    assert (tmp_path / "worksheets").read_text() == "mine"


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write everywhere")
def test_a_folder_that_cannot_be_written(tmp_path):
    tmp_path.chmod(0o500)
    with pytest.raises(WorkFolderError, match="Permission denied"):
        make(tmp_path / "my-pond", files())


def test_the_packaged_contents():
    found = contents()
    lessons = [name for name in found if "/" not in name and name.endswith(".ipynb")]
    assert lessons and {f"worksheets/{name}" for name in lessons if not name.startswith("00")} <= found.keys()
    assert not [name for name in found if "solution" in name or "teacher" in name]
    assert found["pond.toml"].decode() == blank_text()
    for name in found:
        if name.endswith(".ipynb"):
            json.loads(found[name])


def test_the_lessons_are_found_in_a_wheels_layout(tmp_path, monkeypatch):
    package = tmp_path / "site-packages" / "pondwright"
    for folder in ("classroom", "_workbook/notebooks", "_workbook/exercises"):
        (package / folder).mkdir(parents=True)
    monkeypatch.setattr(workfolder, "__file__", str(package / "classroom" / "workfolder.py"))
    with pytest.raises(WorkFolderError, match="lessons are missing"):
        workbook()
    (package / "_workbook/notebooks/00-first.ipynb").write_bytes(notebook("1"))
    assert workbook() == (package / "_workbook/notebooks", package / "_workbook/exercises")


def test_many_files_are_counted():
    done = workfolder.Outcome(Path("x"), made=[f"{n}.ipynb" for n in range(9)])
    assert done.sentences()[1] == "Made: 0.ipynb, 1.ipynb, 2.ipynb and 6 more."
