"""The lab of the vessel: what its sliders do to levels and to the longest stop, and that it never asks for what cannot be built."""

from __future__ import annotations

import pytest

from pondwright.labs import VesselLab
from pondwright.labs.base import UNITS
from pondwright.labs.vessel import pond_of
from pondwright.pond.file import demo_pond, parse_pond
from pondwright.pond.plan import plan
from pondwright.units import Q
from tests.ponds import TEXTS

BARE = '[pond.shape]\nkind = "circle"\ndiameter = "2 m"\ndepth = "1 m"\n'


@pytest.fixture
def lab():
    UNITS.system = "metric"
    return VesselLab(demo_pond())


def of(name: str) -> VesselLab:
    UNITS.system = "metric"
    return VesselLab(parse_pond(TEXTS[name]))


def outlets(lab) -> tuple:
    return lab.result.pond.vessel.outlets


def test_it_says_the_plans_own_numbers(lab):
    whole = plan(demo_pond(), until="drains")
    level, flow = whole["drains.level_running"], whole["plumbing.flow"]
    assert f"Up to {flow.high.m_as('L/min'):.1f} L/min come in, with both drains open. The water stands at {level.text()}" in lab.words
    assert "below the rim, at worst" in lab.words
    lab.set(blocked=True)
    assert whole["drains.level_blocked"].text() in lab.words


def test_a_blocked_drain_raises_the_level(lab):
    def level():
        return lab.result["drains.level_blocked" if lab.inputs.blocked else "drains.level_running"].value.m_as("cm")

    before = level()
    lab.set(blocked=True)
    assert level() > before and "one of 2 drains blocked" in lab.words and lab.picture.blocked
    lab.set(drains="1")
    assert "runs over its rim" in lab.words


def test_raising_the_drain_drowns_the_media(lab):
    assert "media drain" in lab.words
    lab.set(height="76 cm")
    assert "stand under water" in lab.words and "min" in lab.words
    assert lab.result["vessel.safe_stop"].value.m_as("h") < 2


def test_more_media_than_fit_are_cut(lab):
    lab.set(media="150 cm", mat="5 cm")
    # 88 cm less 8 free, 2 grid, 8 plenum and 5 mat
    assert "Only 65 cm of media fit" in lab.words
    lab.set(mat="0 cm", media="40 cm")
    assert [x.kind for x in lab.result.pond.vessel.layers] == ["gap", "media", "grid", "plenum"]


def test_water_that_rises_meets_the_mat_first():
    lab = of("submerged-box").set(mat="4 cm", media="20 cm")
    assert [x.kind for x in lab.result.pond.vessel.layers] == ["gap", "media", "mat", "grid", "plenum"]


def test_a_pond_file_without_a_vessel_gets_an_invented_one():
    UNITS.system = "metric"
    lab = VesselLab(parse_pond(BARE))
    assert "invented practice drum" in lab.words and "sure to live" in lab.words


def test_without_fish_a_flooded_bed_says_what_it_needs():
    UNITS.system = "metric"
    assert "not known yet" in VesselLab(parse_pond(BARE)).set(height="76 cm").words


def test_until_a_slider_is_moved_the_vessel_is_the_ponds_own():
    for name in ("tote", "tower", "siphon-bed", "submerged-box"):
        lab = of(name)
        assert lab.result.pond.vessel is lab.pond.vessel and lab.result["plumbing"] == lab._earlier()["plumbing"]
        lab.set(flow="3 L/min", blocked=True)
        assert lab.result.pond.vessel is lab.pond.vessel


def test_drains_that_differ_keep_what_no_slider_says():
    """The tote's drains: two alike, one of them behind a screen, and an overflow."""
    lab = of("tote")
    own = lab.pond.vessel.outlets
    first, screened, overflow = own
    lab.set(bore="60 mm")
    assert "First drain, inside width" in [row.spec.label for row in lab._rows.values()]
    assert outlets(lab) == (first.model_copy(update={"inside_diameter": Q(60.0, "mm")}), screened, overflow)
    lab.set(bore="45 mm", drains=2)
    assert outlets(lab) == (first, screened)
    lab.set(drains=4)
    assert outlets(lab) == (*own, first.model_copy(update={"name": "drain 1"}))


