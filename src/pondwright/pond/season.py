"""The supply hour by hour through a typical year: sun on the panel, charge in the battery, and when the pump stands still.

Plain floats inside: units are taken off at the door (:func:`season`) and put on again by the stage that asks.
"""
from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np

from ..science import electrics as e
from ..science import pump as u
from ..science import sun
from .climate import DAYS
from .weather import CLOCK, DAY_OF_YEAR, HOURS, MONTH_OF_HOUR, Weather

AFTERNOON = 8  # hours before midnight
FREEZING = 0.0  # degC; no charging of lithium iron phosphate below
COMPASS = np.arange(0.5, 360)  # degrees; the middles of equal steps all round
OPEN = 120.0  # degrees; a judgement: what points of a horizon further apart leave out was not measured
SPEEDS = np.linspace(0, 1, 101)  # of a pump that follows the sun, over its full speed
POWER, CURRENT = 3.0, 2.0  # a pump's power goes as the third power of its speed, a direct-current motor's current as the second
TURNS = 3  # the year is run this often at most, until it ends as full or empty as it began


@dataclass(frozen=True)
class Mount:
    """How a panel stands: degrees, and what stands before it.

    `horizon` is pairs of bearing and height of what blocks the sun (see :func:`skyline`). `glazing` is the share of light that a pane
    before the panel lets through, `snow` the share lost in months that freeze on average.
    """

    tilt: float
    azimuth: float
    horizon: tuple[tuple[float, float], ...] = ()
    glazing: float = 1.0
    snow: float = 0.0


@functools.lru_cache(maxsize=64)
def sun_on_panel(weather: Weather, mount: Mount) -> np.ndarray:
    """Return the light that a panel can use in each hour, W/m2 as at right angles, shape (8760,)."""
    from pvlib import iam, irradiance
    from pvlib.solarposition import solar_azimuth_analytical, solar_zenith_analytical

    angle, axis = np.radians(weather.hour_angle), np.radians(sun.declination.plain(DAY_OF_YEAR))
    latitude = np.radians(weather.latitude)
    zenith = np.degrees(solar_zenith_analytical(latitude, angle, axis))
    bearing = np.degrees(solar_azimuth_analytical(latitude, angle, axis, np.radians(zenith))) % 360
    seen = 90 - zenith >= skyline(mount.horizon, bearing)
    height = np.maximum(np.cos(np.radians(zenith)), 0)
    way = mount.tilt, mount.azimuth, weather.sky, weather.direct, irradiance.get_extra_radiation(DAY_OF_YEAR), zenith, bearing
    sky = irradiance.haydavies(*way, return_components=True)
    flat_view, panel_view = (_view(tilt, mount) for tilt in (0.0, mount.tilt))
    ground = irradiance.get_ground_diffuse(mount.tilt, np.where(seen, weather.direct, 0.0) * height + weather.sky * flat_view)
    strike = irradiance.aoi(mount.tilt, mount.azimuth, zenith, bearing)
    through = iam.physical(strike) ** (2 if mount.glazing < 1 else 1)
    beam = weather.direct * np.maximum(np.cos(np.radians(strike)), 0) * through + sky["poa_circumsolar"]
    light = (np.where(seen, np.nan_to_num(beam), 0.0) + np.nan_to_num(sky["poa_isotropic"]) * panel_view + ground) * mount.glazing
    frozen = np.array(weather.monthly_air) < 0
    return np.where(zenith < 90, np.maximum(light, 0), 0.0) * np.where(frozen, 1 - mount.snow, 1.0)[MONTH_OF_HOUR]


def skyline(profile, bearing: np.ndarray) -> np.ndarray:
    """Return how high what hides the sun reaches at each bearing, in degrees: straight lines between the points of a horizon.

    Where its points leave more than OPEN of the compass out, nobody measured, and nothing is taken to stand there.
    """
    if not profile:
        return np.zeros(bearing.shape)
    if (gap := open_gap(profile)) is None:
        return np.interp(bearing, *(np.array(x, dtype=float) for x in zip(*sorted(profile), strict=True)), period=360)
    start = gap[1]  # clockwise from the point after the gap
    at, tops = zip(*sorted(((b - start) % 360, top) for b, top in profile), strict=True)
    return np.interp((bearing - start) % 360, at, tops, right=0.0)


