"""The stage that runs the supply through a year: what it says, and how it copes with odd places and files."""

from __future__ import annotations

import re

import numpy as np
import pytest

from pondwright.pond.climate import climate
from pondwright.pond.file import demo_pond, parse_pond
from pondwright.pond.offgrid import supply_of, year_of
from pondwright.pond.options import options
from pondwright.pond.plan import plan
from pondwright.pond.results import Stage
from pondwright.pond.stages import power
from pondwright.pond.stages import season as stage
from pondwright.pond.supply import Prices
from pondwright.tables import coefficients
from pondwright.units import Q, QuantityError, show
from tests.grades import hand_worked
from tests.weather_files import GREENSBORO, SAND_POINT, as_epw, read

TOML = """
[pond]
name = "Trough (invented)"
[pond.shape]
kind = "circle"
diameter = "2 m"
depth = "0.8 m"
[place]
{place}
[pump]
curve = [ {{ flow = "0 L/min", head = "2 m" }}, {{ flow = "20 L/min", head = "0 m" }} ]
power = "{pump} W"
hours_per_day = "{hours} h/d"
[power]
voltage = "12 V"
[power.panel]
power = "100 W"
voc = "22.5 V"
isc = "5.9 A"
vmp = "18.6 V"
imp = "5.4 A"
tilt = "{tilt} deg"
azimuth = "{azimuth} deg"
{more}
[power.controller]
kind = "mppt"
max_current = "10 A"
max_voltage = "50 V"
{battery}
"""
BATTERY = '[power.battery]\nkind = "lead_acid"\ncapacity = "80 Ah"\ncoldest = "2 degC"'


def pond(place='climate = "boise"', tilt=60, azimuth=180, more="", battery=BATTERY, pump=10, hours=24):
    return parse_pond(TOML.format(place=place, tilt=tilt, azimuth=azimuth, more=more, battery=battery, pump=pump, hours=hours))


def planned(this):
    return stage.plan(this, {})


def test_the_demo_pond_has_a_gap_in_winter_and_none_in_summer():
    found = planned(demo_pond())
    assert found["gap"].low <= found["gap"].typical <= found["gap"].value == found["gap"].high
    hours = found.series["pump_hours"].m
    assert (hours[4:8] == pytest.approx(24)) and hours[0] < 20
    assert (found.series["pump_hours"].m <= found.series["pump_hours_typical"].m + 1e-9).all()


def test_energy_balance_of_every_end():
    for end in ("low", "typical", "high"):
        ledger = year_of(demo_pond(), end).ledger
        assert sum(v for k, v in ledger.items() if k != "came in") == pytest.approx(ledger["came in"], rel=1e-3)


def test_a_real_file_and_the_same_file_s_means(tmp_path):
    """Monthly run hours from the means of a file lie within the points that are told of those from its hours."""
    (tmp_path / "year.epw").write_text(as_epw(read(GREENSBORO)))
    hourly = pond(f'weather = "{tmp_path / "year.epw"}"')
    real = year_of(hourly, "typical").run_hours
    from pondwright.pond.climate import of_place
    from pondwright.pond.offgrid import loads_of, mount_of
    from pondwright.pond.season import season, sun_on_panel
    from pondwright.pond.weather import typical_year

    means = of_place(hourly.place)
    made = typical_year(means, float(means.latitude.m_as("deg")))
    supply, bright = supply_of(hourly, "typical", tuple(made.by_month(made.air).tolist()), True)
    assert bright == 1 and loads_of(hourly) == ((10.0, 24.0, 12.0),)
    ours = season(made, sun_on_panel(made, mount_of(hourly)), supply, np.full(8760, 10.0), np.zeros(8760)).run_hours
    assert np.abs(ours - real).max() <= 24 * stage.LARGEST / 100
    assert f"{stage.SHORTER} to {stage.LONGER} times" in planned(pond())["gap"].note and planned(hourly)["gap"].note == ""
    told = " ".join(a.text for a in planned(pond()).assumptions)
    assert f"within {stage.USUAL} percentage points" in told and f"; {stage.LARGEST} was the worst" in told
    assert planned(hourly).facts["made"] == "no" and "EPW" in planned(hourly).facts["weather"]


def test_high_latitude_weeks_without_sun(tmp_path):
    found = planned(pond('climate = "fairbanks"\nlatitude = "64.8 deg"\nlongitude = "-147.9 deg"', tilt=90))
    assert found.series["pump_hours"].m[11] < 1 and found["gap"].value.m > 24 * 20
    assert np.isfinite(found.series["gap"].m).all()


