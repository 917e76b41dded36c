"""The lab of lesson 08: it moves the year as the stage does, says stop and limit, and prices what was changed."""

from __future__ import annotations

import pytest

from pondwright.labs import PowerLab
from pondwright.pond.climate import climate
from pondwright.pond.file import demo_pond, parse_pond
from pondwright.pond.plan import plan, stage_module
from pondwright.pond.sunlight import latitude_of
from pondwright.pond.supply import Prices
from pondwright.units import Q
from tests.weather_files import GREENSBORO, path

SHAPE = '[pond.shape]\nkind = "circle"\ndiameter = "2 m"\ndepth = "1 m"\n'
SOUTH = '[place]\nlatitude = "-45 deg"\nlongitude = "170 deg"\n'


@pytest.fixture
def lab():
    return PowerLab(demo_pond())


def hours(lab):
    return lab.result["season.run_hours"].value.m_as("h/d")


def test_it_starts_from_the_pond_and_says_what_the_plan_says(lab):
    assert lab.inputs.climate == "seattle" and lab.inputs.panel.m_as("W") == 400 and lab.inputs.battery.m_as("ampere*hour") == 110
    stages = plan(demo_pond(), until="fish").stages
    season = stage_module("season").plan(demo_pond(), stages)
    assert lab.result["season.run_hours"].value == season["run_hours"].value
    assert season["run_hours"].text() in lab.words and "In November" in lab.words and "Nothing to buy yet" in lab.words


def test_the_longest_stop_stands_beside_the_filter_s_limit(lab):
    safe = plan(demo_pond(), until="vessel")["vessel.safe_stop"]
    assert f"more than the {safe.text(digits=2)} that the filter is sure to bear" in lab.words
    assert "It never stands still in a month in use" in lab.set(pump="4 W", panel="800 W").words and "the filter" not in lab.words


@pytest.mark.parametrize("better", [{"panel": "700 W"}, {"battery": "400 Ah"}, {"pump": "10 W"}])
def test_each_way_out_lets_the_pump_run_longer(lab, better):
    before = hours(lab)
    lab.set(**better)
    assert hours(lab) > before


@pytest.mark.parametrize("worse", [{"shade": "30 deg"}, {"tilt": "0 deg"}, {"azimuth": "60 deg"}])
def test_shade_and_a_badly_placed_panel_take_hours_away(lab, worse):
    before = hours(lab)
    lab.set(**worse)
    assert hours(lab) < before


def test_a_battery_kept_warm_holds_more_and_a_frozen_lithium_one_takes_no_charge(lab):
    cold = lab.set(climate="edmonton", coldest="-25 degC").result["season"].series["pump_hours"].m
    warm = lab.set(coldest="20 degC").result["season"].series["pump_hours"].m
    assert (warm >= cold - 1e-9).all() and warm[0] > cold[0]
    demo = demo_pond()
    battery = demo.power.battery.model_copy(update={"kind": "lifepo4"})
    lithium = PowerLab(demo.model_copy(update={"power": demo.power.model_copy(update={"battery": battery})}))
    hours = [lithium.set(climate="edmonton", coldest=text).result["season"].series["pump_hours"].m[0] for text in ("-25 degC", "5 degC")]
    assert hours[0] < 9 and hours[1] > 1.3 * hours[0]  # without a battery the pump runs only while the sun shines
    assert "no charge below" not in lithium.words and "no charge below" not in lab.set(coldest="-25 degC").words  # lead-acid takes it
    assert "takes no charge below 0 °C, and it is colder in Jan, Feb, " in lithium.set(coldest="-25 degC").words


def test_what_was_changed_is_priced_and_a_dash_stands_where_no_price_is_known(lab):
    lab.set(panel="500 W", battery="165 Ah")
    assert "100 W more panel (–), 55 Ah more battery (–)" in lab.words
    lab.set(panel_price=50, battery_price=120.0)  # 1 x 50 and 0.55 x 120
    assert "100 W more panel (50), 55 Ah more battery (66), 116 in all." in lab.words
    lab.set(hours="12 h/d")
    assert "a timer for 12 h/day (–)." in lab.words and "in all" not in lab.words


@pytest.mark.parametrize(("moved", "what", "words"), [
    ({"panel": "500 W"}, "panel", "100 W more panel"), ({"battery": "210 Ah"}, "battery", "100 Ah more battery"),
    ({"tilt": "40 deg"}, "bracket", "a bracket that holds the panel so"), ({"azimuth": "150 deg"}, "bracket", "a bracket that"),
    ({"coldest": "8 degC"}, "box", "a box that keeps the battery above 8 °C"), ({"pump": "12 W"}, "pump", "a pump of 12 W"),
    ({"hours": "14 h/d"}, "timer", "a timer for 14 h/day")])  # fmt: skip
def test_every_change_has_its_own_price(lab, moved, what, words):
    assert words in lab.set(**moved).words and "(–)." in lab.words
    lab.set(**{f"{what}_price": 70})
    assert "(70)." in lab.words and "–" not in lab.words.partition("To buy")[2]


