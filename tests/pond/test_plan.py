"""The whole plan: every number finite, the same in any units, never broken by what is missing, and moving the way physics does."""

from __future__ import annotations

import copy
import dataclasses
import functools
import re
import tomllib

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pondwright.pond.file import PondFileError, parse_pond, validated
from pondwright.pond.findings import findings
from pondwright.pond.model import Pond
from pondwright.pond.plan import STAGES, plan
from pondwright.pond.results import Urgency
from pondwright.sources import SOURCES
from pondwright.units import FORMULAS, SYSTEMS, Quantity, QuantityError, read, show, showing_in, unit, write_unit
from tests.ponds import TEXTS

SECTIONS = [name for name in Pond.model_fields if name != "pond"]
ENDS = ("low", "typical", "value", "high")
every_pond = pytest.mark.parametrize("name", TEXTS)


def data(name: str = "demo") -> dict:
    return tomllib.loads(TEXTS[name])


def planned(document: dict):
    return plan(validated(document, "pond.toml"))


@functools.cache
def whole(name: str):
    return plan(parse_pond(TEXTS[name]))


def quantities(p):
    """Yield (dotted name, Quantity) of everything with a number in it."""
    for key, stage in p.stages.items():
        for number in stage.numbers.values():
            yield from ((f"{key}.{number.key}.{end}", getattr(number, end)) for end in ENDS)
        yield from ((f"{key}.{name}", series) for name, series in stage.series.items())
        yield from ((f"{key}.{g.title}", cell) for g in stage.grids for row in g.rows for cell in row if isinstance(cell, Quantity))


def assert_sound(p):
    """Check what must hold for every plan, whatever the pond."""
    for name, quantity in quantities(p):
        assert np.all(np.isfinite(quantity.magnitude)), name
    for key, stage in p.stages.items():
        assert stage.planned or stage.missing, f"{key} has no numbers and does not say what it needs"
        for number in stage.numbers.values():
            assert number.low <= number.typical <= number.high and number.low <= number.value <= number.high, f"{key}.{number.key}"
    for finding in findings(p):
        assert finding.what.strip() and finding.do.strip()


# ------------------------------------------------------------------------------------------------------------- a sound plan


def test_there_are_fixtures_unlike_the_demo():
    assert len(TEXTS) >= 4


@every_pond
def test_every_stage_is_planned_and_sound(name):
    p = whole(name)
    assert list(p.stages) == list(STAGES)
    for key, stage in p.stages.items():
        without_panel = key in ("power", "season") and "panel" not in data(name).get("power", {})
        without_vessel = key in ("vessel", "drains") and "vessel" not in data(name)
        assert stage.planned or without_panel or without_vessel, f"{key} of {name} is not planned"
    assert_sound(p)


@every_pond
def test_every_number_is_named_shown_and_traced(name):
    for key, stage in whole(name).stages.items():
        assert stage.key == key and stage.title and not stage.title.endswith(".")
        for number_key, number in stage.numbers.items():
            assert number.key == number_key and re.fullmatch(r"[a-z][a-z0-9_]*", number_key) and number.label
            assert number.typical.is_compatible_with(unit(number.unit))
            assert not (set(number.formulas) - set(FORMULAS)) and not (set(number.sources) - set(SOURCES)), f"{key}.{number_key}"
            for system in SYSTEMS:
                assert number.text(system) and "nan" not in number.text(system)
            if number.decides and number.has_band:
                assert number.value in (number.low, number.high) or number.value == number.typical, f"{key}.{number_key}: not at an end"
        assert set(stage.sources) <= set(SOURCES) and set(stage.formulas) <= set(FORMULAS)
        for assumption in stage.assumptions:
            assert assumption.text.endswith(".") and set(assumption.sources) <= set(SOURCES)
        assert stage.cautions or key == "stocking" or not stage.planned, f"{key} asks for no care at all"