def test_south_of_the_equator_the_winter_is_in_july():
    here = 'climate = "boise"\nlatitude = "-43.6 deg"\nlongitude = "172 deg"'
    found = planned(pond(here, azimuth=0))
    assert found.series["pump_hours"].m[6] < found.series["pump_hours"].m[0]


def test_no_battery_follows_the_sun_and_a_load_in_the_evening_gets_nothing():
    found = planned(pond(battery=""))
    assert 2 < found.series["pump_hours"].m[0] < found.series["pump_hours"].m[6] < 18
    assert found["gap"].value.m > 8


def test_one_point_is_no_horizon():
    with pytest.raises(QuantityError, match="two points or more"):
        pond(more='horizon = [["180 deg", "20 deg"]]')


def test_what_a_horizon_leaves_out_is_told():
    """South-east to south-west, as the lesson has it measured: nothing stands in the north, and the plan says so."""
    def said(*points):
        found = planned(pond(more=f"horizon = [{', '.join(f'[{chr(34)}{b} deg{chr(34)}, {chr(34)}{h} deg{chr(34)}]' for b, h in points)}]"))
        return [a.text for a in found.assumptions if "power.panel.horizon" in a.text]

    (text,) = said((135, 20), (180, 8), (225, 20))
    assert "from 225 deg clockwise to 135 deg" in text
    assert said((134, 0), (135, 20), (225, 20), (226, 0)) == [] == said((0, 20), (120, 20), (240, 20))


def test_shade_snow_and_glass_take_hours_away():
    free = planned(pond()).series["pump_hours"].m
    for more in ('horizon = [["90 deg", "25 deg"], ["180 deg", "25 deg"], ["270 deg", "25 deg"]]',
                 'snow_loss = "80 %"', 'glazing = "60 %"'):
        less = planned(pond(more=more)).series["pump_hours"].m
        assert less[0] < free[0] and less[6] <= free[6]


def test_a_far_place_has_a_wider_band():
    near = planned(pond('latitude = "43.6 deg"\nlongitude = "-116.2 deg"', pump=16))
    far = planned(pond('latitude = "42.2 deg"\nlongitude = "-119.0 deg"', pump=16))
    width = {which: (s["unpowered"].high - s["unpowered"].low).m for which, s in (("near", near), ("far", far))}
    assert width["far"] > width["near"] and any("far from" in a.text for a in far.assumptions)


def test_each_option_is_one_change_and_prices_are_the_reader_s():
    def with_prices(prices):
        demo = demo_pond()
        return options(demo.model_copy(update={"power": demo.power.model_copy(update={"prices": prices})}))

    assert {o.price for o in with_prices(None)} == {0.0, None}
    found = {o.words: o for o in with_prices(Prices(currency="shells", battery=80, panel=45, timer=9))}
    assert found["a timer: 12 h/day, around noon"].price == 9
    # 4 x 200 W x 95 % over 24 V is 31.7 A, more than the controller's 20 A; a timer cannot slow a pump
    more, slow = "4 panels instead of 2, with a controller for 39.6 A", next(words for words in found if "half the flow at night" in words)
    assert found["a battery of 220 Ah"].price == 80 and found[slow].price is found[more].price is None
    prices = Prices(panel=45, controller=70, speed_control=12, battery=80, timer=9, pump=30, bracket=8)
    all_known = {o.words: o for o in with_prices(prices)}
    assert all_known[more].price == 2 * 45 + 70 and all_known[slow].price == 12  # panels come in strings of two
    assert None not in {o.price for o in all_known.values()}
    assert found[more].still < found["as planned"].still > found["a battery of 220 Ah"].still
    assert found["a timer: 12 h/day, around noon"].still > 12 * 365 - 1


def test_what_is_missing_is_named():
    bare = parse_pond('[pond]\n[pond.shape]\nkind = "circle"\ndiameter = "2 m"\ndepth = "1 m"')
    assert planned(bare).missing == ("needs [power]",) and not planned(bare).planned
    far = pond('latitude = "-20 deg"\nlongitude = "60 deg"')
    assert "climate" in planned(far).missing[0]


def test_a_weather_file_that_went_bad_is_one_sentence(tmp_path):
    (tmp_path / "x.epw").write_text("nothing")
    found = planned(pond(f'weather = "{tmp_path / "x.epw"}"'))
    assert not found.planned and "none of EPW" in found.missing[0]


def test_findings_name_the_month_the_gap_and_the_filter():
    this = demo_pond()
    season = planned(this)
    (gap, *_rest) = stage.find(this, {"season": season})
    assert gap.key == "season.gap" and "January" in gap.what and season["gap"].text() in gap.what
    assert stage.find(this, {}) == []
    assert read(SAND_POINT).latitude > 50