def test_drains_that_are_alike_move_together(lab):
    lab.set(bore="40 mm", height="6 cm", drains=3)
    assert [(x.inside_diameter.m_as("mm"), x.height.m_as("cm")) for x in outlets(lab)] == [(40, 6)] * 3
    assert len({x.name for x in outlets(lab)}) == 3 and [x.length for x in outlets(lab)][:2] == [x.length for x in lab.pond.vessel.outlets]


def test_two_layers_of_media_become_thinner_together():
    more = 'media = "lava_rock"\nthickness = "10 cm"\n\n[[vessel.layers]]\nkind = "media"\nmedia = "plastic_rings"\nthickness = "25 cm"'
    text = TEXTS["tote"].replace('media = "plastic_rings"\nthickness = "35 cm"', more)
    lab = VesselLab(parse_pond(text)).set(media="7 cm")
    layers = [(x.media, x.thickness.m_as("cm")) for x in lab.result.pond.vessel.layers if x.media]
    assert layers == [("foam", 6), ("lava_rock", pytest.approx(2)), ("plastic_rings", pytest.approx(5))]


ELBOW = """[vessel]
shape = "barrel"
diameter = "50 cm"
height = "80 cm"
layers = [{ kind = "gap", thickness = "80 cm" }]
[[vessel.outlets]]
name = "one"
kind = "elbow_%s"
inside_diameter = "36 mm"
height = "%s cm"
mouth = "40 cm"
"""


@pytest.mark.parametrize("turned, height, label, moved, found", [
    ("up", 5, "mouth", "30 cm", (5, 30)), ("up", 5, "mouth", "3 cm", (3, 3)),
    ("down", 50, "middle", "60 cm", (60, 40)), ("down", 50, "middle", "20 cm", (20, 20)),
])
def test_an_elbow_is_moved_with_its_open_end(turned, height, label, moved, found):
    lab = VesselLab(parse_pond(BARE + ELBOW % (turned, height)))
    assert f"Height of the drains' {label}" in [row.spec.label for row in lab._rows.values()]
    lab.set(height=moved)
    assert (outlets(lab)[0].height.m_as("cm"), outlets(lab)[0].mouth.m_as("cm")) == found


def test_a_siphon_is_kept_and_said():
    lab = of("siphon-bed")
    whole = plan(lab.pond, until="drains")["drains"]
    assert "its one drain and its siphon open. The water rises to" in lab.words and whole.facts["siphon"] in lab.words
    lab.set(bore="30 mm")
    assert lab.result.pond.vessel.siphon is lab.pond.vessel.siphon
    lab.set(blocked=True)
    assert "the siphon blocked" in lab.words and "starts again" not in lab.words


def test_a_vessel_that_may_run_over_at_worst_is_not_said_to_run_over(lab):
    lab.set(drains=1, bore="16 mm")
    level = lab.result["drains.level_running"]
    assert level.typical < level.value == Q(88, "cm")
    assert "At worst the vessel runs over its rim; typically the water stands at" in lab.words


def test_what_is_invented_is_said():
    vessel = '[vessel]\nshape = "barrel"\ndiameter = "50 cm"\nheight = "80 cm"\nlayers = [{ kind = "gap", thickness = "80 cm" }]\n'
    lab = VesselLab(parse_pond(BARE + vessel))
    assert "No level is known: your pond file needs [vessel] with [[vessel.outlets]]" in lab.words
    lab.set(drains=1)
    assert "an invented flow: your pond file tells none yet" in lab.words and "practice drum" not in lab.words
    lab.set(flow="12 L/min")
    assert lab.words.startswith("12 L/min come in, with its one drain open. The water stands at")


def test_layers_thicker_than_the_sliders_range_are_not_cut():
    text = TEXTS["tote"].replace('height = "75 cm"', 'height = "3 m"').replace('thickness = "35 cm"', 'thickness = "190 cm"')
    lab = VesselLab(parse_pond(text))
    row = lab._rows["media"].spec
    assert lab.inputs.media.m_as("cm") == 190 and row.low == 5 and row.high == 190 and lab.result.pond.vessel is lab.pond.vessel


def test_what_the_sliders_say_is_all_that_changes(lab):
    vessel = lab.pond.vessel
    assert pond_of(lab.pond, vessel, lab.inputs, frozenset()) == lab.pond
    lab.set(height="10 cm")
    changed = lab.result.pond.vessel
    assert [x.model_copy(update={"height": y.height}) for x, y in zip(changed.outlets, vessel.outlets, strict=True)] == list(vessel.outlets)
    assert changed.model_copy(update={"outlets": vessel.outlets}) == vessel
