"""What the numbers of the supply mean: sentences with a limit, and what to do."""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil

from ...units import Q, Quantity, show
from ..climate import MONTHS, of_place
from ..model import Pond
from ..night import KEEP_WARM
from ..offgrid import sun_left
from ..results import Finding, Stage, Urgency
from ..sunlight import best_tilt, latitude_of, sunlight
from ..wires import ampacity, wire_words
from .power_wiring import CHARGING, coldest_of

TOUCH = Q(30.0, "V")  # ripple-free direct current in a pool basin: IEC 60364-7-702 (source PoolBasin); NEC 680.2 has the same, from memory
BARE = Q(60.0, "V")  # above it even in the dry no bare part may be in reach: IEC's glossary, as read (source ExtraLow)
EXTRA_LOW = Q(120.0, "V")  # up to here direct current is extra-low voltage, by the same glossary
TOUCH_AC = Q(12.0, "V")  # alternating current there, by the same rule
FROST_NOTE = "as if the battery took its charge, which it must not below 0 °C: the next chapter counts that"
DARK = Q(0.3, "kWh/m2/d")  # a judgement: in a month darker than this the tilt does not matter
WELL_MATCHED = 0.55  # a judgement: panels of 18 V at 12 V use two thirds of their watts
WORTH_TURNING = 1.05  # a judgement: five per cent more sun is worth a new bracket


def find(pond: Pond, stages: Mapping[str, Stage]) -> list[Finding]:
    """Say where the supply is short, too hot, too high or too thin, and what would mend it."""
    stage = stages["power"]
    if not stage.planned:
        return []
    checks = (_tilt, _direction, _battery, _frost, _voltage, _controller, _charging, _mismatch, _touch, _wet, _cable, _fuses)
    found = [*_hours(pond, stages), *(one for check in checks for one in check(pond, stage))]
    return [one for one in found if one.key != "power.enough" or not _stops(stages)]


def _stops(stages: Mapping[str, Stage]) -> bool:
    """Tell whether the year hour by hour lets the pump stand still: then the mean day's good news says nothing."""
    season = stages.get("season")
    return season is not None and season.planned and season["unpowered"].value.m_as("h") >= 1