def test_a_timer_s_own_rest_is_not_blamed_on_the_sun():
    """A pump of 3 W for 14 h a day on 100 W of panel stands still for the 10 h of its timer, and not for want of sun."""
    def says(this):
        return next(f.what for f in stage.find(this, {"season": planned(this)}) if f.key == "season.gap")

    resting = pond(hours=14, pump=3, tilt=60)
    assert planned(resting).series["gap"].m == pytest.approx([10] * 12, abs=1)
    assert "By its timer" in says(resting) and "10 h" in says(resting)
    assert "for want of sun" in says(pond(hours=20, pump=30))


def test_the_best_change_is_the_one_of_the_table():
    this = demo_pond()
    season = planned(this)
    rows = next(grid for grid in season.grids if grid.title == stage.COMPARED).rows
    best = min(rows[1:], key=lambda row: row[1].m)
    (change,) = (f for f in stage.find(this, {"season": season}) if f.key == "season.change")
    assert best[0] in change.what and f"{best[1].m:,.0f} h in the year instead of {rows[0][1].m:,.0f} h" in change.what


def walls(height):
    """Write a wall of one height (degrees) all round."""
    return "horizon = [" + ", ".join(f'["{bearing} deg", "{height} deg"]' for bearing in (0, 90, 180, 270)) + "]"


COVERS = {"bare": "", "a courtyard": walls(20), "a pane": 'glazing = "60 %"',
          "a fence to the south": 'horizon = [["120 deg", "0 deg"], ["130 deg", "20 deg"], ["230 deg", "20 deg"], ["240 deg", "0 deg"]]',
          "snow": 'snow_loss = "80 %"'}


@pytest.mark.parametrize("cover", COVERS)
def test_one_sun_in_both_chapters(cover):
    """The mean days' sun on the panel is that of the hourly year within what is allowed for the method, whatever stands before it."""
    share = coefficients()["panel_sun_share"]
    for this in (pond(more=COVERS[cover]), demo_pond()):
        before = {"power": power.plan(this, {})}
        year = stage.plan(this, before)
        ratio = year.series["sun"].m / before["power"].series["sun"].m
        assert ratio.min() >= share.low.m_as("") - 0.005 and ratio.max() <= share.high.m_as("") + 0.005
        (said,) = (a.text for a in year.assumptions if "mean days in the chapter before" in a.text)
        assert f"{100 * ratio.min():.0f} to {100 * ratio.max():.0f} %" in said


@hand_worked("snow takes 80 % in months that freeze; a pane of 60 % and its glare leave less than 60 %; a wall to the zenith: nothing")
def test_what_the_covers_take_off_the_mean_day():
    sun, snow, pane, pit = (power.plan(pond(more=more), {}).series["sun"].m for more in (
        "", COVERS["snow"], COVERS["a pane"], walls(90)))
    frozen = climate("boise").air_temperature.m_as("degC") < 0
    assert frozen.any() and not frozen.all()
    assert snow == pytest.approx(sun * np.where(frozen, 0.2, 1.0))
    assert (pane <= 0.6 * sun).all() and (pane >= 0.6 * 0.9 * sun).all()  # glass turns back some of the low light besides
    assert pit == pytest.approx(np.zeros(12), abs=1e-6)


def test_shade_costs_hours_in_the_chapter_of_mean_days_too():
    free, shaded = pond(pump=4), pond(pump=4, more=COVERS["a courtyard"])
    bright, said = ({"power": power.plan(this, {})} for this in (free, shaded))
    texts = [" ".join(a.text for a in stages["power"].assumptions) for stages in (bright, said)]
    assert "neither shaded" in texts[0] and "stands before the panel (shade, glass, snow) leaves" in texts[1]
    assert "neither shaded" not in texts[1] and "leave out what stands" not in texts[1]
    assert said["power"]["panel_needed"].value > 1.3 * bright["power"]["panel_needed"].value
    assert said["power"]["energy_in"].value < 0.75 * bright["power"]["energy_in"].value
    assert (said["power"].series["pump_hours"].m <= bright["power"].series["pump_hours"].m + 1e-9).all()


def test_good_news_of_the_mean_day_is_not_told_where_the_year_has_stops():
    this = pond(pump=3, battery=BATTERY.replace("80 Ah", "12 Ah"))  # enough sun on the mean day, too small a battery for a dull week
    stages = {"power": power.plan(this, {})}
    assert "power.enough" in {f.key for f in power.find(this, stages)}
    stages["season"] = planned(this)
    assert stages["season"]["unpowered"].value.m >= 1
    assert not {"power.enough", "power.short"} & {f.key for f in power.find(this, stages)}


