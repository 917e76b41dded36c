"""The printable page: whole, self-contained, escaped, and readable by machines that read aloud."""
from __future__ import annotations

import base64
import importlib
import io
import itertools
import re
from html.parser import HTMLParser

import pytest

from pondwright.pond.file import demo_pond, parse_pond
from pondwright.pond.findings import findings
from pondwright.pond.plan import STAGES, plan
from pondwright.report.formulas import explain, typeset
from pondwright.report.pictures import PICTURES
from pondwright.report.printable import printable
from pondwright.report.terminal import tell
from pondwright.report.words import References, _band, table
from pondwright.sources import SOURCES
from tests.grades import every_formula
from tests.ponds import TEXTS

from .handmade import NASTY, made
from .handmade import number as by_hand

# keys that nobody would take for words or the name of a standard: they mix letters with digits, or capitals into a word
KEYS = re.compile(rf"\b({'|'.join(k for k in SOURCES if re.search('[a-z].*[0-9A-Z]', k))})\b")
OURS = every_formula()
NAMES = re.compile(rf"\b({'|'.join(map(re.escape, OURS))})\b")

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


def page(more: str = "", **choice) -> Page:
    return Page(printable(*made(more=more), **choice))


def test_findings_come_first_then_parts_then_every_stage():
    text = page(pictures=(), more='[filter]\ncontainer = "200 L"\nmedia = "gravel"\nmedia_volume = "100 L"\noperation = "submerged"\n').text
    order = ("Plan for", "teaching estimates", "In short 1 dangerous, 1 to note.", "after the parts list. Dangerous: fish or people",
             "What to do:", "Parts list What the pond file says", "Filter container", "To note: good to know", "The plan in a few numbers",
             "How to read the tables",
             "1 The pond and its water Cautions Water can drown", "How it was computed", "2 The filter The filter: the numbers",
             "3 Sun and electricity Not planned yet", "The arithmetic By chapter", "1 The pond and its water Volume of", "Sources [1]")
    places = [text.index(words) for words in order]
    assert places == sorted(places)


def test_the_parts_list_names_the_chapter_whose_cautions_belong_to_it():
    found = page(pictures=())
    assert "The pond and its water (chapter 1, with its cautions) Pond liner, if the pond needs one" not in found.text  # no liner made here
    text = Page(printable(plan(demo_pond()), (), pictures=())).text
    assert "The pond and its water (chapter 1, with its cautions) Pond liner, if the pond needs one" in text
    assert "Sun, battery and cable (chapter 4, with its cautions) Solar panel" in text
    assert "1 x ball valve, fully open" in text and "outlet: the water's speed is lost;" not in text


def test_what_is_only_to_note_comes_first_where_there_is_nothing_else():
    planned, (_, rough) = made()
    text = Page(printable(planned, (rough,), pictures=())).text
    assert "In short 1 to note. The most urgent comes first. To note: good to know" in text and "after the parts list" not in text
    assert "Nothing stands out." in Page(printable(planned, (), pictures=())).text


def test_nothing_is_fetched():
    text = printable(plan(demo_pond(), until="survey"), ())
    assert "http://" not in text and "https://" not in text and "@import" not in text and "url(" not in text
    found = Page(text)
    assert not {"script", "link", "iframe", "object", "form"} & {tag for tag, _ in found.tags}
    assert found.all("img") and all(img["src"].startswith("data:image/png;base64,") for img in found.all("img"))


def test_headings_tables_and_language():
    found = page(pictures=())
    assert found.all("html")[0]["lang"] == "en"
    levels = [int(tag[1]) for tag, _ in found.tags if tag in ("h1", "h2", "h3")]
    assert levels.count(1) == 1 and all(b - a <= 1 for a, b in itertools.pairwise(levels))
    assert all(th.get("scope") in ("col", "row") for th in found.all("th"))
    assert len(found.all("thead")) == len(found.all("table"))


def test_how_it_was_computed_is_written_out():
    text = page(pictures=()).text
    assert "Volume of a pond with straight walls" in text and "V = A d" in text and "geometry.prism_volume" in text
    assert "JCGM 100:2008" in text and "(from memory, unverified)" in text


def test_without_a_date_the_page_is_always_the_same():
    assert len({printable(*made(), pictures=()) for _ in range(2)}) == 1
    assert "Printed on 4 May 2031." in page(pictures=(), when="4 May 2031").text
    assert "Printed on" not in page(pictures=()).text


def test_pictures_carry_their_words():
    class Dot:
        @classmethod
        def can_show(cls, plan):
            return True

        def update(self, plan, system):
            self.said = f"A dot for {plan.pond.name}, {system}."

        def png(self, dpi):
            return b"\x89PNG"

        def alt(self, plan, system):
            return self.said

    img = page(pictures=[("filter", Dot), ("power", Dot), ("filter", Dot)], system="us").all("img")  # power is not planned: no picture
    data = base64.b64encode(b"\x89PNG").decode()
    assert img == 2 * [{"src": f"data:image/png;base64,{data}", "alt": "A dot for Quarry puddle (invented), us."}]


@pytest.mark.parametrize("stage, where", PICTURES)
def test_every_registered_picture_can_be_found(stage, where):
    assert stage in STAGES
    module, _, name = where.partition(":")
    assert callable(getattr(importlib.import_module(f"pondwright.figures.{module}"), name))


