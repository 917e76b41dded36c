"""The plumbing stage: what it says with and without its sections, and that it never falls over a pond file that was accepted."""

from __future__ import annotations

import copy
import math
import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pondwright.pond.file import demo_text
from pondwright.pond.model import Pond
from pondwright.pond.results import Stage, Urgency, gather, months
from pondwright.pond.stages import plumbing
from pondwright.science import pipes, pump
from pondwright.science.water_properties import kinematic_viscosity
from pondwright.tables import coefficients, load
from pondwright.units import Q, showing_in

DEMO = tomllib.loads(demo_text())


def pond(**changes) -> Pond:
    """Return the demo pond with keys of [pump] and [plumbing] changed; None takes a key or a whole section away."""
    data = copy.deepcopy(DEMO)
    for section, keys in changes.items():
        if keys is None:
            del data[section]
            continue
        for key, value in keys.items():
            if value is None:
                data[section].pop(key, None)
            else:
                data[section][key] = value
    return Pond.model_validate(data)


def stage(of: Pond, so_far=None) -> Stage:
    return gather(plumbing.plan(of, so_far or {}))


def findings(of: Pond, so_far=None) -> dict:
    stages = {**(so_far or {}), "plumbing": stage(of, so_far)}
    return {f.key: f for f in plumbing.find(of, stages)}


# ----------------------------------------------------------------------------------------------------------------- the demo pond


def test_the_demo_pond():
    found = stage(pond())
    assert found.planned and not found.missing
    assert {"flow", "head", "pump_power", "lift", "velocity", "pipe_head", "fittings_head", "efficiency"} <= set(found.numbers)
    # fittings by hand: entrance 0.5 + 4 elbows of 0.9 + ball valve 0.07 = 4.17; at the typical flow the parts add up to the head
    speed = pipes.velocity(found["flow"].typical, Q(28, "mm"))
    assert found["fittings_head"].value.m_as("m") == pytest.approx(pipes.fittings_head(speed, 4.17).m_as("m"))
    parts = 1.4 + sum(found[key].value.m_as("m") for key in ("pipe_head", "fittings_head", "spreader_head"))
    assert found["head"].value.m_as("m") == pytest.approx(parts, rel=1e-6)
    assert [row[0] for row in found.grids[0].rows] == ["lift", "7.5 m of pipe", "fittings", "spreader"]
    assert sum(row[2].magnitude for row in found.grids[0].rows) == pytest.approx(100)


def test_the_spreader_stands_in_place_of_the_open_end():
    """The demo's drilled pipe: r = 0.61 x 28 x (6/28)² = 0.78429, sin² r = 0.49890, so K = 2.0044 with the speed in 28 mm."""
    found, speed = stage(pond()), pipes.velocity(stage(pond())["flow"].typical, Q(28, "mm"))
    ratio = 0.61 * 28 * (6 / 28) ** 2
    k = 1 / math.sin(ratio) ** 2
    assert found["spreader_head"].value.m_as("m") == pytest.approx(pipes.fittings_head(speed, k).m_as("m"))
    # the same line with an open end, K = 1, and a fitting's worth of 1.0044 more in its list: the same flow
    bare = pond(vessel={"spreader": None})
    assert "spreader_head" not in stage(bare) and stage(bare)["flow"].typical > found["flow"].typical
    curve = Q([0, 10, 20, 30, 36], "L/min"), Q([3.6, 3.2, 2.5, 1.3, 0], "m")
    by_hand = pump.operating_flow(*curve, Q(28, "mm"), Q(7.5, "m"), Q(1.4, "m"), 4.17 + k, coefficients()["pipe_roughness"].typical,
                                  kinematic_viscosity(Q(15, "degC")))
    assert found["flow"].typical.m_as("L/min") == pytest.approx(by_hand.m_as("L/min"), rel=1e-6)
    # whether the list names an exit or not, the spreader stands there
    without = {"entrance": 1, "elbow_90": 4, "ball_valve": 1}
    assert stage(pond(plumbing={"fittings": without}))["flow"].typical == found["flow"].typical
    assert "plumbing.no_exit" not in findings(pond(plumbing={"fittings": without}))
    assert "DeadEndManifold" in found["flow"].sources and any("vessel.spreader" in said.text for said in found.assumptions)


