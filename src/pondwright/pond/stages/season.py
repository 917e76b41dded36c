"""The supply through the short days: how long the pump really runs in each month, hour by hour, the longest gap, and what would mend it."""
from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from ...science import pump as u
from ...tables import Coefficient
from ...units import Q, Quantity, show
from ..climate import DAYS, MONTH_NAMES, MONTHS
from ..climate import known as climate_of
from ..costs import money
from ..model import Pond
from ..night import KEEP_WARM, in_use, stops
from ..offgrid import FAR, flows_of, frozen_months, mount_of, ready, weather_of, year_of
from ..options import Option, kept_warm, options
from ..results import Assumption, End, Finding, Grid, Number, Stage, Urgency, by_key, number
from ..results import months as by_month
from ..season import MONTH_OF_HOUR, SPEEDS, Season, hours_of_day, open_gap, sun_on_panel
from ..weather import WeatherError

KEY, TITLE = "season", "Power through the year"
COMPARED = "What else could be done, at the cautious end"
ENDS = ("low", "typical", "high")
_CASE = Coefficient("case", "losses, battery and a dull year together", Q(0.0, "-"), Q(1.0, "-"), Q(2.0, "-"), "-",
                    ("Judgement", "Practice", "PVWatts5"), True, "")
# Made from monthly means against the hours of 13 places (10 to 57 degrees from the equator), 1638 supplies (source MeansAgainstHours):
USUAL, LARGEST = 7, 19  # percentage points of a month by which the pump's hours differ: in 19 of 20 months, and at most
SHORTER, LONGER = 0.5, 1.5  # the real longest stop over the made one, in nine of ten cases
MADE_GAP = (f"its dull days are made from monthly means: by hourly weather files of the same places the stop was {SHORTER} to {LONGER} "
            "times as long in nine of ten cases")
FROZEN = ("A lithium iron phosphate battery below freezing takes no charge, however much sun there is. Yours is taken to be as cold as the "
          "month's mean air, or as power.battery.coldest where that is warmer: no charge in {}.")
CAUTIOUS = "The cautious end is a dull year, dirty panels{} poor cables{} together; the typical has each at its middle."
TAKEN_OFF = "The controller takes all loads off an empty battery, and lets them on again when some charge has come back."
FOLLOWS = "There is no battery: the pump runs as the sun shines, and stands still at night."
BY_POWER = ("The controller is taken to turn the panel's watts into the pump's volts without one. Many charge controllers need a battery: "
            "see its manual. The pump's speed goes as the cube root of its watts.")
BY_CURRENT = ("Straight from the panel only the amperes count, which follow the light; the pump's speed goes as their square root. What it "
              "takes to start is left out, and so are controllers that need a battery.")
ONLY_ABOVE = ("The water must be lifted by {}. Below {} of its full speed the pump moves none; above it, as much as its curve at that "
              "speed and the line allow.")
NO_LINE = ("The file does not say how high the water is lifted, so the flow is taken to go with the speed. That promises too much: a pump "
           "that turns slowly lifts nothing. Fill in [plumbing].")
BY_FLOW = "Hours are counted by flow, so two hours at half the full flow are one; a stop is a time with less than half of it."
CAUTIONS = (
    "Before you add a panel or a larger battery, go through cables, fuses and controller again: what was right for the old ones may be too "
    "thin or too weak for the new. Cover the panel and take the battery's fuse out while you work; the electrical code of your place and a "
    "licensed person come first.",
    "Never climb on a roof, a wet ladder or the ice to clear snow or leaves off a panel: a soft broom on a long handle, from firm ground.",
)
WORTH_NAMING = 24.0  # h in a year; a judgement: less than a day without flow needs no change
TOO_HIGH = 1.15  # of the pump's volts; common practice: a battery under charge brings as much
NOTABLE = 0.05  # h/d; a judgement: hours that differ by less are the same
WORTH_IT = 0.9  # a judgement: an option is named where it takes a tenth of the still hours away


def plan(pond: Pond, so_far: Mapping[str, Stage]) -> Stage:
    """Run the supply through a year and compare what else could be done."""
    stage = through_the_year(pond, so_far)
    if not stage.planned:
        return stage
    found = options(pond, flows_of(pond, so_far), in_use(so_far))
    return replace(stage, grids=(*stage.grids, _compared(pond, found)), series=stage.series | _warm(pond, stage))


