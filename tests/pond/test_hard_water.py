"""Hard water drops lime as it airs, which holds its pH down: in the readings, the filter, the water changes and the doses alike.

Both ponds are invented: one on chalk near the sea, one on limestone in the hills.
"""

from __future__ import annotations

import math

import pytest

from pondwright.pond import readings as r
from pondwright.pond.file import demo_pond, parse_pond
from pondwright.pond.findings import findings
from pondwright.pond.plan import plan
from pondwright.pond.results import Urgency
from pondwright.tables import coefficients
from pondwright.units import Q

TEXT = """
[pond]
name = "Hard water (invented)"
[pond.shape]
kind = "rectangle"
length = "4 m"
width = "2.5 m"
depth = "1.2 m"
[place]
climate = "{climate}"
[fish]
species = "goldfish"
diet_protein = "32 %"
[[fish.groups]]
count = 12
length = "14 cm"
adult_length = "22 cm"
[filter]
container = "300 L"
plan_area = "0.5 m2"
media = "plastic_rings"
media_volume = "240 L"
operation = "trickling"
solids_filter = true
[pump]
curve = [ {{ flow = "0 L/min", head = "4 m" }}, {{ flow = "40 L/min", head = "3 m" }}, {{ flow = "80 L/min", head = "0 m" }} ]
power = "40 W"
hours_per_day = "24 h/d"
longest_stop = "6 h"
[plumbing]
inside_diameter = "36 mm"
length = "6 m"
lift = "1.2 m"
[tap]
disinfectant = "none"
{tap}
[[readings]]
when = "2026-07-10 16:00"
temperature = "{warmth} degC"
ph = "{ph}"
tan = "{tan} mg/L"
alkalinity = "{alkalinity} mg/L"
{hard}
"""
PONDS = {
    "chalk": {"climate": "toronto", "warmth": 21, "ph": 8.1, "tan": 0.15, "alkalinity": 250, "hardness": 290},
    "limestone": {"climate": "denver-aurora", "warmth": 23.5, "ph": 8.2, "tan": 0.1, "alkalinity": 310, "hardness": 340},
}


def made(which: str, hard: str = "", tap: str = "", **changed):
    known = {**PONDS[which], **changed}
    return parse_pond(TEXT.format(**known, tap=tap, hard=f'{hard} = "{known["hardness"]} mg/L"' if hard else ""))


# -------------------------------------------------------------------------------------------------------------------- the water


def phreeqc_ph(which: str, index: float) -> float:
    """The pH of a pond's water open to air, by PHREEQC: calcite may drop from an index on, none is there before."""
    from phreeqpython import PhreeqPython

    known, share = PONDS[which], r.pressure(made(which)).m_as("kPa") / 101.325 * 420e-6
    lime, base = known["hardness"] / 100.087, known["alkalinity"] / 50.0435
    solution = PhreeqPython(database="phreeqc.dat").add_solution(
        {"temp": known["warmth"], "pH": 7.5, "Ca": lime, "Cl": 2 * lime - base, "Alkalinity": base, "units": "mmol/kgw"}
    )
    solution.equalize(["CO2(g)", "Calcite"], [math.log10(share), index], [10, 0])
    return solution.pH


@pytest.mark.parametrize("which", PONDS)
def test_the_aired_ph_of_hard_water_is_that_of_phreeqc(which):
    plain, limed = (plan(made(which, hard))["water"]["ph_aired"] for hard in ("", "calcium_hardness"))
    # where no lime drops the plan counts ions as if alone: up to 0.13 higher in so hard a water
    assert 0 < plain.value.m - phreeqc_ph(which, 9.0) < 0.13 and not plain.has_band
    for end, index in (("value", 1.3), ("high", 1.3), ("typical", 0.8), ("low", 0.5)):
        assert 0 <= getattr(limed, end).m - phreeqc_ph(which, index) < 0.04
    assert f"without that its pH would come to {plain.value.m:.2f}" in limed.note


@pytest.mark.parametrize("which", PONDS)
def test_the_more_is_known_of_the_calcium_the_lower_the_ph_that_is_feared(which):
    nothing, all_hardness, calcium = (plan(made(which, hard))["water"]["ph_aired"].value for hard in ("", "hardness", "calcium_hardness"))
    assert calcium < all_hardness < nothing
    half = plan(made(which, "calcium_hardness", hardness=PONDS[which]["hardness"] / 2))["water"]["ph_aired"].value
    assert all_hardness == half  # of all hardness half is taken to be calcium at the cautious end


def test_hardness_of_an_older_set_counts_too():
    now = made("chalk", "hardness")
    older = now.readings[0].model_copy(update={"when": "2026-05-01", "ph": None, "tan": None})
    later = now.readings[0].model_copy(update={"hardness": None})
    assert plan(now.model_copy(update={"readings": (older, later)}))["water"]["ph_aired"].value == plan(now)["water"]["ph_aired"].value


def test_soft_water_drops_none_and_says_nothing_of_it():
    stage = plan(demo_pond())["water"]
    assert not stage["ph_aired"].has_band and "lime" not in stage["ph_aired"].note
    assert not [a for a in stage.assumptions if "lime" in a.text] and "lime may drop" not in stage.facts["hardness"]


