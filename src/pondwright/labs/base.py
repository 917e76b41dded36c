"""What every lab shares: sliders paired with number boxes, one unit switch for all labs, a picture with words, errors as sentences."""

from __future__ import annotations

import html
import math
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
_LABEL, _BOX = {"description_width": "15em"}, {"width": "20.8em", "flex": "0 0 auto"}
_UNIT, _TRACK = {"width": "4.4em", "flex": "0 0 auto"}, {"width": "auto", "flex": "1 1 6em", "max_width": "30em"}
FEW = 5  # controls, which stand in one column; more take as many as fit, so that controls and picture are seen together
# Compact rows; and what ipywidgets leaves out: a slider has no name there, so a screen reader would say only "slider, 7.5000001"; a box
# that sends what was typed as it is has no range; a browser whose language has a decimal point drops a decimal comma without a word, so
# that 8,8 would become 88; and an empty box, or one with "-", gets its old number back without a word
_STYLE = """
.pondwright-lab .widget-inline-hbox, .pondwright-lab .widget-hbox { margin: 0 2px; overflow: visible; }
.pondwright-lab .widget-hbox .widget-inline-hbox { margin: 0; }
.pondwright-lab div.widget-label { padding-left: 4px; }
.pondwright-lab p[role=status] { margin: 4px 0; max-width: 70em; font-size: 14px; line-height: 1.35; }
.pondwright-lab figure { margin: 0; line-height: 0; }
"""
_MEND_CONTROLS = """
const lab = this.closest('.pondwright-lab'), name = () => lab.querySelectorAll('.noUi-handle').forEach(handle => {
  const row = handle.closest('.widget-hbox'), unit = row.querySelector('div.widget-label').textContent.trim();
  const said = (+parseFloat(handle.getAttribute('aria-valuetext')).toPrecision(4) + ' ' + unit).trim();
  const label = row.querySelector('label[for]'), range = /.*, from (\\S+) to (\\S+)/.exec(label.title);
  handle.setAttribute('aria-label', label.textContent);
  if (range) [row.querySelector('input').min, row.querySelector('input').max] = range.slice(1);
  if (handle.getAttribute('aria-valuetext') !== said) handle.setAttribute('aria-valuetext', said); });
name(); new MutationObserver(name).observe(lab, {childList: true, subtree: true, attributeFilter: ['aria-valuetext']});
lab.addEventListener('keydown', event => {
  if (event.key === ',' && event.target.type === 'number' && !event.defaultPrevented && (1.5).toLocaleString().includes('.')) {
    event.preventDefault(); document.execCommand('insertText', false, '.'); } }, true);
lab.addEventListener('change', event => {
  lab.querySelectorAll('.pondwright-notice').forEach(old => old.remove());
  if (event.target.type !== 'number' || event.target.value !== '') return;
  const notice = document.createElement('span'); notice.className = 'pondwright-notice';
  notice.textContent = '\u201c' + event.target.labels[0].textContent + '\u201d needs a number, so the old one is kept. ';
  lab.querySelector('p[role=status]').prepend(notice); }, true);
"""
_HEAD = f'<style onload="{html.escape(_MEND_CONTROLS)}">{_STYLE}</style>'


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
    """One number: its label and box, its unit, its slider. Holds the value in the metric unit whatever is shown."""

    def __init__(self, spec: Slider, changed):
        self.spec, self._changed, self._busy = spec, changed, False
        self.notice = ""  # what is to be said once about the number that was typed
        self.value, self._system = spec.start, None
        self.unit = widgets.Label(layout=_UNIT)
        self.row = widgets.HBox()
        self.show("metric")

    def show(self, system: str) -> None:
        """Show range, step and value in a unit system, with new controls.

        A browser's slider that is given another range sends its old number back, now in the new unit; one that is made new does not.
        """
        if system == self._system:
            return
        self._system, self._name = system, unit_for(self.spec.unit, system)
        self._shown, self._metric = unit(self._name), unit(self.spec.unit)
        low, high, step = self._scale()
        words = {"step": step, "tooltip": f"{self.spec.label}, {self._range()}"}
        value, old = self._out(self.value), self.row.children
        # the box carries the label: a browser ties the two together, so a click on the words or a screen reader finds the number; it has no
        # bounds, since a bounded one puts a number back in the browser, and nobody could say why
        self.box = widgets.FloatText(_digits(value), description=self.spec.label, style=_LABEL, layout=_BOX, **words)
        self.slider = widgets.FloatSlider(value, readout=False, layout=_TRACK, min=low, max=high, **words)
        self.unit.value = short(self._name) or " "
        for control in (self.slider, self.box):
            control.observe(self._moved, names="value")
        self.row.children = (self.box, self.unit, self.slider)
        for control in old[:1] + old[2:]:
            control.close()

    def _scale(self) -> tuple[float, float, float]:
        """Return least, most and step as shown: other units get round ones of their own, that just take in the metric range."""
        low, high, step = self.spec.low, self.spec.high, self.spec.step
        if self._shown == self._metric:
            return low, high, step
        step = _round_down(self._out(low + step) - self._out(low))
        least, most = math.floor(self._out(low) / step + 1e-9) * step, math.ceil(self._out(high) / step - 1e-9) * step
        return _digits(least if least > 0 or low <= 0 else self._out(low), 6), _digits(most, 6), step

    def _out(self, metric: float) -> float:
        return float(Q(metric, self.spec.unit).m_as(self._shown))

    def _moved(self, change) -> None:
        # a browser's slider that snaps to its steps echoes up to half a step: nobody moved it
        echo = change.owner is self.slider and abs(change.new - self._out(self.value)) < 0.55 * self.slider.step
        if self._busy or echo:
            return
        metric = self.value if math.isnan(change.new) else float(Quantity(change.new, self._shown).m_as(self._metric))
        taken = min(max(metric, self.spec.low), self.spec.high)
        if change.owner is self.box:
            self.notice = self._put_back(change.new, self._out(taken))
        self._take(taken, change.owner, change.new)
        self._changed()

    def _put_back(self, typed: float, shown: float) -> str:
        """Say that another number is shown than was typed; "" where it is the same to the digits that a box shows."""
        if _digits(typed) == _digits(shown):
            return ""
        words = [f"{_plainly(number)} {short(self._name)}".strip() for number in (typed, _digits(shown))]
        return f"\u201c{self.spec.label}\u201d goes {self._range()}; {words[0]} was typed, so {words[1]} is shown."

    def _range(self) -> str:
        """Say from where to where the numbers of the box go."""
        least, most = (_plainly(_digits(self._out(end))) for end in (self.spec.low, self.spec.high))
        return f"from {least} to {most} {short(self._name)}".strip()

    def _take(self, metric: float, owner=None, shown: float | None = None) -> None:
        """Hold a value, and show it where it was not typed or moved itself, or could not be taken as it was."""
        self.value, self._busy = metric, True
        taken = self._out(metric)
        if owner is not self.slider:
            self.slider.value = taken
        if owner is not self.box or not math.isclose(shown, taken, rel_tol=1e-9, abs_tol=1e-12):
            self.box.value = _digits(taken)
        self._busy = False

    def set(self, value) -> None:
        quantity = read(value, self.spec.unit) if isinstance(value, str | int | float) else value
        number = float(quantity.m_as(unit(self.spec.unit)))
        if not self.spec.low <= number <= self.spec.high:
            raise QuantityError(f"{self.spec.label} goes from {self.spec.low:g} to {self.spec.high:g} {self.spec.unit}; {value} was given.")
        self._take(number)
        self._changed()

    @property
    def given(self):
        return Q(self.value, self.spec.unit)


