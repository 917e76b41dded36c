"""Sun and electricity: what the loads need, what the panel brings in the weakest month in use, and the battery for dark days."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from ...science import battery as b
from ...science import electrics as e
from ...science import pump as u
from ...tables import coefficients
from ...units import Q, Quantity, show
from ..climate import MONTHS, Climate, known, refusal
from ..model import Pond
from ..night import in_use
from ..offgrid import FAR, sun_left
from ..results import Assumption, End, Grid, Number, Stage, by_key, number
from ..sunlight import Sunlight, faces_away, latitude_of, sunlight
from .power_findings import FROST_NOTE, find, uncharged_by_frost
from .power_ledger import OWN, controller_use, costs, lamps, may_run
from .power_wiring import CHARGING, VMP_SLOPE, Parts, cautions, coldest_of, wire

KEY, TITLE = "power", "Sun, battery and cable"
LOADS, EMPTYING = "Loads", "Which load empties the battery first, without sun"
RATED_WARM = 25.0  # degC: a lithium battery's label is for this and above
MEAN_DAY = "on mean days; a row of dull days also asks for the battery (next chapter)"
NO_SUN = 0.1  # kWh/m2/d; a judgement: below this no panel of any size is worth carrying
__all__ = ["EMPTYING", "KEY", "TITLE", "find", "plan"]
MONTH_NAMES = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December")


@dataclass(frozen=True)
class _Sun:
    climate: Climate
    latitude: Quantity
    light: Sunlight
    use: np.ndarray  # of shape (12,): True in the months in which the filter works
    worst: int  # the month in use with the least sun on the panel
    darkest: int  # that of the whole year


def plan(pond: Pond, so_far: Mapping[str, Stage]) -> Stage:
    """Plan the supply as far as the pond file describes it; without [power] nothing is planned."""
    if pond.power is None:
        return Stage(
            KEY, TITLE, missing=("needs [power] with voltage, and [power.panel], [power.controller], [power.battery], [power.cable]",)
        )
    if pond.pump is None and not pond.power.loads:
        return Stage(KEY, TITLE, missing=("needs a load: [pump], or [[power.loads]] with name, power and hours_per_day",))
    parts = Parts()
    energy = _loads(pond, parts)
    lamps(pond, parts)
    if energy.typical.magnitude > 0:
        sun = _sun(pond, so_far, parts)
        if sun is not None:
            _panel(pond, sun, energy.typical, parts)
        _battery(pond, energy.typical, parts)
    may_run(pond, parts)
    wire(pond, parts)
    costs(pond, parts)
    return Stage(
        KEY,
        TITLE,
        by_key(*parts.numbers),
        parts.series,
        parts.facts,
        tuple(parts.grids),
        tuple(parts.assumptions),
        cautions(pond),
        tuple(parts.missing),
    )


# ------------------------------------------------------------------------------------------------------------ loads and sun


def _loads(pond: Pond, parts: Parts) -> Number:
    pump = pond.pump
    rows = [("pump", pump.drawn, pump.hours_per_day)] if pump else []
    rows += [(other.name, other.power, other.hours_per_day) for other in pond.power.loads]
    power, hours = (Q([row[i].m_as(u) for row in rows], u) for i, u in ((1, "W"), (2, "hour/day")))
    each = e.daily_energy(power, hours)
    table = [(*row, each[i]) for i, row in enumerate(rows)]
    if (own := controller_use(pond)) is not None:
        table.append((OWN, own, Q(24.0, "h/d"), own * Q(24.0, "h/d")))
        parts.assumptions.append(
            Assumption(
                f"The controller itself draws {show(own, 'W')} day and night, {show(table[-1][3], 'Wh/d')}. That is not in the energy "
                "of the loads: the year hour by hour counts it.",
                ("Practice",),
                pond.power.controller.self_use is None,
            )
        )
    parts.grids.append(Grid(LOADS, ("load", "power", "runs", "energy"), ("", "W", "h/d", "Wh/d"), tuple(table)))

    def whole():
        if pump is not None and pump.speed != 1:
            u.affinity_power(pump.power, pump.speed)  # leaves the trace of what made the pump's power
        return e.daily_energy(power, hours).sum()

    note = ""
    if pump is not None and pump.speed != 1:
        label = f"{show(pump.power, 'W')} by its label at {show(pump.rated_voltage, 'V')}"
        note = f"the pump draws {show(pump.drawn, 'W')} at {show(pump.supply_voltage, 'V')}; {label}"
    parts.numbers.append(replace(number("daily_energy", "Energy that the loads use in a day", "Wh/d", whole), note=note))
    return parts.numbers[-1]


def _sun(pond: Pond, so_far: Mapping[str, Stage], parts: Parts) -> _Sun | None:
    """Put each month's sun on the panel and choose the month to plan for."""
    if pond.place is None:
        parts.missing.append("needs [place] with climate, or latitude and longitude, for the sun of each month")
    if pond.power.panel is None:
        parts.missing.append("needs [power.panel] with the numbers on its label, its tilt and azimuth")
    if pond.place is None or pond.power.panel is None:
        return None
    climate, panel = known(pond), pond.power.panel
    if climate is None:
        parts.missing.append(refusal(pond.place))
        return None
    latitude = latitude_of(pond.place)
    left, use = sun_left(pond), in_use(so_far)

    @functools.cache
    def lit():
        light = sunlight(climate, latitude, panel.tilt, panel.azimuth)
        return replace(light, on_panel=light.on_panel * left)

    def in_worst(**shares):
        light = lit()
        return _comes(light.on_panel[np.where(use, light.on_panel.magnitude, np.inf).argmin()], **shares)[0]

    least = number("sun", "Sun on the panel in the weakest month in use", "kWh/m2/d", in_worst, decides=True, stacked=True,
                   **_doubts(climate, panel, latitude))
    on_panel = lit().on_panel.magnitude
    sun = _Sun(climate, latitude, lit(), use, int(np.where(use, on_panel, np.inf).argmin()), int(on_panel.argmin()))
    parts.numbers.append(least)
    parts.series |= {"sun": sun.light.on_panel, "day_length": sun.light.day_length}
    parts.facts |= {
        "worst_month": MONTH_NAMES[sun.worst],
        "darkest_month": MONTH_NAMES[sun.darkest],
        "climate": climate.where,
        "months_in_use": "all year" if use.all() else ", ".join(m for m, used in zip(MONTHS, use, strict=True) if used),
    }
    parts.assumptions += [
        Assumption(
            f"The sun is {climate.whose_sun}: means of a typical year. A dull year has darker months than these.",
            (climate.source,),
        ),
        Assumption(
            "Monthly sun is turned onto the panel hour by hour of a mean day, with the table's own sky light; methods that "
            "guess the sky light "
            "or spread the sun evenly promise 20 to 38 % too much in winter. Hour-by-hour sums came to "
            f"{show(_method(panel, latitude).low, '%')} of the result or more in nineteen of twenty months: that is planned on.",
            ("CollaresPereira1979", "HourlySums"),
        ),
        Assumption(
            "The panel is neither shaded nor under snow: one shaded cell can stop a whole string." if (left == 1).all() else _covered(left),
            ("Practice",) if (left == 1).all() else ("HayDavies1980", "Practice"),
        ),
    ]
    if not climate.is_near:
        parts.assumptions.append(Assumption(FAR, ("Judgement",), True))
    if not use.all():
        parts.assumptions.append(Assumption(f"The months in use are those in which the fish are fed: {parts.facts['months_in_use']}."))
    return sun


