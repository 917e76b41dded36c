"""Areas, volumes, loading and the three limits of a filter against printed examples and worked arithmetic; plants too."""
from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pondwright.science import biofilter as b
from pondwright.science import nitrogen, plants
from pondwright.tables import coefficients, load
from pondwright.units import Q, QuantityError
from tests.grades import hand_worked, published

from .reference import each, rows


def grams(value):
    return Q(value, "g/d")


@each("media", "^sphere-bed")
@hand_worked(b.sphere_bed_surface)
def test_bed_of_balls(row):
    # one ball: surface pi d2 to volume pi d3/6 is 6/d; the balls fill 1 - void. 1 mm and 0.4: 6 x 0.6/0.001 = 3600 m2/m3
    row.assert_close(b.sphere_bed_surface(Q(row.given()["d_mm"], "mm"), row.given()["eps"]), "m2/m3")


@each("media", "^external surface estimate")
@hand_worked(b.sphere_bed_surface)
def test_outer_surface_of_stones(row):
    # as balls of the same size: sand of 0.3 mm and 0.4: 6 x 0.6/0.0003 = 12,000 m2/m3
    row.assert_close(b.sphere_bed_surface(Q(row.given()["d_mm"], "mm"), row.given()["eps"]), "m2/m3")


SIZES = {  # mm, smallest and largest grain
    "lava_rock": (20, 40), "gravel": (15, 30), "pea_gravel": (6, 14), "expanded_clay": (8, 16), "sand": (0.2, 0.8), "coarse_rock": (25, 75),
}


@pytest.mark.parametrize("key", SIZES)
def test_no_stone_has_more_surface_than_its_size_allows(key):
    """What the table gives as typical lies between smooth balls of the largest grain and rough ones (twice as much) of the smallest."""
    row = load("media")[key]
    least, most = (b.sphere_bed_surface(Q(d, "mm"), row["void_fraction"]).m_as("1/m") for d in reversed(SIZES[key]))
    assert least <= row["ssa_typical"].m_as("1/m") * 1.05 and row["ssa_typical"].m_as("1/m") <= 2 * most


def test_media_table_is_in_order():
    for row in load("media").rows:
        assert row["ssa_low"] <= row["ssa_typical"] <= row["ssa_high"], row["key"]
        assert 0.2 < row["void_fraction"].m < 1 and row["suits"] and row["status"] in ("sphere", "memory")


@published("NH Code Admin. R. Env-Wq 714.02, Table 714-1: rock and plastic media for trickling filters, 14 to 68 ft2/ft3")
@pytest.mark.parametrize("key", ["coarse_rock", "corrugated_sheet", "plastic_rings"])
def test_trickling_media_lie_in_the_range_of_the_code(key):
    low, high = (Q(v, "ft2/ft3").m_as("1/m") for v in (14, 68))
    row = load("media")[key]
    assert low - 1 <= row["ssa_low"].m_as("1/m") <= row["ssa_typical"].m_as("1/m") <= high


@hand_worked(b.media_area)
def test_area_of_media():
    # 0.16 m3 x 160 m2/m3
    assert b.media_area(Q(160, "L"), Q(160, "m2/m3")).m_as("m**2") == pytest.approx(25.6)


@each("feed_loads", "^step 2 recomputed")
@hand_worked(b.area_needed)
def test_fao_area(row):
    # the inputs of FAO TP 589 Appendix 4 are from memory: 7.5 / 0.57
    row.assert_close(b.area_needed(grams(7.5), Q(0.57, "g/m2/d")), "m2")


@hand_worked(b.media_volume)
def test_fao_volume():
    # the same example, from memory: 13.2 m2 on volcanic tuff of 300 m2/m3 is 0.044 m3
    assert b.media_volume(Q(13.2, "m2"), Q(300, "m2/m3")).m_as("L") == pytest.approx(44, abs=0.5)


@each("design_examples", "^TRICKLING-STYLE")
@hand_worked(b.area_needed)
def test_area_for_a_kilogram_of_feed(row):
    # 1000 g x 0.35 x 0.092 = 32.2 g; / 0.45 g/m2/d
    load_ = nitrogen.tan_from_feed(Q(1, "kg/d"), 0.35)
    row.assert_close(b.area_needed(load_, Q(0.45, "g/m2/d")), "m2")


@each("design_examples", "^media volume for it")
@hand_worked(b.media_volume)
def test_volume_for_a_kilogram_of_feed(row):
    row.assert_close(b.media_volume(Q(32.2 / 0.45, "m2"), Q(row.given()["SSA"], "m2/m3")), "L")


