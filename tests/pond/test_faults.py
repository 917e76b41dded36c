"""What is wrong with a pond file: one clear line a fault, with the key's path, what was given and what would do."""

from __future__ import annotations

import pytest

from pondwright.pond.file import PondFileError, blank_text, parse_pond

CIRCLE = '[pond.shape]\nkind = "circle"\ndiameter = "2 m"\ndepth = "1 m"\n'


def faults(text: str) -> tuple:
    with pytest.raises(PondFileError) as caught:
        parse_pond(text)
    return caught.value.faults


def circle(old: str, new: str) -> str:
    return CIRCLE.replace(old, new)


FISH = CIRCLE + "[fish]\n"
GROUPS = 'groups = [{count = 1, length = "9 cm"}]\n'
GROUP = CIRCLE + "[[fish.groups]]\n"
READING = CIRCLE + '[[readings]]\nwhen = "2026-05-01"\n'
PLACE = CIRCLE + "[place]\n"
CURVE = 'curve = [{flow = "0 L/min", head = "2 m"}, {flow = "9 L/min", head = "1 m"}]\n'
PUMP = CIRCLE + '[pump]\npower = "9 W"\n'
SALT = ('[pond.shape]\nkind = "salt"\nsalt = "1 kg"\nconductivity_before = "300 uS/cm"\nconductivity_after = "1315 uS/cm"\n'
        'surface_area = "4 m2"\ndepth = "1 m"\n')
OUTLINE = '[pond.shape]\nkind = "soundings"\noutline = [["0 m", "0 m"], ["3 m", "0 m"], ["3 m", "2 m"]]\ndepths = ["1 m"]\n'
WIDTHS = '[pond.shape]\nkind = "widths"\nlength = "3 m"\nwidths = ["0 m", "1 m", "0 m"]\ndepths = ["1 m"]\n'
SLOPED = ('[pond.shape]\nkind = "sloped"\nlength = "3 m"\nwidth = "2 m"\nbottom_length = "2 m"\nbottom_width = "1 m"\ndepth = "1 m"\n')
LAYERS = ('[pond.shape]\nkind = "shelves"\nlayers = [{length = "2 m", width = "1 m", depth = "0.3 m"}, '
          '{length = "3 m", width = "1 m", depth = "0.3 m"}]\n')
PANEL = (CIRCLE + '[power]\nvoltage = "12 V"\n[power.panel]\npower = "50 W"\nvoc = "18 V"\nvmp = "22 V"\nisc = "3 A"\nimp = "2.8 A"\n'
         'tilt = "50 deg"\nazimuth = "180 deg"\n')
VESSEL = (CIRCLE + '[vessel]\nshape = "barrel"\ndiameter = "57 cm"\nheight = "88 cm"\n'
          '[[vessel.layers]]\nkind = "gap"\nthickness = "8 cm"\n[vessel.spreader]\n')
SPREADER = 'kind = "pipe"\nholes = 90\nhole = "4 mm"\ninside_diameter = "28 mm"\nlength = "50 cm"\n'
FILTER = CIRCLE + '[filter]\ncontainer = "120 L"\nmedia = "{}"\nmedia_volume = "90 L"\noperation = "trickling"\n'
LAYER = (CIRCLE + '[vessel]\nshape = "barrel"\ndiameter = "57 cm"\nheight = "88 cm"\n[[vessel.layers]]\nkind = "media"\nmedia = "{}"\n'
         'thickness = "8 cm"\n[[vessel.outlets]]\nname = "{}"\nkind = "hole"\ninside_diameter = "36 mm"\nheight = "4 cm"\n')
RUN = CIRCLE + '[plumbing]\nlift = "1 m"\n[[plumbing.runs]]\nlength = "7 m"\npipe = "{}"\nfittings = {{ {} = 1 }}\n'
LINE = CIRCLE + '[plumbing]\nlift = "1 m"\nlength = "7 m"\npipe = "{}"\nfittings = {{ {} = 1 }}\n'
PLUMBING = CIRCLE + '[plumbing]\ninside_diameter = "28 mm"\nlength = "7 m"\nlift = "1 m"\n'
POWER = CIRCLE + '[power]\nvoltage = "12 V"\n[power.prices]\n'
A_LENGTH = "pond.shape.diameter: "

