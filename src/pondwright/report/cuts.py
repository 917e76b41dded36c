"""The filter vessel and its pipes as parts: pieces to cut, fittings, holes to drill, layers to fill in."""
from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from ..pond.line import Plumbing
from ..pond.plan import Plan
from ..pond.strata import built
from ..pond.vessel import Outlet, Vessel
from ..tables import load
from ..units import Q, Quantity, show, unit
from .words import plain

ENDS = ("entrance", "entrance_projecting", "exit")  # losses at the ends of a line: nothing to buy
WALL = Q(10.0, "cm")  # of each drain's pipe for the wall, its seal and the end inside; a judgement, measure yours
FITTINGS = {"tee": "tee", "elbow_up": "90 degree elbow", "elbow_down": "90 degree elbow"}
_M = unit("m")


@dataclass(frozen=True)
class Part:
    """One line of the parts list: what it is, what the pond file says of it, what the plan asks for."""

    what: str
    have: str = ""
    want: str = ""


def length(quantity: Quantity, system: str) -> str:
    """Write a length to cut: centimetres (or inches) below two metres, metres (or feet) from there on."""
    return show(quantity, "cm" if quantity.m_as(_M) < 2 else "m", system)


def line_parts(line: Plumbing, system: str) -> Iterator[Part]:
    """List the pipes of the feed line, each to its length, and its fittings."""
    for n, run in enumerate(line.line, 1):
        if run.pipe is not None:
            row = load("pipes")[run.pipe]
            size = f"{row['series']} {row['size']}"
        else:
            size = f"pipe or hose, {show(run.inside_diameter, 'mm', system)} inside"
        name = "Feed line, from the pump to the filter" if len(line.line) == 1 else f"Feed line, run {n} from the pump"
        yield Part(name, f"cut {length(run.length, system)} of {size}")
        fittings = [f"{count} x {load('fittings')[key]['label'].replace(';', ',')}" for key, count in run.fittings.items()
                    if count and key not in ENDS]
        if fittings:
            yield Part("Its fittings", plain("; ".join(fittings)))
    if line.air_break:
        yield Part("Air hole in the line, above the vessel's water", f"one of {show(Q(5.0, 'mm'), 'mm', system)}")


def vessel_parts(vessel: Vessel, system: str) -> Iterator[Part]:
    """List the vessel, its layers in litres and areas, and its spreader."""
    inside = built(vessel)
    area = Q(inside.area, "m2")
    size = ([vessel.length, vessel.width] if vessel.shape == "box" else [vessel.diameter]) + [vessel.height]
    sides = " x ".join(show(side, "cm", system) for side in size)
    yield Part(f"Filter vessel of known and harmless content before: {vessel.shape}, inside", sides)
    for stratum in inside.strata:
        thick = show(stratum.layer.thickness, "cm", system)
        if stratum.kind == "mat":
            yield Part(f"Mat: {stratum.name}", f"{show(area, 'm2', system)}, {thick} thick")
        elif stratum.kind == "media":
            mass = show(Q(stratum.volume * stratum.bulk, "kg"), "kg", system, 2)
            yield Part(f"Layer of {stratum.name}", f"{show(Q(stratum.volume, 'm3'), 'L', system)}, {thick} deep, about {mass} dry")
        elif stratum.kind == "grid":
            yield Part("Grid that carries the layers above it", f"{show(area, 'm2', system)}, on feet of "
                                                                f"{show(Q(stratum.bottom, 'm'), 'cm', system)}")
    if (spreader := vessel.spreader) is None:
        return
    holes = f"{spreader.holes} holes of {show(spreader.hole, 'mm', system)}"
    if spreader.kind == "pipe":
        apart = show(spreader.length / spreader.holes, "cm", system, 2)
        pipe = f"cut {length(spreader.length, system)} of pipe, {show(spreader.inside_diameter, 'mm', system)} inside, its end closed"
        yield Part("Spreader pipe", f"{pipe}; {holes}, {apart} apart")
    else:
        yield Part("Spreader plate", f"{show(area, 'm2', system)}, {holes}")


def drain_parts(plan: Plan, system: str) -> Iterator[Part]:
    """List the pieces of the drains, alike ones together, their fittings, seals and holes, and the overflow that the plan asks for."""
    outlets = plan.pond.vessel.outlets
    piped = [outlet for outlet in outlets if outlet.kind != "hole" and outlet.length is not None]
    pieces = Counter((show(outlet.inside_diameter, "mm", system), length(_piece(outlet), system)) for outlet in piped)
    for (bore, long), count in pieces.items():
        yield Part(f"Drain pipe, {bore} inside", f"cut {count} x {long}, with {show(WALL, 'cm', system)} for the wall")
    turned = Counter((o.kind.removeprefix("elbow_"), show(o.inside_diameter, "mm", system), length(abs(o.mouth - o.height), system))
                     for o in outlets if o.mouth is not None and o.mouth != o.height)
    for (where, bore, long), count in turned.items():
        yield Part(f"Pipe inside the vessel, {where} from its elbow, {bore} inside", f"cut {count} x {long}")
    for fitting, count in Counter(FITTINGS[o.kind] for o in outlets if o.kind in FITTINGS).items():
        yield Part(f"Drains: {fitting}", str(count))
    if screens := sum(o.screen_open is not None for o in outlets):
        yield Part("Screens before the drains", str(screens))
    holes = {row[0]: row for grid in plan["drains"].grids if grid.title.startswith("Holes") for row in grid.rows}
    for outlet in outlets:
        yield Part(f"Hole for {plain(outlet.name)}", _hole(outlet, holes.get(outlet.name), system))
    if siphon := plan.pond.vessel.siphon:
        bore = show(siphon.inside_diameter, "mm", system)
        yield Part(f"Siphon, {siphon.kind}", f"cut {length(siphon.length, system)} of pipe, {bore} inside, its crest at "
                                             f"{show(siphon.crest, 'cm', system)}")
        if siphon.kind == "bell":
            yield Part("Hole for the siphon's pipe", f"{_seal_words(holes.get('the siphon'), system)}, in the floor")
            mouth = show(siphon.mouth, "cm", system)
            yield Part("Bell over it, closed at its top", f"its open end {mouth} above the bottom; about twice as wide inside as the pipe "
                                                          "(common practice)")
    stage = plan["drains"]
    if (wanted := stage.facts.get("overflow")) and stage["overflow_flow"].value.m > 0:
        yield Part("Overflow that leads back to the pond", want=plain(wanted))


def _piece(outlet: Outlet) -> Quantity:
    """Return the pipe to cut for an outlet: outside, through the wall, and what stands up from the floor; an elbow ends it inside."""
    return outlet.length + WALL + (outlet.height if outlet.kind == "floor" else Q(0.0, "cm"))


def _hole(outlet: Outlet, row: tuple | None, system: str) -> str:
    where = "in the floor" if outlet.kind == "floor" else f"its centre {show(outlet.height, 'cm', system)} above the bottom"
    if outlet.kind == "hole" and row is not None and row[1] is not None:
        return f"{show(row[1], 'mm', system)}, {where}"
    return f"{_seal_words(row, system)}, {where}"


def _seal_words(row: tuple | None, system: str) -> str:
    """Say how wide a hole the seal asks for: a row of the table of holes, or nothing known."""
    if row is None or row[1] is None:
        return "as the seal that you buy asks for"
    least, most = (show(size, "mm", system) for size in row[1:3])
    return f"{least if least == most else f'{least} to {most}'} is common for its seal (measure it first)"
