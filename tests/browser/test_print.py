"""The printed plan as it comes out of a browser, on both papers: what stands on which page, and what must never be torn apart."""
from __future__ import annotations

import functools
import io
import re

import pypdf
import pytest

from pondwright.pond.file import parse_pond
from pondwright.pond.findings import findings
from pondwright.pond.plan import plan
from pondwright.pond.results import Urgency
from pondwright.report.printable import printable
from pondwright.units import showing_in
from tests.ponds import TEXTS

from .chromium import browsing, needed

pytestmark = pytest.mark.browser
needed()
PRINTS = [("demo", "A4"), ("demo", "Letter"), ("courtyard", "A4"), ("courtyard", "Letter"), ("earth-pond", "Letter"), ("half-barrel", "A4")]
# Puts tiny marks into the page, two of a number, that must come out on the same sheet: around a row of a table, around an item of a list,
# at a heading and at the first line that follows it, at a finding's two ends.
MARK = """() => {
  let n = 0;
  const put = (node, where, text) => { const dot = document.createElement('span');
    dot.style.fontSize = '1px'; dot.textContent = ` @${text}@ `; node[where](dot); };
  const whole = (kind, from, to) => { n += 1; put(from, 'prepend', kind + n); put(to, 'append', kind + n); };
  const together = (kind, one, two) => { n += 1; put(one, 'prepend', kind + n); put(two, 'prepend', kind + n); };
  const first = box => { while (box.children.length && !/^(LI|P|TR|DT|FIGURE)$/.test(box.tagName)) box = box.children[0];
    return box.tagName === 'FIGURE' ? box.querySelector('figcaption') : box.tagName === 'TR' ? box.lastElementChild : box; };
  document.querySelectorAll('tbody tr').forEach(row => whole('row', row.firstElementChild, row.lastElementChild));
  document.querySelectorAll('.findings li').forEach(item => whole('finding', item, item));
  document.querySelectorAll('caption').forEach(c => together('caption', c, c.parentElement.querySelector('tbody tr').lastElementChild));
  document.querySelectorAll('h2, h3').forEach(h => together('heading', h, first(h.nextElementSibling)));
  document.querySelectorAll('th.first').forEach(h => together('remark', h, h.parentElement.nextElementSibling.firstElementChild));
}"""


@pytest.fixture(scope="module")
def browser():
    with browsing() as context:
        yield context


@functools.cache
def planned(name: str) -> tuple:
    pond = parse_pond(TEXTS[name])
    with showing_in(pond.pond.units):
        made = plan(pond)
        return made, findings(made)


@functools.cache
def html(name: str) -> str:
    made, found = planned(name)
    system = made.pond.pond.units
    with showing_in(system):
        return printable(made, found, system)


@pytest.fixture(scope="module", params=PRINTS, ids="-".join)
def printed(request, browser):
    """Print one pond on one paper; return its name and the text of each sheet."""
    name, paper = request.param
    page = browser.new_page()
    page.set_content(html(name))
    page.evaluate(MARK)
    sheets = [sheet.extract_text() for sheet in pypdf.PdfReader(io.BytesIO(page.pdf(format=paper))).pages]
    page.close()
    return name, sheets


def places(sheets, kind: str) -> dict[str, set[int]]:
    """Say on which sheets the marks of one kind stand."""
    found: dict[str, set[int]] = {}
    for number, text in enumerate(sheets, 1):
        for mark in re.findall(rf"@({kind}\d+)@", text):
            found.setdefault(mark, set()).add(number)
    return found


@pytest.mark.parametrize("kind", ["row", "finding", "caption", "heading", "remark"])
def test_nothing_is_torn_apart(printed, kind):
    where = places(printed[1], kind)
    assert where and not {mark: sheets for mark, sheets in where.items() if len(sheets) > 1}


def test_the_findings_stand_on_the_first_page_and_the_parts_list_on_the_second_at_the_latest(printed):
    name, sheets = printed
    urgent = {f.what[:40] for f in planned(name)[1] if f.urgency <= Urgency.FIX}
    first, second = (" ".join(re.sub("@[a-z]+[0-9]+@", "", text).split()) for text in sheets[:2])
    assert "In short" in first and urgent and not {what for what in urgent if what not in first}
    assert "Parts list" in first + second and "In the pond file" in first + second


def test_every_sheet_is_numbered_and_none_is_nearly_empty(printed):
    sheets = printed[1]
    for n, text in enumerate(sheets, 1):
        assert re.search(rf"page\s*{n}\s*of\s*{len(sheets)}", text)
        assert len(text) > 300 or n == len(sheets)
