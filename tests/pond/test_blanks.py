"""What is written down takes the place of its blank in the pond file, and the lines around it stay."""

from __future__ import annotations

import difflib
import re

import pytest

from pondwright.pond.blanks import filled
from pondwright.pond.file import blank_text, load_pond, parse_pond
from pondwright.pond.line import Intake, Plumbing, Pump, Run
from pondwright.pond.vessel import Layer, Outlet, Siphon, Spreader, Vessel
from pondwright.pond.writing import _inline, write_down
from pondwright.units import Q


@pytest.fixture
def path(tmp_path):
    path = tmp_path / "pond.toml"
    path.write_text(blank_text(), encoding="utf-8")
    return path


def changes(before: str, after: str) -> tuple[list[str], list[str]]:
    """Return the lines that went and the lines that came."""
    lines = [line for line in difflib.ndiff(before.splitlines(), after.splitlines()) if line[0] in "+-"]
    return [line[2:] for line in lines if line[0] == "-"], [line[2:] for line in lines if line[0] == "+"]


SHAPE = {"kind": "ellipse", "length": "4.1 m", "width": "2.6 m", "depth": ["0.8 m", "0.75 m"]}


def test_a_section_takes_the_place_of_its_blanks(path):
    write_down("pond.shape", SHAPE, path.parent)
    gone, come = changes(blank_text(), path.read_text())
    assert gone == ["# [pond.shape]", '# kind = "rectangle"', '# length = "___ m"', '# width = "___ m"',
                    '# depth = ["___ m", "___ m", "___ m"]      # several readings are better than one']
    assert come == ["[pond.shape]", 'kind = "ellipse"', 'length = "4.1 m"', 'width = "2.6 m"',
                    'depth = ["0.8 m", "0.75 m"]      # several readings are better than one']


def test_one_key_takes_the_place_of_its_blank_with_its_remark(path):
    write_down("pond.shape", SHAPE, path.parent)
    before = path.read_text()
    write_down("tap.disinfectant", "chlorine", path.parent)
    gone, come = changes(before, path.read_text())
    assert [line.partition(" =")[0] for line in gone] == ["# [tap]", "# disinfectant"]
    assert come == ["[tap]", gone[1].removeprefix("# ").replace('"unknown"', '"chlorine"')] and come[1].endswith(gone[1][-30:])
    write_down("pond.note", "dug by hand", path.parent)  # there is no blank for it: it stands in its section all the same
    assert load_pond(path).pond.note == "dug by hand" and path.read_text().index("dug by hand") < path.read_text().index("# ---- the shape")


def test_a_key_without_a_blank_stands_in_its_section(path):
    write_down("pond.shape", {"kind": "circle", "diameter": "3 m", "depth": "1 m"}, path.parent)
    text = path.read_text()
    assert '\ndiameter = "3 m"\n' in text and "# length" in text and text.index("diameter") < text.index("[place]")


def test_another_shape_leaves_the_old_one_as_a_comment(path):
    write_down("pond.shape", SHAPE, path.parent)
    write_down("pond.shape", {"kind": "circle", "diameter": "3 m", "depth": "1 m"}, path.parent)
    assert '# length = "4.1 m"\n# width = "2.6 m"\n' in path.read_text()
    write_down("pond.shape", SHAPE, path.parent)
    text = path.read_text()
    assert text.count("[pond.shape]") == 1 and '\nlength = "4.1 m"\n' in text and '# diameter = "3 m"' in text
    assert load_pond(path).pond.shape.kind == "ellipse"


def test_several_groups_of_fish(path):
    groups = [{"count": 2, "length": "30 cm"}, {"count": 1, "length": "10 cm"}]
    write_down("fish", {"species": "koi", "groups": groups}, path.parent)
    write_down("fish.groups", {"count": 5, "length": "6 cm"}, path.parent)
    text = path.read_text()
    for old in ("# [fish]", "# [[fish.groups]]", "# species", "# count = 0"):
        assert f"\n{old}" not in text
    assert text.count("\n[[fish.groups]]\n") == 3 and text.index("[[fish.groups]]") < text.index("# ---- the filter")
    write_down("pond.shape", SHAPE, path.parent)
    assert [g.count for g in load_pond(path).fish.groups] == [2, 1, 5]


