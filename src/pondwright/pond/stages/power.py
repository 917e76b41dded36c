"""Sun and electricity: what the loads need, what the panel brings in the darkest month in use, and the battery and cable between them."""

from __future__ import annotations

import functools
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from ...science import battery as b
from ...science import cables as w
from ...science import electrics as e
from ...tables import coefficients
from ...units import Q, Quantity, show, unit_for
from ..climate import MONTHS, Climate, of_place
from ..model import Pond
from ..results import Assumption, End, Grid, Number, Stage, by_key, given, number
from ..sunlight import Sunlight, latitude_of, sunlight
from ..wires import cable_row, fuse_rating
from .power_findings import CHARGING, coldest_of, find

KEY, TITLE = "power", "Sun, battery and cable"
HOT_PANEL = Q(70.0, "degC")  # cells in summer sun; common practice
NEAR = Q(20.0, "cm")  # from the battery to its fuse, at most; common practice
NO_SUN = 0.1  # kWh/m2/d; a judgement: below this no panel of any size is worth carrying
TOO_FAR_KM = 500  # a judgement: the sun of a station farther away says nothing about a pond
__all__ = ["KEY", "TITLE", "find", "plan"]
MONTH_NAMES = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December")


@dataclass
class _Parts:
    """What the stage gathers on its way."""

    numbers: list[Number] = field(default_factory=list)
    series: dict[str, Quantity] = field(default_factory=dict)
    facts: dict[str, str] = field(default_factory=dict)
    grids: list[Grid] = field(default_factory=list)
    assumptions: list[Assumption] = field(default_factory=list)
    missing: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class _Sun:
    climate: Climate
    latitude: Quantity
    light: Sunlight
    worst: int
    darkest: int


def plan(pond: Pond, so_far: Mapping[str, Stage]) -> Stage:
    """Plan the supply as far as the pond file describes it; without [power] nothing is planned."""
    if pond.power is None:
        return Stage(
            KEY, TITLE, missing=("needs [power] with voltage, and [power.panel], [power.controller], [power.battery], [power.cable]",)
        )
    if pond.pump is None and not pond.power.loads:
        return Stage(KEY, TITLE, missing=("needs a load: [pump], or [[power.loads]] with name, power and hours_per_day",))
    parts = _Parts()
    energy = _loads(pond, parts)
    if energy.typical.magnitude > 0:
        sun = _sun(pond, so_far, parts)
        if sun is not None:
            _panel(pond, sun, energy.typical, parts)
        _battery(pond, energy.typical, parts)
    _controller(pond, parts)
    _cable(pond, parts)
    return Stage(
        KEY,
        TITLE,
        by_key(*parts.numbers),
        parts.series,
        parts.facts,
        tuple(parts.grids),
        tuple(parts.assumptions),
        _cautions(pond),
        tuple(parts.missing),
    )


# ------------------------------------------------------------------------------------------------------------ loads and sun


def _loads(pond: Pond, parts: _Parts) -> Number:
    rows = [("pump", pond.pump.power, pond.pump.hours_per_day)] if pond.pump else []
    rows += [(other.name, other.power, other.hours_per_day) for other in pond.power.loads]
    power, hours = (Q([row[i].m_as(u) for row in rows], u) for i, u in ((1, "W"), (2, "hour/day")))
    each = e.daily_energy(power, hours)
    parts.grids.append(
        Grid("Loads", ("load", "power", "runs", "energy"), ("", "W", "h/d", "Wh/d"), tuple((*row, each[i]) for i, row in enumerate(rows)))
    )
    parts.numbers.append(number("daily_energy", "Energy that the loads use in a day", "Wh/d", lambda: e.daily_energy(power, hours).sum()))
    return parts.numbers[-1]