def test_a_nasty_name_is_text():
    text = printable(*made(NASTY), whose=NASTY, when=NASTY, pictures=())
    assert "<script>" not in text and "\x1b" not in text and "\u202e" not in text
    assert "49" not in Page(text).text.split("These are")[0]  # 7 * 7 was not worked out
    assert "Plan for <script>alert(1)</script> [bold]$(rm -rf ~)[/bold] {{ 7 * 7 }} :fish:" in Page(text).text
    assert "Water can drown <anyone>." in Page(text).text


def test_the_parts_list_takes_sizes_from_the_file():
    more = '[filter]\ncontainer = "200 L"\nmedia = "gravel"\nmedia_volume = "100 L"\noperation = "submerged"\n'
    text = Page(printable(*made(more=more), pictures=())).text
    assert "Media: gravel, about 15 to 30 mm 100 L, about 160 kg dry" in text  # 0.1 m3 x 1550 kg/m3, two digits
    assert "Solids filter before the media (mat or settler) none" in text


class Numbers:
    """Stands in for a plan's references where a formula explains itself alone."""

    mark = staticmethod(lambda keys: "[7]")


def test_a_formula_explains_itself():
    told = explain("geometry.prism_volume", Numbers)
    assert told.does == "Volume of a pond with straight walls, or of any pond from its mean depth." and told.equation == "V = A d"
    assert told.references == "[7]"
    turned = explain("oxygen.allowed_use", Numbers).equation
    assert turned.startswith('The equation of "Oxygen left some time after the pump has stopped" solved for D')


MARKUP = re.compile(r":\w+:`|`|\[\w+\]_|\*\*|\b(?!rho|eta|theta)[a-z]{3,}_[a-z]{3,}")


@pytest.mark.parametrize("name", OURS)
def test_no_formula_leaks_markup_names_of_functions_or_keys_of_sources(name):
    told = explain(name, Numbers)
    for text in (told.does, told.equation, told.references):
        assert not MARKUP.search(text), text
        assert not KEYS.search(text), text
    assert told.does and told.references


def test_equations_are_set_and_escaped():
    assert typeset("K_L = K_20 theta^(T - 20) < 1e5") == "K<sub>L</sub> = K<sub>20</sub> θ<sup>T - 20</sup> &lt; 1 × 10<sup>5</sup>"
    assert typeset("1.45 x 10^(0.028(20-max(T,7)))") == "1.45 x 10<sup>0.028(20-max(T,7))</sup>"  # three brackets deep
    assert typeset("<b>pi</b> D²") == "&lt;b&gt;π&lt;/b&gt; D²"


# ------------------------------------------------------------------------------------------- what only programs need stays out


@pytest.mark.parametrize("pond", TEXTS.values(), ids=TEXTS)
def test_keys_of_sources_and_names_of_functions_stay_out_of_a_plan(pond):
    planned = plan(parse_pond(pond))
    found = findings(planned)
    out = io.StringIO()
    tell(planned, found, out=out, width=100)
    whole = Page(printable(planned, found, pictures=())).text
    shown, arithmetic = whole.split("The arithmetic By chapter")
    for text in (out.getvalue(), shown, arithmetic.split("Sources [1]")[0]):
        assert not (leak := KEYS.search(text)), text[max(0, leak.start() - 80) : leak.end() + 80]
    for text in (out.getvalue(), shown):  # under The arithmetic a function's name stands, and is said to be one
        assert not (leak := NAMES.search(text)), text[max(0, leak.start() - 80) : leak.end() + 80]


def test_a_source_is_a_number_in_the_text_and_written_out_in_the_list():
    planned = plan(demo_pond())
    references, text = References(planned), Page(printable(planned, (), pictures=())).text
    n = references.number["OpenStudioStat"]
    assert f"means of a typical year. A dull year has darker months than these. [{n}]" in text
    assert f"[{n}] Monthly statistics of EnergyPlus weather files" in text
    assert "[common practice]" in text and "our own judgement" in text
    assert f"Zhu & Chen 1999 [{references.number['ZhuChen1999']}]" in text  # a cell that holds a key


def test_only_a_range_that_was_widened_says_so():
    planned = plan(demo_pond())
    said = {r.key: r.remark for s in planned.stages.values() for r in table(s, "metric", References(planned)).rows}
    numbers = {f"{s.key}.{n.key}": n for s in planned.stages.values() for n in s.numbers.values()}
    assert [key for key, number in numbers.items() if number.extrapolated and not number.widened], "the night is marked, and not widened"
    for key, number in numbers.items():
        assert ("extrapolated (" in said[key]) == bool(number.extrapolated)
        assert ("range widened" in said[key]) == number.widened


def test_what_weakens_several_numbers_is_said_once():
    planned = plan(demo_pond())
    made_ = table(planned["plumbing"], "metric", References(planned))
    assert [made_.notes[what] for what in made_.notes] == list("abcdefgh"[: len(made_.notes)])
    assert made_.notes["roughness of the pipe wall"] == "a"
    assert sum("unverified (a)" in r.remark for r in made_.rows) > 1


def test_a_band_from_minutes_to_hours_names_both_units():
    short = by_hand("lasts", "It lasts", "h", 0.731, 22.1, 111.0, decides=True)
    assert _band(short, "metric") == ("22.1 h", "43.9 min to 111 h")
    assert _band(by_hand("lasts", "It lasts", "h", 2.0, 22.1, 111.0, decides=True), "metric") == ("22.1", "2 to 111")
