"""Loads, panels, controller, battery, cable and fuse: against codes and standards as printed, open module data, pvlib and arithmetic."""

from __future__ import annotations

import functools
import os

import numpy as np
import pytest

from pondwright.science import battery as b
from pondwright.science import cables as w
from pondwright.science import electrics as e
from pondwright.tables import coefficients, load
from pondwright.units import Q, QuantityError, read
from tests.grades import hand_worked, independent, published

from .reference import each

# --------------------------------------------------------------------------------------------------------------- loads and panels


@hand_worked(e.daily_energy, e.load_current)
def test_watts_and_watt_hours():
    # 20 W for 18 h is 360 Wh; 20 W at 12 V is 1.667 A
    assert e.daily_energy(Q(20, "W"), Q(18, "h/d")).m_as("watt*hour/day") == pytest.approx(360)
    assert e.load_current(Q(20, "W"), Q(12, "V")).m_as("A") == pytest.approx(20 / 12)


@each("solar", "cell temperature, simple NOCT")
@independent(e.cell_temperature, "the standard NOCT relation, evaluated apart")
def test_cell_temperature(row):
    given = row.given()
    row.assert_close(e.cell_temperature(Q(given["Ta"], "degC"), Q(given["G"], "W/m2"), Q(given["NOCT"], "degC")), "degC")


@each("solar", "module DC power, PVWatts")
@independent(e.panel_power, "pvlib pvwatts_dc")
def test_panel_power(row):
    given = row.given()
    slope = Q(given["gamma"] * 100, "%/K")
    row.assert_close(e.panel_power(Q(given["P_stc"], "W"), Q(given["G"], "W/m2"), Q(given["Tcell"], "degC"), slope))


@independent(e.panel_power, "pvlib pvwatts_dc over a grid of light and temperature")
def test_panel_power_grid():
    from pvlib.pvsystem import pvwatts_dc

    for light in (100, 400, 900):
        for cell in (-10, 25, 60):
            ours = e.panel_power(Q(240, "W"), Q(light, "W/m2"), Q(cell, "degC"), Q(-0.37, "%/K")).m_as("W")
            assert ours == pytest.approx(pvwatts_dc(light, cell, 240, -0.0037))


@each("electrics", "^array size")
@hand_worked(e.panel_needed, e.panel_energy, "P = Wh/(sun hours x derate): 480 Wh, 4.5 h, 0.75")
def test_array_size(row):
    full = [Q(100, "%")] * 3
    needed = e.panel_needed(Q(480, "Wh/d"), Q(4.5, "kWh/m2/d"), Q(75, "%"), *full)
    row.assert_close(needed)
    assert e.panel_energy(needed, Q(4.5, "kWh/m2/d"), Q(75, "%"), *full).m_as("watt*hour/day") == pytest.approx(480)


@hand_worked(e.panel_charge, e.panel_current_needed)
def test_switching_controller_counts_amperes():
    # 5.6 A for 2 h of full sun at 95 %, 93 % and 90 %: 5.6 x 2 x 0.795 = 8.91 Ah; turned round, 8.91 Ah take 5.6 A
    shares = [Q(x, "%") for x in (95, 93, 90)]
    charge = e.panel_charge(Q(5.6, "A"), Q(2, "kWh/m2/d"), *shares)
    assert charge.m_as("ampere*hour/day") == pytest.approx(11.2 * 0.95 * 0.93 * 0.90)
    assert e.panel_current_needed(charge, Q(2, "kWh/m2/d"), *shares).m_as("A") == pytest.approx(5.6)


@hand_worked(e.carried_hours)
def test_carried_hours():
    # 300 of 480 Wh carry 24 h x 0.625 = 15 h; more than enough carries no more than is wanted
    got = e.carried_hours(Q(24, "h/d"), Q([300, 480, 900], "Wh/d"), Q(480, "Wh/d"))
    assert got.m_as("hour/day") == pytest.approx([15, 24, 24])


@hand_worked(e.panel_needed)
def test_warm_cells_need_more_panel():
    # cells at 45 °C, 0.45 % for each of 20 degrees, leave 91 %: 142.2 W become 142.2/0.91 = 156.3 W
    full = [Q(100, "%")] * 3
    needed = e.panel_needed(Q(480, "Wh/d"), Q(4.5, "kWh/m2/d"), Q(75, "%"), *full, warm=Q(91, "%"))
    assert needed.m_as("W") == pytest.approx(480 / (4.5 * 0.75) / 0.91)