@every_pond
def test_findings_are_ranked_sentences_about_numbers_that_exist(name):
    p = whole(name)
    found = findings(p)
    assert [f.urgency for f in found] == sorted(f.urgency for f in found)
    keys = [f.key for f in found]
    assert len(keys) == len(set(keys))
    for finding in found:
        stage, _, rest = finding.key.partition(".")
        assert stage in STAGES and rest and isinstance(finding.urgency, Urgency)
        assert finding.what.rstrip().endswith((".", "!", "?")) and finding.do.rstrip().endswith((".", "!", "?")), finding
        for dotted in finding.numbers:
            assert p[dotted], f"{finding.key} points to {dotted}"


@every_pond
def test_planning_twice_gives_the_same(name):
    first, again = whole(name), plan(parse_pond(TEXTS[name]))
    for (key, a), (_, b) in zip(quantities(first), quantities(again), strict=True):
        assert np.array_equal(a.magnitude, b.magnitude) and a.units == b.units, key
    assert findings(first) == findings(again)


def test_a_part_of_the_chain_is_the_same_as_the_whole():
    p = whole("demo")
    part = plan(p.pond, until="plumbing")
    assert list(part.stages) == ["survey", "fish", "plumbing"]
    assert part["plumbing.flow"] == p["plumbing.flow"]
    rest = plan(p.pond, done=part.stages)
    assert rest.stages["survey"] is part.stages["survey"]
    assert rest["filter.capacity"].value == p["filter.capacity"].value


def test_a_plan_is_frozen_and_says_its_numbers():
    p = whole("demo")
    with pytest.raises(dataclasses.FrozenInstanceError):
        p.pond = None
    assert p["survey"]["volume"] is p["survey.volume"]
    assert "Slipway basin" in p.say("survey.volume") and p["survey.volume"].text() in p.say("survey.volume")
    assert p.say("survey.surface_area") == "Slipway basin (invented demo): Water surface: 10.8 m²"  # 3.2 x 2.2 + pi x 1.1^2 = 10.84
    bare = planned({"pond": data()["pond"]})
    assert "not planned yet" in bare.say("filter.capacity")


# ------------------------------------------------------------------------------------------------------- the same in any units

CUSTOMARY = {"[length]": "ft", "[length] ** 2": "ft2", "[length] ** 3": "US gal", "[mass]": "lb", "[temperature]": "degF",
             "[length] ** 3 / [time]": "US gph", "[mass] / [time]": "oz/d"}  # fmt: skip


def in_customary_units(value):
    """Write every quantity of a pond file in US units, with all its digits."""
    if isinstance(value, dict):
        words = ("name", "note", "when", "ph")
        return {k: v if k in words else in_customary_units(v) for k, v in value.items()}
    if isinstance(value, list):
        return [in_customary_units(v) for v in value]
    try:
        quantity = read(value) if isinstance(value, str) else None
    except QuantityError:
        return value
    if quantity is None or quantity.dimensionless:
        return value
    there = CUSTOMARY.get(str(quantity.dimensionality), write_unit(quantity.units))
    return f"{float(quantity.m_as(unit(there)))!r} {there}"


def test_the_turn_into_us_units_is_a_turn():
    turned = in_customary_units(data())
    assert re.fullmatch(r"17\.7165\d+ ft", turned["pond"]["shape"]["length"])  # 5.4 m / 0.3048
    assert turned["pump"]["curve"][1]["flow"].endswith("US gph") and turned["readings"][0]["temperature"].endswith("degF")


@every_pond
def test_us_units_in_give_the_plan_of_metric_units_in(name):
    metric, american = whole(name), planned(in_customary_units(data(name)))
    for (key, a), (other, b) in zip(quantities(metric), quantities(american), strict=True):
        assert key == other
        # the search for an operating point or a dark month ends within a tolerance, so equal means to six digits
        assert b.m_as(a.units) == pytest.approx(a.magnitude, rel=1e-6, abs=1e-9), key
    assert [f.key for f in findings(metric)] == [f.key for f in findings(american)]


