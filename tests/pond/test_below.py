"""What a pump leaves in the pond: sums worked by hand for each kind of shape, and what must hold for all of them."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pondwright.pond.below import Below
from pondwright.pond.file import demo_text
from pondwright.pond.model import Pond
from pondwright.pond.plan import plan
from pondwright.units import Q

M3 = Q(1, "m3").units
DEMO = tomllib.loads(demo_text())
STEPS = {
    "kind": "shelves",
    "layers": [
        {"length": "4 m", "width": "2 m", "depth": "0.3 m"},
        {"length": "3 m", "width": "1.2 m", "depth": "0.3 m"},
        {"length": "1.2 m", "width": "1 m", "depth": "0.4 m"},
    ],
}
SLOPES = {"kind": "sloped", "length": "4 m", "width": "3 m", "bottom_length": "2 m", "bottom_width": "1 m"}
SQUARE = [["0 m", "0 m"], ["4 m", "0 m"], ["4 m", "3 m"], ["0 m", "3 m"]]
HOLE = {"kind": "soundings", "outline": SQUARE, "depths": ["0.3 m", "0.4 m", "0.3 m", "0.9 m", "0.6 m", "0.5 m"]}
BOWL = {
    "kind": "salt",
    "salt": "500 g",
    "conductivity_before": "200 uS/cm",
    "conductivity_after": "403 uS/cm",
    "surface_area": "10 m2",
    "depth": "1 m",
}


def below(shape) -> Below:
    pond = Pond.model_validate({"pond": {"shape": shape}})
    return Below(pond.pond.shape, plan(pond, until="survey")["survey"])


def litres(shape, height: str, end="typical") -> float:
    return below(shape).water(Q(float(height.split()[0]), "m"), end).m_as("L")


def test_steps():
    # 1.2 x 1 x 0.4 = 0.48 m3 in the deep part; 10 cm higher another 3 x 1.2 x 0.1 = 0.36 m3
    assert litres(STEPS, "0.2 m") == pytest.approx(240)
    assert litres(STEPS, "0.5 m") == pytest.approx(840)
    assert litres(STEPS, "1 m") == pytest.approx(480 + 1080 + 2400)


def test_slopes():
    # half-way up a pond of 1 m the sides measure 3 m and 2 m: (6 + 4 x 2.5 x 1.5 + 2) x 0.5/6 = 1.917 m3
    assert litres({**SLOPES, "depth": "1 m"}, "0.5 m") == pytest.approx(23 / 12 * 1000)
    # an uneven bottom: 0.9, 1.0 and 1.1 m; 10 cm over the deepest place nothing stands on the other two but a film of none. There 10 cm
    # stand between sides of 2 + 2 x 0.1/1.1 = 2.182 m and 1.182 m: 0.1/6 x (2.579 + 4 x 2.091 x 1.091 + 2) = 0.2284 m3, a third of it
    assert litres({**SLOPES, "depth": ["0.9 m", "1.0 m", "1.1 m"]}, "0.1 m") == pytest.approx(228.4 / 3, abs=0.1)


def test_straight_walls():
    # one reading: 12 m2 x 0.25 m
    assert litres({"kind": "rectangle", "length": "4 m", "width": "3 m", "depth": "1 m"}, "0.25 m") == pytest.approx(3000)


def test_soundings():
    # 0.5 m over the deepest the level lies 0.4 m down: 0, 0, 0, 50, 20 and 10 cm over the soundings, 80/6 cm on 12 m2
    assert litres(HOLE, "0.5 m") == pytest.approx(12 * 0.80 / 6 * 1000)
    # at worst all of them are off by the spread of their mean, 2.571 x 0.2280/sqrt(6) = 0.2393 m; a fifth of the typical is left at least:
    # 26.07 cm in the hole, a fifth of 20 and of 10 cm beside it
    assert litres(HOLE, "0.5 m", "low") == pytest.approx(12 * (0.2607 + 0.04 + 0.02) / 6 * 1000, rel=1e-3)


def test_a_pond_whose_bottom_nobody_knows_is_a_bowl_and_says_so():
    # 500 g raise 203 uS/cm: 500/(203/2.03) = 5 m3, under 10 m2 and 1 m: V = 5 m3 x h^(10/5)
    assert litres(BOWL, "0.5 m") == pytest.approx(1250)
    data = {"pond": {"shape": BOWL}, "plumbing": DEMO["plumbing"], "pump": DEMO["pump"]}
    unknown = plan(Pond.model_validate(data), until="drains")["drains"]
    assert "nothing tells how the bottom falls" in unknown["water_left"].note
    assert "emptying.water_left" in unknown.formulas and any("of a bowl" in said.text for said in unknown.assumptions)
    stepped = plan(Pond.model_validate({**data, "pond": {"shape": STEPS}}), until="drains")["drains"]
    assert not stepped["water_left"].note and any("steps in the pond file" in said.text for said in stepped.assumptions)
    # 25 cm over the deepest bottom: 1.2 m2 x 0.25 m
    assert stepped["water_left"].value.m_as("L") == pytest.approx(300) and "geometry.prism_volume" in stepped.formulas


@pytest.mark.parametrize("shape", [STEPS, {**SLOPES, "depth": ["0.9 m", "1.0 m", "1.1 m"]}, HOLE, BOWL, DEMO["pond"]["shape"]])
@given(share=st.floats(0.01, 0.99), end=st.sampled_from(["low", "typical", "high"]))
@settings(max_examples=15, deadline=None)
def test_the_height_that_leaves_a_share_leaves_it(shape, share, end):
    this = below(shape)
    whole = this.water(Q(this.deepest, "m"), end)
    assert whole.m_as(M3) <= this.volumes[end] * (1 + 1e-9)
    assert this.water(Q(this.deepest, "m"), "typical").m_as(M3) == pytest.approx(this.volumes["typical"])
    height = this.height(Q(100 * share, "%"), end)
    assert (this.water(height, end) / whole).m_as("") == pytest.approx(share, abs=0.002)
    higher = this.water(min(1.1 * height, Q(this.deepest, "m")), end)
    assert higher >= this.water(height, end) and this.water(height, "low") <= this.water(height, "typical") <= this.water(height, "high")
