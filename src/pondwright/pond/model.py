"""What a pond file may hold: one class a section, every quantity checked as it is read.

Only the pond's shape is needed. A section that is missing makes its stage of the plan say "not planned yet"; nothing is filled in.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, Field, model_validator

from ..units import QuantityError, show
from .fields import (
    Alkalinity,
    Area,
    Chloride,
    Hardness,
    Name,
    Nitrogen,
    Section,
    Temperature,
    WaterTemperature,
    Words,
    YesNo,
    measure,
    row_of,
    whole,
)  # fmt: skip
from .line import CurvePoint, Intake, Plumbing, Pump, Run  # noqa: F401  (the sections of a pond file are all found here)
from .moments import in_order, moment
from .shapes import Shape
from .supply import PowerSupply
from .vessel import Vessel


class Place(Section):
    """Where the pond is. `climate` names a row of the climate table; without it the nearest to latitude and longitude is used.

    A named climate lends its clouds and its air, however far away; the sun is that of the latitude, where it is given.
    `weather` names a file of hourly weather beside the pond file (EPW, TMY3, PVGIS, NASA POWER); it then replaces the table.
    `ice_thickness` is how thick the ice on ponds grows there in a hard winter.
    """

    climate: row_of("climates", "climate") | None = None
    latitude: measure("deg", at_least=-90, at_most=90) | None = None
    longitude: measure("deg", at_least=-180, at_most=180) | None = None
    elevation: measure("m", at_least=-450, at_most=6000) | None = None
    record_cold: Temperature | None = None
    water_temperature: Annotated[tuple[WaterTemperature, ...], Field(min_length=12, max_length=12)] | None = None
    ice_thickness: measure("m", at_most=10) | None = None
    weather: Words | None = None

    @model_validator(mode="after")
    def _findable(self):
        if self.climate is None and self.weather is None and (self.latitude is None or self.longitude is None):
            raise QuantityError('a place needs climate = "..." (a place of the climate table), weather = "..." or latitude and longitude.')
        return self


class FishGroup(Section):
    """Some fish of about one length."""

    count: whole(1, 100_000)
    length: measure("cm", at_least=1, at_most=150)
    adult_length: measure("cm", at_least=1, at_most=150) | None = None

    @model_validator(mode="after")
    def _grows(self):
        if self.adult_length is not None and self.adult_length.m_as("cm") < self.length.m_as("cm"):
            raise QuantityError(
                f"adult_length ({show(self.adult_length, 'cm')}) is less than length, what the fish measure now "
                f"({show(self.length, 'cm')}): were they swapped?"
            )
        return self


class Fish(Section):
    """What swims in the pond, and what it is fed."""

    species: Literal["koi", "goldfish", "common carp", "other"] = "other"
    groups: Annotated[tuple[FishGroup, ...], Field(min_length=1)]
    diet_protein: measure("%", at_least=5, at_most=70) | None = None
    feed: measure("g/d", at_most=1e6) | None = None
    stop_feeding_below: WaterTemperature | None = None


FilterVolume = measure("L", at_least=0.5, at_most=1e7)  # less is a slip of the pen, such as 0.12 L for 0.12 m3


class Filter(Section):
    """The biofilter: a container, its media, and how the water meets it."""

    container: FilterVolume
    plan_area: Area | None = None
    media: row_of("media", "media")
    media_volume: FilterVolume
    operation: Literal["trickling", "submerged"]
    solids_filter: YesNo = False

    @model_validator(mode="after")
    def _fits(self):
        if self.media_volume.m_as("L") > self.container.m_as("L"):
            raise QuantityError("media_volume is more than the container holds.")
        return self


class Plants(Section):
    """Plants that take up nitrogen."""

    kind: Literal["leafy", "fruiting", "floating", "marginal"]
    area: Area


class Tap(Section):
    """What comes out of the tap (or the rain barrel) for water changes; alkalinity and hardness as CaCO3, nitrate_n as N."""

    disinfectant: Literal["none", "chlorine", "chloramine", "unknown"] = "unknown"
    alkalinity: Alkalinity | None = None
    hardness: Hardness | None = None
    calcium_hardness: Hardness | None = None
    nitrate_n: Nitrogen | None = None


def _dated(text: str) -> str:
    moment(text)
    return text


class Reading(Section):
    """One set of readings. The basis stands in the name: tan, nitrite_n and nitrate_n as N; alkalinity and hardness as CaCO3.

    `hardness` counts calcium and magnesium, `calcium_hardness` calcium alone.
    """

    when: Annotated[Words, AfterValidator(_dated)]
    temperature: WaterTemperature | None = None
    ph: measure("-", at_most=14) | None = None
    tan: Nitrogen | None = None
    nitrite_n: Nitrogen | None = None
    nitrate_n: Nitrogen | None = None
    chloride: Chloride | None = None
    alkalinity: Alkalinity | None = None
    hardness: Hardness | None = None
    calcium_hardness: Hardness | None = None
    oxygen: measure("mg/L", at_most=40) | None = None
    conductivity: measure("uS/cm", at_most=1e5) | None = None


class Facts(Section):
    """The pond itself."""

    name: Name = "My pond"
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

    @model_validator(mode="after")
    def _mouth_in_the_vessel(self):
        mouth, vessel = self.plumbing.mouth_under_water if self.plumbing else None, self.vessel
        if mouth is not None and vessel is not None and mouth.m_as("cm") > vessel.height.m_as("cm"):
            high = show(vessel.height, "cm")
            raise QuantityError(f"plumbing.mouth_under_water is {show(mouth, 'cm')}, but the vessel is only {high} high.")
        return self

    @property
    def name(self) -> str:
        return self.pond.name
