"""What a pond file may hold: one class a section, every quantity checked as it is read.

Only the pond's shape is needed. A section that is missing makes its stage of the plan say "not planned yet"; nothing is filled in.
"""

from __future__ import annotations

import itertools
from typing import Annotated, Any, Literal

import numpy as np
from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, model_validator

from ..science.geometry import polygon_area
from ..science.survey import salt_tracer_volume, timed_fill_volume
from ..units import Quantity, QuantityError, read, round_text, show, unit


def measure(wanted: str, *, at_least: float | None = 0, above: float | None = None, at_most: float | None = None):
    """Make a field type: text with a unit such as `wanted` (or a Quantity of that kind), inside a range given in that unit."""
    target = unit(wanted)

    def check(value):
        quantity = value if isinstance(value, Quantity) and value.is_compatible_with(target) else read(value, wanted)
        number, value = quantity.m_as(target), " ".join(str(value).split())
        if above is not None and number <= above:
            raise QuantityError(f"'{value}' must be more than {above:g} {wanted}.".replace(" -.", "."))
        if at_least is not None and number < at_least:
            raise QuantityError(f"'{value}' must be at least {at_least:g} {wanted}.".replace(" -.", "."))
        if at_most is not None and number > at_most:
            raise QuantityError(f"'{value}' must be at most {at_most:g} {wanted}.".replace(" -.", "."))
        return quantity

    return Annotated[Any, BeforeValidator(check)]


def one_or_more(field):
    """Make a field type: one value, or a list of repeated readings; kept as a tuple."""
    return Annotated[tuple[field, ...], BeforeValidator(lambda v: tuple(v) if isinstance(v, list | tuple) else (v,)), Field(min_length=1)]


Length = measure("m", at_least=0.1, at_most=200)
Depth = measure("m", at_least=0.02, at_most=10)
Sounding = measure("m", at_most=10)
Volume = measure("L", above=0, at_least=None, at_most=1e7)
Area = measure("m2", above=0, at_least=None, at_most=1e5)
Temperature = measure("degC", at_least=-60, at_most=60)
WaterTemperature = measure("degC", at_least=-2, at_most=45)
Concentration = measure("mg/L", at_most=100_000)
Nitrogen = measure("mg/L", at_most=1000)
Share = measure("%", at_most=100)
Power = measure("W", above=0, at_least=None, at_most=5000)
Hours = measure("h/d", at_most=24)
Words = Annotated[str, AfterValidator(str.strip), Field(max_length=2000)]


class Section(BaseModel):
    """Shared rules: no unknown keys, nothing changed after reading."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)


# ---------------------------------------------------------------------------------------------------------------- the shapes


class Rectangle(Section):
    """Straight walls, a rectangle seen from above."""

    kind: Literal["rectangle"]
    length: Length
    width: Length
    depth: one_or_more(Depth)


class Circle(Section):
    """Straight walls, a circle seen from above."""

    kind: Literal["circle"]
    diameter: Length
    depth: one_or_more(Depth)


class Ellipse(Section):
    """Straight walls, an ellipse seen from above."""

    kind: Literal["ellipse"]
    length: Length
    width: Length
    depth: one_or_more(Depth)


class Stadium(Section):
    """Straight walls, a rectangle with two round ends seen from above; `length` over the ends."""

    kind: Literal["stadium"]
    length: Length
    width: Length
    depth: one_or_more(Depth)

    @model_validator(mode="after")
    def _long_enough(self):
        if self.length.m_as("m") < self.width.m_as("m"):
            raise QuantityError('a stadium is at least as long as it is wide: swap length and width, or use kind = "circle".')
        return self


class Sloped(Section):
    """A rectangle at the water line, a smaller one at the bottom, sloping sides between."""

    kind: Literal["sloped"]
    length: Length
    width: Length
    bottom_length: measure("m", at_most=200)
    bottom_width: measure("m", at_most=200)
    depth: one_or_more(Depth)

    @model_validator(mode="after")
    def _narrows(self):
        if self.bottom_length.m_as("m") > self.length.m_as("m") or self.bottom_width.m_as("m") > self.width.m_as("m"):
            raise QuantityError(
                "the bottom of a sloped pond is not larger than its top: compare bottom_length and bottom_width with length and width."
            )
        return self


class Shelf(Section):
    """One layer of a stepped pond: a rectangle as wide as the pond is at that layer, and the layer's thickness."""

    length: Length
    width: Length
    depth: Depth


