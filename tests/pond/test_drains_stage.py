"""The drains stage: levels, what runs over, siphon, what runs back, what is left of the pond; and that no accepted file breaks it."""
from __future__ import annotations

import copy
import math
import tomllib

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pondwright.pond import levels as lv
from pondwright.pond.file import demo_text
from pondwright.pond.model import Pond
from pondwright.pond.plan import plan
from pondwright.pond.results import Urgency
from pondwright.pond.stages import drains
from pondwright.tables import load
from pondwright.units import Q, showing_in

DEMO = tomllib.loads(demo_text())
ONE_INCH = {"kind": "stub", "inside_diameter": "26.24 mm", "height": "5 cm"}
SIPHON = {"kind": "bell", "inside_diameter": "22 mm", "crest": "40 cm", "mouth": "5 cm", "length": "0.8 m", "drop": "0.7 m"}


def pond(drop=(), outlets=None, **changes) -> Pond:
    """Return the demo pond with sections left out (`drop`), other outlets, and keys changed; None takes a key away."""
    data = copy.deepcopy(DEMO)
    for section in drop:
        del data[section]
    if outlets is not None:
        data["vessel"]["outlets"] = [{"name": f"drain {n}", **outlet} for n, outlet in enumerate(outlets, 1)]
    for section, keys in changes.items():
        for key, value in keys.items():
            if value is None:
                data[section].pop(key, None)
            else:
                data[section][key] = value
    return Pond.model_validate(data)


def planned(of: Pond):
    return plan(of, until="drains")


def stage(of: Pond):
    return planned(of)["drains"]


def findings(of: Pond) -> dict:
    return {f.key: f for f in drains.find(of, planned(of).stages)}


# ----------------------------------------------------------------------------------------------------------------------- levels


def test_the_demo_drum_is_safe_even_with_a_drain_shut():
    p = planned(pond())
    found, flow = p["drains"], p["plumbing.flow"]
    assert not found.missing and found["level_running"].decides and found["level_running"].value == found["level_running"].high
    ways = {end: lv.ways_of(p.pond.vessel, end) for end in ("low", "typical")}
    # what comes in goes out: at worst the pump's most through drains that carry least
    worst, likely = found["level_running"].value.m_as("cm"), found["level_running"].typical.m_as("cm")
    assert lv.carried(ways["low"], worst) == pytest.approx(flow.high.m_as("L/min"), rel=1e-5)
    assert lv.carried(ways["typical"], likely) == pytest.approx(flow.typical.m_as("L/min"), rel=1e-5)
    assert found["level_blocked"].value > found["level_running"].value and found["overflow_flow"].value.m == 0
    assert found["freeboard"].value.m_as("cm") == pytest.approx(88 - worst)
    assert {"outlets.hole_flow", "outlets.full_pipe_flow"} <= set(found["level_running"].formulas)
    assert "Unwin1911" in found["level_running"].sources and found["level_running"].unverified
    assert not [key for key in findings(pond()) if key in ("drains.runs_over", "drains.one_blocked", "drains.freeboard")]


def test_a_drum_that_runs_over_when_one_drain_clogs():
    tight = pond(outlets=[{**ONE_INCH, "inside_diameter": "20 mm", "height": "60 cm"}] * 2)
    p = planned(tight)
    found = p["drains"]
    one = lv.ways_of(tight.vessel, "low")[1:]
    over = p["plumbing.flow"].high.m_as("L/min") - lv.carried(one, 88)
    assert found["overflow_flow"].value.m_as("L/min") == pytest.approx(over) and over > 0
    assert found["level_blocked"].value.m_as("cm") == 88 and "runs over" in found["level_blocked"].note
    finding = findings(tight)["drains.one_blocked"]
    above = lv.level_at(p["plumbing.flow"].high.m_as("L/min"), one, 88) - 88
    assert finding.urgency is Urgency.FIX and f"{above:.2g} cm above the rim" in finding.what and "run over the edge" in finding.what
    assert "turned up inside" in finding.do


def test_a_drum_that_runs_over_as_it_is():
    finding = findings(pond(outlets=[{**ONE_INCH, "inside_diameter": "12 mm", "height": "70 cm"}]))["drains.runs_over"]
    assert "with all its drains open" in finding.what and "no room for an overflow" in finding.do


def test_the_only_way_out():
    found = stage(pond(outlets=[ONE_INCH]))
    assert found["overflow_flow"].high == planned(pond())["plumbing.flow"].high and found.facts["would_stand"] == ""
    assert "is the only way out" in findings(pond(outlets=[ONE_INCH]))["drains.one_blocked"].what


