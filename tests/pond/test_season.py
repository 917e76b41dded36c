"""The supply hour by hour: its ledger closes, its limits hold, and monthly means tell what the hours tell."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pondwright.pond import climate
from pondwright.pond.season import SPEEDS, Mount, Supply, energy_in, hours_of_day, longest_run, open_gap, runs, season, skyline
from pondwright.pond.season import sun_on_panel as on_panel
from pondwright.pond.weather import HOURS, MONTH_OF_HOUR, typical_year
from tests.weather_files import GREENSBORO, read

ONE = Supply(panel=(200, 24.3, 10.4, 20.4, 9.8), series=2, strings=1, power_per_kelvin=-0.0045, mppt=True, voltage=24, charging=27.6,
             limit=20, clean=0.95, wiring=0.93, conversion=0.95, capacity=60, depth=0.5, charge_share=0.8, lithium=False,
             temperature=(10,) * 12, factors=(1,) * 12, self_use=0.5, reconnect=0.2)
PUMP, NOTHING = np.full(HOURS, 20.0), np.zeros(HOURS)


def seattle():
    return typical_year(climate.climate("seattle"), 47.5)


def light_of(weather, tilt=60.0, azimuth=180.0, **more):
    return on_panel(weather, Mount(tilt, azimuth, **more))


@pytest.mark.parametrize("supply", [ONE, replace(ONE, mppt=False, charge_share=0.9), replace(ONE, capacity=0), replace(ONE, capacity=2000),
                                    replace(ONE, lithium=True, temperature=(-5,) * 3 + (10,) * 9, factors=(1.3,) * 3 + (1,) * 9)])
def test_the_ledger_closes(supply):
    """What came in was served, used by the controller, lost, spilled or kept: to a thousandth (here far closer)."""
    weather = seattle()
    done = season(weather, light_of(weather), supply, PUMP, np.full(HOURS, 3.0) * (MONTH_OF_HOUR > 8))
    spent = sum(value for name, value in done.ledger.items() if name != "came in")
    assert spent == pytest.approx(done.ledger["came in"], rel=1e-3)
    assert done.ledger["came in"] > 0 and done.charge.min() >= -1e-9


def test_no_sun_no_pump_and_all_the_sun():
    weather = seattle()
    dark = season(weather, NOTHING, ONE, PUMP, NOTHING)
    assert dark.run_hours == pytest.approx(0) and dark.longest_gap[0] == HOURS
    big = season(weather, light_of(weather), replace(ONE, strings=20, limit=400, capacity=5000), PUMP, NOTHING)
    assert big.run_hours == pytest.approx(24) and big.longest_gap == (0.0, 0)


def test_more_panel_or_battery_never_means_fewer_hours():
    weather = seattle()
    hours = [season(weather, light_of(weather), replace(ONE, strings=n, limit=20 * n), PUMP, NOTHING).unpowered.sum() for n in (1, 2, 3, 4)]
    assert hours == sorted(hours, reverse=True) and hours[0] > hours[-1]
    hours = [season(weather, light_of(weather), replace(ONE, capacity=c), PUMP, NOTHING).unpowered.sum() for c in (20, 60, 120, 400)]
    assert hours == sorted(hours, reverse=True) and hours[0] > hours[-1]


def test_a_battery_worked_by_hand():
    """100 Ah x 10 V x 0.5 = 500 Wh; full at midnight, no sun, 20 W of pump: it stops after 500/20 = 25 h, until sun fills it."""
    supply = replace(ONE, voltage=10, charging=11, capacity=100, self_use=0)
    light = np.zeros(HOURS)
    light[HOURS // 2 :] = 1000.0  # half a year of sun fills it before New Year
    done = season(seattle(), light, supply, PUMP, NOTHING)
    assert done.running[:25] == pytest.approx(1) and done.running[25 : HOURS // 2] == pytest.approx(0)
    assert done.longest_gap == (HOURS / 2 - 25 + 1, 25)


def test_lithium_takes_no_charge_below_freezing():
    weather = seattle()
    frozen = replace(ONE, lithium=True, temperature=(-1.0,) * 12)
    done = season(weather, light_of(weather), frozen, PUMP, NOTHING)
    night = light_of(weather) <= 0
    assert done.running[night].max() == 0 and done.ledger["lost in the battery"] == 0
    assert season(weather, light_of(weather), replace(frozen, temperature=(1.0,) * 12), PUMP, NOTHING).running[night].max() == 1


def test_hot_panels_a_little_below_the_charging_voltage_still_charge_a_little():
    """2 x 20.4 V, 2 x 24.3 V at 65 °C, -0.45 % a kelvin: Vmp 33.5 V, Voc 39.9 V. At 36 V (39.9 - 36)/(39.9 - 33.5) = 0.62 of it is left."""
    weather = replace(seattle(), air=np.full(HOURS, 32.5))  # NOCT 46: 1000 W/m2 warm cells by 1000 x 26/800 = 32.5 K
    light = np.full(HOURS, 1000.0)
    whole = 400 * (1 - 0.0045 * 40) * 0.95 * 0.93 * 0.95  # watts, less heat, clean, wiring, conversion
    for charging, left in ((30, 1.0), (36, (48.6 * 0.82 - 36) / (48.6 * 0.82 - 40.8 * 0.82)), (45, 0.0)):
        got = energy_in(weather, light, replace(ONE, charging=charging, limit=100))
        assert got == pytest.approx(whole * left, rel=1e-3)
        switching = energy_in(weather, light, replace(ONE, charging=charging, limit=100, mppt=False))
        assert switching == pytest.approx(9.8 * 24 * 0.95 * 0.93 * left, rel=1e-3)


def test_the_controller_limits_the_current_and_a_low_panel_gives_nothing():
    weather, light = seattle(), light_of(seattle())
    assert energy_in(weather, light, replace(ONE, limit=1)).max() == pytest.approx(27.6)
    assert energy_in(weather, light, replace(ONE, series=1)).max() == 0  # 20.4 V cannot charge 24 V
    one = energy_in(weather, light, replace(ONE, mppt=False))
    assert one.max() == pytest.approx(9.8 * 24 * 0.95 * 0.93 * light.max() / 1000, rel=1e-6)


def test_a_pump_on_the_panel_alone_follows_the_sun():
    """Half the power gives the cube root of a half of the flow: 0.794."""
    weather = seattle()
    light = np.full(HOURS, 10 / (400 * 0.95 * 0.93 * 0.95) * 1000)  # 10 W after all losses, a little less for cells warmer than 25 degC
    done = season(weather, light, replace(ONE, capacity=0, self_use=0, power_per_kelvin=0), PUMP, NOTHING)
    assert done.running == pytest.approx(0.5 ** (1 / 3), abs=1e-6)


ALONE = replace(ONE, capacity=0, self_use=0, power_per_kelvin=0, conversion=1.0, mppt=False, voltage=12, charging=12, series=1,
                limit=np.inf, panel=(60, 22.2, 3.6, 18.0, 10 / 3))


def test_a_pump_that_lifts_gives_nothing_from_a_little_sun():
    """20 W, 3 m of head at most, 1.6 m to lift: no water below sqrt(1.6/3) = 0.73 of its speed, which takes 0.73^3 = 0.39 of its power."""
    flows = tuple(np.where(SPEEDS > (1.6 / 3) ** 0.5, (25 * SPEEDS - 1.6 * 25 / (3 * np.maximum(SPEEDS, 1e-9))) / (35 / 3), 0).tolist())
    supply = replace(ONE, capacity=0, self_use=0, power_per_kelvin=0, flows=flows)
    watts = 400 * 0.95 * 0.93 * 0.95 / 1000  # for each W/m2 of light
    for share, flow in ((0.3, 0.0), (0.38, 0.0), (0.5, 0.2621), (1.0, 1.0)):  # n = 0.7937: (25 n - 13.333/n)/11.667
        done = season(seattle(), np.full(HOURS, 20 * share / watts), supply, PUMP, NOTHING)
        assert done.running == pytest.approx(flow, abs=0.005)
        assert done.longest_gap[0] == (HOURS if flow < 0.5 else 0)
        spent = sum(value for name, value in done.ledger.items() if name != "came in")
        assert spent == pytest.approx(done.ledger["came in"])


def test_straight_from_the_panel_the_amperes_count():
    """The pump draws 20 W/12 V = 1.667 A; half of that turns it with sqrt(0.5) = 0.707 of its speed; half its watts would give 0.794."""
    for light, speed in ((1.667 / 2 / (10 / 3 * 0.95 * 0.93) * 1000, 0.7071), (1000, 1.0)):
        done = season(seattle(), np.full(HOURS, light), ALONE, PUMP, NOTHING)
        assert done.running == pytest.approx(speed, abs=1e-3) and done.served == pytest.approx(20 * speed**3, rel=5e-3)


def test_runs_go_through_new_year():
    still = np.zeros(100, bool)
    still[95:], still[:7], still[50:55] = True, True, True
    assert sorted(runs(still)) == [(50, 5), (95, 12)] and longest_run(still) == (12.0, 95)
    assert runs(np.ones(10, bool)) == [(0, 10)] and longest_run(np.zeros(10, bool)) == (0.0, 0)


@pytest.mark.parametrize(("hours", "middle", "first", "last"), [(24, 12, 0, 23), (6, 12, 9, 14), (4, 0, 22, 1)])
def test_a_timer(hours, middle, first, last):
    on = hours_of_day(hours, middle)[:24]
    assert on.sum() == pytest.approx(hours) and on[first] == on[last] == 1


# ------------------------------------------------------------------------------------------------------------ sun on the panel


@pytest.mark.parametrize(("tilt", "azimuth"), [(0, 180), (45, 180), (60, 120), (90, 250)])
def test_light_on_the_panel_against_pvlib_alone(tilt, azimuth):
    """The same hours through pvlib's own solar position (NREL's algorithm) and its own transposition, month by month to 2 %."""
    import pandas as pd
    from pvlib import iam, irradiance
    from pvlib.solarposition import get_solarposition

    weather = read(GREENSBORO)
    middle = pd.date_range("2001-01-01 00:30", periods=HOURS, freq="h", tz="Etc/GMT+5")
    sun = get_solarposition(middle, weather.latitude, weather.longitude)
    zenith, bearing = sun["zenith"].to_numpy(), sun["azimuth"].to_numpy()
    parts = irradiance.get_total_irradiance(tilt, azimuth, zenith, bearing, weather.direct, weather.flat, weather.sky,
                                            dni_extra=irradiance.get_extra_radiation(middle).to_numpy(), model="haydavies")
    through = iam.physical(irradiance.aoi(tilt, azimuth, zenith, bearing))
    theirs = np.where(zenith < 90, np.nan_to_num(parts["poa_direct"]) * through + np.nan_to_num(parts["poa_diffuse"]), 0)
    ours = light_of(weather, float(tilt), float(azimuth))
    assert weather.by_month(ours) == pytest.approx(weather.by_month(theirs), rel=0.02)


def test_what_stands_before_the_panel():
    weather = seattle()
    free, wall = light_of(weather), light_of(weather, horizon=((0.0, 30.0), (360.0, 30.0)))
    assert weather.by_month(wall)[11] < 0.6 * weather.by_month(free)[11]  # the noon sun of December stands 19 degrees high
    assert weather.by_month(wall)[5] > 0.6 * weather.by_month(free)[5]
    assert light_of(weather, horizon=((0.0, 0.0), (180.0, 0.0))) == pytest.approx(free)
    assert (light_of(weather, glazing=0.8) <= 0.8 * free + 1e-9).all()
    cold = typical_year(climate.climate("edmonton"), 53.3)
    kept = cold.by_month(light_of(cold, snow=0.5)) / cold.by_month(light_of(cold))
    assert kept[0] == pytest.approx(0.5) and kept[6] == pytest.approx(1)


FENCE = ((119.0, 0.0), (120.0, 20.0), (240.0, 20.0), (241.0, 0.0))


def test_a_panel_behind_a_fence_gets_the_sky_that_it_sees_itself():
    """Without any direct sun only sky and ground shine: 0.76 of the sky (patch by patch in test_sun), not the 0.96 of flat ground."""
    dull = replace(seattle(), direct=NOTHING, flat=np.full(HOURS, 100.0), sky=np.full(HOURS, 100.0))
    free, fenced = light_of(dull), light_of(dull, horizon=FENCE)
    noon = 12
    ground = 100 * 0.25 * (1 - 0.5) / 2  # pvlib's grass throws 25 % back; half of a panel of 60 degrees' view of it
    assert free[noon] == pytest.approx(75 + ground, abs=0.01) and fenced[noon] == pytest.approx(0.76 * 75 + 0.96 * ground, abs=0.3)


def test_the_bright_ring_round_a_hidden_sun_is_hidden_with_it():
    """Hay and Davies take a part of the sky's light from where the sun stands: behind a wall it does not shine either."""
    clear = replace(seattle(), direct=np.full(HOURS, 700.0), sky=np.full(HOURS, 100.0))
    high = ((0.0, 89.9), (360.0, 89.9))
    assert light_of(clear, horizon=high).max() < 1.0


