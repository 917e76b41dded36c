"""Before a slider is moved every lab says the plan's own numbers, of ponds quite unlike the demo too. All ponds are invented."""

from __future__ import annotations

import re

import pytest

from pondwright import labs
from pondwright.labs.base import Slider
from pondwright.pond.file import parse_pond
from pondwright.pond.overview import needs
from pondwright.pond.plan import plan
from tests.ponds import TEXTS

# what each lab decides by
DECIDES = {
    "VolumeLab": ("survey.volume", "survey.surface_area", "survey.mean_depth", "survey.max_depth"),
    "StockingLab": ("fish.biomass", "fish.grown_biomass", "fish.hours_to_4", "fish.hours_to_4_grown", "stocking.limit",
                    "stocking.limit_oxygen", "stocking.limit_filter"),
    "FilterLab": ("filter.tan_load", "filter.design_tan", "filter.capacity", "filter.feed_allowed", "filter.media_needed"),
    "VesselLab": ("drains.level_running", "drains.level_blocked", "vessel.safe_stop", "vessel.mass_flooded", "vessel.volume_drained"),
    "PlumbingLab": ("plumbing.flow", "plumbing.head", "plumbing.velocity", "plumbing.pump_power"),
    "LoadsLab": ("power.daily_energy", "power.battery_days", "power.load_current", "power.voltage_drop"),
    "PowerLab": ("season.run_hours", "season.gap"),
    "WaterLab": ("water.unionized_ammonia", "water.unionized_worst", "water.unionized_limit", "water.bicarbonate_today"),
}  # fmt: skip
NOT_BRIGHT = ("value", "low", "typical")  # lab 08 leaves out the bright year, to be fast
BAND = {"survey.volume": ("typical",),  # lab 01 has its own doubt about the depth
        "season.run_hours": NOT_BRIGHT, "season.gap": ("value", "typical")}
