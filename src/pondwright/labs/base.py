"""What every lab shares: sliders paired with number boxes, one unit switch for all labs, a picture with words, errors as sentences."""

from __future__ import annotations

import html
import os
import threading
import weakref
from dataclasses import dataclass

import ipywidgets as widgets
import traitlets
from IPython.display import display

from ..pond.file import my_pond
from ..pond.plan import Plan
from ..units import SYSTEMS, Q, Quantity, QuantityError, read, short, showing_in, unit, unit_for

_SYSTEM_WORDS = {"metric": "metric", "us": "US", "imperial": "imperial"}


class _UnitSystem(traitlets.HasTraits):
    system = traitlets.Enum(SYSTEMS, default_value="metric")


UNITS = _UnitSystem()  # the one switch: every lab in the kernel follows it


@dataclass(frozen=True)
class Slider:
    """A number to move: its name in `.inputs`, label, metric unit, range, step and start (numbers in that unit)."""

    name: str
    label: str
    unit: str
    low: float
    high: float
    step: float
    start: float


@dataclass(frozen=True)
class Choice:
    """A word to choose: `options` are the words, or pairs of (what is shown, the word)."""

    name: str
    label: str
    options: tuple
    start: str


@dataclass(frozen=True)
class Tick:
    """A yes or no."""

    name: str
    label: str
    start: bool


class _SliderRow:
    """One slider with its number box and unit; holds its value in the metric unit whatever is shown."""

    def __init__(self, spec: Slider, changed):
        self.spec, self._changed, self._busy = spec, changed, False
        self.value, self._system = spec.start, None
        self.unit = widgets.Label()
        self.row = widgets.HBox()
        self.show("metric")

    def show(self, system: str) -> None:
        """Show range, step and value in a unit system, with new controls.

        A browser's slider that is given another range sends its old number back, now in the new unit; one that is made new does not.
        """
        if system == self._system:
            return
        self._system, name = system, unit_for(self.spec.unit, system)
        self._shown, self._metric = unit(name), unit(self.spec.unit)
        low, high, value = (self._out(v) for v in (self.spec.low, self.spec.high, self.value))
        step = abs(self._out(self.spec.low + self.spec.step) - low)  # not rounded, so that a slider need not snap off its value
        words = f"{self.spec.label}, {short(name) or 'a plain number'}, from {low:.4g} to {high:.4g}"
        span = {"min": low, "max": high, "step": step, "tooltip": words}
        wide = {"description_width": "15em"}
        old = self.row.children
        self.slider = widgets.FloatSlider(value, description=self.spec.label, style=wide, readout=False, layout={"width": "32em"}, **span)
        self.box = widgets.BoundedFloatText(min(max(round(value, 4), low), high), layout={"width": "7em"}, **span)
        self.unit.value = short(name) or " "
        for control in (self.slider, self.box):
            control.observe(self._moved, names="value")
        self.row.children = (self.slider, self.box, self.unit)
        for control in old[:2]:
            control.close()

    def _out(self, metric: float) -> float:
        return float(Q(metric, self.spec.unit).m_as(self._shown))

    def _moved(self, change) -> None:
        # a browser's slider that snaps to its steps echoes up to half a step: nobody moved it
        echo = change.owner is self.slider and abs(change.new - self._out(self.value)) < 0.55 * self.slider.step
        if self._busy or echo:
            return
        self._busy = True
        other = self.box if change.owner is self.slider else self.slider
        other.value = round(change.new, 6)
        self._busy = False
        self.value = float(Quantity(change.new, self._shown).m_as(self._metric))
        self._changed()

    def set(self, value) -> None:
        quantity = read(value, self.spec.unit) if isinstance(value, str | int | float) else value
        number = float(quantity.m_as(unit(self.spec.unit)))
        if not self.spec.low <= number <= self.spec.high:
            raise QuantityError(f"{self.spec.label} goes from {self.spec.low:g} to {self.spec.high:g} {self.spec.unit}; {value} was given.")
        self.value, self._busy = number, True
        self.slider.value, self.box.value = self._out(number), round(self._out(number), 6)
        self._busy = False
        self._changed()

    @property
    def given(self):
        return Q(self.value, self.spec.unit)


