"""A pond's power supply as plain numbers for a year hour by hour, and what the year then looks like at each end of the coefficients."""
from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from ..science import battery as b
from ..science import pump as u
from ..tables import coefficients
from ..units import Quantity, in_unit, unit
from . import climate as places
from .model import Pond
from .pipework import curve_of
from .results import Stage
from .season import FREEZING, SPEEDS, Mount, Season, Supply, hours_of_day, season, sun_on_panel
from .stages.power_wiring import CHARGING
from .sunlight import latitude_of
from .weather import Weather, typical_year
from .weather_file import read_weather

FAR = "The place is far from that of its weather, so the sun is taken a quarter less at the cautious end, and a fifth more at the other."
TILTS = (0.0, 15.0, 30.0, 45.0, 60.0, 75.0, 90.0)
NEARLY = 9.0  # degrees; a judgement: less changes nothing that a year shows
WORTH_TILTING = 0.05  # a judgement: a bracket is worth it from a twentieth of the hours without flow on
NOON = 12.0  # a pump on a timer runs around noon, when the sun pays for it at once


def ready(pond: Pond) -> tuple[str, ...]:
    """Name what the pond file lacks for a year hour by hour; empty if nothing."""
    power = pond.power
    if power is None:
        return ("needs [power]",)
    wishes = ((pond.pump is None, "needs [pump] with power and hours_per_day"), (power.panel is None, "needs [power.panel]"),
              (power.controller is None and power.battery is not None, "needs [power.controller]"), (pond.place is None, "needs [place]"))
    wanted = tuple(words for missing, words in wishes if missing)
    return wanted or tuple(filter(None, (places.refusal(pond.place),)))


def weather_of(pond: Pond) -> Weather:
    """Return the hours of the weather file that the place names, or of a year made from the climate table."""
    if pond.place.weather is not None:
        return read_weather(pond.place.weather)
    return typical_year(places.known(pond), float(latitude_of(pond.place).m_as("deg")))


def _plain(quantity: Quantity, unit_text: str) -> float:
    return float(in_unit(quantity, unit(unit_text)))


def mount_of(pond: Pond) -> Mount:
    """Return how the panel stands, in plain numbers."""
    panel = pond.power.panel
    horizon = tuple((_plain(b, "deg"), _plain(h, "deg")) for b, h in panel.horizon)
    share = [1.0 if panel.glazing is None else _plain(panel.glazing, "-"),
             0.0 if panel.snow_loss is None else _plain(panel.snow_loss, "-")]
    return Mount(_plain(panel.tilt, "deg"), _plain(panel.azimuth, "deg"), horizon, *share)


def sun_left(pond: Pond) -> np.ndarray:
    """Return the share of each month's light that shade, glass and snow leave, summed over the hours of the year, shape (12,)."""
    mount = mount_of(pond)
    bare = Mount(mount.tilt, mount.azimuth)
    return np.ones(12) if mount == bare else _left(weather_of(pond), mount, bare)


@functools.lru_cache(maxsize=64)
def _left(weather: Weather, mount: Mount, bare: Mount) -> np.ndarray:
    covered, free = (weather.by_month(sun_on_panel(weather, each)) for each in (mount, bare))
    return np.divide(covered, free, out=np.ones(12), where=free > 0)


@functools.cache
def _coefficient(end: str, name: str, unit_text: str = "-") -> float:
    return _plain(coefficients()[name].at(end), unit_text)


def supply_of(pond: Pond, end: str, air: tuple[float, ...], near: bool, flows: tuple[float, ...] = ()) -> tuple[Supply, float]:
    """Return the supply with every coefficient at one end ("low" is the cautious one), and the share of the typical sun that comes.

    `flows` (see :func:`flows_of`) matter to a pump without a battery only.
    """
    panel, controller, battery = pond.power.panel, pond.power.controller, pond.power.battery
    other = {"low": "high", "high": "low"}.get(end, end)
    at, worst = functools.partial(_coefficient, end), functools.partial(_coefficient, other)  # the other end is the cautious one of a load
    lead, mppt = battery is None or battery.kind == "lead_acid", controller is not None and controller.kind == "mppt"
    own, most = 0.0, np.inf  # a panel alone
    if controller is not None:
        own = worst("controller_self_use", "W") if controller.self_use is None else _plain(controller.self_use, "W")
        most = _plain(controller.max_current, "A")
    name = f"{'lead_acid' if lead else 'lithium'}_{'energy' if mppt else 'charge'}"
    coldest = None if battery is None or battery.coldest is None else _plain(battery.coldest, "degC")
    kept = tuple(air if coldest is None else (max(t, coldest) for t in air))
    factors = tuple(b.lead_acid_factor.plain(np.array(kept)) if lead else b.lithium_factor.plain(
        np.array(kept), worst("lithium_cold"), worst("lithium_frost")))
    volts = _plain(pond.power.voltage, "V")
    label = zip((panel.power, panel.voc, panel.isc, panel.vmp, panel.imp), "WVAVA", strict=True)
    supply = Supply(
        tuple(_plain(q, unit_text) for q, unit_text in label), panel.in_series, panel.count // panel.in_series, -0.0045, mppt, volts,
        volts if battery is None else CHARGING * volts, most, at("panel_clean"), at("panel_wiring"), at("mppt_efficiency") if mppt else 1.0,
        0.0 if battery is None else _plain(battery.capacity, "Ah"), at("lead_acid_depth" if lead else "lithium_depth"), at(name),
        not lead, kept, tuple(map(float, factors)), own, worst("reconnect"), () if battery is not None else flows)
    return supply, at("year_to_year") * (1.0 if near else at("place_to_place"))