def test_a_wider_pipe_feeds_the_same_spreader():
    """The spreader's K counts with the speed in the pipe that feeds it: in 34 mm (40 mm of PN 16) it is (34/28)^4 times as large."""
    row = next(row for row in stage(pond()).grids[-1].rows if row[0].startswith("40 mm"))
    wide = stage(pond(plumbing={"inside_diameter": f"{row[1].m_as('mm')} mm"}))
    assert wide["flow"].typical.m_as("L/min") == pytest.approx(row[2].m_as("L/min"), rel=1e-6)


@pytest.mark.parametrize("holes, hole, bore", [(1, "0.5 mm", "500 mm"), (1, "0.5 mm", "5 mm"), (10_000, "20 mm", "25 mm")])
def test_no_spreader_makes_the_plan_fall_over(holes, hole, bore):
    spreader = {"kind": "pipe", "holes": holes, "hole": hole, "inside_diameter": bore, "length": "50 cm"}
    found = stage(pond(vessel={"spreader": spreader}))
    assert 0 < found["flow"].low <= found["flow"].typical <= found["flow"].high
    assert found["spreader_head"].value.m_as("m") <= 3.6


def test_the_flow_is_that_of_the_formula_and_headlined_at_its_low_end():
    flow = stage(pond())["flow"]
    curve = Q([0, 10, 20, 30, 36], "L/min"), Q([3.6, 3.2, 2.5, 1.3, 0], "m")
    rough, line = coefficients()["pipe_roughness"], (Q(28, "mm"), Q(7.5, "m"), Q(1.4, "m"))
    # the spreader at its end: little loss where its holes let through 0.64, much where they let through 0.60
    spread = {end: 1 / math.sin(cd * 28 * (6 / 28) ** 2) ** 2 for end, cd in (("low", 0.64), ("typical", 0.61), ("high", 0.60))}
    ends = {end: load("fittings")["entrance"][end].magnitude + 4 * load("fittings")["elbow_90"][end].magnitude
            + load("fittings")["ball_valve"][end].magnitude + spread[end] for end in ("low", "typical", "high")}
    typical = pump.operating_flow(*curve, *line, ends["typical"], rough.typical, kinematic_viscosity(Q(15, "degC")))
    worst = pump.operating_flow(*curve, *line, ends["high"], rough.high, kinematic_viscosity(Q(5, "degC")))
    best = pump.operating_flow(*curve, *line, ends["low"], rough.low, kinematic_viscosity(Q(25, "degC")))
    assert [q.magnitude for q in (flow.value, flow.typical, flow.high)] == pytest.approx([q.magnitude for q in (worst, typical, best)])
    assert flow.decides and flow.mover == rough.label and rough.label in flow.unverified


def test_every_formula_and_source_is_named():
    found = stage(pond())
    used = {"spreader.area_ratio", "spreader.manifold_head"}
    used |= {"pump.operating_flow", "pipes.friction_head", "pipes.fittings_head", "water_properties.kinematic_viscosity"}
    assert used <= set(found.formulas)
    assert {"MunsonFluid", "WallingfordTables", "Colebrook1939"} <= set(found.sources)


def test_cautions_stand_where_the_reader_acts():
    words = " ".join(stage(pond()).cautions)
    for word in ("unplug", "licensed electrician", "fuse", "hole saw", "gloves", "copper", "never by its cable", "pump the pond dry"):
        assert word in words


def test_cold_water_comes_from_the_fish_stage():
    cold = Stage("fish", "Fish", series={"water_temperature": months([4, 4, 6, 8, 12, 15, 17, 17, 14, 10, 7, 5], "degC")})
    known, guessed = stage(pond(), {"fish": cold}), stage(pond())
    assert not [a for a in known.assumptions if "water is taken" in a.text]
    assert [a for a in guessed.assumptions if "water is taken" in a.text]
    assert known["flow"].value < guessed["flow"].value  # 4 °C at worst against the 5 °C that are assumed


# --------------------------------------------------------------------------------------------------------- sections that are missing


def test_nothing_at_all():
    found = stage(pond(pump=None, plumbing=None))
    assert not found.planned and len(found.missing) == 2 and "needs [pump]" in found.missing[0] and "needs [plumbing]" in found.missing[1]
    assert not findings(pond(pump=None, plumbing=None))


def test_a_pump_alone_tells_its_power():
    found = stage(pond(plumbing=None))
    assert set(found.numbers) == {"pump_power"} and "flow" not in found and "needs [plumbing]" in found.missing[0]


