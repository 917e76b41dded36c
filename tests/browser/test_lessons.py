"""Every lesson in a real browser: it runs, its lab shows a picture with words, and the keyboard alone moves everything."""

from __future__ import annotations

import functools
from pathlib import Path

import pytest

from tests.benchmarks import slider

from .chromium import Opened, browsing, needed, started

LESSONS = [p.name for p in sorted((Path(__file__).resolve().parents[2] / "notebooks").glob("*.ipynb"))]
FLOOR = "floor.ipynb"
pytestmark = pytest.mark.browser
needed()


@pytest.fixture(scope="module")
def workbook(tmp_path_factory):
    """One server and one browser for all lessons."""
    folder = tmp_path_factory.mktemp("browser") / "my-pond"
    with started(folder) as (address, token), browsing() as context:
        (folder / FLOOR).write_text(slider.floor_notebook())
        yield context, address, token


@pytest.fixture(scope="module")
def bare(workbook):
    """Tell how long the bare notebook takes, measured anew for each third lesson; it stays open in a page of its own."""
    opened = Opened(*workbook, FLOOR)
    return functools.cache(lambda third: slider.measure(opened))


@pytest.fixture(scope="module", params=LESSONS, ids=lambda name: name.removesuffix(".ipynb"))
def lesson(request, workbook):
    opened = Opened(*workbook, request.param)
    yield opened
    opened.close()