def flows_of(pond: Pond, so_far: Mapping[str, Stage]) -> tuple[float, ...]:
    """Return the pump's flow at each of SPEEDS, over that at full speed: its curve against the line of the chapter on pipes, typical.

    Empty where the line is not known. A pump that cannot lift the water even at full speed gives nothing at any.
    """
    if pond.pump is None or pond.plumbing is None:
        return ()
    curve, stage = curve_of(pond.pump), so_far.get("plumbing")
    if pond.plumbing.lift >= curve[1][0]:
        return (0.0,) * len(SPEEDS)
    if stage is None or "flow" not in stage:
        return ()
    full = float(stage["flow"].typical.m_as("L/min"))
    found = u.flow_at_speed.plain(SPEEDS, *(q.m for q in curve), _plain(pond.plumbing.lift, "m"), full)
    return tuple((found / full).tolist())


def frozen_months(pond: Pond) -> tuple[int, ...]:
    """Return the months (0 for January) in which a lithium battery stands below freezing and takes no charge."""
    if pond.power.battery is None or pond.power.battery.kind != "lifepo4":
        return ()
    supply, _ = supply_of(pond, "typical", weather_of(pond).monthly_air, True)
    return tuple(month for month, celsius in enumerate(supply.temperature) if celsius < FREEZING)


def loads_of(pond: Pond) -> tuple[tuple[float, float, float], ...]:
    """Return power (W), hours a day and the hour around which they lie: the pump first, then the other loads."""
    pump = pond.pump
    rows = [(_plain(pump.drawn, "W"), _plain(pump.hours_per_day, "h/d"), NOON)]
    return (*rows, *((_plain(x.power, "W"), _plain(x.hours_per_day, "h/d"), _plain(x.around, "h")) for x in pond.power.loads))


def year_of(pond: Pond, end: str = "low", flows: tuple[float, ...] = ()) -> Season:
    """Run the pond's supply through its year, every coefficient at one end; what was worked out once is kept.

    Parameters
    ----------
    pond : Pond
        With [place], [pump] and [power] (see :func:`ready`).
    end : str
        "low" (cautious), "typical" or "high".
    flows : tuple of float
        What the pump gives at lower speeds (see :func:`flows_of`); it matters without a battery only.

    Raises
    ------
    WeatherError
        The weather file that the place names cannot serve.
    """
    weather = weather_of(pond)
    near = places.known(pond).is_near
    supply, bright = supply_of(pond, end, weather.monthly_air, near, flows)
    return _run(weather, mount_of(pond), supply, bright, loads_of(pond))


def best_tilt(pond: Pond, flows: tuple[float, ...], use: np.ndarray) -> float | None:
    """Return the tilt of TILTS (degrees) that leaves least hours without flow in the months in use, at the cautious end.

    None where none saves WORTH_TILTING of them, or only at the cost of the other months.
    """
    weather = weather_of(pond)
    near = places.known(pond).is_near
    supply, bright = supply_of(pond, "low", weather.monthly_air, near, flows)
    return _best_tilt(weather, mount_of(pond), supply, bright, loads_of(pond), tuple(use.tolist()))


@functools.lru_cache(maxsize=64)
def _best_tilt(weather: Weather, mount: Mount, supply: Supply, bright: float, loads, use: tuple[bool, ...]) -> float | None:
    def still(tilt: float) -> tuple[float, float]:
        hours = places.DAYS * (24 - _run(weather, replace(mount, tilt=tilt), supply, bright, loads).run_hours)
        return float(hours[np.array(use)].sum()), float(hours.sum())

    used, whole = still(mount.tilt)
    if used < 1:
        return None
    others = [(*still(tilt), tilt) for tilt in TILTS if abs(tilt - mount.tilt) > NEARLY]
    best = min((other for other in others if other[1] <= whole), default=None)
    return best[2] if best is not None and best[0] <= (1 - WORTH_TILTING) * used else None


@functools.lru_cache(maxsize=256)
def _run(weather: Weather, mount: Mount, supply: Supply, bright: float, loads) -> Season:
    pump, *others = (watts * hours_of_day(hours, around) for watts, hours, around in loads)
    return season(weather, bright * sun_on_panel(weather, mount), supply, pump, sum(others, np.zeros(pump.shape)))