def test_the_way_out_that_matters_most_is_taken_to_clog():
    low_and_high = [{**ONE_INCH, "height": "80 cm", "inside_diameter": "40 mm"}, {**ONE_INCH, "inside_diameter": "36 mm"}]
    assert stage(pond(outlets=low_and_high)).facts["worst"] == "drain 2"


def test_little_freeboard_and_clogged_screens():
    high = [{**ONE_INCH, "inside_diameter": "50 mm", "height": "84 cm"}] * 2
    assert "below the rim at worst" in findings(pond(outlets=high))["drains.freeboard"].what
    screened = [{**ONE_INCH, "inside_diameter": "36 mm", "height": "80 cm", "screen_open": "25 %"}] * 3
    found = stage(pond(outlets=screened))
    assert found["level_screens"].value >= found["level_running"].value
    assert findings(pond(outlets=screened))["drains.screens"].urgency is Urgency.FIX
    assert "level_screens" not in stage(pond(outlets=[ONE_INCH] * 2))


def test_the_overflow_that_is_named_carries_the_pump():
    p = planned(pond())
    size = p["drains"].facts["overflow"].split(" pipe")[0]
    row = next(r for r in load("pipes").rows if r["size"] == size and r["series"] == "metric PVC-U PN 10")
    bore, most = row["inside_diameter"].m_as("mm"), p["plumbing.flow"].high.m_as("L/min")
    # lip 6 cm below the rim, water 1 cm below it: 5 cm over the lip, cautious coefficients (lip 0.50, mouth 0.60), by hand
    lip = 2 / 3 * 0.5 * math.sqrt(2 * 9.80665) * math.pi * bore / 1000 * 0.05**1.5 * 60_000
    mouth = 0.6 * math.pi * (bore / 1000) ** 2 / 4 * math.sqrt(2 * 9.80665 * 0.05) * 60_000
    assert min(lip, mouth) > most


def test_pictures_get_curves_that_rise():
    series = stage(pond()).series
    assert series["axis"].shape == series["carried"].shape and series["axis"].m[-1] == pytest.approx(88)
    for name in ("carried", "carried_cautious", "carried_blocked"):
        assert np.all(np.diff(series[name].m) >= -1e-9)
    assert np.all(series["carried_blocked"].m <= series["carried_cautious"].m + 1e-9)


# ------------------------------------------------------------------------------------------------------------- siphon and waste


def test_the_plain_answer_about_a_siphon():
    never = pond(vessel={"siphon": SIPHON})
    assert stage(never).facts["siphon_does"] == "drains" and "can never start" in findings(never)["drains.siphon"].what
    runs = pond(outlets=[], vessel={"siphon": {**SIPHON, "drop": "1.2 m", "length": "1.4 m"}})
    found = stage(runs)
    assert found.facts["siphon_does"] == "runs" and {"siphon_drain", "siphon_fill", "siphon_start"} <= set(found.numbers)
    assert findings(runs)["drains.siphon"].urgency is Urgency.NOTE and "rise" in found["level_running"].note
    assert found["level_blocked"].note  # the siphon is the only way out
    assert next(g for g in found.grids if g.title.startswith("What each")).rows[-1][4] == "siphon"
    assert {"siphon_flow", "siphon_drain", "siphon_fill"} == {n.key for n in found.numbers.values() if n.has_band and "siphon_" in n.key and
                                                              not n.decides}
    clings = pond(outlets=[], vessel={"siphon": {**SIPHON, "drop": "0.75 m", "length": "1.4 m"}})
    found = findings(clings)["drains.siphon"]
    assert stage(clings).facts["siphon_does"] == "clings" and found.urgency is Urgency.IMPROVE and "never stop" in found.what
    stays = pond(outlets=[], vessel={"siphon": {**SIPHON, "drop": "0.45 m", "length": "1.4 m"}})
    assert "once the siphon has started" in stage(stays)["level_running"].note
    assert "further down" in found.do and "rise" in stage(clings)["level_running"].note


def test_a_drain_to_waste_below_the_running_level_empties_the_pond():
    leaks = pond(outlets=[ONE_INCH, {**ONE_INCH, "leads_to": "waste"}])
    assert findings(leaks)["drains.waste"].urgency is Urgency.DANGER
    safe = pond(outlets=[{**ONE_INCH, "inside_diameter": "40 mm"}, {**ONE_INCH, "height": "80 cm", "leads_to": "waste"}])
    assert "drains.waste" not in findings(safe)


# ----------------------------------------------------------------------------------------------------- what fails round the pond


