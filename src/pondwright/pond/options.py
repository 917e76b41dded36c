"""What else could be done about a dark month: each option is the same pond with one thing changed, run through the same year."""
from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from ..tables import coefficients
from ..units import Q, Quantity, show
from .costs import cost, larger_controller, together
from .model import Pond
from .offgrid import best_tilt, frozen_months, year_of
from .season import Season
from .supply import Battery, Controller

NIGHT_FLOW = 0.5  # a judgement: a thin night flow is half of the day's; by the affinity laws it takes an eighth of the power
SMALLER = 0.6  # a judgement: the next smaller pump draws about that share
MOST_VOLTS = Q(150.0, "V")  # of a controller that is only thought of: more than any panel here brings
ALL_YEAR = np.ones(12, bool)
ABOVE_FREEZING = Q(1.0, "degC")
ALONE = Q(12.0, "h/d")  # the hours of a timer that rests at night


@dataclass(frozen=True)
class Option:
    """One change, in words, what it leaves without flow (hours a year, longest gap in hours), and its price in the reader's currency."""

    words: str
    still: float
    gap: float
    price: float | None


def options(pond: Pond, flows: tuple[float, ...] = (), use: np.ndarray = ALL_YEAR) -> tuple[Option, ...]:
    """Compare what could be done, at the cautious end; the first row is the supply as it stands.

    Hours that a timer takes away are hours without flow as well: they count. `flows` are those of :func:`offgrid.flows_of`, `use` tells
    the months in which the filter works, shape (12,): another tilt is offered for their sake.
    """
    return tuple(Option(words, _still(year := year_of(changed, "low", flows)), year.longest_gap[0], price)
                 for words, changed, price in _ways(pond, flows, use))


def _still(year: Season) -> float:
    return float(len(year.running) - year.running.sum())


def _ways(pond: Pond, flows: tuple[float, ...], use: np.ndarray) -> Iterator[tuple[str, Pond, float | None]]:
    power, pump = pond.power, pond.pump
    panel, battery = power.panel, power.battery

    yield "as planned", pond, 0.0
    if battery is not None or power.controller is not None:  # a panel alone would bring the pump still more volts
        yield _more_panels(pond)
    if (tilt := best_tilt(pond, flows, use)) is not None:
        turned = panel.model_copy(update={"tilt": Q(tilt, "deg")})
        yield f"the panel at {show(turned.tilt, 'deg')}", _with_power(pond, panel=turned), cost(pond, "bracket")
    if battery is None:
        yield from _after_the_sun(pond)
    else:
        double = battery.model_copy(update={"capacity": 2 * battery.capacity})
        yield f"a battery of {show(double.capacity, 'Ah')}", _with_power(pond, battery=double), cost(pond, "battery")
        if frozen_months(pond):
            yield "the battery kept above freezing", kept_warm(pond), cost(pond, "box")
        if pump.hours_per_day > ALONE:
            yield f"a timer: {show(ALONE, 'h/d')}, around noon", _with_pump(pond, hours_per_day=ALONE), cost(pond, "timer")
    smaller = SMALLER * pump.power  # by its label
    yield f"a pump of {show(smaller, 'W')}", _with_pump(pond, power=smaller), cost(pond, "pump")
    if battery is not None and pump.hours_per_day > ALONE:  # without one there is no night flow to make thinner
        words = f"half the flow at night by a speed control ({show(_thin(pump.drawn), 'W')} on average)"
        yield words, _with_pump(pond, power=_thin(pump.power)), cost(pond, "speed_control")  # no timer does that


def _more_panels(pond: Pond) -> tuple[str, Pond, float | None]:
    """Offer one more string of panels, and the larger controller that so many may need."""
    panel = pond.power.panel
    more = panel.model_copy(update={"count": panel.count + panel.in_series})
    words, changed = f"{more.count} panels instead of {panel.count}", _with_power(pond, panel=more)
    price = cost(pond, "panel", panel.in_series)
    if (larger := larger_controller(changed.power)) is None:
        return words, changed, price
    return (f"{words}, with a controller for {show(larger.max_current, 'A')}", _with_power(changed, controller=larger),
            together(price, cost(pond, "controller")))


def _after_the_sun(pond: Pond) -> Iterator[tuple[str, Pond, float | None]]:
    """Offer a pump that hangs on the sun what turns spare volts into amperes, and a battery for a day with what charges it."""
    power, panel = pond.power, pond.power.panel
    amperes = 1.25 * panel.isc * (panel.count // panel.in_series)
    if power.controller is None or power.controller.kind != "mppt":
        turned = _with_power(pond, controller=Controller(kind="mppt", max_current=amperes, max_voltage=MOST_VOLTS))
        yield "a pump controller that turns spare volts into amperes", turned, cost(pond, "controller")
    charger = power.controller or Controller(kind="switching", max_current=amperes, max_voltage=MOST_VOLTS)
    added = 0.0 if power.controller else cost(pond, "controller")
    wanted = sum((load.power * load.hours_per_day for load in power.loads), pond.pump.drawn * pond.pump.hours_per_day)
    depth = coefficients()["lead_acid_depth"].low
    day = Q(5 * math.ceil(float((wanted * Q(1, "d") / depth / power.voltage).m_as("A*h")) / 5), "Ah")
    stored = _with_power(pond, controller=charger, battery=Battery(kind="lead_acid", capacity=day))
    yield f"a lead-acid battery of {show(day, 'Ah')}, with what charges it", stored, together(cost(pond, "battery"), added)


def kept_warm(pond: Pond) -> Pond:
    """Return the same pond with its battery in a place that stays above freezing."""
    return _with_power(pond, battery=pond.power.battery.model_copy(update={"coldest": ABOVE_FREEZING}))


def _thin(power: Quantity) -> Quantity:
    """Return the mean power of a pump that gives the full flow for half the day and a thin one for the other half."""
    return power * (1 + NIGHT_FLOW**3) / 2


def _with_power(pond: Pond, **changed) -> Pond:
    return pond.model_copy(update={"power": pond.power.model_copy(update=changed)})


def _with_pump(pond: Pond, **changed) -> Pond:
    return pond.model_copy(update={"pump": pond.pump.model_copy(update=changed)})