@independent("pvlib pvwatts_losses: the default losses behind panel_clean and panel_wiring")
def test_losses():
    from pvlib.pvsystem import pvwatts_losses

    names = "soiling shading snow mismatch wiring connections lid nameplate_rating age availability"
    none = dict.fromkeys(names.split(), 0)
    known = coefficients()
    dirt = pvwatts_losses(**{**none, "soiling": 2, "shading": 3})
    rest = pvwatts_losses(**{**none, "mismatch": 2, "wiring": 2, "connections": 0.5, "lid": 1.5, "nameplate_rating": 1})
    for name, loss in (("panel_clean", dirt), ("panel_wiring", rest)):
        for end, times in (("low", 2), ("typical", 1), ("high", 0.5)):
            assert known[name].at(end).m_as("percent") == pytest.approx(100 - times * loss, abs=0.5)


# -------------------------------------------------------------------------------------------------------------------- controller


@each("electrics", "largest array Isc on a charge controller")
@hand_worked(e.controller_current, "the 1.25 rule of NEC 690.8")
def test_controller_rule(row):
    assert e.controller_current(Q(row.value, "A")).m_as("A") == pytest.approx(row.numbers()[0])


@each("electrics", "largest array on MPPT controller")
@hand_worked(e.mppt_current, "power = rating x 14.4 V / 0.95")
def test_mppt_rule(row):
    assert e.mppt_current(Q(row.value, "W"), Q(14.4, "V"), Q(95, "%")).m_as("A") == pytest.approx(row.numbers()[0], rel=0.01)


@each("electrics", "largest 36-cell")
@hand_worked(e.controller_current, "rating/1.25 x 0.94 x 18 V; 5 %, since such ratios differ from module to module")
def test_switching_rule(row):
    isc = Q(row.value / 18 / 0.94, "A")
    assert e.controller_current(isc).m_as("A") == pytest.approx(row.numbers()[0], rel=0.05)


@each("electrics", "NEC 690.8 conductor ampacity multiplier")
@published(e.controller_current, "NEC 690.8: 1.25 twice, quoted as 156 %")
def test_two_margins(row):
    assert e.controller_current(e.controller_current(Q(1, "A"))).m_as("A") == row.value


# NEC table 690.7(A) as quoted in public design code: the range of ambient temperature in °C and its factor
NEC_COLD = [(20, 24, 1.02), (-20, -16, 1.18), (-26, -26, 1.21)]


@published(e.string_voltage, "NEC 690.7(A), cold factors for crystalline silicon, as quoted")
@pytest.mark.parametrize("low, high, factor", NEC_COLD)
def test_cold_voltage_reaches_the_code_table(low, high, factor):
    slope = coefficients()["voc_temperature"].low
    coldest, warmest = (e.string_voltage(Q(1, "V"), 1, Q(t, "degC"), slope).m_as("V") for t in (low, high))
    assert warmest - 0.01 <= factor <= coldest + 0.007


@hand_worked(e.string_voltage)
def test_string_voltage():
    # two panels of 22 V, 45 degrees below 25 °C, 0.3 % each: 44 x 1.135 = 49.94 V
    assert e.string_voltage(Q(22, "V"), 2, Q(-20, "degC"), Q(-0.3, "%/K")).m_as("V") == pytest.approx(49.94)


@functools.cache
def modules():
    import pandas as pd
    import pvlib

    table = pd.read_csv(os.path.join(os.path.dirname(pvlib.__file__), "data", "sam-library-cec-modules-2019-03-05.csv"), skiprows=[1, 2])
    return table[table.Technology.isin(["Mono-c-Si", "Multi-c-Si"])]


@independent("20,946 modules of the System Advisor Model: the percentiles behind voc_temperature, panel_power and cell_temperature")
def test_module_coefficients():
    table, slope = modules(), coefficients()["voc_temperature"]
    percent = 100 * table.beta_oc / table.V_oc_ref
    assert len(table) == 20946
    ours = [slope.at(end).m_as("percent/kelvin") for end in ("low", "typical", "high")]
    assert percent.quantile([0.05, 0.5, 0.95]).to_numpy() == pytest.approx(ours, abs=0.006)
    assert table.gamma_r.median() == pytest.approx(-0.45, abs=0.005)  # the default of panel_power
    assert table.T_NOCT.median() == pytest.approx(46, abs=0.5)  # the default of cell_temperature


# ----------------------------------------------------------------------------------------------------------------------- battery