def test_what_was_read_is_never_counted_lower():
    # typically lime would bring the aired pH to 8.5, below the 8.6 that was read: the ammonia that counts stays as read
    stage = plan(made("chalk", "hardness", ph=8.6))["water"]
    assert stage["ph_aired"].typical.m < 8.6 < stage["ph_aired"].value.m
    assert stage["unionized_worst"].typical.m == pytest.approx(stage["unionized_ammonia"].value.m, rel=1e-9)
    assert stage["unionized_worst"].value == stage["unionized_aired"].value
    assert "once the water has aired, that may come to 8.7" in stage.facts["ammonia"]


def test_the_words_name_the_lime():
    made_plan = plan(made("chalk", "hardness"))
    ph = made_plan["water"]["ph_aired"]
    assert f"its pH then comes to {ph.low.m:.1f} to {ph.high.m:.1f}, typically {ph.typical.m:.1f}" in made_plan["water"].facts["hardness"]
    for key in ("water", "filter"):
        assert [a for a in made_plan[key].assumptions if "Hard water drops lime" in a.text and "saturation index of 1.3" in a.text]


# --------------------------------------------------------------------------------------------------- every place that airs water


@pytest.mark.parametrize("which", PONDS)
@pytest.mark.parametrize("hard", ["", "hardness", "calcium_hardness"])
def test_filter_and_water_agree(which, hard):
    done = plan(made(which, hard))
    assert done["filter"]["design_ph"].value.m == pytest.approx(done["water"]["ph_aired"].value.m, abs=1e-9)


def test_water_changes_count_the_lime():
    # 0.6 mg/L and new water of the same kind: the pH stays, so the changes are those of the poison alone
    plain, limed = (plan(made("chalk", hard, tan=0.6))["water"] for hard in ("", "calcium_hardness"))
    for stage in (plain, limed):
        over = stage["unionized_worst"].value / stage["unionized_limit"].value
        assert stage["changes_needed"].value.m == math.ceil(math.log(over.m_as("")) / math.log(4 / 3))
    assert limed["changes_needed"].value < plain["changes_needed"].value


def test_new_water_of_which_no_hardness_is_known_is_taken_for_soft():
    def needed(tap: str) -> float:
        return plan(made("chalk", "calcium_hardness", tap, tan=0.6))["water"]["changes_needed"].value.m

    same, soft, hard = needed(""), needed('alkalinity = "250 mg/L"'), needed('alkalinity = "250 mg/L"\ncalcium_hardness = "290 mg/L"')
    assert hard == same <= soft


def test_a_dose_counts_the_lime():
    # gypsum water: hardly any alkalinity, so a dose is planned, and so much calcium that lime drops once it has aired
    known = {"alkalinity": 70, "hardness": 1500, "ph": 7.6, "tan": 0.05, "warmth": 26}
    plain, limed = (plan(made("chalk", hard, **known))["water"] for hard in ("", "calcium_hardness"))
    assert plain["alkalinity_step"].value == limed["alkalinity_step"].value
    assert limed["ph_after_airing"].value < plain["ph_after_airing"].value - Q(0.02, "-")


# ------------------------------------------------------------------------------------------------------- what hangs on a test


@pytest.mark.parametrize("which", PONDS)
def test_hard_water_is_not_called_hopeless_once_its_calcium_was_tested(which):
    # without a test of hardness the limestone pond's filter was to cover 0.02 times its ammonia even with independent errors
    before, after = (plan(made(which, hard))["filter"] for hard in ("", "calcium_hardness"))
    assert after["design_tan"].value > 1.4 * before["design_tan"].value
    assert (after.series["capacity"].m >= before.series["capacity"].m).all()
    assert after["cover"].likely[0].m > 1.8 > before["cover"].likely[0].m


@pytest.mark.parametrize(
    "hard, asked",
    [("", "Test hardness (best calcium hardness alone)"), ("hardness", "Test calcium hardness alone"), ("calcium_hardness", "")],
)
def test_the_test_is_asked_for_where_something_hangs_on_it(hard, asked):
    pond = made("limestone", hard)
    done = plan(pond)
    assert r.hardness_wish(pond).startswith(asked) and bool(r.hardness_wish(pond)) is bool(asked)
    told = {f.key: f.do for f in findings(done)}
    for key in ("filter.no_media_will_do", "water.ammonia"):
        assert ("hard water drops lime" in told[key]) is bool(asked)
    assert r.hardness_wish(demo_pond()) == ""  # soft: nothing hangs on it


def test_a_worst_case_is_not_told_as_something_to_fix():
    found = {f.key: f for f in findings(plan(made("chalk", "hardness")))}["filter.no_media_will_do"]
    assert found.urgency is Urgency.IMPROVE and "times as much as the feed brings, or more" in found.what
    unlikely = {f.key: f for f in findings(plan(made("limestone")))}["filter.no_media_will_do"]
    assert unlikely.urgency is Urgency.FIX


def test_the_ends_of_the_index_are_those_of_its_sources():
    # more than 3 times; nothing grows at 6.7 times; nothing forms up to 20 times
    index = coefficients()["lime_index"]
    assert [index.at(end).m for end in ("low", "typical", "high")] == pytest.approx([math.log10(x) for x in (3, 6.7, 20)], abs=0.05)
