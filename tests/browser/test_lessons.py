"""Every lesson in a real browser: it runs, its lab shows a picture with words, and the keyboard alone moves everything."""

from __future__ import annotations

from pathlib import Path

import pytest

from .chromium import HOW, Opened, browsing, find, started

LESSONS = [p.name for p in sorted((Path(__file__).resolve().parents[2] / "notebooks").glob("*.ipynb"))]
pytestmark = [pytest.mark.browser, pytest.mark.skipif(find() is None, reason=HOW)]


@pytest.fixture(scope="module")
def workbook(tmp_path_factory):
    """One server and one browser for all lessons."""
    with started(tmp_path_factory.mktemp("browser") / "my-pond") as (address, token), browsing() as context:
        yield context, address, token


@pytest.fixture(scope="module", params=LESSONS, ids=lambda name: name.removesuffix(".ipynb"))
def lesson(request, workbook):
    opened = Opened(*workbook, request.param)
    yield opened
    opened.close()


def test_every_cell_runs(lesson):
    cells = [c for c in lesson.saved()["cells"] if c["cell_type"] == "code"]
    assert all(c["execution_count"] for c in cells), "a cell was not run"
    for cell in cells:
        broken = [o for o in cell["outputs"] if o["output_type"] == "error"]
        if "raises-exception" in cell["metadata"].get("tags", []):
            assert broken
        else:
            assert not broken, f"{cell['source']}\n{broken[0]['ename']}: {broken[0]['evalue']}"
        assert not [o for o in cell["outputs"] if o.get("name") == "stderr"], cell["source"]
    assert not lesson.faults


def test_the_lab_shows_a_picture_and_says_what_is_in_it(lesson):
    _, alt, width = lesson.picture
    assert width > 300
    assert len(alt) > 60 and any(c.isdigit() for c in alt), f"the words of the picture: {alt!r}"
    assert len(lesson.words) > 30 and any(c.isdigit() for c in lesson.words), lesson.words


def test_a_slider_moves_by_keyboard(lesson):
    handle = lesson.cell.query_selector(".widget-slider .noUi-handle")
    handle.scroll_into_view_if_needed()
    handle.focus()
    before, place = lesson.shown(), handle.get_attribute("aria-valuenow")
    for key in ("ArrowRight", "ArrowLeft"):  # a slider at its end has only one way to go
        lesson.press(key, 6)
        if lesson.wait_for_change(before):
            break
    assert lesson.words != before[0] and lesson.picture[0] != before[1], "neither way changed both picture and sentence"
    assert handle.get_attribute("aria-valuenow") != place
    assert lesson.focused("e.classList.contains('noUi-handle')"), "the focus was lost"


def test_a_number_box_takes_a_number_by_keyboard(lesson):
    lesson.cell.query_selector(".widget-slider .noUi-handle").focus()
    lesson.press("Tab")
    assert lesson.focused("e.type") == "number", "the number box comes after its slider"
    old, low, high = (float(lesson.focused(f"e.{name}")) for name in ("value", "min", "max"))
    before = lesson.shown()
    new = low + 0.3 * (high - low) if abs(old - (low + 0.3 * (high - low))) > 0.1 * (high - low) else low + 0.6 * (high - low)
    lesson.press("Control+a")
    lesson.page.keyboard.type(f"{new:.6g}")
    lesson.press("Enter")
    assert lesson.wait_for_change(before), f"typing {new:.6g} changed nothing"
    assert float(lesson.focused("e.value")) == pytest.approx(new, rel=0.05)
    cells = lesson.page.evaluate("document.querySelectorAll('.jp-Cell .jp-mod-active.jp-mod-editMode').length")
    assert cells == 0, "typing in the box reached the notebook"


def test_the_unit_switch_changes_what_is_shown(lesson):
    switch = lesson.cell.query_selector("text=Units for all labs >> xpath=.. >> select")
    units, before = _units(lesson), lesson.shown()
    switch.focus()
    _choose(lesson, "ArrowDown")
    assert lesson.wait_for_change(before), "the US units changed nothing"
    assert _units(lesson) != units, "no slider shows another unit"
    _choose(lesson, "ArrowUp")
    same = "([c, old]) => [...c.querySelectorAll('.widget-label')].map(l => l.innerText).join() === old"
    lesson.page.wait_for_function(same, arg=[lesson.cell, units], timeout=8000)


def _choose(lesson, arrow: str) -> None:
    """Open the list with the space bar, move, take; a bare arrow key would go to JupyterLab, which moves to another cell."""
    for key in ("Space", arrow, "Enter"):
        lesson.press(key)
        lesson.page.wait_for_timeout(100)  # the list opens in its own little window


def _units(lesson) -> str:
    return lesson.cell.evaluate("c => [...c.querySelectorAll('.widget-label')].map(l => l.innerText).join()")


def test_an_impossible_number_is_put_back_into_the_range(lesson):
    lesson.cell.query_selector(".widget-slider .noUi-handle").focus()
    lesson.press("Tab")
    high = float(lesson.focused("e.max"))
    lesson.press("Control+a")
    lesson.page.keyboard.type("99999999")
    lesson.press("Tab")
    lesson.page.wait_for_timeout(300)
    lesson.press("Shift+Tab")
    assert float(lesson.focused("e.value")) <= high * (1 + 1e-6)
    assert "Traceback" not in lesson.words and not lesson.faults


def test_nothing_is_asked_of_the_network(lesson):
    assert lesson.asked - {""} == {"127.0.0.1"}


def test_the_working_folder_holds_what_it_should(lesson):
    names = {entry["name"] for entry in lesson.ask("api/contents/")["content"]}
    assert {*LESSONS, "worksheets", "demo-pond.toml", "pond.toml"} <= names