# what is wrong: the text of the file, the one line it gives
ONE_FAULT = {
    "empty": ("", "pond.toml: is empty; it needs at least [pond.shape]."),
    "only comments": ("# nothing yet\n", "pond.toml: is empty; it needs at least [pond.shape]."),
    "no shape": ('[pond]\nname = "a"\n', "pond.shape: is missing and needed."),
    "a key that stands twice": (CIRCLE + 'depth = "2 m"\n', "pond.toml: line 5: the key 'depth' stands twice; keep one."),
    "an open bracket": ("[pond.shape\n", "pond.toml: line 1: a section's name stands in square brackets: [pond.shape]"),
    "a closing bracket": ("pond.shape]\n", "pond.toml: line 1: a section's name stands in square brackets: [pond.shape]"),
    "text without quotes": ("[pond.shape]\nkind = circle\n", 'pond.toml: line 2: a quote is missing: kind = "circle"'),
    "a length without quotes": (circle('"2 m"', "2 m  # by tape"), 'pond.toml: line 3: a quote is missing: diameter = "2 m"'),
    "a decimal comma without quotes": (circle('"1 m"', "1,2 m"), 'pond.toml: line 4: a quote is missing: depth = "1,2 m"'),
    "no quote at the end": (circle('"2 m"', '"2 m'), 'pond.toml: line 3: a quote is missing at the end: diameter = "2 m"'),
    "no quote at the end, a remark": (circle('"2 m"', '"2 m  # by tape'),
                                      'pond.toml: line 3: a quote is missing at the end: diameter = "2 m"'),
    "no quote at the end of the file": (CIRCLE.rstrip('"\n'), 'pond.toml: line 4: a quote is missing at the end: depth = "1 m"'),
    "no quote at the start": (circle('"2 m"', '2 m"'), 'pond.toml: line 3: a quote is missing: diameter = "2 m"'),
    "curly quotes": (circle('"circle"', "“circle”"),
                     'pond.toml: line 2: these quotes are curly; TOML takes straight ones: kind = "circle"'),
    "a unit after the quote": (circle('"2 m"', '"2" m'),
                               'pond.toml: line 3: number and unit stand inside the same quotes: diameter = "2 m"'),
    "a colon": (circle('kind = "', 'kind: "'), 'pond.toml: line 2: an equals sign is needed: kind = "circle"'),
    "no equals sign": (circle('kind = "', 'kind "'), 'pond.toml: line 2: an equals sign is needed: kind = "circle"'),
    "nothing after the equals sign": (circle('"2 m"', ""), 'pond.toml: line 3: a value is missing: diameter = "1.2 m"'),
    "no comma in a list": (circle('"1 m"', '["1 m" "2 m"]'),
                           'pond.toml: line 4: a comma is missing between two values: depth = ["1 m", "2 m"]'),
    "a list without quotes": (circle('"1 m"', "[1 m, 2 m]"),
                              "pond.toml: line 4: each value of a list stands in quotes of its own: depth = ["),
    "a list that is not closed": (circle('"1 m"', '["1 m",') + 'x = "2 m"\n',
                                  "pond.toml: line 5: the list that begins in line 4 (depth) is not closed: it ends with ]"),
    "a NUL byte": (CIRCLE + "# \x00\n", "pond.toml: is not a text file."),
    "a mass for a length": (circle("2 m", "5200 kg"), A_LENGTH + "'5200 kg' is a mass; a length is needed, such as '1.5 m'."),
    "no unit": (circle('"2 m"', "2"), A_LENGTH + "'2' has no unit: this is a length; write it with one, such as '1.5 m'."),
    "no unit in quotes": (circle('"2 m"', '"2"'), A_LENGTH + "'2' has no unit"),
    "text for a number": (circle("2 m", "wide"), A_LENGTH + "'wide' does not start with a number; write it such as '1.5 m'."),
    "NaN with a unit": (circle("2 m", "nan m"), A_LENGTH + "'nan m' is not a finite number."),
    "TOML's own NaN": (circle('"2 m"', "nan"), A_LENGTH + "'nan' is not a finite number."),
    "TOML's own infinity": (circle('"2 m"', "inf"), A_LENGTH + "'inf' is not a finite number."),
    "zero": (circle("2 m", "0 m"), A_LENGTH + "'0 m' must be at least 0.1 m."),
    "negative": (circle('"1 m"', '"-1 m"'), "pond.shape.depth[1]: '-1 m' must be at least 0.02 m."),
    "too deep": (circle('"1 m"', '["1 m", "100 ft"]'), "pond.shape.depth[2]: '100 ft' must be at most 10 m."),
    "true": (circle('"2 m"', "true"), A_LENGTH + "expected a number with a unit, such as '1.5 m', got 'True'."),
    "a list for a length": (circle('"2 m"', '["2 m"]'), A_LENGTH + "'['2 m']' does not start with a number"),
    "no readings in the list": (circle('"1 m"', "[]"), "pond.shape.depth: 0 values were given; at least 1 would do."),
    "a thousands mark": (circle("2 m", "1,500 mm"), A_LENGTH + "'1,500 mm': is the comma a decimal comma or a thousands mark?"),
    "a misspelt key": (circle("depth", "dept") + 'depth = "1 m"\n', "pond.shape.dept: is not a key of a pond file. Did you mean 'depth'?"),
    "a misspelt diameter": (CIRCLE + 'diametr = "1 m"\n', "pond.shape.diametr: is not a key of a pond file. Did you mean 'diameter'?"),
    "a misspelt section": (CIRCLE + "[pomp]\n", "pomp: is not a key of a pond file. Did you mean 'pump'?"),
    "an unknown key": (CIRCLE + 'zzz = "1 m"\n', "pond.shape.zzz: is not a key of a pond file. Known here: kind, diameter, depth."),
    "a key with a line break in it": (CIRCLE + '"a\\nb" = 1\n', r"pond.shape.'a\nb': is not a key of a pond file."),
    "an unknown shape": ('[pond.shape]\nkind = "cirle"\n', "pond.shape.kind: 'cirle' was given; one of rectangle, circle, ellipse"),
    "a section in large letters": (CIRCLE + "[FISH]\n", "FISH: is not a key of a pond file. Keys are written in small letters: 'fish'."),
    "a key with a large letter": (CIRCLE.replace("depth", "Depth"),
                                  "pond.shape.Depth: is not a key of a pond file. Keys are written in small letters: 'depth'."),
    "a blank that was left": (circle("2 m", "___ m"), A_LENGTH + "'___ m' is a blank still: put your own number in place of the line."),
    "farads": (PLACE + 'climate = "seattle"\nrecord_cold = "5 F"\n',
               "place.record_cold: '5 F': 'F' has two meanings: Fahrenheit or farad? Write 'degF' for a temperature."),
    "a compass word": (PANEL.replace("180 deg", "S").replace("22 V", "17 V"),
                       "power.panel.azimuth: 'S': a direction is written in degrees, clockwise from north: '180 deg'."),
    "a latitude with its half": (PLACE + 'latitude = "47 N"\nlongitude = "-122 deg"\n',
                                 "place.latitude: '47 N': north and east count as plus, south and west as minus"),
    "no kind of shape": ('[pond.shape]\ndepth = "1 m"\n', "pond.shape.kind: is missing and needed; one of rectangle, circle"),
    "a number for the shape": ("[pond]\nshape = 3\n", "pond.shape: 3 was given; a section is needed."),
    "a number for the pond": ("pond = 3\n", "pond: 3 was given; a section is needed."),
    "text for a count": (GROUP + 'count = "many"\nlength = "9 cm"\n',
                         "fish.groups[1].count: 'many' was given; a whole number without quotes"),
    "a number in quotes": (GROUP + 'count = "90"\nlength = "9 cm"\n',
                           "fish.groups[1].count: '90' was given; a whole number without quotes"),
    "yes for a number": (GROUP + 'count = true\nlength = "9 cm"\n', "fish.groups[1].count: True was given; a whole number without quotes"),
    "holes in quotes": (VESSEL + SPREADER.replace("90", '"90"'), "vessel.spreader.holes: '90' was given; a whole number without quotes"),
    "elbows in quotes": (PLUMBING + 'fittings = {elbow_90 = "4"}\n',
                         "plumbing.fittings.elbow_90: '4' was given; a whole number without quotes"),
    "panels in quotes": (PANEL.replace('"22 V"', '"15 V"') + 'count = "2"\n',
                         "power.panel.count: '2' was given; a whole number without quotes"),
    "panels of a string in quotes": (PANEL.replace('"22 V"', '"15 V"') + 'count = 2\nin_series = "2"\n',
                                     "power.panel.in_series: '2' was given; a whole number without quotes"),
    "a price that is a number in quotes": (POWER + 'panel = "140"\n',
                                           "power.prices.panel: '140' was given; a plain number, without unit and"),
    "yes for a price": (POWER + "panel = true\n", "power.prices.panel: True was given; a plain number,"),
    "yes in quotes": (PLUMBING + 'air_break = "yes"\n', "plumbing.air_break: 'yes' was given; true or false is needed, without quotes."),
    "one for yes": (PLUMBING + "air_break = 1\n", "plumbing.air_break: 1 was given; true or false is needed, without quotes."),
    "half a fish": (GROUP + 'count = 1.5\nlength = "9 cm"\n', "fish.groups[1].count: 1.5 was given; a whole number without quotes"),
    "no fish": (GROUP + 'count = 0\nlength = "9 cm"\n', "fish.groups[1].count: 0 was given; at least 1 would do."),
    "groups not as a list": (FISH + 'groups = "koi"\n', "fish.groups: 'koi' was given; a list in square brackets is needed."),
    "fish that shrink": (GROUP + 'count = 2\nlength = "20 cm"\nadult_length = "15 cm"\n',
                         "fish.groups[1]: adult_length (15 cm) is less than length, what the fish measure now (20 cm): were they swapped?"),
    "a thimble of media": (
        CIRCLE + '[filter]\ncontainer = "120 L"\nmedia = "lava_rock"\nmedia_volume = "0.01 L"\noperation = "trickling"\n',
        "filter.media_volume: '0.01 L' must be at least 0.5 L."),
    "an empty list of groups": (FISH + "groups = []\n", "fish.groups: 0 values were given; at least 1 would do."),
    "another species": (FISH + 'species = "shark"\n' + GROUPS,
                        "fish.species: 'shark' was given; one of 'koi', 'goldfish', 'common carp' or 'other' would do."),
    "a species with a large letter": (
        FISH + 'species = "Goldfish"\n' + GROUPS,
        "fish.species: 'Goldfish' was given; one of 'koi', 'goldfish', 'common carp' or 'other' would do. Did you mean 'goldfish'?"),
    "a bare share": (FISH + "diet_protein = 30\n" + GROUPS, "fish.diet_protein: '30' has no unit: this is a share; write '30 %'."),
    "more than all": (FISH + 'diet_protein = "130 %"\n' + GROUPS, "fish.diet_protein: '130 %' must be at most 70 %."),
    "a date that is a number": (CIRCLE + "[[readings]]\nwhen = 5\n", "readings[1].when: 5 was given; text in quotes is needed."),
    "a date without quotes": (CIRCLE + "[[readings]]\nwhen = 2026-05-01\n",
                              "readings[1].when: 2026-05-01 was given; text in quotes is needed."),
    "a bare C": (READING + 'temperature = "18 C"\n',
                 "readings[1].temperature: '18 C': 'C' has two meanings: Celsius or coulomb? Write 'degC'"),
    "a difference of temperatures": (READING + 'temperature = "3 delta_degC"\n',
                                     "readings[1].temperature: '3 delta_degC': a temperature and"),
    "an impossible pH": (READING + 'ph = "15"\n', "readings[1].ph: '15' must be at most 14."),
    "more oxygen than water can hold": (READING + 'oxygen = "80 mg/L"\n', "readings[1].oxygen: '80 mg/L' must be at most 40 mg/L."),
    "no place": (PLACE + 'elevation = "8 m"\n', 'place: a place needs climate = "..."'),
    "a place that is not in the table": (PLACE + 'climate = "atlantis"\n',
                                         "place.climate: 'atlantis' is not in the climate table; it holds "),
    "eleven months": (PLACE + 'climate = "seattle"\nwater_temperature = [' + '"5 degC", ' * 11 + "]\n",
                      "place.water_temperature: 11 values were given; at least 12 would do."),
    "a pump curve that ends at no flow": (PUMP + 'hours_per_day = "24 h/d"\n' + CURVE.replace("9 L", "0 L"),
                                          "pump: the pump curve ends at zero flow"),
    "a pump curve that rises": (PUMP + 'hours_per_day = "24 h/d"\n' + CURVE.replace("1 m", "3 m"),
                                "pump: the points of a pump curve go from small flow to large"),
    "a longer day": (PUMP + 'hours_per_day = "25 h/d"\n' + CURVE, "pump.hours_per_day: '25 h/d' must be at most 24 h/d."),
    "a label with Voc and Vmp swapped": (PANEL, "power.panel: on a panel's label Vmp is below Voc"),
    "a negative price": (POWER + "panel = -3\n", "power.prices.panel: -3 was given; at least 0 would do."),
    "a price in quotes": (POWER + 'panel = "3 EUR"\n', "power.prices.panel: '3 EUR' was given; a plain number, without unit and quotes,"),
    "a price that is no number": (POWER + "panel = nan\n", "power.prices.panel: nan was given; a plain number,"),
    "a horizon of one number": (PANEL.replace('voc = "18 V"', 'voc = "24 V"') + 'horizon = [["180 deg"]]\n',
                                "power.panel.horizon[1]: 1 values were given; at least 2 would do."),
    "a stadium wider than long": ('[pond.shape]\nkind = "stadium"\nlength = "2 m"\nwidth = "3 m"\ndepth = "1 m"\n',
                                  "pond.shape: a stadium is at least as long"),
    "a bottom larger than the top": (SLOPED.replace('bottom_width = "1 m"', 'bottom_width = "9 ft"'),
                                     "pond.shape: the bottom of a sloped pond is not larger than its top"),
    "an even number of widths": (WIDTHS.replace('"1 m", "0', '"1 m", "1 m", "0'),
                                 "pond.shape: Simpson's rule needs an odd number of widths; 4 were given."),
    "a bad width": (WIDTHS.replace('"1 m", "0', '"1 kg", "0'), "pond.shape.widths[2]: '1 kg' is a mass; a length is needed"),
    "salt that raises nothing": (SALT.replace("1315", "300"), "pond.shape: conductivity_after must be above conductivity_before"),
    "ten times too much salt": (
        SALT.replace("1 kg", "10 kg"),
        "pond.shape: the volume comes to 20000 L, which would stand 5 m deep on that surface, but the deepest place is 1 m"),
    "corner points in one line": (OUTLINE.replace("2 m", "0 m"), "pond.shape: the corner points of outline enclose no surface"),
    "no depth anywhere": (OUTLINE.replace('depths = ["1 m"', 'depths = ["0 m"'),
                          "pond.shape: at least one of the depths must be 0.02 m or more."),
    "no width anywhere": (WIDTHS.replace('"1 m", "0', '"0 m", "0'), "pond.shape: at least one of the widths between the ends"),
    "a bad weight of salt": (SALT.replace("1 kg", "1 m"), "pond.shape.salt: '1 m' is a length; a mass is needed"),
    "a medium that is not in the table": (FILTER.format("marble"), "filter.media: 'marble' is not in the media table; it holds "),
    "a medium in a layer": (LAYER.format("marble", "drain"), "vessel.layers[1].media: 'marble' is not in the media table; it holds "),
    "a pipe that is not in the table": (LINE.format("garden_hose", "exit"),
                                        "plumbing.pipe: 'garden_hose' is not in the pipe table; it holds "),
    "a fitting that is not in the table": (LINE.format("hose_16mm", "elbow_45x"),
                                           "plumbing.fittings: 'elbow_45x' is not in the fittings table; it holds "),
    "a pipe in a run": (RUN.format("garden_hose", "exit"), "plumbing.runs[1].pipe: 'garden_hose' is not in the pipe table; it holds "),
    "a fitting in a run": (RUN.format("hose_16mm", "elbow_45x"),
                           "plumbing.runs[1].fittings: 'elbow_45x' is not in the fittings table; it holds "),
    "no name": ('[pond]\nname = " "\n' + CIRCLE, "pond.name: an empty name was given; a few words would do."),
    "an outlet without a name": (LAYER.format("foam", ""), "vessel.outlets[1].name: an empty name was given; a few words would do."),
    "layers that widen downwards": (LAYERS, "pond.shape: each layer lies inside the one above it"),
}


