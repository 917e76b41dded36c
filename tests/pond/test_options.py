"""What else could be done: no change that is offered makes things worse, and each belongs to the supply at hand."""

from __future__ import annotations

import numpy as np
import pytest

from pondwright.pond.climate import DAYS
from pondwright.pond.file import parse_pond
from pondwright.pond.offgrid import flows_of, year_of
from pondwright.pond.options import options
from pondwright.pond.plan import plan
from pondwright.units import Q

from .test_without_battery import BATTERY, MPPT, PANEL, POND

FENCE = 'horizon = [["120 deg", "20 deg"], ["180 deg", "20 deg"], ["240 deg", "20 deg"]]\n'
PLACES = {"boise": "boise", "far north, without December sun": "fairbanks", "wet coast": "vancouver"}
WINTER_OFF = np.isin(np.arange(12), (3, 4, 5, 6, 7, 8))


def pond(climate="boise", tilt=60, more="", supply=MPPT + BATTERY, pump=20, head=POND):
    panel = PANEL.replace('tilt = "60 deg"', f'tilt = "{tilt} deg"') + more
    return parse_pond(head.replace('"boise"', f'"{climate}"').replace('"20 W"', f'"{pump} W"') + panel + supply)


def at(this, tilt):
    panel = this.power.panel.model_copy(update={"tilt": Q(float(tilt), "deg")})
    return this.model_copy(update={"power": this.power.model_copy(update={"panel": panel})})


def words(this, **more):
    return [option.words for option in options(this, **more)]


@pytest.mark.parametrize("climate", PLACES.values(), ids=PLACES)
@pytest.mark.parametrize("tilt", [0, 30, 70, 90])
@pytest.mark.parametrize("more", ["", FENCE], ids=["open", "fence"])
@pytest.mark.parametrize("use", [np.ones(12, bool), WINTER_OFF], ids=["all year", "summer"])
def test_a_tilt_that_is_offered_is_the_best_of_a_sweep_and_none_is_worse(climate, tilt, more, use):
    """Chosen by the hours of the year itself, in the months in use; not by the sun of one dark month on flat ground."""
    this = pond(climate, tilt, more)

    def still(lean):
        hours = DAYS * (24 - year_of(at(this, lean)).run_hours)
        return hours[use].sum(), hours.sum()

    now, whole = still(tilt)
    found = [o for o in options(this, use=use) if o.words.startswith("the panel at")]
    sweep = {lean: still(lean) for lean in range(0, 91, 15)}
    for option in found:
        lean = int(option.words.split()[3])
        assert sweep[lean][1] <= whole and option.still == pytest.approx(sweep[lean][1])
        assert sweep[lean][0] == min(there for there, all_year in sweep.values() if all_year <= whole) <= 0.95 * now
    if not found:
        assert all(there > 0.95 * now or all_year > whole or abs(lean - tilt) < 9 for lean, (there, all_year) in sweep.items())


def test_a_flat_panel_in_the_north_is_told_to_stand_up():
    assert any(said.startswith("the panel at") for said in words(pond("boise", 0)))


def test_no_timer_and_no_night_flow_without_a_battery():
    """At night such a pump stands still anyway."""
    for supply in (MPPT, MPPT.replace("mppt", "switching"), ""):
        said = words(pond(supply=supply))
        assert not any("timer" in option or "at night" in option for option in said)
        assert any(option.startswith("a lead-acid battery of 80 Ah") for option in said)  # 20 W x 24 h / 12 V / 0.5 = 80 Ah
        assert ("a pump controller that turns spare volts into amperes" in said) == (supply != MPPT)
    assert any("timer" in option for option in words(pond())) and any("at night" in option for option in words(pond()))


def test_more_volts_are_not_offered_to_a_pump_that_hangs_on_its_panel_alone():
    assert not any("panels instead of" in option for option in words(pond(supply="")))
    assert any("panels instead of" in option for option in words(pond(supply=MPPT)))


def test_spare_volts_turned_into_amperes_and_a_battery_bring_water():
    line = POND + '[plumbing]\ninside_diameter = "40 mm"\nlength = "2.6 m"\nlift = "1.2 m"\n'
    this = pond(supply="", head=line)
    found = {o.words: o for o in options(this, flows_of(this, plan(this, until="plumbing").stages))}
    now = found["as planned"]
    assert found["a pump controller that turns spare volts into amperes"].still < now.still
    assert found["a lead-acid battery of 80 Ah, with what charges it"].still < now.still
