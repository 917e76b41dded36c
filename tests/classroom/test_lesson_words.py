"""What the lessons tell a student to type really works, and what they print can be read on a small screen."""

from __future__ import annotations

import ast
import contextlib
import re
from pathlib import Path

import nbformat
import pytest

from pondwright.classroom import ask
from pondwright.pond.file import PondFileError, blank_text, load_pond
from pondwright.pond.writing import write_down
from pondwright.tables import load

NOTEBOOKS = Path(__file__).resolve().parents[2] / "notebooks"
WIDEST = 92  # characters of code in a cell of JupyterLab beside its list of files, on a screen 1280 pixels wide
LESSONS = {path.stem[:2]: path for path in sorted(NOTEBOOKS.glob("*.ipynb"))}


def cells(number: str, kind: str) -> list[str]:
    return [c.source for c in nbformat.read(LESSONS[number], as_version=4).cells if c.cell_type == kind]


def to_write(number: str) -> str:
    """Return the words from *Write it down* to the next heading."""
    return re.search(r"## Write it down.*?(?=^## )", "\n\n".join(cells(number, "markdown")), re.S | re.M)[0]


SHAPES = re.findall(r"`(\{.*?\})`$", to_write("01"), re.M)


@pytest.mark.parametrize("line", SHAPES)
def test_every_shape_of_lesson_01_can_be_written_down(line, tmp_path):
    path = tmp_path / "pond.toml"
    path.write_text(blank_text())
    shape = ast.literal_eval(line)
    write_down("pond.shape", shape, tmp_path)
    assert load_pond(path).pond.shape.kind == shape["kind"]


def test_most_kinds_of_shape_are_shown():
    assert len({ast.literal_eval(line)["kind"] for line in SHAPES}) == len(SHAPES) >= 8


def test_pump_line_and_fittings_of_lesson_06_can_be_written_down(tmp_path):
    path = tmp_path / "pond.toml"
    path.write_text(blank_text())
    words = to_write("06")
    pump, line, siphon = (ast.literal_eval(block.strip()) for block in re.findall(r"(?:^    .*\n?)+", words, re.M))
    (vessel, _) = re.findall(r"(?:^    .*\n?)+", to_write("05"), re.M)
    write_down("vessel", ast.literal_eval(vessel.strip()), tmp_path)
    write_down("vessel.siphon", siphon, tmp_path)
    write_down("pump", pump, tmp_path)
    write_down("plumbing", line, tmp_path)
    write_down("pond.shape", ast.literal_eval(SHAPES[0]), tmp_path)
    assert load_pond(path).plumbing.fittings == line["fittings"] and len(load_pond(path).pump.curve) == 3
    assert load_pond(path).vessel.siphon.kind == "bell"
    assert {"bell", "loop", "crest", "mouth", "length", "drop"} <= set(re.findall(r"`(\w+)`", words))
    row = re.search(r'`"pipe": "([^"]+)"`', words)[1]
    others = re.findall(r"`(\w+)`", words.partition("Other fittings are")[2].partition(".")[0])
    assert row in load("pipes").keys() and others and set(others) <= set(load("fittings").keys())


def test_vessel_of_lesson_05_can_be_written_down(tmp_path):
    path = tmp_path / "pond.toml"
    path.write_text(blank_text())
    words = to_write("05")
    vessel, drain = (ast.literal_eval(block.strip()) for block in re.findall(r"(?:^    .*\n?)+", words, re.M))
    write_down("vessel", vessel, tmp_path)
    write_down("vessel.outlets", drain, tmp_path)
    write_down("pond.shape", ast.literal_eval(SHAPES[0]), tmp_path)
    written = load_pond(path).vessel
    assert [layer.kind for layer in written.layers] == ["mat", "media", "plenum"] and written.empty_mass.m_as("kg") == 9
    assert [outlet.name for outlet in written.outlets] == ["drain", "overflow"]
    told = {"empty_mass", "above_pond", "mouth", "length", "drop", "screen_open", "leads_to", "hole", "stub", "tee", "elbow_up", "floor"}
    assert told <= set(re.findall(r"`(\w+)`", words))