@each("electrics", "^battery size")
@hand_worked(b.battery_capacity, b.battery_days, "Ah = Wh x days/(V x DoD x eta)")
def test_battery_size(row):
    energy, days, volts, depth, eta = row.numbers()
    capacity = b.battery_capacity(Q(energy, "Wh/d"), Q(days, "d"), Q(volts, "V"), Q(100 * depth, "%"), Q(100 * eta, "%"))
    row.assert_close(capacity)
    lasts = b.battery_days(capacity, Q(energy, "Wh/d"), Q(volts, "V"), Q(100 * depth, "%"), Q(100 * eta, "%"))
    assert lasts.m_as("day") == pytest.approx(days)


@published(b.battery_capacity, b.lead_acid_factor, "Home Power, Vermont: 675 Ah printed, 678 Ah re-evaluated (an inverter of 90 %)")
def test_vermont():
    # 2.2 kWh / 0.9 / 24 V = 101.9 Ah a day; 3 days; 50 %; 60 °F
    capacity = b.battery_capacity(Q(2200, "Wh/d"), Q(3, "d"), Q(24, "V"), Q(50, "%"), Q(90, "%"), b.lead_acid_factor(Q(60, "degF")))
    assert capacity.m_as("ampere*hour") == pytest.approx(675, rel=0.006)


@each("electrics", "lead-acid capacity multiplier")
@published(b.lead_acid_factor, "battery-sizing worksheet, multiplier table")
def test_cold_battery(row):
    row.assert_close(b.lead_acid_factor(Q(row.numbers()[0], "degF")))


# A vehicle maker's owner's manual (read): freezing point of battery acid, °F, at densities that our table does not hold or holds apart
MANUAL = [(1.265, -75), (1.225, -35), (1.200, -17), (1.150, 5)]


@published(b.lead_acid_freezing, "an owner's manual with a second printed table of acid density and freezing point: 2.5 °C")
@pytest.mark.parametrize("density, fahrenheit", MANUAL)
def test_freezing_acid(density, fahrenheit):
    charges = load("lead_acid_density").column("charge").m_as("percent")
    densities = load("lead_acid_density").column("density").m_as("")
    charge = np.interp(density, densities[::-1], charges[::-1])
    assert b.lead_acid_freezing(Q(charge, "%")).m_as("degC") == pytest.approx((fahrenheit - 32) / 1.8, abs=2.5)


@hand_worked(b.lead_acid_freezing)
def test_a_flat_battery_freezes_first():
    # 0 %: density 1.120, two fifths of the way from 19 °F (1.100) to 5 °F (1.150): 13.4 °F = -10.3 °C
    assert b.lead_acid_freezing(Q(0, "%")).m_as("degC") == pytest.approx(-10.33, abs=0.01)


@published(b.lithium_factor, "data sheets of lithium iron phosphate batteries: about 80 % of the capacity at 0 °C, 70 % at -20 °C")
@pytest.mark.parametrize("celsius, percent", [(0, 80), (-20, 70)])
def test_cold_lithium(celsius, percent):
    known = coefficients()
    factor = b.lithium_factor(Q(celsius, "degC"), known["lithium_cold"].high, known["lithium_frost"].high)
    assert 100 / factor.m_as("") == pytest.approx(percent, abs=0.5)


@hand_worked(b.lithium_factor)
def test_lithium_between_the_points():
    # half-way from 25 to 0 °C: 1 + 0.25/2; half-way from 0 to -20 °C: (1.25 + 1.43)/2; 10 degrees colder than -20: 1.43 + 0.18/2
    given = Q(1.25, "-"), Q(1.43, "-")
    assert b.lithium_factor(Q([40.0, 12.5, -10.0], "degC"), *given).m_as("") == pytest.approx([1, 1.125, 1.34])
    with pytest.warns(match="outside -20 to 60 degC"):
        assert b.lithium_factor(Q(-30, "degC"), *given).m_as("") == pytest.approx(1.52)


@hand_worked(b.lead_acid_factor)
def test_colder_than_the_table():
    with pytest.warns(match="outside -6.7 to 60 degC"):
        got = b.lead_acid_factor(Q(10, "degF"))
    assert got.m_as("") == pytest.approx(1.78)  # 1.59 + 0.19 for the next 10 °F


# -------------------------------------------------------------------------------------------------------------------------- cable


@each("electrics", "AWG diameter")
@independent(w.awg_diameter, "the defining formula of ASTM B258, evaluated apart")
def test_awg_diameter(row):
    row.assert_close(w.awg_diameter(int(row.numbers()[0])), "mm")


