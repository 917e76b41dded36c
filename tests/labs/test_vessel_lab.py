"""The lab of the vessel: what its sliders do to levels and to the longest stop, and that it never asks for what cannot be built."""

from __future__ import annotations

import pytest

from pondwright.labs import VesselLab
from pondwright.labs.base import UNITS
from pondwright.pond.file import demo_pond, load_pond, parse_pond
from pondwright.pond.plan import plan
from tests.pond.test_plan import FIXTURES

BARE = '[pond.shape]\nkind = "circle"\ndiameter = "2 m"\ndepth = "1 m"\n'


@pytest.fixture
def lab():
    UNITS.system = "metric"
    return VesselLab(demo_pond())


def test_it_starts_at_the_ponds_own_vessel(lab):
    whole = plan(demo_pond(), until="drains")
    for key in ("vessel.safe_stop", "vessel.mass_flooded", "vessel.volume_drained"):
        assert lab.result[key].value.magnitude == pytest.approx(whole[key].value.magnitude, rel=1e-9)
    # the lab knows the flow without its range
    mine, plans = (result["drains.level_running"].typical.m_as("cm") for result in (lab.result, whole))
    assert mine == pytest.approx(plans, rel=0.02)
    assert "both drains open" in lab.words and "below the rim" in lab.words


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
    UNITS.system = "metric"
    lab = VesselLab(load_pond(FIXTURES / "submerged-box.toml")).set(mat="4 cm", media="20 cm")
    assert [x.kind for x in lab.result.pond.vessel.layers] == ["gap", "media", "mat", "grid", "plenum"]


def test_a_pond_file_without_a_vessel_gets_an_invented_one():
    UNITS.system = "metric"
    lab = VesselLab(parse_pond(BARE))
    assert "invented practice drum" in lab.words and "sure to live" in lab.words


def test_without_fish_a_flooded_bed_says_what_it_needs():
    UNITS.system = "metric"
    assert "not known yet" in VesselLab(parse_pond(BARE)).set(height="76 cm").words
