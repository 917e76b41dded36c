"""The supply as a one-line wiring diagram: what is connected to what, with the sizes that the plan found."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from textwrap import shorten

from ..pond.plan import Plan
from ..pond.results import Stage
from ..pond.stages.power_wiring import FUSES
from ..pond.wires import wire_words
from ..units import show
from .base import BLACK, GREY, Picture

MOST_LOADS = 3  # as many as the sheet has room for; the others are named in words
NAME = 23  # letters that a box holds
TOP, ROW = 6.3, 1.4  # height of the first load, and from one load to the next
EACH = "Each line is a pair of wires, plus and minus; each fuse stands in the plus. Earthing and switches: as the code of your place says."
SWITCH = ("The disconnect takes the loads off an empty battery. A controller with a load output has it inside: then the loads hang on "
          "that, each with its fuse.")
_POLE, _BUS, _END = 8.7, 12.9, 15.8  # how far right the battery's plus pole, what feeds the loads, and the loads stand
_SWITCH = 10.4, 2.2  # where the disconnect begins, and how wide it is


@dataclass(frozen=True)
class Line:
    """One load on the diagram: what it is, its fuse and its cable, in words."""

    name: str
    fuse: str
    cable: str


class WiringPicture(Picture):
    """Panels, controller, battery and loads from left to right; each line is a pair of wires, each fuse stands in the plus."""

    size = (9.2, 3.7)
    shows = "power.controller_current"

    def build(self) -> list:
        self.sheet = self.figure.add_axes((0, 0, 1, 1))
        return []

    def draw(self, plan: Plan, system: str) -> None:
        """Draw the sheet anew: it is shown once, not under a slider."""
        import schemdraw

        self._frame = None
        self.sheet.clear()
        drawing = schemdraw.Drawing(canvas=self.sheet, show=False)
        drawing.config(unit=1.5, fontsize=8.5, lw=1.3, color=BLACK)
        _Sheet(drawing, plan, system).fill()
        drawing.draw(show=False)
        self.sheet.set(xlim=(0, 18.4), ylim=(0, 7.4))
        self.sheet.set_axis_off()

    def alt(self, plan: Plan, system: str = "metric") -> str:
        stage, supply = plan["power"], plan.pond.power
        if not stage.planned or supply is None:
            return f"An empty sheet: the wiring {(stage.missing or ('is not planned',))[0]}."
        said = ["Wiring from left to right"]
        if supply.panel is not None:
            said.append(", ".join(_panels(plan, system)))
        if supply.controller is not None:
            fuse, cable = _row(stage, "controller to battery", system)
            run = _run(plan, "battery_length", system)
            guard = f", then a fuse of {fuse} beside the battery and a cable of {run}{cable}" if fuse and supply.battery else ""
            said.append(f"{', '.join(_controller(plan, system))}{guard}")
        if supply.battery is not None:
            near = "the fuse of each cable that leaves it stands within a hand's width of its plus pole"
            said.append(f"{', '.join(_battery(plan, system))}; {near}")
            fuse, cable = _row(stage, "battery to disconnect", system)
            guard = f"a fuse of {fuse}, a cable of {cable} and " if fuse else ""
            if _lines(plan, system):
                said.append(f"From the battery to the loads: {guard}a low-voltage disconnect, or the controller's load output")
        said += [f"{line.name}: fuse {line.fuse}, cable {line.cable}" for line in _lines(plan, system)]
        return ". ".join(f"{words[0].upper()}{words[1:]}" for words in said) + "."


class _Sheet:
    """The drawing in schemdraw's own units: half an inch each."""

    def __init__(self, drawing, plan: Plan, system: str):
        import schemdraw.elements as elm

        self.drawing, self.plan, self.system, self.elm = drawing, plan, system, elm
        self.lines, self.supply, self.stage = _lines(plan, system), plan.pond.power, plan["power"]

    def fill(self) -> None:
        if not self.stage.planned or self.supply is None:
            self.write(9.2, 3.7, ["The wiring is not planned yet."], align="center")
            return
        self.source()
        self.loads()
        if self.supply.battery is not None:
            self.battery()
        first = "Connect the battery to the controller first," if self.supply.battery else "Connect what the controller feeds first,"
        parts = "Controller, fuses and battery stand dry," if self.supply.battery else "Controller and fuses stand dry,"
        self.write(0.25, 3.9, [first, "the panels last: cover them until then.", parts, "out of reach of splashes and children."])
        self.write(0.25, 0.65, [EACH, SWITCH if self.supply.battery else ""], grey=True)

    def wire(self, *points) -> None:
        for a, b in itertools.pairwise(points):
            self.drawing.add(self.elm.Line().at(a).to(b))

    def write(self, x: float, y: float, lines, grey: bool = False, align: str = "left") -> None:
        for n, words in enumerate(lines):
            label = self.elm.Label().at((x - (0.12 if align == "center" else 0), y - 0.36 * n))
            self.drawing.add(label.label(words, halign=align, fontsize=8.5, color=GREY if grey else BLACK))

    def box(self, x: float, y: float, width: float, height: float, lines) -> None:
        self.drawing.add(self.elm.Rect(corner1=(0, 0), corner2=(width, height)).at((x, y - height / 2)))
        self.write(x + width / 2, y - 0.12 + 0.18 * (len(lines) - 1), lines, align="center")

    def fuse(self, x: float, y: float, words: str) -> None:
        self.drawing.add(self.elm.FuseIEC().at((x, y)).to((x + 1.1, y)))
        self.write(x + 0.55, y + 0.42, [words], align="center")

    def source(self) -> None:
        """Panels and controller, and the cable between controller and battery with its fuse."""
        if self.supply.panel is not None:
            words = _panels(self.plan, self.system)
            self.box(0.25, TOP, 2.7, 1.4, words[:3])
            self.wire((2.95, TOP), (3.6, TOP))
            self.write(0.25, TOP - 1.1, words[3:])
        if self.supply.controller is None:
            if self.supply.panel is not None and self.supply.battery is None:  # the pump hangs on its panel alone
                self.wire((3.6, TOP), (_BUS, TOP))
            return
        self.box(3.6, TOP, 2.8, 1.4, _controller(self.plan, self.system))
        fuse, cable = _row(self.stage, "controller to battery", self.system)
        if fuse and self.supply.battery is not None:
            self.wire((6.4, TOP), (7.0, TOP))
            self.fuse(7.0, TOP, fuse)
            self.wire((8.1, TOP), (_POLE, TOP))
            run = _run(self.plan, "battery_length", self.system)
            self.write(7.55, TOP - 0.6, _told(run + _sold(cable, self.system)), align="center")
        elif self.supply.battery is not None:
            self.wire((6.4, TOP), (_POLE, TOP))
        else:
            self.wire((6.4, TOP), (_BUS, TOP))

    def battery(self) -> None:
        self.wire((_POLE, TOP), (_POLE, 2.6))
        self.drawing.add(self.elm.Battery().at((_POLE, 1.4)).to((_POLE, 2.6)))
        self.drawing.add(self.elm.Dot().at((_POLE, TOP)))
        self.write(_POLE - 0.8, 2.05, _battery(self.plan, self.system), align="right")
        self.write(_POLE - 0.25, 2.5, ["+"], align="right")
        near = ["Where a cable leaves the battery, its fuse stands within a", "hand's width of the plus pole, fitted before anything else."]
        self.write(_POLE + 0.7, 2.05, near)

    def disconnect(self) -> None:
        """Draw the switch that takes all loads off an empty battery: behind one fuse for all, or behind that of the only load."""
        feed, cable = _row(self.stage, "battery to disconnect", self.system)
        fuse, (start, width) = feed or self.lines[0].fuse, _SWITCH
        self.wire((_POLE, TOP), (_POLE + 0.3, TOP))
        if fuse:
            self.fuse(_POLE + 0.3, TOP, fuse)
            self.wire((_POLE + 1.4, TOP), (start, TOP))
        else:
            self.wire((_POLE + 0.3, TOP), (start, TOP))
        self.write(_POLE + 0.85, TOP - 0.6, _told(_sold(cable, self.system)), align="center")
        self.box(start, TOP, width, 1.1, ["low-voltage", "disconnect"])
        self.wire((start + width, TOP), (_BUS, TOP))

    def loads(self) -> None:
        if self.supply.battery is not None and self.lines:
            self.disconnect()
        alone = self.supply.battery is not None and not _row(self.stage, "battery to disconnect", self.system)[0]
        for n, line in enumerate(self.lines[:MOST_LOADS]):
            y, start = TOP - n * ROW, _BUS + 0.2
            self.wire((_BUS, TOP), (_BUS, y), (start, y))
            if line.fuse and not alone:
                self.fuse(start, y, line.fuse)
                start += 1.1
            self.wire((start, y), (_END, y))
            self.write((start + _END) / 2, y - 0.4, _told(line.cable), align="center")
            name, _, power = line.name.rpartition(", ")
            self.box(_END, y, 2.45, 0.9, [shorten(name, NAME, placeholder="..."), power])
        if (more := len(self.lines) - MOST_LOADS) > 0:
            self.write(18.2, TOP - MOST_LOADS * ROW + 0.45, [f"and {more} more, each with a fuse"], align="right")