@each("electrics", "AWG area")
@independent(w.awg_area, "the defining formula of ASTM B258, evaluated apart")
def test_awg_area(row):
    gauge = int(row.numbers()[0])
    row.assert_close(w.awg_area(gauge), "mm2")
    for text in (f"{gauge} AWG", f"AWG {gauge}", f"{gauge}awg"):  # as people write it in a pond file
        row.assert_close(read(text, "mm2"), "mm2")


@hand_worked("ASTM B258: 0000 is 0.46 in thick, 36 is 0.005 in, 1/0 lies 36 of the 39 equal steps up from 36")
@pytest.mark.parametrize("text, inches", [("4/0 AWG", 0.46), ("0000 AWG", 0.46), ("36 AWG", 0.005), ("1/0 AWG", 0.005 * 92 ** (36 / 39))])
def test_thick_and_thin_gauges(text, inches):
    assert read(text, "mm2").m_as("mm^2") == pytest.approx(np.pi / 4 * (inches * 25.4) ** 2, rel=1e-6)


@pytest.mark.parametrize("text", ["14.5 AWG", "AWG", "99 AWG", "-3 AWG", "5/0 AWG"])
def test_what_is_no_gauge_is_refused(text):
    with pytest.raises(QuantityError, match="is not a wire gauge"):
        read(text, "mm2")
    with pytest.raises(QuantityError, match="is the size of a wire; a length is needed"):
        read("14 AWG", "m")


@each("electrics", "^circular mils")
@published(w.awg_diameter, "NEC, circular mils: the diameter in thousandths of an inch, squared")
def test_circular_mils(row):
    assert (w.awg_diameter(int(row.numbers()[0])).m_as("inch") * 1000) ** 2 == pytest.approx(row.value, abs=row.margin())


@each("electrics", "resistance 20 C from resistivity")
@independent(w.wire_resistance, "IACS copper over the area of ASTM B258, evaluated apart")
def test_resistance_from_resistivity(row):
    row.assert_close(w.wire_resistance(w.awg_area(int(row.numbers()[0]))), "ohm/km")


@each("electrics", "resistance 20 C, table")
@published(w.wire_resistance, w.awg_area, "gauge table after Floyd, ohm per 1000 ft")
def test_resistance_table(row):
    row.assert_close(float(w.wire_resistance(w.awg_area(int(row.numbers()[0]))).m_as("ohm/foot") * 1000))


@each("electrics", "DC resistance uncoated copper 75 C($|, solid)")
@published(w.warm_resistance, w.wire_resistance, "NEC chapter 9 table 8, solid, 75 °C; stranded from 6 AWG, whose strands are 2 % longer")
def test_warm_resistance(row):
    gauge = int(row.numbers()[0])
    per_km = w.warm_resistance(w.wire_resistance(w.awg_area(gauge)), Q(75, "degC")).m_as("ohm/km")
    got = per_km * (1 if row.unit == "ohm/km" else 0.3048)
    assert got * (1.02 if gauge <= 6 else 1) == pytest.approx(row.value, abs=row.margin())


@each("electrics", "^voltage drop, copper 20 C")
@hand_worked(w.voltage_drop, w.wire_resistance, "2 I L rho/A with ASTM B258 and IACS")
def test_voltage_drop(row):
    gauge, amps, length, volts = row.numbers()
    drop = w.voltage_drop(Q(amps, "A"), Q(length, "m"), w.wire_resistance(w.awg_area(int(gauge)))).m_as("V")
    printed, percent = (float(x.split()[0]) for x in row.expected.split("="))
    assert drop == pytest.approx(printed, rel=0.01)
    assert 100 * drop / volts == pytest.approx(percent, rel=0.01)


@each("electrics", "minimum copper area")
@hand_worked(w.cable_area, "A = 2 L I rho/dV")
def test_copper_area(row):
    amps, length = row.numbers()
    row.assert_close(w.cable_area(Q(amps, "A"), Q(length, "m"), Q(0.36, "V")), "mm2")


# BS 7671 table 4F3B (a supplier's transcription): millivolts lost in both wires of a flexible cord, for each ampere and metre, at 60 °C
FLEX_DROP = [(0.5, 93), (0.75, 62), (1, 46), (1.5, 32), (2.5, 19), (4, 12)]
TINNED = {0.5: 40.1, 0.75: 26.7, 1: 20.0, 1.5: 13.7, 2.5: 8.21, 4: 5.09}  # IEC 60228 class 5, metal-coated, ohm/km at 20 °C


