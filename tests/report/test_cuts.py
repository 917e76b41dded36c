"""The cut list: each piece of pipe to its length, holes, litres and areas, in metric or inches, and nothing for what is not there."""

from __future__ import annotations

import math
import tomllib

import pytest

from pondwright.pond.file import demo_pond, demo_text, parse_pond
from pondwright.pond.model import Pond
from pondwright.pond.plan import Plan, plan
from pondwright.report.parts import parts
from pondwright.units import Q, show, showing_in
from tests.ponds import TEXTS


def rows(of: Plan | Pond, system: str = "metric") -> dict[str, str]:
    of = of if isinstance(of, Plan) else plan(of, until="drains")
    return {part.what: part.have or part.want for group in parts(of, system).values() for part in group}


def changed(**sections) -> Pond:
    data = tomllib.loads(demo_text())
    for section, keys in sections.items():
        data[section] = {k: v for k, v in {**data[section], **keys}.items() if v is not None}
    return Pond.model_validate(data)


def test_the_demo_drum():
    found = rows(demo_pond())
    assert found["Feed line, from the pump to the filter"] == "cut 7.5 m of pipe or hose, 28 mm inside"
    assert found["Its fittings"] == "4 x 90 degree elbow; 1 x ball valve, fully open"
    assert found["Drain pipe, 36 mm inside"] == "cut 2 x 70 cm, with 10 cm for the wall"  # 0.6 m outside
    area = math.pi / 4 * 0.57**2
    assert found["Mat: open foam"].startswith(show(Q(area, "m2"), "m2"))
    assert found["Layer of lava rock"].startswith(show(Q(area * 630, "L"), "L"))
    assert "28 holes of 6 mm, 1.8 cm apart" in found["Spreader pipe"]
    assert "4 cm above the bottom" in found["Hole for second drain"] and "measure it first" in found["Hole for second drain"]
    assert "Overflow that leads back to the pond" not in found  # one drain carries it all


def test_runs_are_cut_one_by_one():
    runs = [{"pipe": "sch40_1in", "length": "20 ft", "fittings": {"entrance": 1, "elbow_90": 2}},
            {"inside_diameter": "20 mm", "length": "1.5 m", "fittings": {"exit": 1}}]
    found = rows(changed(plumbing={"inside_diameter": None, "length": None, "fittings": None, "runs": runs, "air_break": True}), "us")
    assert found["Feed line, run 1 from the pump"] == "cut 20 ft of Schedule 40 PVC 1 in"
    assert found["Feed line, run 2 from the pump"].startswith("cut 59.1 in of pipe or hose")
    assert found["Air hole in the line, above the vessel's water"] == "one of 0.197 in"


def test_elbows_floor_pipes_and_screens():
    each = {"inside_diameter": "26.6 mm", "length": "0.5 m"}
    outlets = [{**each, "name": "a", "kind": "elbow_up", "height": "10 cm", "mouth": "30 cm", "screen_open": "60 %"},
               {**each, "name": "b", "kind": "floor", "height": "12 cm"}, {**each, "name": "c", "kind": "hole", "height": "20 cm"}]
    found = rows(changed(vessel={"outlets": outlets}))
    cut = plan(changed(vessel={"outlets": outlets}), until="drains")
    listed = [part.have for part in parts(cut, "metric")["drains"] if part.what.startswith("Drain pipe")]
    # outside 50 and wall 10, the elbow's 20 up to its mouth apart, 12 more from the floor; a bare hole has no pipe
    assert listed == ["cut 1 x 60 cm, with 10 cm for the wall", "cut 1 x 72 cm, with 10 cm for the wall"]
    assert found["Pipe inside the vessel, up from its elbow, 26.6 mm inside"] == "cut 1 x 20 cm"
    assert found["Drains: 90 degree elbow"] == "1" and found["Screens before the drains"] == "1"
    assert "in the floor" in found["Hole for b"] and found["Hole for c"].startswith("26.6 mm")
    assert found["Hole for a"].startswith("44.4 mm is common") or found["Hole for a"].startswith("44.5 mm is common")


def test_the_overflow_is_asked_for_where_one_clogged_drain_would_flood():
    tower = plan(parse_pond(TEXTS["tower"]), until="drains")
    assert "turned up inside" in rows(tower, "us")["Overflow that leads back to the pond"]


@pytest.mark.parametrize("name", ["tote", "tower", "submerged-box", "courtyard", "half-barrel"])
@pytest.mark.parametrize("system", ["metric", "us", "imperial"])
def test_every_fixture_has_a_list(name, system):
    with showing_in(system):  # facts in words are written in the units that are shown, as the report does it
        found = rows(parse_pond(TEXTS[name]), system)
    assert all(text.strip() for text in found.values())
    if system != "metric":
        assert not [text for text in found.values() if " cm" in text or " L," in text]


def test_a_siphon_is_on_the_list():
    siphon = {"kind": "loop", "inside_diameter": "22 mm", "crest": "40 cm", "mouth": "5 cm", "length": "1.4 m", "drop": "1 m"}
    assert rows(changed(vessel={"siphon": siphon}))["Siphon, loop"] == "cut 140 cm of pipe, 22 mm inside, its crest at 40 cm"


def test_a_bell_needs_a_hole_for_its_standpipe_and_a_bell():
    bell = {"kind": "bell", "inside_diameter": "26.6 mm", "crest": "40 cm", "mouth": "5 cm", "length": "0.7 m", "drop": "0.6 m"}
    found = rows(changed(vessel={"siphon": bell}))
    assert found["Hole for the siphon's pipe"].startswith("44.5 mm is common for its seal")  # 1-3/4 in, table of seals
    assert "5 cm above the bottom" in found["Bell over it, closed at its top"]
    odd = rows(changed(vessel={"siphon": {**bell, "inside_diameter": "31 mm"}}))
    assert odd["Hole for the siphon's pipe"] == "as the seal that you buy asks for, in the floor"


def test_nothing_is_bought_twice():
    """The container and the solids filter of [filter] are the vessel and its mat, where these are drawn."""
    demo = rows(demo_pond())
    assert [what for what in demo if "harmless content" in what] == ["Filter vessel of known and harmless content before: barrel, inside"]
    assert "Media of all layers together: lava rock, about 20 to 40 mm" in demo and not any("Solids filter" in what for what in demo)
    bare = rows(demo_pond().model_copy(update={"vessel": None}))
    assert "Filter container, of known and harmless content before" in bare and any("Solids filter" in what for what in bare)
    masses = plan(demo_pond(), until="drains")
    assert "full_mass" not in masses["filter"] and "mass_flooded" in masses["vessel"]


def test_a_pipe_that_hangs_down_inside_is_cut_too():
    dip = {"name": "dip", "kind": "elbow_down", "inside_diameter": "40 mm", "height": "48 cm", "mouth": "4 cm", "length": "1.2 m"}
    found = rows(changed(vessel={"outlets": [dip, {**dip, "name": "other"}, {**dip, "name": "flush", "mouth": "48 cm"}]}))
    assert found["Drain pipe, 40 mm inside"] == "cut 3 x 130 cm, with 10 cm for the wall"
    assert found["Pipe inside the vessel, down from its elbow, 40 mm inside"] == "cut 2 x 44 cm"  # from 48 cm down to 4 cm


def test_no_vessel_no_pieces():
    bare = plan(demo_pond().model_copy(update={"vessel": None}), until="drains")
    assert not {"vessel", "drains"} & set(parts(bare, "metric"))