# rates stay g/m²/day everywhere, and less than an ounce stays in grams (tests/test_units.py)
METRIC_ONLY = re.compile(r"(?!1 m²)\d ?(?:L|m³|m|mm|cm|m²|kg|°C|m/s|L/min|L/h|kPa)(?![\w/³²])")
METRIC_WORDS = re.compile(r"(?:centi|square |cubic |\ba |each )met(?:re|er)|\b(?:a|each|per) (?:litre|kilogram)")
MEASURED_SO = re.compile(r"mg/L|g/L|g/m²/day")  # units that have no other word in any system
# pipes are sold by such names
NAMES = re.compile(r"\(\d+ mm\)|\b(?:the|A) \d+ mm pipe|\d+ mm (?:pipe )?\(metric|metric PVC-U PN \d+ \d+ mm")


@every_pond
@pytest.mark.parametrize("system", ["us", "imperial"])
def test_what_is_shown_follows_the_readers_units(name, system):
    """Sentences made inside `showing_in` name no metric unit that the system has another word for."""
    with showing_in(system):
        p = plan(parse_pond(TEXTS[name]))
        texts = [(f.key, t) for f in findings(p) for t in (f.what, f.do)]
        texts += [(f"{k}.{n.key}", f"{n.text()} {n.band_text()}") for k, s in p.stages.items() for n in s.numbers.values()]
        texts += [(f"{k} fact {fact}", str(t)) for k, s in p.stages.items() for fact, t in s.facts.items()]
        texts += [(f"{k} assumption", a.text) for k, s in p.stages.items() for a in s.assumptions]
        numbers = [(f"{k}.{n.key}", n) for k, s in p.stages.items() for n in s.numbers.values()]
        texts += [(f"{key} marks", f"{n.note} {n.marks}") for key, n in numbers]
        texts = [(key, NAMES.sub("", text)) for key, text in texts]
        words = [(key, f"{n.label} {n.unit}") for key, n in numbers] + [(k, c) for k, s in p.stages.items() for c in s.cautions] + texts
    wrong = [f"{key}: ...{text[max(0, m.start() - 30):m.end() + 10]}..." for key, text in texts if (m := METRIC_ONLY.search(text))]
    wrong += [f"{key}: {text}" for key, text in words if METRIC_WORDS.search(text) and not MEASURED_SO.search(text)]
    assert not wrong, "\n".join(wrong)


def test_a_mark_names_the_range_in_the_readers_units():
    """The mean fish of the demo is 12 cm long and the relation holds from 20 cm on: 4.72 and 7.87 inches."""
    told = plan(parse_pond(TEXTS["demo"]), until="fish").say("fish.biomass", "us")
    assert "length 4.72 in; range at least 7.87 in" in " ".join(str(told).split()) and " cm" not in str(told)


# ------------------------------------------------------------------------------------------------------------ what is missing

# what cannot be known without a section, whatever else its stage can say
NEEDS = {
    "fish": ("fish.biomass", "fish.feed_peak", "filter.tan_load", "stocking.density"),
    "pump": ("plumbing.flow", "filter.flow_capacity", "power.load_current"),
    "plumbing": ("plumbing.flow", "plumbing.head", "filter.flow_capacity"),
    "power": ("power.pump_hours", "power.battery_needed"),
    "filter": ("filter.capacity", "filter.surface_capacity", "stocking.limit_filter"),
    "place": ("power.pump_hours", "filter.tan_load"),
    "readings": ("filter.design_tan", "water.unionized_ammonia", "water.alkalinity_days"),
}  # fmt: skip


@every_pond
@pytest.mark.parametrize("section", SECTIONS)
def test_a_missing_section_breaks_nothing_and_is_never_filled_in(name, section):
    document = data(name)
    document.pop(section, None)
    p = planned(document)
    assert_sound(p)
    for dotted in NEEDS.get(section, ()):
        stage, _, key = dotted.partition(".")
        assert key not in p[stage], f"{dotted} is planned without [{section}]"
    for key in STAGES:
        assert all(isinstance(m, str) and m for m in p[key].missing)


@every_pond
@pytest.mark.parametrize("section", SECTIONS)
def test_one_section_beside_the_shape_breaks_nothing(name, section):
    document = data(name)
    assert_sound(planned({k: v for k, v in document.items() if k in ("pond", section)}))


def test_a_shape_alone_is_a_plan():
    p = planned({"pond": {"shape": data()["pond"]["shape"]}})
    assert p["survey"].planned and not any(p[key].planned for key in STAGES if key not in ("survey", "water"))
    assert_sound(p)