@pytest.mark.parametrize("what", ONE_FAULT)
def test_one_line_a_fault(what):
    text, line = ONE_FAULT[what]
    (fault,) = faults(text)
    assert fault.startswith(line)
    assert "\n" not in fault and len(fault) < 700


@pytest.mark.parametrize("word, meant", [("Circle", "circle"), ("round", "circle"), ("oval", "ellipse"), ("rectangular", "rectangle")])
def test_another_word_for_a_shape(word, meant):
    assert faults(circle('"circle"', f'"{word}"'))[0].endswith(f"would do. Did you mean '{meant}'?")


@pytest.mark.parametrize("text", ["", '[pond]\nname = "a"\n'])
def test_what_to_fill_in_first(text):
    (fault,) = faults(text or blank_text())
    assert fault.startswith("pond.shape: is missing and needed. Fill it in first: the lines under [pond.shape]") and "lesson 01" in fault


def test_every_fault_is_named_at_once():
    found = faults(CIRCLE.replace("2 m", "2 kg").replace("1 m", "deep") + '[[fish.groups]]\ncount = 0\nlength = "0 cm"\n[pomp]\n')
    assert [f.split(":")[0] for f in found] == [
        "pond.shape.diameter", "pond.shape.depth[1]", "fish.groups[1].count", "fish.groups[1].length", "pomp"]


def test_the_model_names_no_python():
    for text, _ in ONE_FAULT.values():
        for fault in faults(text):
            for word in ("pydantic", "input should", "validation", "tuple", "dictionary", "NoneType", "Traceback", "instance of"):
                assert word not in fault, fault