def open_gap(profile) -> tuple[float, float] | None:
    """Return the bearings between which, clockwise, a horizon says nothing: its widest gap, if it is wider than OPEN."""
    at = sorted(b % 360 for b, _ in profile)
    if not at or max(b for b, _ in profile) - min(b for b, _ in profile) >= 360:  # its first bearing once more, after a full turn
        return None
    gaps = [((after - before) % 360 or 360.0, before, after) for before, after in zip(at, [*at[1:], at[0]], strict=True)]
    width, before, after = max(gaps, key=lambda gap: gap[:2])
    return (before, after) if width > OPEN else None


def _view(tilt: float, mount: Mount) -> float:
    """Return which share of the sky's light is left to a panel of a tilt behind the mount's horizon (of a sky equally bright all over)."""
    if not mount.horizon:
        return 1.0
    left = sun.sky_view.plain(tilt, mount.azimuth, COMPASS, skyline(mount.horizon, COMPASS))
    return left / sun.sky_view.plain(tilt, mount.azimuth, COMPASS, np.zeros(COMPASS.shape))


@dataclass(frozen=True)
class Supply:
    """What lies between light and pump, as plain numbers: W, V, A, Wh, shares of one. `series` panels a string, `strings` of them.

    `temperature` is the battery's through the months, shape (12,) as a tuple; `factors` says how many times larger the battery would have
    to be in that cold. A `capacity` of 0 means no battery: the pump follows the sun, and gives at each of SPEEDS the share of its full flow
    that `flows` says (as its speed, where nothing is known of its line).
    """

    panel: tuple[float, float, float, float, float]  # power, voc, isc, vmp, imp
    series: int
    strings: int
    power_per_kelvin: float
    mppt: bool
    voltage: float
    charging: float
    limit: float
    clean: float
    wiring: float
    conversion: float
    capacity: float
    depth: float
    charge_share: float
    lithium: bool
    temperature: tuple[float, ...]
    factors: tuple[float, ...]
    self_use: float
    reconnect: float
    flows: tuple[float, ...] = ()


@dataclass(frozen=True, eq=False)
class Season:
    """One year, hour by hour, arrays of shape (8760,).

    What the pump wanted and got (Wh), the share of each hour that it was to run by its timer and that it ran (by flow), the charge left in
    the battery above its allowed depth (Wh), and the share of what the other loads wanted that came. `ledger` adds the year up in Wh: what
    came in, what loads and controller took, what was spilled, lost in the battery and kept.
    """

    wanted: np.ndarray
    served: np.ndarray
    timer: np.ndarray
    running: np.ndarray
    charge: np.ndarray
    others: np.ndarray
    ledger: dict[str, float]

    @functools.cached_property
    def unpowered(self) -> np.ndarray:
        """Return the hours of each month in which the pump was wanted and stood still, shape (12,)."""
        return np.round(np.bincount(MONTH_OF_HOUR, self.timer - self.running, 12), 9)  # no trace of -1e-15

    @functools.cached_property
    def run_hours(self) -> np.ndarray:
        """Return the hours a day that the pump runs in each month, shape (12,)."""
        return np.bincount(MONTH_OF_HOUR, self.running, 12) / DAYS

    @functools.cached_property
    def longest_gap(self) -> tuple[float, int]:
        """Return the longest run of hours in which the pump stands still (through New Year as well), and the hour of the year it starts."""
        return longest_run(self._still)

    @functools.cached_property
    def gaps(self) -> np.ndarray:
        """Return the longest stop of each month (h), shape (12,): one that begins in it, or the hours in it of one that began before."""
        found = np.zeros(12)
        for start, length in runs(self._still):
            inside = np.bincount(MONTH_OF_HOUR[(start + np.arange(length)) % HOURS], minlength=12).astype(float)
            inside[MONTH_OF_HOUR[start]] = length
            found = np.maximum(found, inside)
        return found

    @property
    def _still(self) -> np.ndarray:
        """Tell the hours of which the pump runs less than half of what its timer asks, or nothing is asked."""
        return (self.running < 0.5 * self.timer) | (self.timer <= 0)