UNLIKE = {
    "three drains unlike each other, a line of three runs, a pump at another voltage": """
[pond]
units = "us"
[pond.shape]
kind = "soundings"
outline = [["0 m", "0 m"], ["4 m", "0.4 m"], ["3.4 m", "2.9 m"], ["0.6 m", "2.2 m"]]
depths = ["0.5 m", "0.9 m", "1.2 m", "0.7 m"]
[place]
climate = "rochester-mn"
[fish]
species = "koi"
diet_protein = "38 %"
groups = [{ count = 2, length = "31 cm", adult_length = "55 cm" }, { count = 5, length = "14.3 cm", adult_length = "48 cm" }]
[filter]
container = "330 L"
media = "plastic_rings"
media_volume = "205 L"
operation = "submerged"
[vessel]
shape = "box"
length = "95 cm"
width = "58 cm"
height = "61 cm"
[[vessel.layers]]
kind = "gap"
thickness = "11 cm"
[[vessel.layers]]
kind = "mat"
media = "foam"
thickness = "2.5 cm"
[[vessel.layers]]
kind = "mat"
media = "foam"
thickness = "2 cm"
[[vessel.layers]]
kind = "media"
media = "plastic_rings"
thickness = "33 cm"
[[vessel.layers]]
kind = "plenum"
thickness = "9 cm"
[[vessel.outlets]]
name = "riser"
kind = "elbow_up"
inside_diameter = "41 mm"
height = "5 cm"
mouth = "47 cm"
length = "1.3 m"
drop = "0.2 m"
screen_open = "55 %"
[[vessel.outlets]]
name = "side"
kind = "stub"
inside_diameter = "26.2 mm"
height = "50.5 cm"
[[vessel.outlets]]
name = "to the lawn"
kind = "tee"
inside_diameter = "33 mm"
height = "55 cm"
leads_to = "waste"
[pump]
curve = [{ flow = "0 L/min", head = "3.4 m" }, { flow = "25 L/min", head = "2.8 m" }, { flow = "58 L/min", head = "0.3 m" }]
power = "38 W"
hours_per_day = "20 h/d"
rated_voltage = "12 V"
supply_voltage = "10.9 V"
[plumbing]
lift = "1.0 m"
mouth_under_water = "0 cm"
[[plumbing.runs]]
pipe = "sch40_1in"
length = "4.2 m"
rise = "0.9 m"
fittings = { entrance = 1, elbow_90 = 2 }
[[plumbing.runs]]
inside_diameter = "24 mm"
length = "1.9 m"
rise = "0.6 m"
fittings = { elbow_90 = 1 }
[[plumbing.runs]]
inside_diameter = "19 mm"
length = "0.4 m"
rise = "0 m"
fittings = { exit = 1 }
[[readings]]
when = "2026-05-30 17:00"
temperature = "17 degC"
ph = "8.9"
""",
    "a cone that fills from below, fish that nobody knows, a feed that was weighed": """
[pond.shape]
kind = "shelves"
layers = [{ length = "23 m", width = "14 m", depth = "0.4 m" }, { length = "18 m", width = "9 m", depth = "1.1 m" }]
[place]
climate = "seattle"
water_temperature = ["3 degC", "4 degC", "6 degC", "9 degC", "13 degC", "17 degC",
                     "19 degC", "20 degC", "16 degC", "11 degC", "7 degC", "4 degC"]
[fish]
groups = [{ count = 160, length = "9 cm" }, { count = 30, length = "22 cm" }]
feed = "260 g/d"
[filter]
container = "1900 L"
media = "expanded_clay"
media_volume = "1400 L"
operation = "submerged"
solids_filter = true
[vessel]
shape = "cone"
diameter = "1.5 m"
height = "1.9 m"
cone_height = "0.5 m"
flow = "up"
layers = [{ kind = "gap", thickness = "20 cm" }, { kind = "media", media = "expanded_clay", thickness = "102 cm" },
          { kind = "plenum", thickness = "60 cm" }]
outlets = [{ name = "a", kind = "stub", inside_diameter = "125 mm", height = "1.74 m" },
           { name = "b", kind = "stub", inside_diameter = "125 mm", height = "1.74 m" },
           { name = "c", kind = "stub", inside_diameter = "125 mm", height = "1.74 m" },
           { name = "d", kind = "stub", inside_diameter = "125 mm", height = "1.74 m" },
           { name = "e", kind = "stub", inside_diameter = "125 mm", height = "1.74 m" }]
[pump]
max_flow = "190 L/min"
max_head = "7.5 m"
power = "140 W"
hours_per_day = "24 h/d"
longest_stop = "60 h"
[plumbing]
inside_diameter = "64 mm"
length = "44 m"
lift = "2.2 m"
fittings = { entrance = 1, elbow_90 = 19, exit = 1 }
[[readings]]
when = "2026-05-30"
temperature = "14 degC"
ph = "7.1"
tan = "4.6 mg/L"
[[readings]]
when = "2026-07-30"
temperature = "21 degC"
ph = "6.9"
tan = "4.2 mg/L"
""",
    "a siphon and nothing else, a volume told by salt": """
[pond.shape]
kind = "salt"
salt = "0.6 kg"
conductivity_before = "420 uS/cm"
conductivity_after = ["900 uS/cm", "920 uS/cm"]
surface_area = "4.4 m2"
depth = "0.6 m"
[place]
latitude = "35 deg"
longitude = "-106.6 deg"
[fish]
species = "goldfish"
groups = [{ count = 1, length = "7 cm" }, { count = 1, length = "19 cm", adult_length = "30 cm" }]
[vessel]
shape = "box"
length = "80 cm"
width = "60 cm"
height = "30 cm"
layers = [{ kind = "media", media = "gravel", thickness = "3.5 cm" }]
[vessel.siphon]
kind = "loop"
inside_diameter = "16 mm"
crest = "20 cm"
mouth = "2 cm"
length = "1.2 m"
drop = "0.8 m"
[pump]
max_flow = "20 L/min"
max_head = "2.2 m"
power = "12 W"
hours_per_day = "18 h/d"
[plumbing]
inside_diameter = "16 mm"
length = "3 m"
lift = "0.9 m"
""",
}
PONDS = TEXTS | UNLIKE
INVENTED = re.compile("invented|not known|No level", re.IGNORECASE)


def number(result, dotted: str):
    stage, _, key = dotted.partition(".")
    return result.stages[stage].numbers.get(key) if stage in result.stages else None


@pytest.mark.parametrize("name", PONDS)
@pytest.mark.parametrize("lab", DECIDES)
def test_an_untouched_lab_says_the_plans_own_numbers(lab, name):
    pond = parse_pond(PONDS[name])
    whole, opened = plan(pond), getattr(labs, lab)(pond)
    for dotted in DECIDES[lab]:
        planned, shown = number(whole, dotted), number(opened.result, dotted)
        if planned is None:  # the pond file lacks something: the lab has no such number either, or says what it invents
            assert shown is None or INVENTED.search(opened.words), (dotted, opened.words)
            continue
        for end in BAND.get(dotted, ("value", "low", "typical", "high")):
            mine, own = (getattr(found, end).to_base_units().m for found in (shown, planned))
            assert mine == pytest.approx(own, rel=1e-9), dotted


@pytest.mark.parametrize("name", PONDS)
def test_lab_00_compares_what_the_plan_compares(name):
    opened = labs.OverviewLab(parse_pond(PONDS[name]))
    compared = {need.name: need.share for need in needs(plan(opened.pond))}
    assert {need.name: need.share for need in needs(opened.result)} == pytest.approx(compared, rel=1e-9)


@pytest.mark.parametrize("name", PONDS)
@pytest.mark.parametrize("lab", [name for name in labs.__all__])
def test_every_control_starts_inside_its_range(lab, name):
    for row in getattr(labs, lab)(parse_pond(PONDS[name]))._rows.values():
        spec = row.spec
        if isinstance(spec, Slider):
            assert spec.low <= spec.start <= spec.high and len(spec.label) < 30  # more than that is cut off on the screen