# ------------------------------------------------------------------------------------------------------------------ the words


def _panels(plan: Plan, system: str) -> list[str]:
    panel, stage = plan.pond.power.panel, plan["power"]
    strings = panel.count // panel.in_series
    said = [f"{panel.count} panel{'s' * (panel.count > 1)} of {show(panel.power, 'W', system)}"]
    if panel.count > 1:
        said.append(f"{panel.in_series} in series" if strings == 1 else f"{strings} strings of {panel.in_series}")
    if "cold_voltage" in stage:
        said.append(f"up to {stage['cold_voltage'].text(system)}")
    if "string_fuse" in stage:
        said.append(f"fuse in each: {stage['string_fuse'].text(system)} or more")
    if "panel_cable" in stage.facts:
        said.append(f"cable: {_run(plan, 'panel_length', system)}{_sold(stage.facts['panel_cable'], system)}")
    return said


def _controller(plan: Plan, system: str) -> list[str]:
    controller, stage = plan.pond.power.controller, plan["power"]
    kind = "MPPT controller" if controller.kind == "mppt" else "switching controller"
    said = [kind, f"for {show(controller.max_current, 'A', system)}, {show(controller.max_voltage, 'V', system)}"]
    if "controller_current" in stage:
        said.append(f"needed: {stage['controller_current'].text(system)}")
    return said