def test_panel_of_lesson_08_and_load_of_lesson_07_can_be_written_down(tmp_path):
    path = tmp_path / "pond.toml"
    path.write_text(blank_text())
    (load_line, lamp), (panel,) = (re.findall(r"(?:^    .*\n?)+", to_write(number), re.M) for number in ("07", "08"))
    write_down("power.voltage", "12 V", tmp_path)
    write_down("power.panel", ast.literal_eval(panel.strip()), tmp_path)
    for words in (load_line, lamp):
        write_down("power.loads", ast.literal_eval(words.strip()), tmp_path)
    write_down("pond.shape", ast.literal_eval(SHAPES[0]), tmp_path)
    power = load_pond(path).power
    assert len(power.panel.horizon) == 3 and [load.name for load in power.loads] == ["lamp over the bench", "lamp over the cress"]


@pytest.mark.parametrize("number", LESSONS)
def test_code_fits_on_a_small_screen(number):
    assert not [line for source in cells(number, "code") for line in source.splitlines() if len(line) > WIDEST]


@pytest.mark.parametrize("number", LESSONS)
def test_the_questions_are_those_of_the_bank(number):
    words = " ".join(" ".join(cells(number, "markdown")).replace("*", "").split())  # a symbol may stand in slanted letters
    for n in (1, 2, 3):
        assert f"{n}. {ask(f'{number}-t{n}')}" in words


def test_lesson_00_says_what_red_text_and_marks_mean():
    words = "\n".join(cells("00", "markdown"))
    for thing in ("SyntaxError", "NameError", "quote is missing", "*unverified", "*outside the range of", "*range", "*typical"):
        assert thing in words


@pytest.mark.parametrize("number", LESSONS)
def test_no_name_of_a_machine_is_printed(number):
    """No key such as elbow_90 or fish.hours_to_4 stands in what a Check cell prints."""
    for cell in nbformat.read(LESSONS[number], as_version=4).cells:
        printed = "".join(o.get("text", "") for o in cell.get("outputs", []))
        assert not re.search(r"[a-z]+_[a-z\d]+|[a-z]\.[a-z]|[a-z]\d{4}", printed)


def examples(words: str) -> list:
    """Return what a text shows to be typed: Python values between backticks, or in lines set in by four blanks."""
    found = []
    for shown in re.findall(r"`([^`]+)`|((?:^    .*\n?)+)", words, re.M):
        with contextlib.suppress(ValueError, SyntaxError):
            found.append(ast.literal_eval("".join(shown).strip()))
    return [value for value in found if value is not None]


def write_the_examples_of(number: str, folder: Path) -> set:
    """Write down what a lesson shows, each of its keys with the first value shown that the pond file takes; return the keys written."""
    shown, written = examples(to_write(number)), set()
    for key in re.findall(r'write_down\("([\w.]+)"', "\n".join(cells(number, "code"))):
        for value in shown:
            with contextlib.suppress(PondFileError):
                assert write_down(key, value, folder).startswith("Written")
                written.add(key)
                shown.remove(value)
                break
    return written


def own_pond_cells(number: str) -> list[str]:
    return [source for source in cells(number, "code") if "my_pond()" in source]


def test_who_writes_down_what_every_lesson_shows_gets_every_answer(tmp_path, monkeypatch, capsys):
    """A student's own pond, lesson by lesson: after lesson 02 the fish, after the last one everything."""
    (tmp_path / "pond.toml").write_text(blank_text(), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    keys = set()
    for number in LESSONS:
        asked = set(re.findall(r'write_down\("([\w.]+)"', "\n".join(cells(number, "code"))))
        keys |= (written := write_the_examples_of(number, tmp_path))
        # a weather file is to be downloaded first; "12 V" is written twice
        assert asked - written <= {"place.weather", "place"}, f"lesson {number} shows nothing that will do"
        assert asked - keys <= {"place.weather"}
        for done in LESSONS if number == max(LESSONS) else ["02"] if number == "02" else []:
            for source in own_pond_cells(done):
                said = str(eval_last(source)) + capsys.readouterr().out
                assert "Our pond" in said and "not planned yet" not in said, said


def eval_last(source: str):
    """Run a cell and return the value of its last line, as a notebook does."""
    *lines, last = ast.parse(source).body
    here: dict = {}
    exec(compile(ast.Module(lines, []), "cell", "exec"), here)
    return eval(compile(ast.Expression(last.value), "cell", "eval"), here)
