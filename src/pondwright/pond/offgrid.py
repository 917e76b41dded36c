"""A pond's power supply as plain numbers for a year hour by hour, and what the year then looks like at each end of the coefficients."""
from __future__ import annotations

import functools

import numpy as np

from ..science import battery as b
from ..tables import coefficients
from . import climate as places
from .model import Pond
from .season import Mount, Season, Supply, hours_of_day, season, sun_on_panel
from .stages.power_wiring import CHARGING
from .sunlight import latitude_of
from .weather import Weather, read_weather, typical_year

NOON = 12.0  # a pump on a timer runs around noon, when the sun pays for it at once


def ready(pond: Pond) -> tuple[str, ...]:
    """Name what the pond file lacks for a year hour by hour; empty if nothing."""
    power = pond.power
    if power is None:
        return ("needs [power]",)
    wishes = ((pond.pump is None, "needs [pump] with power and hours_per_day"), (power.panel is None, "needs [power.panel]"),
              (power.controller is None, "needs [power.controller]"), (pond.place is None, "needs [place]"))
    wanted = tuple(words for missing, words in wishes if missing)
    return wanted or tuple(filter(None, (places.refusal(pond.place),)))


def weather_of(pond: Pond) -> Weather:
    """Return the hours of the weather file that the place names, or of a year made from the climate table."""
    if pond.place.weather is not None:
        return read_weather(pond.place.weather)
    return typical_year(places.known(pond), float(latitude_of(pond.place).m_as("deg")))


def mount_of(pond: Pond) -> Mount:
    """Return how the panel stands, in plain numbers."""
    panel = pond.power.panel
    horizon = tuple((float(b.m_as("deg")), float(h.m_as("deg"))) for b, h in panel.horizon)
    share = [1.0 if panel.glazing is None else float(panel.glazing.m_as("dimensionless")),
             0.0 if panel.snow_loss is None else float(panel.snow_loss.m_as("dimensionless"))]
    return Mount(float(panel.tilt.m_as("deg")), float(panel.azimuth.m_as("deg")), horizon, *share)


def supply_of(pond: Pond, end: str, air: tuple[float, ...], near: bool) -> tuple[Supply, float]:
    """Return the supply with every coefficient at one end ("low" is the cautious one), and the share of the typical sun that comes."""
    power, known = pond.power, coefficients()
    panel, controller, battery = power.panel, power.controller, power.battery

    def at(name: str, side: str = end) -> float:
        return float(known[name].at(side).m_as("dimensionless"))

    other = {"low": "high", "high": "low"}.get(end, end)
    own = known["controller_self_use"].at(other) if controller.self_use is None else controller.self_use
    lead, mppt = battery is None or battery.kind == "lead_acid", controller.kind == "mppt"
    name = f"{'lead_acid' if lead else 'lithium'}_{'energy' if mppt else 'charge'}"
    coldest = None if battery is None or battery.coldest is None else float(battery.coldest.m_as("degC"))
    kept = tuple(air if coldest is None else (max(t, coldest) for t in air))
    factors = tuple(b.lead_acid_factor.plain(np.array(kept)) if lead else b.lithium_factor.plain(
        np.array(kept), known["lithium_cold"].at(other).magnitude, known["lithium_frost"].at(other).magnitude))
    volts = float(power.voltage.m_as("V"))
    label = zip((panel.power, panel.voc, panel.isc, panel.vmp, panel.imp), "WVAVA", strict=True)
    supply = Supply(
        tuple(float(q.m_as(u)) for q, u in label), panel.in_series, panel.count // panel.in_series, -0.0045, mppt, volts, CHARGING * volts,
        float(controller.max_current.m_as("A")), at("panel_clean"), at("panel_wiring"), at("mppt_efficiency") if mppt else 1.0,
        0.0 if battery is None else float(battery.capacity.m_as("A*h")), at("lead_acid_depth" if lead else "lithium_depth"), at(name),
        not lead, kept, tuple(map(float, factors)), float(own.m_as("W")), at("reconnect", other))
    return supply, at("year_to_year") * (1.0 if near else at("place_to_place"))


def loads_of(pond: Pond) -> tuple[tuple[float, float, float], ...]:
    """Return power (W), hours a day and the hour around which they lie: the pump first, then the other loads."""
    pump = pond.pump
    rows = [(float(pump.power.m_as("W")), float(pump.hours_per_day.m_as("h/d")), NOON)]
    return (*rows, *((float(x.power.m_as("W")), float(x.hours_per_day.m_as("h/d")), float(x.around.m_as("h"))) for x in pond.power.loads))


def year_of(pond: Pond, end: str = "low") -> Season:
    """Run the pond's supply through its year, every coefficient at one end; what was worked out once is kept.

    Parameters
    ----------
    pond : Pond
        With [place], [pump] and [power] (see :func:`ready`).
    end : str
        "low" (cautious), "typical" or "high".

    Raises
    ------
    WeatherError
        The weather file that the place names cannot serve.
    """
    weather = weather_of(pond)
    near = pond.place.weather is not None or places.known(pond).is_near
    air = tuple(weather.by_month(weather.air).tolist())
    supply, bright = supply_of(pond, end, air, near)
    return _run(weather, mount_of(pond), supply, bright, loads_of(pond))


@functools.lru_cache(maxsize=256)
def _run(weather: Weather, mount: Mount, supply: Supply, bright: float, loads) -> Season:
    pump, *others = (watts * hours_of_day(hours, around) for watts, hours, around in loads)
    return season(weather, bright * sun_on_panel(weather, mount), supply, pump, sum(others, np.zeros(pump.shape)))
