"""The stage stocking: which limit binds and how far it is, on whole ponds, against arithmetic that stands here."""
from __future__ import annotations

import math
from pathlib import Path

import pytest

from pondwright.pond import night as n
from pondwright.pond.file import demo_pond, demo_text, load_pond, parse_pond
from pondwright.pond.findings import findings
from pondwright.pond.plan import plan
from pondwright.pond.results import Stage, Urgency, by_key, given
from pondwright.pond.stages import stocking as stage
from pondwright.units import Q, unit

FIXTURES = sorted((Path(__file__).parents[1] / "fixtures").glob("*.toml"))
POND = '[pond.shape]\nkind = "rectangle"\nlength = "4 m"\nwidth = "2.5 m"\ndepth = ["{0} m", "{0} m"]\n'
WATER = ('[place]\nclimate = "{}"\nelevation = "0 m"\nwater_temperature = ['
         + ", ".join(f'"{t} degC"' for t in (4, 5, 7, 10, 14, 18, 20, 19, 16, 12, 7, 5)) + "]\n")
KOI = '[fish]\nspecies = "koi"\nfeed = "45 g/d"\ndiet_protein = "32 %"\n'
TEN = '[[fish.groups]]\ncount = 10\nlength = "40 cm"\nadult_length = "40 cm"\n'
PUMP = ('[pump]\ncurve = [{ flow = "0 L/min", head = "3 m" }, { flow = "30 L/min", head = "0 m" }]\npower = "20 W"\n'
        'hours_per_day = "24 h/d"\nlongest_stop = "10 h"\n')
DEEP = POND.format("1.5") + WATER.format("seattle")  # 15 m3


def planned(text, **later):
    return plan(parse_pond(text), until="stocking", done={"plumbing": Stage("plumbing", ""), "power": Stage("power", ""),
                                                          "filter": Stage("filter", ""), **later})


def stocked(text, **later):
    return planned(text, **later)["stocking"]


def found(text, **later):
    p = planned(text, **later)
    return {f.key: f for f in stage.find(p.pond, p.stages)}


def filter_stage(**numbers):
    units = {"cover": "-", "design_tan": "mg/L"}
    return {"filter": Stage("filter", "The filter", by_key(*(given(k, k, units[k], Q(v, units[k])) for k, v in numbers.items())))}


FILTER = '[filter]\ncontainer = "200 L"\nmedia = "lava_rock"\nmedia_volume = "150 L"\noperation = "trickling"\n'


# ---------------------------------------------------------------------------------------------------------------------- oxygen


def test_the_oxygen_limit_just_lasts():
    """A pond stocked with exactly the typical limit holds out for exactly the longest stop."""
    text = DEEP + KOI.replace('feed = "45 g/d"\n', "") + TEN + PUMP
    p = planned(text)
    most = p["stocking.limit_oxygen"].typical
    factor = float((most / p["fish.biomass"].typical).m_as(unit("-")))
    more = text.replace("count = 10", f"count = {round(10 * factor)}")
    assert plan(parse_pond(more), until="fish")["fish.hours_to_4"].typical.m_as("h") == pytest.approx(10, rel=0.02)  # whole fish only


def test_the_oxygen_limit_by_hand():
    """The same from printed and published values, step by step."""
    text = DEEP + KOI + TEN + PUMP
    t, full, stop = 22, 8.74, 10  # ISO 5814 at 22 degC
    k = 0.4 * 1.024**2 / 24 / 1.5
    gone = 1 - math.exp(-k * stop)
    end = (4 - 0.9 * full * (1 - gone)) / gone
    allowed = k * (full - end) * 15  # g/h in 15 m3
    muck = 0.8 * 1.065**2 * 10 / 24 * 1.2
    per_kg = (67.4 * 909.9**-0.193 * math.exp(0.0562 * t) * 1.4) / 1000
    # 45 g/d were typed for fish of now, not for grown ones: 1.5 times the ration at 22 degC, 0.75 x 1.6^(4/6) %
    feed = 1.5 * 0.75 * 1.6 ** (4 / 6) / 100 * 1000
    per_kg += feed * 0.32 * 0.16 * 0.8 * 0.8 * 0.9 * 0.25 * 4.57 / 24
    assert stocked(text)["limit_oxygen"].typical.m_as("kg") == pytest.approx((allowed - muck) / per_kg, rel=0.005)


def test_no_known_stop_means_one_night():
    with_stop = stocked(DEEP + KOI + TEN + PUMP.replace("10 h", "14 h"))
    without = stocked(DEEP + KOI + TEN)
    assert without["limit_oxygen"].typical == with_stop["limit_oxygen"].typical and n.DARK == Q(14, "h")
    assert any("No longest stop" in a.text for a in without.assumptions)


def test_muck_alone():
    """A shallow warm pond whose pump may stop for two days: at the cautious end no fish at all, and the reason is said."""
    text = (POND.format("0.5") + WATER.format("seattle") + KOI.replace("koi", "goldfish") + TEN + PUMP.replace("10 h", "48 h"))
    p = found(text)
    assert "muck and green water alone" in p["stocking.no_oxygen"].what and stocked(text)["limit_oxygen"].value.m == 0


