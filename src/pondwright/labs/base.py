"""What every lab shares: sliders paired with number boxes, one unit switch for all labs, a picture with words, errors as sentences."""

from __future__ import annotations

import html
import math
import os
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
        self.value = spec.start
        wide = {"description_width": "15em"}
        self.slider = widgets.FloatSlider(description=spec.label, style=wide, readout=False, layout={"width": "32em"})
        self.box = widgets.BoundedFloatText(layout={"width": "7em"})
        self.unit = widgets.Label()
        self.row = widgets.HBox([self.slider, self.box, self.unit])
        self.show("metric")
        for control in (self.slider, self.box):
            control.observe(self._moved, names="value")

    def show(self, system: str) -> None:
        """Show range, step and value in a unit system."""
        name = unit_for(self.spec.unit, system)
        self._shown, self._metric = unit(name), unit(self.spec.unit)
        low, high = (self._out(v) for v in (self.spec.low, self.spec.high))
        step = self.spec.step if name == self.spec.unit else _round_step(abs(self._out(self.spec.low + self.spec.step) - low))
        self._busy = True
        for control in (self.slider, self.box):
            control.min, control.max = min(control.min, low), max(control.max, high)  # widen first: traitlets refuses min > max
            control.value = min(max(self._out(self.value), low), high)
            control.min, control.max, control.step = low, high, step
        self.box.value = round(self.box.value, 4)
        self._busy = False
        self.unit.value = short(name) or " "
        self.slider.tooltip = self.box.tooltip = f"{self.spec.label}, {short(name) or 'a plain number'}, from {low:.4g} to {high:.4g}"

    def _out(self, metric: float) -> float:
        return float(Q(metric, self.spec.unit).m_as(self._shown))

    def _moved(self, change) -> None:
        if self._busy:
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
        self.slider.value = self._out(number)

    @property
    def given(self):
        return Q(self.value, self.spec.unit)


def _round_step(step: float) -> float:
    """Round a converted step to 1, 2 or 5 times a power of ten."""
    power = 10 ** math.floor(math.log10(step))
    return min((1, 2, 5, 10), key=lambda n: abs(n * power - step)) * power


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
        self._hold = True
        try:
            for name, value in values.items():
                self._rows[name].set(value)
        finally:
            self._hold = False
        self._changed()
        return self

    def _follow(self) -> None:
        self._hold = True
        for row in self._rows.values():
            row.show(UNITS.system)
        self._hold = False
        self._changed()

    def _changed(self) -> None:
        if self._hold:
            return
        try:
            with showing_in(UNITS.system):
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