def _digits(value: float, count: int = 4) -> float:
    """Round to a few significant digits: what a number box shows."""
    return float(f"{value:.{count}g}")


def _plainly(value: float) -> str:
    """Write a number without a power of ten, as far as people type it."""
    return f"{value:.12g}"


def _round_down(step: float) -> float:
    """Return the next smaller of 1, 2 or 5 times a power of ten."""
    power = 10.0 ** math.floor(math.log10(step) + 1e-9)
    return _digits(max(n for n in (1, 2, 5) if n * power <= step * (1 + 1e-9)) * power)


class _WordRow:
    """One drop-down or tick box."""

    def __init__(self, spec: Choice | Tick, changed):
        self.spec, self.notice = spec, ""  # a word that is chosen is always taken
        shape = {"description": spec.label, "style": _LABEL, "layout": {"width": "auto"}, "tooltip": spec.label}
        if isinstance(spec, Choice):
            self.control = widgets.Dropdown(options=list(spec.options), value=spec.start, **shape)
        else:
            self.control = widgets.Checkbox(value=spec.start, indent=True, **shape)
            self.control.layout.grid_column = "1 / -1"  # a whole sentence needs the whole row
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
            style={"description_width": "9em"},
            layout={"width": "17em"},
            tooltip="Units for all labs",
        )
        title = widgets.HTML(f"{_HEAD}<strong>{html.escape(self.title)}</strong> {html.escape(self.pond.name)}", layout={"flex": "1"})
        head = widgets.HBox([title, self._switch])
        columns = "1fr" if len(self._rows) <= FEW else "repeat(auto-fill, minmax(32em, 1fr))"
        controls = widgets.GridBox([r.row for r in self._rows.values()], layout={"grid_template_columns": columns})
        self.view = widgets.VBox([head, controls, self._words, self._image])
        self.view.add_class("pondwright-lab")
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
        notices = self._notices()
        try:
            with self._lock, showing_in(UNITS.system):
                self.result = self.compute(self.inputs)
                self._image.value = f"<figure>{self.picture.html(self.result, UNITS.system)}</figure>"
                self._say(*notices, self.sentence(self.result, UNITS.system))
        except Exception as error:
            wrong = str(error) if isinstance(error, ValueError) else f"This lab cannot show that ({type(error).__name__}: {error})."
            self._say(*notices, wrong)
            if "PYTEST_CURRENT_TEST" in os.environ:
                raise

    def _notices(self) -> list[str]:
        """Take what the rows have to say about the number that was typed: each says it once."""
        said = [row.notice for row in self._rows.values() if row.notice]
        for row in self._rows.values():
            row.notice = ""
        return said

    def _say(self, *sentences: str) -> None:
        self._said = " ".join(sentences)
        self._words.value = f"<p role='status'>{html.escape(self._said)}</p>"

    def _ipython_display_(self) -> None:
        display(self.view)