def test_a_line_alone_says_what_pump_it_needs():
    found = stage(pond(pump=None))
    assert set(found.numbers) == {"lift"} and "needs [pump]" in found.missing[0]
    needs = found.grids[-1]
    assert "choosing a pump" in needs.title
    flow, speed, head, worst = needs.rows[1]
    assert pipes.velocity(flow, Q(28, "mm")).m_as("m/s") == pytest.approx(speed.magnitude) == 0.6
    assert Q(1.4, "m") < head < worst


def test_a_pump_that_cannot_lift():
    weak = pond(plumbing={"lift": "4 m"})
    found = stage(weak)
    assert "flow" not in found and "lifts more than 4 m" in found.missing[0]
    finding = findings(weak)["plumbing.cannot_lift"]
    assert finding.urgency is Urgency.FIX and "3.6 m at most" in finding.what and "4 m above" in finding.what


# ---------------------------------------------------------------------------------------------------------------------- the pipe


def test_the_average_bore_of_a_schedule_pipe_is_taken():
    found = stage(pond(plumbing={"inside_diameter": None, "pipe": "sch40_1in"}))
    speed = pipes.velocity(found["flow"].typical, Q(1.033, "inch"))
    assert found["velocity"].value.m_as("m/s") == pytest.approx(speed.m_as("m/s"), rel=1e-4)
    assert [a for a in found.assumptions if "bore of the 1 in pipe" in a.text and not a.unverified]


def test_a_bore_from_memory_says_so():
    found = stage(pond(plumbing={"inside_diameter": None, "pipe": "pvcu_32mm_pn16"}))
    assert "bore of the pipe" in found["flow"].unverified
    assert [a for a in found.assumptions if "bore of the 32 mm pipe" in a.text and a.unverified]


def test_other_pipes_lie_on_both_sides():
    rows = stage(pond(plumbing={"inside_diameter": None, "pipe": "hose_1in"})).grids[-1].rows
    assert [row[0].split(" ")[0] for row in rows] == ["3/4", "1-1/4", "1-1/2"]
    flows = [row[2].magnitude for row in rows]
    assert flows == sorted(flows) and rows[0][-1].startswith("-") and rows[2][-1].startswith("+")


def test_a_narrow_pipe_is_too_fast_and_a_wider_one_is_named():
    narrow = findings(pond(plumbing={"inside_diameter": "13 mm", "length": "2 m"}))
    assert "1.5 m/s is common practice" in narrow["plumbing.too_fast"].what
    assert "% more" in narrow["plumbing.wider_pipe"].what
    assert "plumbing.wider_pipe" not in findings(pond(plumbing={"inside_diameter": "50 mm"}))


def test_a_wide_pipe_is_too_slow():
    assert "below 0.3 m/s" in findings(pond(plumbing={"inside_diameter": "60 mm"}))["plumbing.too_slow"].what


def test_an_open_end_without_exit_is_noted():
    found = findings(pond(plumbing={"fittings": {"elbow_90": 2}}, vessel={"spreader": None}))
    assert found["plumbing.no_exit"].urgency is Urgency.NOTE
    assert "plumbing.no_exit" not in findings(pond())


# ---------------------------------------------------------------------------------------------------------------------- the pump


def test_a_curve_that_ends_early():
    short = pond(pump={"curve": [{"flow": "0 L/min", "head": "3.6 m"}, {"flow": "15 L/min", "head": "3 m"}]})
    found = stage(short)
    assert found["flow"].typical.m_as("L/min") == 15 and found["flow"].note.startswith("at least")
    assert "at least that" in findings(short)["plumbing.curve_ends_early"].what
    assert [a for a in found.assumptions if "two points only" in a.text]


def test_more_power_in_the_water_than_in_the_wire():
    impossible = pond(pump={"power": "5 W"})
    assert "efficiency" not in stage(impossible)
    assert "do not belong together" in findings(impossible)["plumbing.efficiency"].what


def test_a_pump_that_wastes_its_power():
    assert "of the pump's electricity" in findings(pond(pump={"power": "300 W"}))["plumbing.poor_pump"].what


def test_sentences_follow_the_unit_system():
    with showing_in("us"):
        words = findings(pond(plumbing={"inside_diameter": "16 mm"}))["plumbing.wider_pipe"].what
    assert "US gpm" in words and "ft of head" in words and "L/min" not in words


# ------------------------------------------------------------------------------------------- a label, a voltage, several runs

RUNS = [{"inside_diameter": "28 mm", "length": "6 m", "rise": "1.9 m", "fittings": {"entrance": 1, "elbow_90": 3, "ball_valve": 1}},
        {"inside_diameter": "20 mm", "length": "1.5 m", "rise": "-0.1 m", "fittings": {"elbow_90": 1, "exit": 1}}]
