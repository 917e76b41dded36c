"""One more set of readings goes to the end of the pond file; what stood there stays, comments and all."""

from __future__ import annotations

import pytest

from pondwright.pond.file import PondFileError, blank_text, demo_pond, demo_text, load_pond
from pondwright.pond.writing import write_down

READING = {"when": "2026-08-20 16:00", "ph": "7.6", "tan": "0.2 mg/L", "temperature": "19 degC", "alkalinity": "70 mg/L"}


def test_a_set_is_added_and_the_others_stay(tmp_path):
    path = tmp_path / "pond.toml"
    path.write_text(demo_text())
    before = load_pond(path)
    said = write_down("readings", READING, folder=tmp_path)
    after = load_pond(path)
    assert said.startswith("Written in pond.toml:  [[readings]] { when = ")
    assert after.readings[:-1] == before.readings and after.readings[-1].when == "2026-08-20 16:00"
    text = path.read_text()
    assert text.startswith(demo_text().rstrip()[:2000]) and "# Story:" in text and text.count("[[readings]]") == 3


def test_the_first_set_of_a_file_without_any(tmp_path):
    path = tmp_path / "pond.toml"
    path.write_text('[pond.shape]\nkind = "circle"\ndiameter = "2 m"\ndepth = "1 m"  # by stick\n')
    write_down("readings", READING, folder=tmp_path)
    write_down("readings", {**READING, "when": "2026-08-21"}, folder=tmp_path)
    assert [r.when for r in load_pond(path).readings] == ["2026-08-20 16:00", "2026-08-21"]
    assert "# by stick" in path.read_text()


def test_a_lesson_may_be_run_twice(tmp_path):
    path = tmp_path / "pond.toml"
    path.write_text(demo_text())
    for ph in ("7.6", "7.6", "7.9"):
        write_down("readings", {**READING, "ph": ph}, folder=tmp_path)
        write_down("fish.groups", {"count": 2, "length": "20 cm"}, folder=tmp_path)
    pond = load_pond(path)
    assert len(pond.readings) == 3 and pond.readings[-1].ph.m == 7.9
    assert len(pond.fish.groups) == 3


def test_a_set_in_a_file_of_blanks(tmp_path):
    path = tmp_path / "pond.toml"
    path.write_text(blank_text())
    write_down("readings", READING, folder=tmp_path)
    write_down("pond.shape", {"kind": "circle", "diameter": "2 m", "depth": "1 m"}, folder=tmp_path)
    assert load_pond(path).readings[0].tan.m == 0.2


def test_a_wrong_set_changes_nothing(tmp_path):
    path = tmp_path / "pond.toml"
    path.write_text(demo_text())
    with pytest.raises(PondFileError, match="tan"):
        write_down("readings", {**READING, "tan": "0.2 degC"}, folder=tmp_path)
    assert path.read_text() == demo_text()


def test_without_a_file_the_line_is_shown(tmp_path):
    assert "[[readings]] { when = " in write_down("readings", READING, folder=tmp_path)
    assert not list(tmp_path.iterdir())


def test_a_list_still_takes_the_place_of_a_list(tmp_path):
    path = tmp_path / "pond.toml"
    path.write_text(demo_text())
    write_down("readings", [READING], folder=tmp_path)
    assert len(load_pond(path).readings) == 1


def test_one_more_group_of_fish(tmp_path):
    path = tmp_path / "pond.toml"
    path.write_text(demo_text())
    write_down("fish.groups", {"count": 2, "length": "20 cm"}, folder=tmp_path)
    assert [g.count for g in load_pond(path).fish.groups] == [14, 6, 2]


DRAIN = {"name": "sludge drain", "kind": "floor", "inside_diameter": "40 mm", "height": "0 cm", "leads_to": "waste"}


def test_an_outlet_is_added_or_takes_the_place_of_its_name(tmp_path):
    path = tmp_path / "pond.toml"
    path.write_text(demo_text())
    said = write_down("vessel.outlets", DRAIN, folder=tmp_path)
    assert said.startswith("Written in pond.toml:  [[vessel.outlets]] { name = ")
    write_down("vessel.outlets", {**DRAIN, "inside_diameter": "50 mm", "screen_open": "60 %"}, folder=tmp_path)
    own, outlets = demo_pond().vessel.outlets, load_pond(path).vessel.outlets
    assert outlets[:-1] == own and outlets[-1].name == "sludge drain" and outlets[-1].leads_to == "waste"
    assert outlets[-1].inside_diameter.m_as("mm") == 50 and outlets[-1].screen_open.m_as("%") == pytest.approx(60)