def _comes(light, share, place=1.0, **losses):
    """Return what comes of the sun that was worked out, since the method has its doubts and so has a far place; and the other losses."""
    return light * share * place, losses


def _doubts(climate: Climate, panel, latitude: Quantity) -> dict[str, End]:
    far = {} if climate.is_near else {"place": End(coefficients()["place_to_place"], "low")}
    return {"share": End(_method(panel, latitude), "low")} | far


def _method(panel, latitude: Quantity):
    """Return what hour-by-hour sums leave of the monthly method."""
    return coefficients()["panel_sun_share_away" if faces_away(panel, latitude) else "panel_sun_share"]


def _covered(left: np.ndarray) -> str:
    least, most = int(left.argmin()), int(left.argmax())
    return (f"What stands before the panel (shade, glass, snow) leaves {100 * left[least]:.0f} % of its sun in {MONTH_NAMES[least]} and "
            f"{100 * left[most]:.0f} % in {MONTH_NAMES[most]}. That is taken off the sun on the panel, by the same shares as in the year "
            "hour by hour of the next chapter. One shaded cell can stop a whole string: that is not counted.")


# -------------------------------------------------------------------------------------------------------------------- panel


def _panel(pond: Pond, sun: _Sun, needed: Quantity, parts: Parts) -> None:
    """Say what the panel brings, how long that carries the pump, and how much panel it takes."""
    supply = pond.power
    if supply.controller is None:
        parts.missing.append("needs [power.controller] with kind, for what the panel brings")
    if supply.controller is None or supply.battery is None:
        return
    month, ends = MONTH_NAMES[sun.worst], _doubts(sun.climate, pond.power.panel, sun.latitude) | _losses(supply)
    warm = _warm_cells(sun)
    volts = e.string_voltage(supply.panel.vmp, supply.panel.in_series, warm, VMP_SLOPE)
    charges = (volts >= CHARGING * supply.voltage).astype(float)  # 0 in a month whose warm panels stay below the battery's charging voltage
    brings, left = _mppt(supply.panel, warm) if supply.controller.kind == "mppt" else _switching(supply)

    def in_month(index):
        def energy(**shares):
            light, losses = _comes(sun.light.on_panel[index], **shares)
            return brings(index, light, **losses) * charges[index]

        return energy

    parts.numbers.append(
        number("energy_in", f"Energy that reaches the loads in {month}", "Wh/d", in_month(sun.worst), decides=True, stacked=True, **ends)
    )
    for key, side in (("energy_in", "low"), ("energy_typical", "typical")):
        light, losses = _comes(sun.light.on_panel, **{name: end.coefficient.at(side) for name, end in ends.items()})
        parts.series[key] = (brings(slice(None), light, **losses) * charges).to("watt*hour/day")
    if pond.pump is not None:
        _hours(pond, sun, needed, ends, in_month, parts)
    _say_uncharged(supply, sun, volts, charges, parts)
    least_sun = sun.light.on_panel[sun.worst]
    if least_sun.magnitude * 0.9 > NO_SUN and charges[sun.worst]:
        parts.numbers.append(_array_needed(supply, least_sun, needed, ends, month, left[sun.worst]))