NO_PIPE = dict.fromkeys(("inside_diameter", "length", "fittings"))


def test_a_label_of_two_numbers_is_a_parabola():
    label = stage(pond(pump={"curve": None, "max_flow": "36 L/min", "max_head": "3.6 m"}))
    points = [{"flow": f"{q} L/min", "head": f"{3.6 * (1 - (q / 36) ** 2)} m"} for q in (0, 4.5, 9, 13.5, 18, 22.5, 27, 31.5, 36)]
    assert label["flow"].value == stage(pond(pump={"curve": points}))["flow"].value
    assert "pump.rated_head" in label.formulas and [a for a in label.assumptions if "parabola" in a.text]


@pytest.mark.parametrize("keys", [{"curve": None}, {"max_flow": "30 L/min"}, {"curve": None, "max_head": "2 m"}])
def test_a_curve_or_a_label_but_one_of_them(keys):
    with pytest.raises(ValueError, match="give either curve"):
        pond(pump=keys)


def test_less_voltage_gives_less_water_for_far_less_power():
    full, low = stage(pond(pump={"rated_voltage": "24 V"})), stage(pond(pump={"rated_voltage": "24 V", "supply_voltage": "21.6 V"}))
    assert low["flow"].value < 0.95 * full["flow"].value
    assert low["pump_power"].value.m_as("W") == pytest.approx(20 * 0.9**3) and "24 V" in low["pump_power"].note
    curve = Q([0, 9, 18, 27, 32.4], "L/min"), Q([3.6 * 0.81, 3.2 * 0.81, 2.5 * 0.81, 1.3 * 0.81, 0], "m")
    assert low["head"].typical.m_as("m") == pytest.approx(pump.pump_head(low["flow"].typical, *curve).m_as("m"))
    assert {"pump.affinity_flow", "pump.affinity_head", "pump.affinity_power"} <= set(low.formulas)
    rows = next(g for g in full.grids if "voltages" in g.title).rows
    assert [row[0].m_as("V") for row in rows] == pytest.approx([20.4, 24, 27.6]) and rows[1][1] == full["flow"].typical
    with pytest.raises(ValueError, match="does not run on 12 V"):
        pond(pump={"rated_voltage": "48 V", "supply_voltage": "12 V"})
    with pytest.raises(ValueError, match="without rated_voltage"):
        pond(pump={"rated_voltage": None, "supply_voltage": "12 V"})


def test_a_low_battery_may_not_lift_at_all():
    rows = next(g for g in stage(pond(pump={"rated_voltage": "24 V"}, plumbing={"lift": "3 m"})).grids if "voltages" in g.title).rows
    assert rows[0][1].magnitude == 0 and rows[1][1].magnitude > 0  # 3.6 m x 0.85² = 2.6 m


def test_several_runs():
    found = stage(pond(plumbing={**NO_PIPE, "runs": RUNS}))
    flow = found["flow"].typical
    slow, fast = (pipes.velocity(flow, Q(d, "mm")) for d in (28, 20))
    assert found["velocity"].value.m_as("m/s") == pytest.approx(fast.m_as("m/s")) and "narrowest" in found["velocity"].label
    # entrance 0.5 + 3 elbows of 0.9 + valve 0.07 at the slow speed, elbow 0.9 at the fast one, then the spreader of 28 mm
    fittings = pipes.fittings_head(slow, 0.5 + 2.7 + 0.07) + pipes.fittings_head(fast, 0.9)
    assert found["fittings_head"].value.m_as("m") == pytest.approx(fittings.m_as("m"))
    spreader = pipes.fittings_head(slow, 1 / math.sin(0.61 * 28 * (6 / 28) ** 2) ** 2).m_as("m")
    assert found["spreader_head"].value.m_as("m") == pytest.approx(spreader)
    lost = found["pipe_head"].value + found["fittings_head"].value
    assert found["head"].value.m_as("m") == pytest.approx(1.4 + lost.m_as("m") + spreader, rel=1e-6)
    runs = next(g for g in found.grids if g.title.startswith("The runs"))
    assert [row[3].m_as("m/s") for row in runs.rows] == pytest.approx([slow.m_as("m/s"), fast.m_as("m/s")])
    assert sum(row[4].m_as("m") for row in runs.rows) + 1.4 + spreader == pytest.approx(found["head"].value.m_as("m"), rel=1e-6)
    others = [row[1].magnitude for row in found.grids[-1].rows]
    assert others[0] < 20 < others[-1]


