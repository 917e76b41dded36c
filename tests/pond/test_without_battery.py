"""A pump without a battery: it follows the sun, lifts nothing while it turns slowly, and may hang on its panel alone."""

from __future__ import annotations

import pytest

from pondwright.pond.file import parse_pond
from pondwright.pond.plan import plan
from pondwright.pond.results import Urgency
from pondwright.pond.stages import power, season

POND = """
[pond]
name = "Trough (invented)"
[pond.shape]
kind = "circle"
diameter = "2 m"
depth = "0.8 m"
[place]
climate = "boise"
[pump]
curve = [ { flow = "0 L/min", head = "2 m" }, { flow = "20 L/min", head = "0 m" } ]
power = "20 W"
hours_per_day = "24 h/d"
"""
PANEL = """
[power]
voltage = "12 V"
[power.panel]
power = "100 W"
voc = "22.5 V"
isc = "5.9 A"
vmp = "18.6 V"
imp = "5.4 A"
tilt = "60 deg"
azimuth = "180 deg"
"""
MPPT = '[power.controller]\nkind = "mppt"\nmax_current = "10 A"\nmax_voltage = "50 V"\n'
BATTERY = '[power.battery]\nkind = "lead_acid"\ncapacity = "80 Ah"\ncoldest = "2 degC"\n'


def year(lift=None, supply=PANEL + MPPT):
    """Plan the pump through a line that lifts so many metres; without a line where none is given."""
    line = "" if lift is None else f'[plumbing]\ninside_diameter = "40 mm"\nlength = "2.6 m"\nlift = "{lift} m"\n'
    pond = parse_pond(POND + line + supply)
    stages = {key: done for key, done in plan(pond, until="season").stages.items() if key in ("plumbing", "power", "season")}
    return pond, stages, " ".join(a.text for a in stages["season"].assumptions)


def hours(stages):
    return stages["season"].series["pump_hours_typical"].m


def test_the_lift_takes_hours_away_and_is_told():
    (_, free, unsaid), (_, low, _), (_, high, said) = year(), year(0.2), year(1.2)
    assert (hours(high) < hours(low)).all() and (hours(low) < hours(free)).all() and hours(high)[0] < 0.75 * hours(low)[0]
    assert low["season"]["gap"].value < high["season"]["gap"].value
    assert "does not say how high the water is lifted" in unsaid
    assert "must be lifted by 1.2 m. Below 78 % of its full speed the pump moves none" in said  # sqrt(1.2/2) = 0.775


def test_a_pump_too_weak_for_its_lift_never_gives_water():
    _, stages, said = year(2.5)
    assert hours(stages) == pytest.approx(0) and "Even at full speed it does not lift the water by 2.5 m" in said


def test_only_a_battery_is_ever_empty():
    for said, battery in ((year(1.2)[2], False), (year(1.2, PANEL)[2], False), (year(1.2, PANEL + MPPT + BATTERY)[2], True)):
        assert ("takes all loads off an empty battery" in said) == ("a tired battery" in said) == battery
        assert ("the pump runs as the sun shines" in said) != battery


def test_with_a_battery_the_lift_changes_nothing():
    assert hours(year(0.2, PANEL + MPPT + BATTERY)[1]) == pytest.approx(hours(year(1.2, PANEL + MPPT + BATTERY)[1]))


def test_a_panel_alone_on_a_pump_is_planned_and_its_volts_are_told():
    """100 W, Imp 5.4 A on a pump of 20 W and 12 V (1.667 A): 12 x sqrt(5.4/1.667) = 21.6 V, held at the panel's Vmp of 18.6 V."""
    pond, stages, said = year(1.2, PANEL)
    assert stages["season"]["full_sun"].value.m_as("V") == pytest.approx(18.6) and "only the amperes count" in said
    cold = stages["power"]["cold_voltage"].value
    assert cold.m_as("V") > 22.5
    (found,) = (f for f in season.find(pond, stages) if f.key == "season.panel_alone")
    assert found.urgency == Urgency.FIX and "may get 18.6 V" in found.what and "made for 12 V" in found.what
    assert stages["power"]["cold_voltage"].text() in found.what and "power.voltage" not in {f.key for f in power.find(pond, stages)}
    assert (hours(stages) < hours(year(1.2)[1])).all()  # spare volts are lost


def test_a_small_panel_alone_brings_no_volts_too_many():
    """Imp 1.6 A turns the pump with sqrt(1.6/1.667) = 0.98 of its speed: 11.8 V."""
    small = PANEL.replace('"100 W"', '"30 W"').replace('"5.9 A"', '"1.8 A"').replace('"5.4 A"', '"1.6 A"')
    pond, stages, _ = year(1.2, small)
    assert stages["season"]["full_sun"].value.m_as("V") == pytest.approx(11.76, abs=0.01)
    (found,) = (f for f in season.find(pond, stages) if f.key == "season.panel_alone")
    assert found.urgency == Urgency.NOTE


def test_a_battery_still_needs_a_controller():
    _, stages, _ = year(1.2, PANEL + BATTERY)
    assert stages["season"].missing == ("needs [power.controller]",)