# ---------------------------------------------------------------------------------------------------------------------- ammonia


def test_the_filter_limit():
    # the filter covers two thirds of the ammonia of the ten koi: 6.07 kg of typical ones (9.099), 7.28 kg of stout ones (10.919)
    text = DEEP + KOI + TEN + PUMP + FILTER
    s = stocked(text, **filter_stage(cover=30 / 45))
    assert s["limit_filter"].typical.m_as("kg") == pytest.approx(9.099 * 30 / 45, rel=1e-3)
    assert s["limit_filter"].value.m_as("kg") == pytest.approx(10.919 * 30 / 45, rel=1e-3)
    assert s.facts["binds"] == "the filter" and s["limit"].value == s["limit_filter"].value
    # 10.92 kg of stout koi against 7.28 allowed: 3.64 kg too many; whole koi: two thirds of ten are 6
    assert s["room"].value.m_as("kg") == pytest.approx(7.279 - 10.919, abs=0.01) and s["fish_allowed"].value.m == 6
    assert found(text, **filter_stage(cover=30 / 45))["stocking.too_many"].urgency == Urgency.FIX


def test_water_changes_without_a_filter():
    # 0.5 mg/L x 15 m3 x 20 %/7 d = 0.2143 g/d of N; feed = that / (0.32 x 0.092160) = 7.266 g/d; of 45 g/d for 9.099 kg
    s = stocked(DEEP + KOI + TEN + PUMP, **filter_stage(design_tan=0.5))
    feed = 0.5 * 15 * 0.2 / 7 / (0.32 * 0.09216)
    assert s["limit_feed"].typical.m_as("kg") == pytest.approx(9.099 * feed / 45, rel=2e-3)
    assert s.facts["binds"] == "ammonia without a filter" and "limit_filter" not in s


def test_a_filter_that_is_not_planned_yet_is_named():
    s = stocked(DEEP + KOI + TEN + PUMP + FILTER)
    assert "limit_filter" not in s and "limit_feed" not in s and any("filter's own stage" in m for m in s.missing)
    assert any("[[readings]] with ph" in m for m in stocked(DEEP + KOI + TEN + PUMP).missing)


def test_the_count_and_the_kilograms_say_the_same():
    """As many koi as there is room for are enough; one more is too many, in kilograms and in fish."""
    enough, more = (stocked(DEEP + KOI + TEN.replace("10", str(count)) + PUMP.replace("10 h", "1 h")) for count in (7, 8))
    for s, count in ((enough, 7), (more, 8)):
        assert s.facts["binds"] == "room for grown koi or carp" and s["fish_allowed"].value.m == 7  # 15 m3 at 2 m3 each: 7.5
        assert (s["room"].value.m >= 0) == (count <= s["fish_allowed"].value.m)
        assert "stout" in s["fish_allowed"].note and any("compared at the same end" in a.text for a in s.assumptions)


def test_a_larger_filter_is_not_advised_where_no_media_will_do():
    text = demo_text().replace('ph = "8.0"', 'ph = "9.4"')
    p = plan(parse_pond(text))
    told = {f.key: f for f in findings(p)}
    assert "filter.no_media_will_do" in told and p["stocking"].facts["binds"] == "the filter"
    mine = told["stocking.no_filter"]
    assert "Enlarge" not in mine.do and "filter's own findings" in mine.do


# ------------------------------------------------------------------------------------------------------------------ koi and ice


def test_koi_in_half_a_barrel():
    """900 litres do not suit koi, whatever the oxygen says (common practice)."""
    text = ('[pond.shape]\nkind = "circle"\ndiameter = "1.27 m"\ndepth = ["71 cm", "71 cm"]\n' + WATER.format("seattle")
            + KOI.replace("45 g/d", "5 g/d") + '[[fish.groups]]\ncount = 3\nlength = "20 cm"\n')
    f, s = found(text), stocked(text)
    assert f["stocking.koi_volume"].urgency == Urgency.DANGER and "does not suit koi" in f["stocking.koi_volume"].what
    assert "899 L" in f["stocking.koi_volume"].what and "never release" in f["stocking.koi_volume"].do
    assert "stocking.koi_depth" in f and s["limit_adult_size"].value.m == 0 and s["fish_allowed"].value.m == 0
    assert "common practice" in " ".join(x.what for x in f.values())


def test_room_for_koi():
    # 15 m3: 15 grown koi at 1 m3 each, 7.5 at the cautious 2 m3; each 909.9 g here, a stout one 1091.9 g
    s = stocked(DEEP + KOI + TEN + PUMP)
    assert s["limit_adult_size"].typical.m_as("kg") == pytest.approx(15 * 0.9099, rel=1e-3)
    assert s["limit_adult_size"].value.m_as("kg") == pytest.approx(7.5 * 1.0919, rel=1e-3)
    assert "limit_depth" not in s and "stocking.koi_room" not in found(DEEP + KOI + TEN + PUMP)
    assert found(DEEP + KOI + TEN.replace("10", "20") + PUMP)["stocking.koi_room"].urgency == Urgency.FIX