class _WordRow:
    """One drop-down or tick box."""

    def __init__(self, spec: Choice | Tick, changed):
        self.spec = spec
        wide = {"description_width": "15em"}
        if isinstance(spec, Choice):
            self.control = widgets.Dropdown(
                options=list(spec.options), value=spec.start, description=spec.label, style=wide, layout={"width": "32em"}
            )
        else:
            self.control = widgets.Checkbox(value=spec.start, description=spec.label, style=wide, indent=True, layout={"width": "40em"})
        self.control.tooltip = spec.label
        self.control.observe(lambda _: changed(), names="value")
        self.row = self.control

    def show(self, system: str) -> None:
        """Words look the same in every unit system."""

    def set(self, value) -> None:
        self.control.value = value

    @property
    def given(self):
        return self.control.value


class Lab:
    """One lab: controls, a sentence, a picture.

    A subclass sets `title`, `Inputs` (a frozen dataclass with one field a control) and `Picture`, and writes
    ``controls(self, pond)`` (the controls, starting at the pond's own values), ``compute(self, inputs) -> Plan`` (from `pond`, no
    physics of its own) and ``sentence(self, plan, system)`` (the result with its limit). ``self.pond`` is the pond the lab starts from.

    ``lab.inputs`` and ``lab.result`` hold what is shown; ``lab.set(depth="1.2 m")`` moves a control; a lab is shown by naming it last
    in a cell.
    """

    title = ""
    Inputs: type
    Picture: type

    def __init__(self, pond=None):
        self.pond = my_pond() if pond is None else pond
        self.picture = self.Picture()
        self._rows = {}
        self._lock = threading.RLock()  # widget messages may come in two threads; one picture is drawn at a time
        self._hold = True
        for spec in self.controls(self.pond):
            self._rows[spec.name] = (_SliderRow if isinstance(spec, Slider) else _WordRow)(spec, self._changed)
        self._words = widgets.HTML()
        self._image = widgets.HTML()
        self._switch = widgets.Dropdown(
            options=[(_SYSTEM_WORDS[s], s) for s in SYSTEMS],
            description="Units for all labs",
            style={"description_width": "15em"},
            layout={"width": "24em"},
            tooltip="Units for all labs",
        )
        head = widgets.HTML(f"<strong>{html.escape(self.title)}</strong> <span>({html.escape(self.pond.name)})</span>")
        self.view = widgets.VBox([head, *(r.row for r in self._rows.values()), self._switch, self._words, self._image])
        traitlets.link((UNITS, "system"), (self._switch, "value"))
        me = weakref.ref(self)
        UNITS.observe(lambda _: (lab := me()) and lab._follow(), names="system")
        self._hold = False
        if UNITS.system == "metric" and self.pond.pond.units != "metric":
            UNITS.system = self.pond.pond.units  # this calls _follow
        else:
            self._follow()

    def controls(self, pond):
        raise NotImplementedError

    def compute(self, inputs) -> Plan:
        raise NotImplementedError

    def sentence(self, plan: Plan, system: str) -> str:
        raise NotImplementedError

    @property
    def inputs(self):
        return self.Inputs(**{name: row.given for name, row in self._rows.items()})

    @property
    def words(self) -> str:
        """The sentence as it is shown."""
        return self._said

    def set(self, **values) -> Lab:
        """Move controls by name; a quantity is text with a unit or a Quantity."""
        unknown = values.keys() - self._rows.keys()
        if unknown:
            raise QuantityError(f"{', '.join(sorted(unknown))}: not a control of this lab; it has {', '.join(self._rows)}.")
        with self._lock:
            self._hold = True
            try:
                for name, value in values.items():
                    self._rows[name].set(value)
            finally:
                self._hold = False
            self._changed()
        return self

    def _follow(self) -> None:
        with self._lock:
            self._hold = True
            for row in self._rows.values():
                row.show(UNITS.system)
            self._hold = False
            self._changed()

    def _changed(self) -> None:
        if self._hold:
            return
        try:
            with self._lock, showing_in(UNITS.system):
                self.result = self.compute(self.inputs)
                self._image.value = f"<figure style='margin:0'>{self.picture.html(self.result, UNITS.system)}</figure>"
                self._say(self.sentence(self.result, UNITS.system))
        except Exception as error:
            self._say(str(error) if isinstance(error, ValueError) else f"This lab cannot show that ({type(error).__name__}: {error}).")
            if "PYTEST_CURRENT_TEST" in os.environ:
                raise

    def _say(self, text: str) -> None:
        self._said = text
        self._words.value = f"<p role='status' style='max-width:46em;font-size:110%'>{html.escape(text)}</p>"

    def _ipython_display_(self) -> None:
        display(self.view)


def start_in(low: float, value, unit_text: str, high: float, fallback: float) -> float:
    """Return a pond's own value for a slider to start at, kept inside the slider's range, or the fallback where the pond has none."""
    return fallback if value is None else min(max(float(value.m_as(unit(unit_text))), low), high)
