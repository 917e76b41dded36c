"""Ponds other than the demo, whole and with sections missing: every one gives a plan that can be told, printed and read by a program."""
from __future__ import annotations

import io
import json

import pytest
import tomlkit

from pondwright.pond.file import parse_pond
from pondwright.pond.findings import findings
from pondwright.pond.plan import plan
from pondwright.report.as_json import as_json
from pondwright.report.pictures import PICTURES
from pondwright.report.printable import printable
from pondwright.report.terminal import tell
from pondwright.units import showing_in
from tests.ponds import TEXTS

SECTIONS = ("place", "fish", "filter", "pump", "plumbing", "power", "plants", "tap", "readings")


def told(data, **choice) -> tuple[str, dict, str]:
    """Return the terminal text, the JSON and the page of a pond."""
    pond = parse_pond(tomlkit.dumps(data))
    out = io.StringIO()
    with showing_in(pond.pond.units):
        made = plan(pond)
        found = findings(made)
        tell(made, found, pond.pond.units, out=out, width=80)
        return out.getvalue(), json.loads(as_json(made, found, pond.pond.units)), printable(made, found, pond.pond.units, **choice)


def data(name: str) -> dict:
    return tomlkit.parse(TEXTS[name]).unwrap()


@pytest.mark.parametrize("name", TEXTS)
def test_a_stage_that_is_planned_whole_has_its_pictures(name):
    _, found, page = told(data(name))
    whole = [key for key, _ in PICTURES if f"{key}.missing" not in found]
    assert page.count("<img") >= len(whole) and ("power" in whole) == ("power" in data(name))


@pytest.mark.parametrize(("gone", "kept"), [
    (("power", "battery"), ("Wiring from left to right", "a year day by day")),
    (("plumbing", "intake"), ("A chart of height over flow", "A cut through the filter vessel")),
    (("place",), ("The line of", "Wiring from left to right")),
    (("pump",), ("A cut through the filter vessel",)),
])
def test_what_is_missing_takes_only_the_pictures_that_need_it(gone, kept):
    this = data("demo")
    section = this
    for key in gone[:-1]:
        section = section[key]
    del section[gone[-1]]
    _, found, page = told(this)
    assert [key for key in found if key.endswith(".missing")]
    for words in kept:
        assert words in page
    assert "No chart" not in page and "No drawing" not in page and "The bars are empty" not in page and "An empty sheet" not in page


@pytest.mark.parametrize("section", SECTIONS)
@pytest.mark.parametrize("name", TEXTS)
def test_without_one_section(name, section):
    text, found, _ = told({k: v for k, v in data(name).items() if k != section}, pictures=())
    assert "survey.volume" in found and "In short" in text


@pytest.mark.parametrize("section", [None, *SECTIONS])
def test_with_one_section_only(section):
    text, found, page = told({k: v for k, v in data("demo").items() if k in ("pond", section)})
    assert "Not planned yet: needs [" in text and "Not planned yet: needs [" in page
    assert [key for key in found if key.endswith(".missing")]


# -------------------------------------------------------------------------------------------- what a reader must be told, by hand


def test_the_half_barrel_is_told_that_it_does_not_suit_koi():
    text, found, page = told(data("half-barrel"), pictures=())
    # pi/4 x (50 in)² x 28 in = 54,978 in³; x 16.387064 mL = 900.9 L; / 4.54609 = 198.2 imperial gallons
    assert found["survey.volume"]["value"] == pytest.approx(198.2, abs=0.05) and found["survey.volume"]["unit"] == "imp gal"
    assert "does not suit koi" in " ".join(text.split()) and "does not suit koi" in page
    assert found["stocking.limit"]["value"] == 0


def test_the_courtyard_in_decimal_commas():
    found = told(data("courtyard"), pictures=())[1]
    # top 4.2 x 2.6 = 10.92, middle 3.6 x 2.1 = 7.56, bottom 3.0 x 1.6 = 4.8 m²; depth 3.42/5 = 0.684 m; 45.96 x 0.684/6 = 5.239 m³
    assert found["survey.volume"]["value"] == pytest.approx(5239, abs=0.5)
    assert found["plumbing.lift"]["value"] == pytest.approx(0.9)
    # un-ionized share at pH 8.6 and 27.5 °C is near a fifth, so 0.4 mg/L of total ammonia is past every limit
    assert found["finding.water.ammonia"]["urgency"] == "danger"


def test_the_earth_pond_in_us_units():
    found = told(data("earth-pond"), pictures=())[1]
    # shoelace 953.5 ft² (worked in the file); mean of twelve soundings 27.55 in; 953.5 x 27.55/12 ft³ x 7.48052 US gal/ft³ = 16,375
    assert found["survey.surface_area"] | {"value": 953.5, "unit": "ft2"} == found["survey.surface_area"]
    assert found["survey.volume"]["value"] == pytest.approx(16375, abs=1)