def test_a_better_tilt_is_offered_with_the_shade_that_there_is():
    said = {}
    for height in (0, 12, 30):  # Boise's December sun stands 23 degrees high at noon: behind 30 only the sky shines, best on a flat panel
        this = pond(tilt=0, pump=40, more=walls(height))
        stages = {"power": power.plan(this, {})}
        said[height] = [[float(x) for x in re.findall(r"([0-9.]+) kWh", f.what)] for f in power.find(this, stages) if f.key == "power.tilt"]
    ((best, flat),), ((less, dull),) = said[0], said[12]
    assert less < 0.9 * best and dull < flat and said[30] == []


def test_a_far_place_widens_the_mean_day_as_well():
    """Boise's sun 280 km away: a quarter less at the cautious end, a fifth more at the other."""
    near = power.plan(pond('latitude = "43.6 deg"\nlongitude = "-116.2 deg"'), {})
    far = power.plan(pond('latitude = "42.2 deg"\nlongitude = "-119.0 deg"'), {})
    assert far["sun"].typical == near["sun"].typical or abs(far["sun"].typical / near["sun"].typical - 1) < 0.05
    assert (far["sun"].value / far["sun"].typical).m_as("") == pytest.approx(0.75 * (near["sun"].value / near["sun"].typical).m_as(""))
    assert (far["energy_in"].high / far["energy_in"].typical) > 1.15 * (near["energy_in"].high / near["energy_in"].typical)
    assert any("far from" in a.text for a in far.assumptions) and not any("far from" in a.text for a in near.assumptions)


def test_where_the_mean_day_gives_other_hours_it_says_which_to_plan_on():
    whole = plan(demo_pond(), until="season")
    year, day = whole["season"], whole["power"].series["pump_hours"]
    assert year.facts["worst_month"] == "November" and "November" in year["run_hours"].label
    assert f"gives {show(day[10], 'h/d')}; this, hour by hour, is the one to plan on" in year["run_hours"].note
    assert planned(demo_pond())["run_hours"].note == ""  # nobody has worked out a mean day


def test_months_that_are_all_alike_have_no_weakest_one():
    easy = pond(pump=1)
    year = stage.plan(easy, {"power": power.plan(easy, {})})
    assert year["run_hours"].label == "Hours a day that the pump runs in each month in use" and year["run_hours"].note == ""


FROSTY = '[power.battery]\nkind = "lifepo4"\ncapacity = "80 Ah"\ncoldest = "-9 degC"'


def test_a_battery_too_cold_to_be_charged_is_named_and_keeping_it_warm_is_an_option():
    this = pond('climate = "rochester-mn"', battery=FROSTY)
    found = planned(this)
    assert found.facts["frozen"] == "Jan, Feb, Dec"  # means of -12.6, -7.7 and -7.6 degC in the table; March has 0.3, November 0.0
    assert any("takes no charge" in a.text and "Jan, Feb, Dec" in a.text for a in found.assumptions)
    changes = {o.words: o for o in options(this)}
    assert changes["the battery kept above freezing"].still < 0.8 * changes["as planned"].still
    mild = pond('climate = "rochester-mn"', battery=FROSTY.replace("-9", "1"))
    assert planned(mild).facts["frozen"] == "none" and "the battery kept above freezing" not in {o.words for o in options(mild)}
    fish = Stage("fish", "Fish", series={"feed": Q(np.where(np.isin(np.arange(12), (0, 1, 2, 3, 11)), 0.0, 1.0), "g/d")})
    resting = pond('climate = "rochester-mn"', battery=FROSTY, hours=16, pump=3)
    said = {f.key: f for f in stage.find(resting, {"season": planned(resting), "fish": fish})}
    assert "too cold to be charged" in said["season.winter_only"].what  # and the timer's rest of 8 h does not hide it
    assert "By its timer" in said["season.gap"].what


def test_other_loads_are_no_flow():
    """A lamp that burns while the pump rests is no hour with flow: the rest of 12 h a day stays."""
    lamp = '[[power.loads]]\nname = "lamp"\npower = "2 W"\nhours_per_day = "8 h/d"\naround = "0 h"\n'
    assert options(pond(hours=12, pump=3, battery=BATTERY + "\n" + lamp))[0].still >= 365 * 12


def test_the_year_runs_the_pump_at_the_voltage_that_it_gets():
    from pondwright.pond.offgrid import loads_of

    slow = parse_pond(TOML.format(place='climate = "boise"', tilt=60, azimuth=180, more="", battery=BATTERY, pump=10, hours=24).replace(
        "[pump]", '[pump]\nrated_voltage = "12 V"\nsupply_voltage = "10.8 V"'))
    assert loads_of(slow)[0][0] == pytest.approx(10 * 0.9**3)
    assert planned(slow)["unpowered"].value < planned(pond())["unpowered"].value