@each("design_examples", "^MOVING-BED")
@hand_worked(b.volume_by_conversion)
def test_volume_by_conversion(row):
    row.assert_close(b.volume_by_conversion(grams(row.given()["P_TAN_g"]), Q(row.given()["VTR"], "g/m3/d")), "L")


@hand_worked(b.area_needed)
def test_half_the_hours_need_twice_the_area():
    full, half = (b.area_needed(grams(6), Q(0.2, "g/m2/d"), Q(h, "h/d")) for h in (24, 12))
    assert (full.m_as("m**2"), half.m_as("m**2")) == (pytest.approx(30), pytest.approx(60))  # 6/0.2


# ----------------------------------------------------------------------------------------------------------------- the three limits


@hand_worked(b.surface_capacity)
def test_surface_limit():
    # 0.2 g/m2/d x 25 m2 = 5 g/d; 12 h of 24: half
    rate, area = Q(0.2, "g/m2/d"), Q(25, "m2")
    assert b.surface_capacity(rate, area).m_as("g/d") == pytest.approx(5)
    assert b.surface_capacity(rate, area, Q(12, "h/d")).m_as("g/d") == pytest.approx(2.5)


@hand_worked(b.flow_capacity)
def test_flow_limit():
    # 20 L/min is 28.8 m3/d; x 0.5 g/m3 x 0.3
    assert b.flow_capacity(Q(20, "L/min"), Q(0.5, "mg/L"), 0.3).m_as("g/d") == pytest.approx(4.32)


@hand_worked(b.oxygen_capacity)
def test_oxygen_limit():
    # 28.8 m3/d x 4.5 g/m3 / 4.57
    assert b.oxygen_capacity(Q(20, "L/min"), Q(4.5, "mg/L")).m_as("g/d") == pytest.approx(129.6 / 4.57)


@hand_worked(b.filter_capacity)
def test_the_smallest_binds():
    surface, flow, oxygen = grams(np.array([5.0, 9.0, 9.0])), grams(np.array([6.0, 4.0, 9.0])), grams(np.array([7.0, 7.0, 3.0]))
    assert b.filter_capacity(surface, flow, oxygen).m_as("g/d") == pytest.approx([5, 4, 3])


@hand_worked(b.flow_needed)
def test_flow_that_is_needed():
    # 4.32 g/d / (0.5 g/m3 x 0.3) = 28.8 m3/d = 20 L/min, twice that in half the hours
    assert b.flow_needed(grams(4.32), Q(0.5, "mg/L"), 0.3).m_as("L/min") == pytest.approx(20)
    assert b.flow_needed(grams(4.32), Q(0.5, "mg/L"), 0.3, Q(12, "h/d")).m_as("L/min") == pytest.approx(40)


@each("nitrification", "^1 gpm/ft2 in SI")
@hand_worked(b.hydraulic_loading)
def test_hydraulic_loading(row):
    row.assert_close(b.hydraulic_loading(Q(1, "US gpm"), Q(1, "ft2")), "m3/m2/d")


@published(b.hydraulic_loading, "NH Code Admin. R. Env-Wq 714.02, Table 714-1: nitrifying trickling filters, 0.6 to 1.5 gpm/ft2")
def test_hydraulic_loading_of_the_code():
    row = rows("nitrification", "^0.6-1.5 gpm")[0]
    for flow, printed in zip((0.6, 1.5), row.expected.split(".."), strict=True):
        assert b.hydraulic_loading(Q(flow, "US gpm"), Q(1, "ft2")).m_as("m/d") == pytest.approx(float(printed), rel=0.01)
    band = coefficients()["hydraulic_loading_trickling"]
    assert (band.low.m, band.typical.m) == (pytest.approx(35.2, abs=0.5), pytest.approx(88.0, abs=0.5))


@published("J. Applied Aquaculture 1(3), 1992: a gravel bed at 5, 22 and 44 mL/cm2/min")
def test_hydraulic_loading_of_a_gravel_bed():
    band = coefficients()["hydraulic_loading_submerged"]
    for end, printed in zip(("low", "typical", "high"), (5, 22, 44), strict=True):
        flow = Q(printed, "mL/min")
        assert b.hydraulic_loading(flow, Q(1, "cm2")).m_as("m/d") == pytest.approx(band.at(end).m_as("m/d"), abs=0.5)


@hand_worked(b.turnover_time)
def test_turnover():
    # 11,200 L at 28 L/min is 400 min
    assert b.turnover_time(Q(11200, "L"), Q(28, "L/min")).m_as("h") == pytest.approx(400 / 60)


@hand_worked(b.full_mass)
def test_full_mass():
    # 160 L x 0.75 kg/L = 120 kg of lava; 220 - 0.52 x 160 = 136.8 L of water, 136.68 kg
    mass = b.full_mass(Q(220, "L"), Q(160, "L"), 0.48, Q(750, "kg/m3"))
    assert mass.m_as("kg") == pytest.approx(120 + 136.8 * 0.9991)


