"""The pump and the line that it feeds: its runs of pipe, its intake, its mouth."""

from __future__ import annotations

import itertools
from typing import Annotated

from pydantic import Field, model_validator

from ..units import Q, Quantity, QuantityError, show
from .fields import Hours, Length, Power, Section, YesNo, counts_of, measure, row_of, whole

LABEL_POINTS = 9  # of the parabola through the two numbers of a label
Bore = measure("mm", at_least=5, at_most=500)
Volts = measure("V", at_least=3, at_most=260)
Pipe = row_of("pipes", "pipe")
Fittings = counts_of("fittings", "fittings", whole(0, 200))


class CurvePoint(Section):
    """One point of a pump curve."""

    flow: measure("L/min")
    head: measure("m", at_most=200)


class Pump(Section):
    """The pump: its curve from the label or from a bucket and stopwatch, its power, its hours, the longest stop to expect.

    In place of the curve a label's two numbers may stand, `max_flow` and `max_head`; `curve` then holds points of a parabola through
    both. `supply_voltage` is what reaches the pump where that is not its `rated_voltage`.
    """

    curve: Annotated[tuple[CurvePoint, ...], Field(min_length=2)] | None = None
    max_flow: measure("L/min", at_least=0.01) | None = None
    max_head: measure("m", at_least=0.01, at_most=200) | None = None
    power: Power
    hours_per_day: Hours
    longest_stop: measure("h", at_least=0.1, at_most=720) | None = None
    rated_voltage: Volts | None = None
    supply_voltage: Volts | None = None

    @model_validator(mode="after")
    def _has_a_curve(self):
        label = (self.max_flow, self.max_head)
        if None in label if self.curve is None else label != (None, None):
            raise QuantityError("give either curve = [...], or both max_flow and max_head of the label.")
        if self.curve is None:
            object.__setattr__(self, "curve", _parabola(*label))  # a frozen section is filled once, as it is made
        return self

    @model_validator(mode="after")
    def _falls(self):
        points = [(p.flow.m_as("L/min"), p.head.m_as("m")) for p in self.curve]
        if points[-1][0] == 0:
            raise QuantityError("the pump curve ends at zero flow: list its points from zero flow to the largest flow.")
        for (q0, h0), (q1, h1) in itertools.pairwise(points):
            if q1 <= q0 or h1 > h0:
                raise QuantityError("the points of a pump curve go from small flow to large, and the head never rises along them.")
        return self

    @model_validator(mode="after")
    def _runs(self):
        if self.supply_voltage is not None and self.rated_voltage is None:
            raise QuantityError("supply_voltage says little without rated_voltage, the voltage on the pump's label.")
        if self.supply_voltage is not None and not 0.4 <= self.speed <= 1.5:
            raise QuantityError(f"a pump for {show(self.rated_voltage, 'V')} does not run on {show(self.supply_voltage, 'V')}.")
        return self

    @property
    def speed(self) -> float:
        """Return the pump's speed over that of its label, about its voltage over that of its label; 1 where nothing is said."""
        return 1.0 if self.supply_voltage is None else self.supply_voltage.m_as("V") / self.rated_voltage.m_as("V")

    @property
    def drawn(self) -> Quantity:
        """Return the power that the pump draws at the voltage that it gets: that of its label where nothing else is said."""
        from ..science.pump import affinity_power

        return self.power if self.speed == 1 else Q(affinity_power.plain(self.power.m_as("W"), self.speed), "W")


def _parabola(max_flow, max_head) -> tuple[CurvePoint, ...]:
    from ..science.pump import rated_head

    most, top = max_flow.m_as("L/min"), max_head.m_as("m")
    flows = [most * n / (LABEL_POINTS - 1) for n in range(LABEL_POINTS)]
    return tuple(CurvePoint(flow=Q(q, "L/min"), head=Q(rated_head.plain(q, most, top), "m")) for q in flows)


class Run(Section):
    """One run of pipe of one width, with its fittings in the order in which the water meets them.

    `rise` is how far its end lies above its start (minus: below it).
    """

    pipe: Pipe | None = None
    inside_diameter: Bore | None = None
    length: Length
    rise: measure("m", at_least=-50, at_most=50) | None = None
    fittings: Fittings = Field(default_factory=dict)

    @model_validator(mode="after")
    def _known(self):
        _one_bore(self)
        if self.rise is not None and abs(self.rise.m_as("m")) > self.length.m_as("m") * 1.001:
            raise QuantityError(f"a run of {show(self.length, 'm')} cannot rise or fall {show(abs(self.rise), 'm')}.")
        return self


class Intake(Section):
    """Where the water leaves the pond: height above the bottom, the widest gap of its screen, all gaps together."""

    above_bottom: measure("m", at_most=10) | None = None
    opening: measure("mm", above=0, at_least=None, at_most=200) | None = None
    area: measure("cm2", above=0, at_least=None, at_most=1e6) | None = None


class Plumbing(Section):
    """The line from the pump to the filter: one pipe, or several `runs` from the pump on.

    `lift` is from the pond's water level to the line's mouth. `mouth_under_water` is how deep the mouth lies under the vessel's water
    while the pump runs (zero: above it); `air_break` tells of an air hole in the line above that water.
    """

    pipe: Pipe | None = None
    inside_diameter: Bore | None = None
    length: Length | None = None
    lift: measure("m", at_most=50)
    fittings: Fittings = Field(default_factory=dict)
    runs: tuple[Run, ...] = ()
    mouth_under_water: measure("cm", at_most=500) | None = None
    air_break: YesNo | None = None
    intake: Intake | None = None

    @model_validator(mode="after")
    def _known(self):
        if not self.runs:
            _one_bore(self)
            if self.length is None:
                raise QuantityError("length is missing: that of the pipe from the pump to its mouth.")
            return self
        if (self.pipe, self.inside_diameter, self.length, self.fittings) != (None, None, None, {}):
            raise QuantityError("with runs, pipe, inside_diameter, length and fittings stand in each run, not beside them.")
        rises = [run.rise for run in self.runs]
        if None in rises and any(rise is not None for rise in rises):
            raise QuantityError("give rise for every run or for none.")
        if None not in rises and sum(rise.m_as("m") for rise in rises) < self.lift.m_as("m") - 0.005:
            together = Q(sum(rise.m_as("m") for rise in rises), "m")
            raise QuantityError(f"the runs rise {show(together, 'm')} together, less than the lift of {show(self.lift, 'm')}.")
        return self

    @property
    def line(self) -> tuple[Run, ...]:
        """Return the runs; a line of one pipe is one run."""
        if self.runs:
            return self.runs
        return (Run(pipe=self.pipe, inside_diameter=self.inside_diameter, length=self.length, fittings=self.fittings),)


def _one_bore(section: Run | Plumbing) -> None:
    if (section.pipe is None) == (section.inside_diameter is None):
        raise QuantityError('give either pipe = "..." (a row of the pipe table) or inside_diameter, not both.')
