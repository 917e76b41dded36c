"""How much water: surface, depth, volume with its spread, liner and mass from the shape in the pond file."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from ...science import geometry as g
from ...science import survey as s
from ...tables import Coefficient
from ...units import Q, Quantity, show
from ..model import Pond
from ..results import Assumption, End, Finding, Stage, Urgency, by_key, given, number

KEY, TITLE = "survey", "The pond and its water"
LEAST_SHARE = 0.2  # of the mean: two readings far apart leave nearly everything open, yet there is water; a judgement, no source
DEEPEST = Q(10.0, "m")  # the deepest pond that a file may give
LONGEST = Q(50.0, "m")  # a longer pond is rarely run by one small pump: more likely the unit is wrong; a judgement, no source
OVERLAP = Q(0.3, "m")  # of liner beyond the water line on each side; common practice


def plan(pond: Pond, so_far: Mapping[str, Stage]) -> Stage:
    """Survey the pond; never missing, since the shape is the one thing that every pond file has."""
    shape = pond.pond.shape
    read = _read(shape)
    area = number("surface_area", "Water surface", "m2", lambda: _surface(shape))
    volume = number(
        "volume",
        "Volume of water",
        "L",
        lambda read: _volume(shape, area.typical, read),
        read=read,
        note=_volume_note(shape, read.coefficient),
    )
    mean = number("mean_depth", "Mean depth", "m", lambda: g.mean_depth(volume.typical, area.typical))
    deepest = given("max_depth", "Greatest depth", "m", max(_depths(shape), key=lambda d: d.m_as("m")))
    numbers = [area, volume, mean, deepest]
    if (wet := _wetted(shape, area.typical, mean.typical)) is not None:
        numbers.append(number("wetted_area", "Bottom and walls under water", "m2", wet))
    if sides := _sides(shape):
        for key, label, side in zip(("liner_length", "liner_width"), ("Liner sheet, length", "Liner sheet, width"), sides, strict=True):
            numbers.append(number(key, label, "m", lambda side=side: g.liner_side(side, deepest.value, OVERLAP)))
    numbers.append(number("water_mass", "Mass of the water", "kg", lambda: g.water_mass(volume.typical)))
    return Stage(
        KEY,
        TITLE,
        by_key(*numbers),
        facts={"shape": shape.kind},
        assumptions=(Assumption(f"The liner reaches {show(OVERLAP, 'm')} beyond the water line on every side.", ("Practice",)),),
        cautions=(
            "A pond can drown a child in water that hardly covers a hand, and ice that carries a cat does not carry a person: an adult "
            "stays at the edge while anyone measures, nobody steps on ice, and a fence or a sturdy grid guards the water where small "
            "children can come. Follow the local rules on pond fencing.",
        ),
    )


def find(pond: Pond, stages: Mapping[str, Stage]) -> list[Finding]:
    """Say where the survey is too rough to plan on, or looks like a slip of the pen."""
    return [*_strange(pond.pond.shape, stages[KEY]), *_rough(pond.pond.shape, stages[KEY]["volume"])]


def _strange(shape, survey: Stage) -> list[Finding]:
    sides = _sides(shape) or ()
    across, depth = max(sides, default=None, key=_metres), survey["mean_depth"].value
    check = "Look at the numbers and units under [pond.shape] once more: m, cm, ft and in are easily taken for each other."
    if across is not None and across > LONGEST:
        what = f"The pond is {show(across, 'm')} long or wide. More than {show(LONGEST, 'm')} is more than this workbook is made for."
        return [Finding("survey.large", Urgency.FIX, what, check, ("survey.surface_area",))]
    if across is not None and depth > 2 * across:
        what = f"The pond is {show(depth, 'm')} deep on average, and only {show(across, 'm')} long and wide: a shaft."
        return [Finding("survey.deep", Urgency.FIX, what, check, ("survey.mean_depth",))]
    return []


def _metres(length: Quantity) -> float:
    return length.m_as("m")


def _rough(shape, volume) -> list[Finding]:
    share = (volume.high.m_as("L") - volume.low.m_as("L")) / 2 / volume.typical.m_as("L")
    noun, readings, more = _noun(shape), _repeated(shape), _MORE.get(shape.kind, _MORE["depth"])
    if len(readings) < 3 and not share and shape.kind != "shelves":
        on = f"one {noun}" if len(readings) == 1 else f"{len(readings)} equal {noun}s"
        what = f"The volume of {volume.text()} rests on {on}, so nobody can say how far off it is."
        return [Finding("survey.one_reading", Urgency.IMPROVE, what, more, ("survey.volume",))]
    if share > 0.1:
        open_to = f"from {show(volume.low, 'L')} to {show(volume.high, 'L')}"
        what = f"The {noun}s leave the volume open {open_to}; a plan wants 10 % either way or less."
        return [Finding("survey.spread", Urgency.IMPROVE, what, more, ("survey.volume",))]
    return []


# what may be read more than once, and what to do where that was not enough; every kind that is not named reads depths
_WORDS = {"depth": "depth reading", "salt": "conductivity reading", "fill": "bucket time"}
_MORE = {
    "depth": "Measure the depth at five places or more, evenly spread over the pond, and write them all into the pond file.",
    "salt": "Read the conductivity at five places or more and write all readings into pond.shape.conductivity_after.",
    "fill": "Time the bucket five times or more and write all times into pond.shape.bucket_time.",
}


def _depths(shape) -> tuple:
    """Return every depth the file gives: repeated readings, soundings, or one depth measured with a tape."""
    match shape.kind:
        case "shelves":
            return (sum((layer.depth for layer in shape.layers), Q(0.0, "m")),)
        case "soundings" | "widths":
            return shape.depths
        case "salt" | "fill":
            return (shape.depth,)
    return shape.depth


def _noun(shape) -> str:
    return _WORDS.get(shape.kind, _WORDS["depth"])


def _repeated(shape) -> tuple:
    """Return the readings on whose mean the volume rests."""
    match shape.kind:
        case "salt":
            return shape.conductivity_after
        case "fill":
            return shape.bucket_time
    return _depths(shape)


def _read(shape) -> End:
    """Return the mean of what was read with its 95 % spread, and the end that tells less water."""
    noun, readings = _noun(shape), _repeated(shape)
    match shape.kind:
        case "salt":
            return End(_reading(noun, readings, "uS/cm", shape.conductivity_before), "high")
        case "fill":
            return End(_reading(noun, readings, "s"), "high")
    return End(_reading(noun, readings, "m", most=DEEPEST), "low")


def _reading(noun: str, readings: tuple, unit_text: str, floor: Quantity | None = None, most: Quantity | None = None) -> Coefficient:
    """Make a mean with its 95 % spread out of readings, over a floor; one reading, or equal ones, have no spread that anyone knows."""
    values = np.array([r.m_as(unit_text) for r in readings])
    mean, least = values.mean(), 0.0 if floor is None else floor.m_as(unit_text)
    spread = 0.0 if np.ptp(values) == 0 else s.mean_spread.plain(values)
    low, high = max(mean - spread, least + LEAST_SHARE * (mean - least)), mean + spread
    ends = (Q(float(x), unit_text) for x in (low, mean, high if most is None else min(high, most.m_as(unit_text))))
    return Coefficient("read", f"the {noun}s", *ends, unit_text, ("GUM",) if spread else (), False, "")


def _surface(shape) -> Quantity:
    match shape.kind:
        case "circle":
            return g.circle_area(shape.diameter)
        case "ellipse":
            return g.ellipse_area(shape.length, shape.width)
        case "stadium":
            return g.stadium_area(shape.length, shape.width)
        case "shelves":
            return g.rectangle_area(shape.layers[0].length, shape.layers[0].width)
        case "soundings":
            x, y = zip(*((p[0].m_as("m"), p[1].m_as("m")) for p in shape.outline), strict=True)
            return g.polygon_area(Q(x, "m"), Q(y, "m"))
        case "widths":
            return g.simpson_area(shape.length, Q([w.m_as("m") for w in shape.widths], "m"))
        case "salt" | "fill":
            return shape.surface_area
    return g.rectangle_area(shape.length, shape.width)


def _volume(shape, area, read) -> Quantity:
    match shape.kind:
        case "sloped":
            return g.frustum_volume(shape.length, shape.width, shape.bottom_length, shape.bottom_width, read)
        case "shelves":
            return sum((g.prism_volume(g.rectangle_area(layer.length, layer.width), layer.depth) for layer in shape.layers), Q(0.0, "m3"))
        case "salt" | "fill":
            return shape.volume(read)
    return g.prism_volume(area, read)


def _volume_note(shape, read: Coefficient) -> str:
    if shape.kind == "shelves":
        return ""
    noun, count = _noun(shape), len(_repeated(shape))
    if count == 1:
        return f"one {noun}: the spread is unknown"
    if not read.sources:
        return f"{count} equal {noun}s: the spread is less than what was read can tell"
    return f"95 % range of the mean of {count} {noun}s"


def _wetted(shape, area, depth):
    """Return what computes the wetted area, or None where the shape does not tell the walls."""
    match shape.kind:
        case "rectangle":
            return lambda: g.frustum_wetted_area(shape.length, shape.width, shape.length, shape.width, depth)
        case "circle":
            return lambda: g.wetted_area(area, g.ellipse_perimeter(shape.diameter, shape.diameter), depth)
        case "ellipse":
            return lambda: g.wetted_area(area, g.ellipse_perimeter(shape.length, shape.width), depth)
        case "stadium":
            straight = 2 * (shape.length - shape.width)
            return lambda: g.wetted_area(area, straight + g.ellipse_perimeter(shape.width, shape.width), depth)
        case "sloped":
            mean = sum(shape.depth, Q(0.0, "m")) / len(shape.depth)
            return lambda: g.frustum_wetted_area(shape.length, shape.width, shape.bottom_length, shape.bottom_width, mean)
        case "shelves":
            # every flat tread lies under the surface once, so the treads and the bottom together are the surface area
            walls = [(2 * (layer.length + layer.width), layer.depth) for layer in shape.layers]
            return lambda: g.wetted_area(
                area,
                sum((p * d for p, d in walls), Q(0.0, "m2")) / sum((d for _, d in walls), Q(0.0, "m")),
                sum((d for _, d in walls), Q(0.0, "m")),
            )
    return None


def _sides(shape) -> tuple | None:
    match shape.kind:
        case "circle":
            return shape.diameter, shape.diameter
        case "rectangle" | "ellipse" | "stadium" | "sloped":
            return shape.length, shape.width
        case "shelves":
            return shape.layers[0].length, shape.layers[0].width
        case "soundings":
            spans = [[p[i].m_as("m") for p in shape.outline] for i in (0, 1)]
            return tuple(Q(max(s) - min(s), "m") for s in spans)
        case "widths":
            return shape.length, max(shape.widths, key=lambda w: w.m_as("m"))
    return None
