"""From the panel to the pump: what the controller must bear, the cable, and a fuse for every cable."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from ...science import cables as w
from ...science import electrics as e
from ...tables import coefficients
from ...units import Q, Quantity, show, unit_for
from ..climate import known
from ..model import Pond
from ..results import Assumption, End, Grid, Number, given, number
from ..wires import ampacity, cable_row, fuse_rating, wire_words

FUSES = "A fuse for every cable"
CHARGING = 1.2  # a lead-acid or lithium iron phosphate battery is charged at about 14.4 V for each 12 V; common practice
HOT_PANEL = Q(70.0, "degC")  # cells in summer sun; common practice
VMP_SLOPE = Q(-0.45, "%/K")  # working voltage of a panel; as its power, the median of the module table
NEAR = Q(20.0, "cm")  # from the battery to its fuse, at most; common practice
MANY_STRINGS = 3  # from so many side by side on, the others can push too much current back through a faulty one
LEAST_COPPER = Q(0.5, "mm2")  # thinner than any cable of the table
COLDEST_AIR = -60.0  # degC: no pond is colder


@dataclass
class Parts:
    """What the stage gathers on its way."""

    numbers: list[Number] = field(default_factory=list)
    series: dict[str, Quantity] = field(default_factory=dict)
    facts: dict[str, str] = field(default_factory=dict)
    grids: list[Grid] = field(default_factory=list)
    assumptions: list[Assumption] = field(default_factory=list)
    missing: list[str] = field(default_factory=list)


def coldest_of(pond: Pond) -> Quantity | None:
    """Return how cold the battery gets: as the file says, or as cold as the air has ever been."""
    battery = pond.power.battery
    if battery is not None and battery.coldest is not None:
        return battery.coldest
    return pond.place.record_cold if pond.place else None


def wire(pond: Pond, parts: Parts) -> None:
    """Plan controller, cable and fuses as far as the file describes them."""
    _controller(pond, parts)
    _panel_cable(pond, parts)
    _cable(pond, parts)
    _fuses(pond, parts)


# --------------------------------------------------------------------------------------------------------------- controller


def _controller(pond: Pond, parts: Parts) -> None:
    """Say what the controller must bear: current in full sun, volts at the coldest dawn, and volts enough on the hottest day."""
    supply, panel = pond.power, pond.power.panel
    if panel is not None and supply.controller is None and supply.battery is None:
        _cold_voltage(pond, parts)  # of a panel that hangs on the pump alone
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
    _cold_voltage(pond, parts)
    parts.numbers.append(
        number(
            "hot_voltage",
            f"Working voltage of the panels at {show(HOT_PANEL, 'degC')}",
            "V",
            lambda: e.string_voltage(panel.vmp, panel.in_series, HOT_PANEL, VMP_SLOPE),
        )
    )


def _panel_cable(pond: Pond, parts: Parts) -> None:
    """Choose the cable from the panels to the controller: in bright sun behind a cloud's edge, for hours, and a quarter more."""
    panel = pond.power.panel
    if panel is None or pond.power.controller is None:
        return
    current = number("panel_current", "Current for which the panels' cable is chosen", "A",
                     lambda: e.controller_current(e.controller_current(panel.isc * (panel.count // panel.in_series))),
                     note="1.25 x 1.25 x Isc of all strings")  # fmt: skip
    parts.numbers.append(current)
    run, working = _run(pond, "panel_length", "between panels and controller", parts), panel.imp * (panel.count // panel.in_series)
    copper = _copper(working, run, panel.vmp * panel.in_series)
    rows = [cable_row(copper, current.value, system) for system in systems()]
    if (found := [row for row in rows if row is not None]):
        words = " or ".join(row["size"] for row in found)
        long = "thicker where it is long" if run is None else f"{show(run, 'm')} one way"
        note = f"{words}, of a kind for sun and weather; {long}"
        parts.numbers.append(given("panel_cable", "Copper of the cable from the panels, at least", "mm2", found[0]["area"], note))
        parts.facts["panel_cable"] = words
        if run is not None:
            parts.numbers.append(_lost("panel_drop", "the panels' cable in full sun", working, run, found[0]))
    else:
        long = "" if run is None else f" over {show(run, 'm')}"
        parts.missing.append(f"no cable of the table carries the panels' {show(current.value, 'A')}{long}: put more of them in series")


def _run(pond: Pond, key: str, where: str, parts: Parts) -> Quantity | None:
    """Return the length of a cable; say what is missing where the file has none."""
    run = None if pond.power.cable is None else getattr(pond.power.cable, key)
    if run is None:
        parts.missing.append(f"needs power.cable.{key}, one way, for the volts lost {where}: its cable is chosen by its current alone")
    return run


def _copper(current: Quantity, run: Quantity | None, volts: Quantity) -> Quantity:
    """Return the copper that the voltage drop asks for, at the cautious end; of a cable of unknown length the least there is."""
    if run is None:
        return LEAST_COPPER
    known = coefficients()
    return w.cable_area(current, run, volts * known["drop_allowed"].low, known["copper_resistivity"].high)


def _lost(key: str, where: str, current: Quantity, run: Quantity, row: dict) -> Number:
    label = f"Volts lost in {where}, {show(run, 'm')} of {row['size']}"
    return number(key, label, "V", lambda rho: w.voltage_drop(current, run, w.wire_resistance(row["area"], rho)), decides=True,
                  stacked=True, rho=End(coefficients()["copper_resistivity"], "high"))


def systems() -> tuple[str, str]:
    """Name the two series of cable sizes, that sold where the reader lives first."""
    return ("AWG", "metric") if unit_for("L") == "US gal" else ("metric", "AWG")


def _cold_voltage(pond: Pond, parts: Parts) -> None:
    """Say how high the panels' voltage rises at the coldest dawn: the file's record cold, else a guess from the coldest month."""
    panel, ends = pond.power.panel, {"slope": End(coefficients()["voc_temperature"], "low")}
    if pond.place is not None and pond.place.record_cold is not None:
        cold, words = pond.place.record_cold, ""

        def volts(slope):
            return e.string_voltage(panel.voc, panel.in_series, cold, slope)
    elif (climate := known(pond)) is not None:
        mean = float(climate.air_temperature.m_as("degC").min())
        ends["margin"] = End(coefficients()["record_cold_margin"], "high")
        cold, words = _below(mean, ends["margin"].coefficient.high), "a record cold guessed at "
        parts.facts["guessed_cold"] = show(cold, "degC")
        parts.assumptions.append(
            Assumption(
                f"The file does not say how cold it has ever been. {show(cold, 'degC')} is an estimate: the mean of the coldest month at "
                f"{climate.where}, {show(Q(mean, 'degC'), 'degC')}, less {show(ends['margin'].coefficient.high, 'delta_degC')}. Ask a "
                "weather service and write it down as record_cold under [place].",
                ("Judgement",),
                True,
            )
        )

        def volts(slope, margin):
            return e.string_voltage(panel.voc, panel.in_series, _below(mean, margin), slope)
    else:
        parts.missing.append("needs place.record_cold, for the panel's voltage at the coldest dawn")
        return
    label = f"Voltage of the panels at {words}{show(cold, 'degC')}, no load"
    parts.numbers.append(number("cold_voltage", label, "V", volts, decides=True, stacked=True, **ends))


def _below(mean: float, margin: Quantity) -> Quantity:
    return Q(np.maximum(mean - margin.magnitude, COLDEST_AIR), "degC")


# ---------------------------------------------------------------------------------------------------------- cable and fuses


def _cable(pond: Pond, parts: Parts) -> None:
    """Choose the cable from battery to pump by the larger of voltage drop and ampacity, and the fuse that guards it."""
    supply = pond.power
    if pond.pump is None:
        return
    (most,) = _pumps(pond)  # wires are made for the larger: a battery under charge brings a slow pump up to speed
    current = number("load_current", "Current of the pump", "A", lambda: e.load_current(most, supply.voltage))
    parts.numbers.append(current)
    if supply.cable is None:
        parts.missing.append("needs [power.cable] with its length one way, for cable and fuse")
        return
    wanted = e.controller_current(current.typical)
    rating = fuse_rating(wanted)
    if rating is None:
        parts.facts["pump_fuse"] = f"no blade fuse reaches {show(wanted, 'A')}"
        parts.missing.append(f"no cable or fuse of the tables carries {show(wanted, 'A')}: a higher system voltage needs less current")
        return
    known = coefficients()
    ends = {"drop": End(known["drop_allowed"], "low"), "resistivity": End(known["copper_resistivity"], "high")}

    def area(drop, resistivity):
        return w.cable_area(current.typical, supply.cable.length, supply.voltage * drop, resistivity)

    thin = number("drop_area", "Copper that the voltage drop asks for", "mm2", area, decides=True, stacked=True, **ends)
    rows = {name: cable_row(thin.value, rating, name) for name in systems()}
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
    if supply.cable.size is not None and (ampacity(size) < rating or size < thin.value):
        parts.facts["cable_refused"] = wire_words(size)
    if size is not None:
        parts.numbers.append(
            number(
                "voltage_drop",
                f"Volts lost in the pump's cable of {wire_words(size)}",
                "V",
                lambda rho: w.voltage_drop(current.typical, supply.cable.length, w.wire_resistance(size, rho)),
                stacked=True,
                rho=ends["resistivity"],
            )
        )
    note = f"1.25 x the pump's current is {show(wanted, 'A')}; the next standard size"
    alone = supply.battery is not None and not _with_power(supply.loads)  # else it stands beside the disconnect
    place = "at the battery's plus pole" if alone else "where it begins"
    parts.numbers.append(given("pump_fuse", f"Fuse of the pump's cable, {place}", "A", rating, note))
    near = f"within {show(NEAR, 'cm', digits=1)} of the battery's plus pole" if alone else "where the cable begins"
    parts.facts["pump_fuse"] = f"{show(rating, 'A')}, {_rated(supply)}, {near}"
    parts.assumptions += [
        Assumption(
            f"The cable carries only the pump. Ampacity is taken for {show(Q(40, 'degC'), 'degC')}, as in summer shade; in full sun or in "
            "a bundle it is less.",
            ("IEC60364", "BS7671Flex", "NEC310"),
        ),
        Assumption(
            "A pump draws more for a moment as it starts: choose a slow fuse if the label asks for one. A plain direct-current motor also "
            f"draws up to {CHARGING**2:.2g} times as much while the battery is charged: where the fuse blows then, take the next size that "
            "the cable may carry.",
            ("Practice", "Affinity"),
        ),
    ]


def _with_power(loads) -> list:
    return [other for other in loads if other.power.magnitude > 0]


def _rated(supply) -> str:
    return f"rated for direct current at {show(CHARGING * supply.voltage, 'V')} or more"


def _fuses(pond: Pond, parts: Parts) -> None:
    """Give every cable that a battery or other panels can feed a fuse of its own; list them."""
    supply, rows = pond.power, []
    if "pump_fuse" in (n.key for n in parts.numbers):
        pump = {n.key: n.value for n in parts.numbers if n.key in ("load_current", "pump_fuse", "cable_needed")}
        cable = parts.facts["cable"]
        rows.append(("the pump's cable", pump["load_current"], pump["pump_fuse"], cable))
    if supply.controller is not None and supply.battery is not None:
        rows.append(_to_battery(pond, parts))
    others = _with_power(supply.loads)
    if supply.battery is not None and len(others) + (pond.pump is not None) > 1:
        drawn = [e.load_current(power, supply.voltage) for power in (*_pumps(pond), *(other.power for other in others))]
        label = "Fuse between battery and disconnect of all loads"
        rows.append(_fused("disconnect_fuse", label, "battery to disconnect", sum(drawn), "loads'", parts))
    for i, other in enumerate(supply.loads, 1):
        if other.power.magnitude > 0:
            label, amperes = f"Fuse of the cable to load {i} besides the pump", e.load_current(other.power, supply.voltage)
            rows.append(_fused(f"load_{i}_fuse", label, f"cable to {other.name}", amperes, "load's", parts))
    if (panel := supply.panel) is not None and panel.count // panel.in_series >= MANY_STRINGS:
        note = "1.25 x 1.25 x Isc, and at most the largest series fuse that the panel's label allows"
        least = number("string_fuse", "Fuse of each string of panels, at least", "A",
                       lambda: e.controller_current(e.controller_current(panel.isc)), note=note)  # fmt: skip
        parts.numbers.append(least)
        rows.append((f"each of {panel.count // panel.in_series} strings of panels", panel.isc, least.value, "as the panel's own leads"))
    if not rows:
        return
    heads = ("guards", "current", "fuse", "cable, at least")
    parts.grids.append(Grid(FUSES, heads, ("", "A", "A", ""), tuple(rows)))
    parts.assumptions.append(
        Assumption(
            f"Every fuse at the battery is {_rated(supply)}: one for alternating current may not put out the arc. It must also break the "
            "current of a short circuit (its breaking or interrupting capacity). Blade fuses break 1000 A, and many batteries can send "
            "more: then the fuse nearest the plus pole is of a kind for 10 000 A or more, such as class T, as the battery's maker says.",
            ("ISO8820", "MainFuse"),
        )
    )


def _to_battery(pond: Pond, parts: Parts) -> tuple:
    """Choose cable and fuse between controller and battery, and say what is lost there; return the row of the table of fuses."""
    supply, amperes = pond.power, pond.power.controller.max_current
    run = _run(pond, "battery_length", "between controller and battery", parts)
    copper = _copper(amperes, run, supply.voltage)
    row = _fused("controller_fuse", "Fuse between controller and battery", "controller to battery", amperes, "controller's", parts, copper)
    if run is not None and (chosen := cable_row(copper, row[2], systems()[0])) is not None:
        parts.numbers.append(_lost("controller_drop", "the cable from the controller at its full current", amperes, run, chosen))
    return row


def _pumps(pond: Pond) -> list[Quantity]:
    return [] if pond.pump is None else [max(pond.pump.power, pond.pump.drawn)]


def _fused(key: str, label: str, guards: str, current: Quantity, whose: str, parts: Parts, copper: Quantity = LEAST_COPPER) -> tuple:
    """Choose the fuse for one cable, note it, and return its row of the table of fuses."""
    wanted = e.controller_current(current)
    rating = fuse_rating(wanted)
    if rating is None:
        parts.missing.append(f"no blade fuse reaches the {show(wanted, 'A')} for {guards}: ask the maker for a fuse of a larger kind")
        return guards, current, wanted, "ask the maker"
    note = f"1.25 x the {whose} {show(current, 'A')} is {show(wanted, 'A')}; the next standard size"
    parts.numbers.append(given(key, label, "A", rating, note))
    rows = [cable_row(copper, rating, system) for system in systems()]
    return guards, current, rating, " or ".join(r["size"] for r in rows if r) or "thicker than any of the table"


def cautions(pond: Pond) -> tuple[str, ...]:
    kind = pond.power.battery.kind if pond.power.battery else ""
    said = [
        "Electricity near water can kill. Keep every joint, controller and battery dry and out of reach of splashes. "
        "Mains near a pond belongs behind a "
        "residual-current device (RCD, GFCI) and is the work of a licensed electrician; the electrical code of your "
        "place comes before this plan.",
        "A battery can send hundreds of amperes through a dropped spanner: take off rings, cover one pole while you work "
        "on the other, and put the fuses "
        "within a hand's width of the plus pole before anything else: one for each cable that leaves it. The battery stands in a vented, "
        "locked box off the ground.",
        "A panel makes voltage whenever light falls on it: cover it, and connect the battery to the controller before "
        "the panel. Above 30 V direct current nothing belongs in reach of wet hands; above 60 V the panel side is the work of a licensed "
        "person.",
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