@published(w.voltage_drop, w.warm_resistance, "BS 7671 table 4F3B from IEC 60228 class 5, metal-coated")
@pytest.mark.parametrize("area, millivolts", FLEX_DROP)
def test_flexible_cord_drop(area, millivolts):
    warm = w.warm_resistance(Q(TINNED[area], "ohm/km"), Q(60, "degC"))
    assert w.voltage_drop(Q(1, "A"), Q(1, "m"), warm).m_as("mV") == pytest.approx(millivolts, abs=0.5)


# IEC 60228, temperature correction to 20 °C as printed: R_20 = K_t R_t
CORRECTION = [
    (5, 1.064), (10, 1.042), (15, 1.020), (20, 1.000), (25, 0.980), (30, 0.962), (35, 0.943), (40, 0.926), (45, 0.909), (50, 0.893),
    (55, 0.877), (60, 0.862), (65, 0.847), (70, 0.833), (75, 0.820), (80, 0.806), (85, 0.794), (90, 0.781),
]  # fmt: skip


@published(w.warm_resistance, "IEC 60228 temperature correction factors, with its rounded 0.4 % per kelvin")
@pytest.mark.parametrize("celsius, factor", CORRECTION)
def test_temperature_correction(celsius, factor):
    warm = w.warm_resistance(Q(1, "ohm/km"), Q(celsius, "degC"), Q(0.4, "%/K")).m_as("ohm/km")
    assert 1 / warm == pytest.approx(factor, abs=0.0006)


# IEC 60228, largest resistance at 20 °C, ohm/km: area, class 2 (stranded), class 5 (flexible)
CLASSES = [(0.75, 24.5, 26.0), (1, 18.1, 19.5), (1.5, 12.1, 13.3), (2.5, 7.41, 7.98), (4, 4.61, 4.95), (6, 3.08, 3.30), (10, 1.83, 1.91)]


@published(w.wire_resistance, "IEC 60228 classes 2 and 5: the band of copper_resistivity")
@pytest.mark.parametrize("area, stranded, flexible", CLASSES)
def test_resistivity_band(area, stranded, flexible):
    rho = coefficients()["copper_resistivity"]
    low, typical, high = (w.wire_resistance(Q(area, "mm2"), rho.at(end)).m_as("ohm/km") for end in ("low", "typical", "high"))
    assert low < stranded < flexible <= high * 1.005
    assert typical == pytest.approx(stranded, rel=0.025)


# ------------------------------------------------------------------------------------------------------- ampacity and fuses (tables)

@each("electrics", "^ampacity copper", inputs="60 C")
@published("NEC table 310.16, 60 °C column, as transcribed")
def test_awg_ampacity(row):
    assert load("wires")[f"{int(row.numbers()[0])} AWG"]["ampacity_30"].m_as("A") == row.value


@each("electrics", "240.4\\(D\\) small conductor")
@published("NEC 240.4(D), largest fuse on a small conductor")
def test_small_conductors(row):
    assert load("wires")[f"{int(row.numbers()[0])} AWG"]["ampacity_30"].m_as("A") <= row.value


@each("electrics", "ambient correction factors", inputs="36-40")
@published("NEC 310.15(B)(1): 0.82 at 36 to 40 °C")
def test_hot_ampacity(row):
    factor = float(row.expected.split("/")[0])
    for wire in load("wires").rows:
        if wire["system"] == "AWG" or wire["source"] == "BS7671Flex":
            assert wire["ampacity_40"].m_as("A") == pytest.approx(factor * wire["ampacity_30"].m_as("A"), abs=0.01)


# BS 7671 table 4F3A, two-core flexible cord, A (read); ours may not promise more
FLEX = [(0.5, 3), (0.75, 6), (1, 10), (1.5, 16), (2.5, 25), (4, 32)]


@published("BS 7671 table 4F3A, as transcribed by a supplier")
@pytest.mark.parametrize("area, amperes", FLEX)
def test_metric_ampacity_never_exceeds_the_flexible_cord(area, amperes):
    assert load("wires")[f"{area:g} mm²"]["ampacity_30"].m_as("A") <= amperes


@published("ASTM B258")
def test_table_areas_are_the_standard_areas():
    for wire in load("wires").rows:
        if wire["system"] == "AWG":
            assert wire["area"].m_as("mm^2") == pytest.approx(w.awg_area(int(wire["size"].split()[0])).m_as("mm^2"), rel=0.001)


def test_a_bare_number_is_refused():
    with pytest.raises(QuantityError, match=r"length in cables.cable_area needs a unit: write Q\(10, 'm'\)"):
        w.cable_area(Q(5, "A"), 10, Q(0.3, "V"))