def test_what_is_left_for_the_fish():
    found = stage(pond())
    # by hand: 10.84 m2 of surface, 1.06 m at the deepest, so the level falls to 0.81 m below the water line; over the six soundings then
    # stand 17, 23, 20, 14, 25 and 21 cm: 20 cm. The soundings spread by 4 cm, their mean by 2.571 x 4/sqrt(6) = 4.2 cm
    volume = planned(pond())["survey.volume"].low.m_as("L")
    left = 10.84 * (0.20 - 0.042) * 1000
    assert found["water_left"].value.m_as("L") == pytest.approx(left, rel=0.002) and found["water_left"].value == found["water_left"].low
    assert found["water_left"].typical.m_as("L") == pytest.approx(10.84 * 200, rel=0.001)
    most = planned(pond())["plumbing.flow"].high.m_as("L/min")
    assert found["time_to_empty"].value.m_as("h") == pytest.approx((volume - left) / most / 60, rel=1e-3)
    # a third of the mean depth of 1.01 - 0.042 m, over a mean bottom that lies 5 + 4.2 cm above the deepest
    assert found["intake_wanted"].value.m_as("m") == pytest.approx(0.33 * 0.968 + 0.092, abs=0.001)
    assert findings(pond())["drains.pond_emptied"].urgency is Urgency.IMPROVE
    high = pond(plumbing={"intake": {"above_bottom": "0.5 m"}})
    assert "drains.pond_emptied" not in findings(high)


def test_a_pump_on_the_bottom_is_a_danger():
    low = findings(pond(plumbing={"intake": {"above_bottom": "0.01 m"}}))["drains.pond_emptied"]
    assert low.urgency is Urgency.DANGER and "A split hose lets the pump draw the pond down" in low.what and "Raise the intake to" in low.do
    assert findings(pond(drop=["fish"], plumbing={"intake": {"above_bottom": "0.01 m"}}))["drains.pond_emptied"].urgency is Urgency.FIX


def test_nothing_is_said_of_an_intake_that_is_not_known():
    unknown = stage(pond(plumbing={"intake": None}))
    assert "water_left" not in unknown and [m for m in unknown.missing if "above_bottom" in m] and "intake_wanted" in unknown


def test_a_vessel_that_runs_over_empties_the_pond_too():
    narrow = [{**ONE_INCH, "inside_diameter": "20 mm", "height": "60 cm"}] * 2
    tight = pond(outlets=narrow, plumbing={"intake": {"above_bottom": "0.05 m"}})
    found = stage(tight)
    assert found["time_to_overflow"].value > found["time_to_empty"].value
    assert "A vessel that runs over does the same" in findings(tight)["drains.pond_emptied"].what


def test_what_runs_back():
    deep = {"mouth_under_water": "12 cm"}
    found = stage(pond(outlets=[{**ONE_INCH, "inside_diameter": "50 mm", "height": "60 cm"}], plumbing=deep))
    # the mouth lies in the bed of lava rock: 12 cm x 0.2552 m2 x 0.48 open, and 7.5 m of 28 mm pipe
    line = math.pi * 0.014**2 * 7.5 * 1000
    assert found["back_siphon"].value.m_as("L") == pytest.approx(0.12 * 0.2552 * 0.48 * 1000 + line, rel=0.001)
    assert "12 cm under water" in findings(pond(plumbing=deep))["drains.back_siphon"].what
    assert stage(pond(plumbing={**deep, "air_break": True}))["back_siphon"].value.m_as("L") == pytest.approx(line)
    assert "drains.back_siphon" not in findings(pond(plumbing={**deep, "air_break": True}))
    assert "back_siphon" not in stage(pond(plumbing={"fittings": {"check_valve": 1, "exit": 1}}))
    # 70 cm under the water of 58.6 cm or so: all of the water down to the bottom, and no more
    whole = stage(pond(outlets=[{**ONE_INCH, "inside_diameter": "50 mm", "height": "60 cm"}], plumbing={"mouth_under_water": "70 cm"}))
    level = whole["level_running"].typical.m_as("m")
    water = 0.2552 * (level - 0.52 * (level - 0.10))  # 8 cm of plenum and 2 cm of grid, then lava rock with 48 % open
    assert whole["back_siphon"].value.m_as("L") == pytest.approx(1000 * water + line, rel=0.001)
    assert "holds only then" in findings(pond(plumbing=deep))["drains.back_siphon"].do
    sunk = pond(plumbing=deep, vessel={"above_pond": "-1.5 m"})
    assert findings(sunk)["drains.back_siphon"].urgency is Urgency.DANGER
    assert "nothing runs back" in findings(pond(vessel={"above_pond": "-0.5 m"}))["drains.below_pond"].what