def _say_uncharged(supply, sun: _Sun, volts: Quantity, charges: np.ndarray, parts: Parts) -> None:
    """Name the months in use in which the panels' voltage is too low to count anything."""
    months = [name for name, used, good in zip(MONTHS, sun.use, charges, strict=True) if used and not good]
    parts.facts["uncharged_months"] = "all" if len(months) == sun.use.sum() else ", ".join(months) or "none"
    if months:
        parts.assumptions.append(
            Assumption(
                f"Panels that work at less than the battery's charging voltage, {show(CHARGING * supply.voltage, 'V')}, charge it little "
                f"or not at all: nothing is counted for {'any month' if parts.facts['uncharged_months'] == 'all' else ', '.join(months)}. "
                f"Their voltage there is {show(volts.min(), 'V')} or a little more, with cells warmed by the sun.",
                ("Practice",),
            )
        )


def _losses(supply) -> dict[str, End]:
    lead, mppt = supply.battery.kind == "lead_acid", supply.controller.kind == "mppt"
    chosen = {"clean": "panel_clean", "wiring": "panel_wiring"} | ({"controller": "mppt_efficiency"} if mppt else {})
    chosen["battery"] = f"{'lead_acid' if lead else 'lithium'}_{'energy' if mppt else 'charge'}"
    return {key: End(coefficients()[name], "low") for key, name in chosen.items()}