def runs(still: np.ndarray) -> list[tuple[int, int]]:
    """List every run of True in a circular year as (start, length)."""
    if still.all():
        return [(0, len(still))]
    first = int(np.argmin(still))  # an hour that is False: turn the year so that no run crosses its end
    turned = np.roll(still, -first).astype(np.int8)
    edges = np.diff(turned, prepend=0, append=0)
    starts, ends = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1)
    return [((int(a) + first) % len(still), int(b - a)) for a, b in zip(starts, ends, strict=True)]


def longest_run(still: np.ndarray) -> tuple[float, int]:
    """Return length and start of the longest run of True in a circular year; (0, 0) without any."""
    found = runs(still)
    if not found:
        return 0.0, 0
    start, length = max(found, key=lambda run: run[1])
    return float(length), start


def energy_in(weather: Weather, light: np.ndarray, supply: Supply) -> np.ndarray:
    """Return the energy that reaches battery and loads in each hour (Wh), before the battery's own loss, shape (8760,).

    An MPPT controller turns the panel's watts, less the heat of the cells; a switching one holds the panel at the battery's charging
    voltage, so that only its amperes count. Both fall away where warm cells no longer work at that voltage: what a panel gives between
    Vmp and Voc falls in a straight line, which is a little less than it does.
    """
    power, voc, _, vmp, imp = supply.panel
    share = light / 1000 * supply.clean * supply.wiring
    cell = e.cell_temperature.plain(weather.air, np.minimum(light, 1500))
    if supply.mppt:
        watts = power * supply.series * supply.strings * share * np.maximum(1 + supply.power_per_kelvin * (cell - 25), 0)
        watts = watts * _reaches(supply, vmp, voc, cell) * supply.conversion
        return np.minimum(watts, supply.limit * supply.charging)
    amperes = imp * supply.strings * share * _reaches(supply, vmp, voc, cell)
    return np.minimum(amperes, supply.limit) * supply.voltage


def _reaches(supply: Supply, vmp: float, voc: float, cell: np.ndarray) -> np.ndarray:
    """Tell how well cells of a temperature reach the charging voltage: 1 up to Vmp, falling to 0 at Voc."""
    volts, top = (label * supply.series * (1 + supply.power_per_kelvin * (cell - 25)) for label in (vmp, voc))
    return np.clip((top - supply.charging) / np.maximum(top - volts, 1e-6), 0, 1)


def season(weather: Weather, light: np.ndarray, supply: Supply, pump: np.ndarray, others: np.ndarray) -> Season:
    """Run a supply through a year.

    Parameters
    ----------
    weather : Weather
        The year.
    light : array, shape (8760,)
        From :func:`sun_on_panel`, W/m2.
    supply : Supply
        Panel, controller and battery.
    pump, others : array, shape (8760,)
        Energy that the pump and the other loads want in each hour, Wh.

    Returns
    -------
    Season
        The pump and the other loads hang on one switch: the controller takes all of them off an empty battery, and puts them on again
        when it has refilled by the share `reconnect`.
    """
    arriving = energy_in(weather, light, supply)
    if supply.capacity <= 0:
        return _follows_the_sun(arriving, pump, others, supply)
    factor = np.array(supply.factors)
    usable = (supply.capacity * supply.voltage * supply.depth / factor)[MONTH_OF_HOUR]
    charges = ~(supply.lithium & (np.array(supply.temperature) < FREEZING))[MONTH_OF_HOUR]
    wanted = pump + others
    first = _fullest(arriving - wanted)
    hours = [np.roll(values, -first).tolist() for values in (arriving, wanted, usable, charges)]
    state, start = (hours[2][0], True), None
    for _ in range(TURNS):
        start = state
        state, served, charge, flows = _year(*hours, supply, *start)
        if state[1] == start[1] and abs(state[0] - start[0]) < 1e-6 * max(hours[2]):
            break
    served, charge = (np.roll(values, first) for values in (served, charge))
    share = np.divide(served, wanted, out=np.zeros(HOURS), where=wanted > 0)
    ledger = flows | {"came in": float(arriving.sum()), "served": float(served.sum()), "kept": state[0] - start[0]}
    timer = _timer(pump)
    return Season(pump, share * pump, timer, share * timer, charge, share, ledger)