def test_a_vessel_below_the_pond_s_water():
    drain = [{**ONE_INCH, "inside_diameter": "36 mm", "length": "0.6 m", "drop": "0.2 m"}]
    low = pond(outlets=drain, vessel={"above_pond": "-0.5 m"})
    found = stage(low)
    assert found["level_running"].low.m_as("cm") > 50 > stage(pond(outlets=drain))["level_running"].high.m_as("cm")
    finding = findings(low)["drains.below_pond"]  # 5 cm, less half of 36 mm: 3.2 cm above a bottom that lies 50 cm deep
    assert finding.urgency is Urgency.FIX and "lies 46.8 cm below the pond's water" in finding.what
    assert "50 cm above its bottom" in finding.what
    assert any("drain 1 ends under the pond's water, which is taken to stay 50 cm above" in a.text for a in found.assumptions)
    # the rim lies 12 cm below the pond's water: the pond itself runs over it
    sunk = pond(outlets=drain, vessel={"above_pond": "-1 m"})
    finding = findings(sunk)["drains.below_pond"]
    assert finding.urgency is Urgency.DANGER and "rim lies 12 cm below the pond's water" in finding.what and "over the rim" in finding.what
    assert "drains.runs_over" not in findings(sunk) and findings(pond(outlets=drain, vessel={"above_pond": "-1 m"}, drop=["fish"]))[
        "drains.below_pond"].urgency is Urgency.FIX
    grid = next(g for g in stage(sunk).grids if g.title.startswith("Where"))
    assert grid.rows[0][-1] > planned(sunk)["plumbing.flow"].high  # what the pump brings, and what runs back from the pond
    # a drain to waste brings nothing back, and its end is no matter of the pond's
    assert "drains.below_pond" not in findings(pond(outlets=[{**drain[0], "leads_to": "waste"}], vessel={"above_pond": "-1 m"}))


def test_the_heights_that_decide_what_a_drain_falls_to_are_named():
    def said(**vessel) -> str:
        drain = [{**ONE_INCH, "length": "2 m", "drop": "1 m"}]
        return " ".join(a.text for a in stage(pond(outlets=drain, vessel=vessel)).assumptions)

    assert "Nothing tells how high the vessel stands above the pond" in said(above_pond=None)
    assert "drain 1 ends under the pond's water, which is taken to stay 60 cm below the vessel's bottom" in said()
    assert "hang in the air, above the pond's water, which is taken to stay 150 cm below" in said(above_pond="1.5 m")


def test_a_vessel_below_the_pond_that_may_run_over_is_to_be_raised():
    tight = pond(outlets=[{**ONE_INCH, "length": "3 m", "drop": "0.2 m"}], vessel={"above_pond": "-0.7 m"})
    assert "Raise the vessel or widen its ways out" in findings(tight)["drains.runs_over"].do


def test_a_lift_that_is_less_than_the_height_of_the_vessel_s_water():
    assert "drains.lift" not in findings(pond())
    level = stage(pond())["level_running"].typical.m_as("m")
    short = findings(pond(plumbing={"lift": "0.5 m"}))["drains.lift"]
    assert short.urgency is Urgency.FIX and "plumbing.lift is 0.5 m" in short.what
    above = stage(pond(plumbing={"lift": "0.5 m"}))["level_running"].typical.m_as("m") + 0.6
    assert f"stands {above:.3g} m above" in short.what and above > level
    assert "drains.lift" not in findings(pond(plumbing={"lift": "0.5 m"}, vessel={"above_pond": None}))


def test_a_vessel_that_always_runs_over_is_a_danger_to_the_fish():
    straw = [{**ONE_INCH, "inside_diameter": "10 mm"}]
    found = findings(pond(outlets=straw))["drains.runs_over"]
    assert found.urgency is Urgency.DANGER and "This vessel runs over with all" in found.what and "empties the pond" in found.what
    assert findings(pond(outlets=straw, drop=["fish"]))["drains.runs_over"].urgency is Urgency.FIX


def test_an_intake_above_the_water():
    dry = findings(pond(plumbing={"intake": {"above_bottom": "4 m"}}))["drains.intake_dry"]
    assert dry.urgency is Urgency.FIX and "only 1.06 m deep" in dry.what
    assert "drains.intake_dry" not in findings(pond())