def _warm(pond: Pond, stage: Stage) -> dict[str, Quantity]:
    """Give the longest gap of each month if the battery were kept warm where it freezes; nothing where it never does."""
    if not (frozen := frozen_months(pond)):
        return {}
    return {"gap_warm": by_month(np.where(np.isin(np.arange(12), frozen), year_of(kept_warm(pond)).gaps, stage.series["gap"].m), "h")}


def through_the_year(pond: Pond, so_far: Mapping[str, Stage], *, bright: bool = True) -> Stage:
    """Run the supply through a year; without a panel, a pump and a place nothing is planned.

    `bright` False leaves the favourable year out, for a lab that does not show it: the typical one then stands for it.
    """
    try:
        if missing := ready(pond):
            return Stage(KEY, TITLE, missing=missing)
        flows = flows_of(pond, so_far)
        weather, years = weather_of(pond), {end: year_of(pond, end, flows) for end in (ENDS if bright else ENDS[:2])}
        years.setdefault("high", years["typical"])
    except WeatherError as error:
        return Stage(KEY, TITLE, missing=(f"needs another weather file: {error}",))
    use = in_use(so_far)
    worst = int(np.where(use, years["low"].run_hours, np.inf).argmin())
    light = weather.by_month(sun_on_panel(weather, mount_of(pond))) * 24 / 1000
    series = {
        "sun": by_month(light, "kWh/m2/d"),
        "pump_hours": by_month(years["low"].run_hours, "h/d"), "pump_hours_typical": by_month(years["typical"].run_hours, "h/d"),
        "gap": by_month(years["low"].gaps, "h"), "gap_typical": by_month(years["typical"].gaps, "h"),
        "unpowered": by_month(years["low"].unpowered, "h"), "charge": by_month(_lowest_charge(weather, years["low"]), "Wh"),
        "day_hours": Q(_by_day(years["low"].running, np.sum), "h/d"), "day_charge": Q(_by_day(years["low"].charge, np.min), "Wh"),
    }  # the last two of shape (365,): the hours of each day that the pump runs, and its lowest charge, at the cautious end
    facts = {"worst_month": MONTH_NAMES[worst], "weather": weather.name, "gap_starts": _date(years["low"].longest_gap[1]),
             "made": "yes" if weather.solar_clock else "no",
             "frozen": ", ".join(MONTHS[month] for month in frozen_months(pond)) or "none"}
    grids = _by_month(years, use), *_others(pond, years), _ledger(years["typical"])
    assumptions = (*_assumptions(pond, weather, so_far), *_one_sun(light, so_far))
    numbers = by_key(*_numbers(years, use, worst, so_far, weather.solar_clock), *_in_full_sun(pond))
    return Stage(KEY, TITLE, numbers, series, facts, grids, assumptions, CAUTIONS, sources=("HayDavies1980",))


def _numbers(years: Mapping[str, Season], use: np.ndarray, worst: int, so_far: Mapping[str, Stage], made: bool) -> list[Number]:
    def of(pick):
        return {"compute": lambda case: pick(years[ENDS[round(case.m)]]), "decides": True, "case": End(_CASE, "low")}

    alike = np.ptp(years["low"].run_hours[use]) < NOTABLE
    when = "each month in use" if alike else f"{MONTH_NAMES[worst]}, its weakest month in use"
    return [
        number("run_hours", f"Hours a day that the pump runs in {when}", "h/d", note=_mean_day(years["low"], worst, so_far),
               **of(lambda year: Q(float(year.run_hours[worst]), "h/d"))),
        number("unpowered", "Hours of the year in which the pump is wanted and stands still", "h",
               **of(lambda year: Q(float(year.unpowered.sum()), "h"))),
        number("gap", "Longest time that the pump stands still at one stretch", "h", note=MADE_GAP if made else "",
               **of(lambda year: Q(year.longest_gap[0], "h"))),
    ]


