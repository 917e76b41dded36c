"""The printable page: whole, self-contained, escaped, and readable by machines that read aloud."""
from __future__ import annotations

import base64
import itertools
from html.parser import HTMLParser

import pytest

from pondwright.pond.file import demo_pond
from pondwright.pond.plan import plan
from pondwright.report.printable import PICTURES, explain, printable
from pondwright.units import FORMULAS

from .handmade import NASTY, made

VOID = {"meta", "img", "br"}


class Page(HTMLParser):
    """Notes the tags with their attributes and the text, and that every tag is closed."""

    def __init__(self, text: str):
        super().__init__()
        self.tags, self.words, self.open = [], [], []
        self.feed(text)
        assert self.open == []

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        if "style" not in self.open:
            self.words.append(data)

    def all(self, tag):
        return [attrs for name, attrs in self.tags if name == tag]

    @property
    def text(self):
        return " ".join(" ".join(self.words).split())


def page(**choice) -> Page:
    name = choice.pop("name", "Quarry puddle (invented)")
    return Page(printable(*made(name), **choice))


def test_findings_come_first_then_every_stage():
    text = page(pictures={}).text
    order = ("Plan for", "teaching estimates", "What this means, the most urgent first Dangerous", "What to do:",
             "The plan in a few numbers",
             "How it was computed", "The filter: the numbers", "Not planned yet", "beside what the plan asks for", "The formulas Volume of",
             "Sources AH590")
    places = [text.index(words) for words in order]
    assert places == sorted(places)


def test_nothing_is_fetched():
    text = printable(plan(demo_pond(), until="survey"), ())
    assert "http://" not in text and "https://" not in text and "@import" not in text and "url(" not in text
    found = Page(text)
    assert not {"script", "link", "iframe", "object", "form"} & {tag for tag, _ in found.tags}
    assert found.all("img") and all(img["src"].startswith("data:image/png;base64,") for img in found.all("img"))


def test_headings_tables_and_language():
    found = page(pictures={})
    assert found.all("html")[0]["lang"] == "en"
    levels = [int(tag[1]) for tag, _ in found.tags if tag in ("h1", "h2", "h3")]
    assert levels.count(1) == 1 and all(b - a <= 1 for a, b in itertools.pairwise(levels))
    assert all(th.get("scope") in ("col", "row") for th in found.all("th"))
    assert len(found.all("thead")) == len(found.all("table"))


def test_how_it_was_computed_is_written_out():
    text = page(pictures={}).text
    assert "Volume of a pond with straight walls" in text and "V = A d" in text and "geometry.prism_volume" in text
    assert "JCGM 100:2008" in text and "(from memory, unverified)" in text


def test_without_a_date_the_page_is_always_the_same():
    assert len({printable(*made(), pictures={}) for _ in range(2)}) == 1
    assert "Printed on 4 May 2031." in page(pictures={}, when="4 May 2031").text
    assert "Printed on" not in page(pictures={}).text


def test_pictures_carry_their_words():
    class Dot:
        def update(self, plan, system):
            self.said = f"A dot for {plan.pond.name}, {system}."

        def png(self, dpi):
            return b"\x89PNG"

        def alt(self, plan, system):
            return self.said

    img = page(pictures={"filter": Dot, "power": Dot}, system="us").all("img")  # power is not planned: no picture
    data = base64.b64encode(b"\x89PNG").decode()
    assert img == [{"src": f"data:image/png;base64,{data}", "alt": "A dot for Quarry puddle (invented), us."}]


@pytest.mark.parametrize("key", PICTURES)
def test_every_registered_picture_can_be_found(key):
    import importlib

    module, _, name = PICTURES[key].partition(":")
    assert callable(getattr(importlib.import_module(f"pondwright.figures.{module}"), name))


def test_a_nasty_name_is_text():
    text = printable(*made(NASTY), whose=NASTY, when=NASTY, pictures={})
    assert "<script>" not in text and "\x1b" not in text and "\u202e" not in text
    assert "49" not in Page(text).text.split("These are")[0]
    assert "Plan for <script>alert(1)</script> [bold]$(rm -rf ~)[/bold] {{ 7 * 7 }} :fish:" in Page(text).text
    assert "Water can drown <anyone>." in Page(text).text


def test_the_parts_list_takes_sizes_from_the_file():
    more = '[filter]\ncontainer = "200 L"\nmedia = "gravel"\nmedia_volume = "100 L"\noperation = "submerged"\n'
    text = Page(printable(*made(more=more), pictures={})).text
    assert "Media: gravel, about 15 to 30 mm 100 L, about 160 kg dry" in text  # 0.1 m3 x 1550 kg/m3, two digits
    assert "Solids filter before the media (mat or settler) none" in text


@pytest.mark.parametrize("name", ["geometry.prism_volume", "geometry.liner_side"])
def test_a_formula_explains_itself(name):
    told = explain(name)
    assert told.name == name and told.does.endswith(".") and "=" in told.equation and told.references


def test_every_formula_explains_itself():
    for name in FORMULAS:
        told = explain(name)
        assert told.does and told.references, name
