"""The ledger of loads: the controller's own use, a lamp by the light of its plants, what may run when, and what the supply costs."""

from __future__ import annotations

import numpy as np
import pytest

from pondwright.pond.faults import PondFileError
from pondwright.pond.file import demo_text, parse_pond
from pondwright.pond.plan import plan
from pondwright.pond.stages.power_ledger import COSTS, MAY_RUN, OWN
from pondwright.units import Q

LAMP = '[[power.loads]]\nname = "grow light"\n{}light = "12 mol/m2/d"\narea = "0.3 m2"\nefficacy = "2 umol/J"\n'
PHONES = '[[power.loads]]\nname = "phones"\npower = "5 W"\nhours_per_day = "3 h/d"\n'
SIXTY = LAMP.format('power = "60 W"\n')


def pond(more=""):
    return parse_pond(demo_text().replace("[power.panel]", more + "[power.panel]"))


def planned(more="", until="power"):
    return plan(pond(more), until=until)


def grid(result, title, stage="power"):
    return next((g for g in result[stage].grids if g.title.startswith(title)), None)


def test_a_lamp_by_the_light_of_its_plants():
    """12 mol x 0.3 m2 / 2 umol/J = 1.8 MJ = 500 Wh a day; a lamp of 60 W burns 8.33 h for it, and one that burns 10 h has 50 W."""
    by_power, by_hours = (pond(LAMP.format(given)).power.loads[0] for given in ('power = "60 W"\n', 'hours_per_day = "10 h/d"\n'))
    assert by_power.hours_per_day.m_as("h/d") == pytest.approx(500 / 60) and by_hours.power.m_as("W") == pytest.approx(50)
    stage = planned(SIXTY)["power"]
    assert stage["lamp_1_energy"].value.m_as("Wh/d") == pytest.approx(500)
    assert stage["daily_energy"].value.m_as("Wh/d") == pytest.approx(480 + 500)
    assert "lamp_1_energy" not in planned(PHONES)["power"]


@pytest.mark.parametrize(("load", "said"), [
    (LAMP.format(""), "needs its power, or its hours_per_day"),
    (LAMP.format('power = "15 W"\n'), "have to burn for 33.3 h/day"),
    (LAMP.format('power = "60 W"\nhours_per_day = "10 h/d"\n'), "takes 500 Wh/day, and power times hours_per_day is 600 Wh/day"),
    (SIXTY.replace('area = "0.3 m2"\n', ""), "all three of light, area and efficacy"),
    ('[[power.loads]]\nname = "radio"\npower = "3 W"\n', "needs power and hours_per_day")])  # fmt: skip
def test_a_lamp_that_cannot_be_is_refused_in_one_sentence(load, said):
    with pytest.raises(PondFileError, match=said) as fault:
        pond(load)
    assert len(fault.value.faults) == 1 and "power.loads" in str(fault.value)


def test_the_controller_stands_in_the_table_of_loads_and_not_in_their_sum():
    """Typically a small controller draws 0.3 W (common practice, no source): 7.2 Wh a day; or what the file says."""
    rows = {row[0]: row for row in grid(planned(), "Loads").rows}
    assert rows[OWN][3].m_as("Wh/d") == pytest.approx(7.2) and planned()["power"]["daily_energy"].value.m_as("Wh/d") == pytest.approx(480)
    said = demo_text().replace('max_voltage = "100 V"', 'max_voltage = "100 V"\nself_use = "0.5 W"')
    known = plan(parse_pond(said), until="power")
    assert {row[0]: row for row in grid(known, "Loads").rows}[OWN][3].m_as("Wh/d") == pytest.approx(12)
    assert any("draws 0.5 W day and night, 12 Wh/day" in a.text for a in known["power"].assumptions)
    assert OWN not in {row[0] for row in grid(known, "Which load empties").rows}


def test_what_may_run_when_counts_the_pump_first_and_then_the_smallest():
    """Of what reaches the loads in a month the pump takes 480 Wh a day and the controller 7.2; 15 Wh charge phones, the rest lights."""
    result = planned(SIXTY + PHONES)
    came, table = result["power"].series["energy_in"].m_as("Wh/d"), grid(result, MAY_RUN)
    assert [head.split(" (")[0] for head in table.columns] == ["month", "left after the pump", "phones", "grow light"]
    for row, energy in zip(table.rows, came, strict=True):
        left = max(energy - 480 - 7.2, 0)
        phones = min(left / 5, 3)
        assert [cell.m for cell in row[1:]] == pytest.approx([left, phones, min((left - 5 * phones) / 60, 500 / 60)])
    assert table.rows[0][2].m == 0 < table.rows[6][3].m  # nothing in January, and some light in July
    assert grid(planned(), MAY_RUN) is None


def test_the_hours_of_every_load_by_month_hour_by_hour():
    """With so much sun that nothing ever fails each load runs as long as it is wanted; without, none longer, and less in winter."""
    rich = demo_text().replace('power = "200 W"', 'power = "4000 W"').replace('capacity = "110 Ah"', 'capacity = "2000 Ah"')
    rich = rich.replace('max_current = "20 A"', 'max_current = "200 A"').replace("[power.panel]", SIXTY + PHONES + "[power.panel]")
    whole = grid(plan(parse_pond(rich), until="season"), "Hours that the other loads run", "season")
    hours = np.array([[cell.m_as("h/d") for cell in row[1:]] for row in whole.rows])
    assert hours == pytest.approx(np.tile([500 / 60, 3], (12, 1)), abs=0.1)
    poor = grid(planned(SIXTY + PHONES, until="season"), "Hours that the other loads run", "season")
    lights = np.array([row[1].m_as("h/d") for row in poor.rows])
    assert (lights <= 500 / 60 + 1e-9).all() and lights[0] < lights[6]
    assert grid(planned(until="season"), "Hours that the other loads run", "season") is None


def test_the_planned_supply_is_added_up_by_the_reader_s_prices():
    prices = '[power.prices]\ncurrency = "shells"\npanel = 90\ncontroller = 70\nbattery = 120\n'
    rows = grid(planned(prices + "pump = 40\n"), COSTS).rows  # 2 x 90 + 70 + 120 + 40
    assert rows[0] == ("panels", "2", "90 shells", "180 shells") and rows[-1][-1] == "410 shells"
    assert grid(planned(prices), COSTS).rows[-1][-1] == "–"  # the pump's price is not known
    assert grid(planned(), COSTS) is None and grid(planned("[power.prices]\ntimer = 3\n"), COSTS) is None


def test_a_lamp_survives_being_read_twice():
    load = pond(SIXTY).power.loads[0]
    again = type(load).model_validate(load.model_dump())
    assert again.power == Q(60, "W") and again.hours_per_day == load.hours_per_day