def _sun(pond: Pond, so_far: Mapping[str, Stage], parts: _Parts) -> _Sun | None:
    """Put each month's sun on the panel and choose the month to plan for."""
    if pond.place is None:
        parts.missing.append("needs [place] with climate, or latitude and longitude, for the sun of each month")
    if pond.power.panel is None:
        parts.missing.append("needs [power.panel] with the numbers on its label, its tilt and azimuth")
    if pond.place is None or pond.power.panel is None:
        return None
    climate, panel = of_place(pond.place), pond.power.panel
    if climate.distance_km > TOO_FAR_KM:
        parts.missing.append(
            f"needs a climate of its own: the nearest in the table is {climate.name}, {climate.distance_km:.0f} km away; "
            "name in place.climate one whose months are like yours"
        )
        return None
    latitude = latitude_of(pond.place)
    lit = functools.cache(lambda: sunlight(climate, latitude, panel.tilt, panel.azimuth))
    use = _in_use(so_far)
    share = End(coefficients()["panel_sun_share"], "low")

    def in_worst(share):
        light = lit()
        return light.on_panel[np.where(use, light.on_panel.magnitude, np.inf).argmin()] * share

    least = number("sun", "Sun on the panel in the darkest month in use", "kWh/m2/d", in_worst, decides=True, stacked=True, share=share)
    on_panel = lit().on_panel.magnitude
    sun = _Sun(climate, latitude, lit(), int(np.where(use, on_panel, np.inf).argmin()), int(on_panel.argmin()))
    parts.numbers.append(least)
    parts.series |= {"sun": sun.light.on_panel, "day_length": sun.light.day_length}
    parts.facts |= {
        "worst_month": MONTH_NAMES[sun.worst],
        "darkest_month": MONTH_NAMES[sun.darkest],
        "climate": climate.name,
        "months_in_use": "all year" if use.all() else ", ".join(m for m, used in zip(MONTHS, use, strict=True) if used),
    }
    away = "" if climate.distance_km == 0 else f", {climate.distance_km:.0f} km away"
    parts.assumptions += [
        Assumption(
            f"The sun is that of {climate.name}{away}: means of a typical year. A dull year has darker months than these.",
            ("OpenStudioStat",),
        ),
        Assumption(
            "Monthly sun is turned onto the panel hour by hour of a mean day, with the table's own sky light; methods that "
            "guess the sky light "
            "or spread the sun evenly promise 20 to 38 % too much in winter. The lowest of hour-by-hour sums, 90 % of the "
            "result, is planned on.",
            ("CollaresPereira1979", "HourlySums"),
        ),
        Assumption("The panel is neither shaded nor under snow: one shaded cell can stop a whole string.", ("Practice",)),
    ]
    if not use.all():
        parts.assumptions.append(Assumption(f"The months in use are those in which the fish are fed: {parts.facts['months_in_use']}."))
    return sun


def _in_use(so_far: Mapping[str, Stage]) -> np.ndarray:
    """Tell the months in which the filter works: those with feeding where the fish stage knows them, else all."""
    feed = so_far["fish"].series.get("feed") if "fish" in so_far else None
    fed = np.ones(12, bool) if feed is None else np.asarray(feed.magnitude) > 0
    return fed if fed.any() else np.ones(12, bool)


# -------------------------------------------------------------------------------------------------------------------- panel


def _panel(pond: Pond, sun: _Sun, needed: Quantity, parts: _Parts) -> None:
    """Say what the panel brings, how long that carries the pump, and how much panel it takes."""
    supply = pond.power
    for section, wanted in (("controller", "kind"), ("battery", "kind")):
        if getattr(supply, section) is None:
            parts.missing.append(f"needs [power.{section}] with {wanted}, for what the panel brings")
    if supply.controller is None or supply.battery is None:
        return
    month, ends = MONTH_NAMES[sun.worst], _losses(supply)
    brings = _mppt(supply.panel, sun) if supply.controller.kind == "mppt" else _switching(supply)

    def in_month(index):
        return lambda share, **shares: brings(index, sun.light.on_panel[index] * share, **shares)

    parts.numbers.append(
        number("energy_in", f"Energy that reaches the loads in {month}", "Wh/d", in_month(sun.worst), decides=True, stacked=True, **ends)
    )
    for key, side in (("energy_in", "low"), ("energy_typical", "typical")):
        share, *shares = (end.coefficient.at(side) for end in ends.values())
        months = brings(slice(None), sun.light.on_panel * share, **dict(zip(list(ends)[1:], shares, strict=True)))
        parts.series[key] = months.to("watt*hour/day")
    if pond.pump is not None:
        _hours(pond, sun, needed, ends, in_month, parts)
    least_sun = sun.light.on_panel[sun.worst]
    if least_sun.magnitude * 0.9 > NO_SUN:
        parts.numbers.append(_array_needed(supply, least_sun, needed, ends, month))