def _battery(plan: Plan, system: str) -> list[str]:
    battery = plan.pond.power.battery
    kind = "lead-acid battery" if battery.kind == "lead_acid" else "lithium iron phosphate battery"
    return [kind, f"{show(plan.pond.power.voltage, 'V', system)}, {show(battery.capacity, 'Ah', system)}"]


def _lines(plan: Plan, system: str) -> list[Line]:
    """List the loads: the pump first."""
    stage, pond, found = plan["power"], plan.pond, []
    if pond.power is None:
        return []
    if pond.pump is not None:
        fuse, cable = _row(stage, "the pump's cable", system)
        own, refused = pond.power.cable, stage.facts.get("cable_refused")
        size = _sold(cable, system) if refused or own is None or own.size is None else wire_words(own.size)
        size = f"{size} of copper, not {refused}" if refused else size
        run = _run(plan, "length", system)
        found.append(Line(f"pump, {show(pond.pump.power, 'W', system)}", fuse, f"{run}{size}" if size else "not planned yet"))
    for load in pond.power.loads:
        fuse, cable = _row(stage, f"cable to {load.name}", system)
        found.append(Line(f"{load.name}, {show(load.power, 'W', system)}", fuse, _sold(cable, system) or "not planned yet"))
    return found


def _run(plan: Plan, key: str, system: str) -> str:
    """Write the length of a cable, such as "9 m of "; nothing where the file has none."""
    cable = plan.pond.power.cable
    run = None if cable is None else getattr(cable, key)
    return "" if run is None else f"{show(run, 'm', system)} of "


def _told(cable: str) -> list[str]:
    """Break the words for a cable into lines that fit under it."""
    return cable.replace(" of copper, ", " of ").replace("thicker than any of the table", "none of the table").split(" of ")


def _sold(cable: str, system: str) -> str:
    """Of two sizes such as "6 mm² or 8 AWG" take the one sold where the reader lives."""
    sizes = cable.split(" or ")
    return next((size for size in sizes if ("AWG" in size) == (system == "us")), sizes[0])


def _row(stage: Stage, guards: str, system: str) -> tuple[str, str]:
    """Return fuse and cable of one row of the power stage's table of fuses; empty words where it has none."""
    for grid in stage.grids:
        for row in grid.rows if grid.title == FUSES else ():
            if row[0] == guards:
                return show(row[2], "A", system), row[3]
    return "", ""