def _warm_cells(sun: _Sun) -> Quantity:
    """Return the cells' temperature in each month's mean sun, never below 25 °C: the gain of cold cells is left as a reserve."""
    light = sun.light
    hours = np.maximum(light.day_length.magnitude, 1.0)
    cell = e.cell_temperature(sun.climate.air_temperature, Q(np.minimum(light.on_panel.magnitude / hours * 1000, 1500), "W/m2"))
    return Q(np.maximum(cell.m_as("degC"), 25.0), "degC")


def _mppt(panel, warm: Quantity):
    """Return what computes the energy from a month's sun (watts on the label, less what heat takes), and the share that heat leaves."""
    label = panel.power * panel.count
    power = e.panel_power(label, Q(1000.0, "W/m2"), warm)
    return lambda index, on_panel, **shares: e.panel_energy(power[index], on_panel, **shares), (power / label).to("percent")


def _switching(supply):
    """Return what computes the energy from a month's sun: amperes on the label, which heat hardly changes, at the battery's voltage."""
    current = supply.panel.imp * (supply.panel.count // supply.panel.in_series)
    return lambda index, on_panel, **shares: e.panel_charge(current, on_panel, **shares) * supply.voltage, Q(np.full(12, 100.0), "%")


def _hours(pond, sun, needed, ends, in_month, parts) -> None:
    wanted = pond.pump.hours_per_day

    def hours(index):
        return lambda **shares: e.carried_hours(wanted, in_month(index)(**shares), needed)

    shown = [("pump_hours", sun.worst, "weakest month in use")]
    if sun.darkest != sun.worst:
        shown.append(("pump_hours_darkest", sun.darkest, "weakest month of the year"))
    for key, index, words in shown:
        label = f"The sun runs the pump in {MONTH_NAMES[index]} ({words})"
        found = number(key, label, "h/d", hours(index), decides=True, stacked=True, **ends)
        frozen = uncharged_by_frost(pond) and sun.climate.air_temperature.m_as("degC")[index] < 0
        parts.numbers.append(replace(found, note=FROST_NOTE) if frozen else found)
    for key, energy in (("pump_hours", "energy_in"), ("pump_hours_typical", "energy_typical")):
        parts.series[key] = e.carried_hours(wanted, parts.series[energy], needed).to("hour/day")
    low, full = parts.series["pump_hours"].magnitude, wanted.m_as("hour/day")
    short = [name for name, used, h in zip(MONTHS, sun.use, low, strict=True) if used and h < full - 0.05]
    parts.facts["short_months"] = "all" if len(short) == sun.use.sum() else ", ".join(short) or "none"
    columns = (sun.light.day_length, sun.light.flat, sun.light.on_panel, parts.series["energy_in"], parts.series["pump_hours"])
    parts.grids.append(
        Grid(
            "Month by month; energy and hours at the cautious end",
            ("month", "day", "flat ground", "on the panel", "reaches the loads", "pump runs"),
            ("", "h", "kWh/m2/d", "kWh/m2/d", "Wh/d", "h/d"),
            tuple((name, *(c[i] for c in columns)) for i, name in enumerate(MONTHS)),
        )
    )


def _array_needed(supply, least_sun, needed, ends, month, warm) -> Number:
    if supply.controller.kind == "mppt":

        def panel(**shares):
            light, losses = _comes(least_sun, **shares)
            return e.panel_needed(needed, light, warm=warm, **losses)

        return number(
            "panel_needed",
            f"Panel that carries all loads through {month}",
            "W",
            panel,
            decides=True,
            stacked=True,
            note=MEAN_DAY,
            **ends,
        )
    charge = needed / supply.voltage

    def current(**shares):
        light, losses = _comes(least_sun, **shares)
        return e.panel_current_needed(charge, light, **losses)

    return number(
        "panel_current_needed",
        f"Panel current (Imp) that carries all loads through {month}",
        "A",
        current,
        decides=True,
        stacked=True,
        note=f"a switching controller passes on the panel's amperes, not its watts; {MEAN_DAY}",
        **ends,
    )


# ------------------------------------------------------------------------------------------------------------------ battery


def _battery(pond: Pond, needed: Quantity, parts: Parts) -> None:
    supply = pond.power
    if supply.battery is None:
        parts.missing.append("needs [power.battery] with kind and capacity, for what the panel brings and for days without sun (a pump "
                             "may run on its panel alone: the next chapter follows the sun then)")
        return
    coldest = coldest_of(pond)
    if coldest is None:
        parts.missing.append("needs power.battery.coldest (or place.record_cold), since cold takes capacity away")
        return
    lead = supply.battery.kind == "lead_acid"
    known = coefficients()
    ends = {"depth": End(known["lead_acid_depth" if lead else "lithium_depth"], "low"), "drop": End(known["drop_allowed"], "high")}
    if not lead and coldest.m_as("degC") < RATED_WARM:
        ends["at_freezing"] = End(known["lithium_cold"], "high")
    if not lead and coldest.m_as("degC") < 0:
        ends["at_20_below"] = End(known["lithium_frost"], "high")
    cold = functools.cache(lambda: b.lead_acid_factor(coldest))

    def ability(depth, drop, **factors):
        return {
            "voltage": supply.voltage,
            "depth": depth,
            "efficiency": Q(100.0, "%") - drop,
            "temperature_factor": cold() if lead else b.lithium_factor(coldest, **factors),
        }

    if supply.autonomy is None:
        parts.missing.append("needs power.autonomy, the days without sun that the battery must bridge")
    else:
        parts.numbers.append(
            number(
                "battery_needed",
                f"Battery for {show(supply.autonomy, 'd')} without sun",
                "Ah",
                lambda **k: b.battery_capacity(needed, supply.autonomy, **ability(**k)),
                decides=True,
                stacked=True,
                **ends,
            )
        )
    parts.numbers.append(
        number(
            "battery_days",
            f"Days without sun that {show(supply.battery.capacity, 'Ah')} carries",
            "d",
            lambda **k: b.battery_days(supply.battery.capacity, needed, **ability(**k)),
            decides=True,
            stacked=True,
            **ends,
        )
    )
    _emptying(needed, parts)
    if lead:
        parts.numbers.append(
            number(
                "battery_freezes",
                "Temperature at which the discharged battery freezes",
                "degC",
                lambda depth: b.lead_acid_freezing(Q(100.0, "%") - depth),
                decides=True,
                stacked=True,
                depth=End(known["lead_acid_depth"], "high"),
            )
        )
    parts.facts["battery_coldest"] = show(coldest, "degC")
    parts.assumptions.append(
        Assumption(
            f"The battery is {show(coldest, 'degC')} at its coldest"
            + (
                "."
                if supply.battery.coldest is not None
                else ", as cold as the air has ever been: say power.battery.coldest where it stands warmer."
            )
        )
    )


def _emptying(needed: Quantity, parts: Parts) -> None:
    """List for each load how long the battery lasts for it alone, at the cautious end, the thirstiest first: days go as one over energy."""
    together = next(n.value for n in parts.numbers if n.key == "battery_days")
    table = next(grid for grid in parts.grids if grid.title == LOADS).rows
    loads = [(name, energy) for name, _, _, energy in table if energy.m > 0 and name != OWN]
    rows = tuple((name, energy, together * float((needed / energy).m_as(""))) for name, energy in sorted(loads, key=lambda row: -row[1].m))
    parts.grids.append(Grid(EMPTYING, ("load", "energy", "alone it takes"), ("", "Wh/d", "d"), rows))