def _losses(supply) -> dict[str, End]:
    lead, mppt = supply.battery.kind == "lead_acid", supply.controller.kind == "mppt"
    chosen = {"share": "panel_sun_share", "clean": "panel_clean", "wiring": "panel_wiring"} | (
        {"controller": "mppt_efficiency"} if mppt else {}
    )
    chosen["battery"] = f"{'lead_acid' if lead else 'lithium'}_{'energy' if mppt else 'charge'}"
    return {key: End(coefficients()[name], "low") for key, name in chosen.items()}


def _mppt(panel, sun: _Sun):
    """Return what computes the energy from a month's sun: watts on the label, less the heat of the cells."""
    light = sun.light
    hours = np.maximum(light.day_length.magnitude, 1.0)
    cell = e.cell_temperature(sun.climate.air_temperature, Q(np.minimum(light.on_panel.magnitude / hours * 1000, 1500), "W/m2"))
    warm = Q(np.maximum(cell.m_as("degC"), 25.0), "degC")  # the gain of cold cells is left as a reserve
    power = e.panel_power(panel.power * panel.count, Q(1000.0, "W/m2"), warm)
    return lambda index, on_panel, **shares: e.panel_energy(power[index], on_panel, **shares)


def _switching(supply):
    """Return what computes the energy from a month's sun: amperes on the label at the battery's voltage."""
    current = supply.panel.imp * (supply.panel.count // supply.panel.in_series)
    return lambda index, on_panel, **shares: e.panel_charge(current, on_panel, **shares) * supply.voltage


def _hours(pond, sun, needed, ends, in_month, parts) -> None:
    wanted = pond.pump.hours_per_day

    def hours(index):
        return lambda **shares: e.carried_hours(wanted, in_month(index)(**shares), needed)

    shown = [("pump_hours", sun.worst, "darkest month in use")]
    if sun.darkest != sun.worst:
        shown.append(("pump_hours_darkest", sun.darkest, "darkest month of the year"))
    for key, index, words in shown:
        label = f"The sun runs the pump in {MONTH_NAMES[index]} ({words})"
        parts.numbers.append(number(key, label, "h/d", hours(index), decides=True, stacked=True, **ends))
    for key, energy in (("pump_hours", "energy_in"), ("pump_hours_typical", "energy_typical")):
        parts.series[key] = e.carried_hours(wanted, parts.series[energy], needed).to("hour/day")
    low, full = parts.series["pump_hours"].magnitude, wanted.m_as("hour/day")
    short = [name for name, h in zip(MONTHS, low, strict=True) if h < full - 0.05]
    parts.facts["short_months"] = "all" if len(short) == 12 else ", ".join(short) or "none"
    columns = (sun.light.day_length, sun.light.flat, sun.light.on_panel, parts.series["energy_in"], parts.series["pump_hours"])
    parts.grids.append(
        Grid(
            "Month by month; energy and hours at the cautious end",
            ("month", "day", "flat ground", "on the panel", "reaches the loads", "pump runs"),
            ("", "h", "kWh/m2/d", "kWh/m2/d", "Wh/d", "h/d"),
            tuple((name, *(c[i] for c in columns)) for i, name in enumerate(MONTHS)),
        )
    )


def _array_needed(supply, least_sun, needed, ends, month) -> Number:
    if supply.controller.kind == "mppt":
        return number(
            "panel_needed",
            f"Panel that carries all loads through {month}",
            "W",
            lambda share, **shares: e.panel_needed(needed, least_sun * share, **shares),
            decides=True,
            stacked=True,
            **ends,
        )
    charge = needed / supply.voltage
    return number(
        "panel_current_needed",
        f"Panel current (Imp) that carries all loads through {month}",
        "A",
        lambda share, **shares: e.panel_current_needed(charge, least_sun * share, **shares),
        decides=True,
        stacked=True,
        note="a switching controller passes on the panel's amperes, not its watts",
        **ends,
    )


def _controller(pond: Pond, parts: _Parts) -> None:
    """Say what the controller must bear: current in full sun, volts at the coldest dawn, and volts enough on the hottest day."""
    supply, panel = pond.power, pond.power.panel
    if panel is None or supply.controller is None:
        return
    strings = panel.count // panel.in_series
    if supply.controller.kind == "mppt":
        parts.numbers.append(
            number(
                "controller_current",
                "Current for which the controller is chosen",
                "A",
                lambda: e.controller_current(e.mppt_current(panel.power * panel.count, supply.voltage)),
                note="into a flat battery at full sun, and a quarter more",
            )
        )
    else:
        parts.numbers.append(
            number(
                "controller_current",
                "Current for which the controller is chosen",
                "A",
                lambda: e.controller_current(panel.isc * strings),
                note="Isc of all strings, and a quarter more",
            )
        )
    slope = End(coefficients()["voc_temperature"], "low")
    if pond.place is None or pond.place.record_cold is None:
        parts.missing.append("needs place.record_cold, for the panel's voltage at the coldest dawn")
    else:
        parts.numbers.append(
            number(
                "cold_voltage",
                f"Voltage of the panels at {show(pond.place.record_cold, 'degC')}, no load",
                "V",
                lambda slope: e.string_voltage(panel.voc, panel.in_series, pond.place.record_cold, slope),
                decides=True,
                stacked=True,
                slope=slope,
            )
        )
    parts.numbers.append(
        number(
            "hot_voltage",
            f"Working voltage of the panels at {show(HOT_PANEL, 'degC')}",
            "V",
            lambda: e.string_voltage(panel.vmp, panel.in_series, HOT_PANEL, Q(-0.45, "%/K")),
        )
    )


# ------------------------------------------------------------------------------------------------------------------ battery


def _battery(pond: Pond, needed: Quantity, parts: _Parts) -> None:
    supply = pond.power
    if supply.battery is None:
        parts.missing.append("needs [power.battery] with kind and capacity")
        return
    coldest = coldest_of(pond)
    if coldest is None:
        parts.missing.append("needs power.battery.coldest (or place.record_cold), since cold takes capacity away")
        return
    lead = supply.battery.kind == "lead_acid"
    known = coefficients()
    ends = {"depth": End(known["lead_acid_depth" if lead else "lithium_depth"], "low"), "drop": End(known["drop_allowed"], "high")}
    if not lead and coldest.m_as("degC") < 15:
        ends["factor"] = End(known["lithium_cold"], "high")
    cold = functools.cache(lambda: b.lead_acid_factor(coldest) if lead else Q(1.0, "-"))

    def ability(depth, drop, factor=None):
        return {
            "voltage": supply.voltage,
            "depth": depth,
            "efficiency": Q(100.0, "%") - drop,
            "temperature_factor": cold() if factor is None else factor,
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


# ----------------------------------------------------------------------------------------------------------- cable and fuse


def _cable(pond: Pond, parts: _Parts) -> None:
    """Choose the cable from battery to pump by the larger of voltage drop and ampacity, and the fuse that guards it."""
    supply = pond.power
    if pond.pump is None:
        return
    current = number("load_current", "Current of the pump", "A", lambda: e.load_current(pond.pump.power, supply.voltage))
    parts.numbers.append(current)
    if supply.cable is None:
        parts.missing.append("needs [power.cable] with its length one way, for cable and fuse")
        return
    wanted = e.controller_current(current.typical)
    rating = fuse_rating(wanted)
    if rating is None:
        parts.facts["fuse"] = f"no blade fuse reaches {show(wanted, 'A')}"
        parts.missing.append(f"no cable or fuse of the tables carries {show(wanted, 'A')}: a higher system voltage needs less current")
        return
    known = coefficients()
    ends = {"drop": End(known["drop_allowed"], "low"), "resistivity": End(known["copper_resistivity"], "high")}
    system, other = ("AWG", "metric") if unit_for("L") == "US gal" else ("metric", "AWG")  # the sizes sold where the reader lives

    def area(drop, resistivity):
        return w.cable_area(current.typical, supply.cable.length, supply.voltage * drop, resistivity)

    thin = number("drop_area", "Copper that the voltage drop asks for", "mm2", area, decides=True, stacked=True, **ends)
    rows = {name: cable_row(thin.value, rating, name) for name in (system, other)}
    chosen = [row for row in rows.values() if row is not None]
    size = supply.cable.size or (chosen[0]["area"] if chosen else None)
    parts.numbers.append(thin)
    if chosen:
        sizes = " or ".join(row["size"] for row in chosen)
        note = f"{sizes}: the larger of voltage drop and ampacity"
        parts.numbers.append(given("cable_needed", "Copper of the cable to buy, at least", "mm2", chosen[0]["area"], note))
        parts.facts["cable"] = sizes
    else:
        parts.facts["cable"] = "thicker than any of the table"
        parts.missing.append(
            f"no cable of the table keeps the drop over {show(supply.cable.length, 'm')} small: a higher system voltage needs less copper"
        )
    if size is not None:
        parts.numbers.append(
            number(
                "voltage_drop",
                f"Volts lost in {show(size, 'mm2')}",
                "V",
                lambda rho: w.voltage_drop(current.typical, supply.cable.length, w.wire_resistance(size, rho)),
                stacked=True,
                rho=ends["resistivity"],
            )
        )
    note = f"1.25 x the pump's current is {show(wanted, 'A')}; the next standard size"
    parts.numbers.append(given("fuse", "Fuse at the battery's plus pole", "A", rating, note))
    least = show(CHARGING * supply.voltage, "V")
    parts.facts |= {
        "fuse": f"{show(rating, 'A')}, rated for direct current at {least} or more, within {show(NEAR, 'cm', digits=1)} of the battery's "
                "plus pole",
    }
    parts.assumptions += [
        Assumption(
            f"The cable carries only the pump. Ampacity is taken for {show(Q(40, 'degC'), 'degC')}, as in summer shade; in full sun or in "
            "a bundle it is less.",
            ("IEC60364", "BS7671Flex", "NEC310"),
        ),
        Assumption("A pump draws more for a moment as it starts: choose a slow fuse if the label asks for one.", ("Practice",)),
    ]


def _cautions(pond: Pond) -> tuple[str, ...]:
    kind = pond.power.battery.kind if pond.power.battery else ""
    said = [
        "Electricity near water can kill. Keep every joint, controller and battery dry and out of reach of splashes. "
        "Mains near a pond belongs behind a "
        "residual-current device (RCD, GFCI) and is the work of a licensed electrician; the electrical code of your "
        "place comes before this plan.",
        "A battery can send hundreds of amperes through a dropped spanner: take off rings, cover one pole while you work "
        "on the other, and put the fuse "
        "within a hand's width of the plus pole before anything else. It stands in a vented, locked box off the ground.",
        "A panel makes voltage whenever light falls on it: cover it, and connect the battery to the controller before "
        "the panel. Above 30 V direct "
        "current, wet skin is not safe.",
    ]
    if kind == "lead_acid":
        said.append(
            "A lead-acid battery gives off hydrogen while it charges, which explodes: vent the box at its top, no sparks or "
            "flames. Its acid burns: "
            "goggles and gloves. A flat one freezes and bursts: keep it charged in winter."
        )
    if kind == "lifepo4":
        said.append(
            "A lithium iron phosphate battery must not be charged below 0 °C: it is damaged for good and can become unsafe. "
            "Use one whose own electronics "
            "stop that."
        )
    return tuple(said)
