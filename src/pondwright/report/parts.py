"""What to buy or find: the parts that the pond file names, with the plan's numbers where the plan has them."""
from __future__ import annotations

from dataclasses import dataclass

from ..pond.plan import Plan
from ..tables import load
from ..units import show
from .words import plain


@dataclass(frozen=True)
class Part:
    """One line of the parts list: what it is, how much or how large, and what it was taken from."""

    what: str
    size: str
    origin: str


FILE, PLAN = "your pond file", "this plan"


def parts(plan: Plan, system: str) -> list[Part]:
    """List the parts of a plan; a section that the pond file does not have adds none."""
    return [*_liner(plan, system), *_filter(plan, system), *_pump(plan, system), *_line(plan, system), *_electrics(plan, system)]


def _text(plan: Plan, dotted: str, system: str) -> str:
    """Write a number of the plan, or "" where it was not planned."""
    stage, _, key = dotted.partition(".")
    return plan.stages[stage][key].text(system) if stage in plan.stages and key in plan.stages[stage] else ""


def _liner(plan, system):
    length, width = (_text(plan, f"survey.{side}", system) for side in ("liner_length", "liner_width"))
    if length and width:
        yield Part("Pond liner, if the pond needs one", f"one sheet, {length} by {width}", PLAN)


def _filter(plan, system):
    if (box := plan.pond.filter) is None:
        return
    media = load("media")[box.media]
    volume, mass = box.media_volume, box.media_volume * media["bulk_density"]
    yield Part("Filter container, of known and harmless content before", show(box.container, "L", system), FILE)
    yield Part(f"Media: {media['name']}", f"{show(volume, 'L', system)}, about {show(mass, 'kg', system, 2)} dry", FILE)
    if needed := _text(plan, "filter.media_needed", system):
        yield Part("Media that the plan asks for", needed, PLAN)
    yield Part("Solids filter before the media (mat or settler)", "one" if box.solids_filter else "none is in the pond file", FILE)


def _pump(plan, system):
    if (pump := plan.pond.pump) is None:
        return
    volts = f", {show(plan.pond.power.voltage, 'V', system)}" if plan.pond.power else ""
    best = pump.curve[-1]
    yield Part("Pump", f"{show(pump.power, 'W', system)}{volts}, up to {show(best.flow, 'L/min', system)} and "
                       f"{show(pump.curve[0].head, 'm', system)} of head", FILE)


def _line(plan, system):
    if (line := plan.pond.plumbing) is None:
        return
    if line.pipe is not None:
        pipe = load("pipes")[line.pipe]
        size = f"{pipe['series']} {pipe['size']}"
    else:
        size = f"{show(line.inside_diameter, 'mm', system)} inside"
    yield Part("Pipe or hose", f"{show(line.length, 'm', system)} of {size}", FILE)
    for key, count in line.fittings.items():
        if count:
            yield Part(f"Fitting: {load('fittings')[key]['label']}", str(count), FILE)


def _electrics(plan, system):
    if (supply := plan.pond.power) is None:
        return
    if panel := supply.panel:
        yield Part("Solar panel", f"{panel.count} of {show(panel.power, 'W')}, {panel.in_series} in series", FILE)
    if controller := supply.controller:
        kind = "switching (PWM)" if controller.kind == "switching" else "MPPT"
        limits = f"{show(controller.max_current, 'A')}, panels up to {show(controller.max_voltage, 'V')}"
        yield Part("Charge controller", f"{kind}, {limits}", FILE)
    if battery := supply.battery:
        kind = "lead-acid" if battery.kind == "lead_acid" else "lithium iron phosphate"
        yield Part("Battery", f"{kind}, {show(battery.capacity, 'Ah')} at {show(supply.voltage, 'V')}", FILE)
    if supply.cable:
        size = f"{show(supply.cable.size, 'mm2')}" if supply.cable.size else "size not in the pond file"
        yield Part("Cable from the battery to the pump", f"{show(supply.cable.length, 'm', system)} one way, {size}", FILE)
    for load_ in supply.loads:
        yield Part(f"Also to be fed: {plain(load_.name)}", f"{show(load_.power, 'W')}, {show(load_.hours_per_day, 'h/d')}", FILE)