class Shelves(Section):
    """Steps: layers from the water line down, each a rectangle with its own thickness."""

    kind: Literal["shelves"]
    layers: Annotated[tuple[Shelf, ...], Field(min_length=1)]

    @model_validator(mode="after")
    def _narrows(self):
        for upper, lower in itertools.pairwise(self.layers):
            if lower.length.m_as("m") > upper.length.m_as("m") or lower.width.m_as("m") > upper.width.m_as("m"):
                raise QuantityError("each layer lies inside the one above it: list the layers from the water line down.")
        return self


class Soundings(Section):
    """An outline of corner points and depths sounded on a grid inside it."""

    kind: Literal["soundings"]
    outline: Annotated[
        tuple[Annotated[tuple[measure("m", at_least=-200, at_most=200), ...], Field(min_length=2, max_length=2)], ...], Field(min_length=3)
    ]
    depths: Annotated[tuple[Sounding, ...], Field(min_length=1)]

    @model_validator(mode="after")
    def _holds_water(self):
        x, y = ([p[i].m_as("m") for p in self.outline] for i in (0, 1))
        if polygon_area.plain(np.array(x), np.array(y)) < 0.01:
            raise QuantityError("the corner points of outline enclose no surface; list them in the order in which you walk round the pond.")
        return _deep_somewhere(self)


class Widths(Section):
    """Widths across the pond at an odd number of equally spaced stations along its length, and depths sounded over it."""

    kind: Literal["widths"]
    length: Length
    widths: Annotated[tuple[measure("m", at_most=200), ...], Field(min_length=3)]
    depths: Annotated[tuple[Sounding, ...], Field(min_length=1)]

    @model_validator(mode="after")
    def _odd(self):
        if len(self.widths) % 2 == 0:
            raise QuantityError(f"Simpson's rule needs an odd number of widths; {len(self.widths)} were given.")
        if max(w.m_as("m") for w in self.widths[1:-1]) < 0.1:
            raise QuantityError("at least one of the widths between the ends must be 0.1 m or more.")
        return _deep_somewhere(self)


def _deep_somewhere(shape):
    if max(d.m_as("m") for d in shape.depths) < 0.02:
        raise QuantityError("at least one of the depths must be 0.02 m or more.")
    return shape


class SaltTracer(Section):
    """A volume from a weighed dose of salt and the rise in conductivity; the surface and greatest depth by tape."""

    kind: Literal["salt"]
    salt: measure("g", above=0, at_least=None, at_most=1e6)
    conductivity_before: measure("uS/cm", at_most=1e5)
    conductivity_after: one_or_more(measure("uS/cm", at_most=1e5))
    surface_area: Area
    depth: Depth

    @model_validator(mode="after")
    def _rises(self):
        if min(c.m_as("uS/cm") for c in self.conductivity_after) <= self.conductivity_before.m_as("uS/cm"):
            raise QuantityError(
                "conductivity_after must be above conductivity_before: salt raises it. Were they swapped, or is the salt not mixed in?"
            )
        return _fits_its_depth(self)

    def volume(self):
        """Return the volume that the dilution of the salt tells (Quantity)."""
        return salt_tracer_volume(self.salt, self.conductivity_before, _mean(self.conductivity_after))


class TimedFill(Section):
    """A volume from the time to fill at a flow measured with a bucket; the surface and greatest depth by tape."""

    kind: Literal["fill"]
    bucket: measure("L", above=0, at_least=None, at_most=1e5)
    bucket_time: one_or_more(measure("s", at_least=0.5, at_most=86_400))
    fill_time: measure("h", above=0, at_least=None, at_most=8760)
    surface_area: Area
    depth: Depth

    @model_validator(mode="after")
    def _plausible(self):
        return _fits_its_depth(self)

    def volume(self):
        """Return the volume that flowed in (Quantity)."""
        return timed_fill_volume(self.bucket, _mean(self.bucket_time), self.fill_time)


def _mean(readings: tuple):
    return sum(readings[1:], readings[0]) / len(readings)


