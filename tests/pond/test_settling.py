"""The smallest grain that stays below where the water rises: its range, and the pond's own water."""
from __future__ import annotations

import pytest

from pondwright.pond.file import parse_pond
from pondwright.pond.plan import plan
from pondwright.science import solids
from pondwright.units import Q
from tests.grades import hand_worked
from tests.ponds import TEXTS


@pytest.fixture(scope="module")
def box():
    return plan(parse_pond(TEXTS["submerged-box"]), until="vessel")


def stokes(flow: float, area: float, heavier: float, viscosity: float) -> float:
    """Work a grain (um) out by Stokes' law: L/min, m2, kg/m3, mPa s."""
    return 1e6 * (18 * viscosity / 1000 * flow / 60_000 / area / (9.80665 * heavier)) ** 0.5


@hand_worked(solids.smallest_settled)
def test_light_dirt_in_cold_water_sets_the_limit(box):
    found, flow, months = box["vessel.settled"], box["plumbing.flow"], box["fish"].series["water_temperature"].m_as("degC")
    area = box["vessel.plan_area"].value.m_as("m**2")
    assert found.decides and found.value == found.high and not found.extrapolated
    # the coldest and the warmest month as the reference tables of water give them, to the nearest 5 degrees: mPa s and kg/m3
    table = {0: (1.792, 999.8), 5: (1.518, 1000.0), 10: (1.306, 999.7), 15: (1.138, 999.1), 20: (1.002, 998.2), 25: (0.890, 997.0)}
    cold, warm = (table[5 * round(t / 5)] for t in (months.min(), months.max()))
    limits = stokes(flow.high.m_as("L/min"), area, 1050 - cold[1], cold[0]), stokes(flow.low.m_as("L/min"), area, 1190 - warm[1], warm[0])
    assert found.high.m_as("micrometer") == pytest.approx(limits[0], rel=0.1)  # 5 degrees are some 7 %, and Stokes' law errs by some 3 %
    assert found.low.m_as("micrometer") == pytest.approx(limits[1], rel=0.1)
    assert found.high / found.low > 2 and "dirt_density" not in found.unverified
    assert any("ensity of wet dirt" in a.text for a in box["vessel"].assumptions)


def test_a_pond_in_the_cold_keeps_less(box):
    def planned(climate: str):
        pond = box.pond.model_copy(update={"place": box.pond.place.model_copy(update={"climate": climate})})
        return plan(pond, until="vessel")["vessel.settled"]

    assert planned("rochester-mn").value > planned("miami").value + Q(10, "µm")
