"""A pump that gets another voltage than its label names, and one that runs on its panel alone: what the supply says of them."""

from __future__ import annotations

import pytest

from pondwright.pond.file import parse_pond
from pondwright.pond.plan import plan
from pondwright.report.parts import parts
from tests.pond.test_power_stage import BATTERY, WHOLE, found, made


@pytest.mark.parametrize(("supply", "watts", "amperes"), [("10.8", 30 * 0.9**3, 30 / 12), ("13.2", 30 * 1.1**3, 30 * 1.1**3 / 12)])
def test_a_pump_at_another_voltage_takes_other_watts_and_its_wires_the_larger(supply, watts, amperes):
    # affinity: power grows with the cube of the speed, and a direct-current motor's speed with its voltage
    text = WHOLE.replace("[pump]\n", f'[pump]\nrated_voltage = "12 V"\nsupply_voltage = "{supply} V"\n')
    this = made(text)
    assert this["daily_energy"].value.m_as("watt*hour/day") == pytest.approx(12 * watts)
    assert f"{supply.rstrip('0')} V" in this["daily_energy"].note
    assert this["load_current"].value.m_as("A") == pytest.approx(amperes)
    assert "pump.affinity_power" in this["daily_energy"].formulas


def test_nothing_is_said_of_a_battery_that_is_not_there():
    """Hot panels of 14.8 V stand above 12 V: a pump may run on them without a battery."""
    text = WHOLE.replace(BATTERY, "").replace('vmp = "18.6 V"', 'vmp = "17 V"')
    alone = made(text)
    assert sum("[power.battery]" in words for words in alone.missing) == 1
    assert "controller_fuse" not in alone and "battery" not in alone.facts["pump_fuse"] and "battery" not in alone["pump_fuse"].label
    said = found(text)
    assert "power.charging_voltage" not in said and "power.charging_voltage" in found(WHOLE.replace('vmp = "18.6 V"', 'vmp = "17 V"'))
    assert not any("plus pole" in finding.what for finding in said.values())
    listed = parts(plan(parse_pond(text)), "metric")["power"]
    assert not any("battery" in f"{part.what} {part.want}" for part in listed)