def _timer(pump: np.ndarray) -> np.ndarray:
    """Return the share of each hour that the pump is to run: its energy in that hour against that of a whole one."""
    return pump / max(float(pump.max()), 1e-12)


def _fullest(spare: np.ndarray) -> int:
    """Return an afternoon hour at the end of the month with the most sun to spare: a battery is full then, if ever."""
    monthly = np.bincount(MONTH_OF_HOUR, spare, 12)
    return int(np.sum(DAYS[: monthly.argmax() + 1]) * 24) - AFTERNOON


def _year(arriving, wanted, usable, charges, supply, level, on):
    """Step through the year; the level is what may still be taken, 0 at the depth of discharge that is allowed."""
    served, charge, keep, own = [], [], supply.charge_share, supply.self_use
    spilled = lost = used = cut = 0.0
    for came, want, room, may_charge in zip(arriving, wanted, usable, charges, strict=True):
        if level > room:  # the cold takes part of it away
            cut += level - room
            level = room
        if not on and level >= supply.reconnect * room:
            on = True
        asked = want if on else 0.0
        give = min(came, asked + own)
        surplus, short = came - give, asked + own - give
        if surplus > 0:
            stored = min(surplus * keep, room - level) if may_charge else 0.0
            level += stored
            lost += stored / keep - stored
            spilled += surplus - stored / keep
        taken = min(short, level)
        level -= taken
        got = give + taken
        self_part = min(own, got)
        used += self_part
        served.append(got - self_part)
        if taken < short - 1e-9:
            on = False
        charge.append(level)
    return (level, on), served, charge, {"spilled": spilled, "lost in the battery": lost, "controller": used, "lost to cold": cut}


def _follows_the_sun(arriving: np.ndarray, pump: np.ndarray, others: np.ndarray, supply: Supply) -> Season:
    """Run without a battery: each hour's sun or nothing, the speed by the affinity laws, the flow by what the pump lifts at that speed.

    A maximum-power controller turns spare volts into amperes: the pump's power counts. Straight from the panel only the amperes do.
    """
    left = np.maximum(arriving - supply.self_use - others, 0)
    share = np.clip(left / max(float(pump.max()), 1e-12), 0, 1)
    speed, timer = u.affinity_speed.plain(share, POWER if supply.mppt else CURRENT), _timer(pump)
    running = timer * (np.interp(speed, SPEEDS, supply.flows) if supply.flows else speed)
    served, came, own = pump * speed**3, float(arriving.sum()), float(np.minimum(arriving, supply.self_use).sum())
    fed = np.minimum(np.maximum(arriving - supply.self_use, 0), others)
    rest = float(fed.sum() + served.sum())
    ledger = {"came in": came, "served": rest, "controller": own, "lost in the battery": 0.0, "lost to cold": 0.0, "kept": 0.0,
              "spilled": came - rest - own}
    return Season(pump, served, timer, running, np.zeros(HOURS), np.divide(fed, others, out=np.zeros(HOURS), where=others > 0), ledger)


def hours_of_day(hours: float, middle: float) -> np.ndarray:
    """Return the share of each hour of the year that a timer has a load on: so many hours around a time of day, shape (8760,)."""
    away = np.abs((CLOCK - middle + 12) % 24 - 12)
    return np.clip(hours / 2 - away + 0.5, 0, 1)