@pytest.mark.parametrize("depth, urgency", [("0.45", Urgency.FIX), ("0.8", Urgency.IMPROVE), ("1.2", None)])
def test_a_small_pond_for_koi_is_told_that_advice_differs(depth, urgency):
    """4.5, 8 and 12 m3 against 3.5 to 10 m3, often 5 (common practice)."""
    text = POND.format(depth) + WATER.format("seattle") + KOI + TEN.replace("10", "2") + PUMP
    told = found(text).get("stocking.koi_small")
    assert (told and told.urgency) == urgency
    assert (stocked(text)["limit_adult_size"].value.m == 0) == (urgency is not None)


def test_depth_for_koi_and_only_for_koi():
    shallow = POND.format("0.8") + WATER.format("seattle")
    assert "stocking.koi_depth" in found(shallow + KOI + TEN)
    gold = KOI.replace("koi", "goldfish")
    assert not {k for k in found(shallow + gold + TEN) if "koi" in k} and "limit_adult_size" not in stocked(shallow + gold + TEN)


def test_common_carp_are_not_called_koi():
    text = POND.format("0.8") + WATER.format("seattle") + KOI.replace("koi", "common carp") + TEN
    assert "Carp want a depth" in found(text)["stocking.koi_depth"].what


def test_ice():
    # Calgary's frost in the table (degrees below zero times days) and 2.73 cm for each root of a degree day at the cautious end
    from pondwright.pond.climate import DAYS, climate

    frost = sum(max(-t, 0) * d for t, d in zip(climate("calgary").air_temperature.m_as("degC"), DAYS, strict=True))
    text = POND.format("0.8") + WATER.format("calgary") + KOI.replace("koi", "goldfish") + TEN
    s = stocked(text)
    assert s["winter_water"].value.m_as("m") == pytest.approx(0.8 - 0.0273 * math.sqrt(frost), rel=1e-6)
    assert found(text)["stocking.winter_depth"].urgency == Urgency.DANGER and s["limit_winter_depth"].value.m == 0


def test_no_ice_on_a_mild_coast():
    assert "winter_water" not in stocked(DEEP + KOI + TEN)


def test_a_typed_depth_of_ice_is_used():
    text = DEEP.replace('elevation = "0 m"', 'elevation = "0 m"\nice_thickness = "40 cm"') + KOI + TEN
    s = stocked(text)
    assert s["winter_water"].value.m_as("m") == pytest.approx(1.1) and "limit_winter_depth" not in s  # 1.5 - 0.4


# ------------------------------------------------------------------------------------------------------- the answer and its words


def test_the_smallest_limit_binds():
    s = stocked(DEEP + KOI + TEN + PUMP + FILTER, **filter_stage(cover=44.4))
    limits = {k: v.value.m_as("kg") for k, v in s.numbers.items() if k.startswith("limit_")}
    assert s["limit"].value.m_as("kg") == pytest.approx(min(limits.values()))
    assert set(limits) == {"limit_oxygen", "limit_filter", "limit_adult_size"}
    assert s["limit"].decides and s["limit"].value <= s["limit"].typical
    assert len(s.grids[0].rows) == 3


def test_densities_are_for_comparison_only():
    s = stocked(DEEP + KOI + TEN + PUMP)
    assert s["density"].typical.m_as("kg/m**3") == pytest.approx(9.099 / 15, rel=1e-3)
    grid = s.grids[-1]
    assert "compare only" in grid.title and "never allow fish in a pond whose power can fail" in grid.title
    assert {15, 30, 60, 120} <= {round(row[1].m_as("kg/m**3")) for row in grid.rows if row[1].m_as("kg/m**3") > 10}
    assert s["limit"].value.m_as("kg") / 15 < 15  # no limit comes near a tank's density


def test_without_fish_or_place():
    assert stocked(POND.format("0.8")).missing == ("needs [fish] with species and [[fish.groups]]",)
    half = stocked(POND.format("0.8") + KOI.replace("koi", "goldfish") + TEN)
    assert "limit" not in half and "density" in half and any("needs [place]" in m for m in half.missing)
    assert not found(POND.format("0.8"))


def test_cautions_say_never_release():
    words = " ".join(stocked(DEEP + KOI + TEN).cautions)
    assert "Never release" in words and "against the law" in words and "few fish at a time" in words


def test_the_demo_pond_is_bound_by_something_and_says_so():
    p = plan(demo_pond())
    s = p["stocking"]
    assert s.facts["binds"] in stage.LIMITS.values() and not s.missing
    assert any(f.key.startswith("stocking.") for f in findings(p))


@pytest.mark.parametrize("path", FIXTURES, ids=[p.stem for p in FIXTURES])
def test_the_other_ponds(path):
    p = plan(load_pond(path))
    s = p["stocking"]
    assert s["limit"].value.m >= 0 and s["fish_allowed"].value.m >= 0
    told = {f.key: f for f in stage.find(p.pond, p.stages)}
    assert told and all(f.what.endswith(".") and f.do.endswith(".") for f in told.values())
    assert ("stocking.koi_volume" in told) == (path.stem == "half-barrel")