@settings(max_examples=60, deadline=None)
@given(kept=st.sets(st.sampled_from(SECTIONS)), name=st.sampled_from(list(TEXTS)))
def test_any_choice_of_sections_is_a_sound_plan(kept, name):
    assert_sound(planned({k: v for k, v in data(name).items() if k == "pond" or k in kept}))


def leaves(value, path=()):
    for key, inner in value.items() if isinstance(value, dict) else enumerate(value):
        if isinstance(inner, dict | list):
            yield from leaves(inner, (*path, key))
        yield (*path, key)


def parent_of(document, path):
    for key in path[:-1]:
        document = document[key]
    return document


@every_pond
def test_any_key_may_be_left_out(name):
    """Each key in turn: the file is refused with a line, or the plan is sound without it."""
    for path in list(leaves(data(name))):
        document = data(name)
        del parent_of(document, path)[path[-1]]
        try:
            p = planned(document)
        except PondFileError:
            continue
        assert_sound(p)


FACTORS = st.sampled_from([0.0, 0.001, 0.03, 0.3, 0.9, 1.1, 3.0, 30.0, 1000.0])


@settings(max_examples=150, deadline=None)
@given(choice=st.data(), name=st.sampled_from(list(TEXTS)))
def test_any_pond_that_the_file_lets_through_has_a_sound_plan(choice, name):
    document = data(name)
    numbers = [p for p in leaves(document) if isinstance(parent_of(document, p)[p[-1]], str | int)]
    for path in choice.draw(st.lists(st.sampled_from(numbers), min_size=1, max_size=4)):
        parent, factor = parent_of(document, path), choice.draw(FACTORS)
        old = parent[path[-1]]
        if isinstance(old, bool):
            parent[path[-1]] = not old
        elif isinstance(old, int):
            parent[path[-1]] = int(old * factor)
        else:
            try:
                quantity = read(old)
            except QuantityError:
                continue
            parent[path[-1]] = f"{quantity.magnitude * factor:.6g} {write_unit(quantity.units)}".removesuffix(" -")
    try:
        p = planned(document)
    except PondFileError:
        return
    assert_sound(p)


# ----------------------------------------------------------------------------------------------- which way a number must move


def with_value(name: str, path: str, change):
    """Return the pond of a fixture with one quantity (or whole number) changed by a function."""
    document = copy.deepcopy(data(name))
    keys = [int(k) if k.isdigit() else k for k in path.split(".")]
    parent = parent_of(document, keys)
    old = parent[keys[-1]]
    if isinstance(old, int):
        parent[keys[-1]] = round(change(old))
    else:
        quantity = read(old)
        parent[keys[-1]] = f"{change(quantity.magnitude):.9g} {write_unit(quantity.units)}"
    return document


# what is made larger, by which factors, which number must not fall (+) or rise (-)
RISES = [
    ("fish.groups.0.count", (1, 2, 4), "fish.biomass", "+"),
    ("fish.groups.0.count", (1, 2, 4), "fish.feed_peak", "+"),
    ("fish.groups.0.count", (1, 2, 4), "filter.tan_load", "+"),
    ("fish.groups.0.count", (1, 2, 4), "filter.media_needed", "+"),
    ("fish.groups.0.count", (1, 2, 4), "fish.hours_to_4", "-"),
    ("fish.groups.0.length", (1, 1.2, 1.5), "fish.biomass", "+"),
    ("filter.media_volume", (0.3, 0.6, 1), "filter.surface_capacity", "+"),
    ("filter.media_volume", (0.3, 0.6, 1), "filter.capacity", "+"),
    ("filter.media_volume", (0.3, 0.6, 1), "filter.feed_allowed", "+"),
    ("filter.media_volume", (0.3, 0.6, 1), "stocking.limit", "+"),
    ("pump.hours_per_day", (0.25, 0.5, 1), "filter.capacity", "+"),
    ("pump.hours_per_day", (0.25, 0.5, 1), "power.daily_energy", "+"),
    ("plumbing.length", (1, 2, 5), "plumbing.flow", "-"),
    ("plumbing.length", (1, 2, 5), "plumbing.head", "+"),
    ("plumbing.lift", (0.5, 0.8, 1), "plumbing.flow", "-"),
    ("plumbing.runs.0.length", (1, 2, 5), "plumbing.flow", "-"),
    ("pump.supply_voltage", (0.9, 0.95, 1), "plumbing.flow", "+"),
    ("plumbing.lift", (0.5, 0.8, 1), "drains.level_running", "-"),
    ("plumbing.intake.above_bottom", (0.5, 1, 2), "drains.water_left", "+"),
    ("plumbing.intake.above_bottom", (0.5, 1, 2), "drains.time_to_empty", "-"),
    ("vessel.outlets.0.inside_diameter", (0.8, 1, 1.2), "drains.level_running", "-"),
    ("vessel.outlets.0.inside_diameter", (0.8, 1, 1.2), "drains.overflow_flow", "-"),
    ("power.autonomy", (1, 2, 3), "power.battery_needed", "+"),
    ("power.battery.capacity", (1, 2, 3), "power.battery_days", "+"),
    ("power.cable.length", (1, 2, 4), "power.voltage_drop", "+"),
    ("pump.power", (1, 1.3, 2), "power.panel_needed", "+"),
]


