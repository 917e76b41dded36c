"""A pump that gets another voltage than its label names: what it takes from the supply, and what its wires must carry."""

from __future__ import annotations

import pytest

from tests.pond.test_power_stage import WHOLE, made


@pytest.mark.parametrize(("supply", "watts", "amperes"), [("10.8", 30 * 0.9**3, 30 / 12), ("13.2", 30 * 1.1**3, 30 * 1.1**3 / 12)])
def test_a_pump_at_another_voltage_takes_other_watts_and_its_wires_the_larger(supply, watts, amperes):
    # affinity: power grows with the cube of the speed, and a direct-current motor's speed with its voltage
    text = WHOLE.replace("[pump]\n", f'[pump]\nrated_voltage = "12 V"\nsupply_voltage = "{supply} V"\n')
    this = made(text)
    assert this["daily_energy"].value.m_as("watt*hour/day") == pytest.approx(12 * watts)
    assert f"{supply.rstrip('0')} V" in this["daily_energy"].note
    assert this["load_current"].value.m_as("A") == pytest.approx(amperes)
    assert "pump.affinity_power" in this["daily_energy"].formulas
