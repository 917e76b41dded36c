"""What a pond file may hold: one class a section, every quantity checked as it is read.

Only the pond's shape is needed. A section that is missing makes its stage of the plan say "not planned yet"; nothing is filled in.
"""

from __future__ import annotations

import itertools
from typing import Annotated, Literal

from pydantic import AfterValidator, Field, model_validator

from ..units import QuantityError
from .fields import (
    Area,
    Concentration,
    Hours,
    Length,
    Nitrogen,
    Power,
    Section,
    Temperature,
    Volume,
    WaterTemperature,
    Words,
    measure,
)  # fmt: skip
from .moments import in_order, moment
from .shapes import Shape
from .vessel import Vessel


class Place(Section):
    """Where the pond is. `climate` names a row of the climate table; without it the nearest to latitude and longitude is used.

    `ice_thickness` is how thick the ice on ponds grows there in a hard winter.
    """

    climate: str | None = None
    latitude: measure("deg", at_least=-90, at_most=90) | None = None
    longitude: measure("deg", at_least=-180, at_most=180) | None = None
    elevation: measure("m", at_least=-450, at_most=6000) | None = None
    record_cold: Temperature | None = None
    water_temperature: Annotated[tuple[WaterTemperature, ...], Field(min_length=12, max_length=12)] | None = None
    ice_thickness: measure("m", at_most=10) | None = None

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
    """What comes out of the tap (or the rain barrel) for water changes; alkalinity as CaCO3, nitrate_n as N."""

    disinfectant: Literal["none", "chlorine", "chloramine", "unknown"] = "unknown"
    alkalinity: Concentration | None = None
    nitrate_n: Nitrogen | None = None


def _dated(text: str) -> str:
    moment(text)
    return text


class Reading(Section):
    """One set of readings. The basis stands in the name: tan, nitrite_n and nitrate_n as N; alkalinity and hardness as CaCO3."""

    when: Annotated[Words, AfterValidator(_dated)]
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
    """A whole pond file. `readings` are put in order by their dates: the oldest first, whatever their order in the file."""

    pond: Facts
    place: Place | None = None
    fish: Fish | None = None
    filter: Filter | None = None
    vessel: Vessel | None = None
    pump: Pump | None = None
    plumbing: Plumbing | None = None
    power: PowerSupply | None = None
    plants: Plants | None = None
    tap: Tap | None = None
    readings: Annotated[tuple[Reading, ...], AfterValidator(in_order)] = ()

    @property
    def name(self) -> str:
        return self.pond.name