def has(document, path: str) -> bool:
    """Tell whether a pond file holds the key that a dotted path names."""
    try:
        for key in path.split("."):
            document = document[int(key) if key.isdigit() else key]
    except (KeyError, IndexError):
        return False
    return True


MOVES = [(name, *rise) for name in TEXTS for rise in RISES if has(data(name), rise[0])]


@pytest.mark.parametrize("name, path, factors, number, way", MOVES, ids=[f"{m[0]}-{m[1]}-{m[3]}" for m in MOVES])
def test_numbers_move_the_way_physics_does(name, path, factors, number, way):
    plans = [planned(with_value(name, path, lambda v, f=f: v * f)) for f in factors]
    stage, _, key = number.partition(".")
    if key not in plans[0][stage]:  # such as: no media will do at this pH
        assert name != "demo", f"the demo pond has no {number}"
        return
    for end in ("value", "typical"):
        # a number that drops out on the way ("no media will do") counts as beyond all others
        got = [getattr(p[number], end).magnitude if key in p[stage] else np.inf for p in plans]
        steps = np.diff(got) * (1 if way == "+" else -1)
        assert np.all(steps >= -1e-9 * abs(got[0])), f"{path} x {factors}: {number} {end} {got}"


@pytest.mark.parametrize("name", [n for n in TEXTS if "panel" in data(n).get("power", {})])
def test_more_panels_never_give_fewer_hours(name):
    step = data(name)["power"]["panel"].get("in_series", 1)
    hours = []
    for n in (1, 2, 3):
        document = data(name)
        document["power"]["panel"]["count"] = step * n
        hours.append(planned(document)["power.pump_hours"].value.magnitude)
    assert hours == sorted(hours)


@every_pond
def test_the_mass_balance_of_nitrogen_closes(name):
    """What the feed brings in the peak month is feed x protein share x 0.092 at the typical end (Timmons and Ebeling's rule)."""
    p, document = whole(name), data(name)
    protein = read(document["fish"]["diet_protein"]).m_as("")
    feed, load = p["filter"].series["tan_load_typical"], p["fish"].series["feed"]
    month = int(np.argmax(load.magnitude))
    assert feed.m_as("gram/day")[month] == pytest.approx(load.m_as("gram/day")[month] * protein * 0.092, rel=0.02)


@every_pond
def test_a_capacity_is_the_smallest_of_its_three(name):
    filter_ = whole(name)["filter"]
    three = [filter_[k] for k in ("surface_capacity", "flow_capacity", "oxygen_capacity")]
    for end in ("low", "typical"):
        smallest = min(getattr(n, end).m_as("gram/day") for n in three)
        assert getattr(filter_["capacity"], end).m_as("gram/day") == pytest.approx(smallest, rel=1e-6)


def test_show_and_number_agree():
    volume = whole("demo")["survey.volume"]
    assert volume.text("us") == show(volume.value, "L", "us")