def _fits_its_depth(shape):
    """Refuse a volume that would stand far deeper on its surface than the deepest place: a slip of the pen, not a pond."""
    depth, deepest = shape.volume().m_as("m ** 3") / shape.surface_area.m_as("m ** 2"), shape.depth.m_as("m")
    if depth > min(1.5 * deepest, 10):
        raise QuantityError(
            f"the volume comes to {show(shape.volume(), 'L')}, which would stand {round_text(depth)} m deep on that surface, but the "
            f"deepest place is {round_text(deepest)} m: check units and readings."
        )
    return shape


Shape = Annotated[
    Rectangle | Circle | Ellipse | Stadium | Sloped | Shelves | Soundings | Widths | SaltTracer | TimedFill, Field(discriminator="kind")
]


# -------------------------------------------------------------------------------------------------------------- the sections


class Place(Section):
    """Where the pond is. `climate` names a row of the climate table; without it the nearest to latitude and longitude is used.

    `ice_free_depth` is how deep ponds freeze there in a hard winter: below it the water stays free of ice.
    """

    climate: str | None = None
    latitude: measure("deg", at_least=-90, at_most=90) | None = None
    longitude: measure("deg", at_least=-180, at_most=180) | None = None
    elevation: measure("m", at_least=-450, at_most=6000) | None = None
    record_cold: Temperature | None = None
    water_temperature: Annotated[tuple[WaterTemperature, ...], Field(min_length=12, max_length=12)] | None = None
    ice_free_depth: measure("m", at_most=10) | None = None

    @model_validator(mode="after")
    def _findable(self):
        from .climate import places

        if self.climate is not None and self.climate not in places():
            raise QuantityError(f"'{self.climate}' is not in the climate table; it holds {', '.join(places())}.")
        if self.climate is None and (self.latitude is None or self.longitude is None):
            raise QuantityError('a place needs climate = "..." (a place of the climate table) or both latitude and longitude.')
        return self


class FishGroup(Section):
    """Some fish of about one length."""

    count: Annotated[int, Field(ge=1, le=100_000)]
    length: measure("cm", at_least=1, at_most=150)
    adult_length: measure("cm", at_least=1, at_most=150) | None = None


class Fish(Section):
    """What swims in the pond, and what it is fed."""

    species: Literal["koi", "goldfish", "common carp", "other"] = "other"
    groups: Annotated[tuple[FishGroup, ...], Field(min_length=1)]
    diet_protein: measure("%", at_least=5, at_most=70) | None = None
    feed: measure("g/d", at_most=1e6) | None = None
    stop_feeding_below: WaterTemperature | None = None


class Filter(Section):
    """The biofilter: a container, its media, and how the water meets it."""

    container: Volume
    plan_area: Area | None = None
    media: str
    media_volume: Volume
    operation: Literal["trickling", "submerged"]
    solids_filter: bool = False

    @model_validator(mode="after")
    def _fits(self):
        from ..tables import load

        media = load("media").keys()
        if self.media not in media:
            raise QuantityError(f"'{self.media}' is not in the media table; it holds {', '.join(media)}.")
        if self.media_volume.m_as("L") > self.container.m_as("L"):
            raise QuantityError("media_volume is more than the container holds.")
        return self


class CurvePoint(Section):
    """One point of a pump curve."""

    flow: measure("L/min")
    head: measure("m", at_most=200)


class Pump(Section):
    """The pump: its curve from the label or from a bucket and stopwatch, its power, its hours, the longest stop to expect."""

    curve: Annotated[tuple[CurvePoint, ...], Field(min_length=2)]
    power: Power
    hours_per_day: Hours
    longest_stop: measure("h", at_least=0.1, at_most=720) | None = None

    @model_validator(mode="after")
    def _falls(self):
        points = [(p.flow.m_as("L/min"), p.head.m_as("m")) for p in self.curve]
        if points[-1][0] == 0:
            raise QuantityError("the pump curve ends at zero flow: list its points from zero flow to the largest flow.")
        for (q0, h0), (q1, h1) in itertools.pairwise(points):
            if q1 <= q0 or h1 > h0:
                raise QuantityError("the points of a pump curve go from small flow to large, and the head never rises along them.")
        return self