def test_so_much_panel_is_billed_with_the_controller_that_it_takes(lab):
    """800 W x 95 % over 24 V is 31.7 A in full sun, more than the 20 A that the demo's controller limits itself to; x 1.25 is 39.6 A."""
    lab.set(panel="800 W", panel_price=60)
    assert "400 W more panel (240), a controller for 39.6 A (–)." in lab.words and "in all" not in lab.words
    lab.set(controller_price=130)
    assert "a controller for 39.6 A (130), 370 in all." in lab.words
    assert lab.result.pond.power.controller.max_current.m_as("A") == pytest.approx(1.25 * 800 * 0.95 / 24)
    assert "a controller" not in lab.set(panel="500 W").words  # 19.8 A: within what it limits itself to


def test_prices_of_the_pond_file_are_taken():
    demo = demo_pond()
    # a panel of 200 W, a battery of 110 Ah; a pump dearer than the slider of a price goes elsewhere
    prices = Prices(currency="shells", panel=40, battery=33, timer=9, controller=25, box=4, bracket=3, pump=120_000)
    lab = PowerLab(demo.model_copy(update={"power": demo.power.model_copy(update={"prices": prices})}))
    assert lab.inputs.panel_price.m == pytest.approx(20) and lab.inputs.battery_price.m == pytest.approx(30)
    lab.set(panel="600 W", hours="14 h/d")  # 600 W x 95 % over 24 V, and a quarter more
    assert "200 W more panel (40 shells), a controller for 29.7 A (25 shells), a timer for 14 h/day (9 shells), 74 shells in" in lab.words
    lab.set(panel="400 W", hours="24 h/d", coldest="5 degC", tilt="50 deg", pump="12 W")
    assert "(3 shells), a box that keeps the battery above 5 °C (4 shells), a pump of 12 W (120,000 shells), 120,007 shells" in lab.words


def test_a_controller_too_small_for_the_pond_s_own_panels_is_named(lab):
    assert "The controller lets through" not in lab.words
    demo = demo_pond()
    small = demo.power.controller.model_copy(update={"max_current": Q(8.0, "A")})
    own = PowerLab(demo.model_copy(update={"power": demo.power.model_copy(update={"controller": small})}))
    assert "The controller lets through 8 A at most: so much panel needs a larger one. Nothing to buy yet." in own.words
    own.set(panel="410 W")
    assert "The controller lets through" not in own.words and "a controller for 20.3 A (–)." in own.words


def test_another_place_changes_the_months_in_use(lab):
    lab.set(climate="edmonton")
    assert "without feeding, in" in lab.words
    lab.set(climate="honolulu", tilt="20 deg")
    assert "without feeding" not in lab.words


def test_a_pond_without_a_supply_gets_an_invented_one_and_is_told():
    lab = PowerLab(parse_pond(SHAPE))
    assert "invented power supply and pump" in lab.words and lab.pond.power is None
    half = PowerLab(parse_pond(SHAPE + '[power]\nvoltage = "24 V"\n'))
    assert "invented panel, controller, battery and pump" in half.words and half.result.pond.power.voltage.m_as("V") == 24


def test_south_of_the_equator_the_invented_panel_faces_north_and_shade_stands_there():
    lab = PowerLab(parse_pond(SHAPE + SOUTH))
    assert lab.inputs.azimuth.m_as("deg") == 0
    before = lab.result["season"].series["pump_hours"].m
    after = lab.set(climate="halifax", shade="40 deg").result["season"].series["pump_hours"].m
    assert lab.result.pond.power.panel.horizon[0][0].m_as("deg") == pytest.approx(299)  # 61 degrees west of north
    assert after[5] < before[5] and after[5] < after[11]  # June is winter


def test_another_climate_brings_its_own_sun_and_the_pond_s_own_keeps_that_of_its_latitude():
    """Lent from Fairbanks, the sun of 69.65 degrees north: in the lab as in the plan; Riyadh's choice shows Riyadh's."""
    lab = PowerLab(parse_pond(SHAPE + '[place]\nclimate = "fairbanks"\nlatitude = "69.65 deg"\nlongitude = "18.96 deg"\n'))
    assert lab.inputs.climate == "fairbanks" and latitude_of(lab.result.pond.place).m_as("deg") == 69.65
    assert lab.result["season"].series["sun"].m[11] == 0
    there = lab.set(climate="riyadh").result
    assert latitude_of(there.pond.place) == climate("riyadh").latitude and "km away" not in there["season"].facts["weather"]
    south = PowerLab(parse_pond(SHAPE + SOUTH)).set(climate="riyadh").result.pond.place
    assert latitude_of(south) == -climate("riyadh").latitude


def test_a_pond_s_own_weather_file_is_one_of_the_choices():
    lab = PowerLab(parse_pond(SHAPE + f'[place]\nweather = "{path(GREENSBORO)}"\n'))
    assert lab.inputs.climate == "file" and "TMY3" in lab.result["season"].facts["weather"]
    assert "Halifax" in lab.set(climate="halifax").result["season"].facts["weather"]
    assert "TMY3" in lab.set(climate="file").result["season"].facts["weather"]


def test_own_shade_is_scaled():
    demo = demo_pond()
    shade = [["90 deg", "10 deg"], ["180 deg", "20 deg"]]
    panel = type(demo.power.panel).model_validate({**demo.power.panel.model_dump(), "horizon": shade})
    lab = PowerLab(demo.model_copy(update={"power": demo.power.model_copy(update={"panel": panel})}))
    assert lab.inputs.shade.m_as("deg") == 20
    lab.set(shade="40 deg")
    assert [h.m_as("deg") for _, h in lab.result.pond.power.panel.horizon] == pytest.approx([20, 40])
