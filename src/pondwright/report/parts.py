"""What to buy or find: the parts that the pond file names, with the plan's numbers where the plan has them."""
from __future__ import annotations

from ..pond.plan import Plan
from ..pond.stages.power_wiring import FUSES
from ..tables import load
from ..units import show
from .cuts import Part, drain_parts, line_parts, vessel_parts
from .words import plain


def parts(plan: Plan, system: str) -> dict[str, list[Part]]:
    """List the parts of a plan by the stage whose cautions belong to them; a section that the pond file does not have adds none."""
    found = {
        "survey": [*_liner(plan, system)],
        "plumbing": [*_pump(plan, system), *(line_parts(plan.pond.plumbing, system) if plan.pond.plumbing else ())],
        "power": [*_electrics(plan, system)],
        "filter": [*_filter(plan, system)],
        "vessel": [*(vessel_parts(plan.pond.vessel, system) if plan.pond.vessel else ())],
        "drains": [*(drain_parts(plan, system) if plan.pond.vessel and "drains" in plan.stages else ())],
    }
    return {stage: listed for stage, listed in found.items() if listed}


def _wanted(plan: Plan, dotted: str, system: str) -> str:
    """Write a number of the plan, or "" where it was not planned."""
    stage, _, key = dotted.partition(".")
    return plan.stages[stage][key].text(system) if stage in plan.stages and key in plan.stages[stage] else ""


def _fact(plan: Plan, stage: str, key: str) -> str:
    return plain(plan.stages[stage].facts.get(key, "")) if stage in plan.stages else ""


def _liner(plan, system):
    length, width = (_wanted(plan, f"survey.{side}", system) for side in ("liner_length", "liner_width"))
    if length and width:
        yield Part("Pond liner, if the pond needs one", want=f"one sheet, {length} by {width}")


def _filter(plan, system):
    if (box := plan.pond.filter) is None:
        return
    media = load("media")[box.media]
    size = f"{show(box.media_volume, 'L', system)}, about {show(box.media_volume * media['bulk_density'], 'kg', system, 2)} dry"
    needed, vessel = _wanted(plan, "filter.media_needed", system), plan.pond.vessel
    if vessel is None:
        yield Part("Filter container, of known and harmless content before", show(box.container, "L", system))
    yield Part(f"Media{'' if vessel is None else ' of all layers together'}: {media['name']}", size, needed)
    if vessel is None or not any(layer.kind == "mat" for layer in vessel.layers):
        yield Part("Solids filter before the media (mat or settler)", "one" if box.solids_filter else "none")


def _pump(plan, system):
    if (pump := plan.pond.pump) is None:
        return
    volts = f", {show(plan.pond.power.voltage, 'V', system)}" if plan.pond.power else ""
    best = f"up to {show(pump.curve[-1].flow, 'L/min', system)} and {show(pump.curve[0].head, 'm', system)} of head"
    yield Part("Pump", f"{show(pump.power, 'W', system)}{volts}, {best}")


def _electrics(plan, system):
    if (supply := plan.pond.power) is None:
        return
    if panel := supply.panel:
        needed = _wanted(plan, "power.panel_needed", system)
        yield Part("Solar panel", f"{panel.count} of {show(panel.power, 'W')}, {panel.in_series} in series", needed and f"{needed} in all")
    if controller := supply.controller:
        kind = "switching (PWM)" if controller.kind == "switching" else "MPPT"
        limits = f"{show(controller.max_current, 'A')}, panels up to {show(controller.max_voltage, 'V')}"
        needed = (_wanted(plan, f"power.{key}", system) for key in ("controller_current", "cold_voltage"))
        yield Part("Charge controller", f"{kind}, {limits}", ", ".join(filter(None, needed)))
    if battery := supply.battery:
        kind = "lead-acid" if battery.kind == "lead_acid" else "lithium iron phosphate"
        has = f"{kind}, {show(battery.capacity, 'Ah')} at {show(supply.voltage, 'V')}"
        yield Part("Battery", has, _wanted(plan, "power.battery_needed", system))
    yield from _cables(plan, system)
    if supply.battery and (supply.loads or plan.pond.pump):
        fuse = _wanted(plan, "power.disconnect_fuse", system) or _wanted(plan, "power.pump_fuse", system)
        bears = " and ".join(filter(None, (show(supply.voltage, "V"), fuse)))
        yield Part("Low-voltage disconnect for all loads", "or the controller's load output", f"for {bears} or more")
    if fuse := _fact(plan, "power", "pump_fuse"):
        yield Part("Fuse of the pump's cable, and its holder", want=fuse)
    for key, words in (("controller_fuse", "controller and battery"), ("disconnect_fuse", "battery and disconnect")):
        if fuse := _wanted(plan, f"power.{key}", system):
            yield Part(f"Fuse between {words}", want=fuse)
    for key, number in (plan.stages["power"].numbers if "power" in plan.stages else {}).items():
        if (key.startswith("load_") and key.endswith("_fuse")) or key == "string_fuse":
            yield Part(number.label, want=number.text(system))
    for other in supply.loads:
        yield Part(f"Also to be fed: {plain(other.name)}", f"{show(other.power, 'W')}, {show(other.hours_per_day, 'h/d')}")


def _cables(plan, system):
    """List every cable that the plan sized: from the panels, to the battery, to the disconnect and to each load."""
    cable, stage = plan.pond.power.cable, plan.stages.get("power")

    def run(key):
        length = getattr(cable, key, None)
        return show(length, "m", system) + " one way" if length else "length still open"

    if size := _fact(plan, "power", "panel_cable"):
        yield Part("Cable from the panels to the controller", f"{run('panel_length')}, made for sun and weather", f"{size}, or more")
    if cable:
        size, wanted = show(cable.size, "mm2") if cable.size else "size still open", _fact(plan, "power", "cable")
        if refused := _fact(plan, "power", "cable_refused"):
            size = f"not {refused}"
        what = "Cable from the battery to the pump" if plan.pond.power.battery else "Cable to the pump"
        yield Part(what, f"{run('length')}, {size}", wanted and f"{wanted}, or more")
    for grid in stage.grids if stage else ():
        for guards, _, _, size in grid.rows if grid.title == FUSES else ():
            if guards == "controller to battery":
                yield Part("Cable from the controller to the battery", run("battery_length"), f"{size}, or more")
            elif guards == "battery to disconnect":
                yield Part("Cable from the battery to the disconnect", "as short as can be", f"{size}, or more")
            elif guards.startswith("cable to "):
                yield Part(plain(guards[0].upper() + guards[1:]), "length still open", f"{size}, or thicker where it is long")