def test_the_intake_screen():
    wide = findings(pond(plumbing={"intake": {"above_bottom": "0.5 m", "opening": "20 mm", "area": "20 cm2"}}))
    assert "at most 12 mm" in wide["drains.intake_gap"].what  # a tenth of 12 cm
    assert wide["drains.intake_speed"].urgency is Urgency.FIX  # 26 L/min through 20 cm2 is 22 cm/s
    fry = copy.deepcopy(DEMO["fish"]["groups"])
    fry[0]["length"] = "4 cm"
    small = findings(pond(fish={"groups": fry}, plumbing={"intake": {"opening": "5 mm"}}))
    assert "at most 2.4 mm" in small["drains.intake_gap"].what


def test_frost():
    assert findings(pond())["drains.frost"].urgency is Urgency.NOTE  # a mild coast that has known -12 °C
    valve = {"fittings": {"check_valve": 1, "exit": 1}}
    found = findings(pond(place={"climate": "rochester-mn"}, plumbing=valve))["drains.frost"]
    assert found.urgency is Urgency.FIX and "below freezing" in found.what and "check valve" in found.what
    assert "drains.frost" not in findings(pond(place={"climate": "miami", "record_cold": "1 degC"}))


def test_holes_to_drill():
    grid = next(g for g in stage(pond(outlets=[ONE_INCH, {**ONE_INCH, "kind": "hole"}, {**ONE_INCH, "inside_diameter": "31 mm"}])).grids
                if g.title.startswith("Holes"))
    assert [row[1] and row[1].m_as("mm") for row in grid.rows] == [44.45, pytest.approx(26.24), None]
    assert grid.rows[0][4].m_as("mm") == pytest.approx((570 - math.sqrt(570**2 - 44.45**2)) / 2, rel=1e-6)
    assert findings(pond(outlets=[{**ONE_INCH, "height": "1 cm"}]))["drains.cut_floor"].urgency is Urgency.FIX


# ------------------------------------------------------------------------------------------------------ missing, units, junk


def test_each_part_says_what_it_needs():
    nothing = pond(drop=["vessel", "pump", "plumbing"])
    assert not stage(nothing).numbers and len(stage(nothing).missing) == 2 and "drains.one_blocked" not in findings(nothing)
    assert "level_running" not in stage(pond(drop=["pump"])) and "water_left" in stage(pond(drop=["pump"]))
    assert "level_running" not in stage(pond(drop=["vessel"]))
    weak = stage(pond(plumbing={"lift": "4 m"}))
    assert any("a pump that lifts water through this line" in m for m in weak.missing)  # pump and line are there, and not enough
    assert any("needs [pump], for the flow" in m for m in stage(pond(drop=["pump"])).missing)


def test_cautions_stand_where_the_reader_acts():
    words = " ".join(stage(pond()).cautions)
    for word in ("with your mouth", "Never hit the ice", "check valve", "plug", "child"):
        assert word in words


def test_sentences_follow_the_unit_system():
    with showing_in("us"):
        tight = pond(outlets=[{**ONE_INCH, "inside_diameter": "20 mm", "height": "60 cm"}] * 2)
        words = findings(tight)["drains.one_blocked"].what
    assert "US gpm" in words and " cm" not in words and "L/min" not in words


lengths = st.sampled_from([None, "0.2 m", "6 m"])


@settings(max_examples=60, deadline=None)
@given(kinds=st.lists(st.sampled_from(["hole", "stub", "tee", "floor"]), max_size=4), bore=st.floats(5, 200), height=st.floats(0, 80),
       length=lengths, lift=st.floats(0, 3.4), siphon=st.booleans(), above=st.floats(-2, 2), share=st.sampled_from([None, "1 %", "60 %"]))
def test_an_accepted_file_never_breaks_the_stage(kinds, bore, height, length, lift, siphon, above, share):
    bore = min(bore, 20 * (88 - height))  # no hole cuts through the rim
    each = {"inside_diameter": f"{bore} mm", "height": f"{height} cm", "length": length, "screen_open": share}
    some = pond(outlets=[{**each, "kind": kind} for kind in kinds], plumbing={"lift": f"{lift} m"},
                vessel={"siphon": SIPHON if siphon else None, "above_pond": f"{above} m"})
    found = stage(some)
    for finding in findings(some).values():
        assert finding.what.endswith(".") and finding.do.endswith(".") and "inf" not in finding.what.split()
    for number in found.numbers.values():
        assert number.low <= number.typical <= number.high and np.isfinite(number.value.m)
    if "level_running" in found:
        assert Q(0, "cm") <= found["level_running"].value <= Q(88, "cm")
        assert (found["level_blocked"].value - found["level_running"].value).m_as("cm") > -1e-6