class Plumbing(Section):
    """The line from the pump to the filter."""

    pipe: str | None = None
    inside_diameter: measure("mm", at_least=5, at_most=500) | None = None
    length: Length
    lift: measure("m", at_most=50)
    fittings: dict[str, Annotated[int, Field(ge=0, le=200)]] = Field(default_factory=dict)

    @model_validator(mode="after")
    def _known(self):
        from ..tables import load

        if (self.pipe is None) == (self.inside_diameter is None):
            raise QuantityError('give either pipe = "..." (a row of the pipe table) or inside_diameter, not both.')
        if self.pipe is not None and self.pipe not in load("pipes").keys():
            raise QuantityError(f"'{self.pipe}' is not in the pipe table; it holds {', '.join(load('pipes').keys())}.")
        strange = [f for f in self.fittings if f not in load("fittings").keys()]
        if strange:
            raise QuantityError(f"'{strange[0]}' is not in the fittings table; it holds {', '.join(load('fittings').keys())}.")
        return self


class Load(Section):
    """One electrical load besides the pump."""

    name: Words
    power: Power
    hours_per_day: Hours


class Panel(Section):
    """The solar panel, by its label."""

    power: Power
    voc: measure("V", at_least=1, at_most=200)
    isc: measure("A", at_least=0.01, at_most=50)
    vmp: measure("V", at_least=1, at_most=200)
    imp: measure("A", at_least=0.01, at_most=50)
    count: Annotated[int, Field(ge=1, le=50)] = 1
    in_series: Annotated[int, Field(ge=1, le=20)] = 1
    tilt: measure("deg", at_most=90)
    azimuth: measure("deg", at_most=360)

    @model_validator(mode="after")
    def _label(self):
        if self.vmp.m_as("V") >= self.voc.m_as("V") or self.imp.m_as("A") > self.isc.m_as("A"):
            raise QuantityError("on a panel's label Vmp is below Voc and Imp at most Isc: were they swapped?")
        if self.count % self.in_series:
            raise QuantityError("count must be a multiple of in_series: every string has the same number of panels.")
        return self


class Controller(Section):
    """The charge controller: "switching" (PWM: the panel is held at battery voltage) or "mppt"."""

    kind: Literal["switching", "mppt"]
    max_current: measure("A", above=0, at_least=None, at_most=200)
    max_voltage: measure("V", above=0, at_least=None, at_most=600)


class Battery(Section):
    """The battery at the system voltage."""

    kind: Literal["lead_acid", "lifepo4"]
    capacity: measure("Ah", above=0, at_least=None, at_most=5000)
    coldest: Temperature | None = None


class Cable(Section):
    """The cable from the battery to the pump; `length` is one way."""

    length: Length
    size: measure("mm2", at_least=0.05, at_most=120) | None = None


class PowerSupply(Section):
    """Sun and electricity."""

    voltage: measure("V", at_least=3, at_most=60)
    autonomy: measure("d", at_most=30) | None = None
    panel: Panel | None = None
    controller: Controller | None = None
    battery: Battery | None = None
    cable: Cable | None = None
    loads: tuple[Load, ...] = ()


class Plants(Section):
    """Plants that take up nitrogen."""

    kind: Literal["leafy", "fruiting", "floating", "marginal"]
    area: Area


class Tap(Section):
    """What comes out of the tap (or the rain barrel) for water changes."""

    disinfectant: Literal["none", "chlorine", "chloramine", "unknown"] = "unknown"
    alkalinity: Concentration | None = None
    nitrate: Concentration | None = None


class Reading(Section):
    """One set of readings. The basis stands in the name: tan, nitrite_n and nitrate_n as N; alkalinity and hardness as CaCO3."""

    when: Words
    temperature: WaterTemperature | None = None
    ph: measure("-", at_most=14) | None = None
    tan: Nitrogen | None = None
    nitrite_n: Nitrogen | None = None
    nitrate_n: Nitrogen | None = None
    chloride: Concentration | None = None
    alkalinity: Concentration | None = None
    hardness: Concentration | None = None
    oxygen: measure("mg/L", at_most=40) | None = None
    conductivity: measure("uS/cm", at_most=1e5) | None = None


class Facts(Section):
    """The pond itself."""

    name: Words = "My pond"
    note: Words = ""
    units: Literal["metric", "us", "imperial"] = "metric"
    shape: Shape


class Pond(Section):
    """A whole pond file. `readings` run from the oldest to the newest."""

    pond: Facts
    place: Place | None = None
    fish: Fish | None = None
    filter: Filter | None = None
    pump: Pump | None = None
    plumbing: Plumbing | None = None
    power: PowerSupply | None = None
    plants: Plants | None = None
    tap: Tap | None = None
    readings: tuple[Reading, ...] = ()

    @property
    def name(self) -> str:
        return self.pond.name