# --------------------------------------------------------------------------------------------------------------------- plants


@published(plants.growing_area, "Rakocy 2007: 1000 g of feed a day at 60 g/m2/d, 16.7 m2")
def test_growing_area():
    assert plants.growing_area(Q(1, "kg/d"), Q(60, "g/m2/d")).m_as("m**2") == pytest.approx(16.7, abs=0.05)


@published(plants.feed_for_area, "Rakocy 2007: 200 m2 at 100 g/m2/d, printed as 44 lb and 20 kg")
def test_feed_for_plants():
    feed = plants.feed_for_area(Q(200, "m2"), Q(100, "g/m2/d"))
    assert feed.m_as("lb/d") == pytest.approx(44, abs=0.5)
    assert feed.m_as("kg/d") == pytest.approx(20, abs=0.5)


@each("plants", "^same in lb")
@hand_worked(plants.feed_for_area)
def test_feed_for_plants_in_pounds(row):
    # 200 m2 x 100 g = 20 kg; 20/0.45359 = 44.09 lb
    row.assert_close(plants.feed_for_area(Q(row.given()["area_m2"], "m2"), Q(row.given()["ratio"], "g/m2/d")), "lb/d")


@published(plants.plant_uptake, "Boyd 1976 and the studies it cites: 1980, 2500 and 6000 kg of N from a hectare in a year")
@pytest.mark.parametrize("end, pattern", [("low", "conservative"), ("typical", "Rogers"), ("high", "upper")])
def test_hyacinth(end, pattern):
    row = rows("plants", f"^water hyacinth N uptake.*{pattern}")[0]
    hectare = plants.plant_uptake(Q(10000, "m2"), load("plant_uptake")["floating"][end])
    assert hectare.m_as("kg/year") == pytest.approx(row.value, rel=0.01)  # the table keeps two decimals


@published(plants.plant_uptake, "Graber & Junge 2009: nitrogen into tomato fruit in fish water and in hydroponics")
@pytest.mark.parametrize("end, pattern", [("low", "aquaponic"), ("high", "hydroponic")])
def test_tomato(end, pattern):
    row = rows("plants", f"N removal by tomato fruit, {pattern}")[0]
    assert plants.plant_uptake(Q(1, "m2"), load("plant_uptake")["fruiting"][end]).m_as("g/d") == pytest.approx(row.value)


@published("FAO TP 589, feed rate ratios: a table, no formula")
@pytest.mark.parametrize("kind", ["leafy", "fruiting"])
def test_feed_rate_ratios(kind):
    low, high = map(float, rows("feed_loads", f"^feed rate ratio {kind}")[0].expected.split(".."))
    row = load("plant_uptake")[kind]
    assert (row["ratio_low"].m, row["ratio_high"].m) == (low, high)


# ------------------------------------------------------------------------------------------------------------------ properties


@given(load_=st.floats(0.01, 100), rate=st.floats(0.01, 2), surface=st.floats(40, 2000), hours=st.floats(1, 24))
def test_a_filter_of_the_needed_size_just_converts_the_load(load_, rate, surface, hours):
    rate, surface, hours = Q(rate, "g/m2/d"), Q(surface, "m2/m3"), Q(hours, "h/d")
    volume = b.media_volume(b.area_needed(grams(load_), rate, hours), surface)
    assert b.surface_capacity(rate, b.media_area(volume, surface), hours).m_as("g/d") == pytest.approx(load_, rel=1e-9)


@given(flow=st.floats(1, 500), tan=st.floats(0.01, 5))
def test_units_do_not_matter(flow, tan):
    metric = b.flow_capacity(Q(flow, "L/min"), Q(tan, "mg/L"), 0.3)
    american = b.flow_capacity(Q(flow, "L/min").to("US_gallon/hour"), Q(tan, "mg/L").to("g/m**3"), Q(30, "%"))
    assert american.m_as("g/d") == pytest.approx(metric.m_as("g/d"), rel=1e-9)


@given(flow=st.floats(0, 500), hours=st.floats(0, 23))
def test_a_longer_day_never_converts_less(flow, hours):
    short, longer = (b.oxygen_capacity(Q(flow, "L/min"), Q(4, "mg/L"), Q(h, "h/d")).m for h in (hours, hours + 1))
    assert longer >= short


def test_a_pump_cannot_run_more_than_a_day():
    with pytest.raises(QuantityError, match="hours in biofilter.surface_capacity must be 0 to 24 h/d; 25 is not possible"):
        b.surface_capacity(Q(0.2, "g/m2/d"), Q(25, "m2"), Q(25, "h/d"))