def test_a_horizon_says_nothing_about_what_was_not_measured():
    """South-east to south-west of 20 degrees: the same as with zeros beside it, and more light than with 20 degrees all round."""
    short = ((135.0, 20.0), (225.0, 20.0))
    closed = ((134.999, 0.0), *short, (225.001, 0.0))
    around = tuple((float(bearing), 20.0) for bearing in (0, 90, 180, 270))
    january = [seattle().by_month(light_of(seattle(), horizon=h))[0] for h in (short, closed, around)]
    assert january[0] == pytest.approx(january[1], rel=1e-4) and january[2] < 0.97 * january[0]
    assert skyline(short, np.array([0.0, 134.0, 135.0, 180.0, 225.0, 226.0])).tolist() == [0, 0, 20, 20, 20, 0]
    north = ((45.0, 10.0), (315.0, 20.0))  # south of the equator: the line runs through north
    assert skyline(north, np.array([315.0, 0.0, 45.0, 180.0])).tolist() == [20, 15, 10, 0]
    assert skyline(around, np.array([33.0, 359.0])).tolist() == [20, 20] and open_gap(around) is None
    assert open_gap(short) == (225.0, 135.0) and open_gap(((0.0, 9.0), (360.0, 9.0))) is None and open_gap(()) is None


def test_south_of_the_equator_the_panel_faces_north():
    row = climate._moved(climate.climate("atlanta"), -33.6)
    weather = typical_year(row, row.latitude.m_as("deg"))
    north, south = (weather.by_month(light_of(weather, 40.0, a))[5] for a in (0.0, 180.0))
    assert north > 2 * south


def test_only_the_pump_s_own_hours_count_as_flow():
    """A pump on a timer for 17 hours, and a lamp in its rest: of plenty of sun and battery the pump gets 17 h, and no hour more."""
    weather, pump, lamp = seattle(), 10 * hours_of_day(17, 12), 5 * hours_of_day(5, 1)
    done = season(weather, np.full(HOURS, 800.0), ONE, pump, lamp)
    assert done.run_hours == pytest.approx(17)
    assert done.running.sum() == pytest.approx(365 * 17) and done.unpowered == pytest.approx(0)
    assert done.longest_gap[0] == pytest.approx(7, abs=1)  # its own rest; hours of which it runs half are not still


def test_a_stop_through_new_year_counts_in_both_months():
    """Dark from 60 hours before New Year to 100 hours after it: 160 h from December on, of which January has 100."""
    weather, light = seattle(), np.full(HOURS, 800.0)
    light[8700:], light[:100] = 0.0, 0.0
    gaps = season(weather, light, replace(ONE, capacity=0.01), PUMP, NOTHING).gaps
    assert gaps[11] == pytest.approx(160, abs=2) and gaps[0] == pytest.approx(100, abs=2) and gaps[1:11] == pytest.approx(0)