def _hours(pond: Pond, stages: Mapping[str, Stage]):
    stage = stages["power"]
    if "pump_hours" not in stage:
        return
    hours, wanted, month = stage["pump_hours"], pond.pump.hours_per_day, stage.facts["worst_month"]
    if hours.value.m_as("hour/day") >= wanted.m_as("hour/day") - 0.05:
        if stage.facts["short_months"] != "none" or uncharged_by_frost(pond):
            return  # a brighter month whose hot panels charge nothing, or a frozen battery, is told below
        yield Finding(
            "power.enough",
            Urgency.NOTE,
            f"Even in {month} the sun carries the pump for the {show(wanted, 'h/d')} wanted, at the cautious end.",
            "Keep the panel clean and free of snow.",
            ("power.pump_hours",),
        )
        return
    needed = next((stage[key] for key in ("panel_needed", "panel_current_needed") if key in stage), None)
    panel = pond.power.panel
    have = (
        show(panel.power * panel.count, "W")
        if needed is None or needed.key == "panel_needed"
        else show(panel.imp * (panel.count // panel.in_series), "A")
    )
    if needed:
        more = f"Carrying it in full takes {needed.text()} of panel (there are {have})"
    elif stage.facts.get("uncharged_months", "none") == "none":
        more = "No panel helps in a month without sun"
    else:
        more = "More panels of this voltage do not help: their voltage must come up first"
    frozen = f"Keep the battery above freezing, {KEEP_WARM}: below that it takes no charge, whatever the panel. "
    yield Finding(
        "power.short",
        Urgency.FIX,
        f"In {month} the sun carries the pump for {hours.text(digits=2)} of the {show(wanted, 'h/d')} wanted; short months: "
        f"{stage.facts['short_months']}.{_dull_days(stage, stages.get('season'))}",
        f"{frozen if hours.note == FROST_NOTE else ''}{more}. Or run the pump for fewer hours in those months, feed less then, or plan "
        "another source of power.",
        ("power.pump_hours", "power.energy_in"),
    )


def _dull_days(stage: Stage, season: Stage | None) -> str:
    """Name the months that are short only hour by hour, where the mean day has enough: a row of dull days empties the battery."""
    if season is None or "unpowered" not in season.series or stage.facts["short_months"] == "all":
        return ""
    known, used = (stage.facts[key] for key in ("short_months", "months_in_use"))
    more = [name for name, hours in zip(MONTHS, season.series["unpowered"].m, strict=True)
            if hours >= 1 and name not in known and (name in used or used == "all year")]
    return f" Hour by hour, rows of dull days stop it in {', '.join(more)} as well." if more else ""


def uncharged_by_frost(pond: Pond) -> bool:
    """Tell whether the battery is one that must not be charged at the cold it meets."""
    battery, coldest = pond.power.battery, coldest_of(pond)
    return battery is not None and battery.kind == "lifepo4" and coldest is not None and coldest.m_as("degC") < 0


def _tilt(pond: Pond, stage: Stage):
    if stage.facts.get("short_months", "none") == "none":
        return
    used, panel = _used(stage), pond.power.panel
    tilt, _ = best_tilt(of_place(pond.place), latitude_of(pond.place), panel.azimuth, used)
    sun, now = _weakest(pond, used, tilt=tilt), stage.series["sun"][used].min()
    if sun > now * WORTH_TURNING and sun > DARK:
        yield Finding(
            "power.tilt",
            Urgency.IMPROVE,
            f"At a tilt of {show(tilt, 'deg')} the panel would get {show(sun, 'kWh/m2/d', digits=2)} in its weakest month in use, "
            f"instead of {show(now, 'kWh/m2/d', digits=2)} at {show(pond.power.panel.tilt, 'deg')}.",
            "Set the panel to that tilt.",
            ("power.sun",),
        )


def _used(stage: Stage) -> list[int]:
    """Return the months in use, 0 for January."""
    named = stage.facts["months_in_use"]
    return [i for i, month in enumerate(MONTHS) if named == "all year" or month in named]


def _weakest(pond: Pond, used: list[int], **turned) -> Quantity:
    """Return the sun on the panel, turned as told, in the weakest of some months, with what stands before it."""
    panel = pond.power.panel.model_copy(update=turned)
    other = pond.model_copy(update={"power": pond.power.model_copy(update={"panel": panel})})
    light = sunlight(of_place(pond.place), latitude_of(pond.place), panel.tilt, panel.azimuth)
    return (light.on_panel * sun_left(other))[used].min()


def _direction(pond: Pond, stage: Stage):
    """Say where the panel would get more; near the equator the noon sun stands now in the south, now in the north."""
    if "sun" not in stage or pond.power.panel.tilt.m_as("deg") < 10:
        return
    towards = 180.0 if latitude_of(pond.place).m_as("deg") >= 0 else 0.0
    off = abs((pond.power.panel.azimuth.m_as("deg") - towards + 180) % 360 - 180)
    if off <= 60:
        return
    used = _used(stage)
    sun, now = _weakest(pond, used, azimuth=Q(towards, "deg")), stage.series["sun"][used].min()
    if sun > now * WORTH_TURNING:
        yield Finding(
            "power.direction",
            Urgency.IMPROVE,
            f"The panel faces {show(pond.power.panel.azimuth, 'deg')}, {off:.0f} degrees away from {towards:.0f} degrees (true "
            f"{'south' if towards else 'north'}), where it would get {show(sun, 'kWh/m2/d', digits=2)} in its weakest month in use instead "
            f"of {show(now, 'kWh/m2/d', digits=2)}.",
            "Turn it there if the place allows.",
            ("power.sun",),
        )


def _battery(pond: Pond, stage: Stage):
    if "battery_needed" not in stage:
        return
    needed, have = stage["battery_needed"], pond.power.battery.capacity
    if needed.value > have * 1.005:
        yield Finding(
            "power.battery_small",
            Urgency.FIX,
            f"{show(pond.power.autonomy, 'd')} without sun take a battery of {needed.text()}; the one planned has "
            f"{show(have, 'Ah')} and carries "
            f"{stage['battery_days'].text(digits=2)}.",
            "Take a larger battery, or run the pump for fewer hours while the sky is dark; keep a spare way to aerate.",
            ("power.battery_needed", "power.battery_days"),
        )


def _frost(pond: Pond, stage: Stage):
    battery, coldest = pond.power.battery, coldest_of(pond)
    if battery is None or coldest is None:
        return
    if uncharged_by_frost(pond):
        yield Finding(
            "power.lithium_frost",
            Urgency.FIX,
            f"The battery gets as cold as {show(coldest, 'degC')}; lithium iron phosphate must not be charged below "
            f"{show(Q(0.0, 'degC'), 'degC')}.",
            "Put it where it stays above freezing, or take one whose electronics stop charging in the cold, and count those "
            "days as days without sun.",
            ("power.battery_days",),
        )
    if "battery_freezes" in stage and coldest.m_as("degC") < stage["battery_freezes"].value.m_as("degC"):
        yield Finding(
            "power.battery_freezes",
            Urgency.FIX,
            f"A lead-acid battery discharged as far as planned freezes at {stage['battery_freezes'].text(digits=2)}; yours may meet "
            f"{show(coldest, 'degC')}, and ice bursts its case.",
            "Keep it indoors or insulated, and fuller in frost.",
            ("power.battery_freezes",),
        )


def _voltage(pond: Pond, stage: Stage):
    if "cold_voltage" not in stage or pond.power.controller is None:
        return
    volts, limit = stage["cold_voltage"], pond.power.controller.max_voltage
    if volts.value > limit:
        guessed = f" (guessed at {stage.facts['guessed_cold']}: the file has no record_cold)" if "guessed_cold" in stage.facts else ""
        yield Finding(
            "power.voltage",
            Urgency.DANGER,
            f"At the coldest dawn{guessed} the panels reach {volts.text()}; the controller stands {show(limit, 'V')}.",
            "Put fewer panels in series, or take a controller for a higher voltage. Do not connect it as planned: it can be "
            "destroyed and burn.",
            ("power.cold_voltage",),
        )


def _controller(pond: Pond, stage: Stage):
    if "controller_current" not in stage:
        return
    needed, limit, kind = stage["controller_current"], pond.power.controller.max_current, pond.power.controller.kind
    if needed.value <= limit:
        return
    if kind == "switching" or needed.value / 1.25 > limit:
        yield Finding(
            "power.controller_current",
            Urgency.FIX,
            f"The panels ask for a controller of {needed.text()}; the one planned is for {show(limit, 'A')}.",
            "Take a larger controller, or fewer panels on this one.",
            ("power.controller_current",),
        )
    else:
        yield Finding(
            "power.controller_clips",
            Urgency.NOTE,
            f"With its margin the controller should be for {needed.text()}; yours is for {show(limit, 'A')} and will waste "
            "some sun in the brightest hours.",
            "That costs little in winter. See its manual: it must say that it limits its own current.",
            ("power.controller_current",),
        )


def _charging(pond: Pond, stage: Stage):
    if "hot_voltage" not in stage or pond.power.battery is None:
        return
    volts, charge = stage["hot_voltage"], CHARGING * pond.power.voltage
    if volts.value >= charge:
        return
    uncharged = stage.facts.get("uncharged_months", "none")
    what = f"Hot panels work at {volts.text()}, below the {show(charge, 'V')} at which the battery is charged full."
    if uncharged != "none":
        when = "in no month" if uncharged == "all" else f"not in {uncharged}"
        what = (
            f"The panels' voltage, {volts.text()} when hot, is too low for this battery, which is charged at {show(charge, 'V')}: they "
            f"charge it little or not at all, and {when} does the plan count on them."
        )
    yield Finding(
        "power.charging_voltage",
        Urgency.FIX,
        what,
        f"{_more_in_series(pond, stage, charge)}, or take panels of a higher voltage.",
        ("power.hot_voltage",),
    )


def _more_in_series(pond: Pond, stage: Stage, charge: Quantity) -> str:
    """Say how many panels in a row reach the battery's charging voltage when hot, and whether the controller stands them when cold."""
    panel, limit = pond.power.panel, pond.power.controller.max_voltage
    count = ceil(float((charge * panel.in_series / stage["hot_voltage"].value).m_as("")) - 1e-9)
    if "cold_voltage" not in stage:
        return f"Put {count} panels in series (mind the controller's highest voltage)"
    cold = stage["cold_voltage"].value * (count / panel.in_series)
    if cold > limit:
        return (f"Put {count} panels in series, with a controller for more than the {show(cold, 'V')} that they reach at the coldest dawn "
                f"(this one stands {show(limit, 'V')})")
    return f"Put {count} panels in series: at the coldest dawn they reach {show(cold, 'V')}, and the controller stands {show(limit, 'V')}"


def _mismatch(pond: Pond, stage: Stage):
    if "controller_current" not in stage or pond.power.controller.kind != "switching":
        return
    volts = pond.power.panel.vmp * pond.power.panel.in_series
    used = (pond.power.voltage / volts).m_as("")
    if used < WELL_MATCHED:
        yield Finding(
            "power.mismatch",
            Urgency.IMPROVE,
            f"A switching controller holds panels that work at {show(volts, 'V')} down at the battery's {show(pond.power.voltage, 'V')}: "
            f"about {100 * used:.0f} % of their watts are used; two thirds is usual.",
            "Take an MPPT controller, or panels of about 18 V for each 12 V of battery.",
            ("power.energy_in",),
        )


def _touch(pond: Pond, stage: Stage):
    """Say how high the panel side rises: the higher, the less it is the reader's own work."""
    if "cold_voltage" not in stage or stage["cold_voltage"].value <= TOUCH:
        return
    volts = stage["cold_voltage"]
    if volts.value > EXTRA_LOW:
        urgency = Urgency.DANGER
        what = (f"above the {show(EXTRA_LOW, 'V')} up to which direct current counts as extra-low voltage (IEC's glossary). A touch can "
                "kill, and an arc of direct current does not go out by itself.")
        do = ("Do not build or touch this side yourself: it is the work of a licensed electrician, by the electrical code of your place. "
              "Or put fewer panels in series.")
    elif volts.value > BARE:
        urgency = Urgency.FIX
        what = (f"above the {show(BARE, 'V')} of direct current beyond which even in dry places no bare part may be in reach (IEC's "
                f"glossary); inside a pool basin {show(TOUCH, 'V')} is the most.")
        do = ("Have it planned and connected by a licensed person, by the electrical code of your place: connectors made for it, a switch "
              "for direct current, nothing near the water. Or put fewer panels in series.")
    else:
        urgency = Urgency.NOTE
        what = f"above the {show(TOUCH, 'V')} of direct current that wiring rules allow inside a pool basin."
        do = ("Keep its plugs and cables off the ground and out of reach of the water, and cover the panel before touching them. The "
              "electrical code of your place decides; ask a licensed person if in doubt.")
    yield Finding("power.touch", urgency, f"The panel side can reach {volts.text()}, {what}", do, ("power.cold_voltage",))


def _wet(pond: Pond, stage: Stage):
    """Name a supply too high for a pump that lies in the water: what its cable carries while the battery is charged."""
    volts = CHARGING * pond.power.voltage
    if pond.pump is not None and volts > TOUCH:
        yield Finding(
            "power.water_voltage",
            Urgency.DANGER,
            f"A {show(pond.power.voltage, 'V')} battery stands at up to {show(volts, 'V')} while it is charged. For what lies inside a "
            f"pool basin, wiring rules (IEC 60364-7-702, read as quoted) allow at most {show(TOUCH, 'V')} of direct current or "
            f"{show(TOUCH_AC, 'V')} of alternating current, from a separated source outside the zones round the water. A damaged cable "
            "in the pond can harm whoever reaches in.",
            "If the pump or anything else on this supply lies in the pond, take 24 V or less, or a pump that stands outside, dry. The "
            "code of your place decides: ask a licensed electrician before building.",
            ("power.load_current",),
        )


def _cable(pond: Pond, stage: Stage):
    cable = pond.power.cable
    if "pump_fuse" not in stage:
        return
    fuse = stage["pump_fuse"].value
    if cable.size is not None and ampacity(cable.size) < fuse:
        yield Finding(
            "power.cable_fuse",
            Urgency.DANGER,
            f"A cable of {wire_words(cable.size)} may carry {show(ampacity(cable.size), 'A')}, less than the {show(fuse, 'A')} that "
            "the pump's fuse lets through: it could burn before the fuse blows.",
            f"Use a cable of at least this: {stage.facts['cable']}. A higher system voltage needs less current.",
            ("power.pump_fuse",),
        )
    elif cable.size is not None and cable.size < stage["drop_area"].value:
        share = stage["voltage_drop"].high / pond.power.voltage
        yield Finding(
            "power.cable_thin",
            Urgency.FIX,
            f"The cable of {wire_words(cable.size)} may lose {100 * share.m_as(''):.2g} % of the voltage over {show(cable.length, 'm')}; "
            "plan on 2 %, and never more than 5 %.",
            f"Use a cable of at least this: {stage.facts['cable']}. Or bring the battery nearer to the pump.",
            ("power.voltage_drop", "power.drop_area"),
        )


def _fuses(pond: Pond, stage: Stage):
    """Say which fuses there must be: one for every cable that a battery, or other panels, can feed."""
    if "pump_fuse" in stage:
        yield Finding(
            "power.pump_fuse",
            Urgency.NOTE,
            f"The fuse of the pump's cable is {stage.facts['pump_fuse']}.",
            "Fit it before anything else is connected; a blown fuse is a question, so find the cause before replacing it.",
            ("power.pump_fuse",),
        )
    loads = [key for key in stage.numbers if key.startswith("load_") and key.endswith("_fuse")]
    said = [f"{stage['controller_fuse'].text()} between controller and battery"] if "controller_fuse" in stage else []
    said += [f"{stage[key].text()} for the cable to {other.name}" for key, other in _by_load(pond, loads)]
    if "disconnect_fuse" in stage:
        said.insert(0, f"{stage['disconnect_fuse'].text()} between battery and disconnect, for all loads")
    if said:
        yield Finding(
            "power.other_fuses",
            Urgency.NOTE,
            f"The pump's fuse guards only the pump's cable. Others are needed, each where its cable begins: {'; '.join(said)}.",
            "No cable leaves the battery without a fuse of its own. A manual that names a size comes first, if the cable can carry it.",
            tuple(f"power.{key}" for key in ("controller_fuse", "disconnect_fuse", *loads) if key in stage),
        )
    if "string_fuse" in stage:
        yield Finding(
            "power.string_fuse",
            Urgency.FIX,
            f"{pond.power.panel.count // pond.power.panel.in_series} strings of panels stand side by side. If one fails, the others "
            f"push their current back through it: each string needs a fuse of its own, for at least {stage['string_fuse'].text()}.",
            "Take fuses made for panels and their direct voltage, and none above the largest series fuse on the panel's label. Two strings "
            "need none.",
            ("power.string_fuse",),
        )


def _by_load(pond: Pond, keys: list[str]):
    return [(key, pond.power.loads[int(key.split("_")[1]) - 1]) for key in keys]