def test_slider_to_pixels_against_the_floor(lesson, bare, say):
    """Printed, never a reason to fail: only that the picture follows the keys is asserted."""
    floor, lab = bare(LESSONS.index(lesson.name) // 3), slider.measure(lesson)  # the lesson last: what is measured comes to the front
    assert min(len(floor), len(lab)) >= slider.PRESSES // 2
    (floor_median, floor_p95), (median, p95) = slider.median_and_p95(floor), slider.median_and_p95(lab)
    say(
        "slider to pixels (goal: p95 at most 1.5 times that of the bare notebook in the same run)",
        f"{lesson.name}: median {median:.0f} ms, p95 {p95:.0f} ms; bare {floor_median:.0f} and {floor_p95:.0f} ms; "
        f"{p95 / floor_p95:.2f} times",
    )


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


LAB = """c => { const lab = c.querySelector('.pondwright-lab').getBoundingClientRect(), panel = c.closest('.jp-NotebookPanel-notebook');
  return [lab.height, (panel.querySelector('.jp-WindowedPanel-outer') || panel).getBoundingClientRect().height]; }"""


def test_the_whole_lab_fits_into_a_small_window(lesson):
    lesson.page.set_viewport_size({"width": 1280, "height": 800})
    lesson.page.wait_for_timeout(500)
    lab, panel = lesson.cell.evaluate(LAB)
    lesson.page.set_viewport_size({"width": 1280, "height": 1000})
    assert lab <= panel, "controls, sentence and picture are seen together"


CONTROLS = """c => [...c.querySelectorAll('.noUi-handle, input, select')].map(e => {
  const text = e.role === 'slider' ? e.getAttribute('aria-label') : e.labels.length ? e.labels[0].innerText : e.parentElement.innerText;
  return {kind: e.role || e.type, name: (text || '').trim(), said: e.getAttribute('aria-valuetext') || ''}; })"""
CUT = """c => [...c.querySelectorAll('.pondwright-lab .widget-label, .pondwright-lab .widget-label-basic')]
  .filter(l => l.offsetWidth && l.scrollWidth > l.clientWidth).map(l => l.innerText)"""


def test_a_screen_reader_finds_the_name_of_every_control(lesson):
    """ipywidgets ties a label to a box and to a list by itself; a slider's name comes from the frame of the labs."""
    lesson.cell.scroll_into_view_if_needed()  # what is far off the screen has no text
    lesson.page.wait_for_timeout(300)
    controls = lesson.cell.evaluate(CONTROLS)
    assert {"slider", "number", "select-one"} <= {c["kind"] for c in controls}
    assert not [c for c in controls if not c["name"]]
    boxes, sliders = ([c["name"] for c in controls if c["kind"] == kind] for kind in ("number", "slider"))
    assert boxes == sliders and len(set(boxes)) == len(boxes)
    assert all(len(c["said"].split(" ")[0].replace(".", "").strip("-0")) <= 4 for c in controls if c["kind"] == "slider"), controls
    tree = lesson.cell.query_selector(".pondwright-lab")
    assert lesson.page.get_by_role("slider", name=sliders[0], exact=True).count() >= 1 and tree
    assert not lesson.cell.evaluate(CUT), "no label is cut off"


def test_a_slider_moves_by_keyboard(lesson):
    """At least one slider moves picture and sentence (a limit that does not bind leaves the sentence as it is)."""
    for handle in lesson.cell.query_selector_all(".widget-slider .noUi-handle"):
        handle.focus()
        before, place, alt = lesson.shown(), handle.get_attribute("aria-valuenow"), lesson.picture[1]
        lesson.press("ArrowRight", 5)
        if handle.get_attribute("aria-valuenow") == place:  # it stands at its end
            lesson.press("ArrowLeft", 5)
        changed = lesson.wait_for_change(before, 2)
        assert handle.get_attribute("aria-valuenow") != place and lesson.focused("e.classList.contains('noUi-handle')")
        if changed:
            _settled(lesson)  # one step of the five may be too small for the rounded numbers of the picture's words
            assert lesson.picture[1] != alt, "the words of the picture follow it"
            return
    raise AssertionError("no slider changes picture and sentence")


def test_a_number_box_takes_a_number_by_keyboard(lesson):
    for handle in lesson.cell.query_selector_all(".widget-slider .noUi-handle"):
        before = _settled(lesson)  # a slider's last steps may still be on their way, and would take the place of what is typed
        handle.focus()
        lesson.press("Shift+Tab")
        assert lesson.focused("e.type") == "number", "the number box comes before its slider"
        old, low, high = (float(lesson.focused(f"e.{name}")) for name in ("value", "min", "max"))
        new = low + (0.3 if old > low + 0.5 * (high - low) else 0.7) * (high - low)
        lesson.press("Control+a")
        lesson.page.keyboard.type(f"{new:.6g}")
        lesson.press("Enter")
        changed = lesson.wait_for_change(before, 2)
        assert float(lesson.focused("e.value")) == pytest.approx(new, rel=0.05)
        assert not lesson.page.query_selector(".jp-Cell.jp-mod-active .cm-editor.cm-focused"), "typing in the box reached the notebook"
        if changed:
            return
    raise AssertionError("no number box changes picture and sentence")


def test_the_unit_switch_changes_what_is_shown_and_not_the_pond(lesson):
    switch = lesson.cell.query_selector("text=Units for all labs >> xpath=.. >> select")
    units, before = _units(lesson), _settled(lesson)
    switch.focus()
    labels = "[...c.querySelectorAll('.widget-label')].map(l => l.innerText).join()"
    for arrow, test in (("ArrowDown", "!=="), ("ArrowUp", "===")):
        _choose(lesson, arrow)
        lesson.page.wait_for_function(f"([c, old]) => {labels} {test} old", arg=[lesson.cell, units], timeout=8000)
        after = _settled(lesson)
    assert after[0] == before[0], "switching the units there and back changed the result"


def _choose(lesson, arrow: str) -> None:
    """Open the list with the space bar, move, take; a bare arrow key would go to JupyterLab, which moves to another cell."""
    for key in ("Space", arrow, "Enter"):
        lesson.press(key)
        lesson.page.wait_for_timeout(100)  # the list opens in its own little window


def _settled(lesson) -> tuple[str, str]:
    """Return what is shown once nothing has changed for a while: late redraws and what the browser's sliders send back have come."""
    now, last = lesson.shown(), None
    while now != last:
        lesson.page.wait_for_timeout(900)
        now, last = lesson.shown(), now
    return now


def _units(lesson) -> str:
    return lesson.cell.evaluate("c => [...c.querySelectorAll('.widget-label')].map(l => l.innerText).join()")


def test_a_decimal_comma_is_a_decimal_point(lesson):
    """A browser whose language has a point drops the comma: 8,5 would become 85."""
    lesson.cell.query_selector(".widget-slider .noUi-handle").focus()
    lesson.press("Shift+Tab")
    whole = int((float(lesson.focused("e.min")) + float(lesson.focused("e.max"))) / 2)
    lesson.press("Control+a")
    lesson.page.keyboard.type(f"{whole},5")
    lesson.press("Enter")
    lesson.page.wait_for_timeout(300)
    assert float(lesson.focused("e.value")) == pytest.approx(whole + 0.5, abs=0.5)  # a count is rounded


def test_an_impossible_number_is_put_back_into_the_range_with_a_sentence(lesson):
    """By keyboard alone; typed again, the sentence stays; a number that can be taken ends it."""
    _settled(lesson)
    lesson.cell.query_selector(".widget-slider .noUi-handle").focus()
    lesson.press("Shift+Tab")
    low, high = (float(lesson.focused(f"e.{end}")) for end in ("min", "max"))
    label = lesson.focused("e.labels[0].innerText")
    for key in ("Enter", "Tab"):
        _type(lesson, "99999999", key)
        lesson.page.wait_for_function(f"c => {STATUS}.includes('99999999')", arg=lesson.cell, timeout=8000)
        assert f"“{label}” goes from {low:.12g} to {high:.12g}" in lesson.words and "was typed, so" in lesson.words
        assert "Traceback" not in lesson.words and not lesson.faults
        if key == "Tab":
            lesson.press("Shift+Tab")
        lesson.page.wait_for_function("high => +document.activeElement.value === high", arg=high, timeout=8000)
    _type(lesson, f"{(low + high) / 2:.4g}", "Enter")
    lesson.page.wait_for_function(f"c => !{STATUS}.includes('was typed')", arg=lesson.cell, timeout=8000)


def test_a_box_that_holds_no_number_keeps_the_old_one_and_says_so(lesson):
    before = _settled(lesson)
    lesson.cell.query_selector(".widget-slider .noUi-handle").focus()
    lesson.press("Shift+Tab")
    old, label = lesson.focused("e.value"), lesson.focused("e.labels[0].innerText")
    for typed in ("", "-", "abc"):  # a browser takes no letters but "e" in a number
        _type(lesson, typed, "Enter")
        told = lesson.words
        assert lesson.focused("e.value") == old
        assert f"“{label}” needs a number" in told or typed == "abc", (typed, told)
        assert told.endswith(before[0])
    low, high = (float(lesson.focused(f"e.{end}")) for end in ("min", "max"))
    _type(lesson, f"{low + 0.4 * (high - low):.3g}", "Enter")
    assert "needs a number" not in lesson.words


STATUS = "c.querySelector('p[role=status]').innerText"


def _type(lesson, text: str, then: str) -> None:
    """Put a text into the number box that has the focus, in place of what it holds."""
    lesson.press("Control+a")
    lesson.press("Delete")
    lesson.page.keyboard.type(text)
    lesson.press(then)
    lesson.page.wait_for_timeout(100)


def test_nothing_is_asked_of_the_network(lesson):
    assert lesson.asked - {""} == {"127.0.0.1"}


def test_the_working_folder_holds_what_it_should(lesson):
    names = {entry["name"] for entry in lesson.ask("api/contents/")["content"]}
    assert {*LESSONS, "worksheets", "demo-pond.toml", "pond.toml"} <= names