def _in_full_sun(pond: Pond) -> list[Number]:
    """Give the volts that a panel brings to a pump that hangs on it alone: as far as its amperes turn it, and no more than it works at."""
    power, pump = pond.power, pond.pump
    if power.battery is not None or power.controller is not None:
        return []
    panel, own = power.panel, pump.drawn / power.voltage
    amperes = panel.imp * (panel.count // panel.in_series)

    def volts():
        return min(power.voltage * u.affinity_speed((amperes / own).to(""), 2.0), panel.vmp * panel.in_series)

    return [number("full_sun", "Voltage that the pump may get in full sun, straight from the panel", "V", volts)]


def _mean_day(year: Season, month: int, so_far: Mapping[str, Stage]) -> str:
    """Say what the mean day of the chapter before gives, where the reader would find two numbers for the same month."""
    known = so_far["power"].series.get("pump_hours") if "power" in so_far else None
    if known is None or abs(float(known[month].m_as("h/d")) - year.run_hours[month]) < NOTABLE:
        return ""
    return f"the mean day of the chapter before gives {show(known[month], 'h/d')}; this, hour by hour, is the one to plan on"


def _lowest_charge(weather, year: Season) -> np.ndarray:
    return weather.by_month(year.charge, np.min)


def _by_day(hourly: np.ndarray, how) -> np.ndarray:
    return how(hourly.reshape(365, 24), axis=1)


def _date(hour: int) -> str:
    day = hour // 24
    month = int(np.searchsorted(np.cumsum(DAYS), day, side="right"))
    return f"{day - int(np.sum(DAYS[:month])) + 1} {MONTH_NAMES[month]}"


# -------------------------------------------------------------------------------------------------------------------- tables


def _by_month(years: Mapping[str, Season], use: np.ndarray) -> Grid:
    low, typical = years["low"], years["typical"]
    rows = tuple(
        (f"{name}{'' if used else ' (not fed)'}", *(Q(float(x), "h/d") for x in (low.run_hours[i], typical.run_hours[i])),
         *(Q(float(x), "h") for x in (low.unpowered[i], low.gaps[i], typical.gaps[i])))
        for i, (name, used) in enumerate(zip(MONTHS, use, strict=True)))
    heads = ("month", "pump runs, cautious", "pump runs, typical", "still in the month, cautious", "longest gap, cautious",
             "longest gap, typical")
    return Grid("Hour by hour through the year", heads, ("", "h/d", "h/d", "h", "h", "h"), rows)


def _others(pond: Pond, years: Mapping[str, Season]) -> tuple[Grid, ...]:
    """Tell the hours a day that each load besides the pump runs in each month; nothing where there is none."""
    loads = [load for load in pond.power.loads if load.hours_per_day.m > 0]
    if not loads:
        return ()
    hours = []
    for load in loads:
        on = years["low"].others * hours_of_day(float(load.hours_per_day.m_as("h/d")), float(load.around.m_as("h")))
        hours.append(np.bincount(MONTH_OF_HOUR, on, 12) / DAYS)
    rows = tuple((name, *(Q(float(each[i]), "h/d") for each in hours)) for i, name in enumerate(MONTHS))
    heads = ("month", *(f"{load.name} (wanted {show(load.hours_per_day, 'h/d')})" for load in loads))
    return (Grid("Hours that the other loads run, at the cautious end", heads, ("", *("h/d" for _ in loads)), rows),)


def _ledger(year: Season) -> Grid:
    came = year.ledger["came in"]
    order = ("came in", "served", "controller", "lost in the battery", "lost to cold", "spilled", "kept")
    rows = tuple((name, Q(year.ledger[name] / 1000, "kWh"), Q(100 * year.ledger[name] / came if came else 0.0, "%")) for name in order
                 if name in ("came in", "served") or abs(year.ledger[name]) > 1e-3 * max(came, 1))
    return Grid("Where the year's energy goes (typical)", ("part", "energy", "share"), ("", "kWh", "%"), rows)


def _compared(pond: Pond, found: tuple[Option, ...]) -> Grid:
    rows = tuple((o.words, Q(o.still, "h"), Q(o.gap, "h"), money(o.price, pond)) for o in found)
    return Grid(COMPARED, ("change", "without flow in the year", "longest gap", "price"),
                ("", "h", "h", ""), rows)


# ------------------------------------------------------------------------------------------------------------------ in words


def _assumptions(pond: Pond, weather, so_far: Mapping[str, Stage]) -> tuple[Assumption, ...]:
    together = (" and", "") if pond.power.battery is None else (",", " and a tired battery")
    known = [Assumption(CAUTIOUS.format(*together), ("Judgement", "PVWatts5"), True), *_driven(pond, so_far)]
    if weather.solar_clock:
        known.insert(0, Assumption(
            f"No hourly weather file is named, so bright and dull days were made from the monthly means of {weather.name}, in a published "
            f"order. At 13 places with such a file, the hours that the pump runs then agreed within {USUAL} percentage points of a month "
            f"in nineteen of twenty months; {LARGEST} was the worst.",
            ("Bendt1981", "Knight1991", "CollaresPereira1979", "Erbs1982", "MeansAgainstHours"), True))
    if weather.said:
        known.append(Assumption(weather.said, ("WeatherFile",)))
    if not climate_of(pond).is_near:
        known.append(Assumption(FAR, ("Judgement",), True))
    panel, timer, left_out = pond.power.panel, pond.pump.hours_per_day < Q(23.9, "h/d"), _not_measured(pond)
    said = ((bool(cold := frozen_months(pond)), FROZEN.format(", ".join(MONTHS[month] for month in cold))),
            (timer, "The pump's hours lie around noon, when the sun pays for them at once."),
            (not panel.horizon, "Nothing stands before the panel: write power.panel.horizon if a wall, a fence or trees do."),
            (bool(left_out), left_out),
            (panel.snow_loss is None, "No snow lies on the panel."))
    return (*known, *(Assumption(words, ("Practice",)) for holds, words in said if holds))


def _driven(pond: Pond, so_far: Mapping[str, Stage]) -> list[Assumption]:
    """Say how a battery, or the sun alone, drives the pump."""
    power = pond.power
    if power.battery is not None:
        return [Assumption(TAKEN_OFF, ("Practice",))]
    how = BY_POWER if power.controller is not None and power.controller.kind == "mppt" else BY_CURRENT
    flows = flows_of(pond, so_far)
    if not flows:
        lifts = NO_LINE
    elif max(flows) > 0:
        least = Q(float(100 * SPEEDS[np.flatnonzero(flows)[0]]), "%")
        lifts = ONLY_ABOVE.format(show(pond.plumbing.lift, "m"), show(least, "%", digits=2))
    else:
        lifts = f"Even at full speed it does not lift the water by {show(pond.plumbing.lift, 'm')}."
    return [Assumption(f"{FOLLOWS} {how}", ("Affinity", "Suehrcke1997")), Assumption(f"{lifts} {BY_FLOW}", ("Affinity",))]


def _not_measured(pond: Pond) -> str:
    """Say between which bearings the horizon was not measured, where something stands at the end of what was."""
    horizon = mount_of(pond).horizon
    gap = open_gap(horizon)
    if gap is None or not any(top for bearing, top in horizon if bearing % 360 in gap):
        return ""
    before, after = (show(Q(bearing, "deg"), "deg") for bearing in gap)
    return f"Nothing is taken to stand from {before} clockwise to {after}: power.panel.horizon has no point there."


def _one_sun(light: np.ndarray, so_far: Mapping[str, Stage]) -> tuple[Assumption, ...]:
    """Hold the sun on the panel, summed over the hours of each month, against that of the mean days of the chapter before."""
    known = so_far["power"].series.get("sun") if "power" in so_far else None
    if known is None or not (lit := known.m > 0).any():
        return ()
    share = 100 * light[lit] / known.m[lit]
    words = (f"Summed hour by hour, the sun on the panel comes to {share.min():.0f} to {share.max():.0f} % of that of the mean days in the "
             "chapter before, which knows the same shade, glass, snow and dirt.")
    return (Assumption(words, ("HourlySums",)),)


def find(pond: Pond, stages: Mapping[str, Stage]) -> list[Finding]:
    """Say how long the pump stands still, what that does to the filter, and which change helps most."""
    stage = stages.get(KEY)
    if stage is None or not stage.planned:
        return []
    return [*_gap(pond, stage, stages), *_panel_alone(pond, stage, stages), *_best(stage)]


def _gap(pond: Pond, stage: Stage, stages: Mapping[str, Stage]):
    gap, fed = stage["gap"], in_use(stages)
    if gap.value.m < 1:
        yield Finding("season.runs", Urgency.NOTE,
                      f"Hour by hour through a year of {stage.facts['weather']} the pump never stands still for want of sun, even at the "
                      "cautious end.", "Keep the panel clean.", ("season.gap",))
        return
    used, frosts = np.where(fed, stage.series["gap"].m, 0.0), stops(pond, stage).by_frost
    month, rest = int(used.argmax()), 24 - float(pond.pump.hours_per_day.m_as("h/d"))
    longest, typical = (Q(float(hours), "h") for hours in (used[month], stage.series["gap_typical"].m[month]))
    if longest.m < rest + 1 and gap.value.m > rest + 1:  # else it is told below, with the timer's own rest
        frost = frosts[int(stage.series["gap"].m.argmax())]
        warm = f"Keep the battery above freezing, {KEEP_WARM}. " if frost else ""
        yield Finding("season.winter_only", Urgency.NOTE,
                      f"{'A battery too cold to be charged' if frost else 'The sun'} leaves the pump standing only in months without "
                      f"feeding: for up to {gap.text()} from {stage.facts['gap_starts']} on.",
                      f"{warm}Start the filter anew in spring, and keep an opening in the ice.", ("season.gap",))
    if longest.m < 1:
        return
    vessel = stages.get("vessel")
    if vessel is None or "safe_stop" not in vessel:  # else the vessel's own finding holds the gap against what its media bear
        frost = frosts[month]
        warm = f"Keep the battery above freezing, {KEEP_WARM}. " if frost else ""
        if longest.m <= rest + 1:
            says = f"By its timer the pump stands still for {show(longest, 'h')} at one stretch; want of sun adds nothing to it."
        else:
            says = (f"In {MONTH_NAMES[month]} the pump may stand still for {show(longest, 'h')} at one stretch in a dull year "
                    f"({show(typical, 'h')} typically), {'since the battery is too cold to be charged' if frost else 'for want of sun'}.")
        yield Finding("season.gap", Urgency.FIX, says,
                      f"{warm}See the table of changes, and plan the filter vessel to learn how long it may stop.", ("season.gap",))


def _panel_alone(pond: Pond, stage: Stage, stages: Mapping[str, Stage]):
    """Hold the volts that a panel brings to a pump that hangs on it alone against those of the pump."""
    if "full_sun" not in stage:
        return
    label, volts = pond.pump.rated_voltage or pond.power.voltage, stage["full_sun"]
    cold = stages["power"]["cold_voltage"] if "power" in stages and "cold_voltage" in stages["power"] else None
    idle = "" if cold is None else f" Without load, on a frosty morning, the panel reaches {cold.text()}."
    high = volts.value > TOO_HIGH * label
    yield Finding("season.panel_alone", Urgency.FIX if high else Urgency.NOTE,
                  f"Nothing stands between panel and pump. In full sun the pump may get {volts.text()}; it is made for "
                  f"{show(label, 'V')}.{idle}",
                  ("So many volts can burn it out. Take a pump controller that holds its volts, or less panel. " if high else
                   "See on the pump's label whether it bears that. ")
                  + "A fuse and a switch belong into the panel's plus all the same; ask who knows the code of your place.",
                  ("season.full_sun", *(() if cold is None else ("power.cold_voltage",))))


def _best(stage: Stage):
    """Name the change that leaves the least time without flow, if it is worth it; of equals that with a price."""
    found = [row for grid in stage.grids if grid.title == COMPARED for row in grid.rows]
    if not found:
        return
    (_, now, *_), *others = found
    words, still, _, price = min(others, key=lambda row: (round(float(row[1].m)), row[3] == "–"))
    if now.m >= WORTH_NAMING and still.m < WORTH_IT * now.m:
        yield Finding("season.change", Urgency.IMPROVE,
                      f"Of the changes compared, {words} leaves the least time without flow: {still.m:,.0f} h in the year instead "
                      f"of {now.m:,.0f} h, at the cautious end.{'' if price == '–' else f' It costs {price}.'}",
                      "Compare them in the table, with your own prices.", ("season.unpowered",))