def test_the_profile_ends_at_the_mouth_and_sinks_all_the_way():
    found = stage(pond(plumbing={**NO_PIPE, "runs": RUNS}, vessel={"spreader": None}))
    way, height, grade = (found.series[f"profile_{name}"].m_as("m") for name in ("way", "height", "grade"))
    assert way.tolist() == [0, 6, 6, 7.5] and height.tolist() == pytest.approx([-0.4, 1.5, 1.5, 1.4])
    assert grade[-1] == pytest.approx(1.4)  # at the free end the pressure is gone; the speed is what the exit's K takes
    speed = pipes.velocity(found["flow"].typical, Q(28, "mm"))
    assert grade[0] == pytest.approx((found["head"].typical - pipes.fittings_head(speed, 1)).m_as("m"), rel=1e-6)
    assert grade[0] > grade[1] > grade[2] > grade[3]  # the step at 6 m is the faster water in the narrow pipe
    assert "plumbing.suction" not in findings(pond(plumbing={**NO_PIPE, "runs": RUNS}))
    # before a spreader the gauge stands as high over the mouth as the spreader's head, less that of the speed in the last run
    spread = stage(pond(plumbing={**NO_PIPE, "runs": RUNS}))
    fast = pipes.fittings_head(pipes.velocity(spread["flow"].typical, Q(20, "mm")), 1)
    over = (spread["spreader_head"].value - fast).m_as("m")
    assert spread.series["profile_grade"][-1].m_as("m") == pytest.approx(1.4 + over)


def test_a_high_point_under_suction_is_named():
    over = [{"inside_diameter": "28 mm", "length": "5 m", "rise": "2.4 m", "fittings": {"entrance": 1}},
            {"inside_diameter": "28 mm", "length": "2 m", "rise": "-1 m", "fittings": {"exit": 1}}]
    found = findings(pond(plumbing={**NO_PIPE, "runs": over}))
    assert "5 m along the line" in found["plumbing.suction"].what and "plumbing.air_lift" not in found
    # with an air hole the water has to be lifted to the top: 2.4 m above the pond, and the outlet lies 1 m below that
    holed = findings(pond(plumbing={**NO_PIPE, "runs": over, "air_break": True}))
    assert "rises to 2.4 m" in holed["plumbing.air_lift"].what and "plumbing.suction" not in holed


@pytest.mark.parametrize("keys, words", [
    ({"runs": RUNS}, "stand in each run"),
    ({**NO_PIPE, "runs": [RUNS[0], {**RUNS[1], "rise": None}]}, "rise for every run or for none"),
    ({**NO_PIPE, "runs": RUNS, "lift": "2 m"}, "less than the lift"),
    ({**NO_PIPE, "runs": [{**RUNS[0], "rise": "7 m"}]}, "cannot rise or fall"),
    ({"length": None}, "length is missing"),
])
def test_a_line_that_cannot_be(keys, words):
    keys = {k: [{a: b for a, b in run.items() if b is not None} for run in v] if k == "runs" else v for k, v in keys.items()}
    with pytest.raises(ValueError, match=words):
        pond(plumbing=keys)


# ------------------------------------------------------------------------------------------------------------ whatever is accepted


@settings(max_examples=80, deadline=None)
@given(
    bore=st.floats(5, 500), length=st.floats(0.1, 200), lift=st.floats(0, 50), top=st.floats(0, 200), free=st.floats(0.01, 1e6),
    power=st.floats(0.01, 5000), elbows=st.integers(0, 200), kinds=st.sets(st.sampled_from(load("fittings").keys()), max_size=4),
)
def test_an_accepted_file_never_breaks_the_stage(bore, length, lift, top, free, power, elbows, kinds):
    curve = [{"flow": "0 L/min", "head": f"{top} m"}, {"flow": f"{free} L/min", "head": "0 m"}]
    fittings = dict.fromkeys(kinds, 1) | {"elbow_90": elbows}
    some = pond(pump={"curve": curve, "power": f"{power} W"},
                plumbing={"inside_diameter": f"{bore} mm", "length": f"{length} m", "lift": f"{lift} m", "fittings": fittings})
    found = stage(some)
    findings(some)
    if "flow" in found:
        flow = found["flow"]
        assert 0 < flow.low.magnitude <= flow.typical.magnitude <= flow.high.magnitude <= free * (1 + 1e-9)
    else:
        assert lift >= top - 0.001 and found.missing