def test_readings_into_the_blank_and_then_below_it(path):
    for day in ("2026-08-20", "2026-08-21", "2026-08-21"):
        write_down("readings", {"when": day, "ph": "7.6"}, path.parent)
    write_down("pond.shape", SHAPE, path.parent)
    text = path.read_text()
    assert text.count("\n[[readings]]\n") == 2 and "# [[readings]]" not in text
    assert [r.when for r in load_pond(path).readings] == ["2026-08-20", "2026-08-21"]


def test_a_section_inside_a_section(path):
    panel = {"power": "50 W", "voc": "22 V", "isc": "3 A", "vmp": "18 V", "imp": "2.8 A", "tilt": "50 deg", "azimuth": "180 deg"}
    write_down("power", {"voltage": "12 V", "panel": panel}, path.parent)
    write_down("pond.shape", SHAPE, path.parent)
    text = path.read_text()
    assert "\n[power]\n" in text and "\n[power.panel]\n" in text and "\n# [power.battery]\n" in text
    assert load_pond(path).power.panel.tilt == Q(50, "deg")


def test_windows_line_ends_stay(path):
    path.write_bytes(blank_text().replace("\n", "\r\n").encode())
    write_down("pond.shape", SHAPE, path.parent)
    data = path.read_bytes()
    assert data.count(b"\r\n") == data.count(b"\n") and b'\r\nkind = "ellipse"\r\n' in data


def test_a_comment_that_only_looks_like_a_blank_stays():
    text = '[pond.shape]\n# kind = of round, the old basin\nkind = "circle"\n# diameter = see the sketch\ndepth = "1 m"\n'
    new = filled(text, "pond.shape.diameter", "3 m", _inline)
    assert "# kind = of round" in new and "# diameter = see the sketch" in new and parse_pond(new).pond.shape.diameter == Q(3, "m")


@pytest.mark.parametrize(
    "text, key, value",
    [
        ("", "pond.name", "x"),  # no section
        ('[pump]\ncurve = [\n  { flow = "0 L/min" },\n]\n', "pump.curve", []),  # a value of several lines
        ("[pond]\n", "readings", [{"when": "x"}]),
        ("[pond]\n", "pond.shape", {"kind": "circle"}),
    ],
)
def test_without_a_place_nothing_is_proposed(text, key, value):
    assert filled(text, key, value, _inline) is None


def test_a_siphon_and_one_more_drain_go_into_their_blanks(path):
    write_down("pond.shape", SHAPE, path.parent)
    vessel = {"shape": "barrel", "diameter": "57 cm", "height": "88 cm", "layers": [{"kind": "gap", "thickness": "80 cm"}]}
    siphon = {"kind": "bell", "inside_diameter": "21 mm", "crest": "24 cm", "mouth": "4 cm", "length": "0.8 m", "drop": "0.7 m"}
    outlets = [{"name": name, "kind": "stub", "inside_diameter": "36 mm", "height": f"{height} cm", "screen_open": "50 %"}
               for name, height in (("drain", 4), ("overflow", 80))]
    write_down("vessel", vessel, path.parent)
    for outlet in outlets:
        write_down("vessel.outlets", outlet, path.parent)
    write_down("vessel.siphon", siphon, path.parent)
    write_down("vessel.empty_mass", "9 kg", path.parent)
    text, read = path.read_text(), load_pond(path).vessel
    assert text.count("\n[[vessel.outlets]]\n") == 2 and text.count("\n[vessel.siphon]") == 1 and "\n# [vessel.siphon]" not in text
    assert [x.name for x in read.outlets] == ["drain", "overflow"] and read.siphon.crest == Q(24, "cm") and read.empty_mass == Q(9, "kg")
    assert 'empty_mass = "9 kg"                    # the vessel alone' in text


def test_the_blank_names_every_key_of_vessel_line_and_pump():
    """A builder who types a vessel looks nowhere else."""
    text = blank_text()
    for model in (Vessel, Layer, Spreader, Outlet, Siphon, Pump, Plumbing, Run, Intake):
        assert [key for key in model.model_fields if not re.search(rf"\b{key}\b", text)] == [], model.__name__
