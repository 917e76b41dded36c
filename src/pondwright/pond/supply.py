"""The power supply as the pond file describes it: loads, panel, controller, battery, cable, and what things cost."""

from __future__ import annotations

import math
from typing import Annotated, Literal

from pydantic import Field, model_validator

from ..science.light import lamp_energy
from ..units import Quantity, QuantityError, show
from .fields import Area, Hours, Length, Power, Section, Share, Temperature, Words, measure, whole

Angle = measure("deg", at_most=360)
Price = Annotated[float | None, Field(strict=True, ge=0, le=1e9, allow_inf_nan=False)]

Clock = measure("h", at_most=24)


class Load(Section):
    """One electrical load besides the pump; it runs around the hour `around` of the day, in the evening if the file does not say.

    A grow lamp may be written by its `light`, the moles that the plants on its `area` shall get from it in a day, with its `efficacy`: then
    one of power and hours a day may be left out, and follows from the other.
    """

    name: Words
    power: Power | None = None
    hours_per_day: Hours | None = None
    around: Clock = Quantity(19.0, "h")
    light: measure("mol/m2/d", above=0, at_least=None, at_most=100) | None = None
    area: Area | None = None
    efficacy: measure("umol/J", at_least=0.05, at_most=6) | None = None

    @model_validator(mode="after")
    def _lamp(self):
        lamp, known = (self.light, self.area, self.efficacy), (self.power, self.hours_per_day)
        if None in lamp:
            if lamp != (None, None, None):
                raise QuantityError("a lamp by its light needs all three of light, area and efficacy.")
            if None in known:
                raise QuantityError("a load needs power and hours_per_day; a grow lamp may have light, area and efficacy for one of them.")
            return self
        if known == (None, None):
            raise QuantityError("a lamp by its light needs its power, or its hours_per_day, as well.")
        if self.hours_per_day is not None and self.hours_per_day.m <= 0:
            raise QuantityError("a lamp that gives light must burn for longer than 0 hours a day.")
        energy = lamp_energy(*lamp)
        if self.hours_per_day is None:
            hours = (energy / self.power).to("h/d")
            if hours.m > 24:
                raise QuantityError(f"so much light takes {show(energy, 'Wh/d')}; a lamp of {show(self.power, 'W')} would have to burn for "
                                    f"{show(hours, 'h/d')}. Take more power, or less light.")
            self.__dict__["hours_per_day"] = hours
        elif self.power is None:
            self.__dict__["power"] = (energy / self.hours_per_day).to("W")
        elif not math.isclose((self.power * self.hours_per_day / energy).m_as(""), 1, rel_tol=0.01):
            raise QuantityError(f"so much light takes {show(energy, 'Wh/d')}, and power times hours_per_day is "
                                f"{show(self.power * self.hours_per_day, 'Wh/d')}: leave one of the two out.")
        return self


class Panel(Section):
    """The solar panel, by its label, and what stands between it and the sun.

    `horizon` lists bearing (0 north, 90 east, 180 south) and height of what hides the sun, in degrees; between its points the height runs
    in a straight line, and nothing stands in a gap wider than 120 degrees. `glazing` is the light that a pane before the panel lets
    through, `snow_loss` what is lost in freezing months.
    """

    power: Power
    voc: measure("V", at_least=1, at_most=200)
    isc: measure("A", at_least=0.01, at_most=50)
    vmp: measure("V", at_least=1, at_most=200)
    imp: measure("A", at_least=0.01, at_most=50)
    count: whole(1, 50) = 1
    in_series: whole(1, 20) = 1
    tilt: measure("deg", at_most=90)
    azimuth: measure("deg", at_most=360)
    horizon: tuple[Annotated[tuple[Angle, ...], Field(min_length=2, max_length=2)], ...] = ()
    glazing: measure("%", above=0, at_least=None, at_most=100) | None = None
    snow_loss: Share | None = None

    @model_validator(mode="after")
    def _label(self):
        if self.vmp.m_as("V") >= self.voc.m_as("V") or self.imp.m_as("A") > self.isc.m_as("A"):
            raise QuantityError("on a panel's label Vmp is below Voc and Imp at most Isc: were they swapped?")
        if self.count % self.in_series:
            raise QuantityError("count must be a multiple of in_series: every string has the same number of panels.")
        if len(self.horizon) == 1:
            raise QuantityError("a horizon needs two points or more: one alone has no width.")
        if any(point[1].m_as("deg") > 90 for point in self.horizon):
            raise QuantityError('each point of horizon is [bearing, height]; a height is at most 90 deg: ["180 deg", "12 deg"].')
        return self


class Controller(Section):
    """The charge controller: "switching" (PWM: the panel is held at battery voltage) or "mppt". `self_use` is what it draws itself."""

    kind: Literal["switching", "mppt"]
    max_current: measure("A", above=0, at_least=None, at_most=200)
    max_voltage: measure("V", above=0, at_least=None, at_most=600)
    self_use: measure("W", at_most=50) | None = None


class Battery(Section):
    """The battery at the system voltage."""

    kind: Literal["lead_acid", "lifepo4"]
    capacity: measure("Ah", above=0, at_least=None, at_most=5000)
    coldest: Temperature | None = None


class Cable(Section):
    """The cables, each `length` one way: that to the pump with its size, from panels to controller, and from there to the battery."""

    length: Length
    size: measure("mm2", at_least=0.05, at_most=120) | None = None
    panel_length: Length | None = None
    battery_length: Length | None = None


class Prices(Section):
    """What things cost where the reader lives: plain numbers in their currency, each for one of what the file names.

    `controller` is one for more current or of another kind, `speed_control` what slows the pump at night, `box` an insulated and vented
    one for the battery.
    """

    currency: Annotated[str, Field(max_length=12)] = ""
    panel: Price = None
    controller: Price = None
    battery: Price = None
    box: Price = None
    pump: Price = None
    timer: Price = None
    speed_control: Price = None
    bracket: Price = None


class PowerSupply(Section):
    """Sun and electricity."""

    voltage: measure("V", at_least=3, at_most=60)
    autonomy: measure("d", at_most=30) | None = None
    panel: Panel | None = None
    controller: Controller | None = None
    battery: Battery | None = None
    cable: Cable | None = None
    loads: tuple[Load, ...] = ()
    prices: Prices | None = None
