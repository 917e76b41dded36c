"""The shape of a plan: numbers in bands, stages, findings. Frozen; nothing here computes pond physics."""
from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from enum import IntEnum

import numpy as np

from ..sources import SOURCES, name_source
from ..tables import Coefficient
from ..units import FORMULAS, Extrapolation, Quantity, Use, in_unit, quantity, round_text, short, show, shown_unit, tracing, unit_for
from ..units import unit as as_unit

_NUMBER = re.compile(r"-?\d[\d.]*(?:e[-+]?\d+)?")
IN_MINUTES = 2.0  # hours: nobody reads a clock in hundredths of an hour
EXTRAPOLATION_WIDENING = 1.5  # a judgement, no source: a band outside its source's range reaches half as far again on each side


@dataclass(frozen=True)
class Number:
    """One result of the plan.

    `value` is the headline: the cautious end where `decides`, else the typical value. `low` <= `typical` <= `high` where sources
    disagree (else all three are equal). `mover` names the coefficient that moves the answer most. `unit` is the metric unit for show.
    `formulas`, `sources` and `unverified` hold keys; people read :attr:`marks`.
    """

    key: str
    label: str
    unit: str
    value: Quantity
    typical: Quantity
    low: Quantity
    high: Quantity
    decides: bool = False
    mover: str = ""
    note: str = ""
    formulas: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    unverified: tuple[str, ...] = ()
    extrapolated: tuple[Extrapolation, ...] = ()
    widened: bool = False  # whether the band reaches further because of `extrapolated`
    likely: tuple[Quantity, Quantity] | None = None  # the narrower band of errors that are independent of each other, where asked for

    @property
    def has_band(self) -> bool:
        return not math.isclose(in_unit(self.low, as_unit(self.unit)), in_unit(self.high, as_unit(self.unit)), rel_tol=1e-6, abs_tol=1e-12)

    def text(self, system: str | None = None, digits: int = 3) -> str:
        return self.end_text(self.value, system, digits)

    def end_text(self, end: Quantity, system: str | None = None, digits: int = 3) -> str:
        """Write one end of the band, such as the typical value, in the unit of the headline; a short time in minutes."""
        return show(end, self.unit, system, digits, as_unit=self.unit_of(end, system))

    def unit_of(self, end: Quantity, system: str | None = None) -> str:
        """Name the unit in which one end is written."""
        if self.unit == "h" and 0 < float(in_unit(end, as_unit("h"))) < IN_MINUTES:
            return "min"
        return shown_unit(self.value, self.unit, system)

    def band_text(self, system: str | None = None) -> str:
        """Write "typical 12.1, range 8.05 to 20.2 g/day" ("typical" only where the headline is another end), or "" without a band."""
        if not self.has_band:
            return ""
        low, typical, high = (self.end_text(q, system) for q in (self.low, self.typical, self.high))
        low = low.removesuffix(f" {high.partition(' ')[2]}") if " " in high else low
        return f"typical {typical}, range {low} to {high}" if self.decides else f"range {low} to {high}"

    @property
    def marks(self) -> str:
        """Say in words what weakens this number: unverified coefficients, use outside a source's range."""
        words = [f"unverified: {', '.join(map(called, self.unverified))}"] if self.unverified else []
        for e in self.extrapolated:
            whose = " and ".join(map(name_source, e.sources)) or "its source"
            words.append(f"outside the range of {whose} ({e.parameter} {tidy(e.given)}; range {tidy(e.calibrated)})")
        return "; ".join(words)


def called(thing: str) -> str:
    """Name a formula by what it computes; a coefficient has words already."""
    if thing not in FORMULAS:
        return thing
    does = FORMULAS[thing].__doc__.partition("\n\n")[0].rstrip(".")
    return does[0].lower() + does[1:] if does[1:2].islower() else does


def tidy(text: str) -> str:
    """Write "8 to 24 degC" for people: in the reader's unit, with its sign."""
    values, _, unit_text = text.rpartition(" ")
    shown = unit_for(unit_text)
    if shown != unit_text:
        source, target = as_unit(unit_text), as_unit(shown)
        values = _NUMBER.sub(lambda m: round_text(in_unit(quantity(float(m[0]), source), target)), values)
    return f"{values} {short(shown)}".strip()


@dataclass(frozen=True)
class Assumption:
    """A coefficient or a choice that the plan made for the user, in words, with its source keys."""

    text: str
    sources: tuple[str, ...] = ()
    unverified: bool = False


@dataclass(frozen=True)
class Grid:
    """A small table for people: title, column heads, rows of Quantity or text; `units` gives each column's metric unit ("" = text)."""

    title: str
    columns: tuple[str, ...]
    units: tuple[str, ...]
    rows: tuple[tuple, ...]

    def heads(self, system: str | None = None) -> tuple[str, ...]:
        return tuple(f"{c}, {short(unit_for(u, system))}" if u and u != "-" else c for c, u in zip(self.columns, self.units, strict=True))

    def cells(self, system: str | None = None) -> list[tuple[str, ...]]:
        return [tuple(_cell(v, u, system) for v, u in zip(row, self.units, strict=True)) for row in self.rows]


def _cell(value, metric_unit: str, system: str | None) -> str:
    if value is None:
        return "–"
    if not isinstance(value, Quantity):
        return str(value)
    return show(value, metric_unit, system, as_unit=unit_for(metric_unit, system)).split(" ")[0]  # the head of the column names the unit


@dataclass(frozen=True)
class Stage:
    """One stage of the plan.

    Numbers by key; series for pictures and later stages (arrays of shape (12,) by month unless said); facts in words.
    """

    key: str
    title: str
    numbers: Mapping[str, Number] = field(default_factory=dict)
    series: Mapping[str, Quantity] = field(default_factory=dict)
    facts: Mapping[str, str] = field(default_factory=dict)
    grids: tuple[Grid, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    cautions: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    formulas: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()

    def __getitem__(self, key: str) -> Number:
        return self.numbers[key]

    def __contains__(self, key: str) -> bool:
        return key in self.numbers

    @property
    def planned(self) -> bool:
        return bool(self.numbers)


class Urgency(IntEnum):
    """How soon a finding asks for action."""

    DANGER = 0  # fish or people can come to harm
    FIX = 1  # the plan does not work as it stands
    IMPROVE = 2
    NOTE = 3


@dataclass(frozen=True)
class Finding:
    """One sentence with a number and its limit, and what to do. `key` is a stable dotted name."""

    key: str
    urgency: Urgency
    what: str
    do: str
    numbers: tuple[str, ...] = ()


@dataclass(frozen=True)
class End:
    """A coefficient together with the end that is cautious for the question at hand ("low" or "high")."""

    coefficient: Coefficient
    cautious: str

    @property
    def favourable(self) -> str:
        return {"low": "high", "high": "low"}[self.cautious]


def number(key: str, label: str, metric_unit: str, compute: Callable[..., Quantity], *, decides: bool = False, note: str = "",
           stacked: bool = False, widen: bool = True, likely: bool = False, **ends: End) -> Number:
    """Compute one number of the plan, with its band, trace and marks.

    Parameters
    ----------
    key, label, metric_unit
        Stable name (without the stage), words for people, unit in which metric shows it.
    compute
        Called with one keyword for each of `ends` (a Quantity); it returns the Quantity.
    decides
        True where the number decides something: the headline is then the cautious end.
    stacked
        True where `compute` takes arrays: it is then called once, each coefficient an array of shape (n,) over all ends that are tried.
    widen
        False where the band already allows for use outside a calibrated range (or where a wider one has no meaning); the mark stays.
    likely
        True to have the band of independent errors beside that of all bad ends together: the typical answer, moved by the root of the
        sum of the squares of the relative shifts that each coefficient makes alone (the rule of the GUM, on logarithms).
    **ends
        The coefficients on which sources disagree, each with its cautious end.

    Returns
    -------
    Number
        The formulas and sources are those that `compute` really called. Use outside a calibrated range widens the band.
    """
    target = as_unit(metric_unit)
    with tracing() as uses:
        t, c, f, *single = _try_ends(compute, ends, target, stacked)
    marks = _distinct(e for use in uses for e in use.extrapolations)
    widened = bool(marks) and widen
    if widened:
        c, f = _widen(t, c, f)
    t, c, f = _without_dust(t, c, f)
    low, high = min(t, c, f), max(t, c, f)
    at = {v: quantity(v, target) for v in {t, c, low, high}}
    coefficients = [e.coefficient for e in ends.values()]
    return Number(
        key, label, metric_unit, value=at[c if decides else t], typical=at[t], low=at[low], high=at[high],
        decides=decides, mover=_mover(ends, t, single), note=note,
        formulas=_distinct(u.formula for u in uses),
        sources=_distinct([*(s for u in uses for s in u.sources), *(s for k in coefficients for s in k.sources)]),
        unverified=_unverified(uses, coefficients), extrapolated=marks, widened=widened,
        likely=_independent(t, single or [c, f], target) if likely else None,
    )


def given(key: str, label: str, metric_unit: str, value: Quantity, note: str = "") -> Number:
    """Make a Number of something the pond file says itself."""
    return Number(key, label, metric_unit, value, value, value, value, note=note)


def tries(ends: Mapping[str, End]) -> dict[str, Quantity]:
    """Lay out what :func:`number` tries: arrays of the coefficients at their typical, cautious and favourable ends, then each alone.

    Row 0 is typical, 1 cautious, 2 favourable; rows 3 + 2i and 4 + 2i have coefficient i alone at its low and its high end. A single
    coefficient makes three rows only.
    """
    count, tried = _how_many(ends), {}
    for place, (name, end) in enumerate(ends.items()):
        typical = end.coefficient.typical
        low, middle, high = (float(in_unit(q, typical)) for q in (end.coefficient.low, typical, end.coefficient.high))
        values = [middle] * count
        values[1:3] = (low, high) if end.cautious == "low" else (high, low)
        if count > 3:
            values[3 + 2 * place : 5 + 2 * place] = low, high
        tried[name] = quantity(np.array(values), typical)
    return tried


def _how_many(ends: Mapping[str, End]) -> int:
    """Count the rows of :func:`tries`."""
    return 3 + (2 * len(ends) if len(ends) > 1 else 0)


def _try_ends(compute, ends, target, stacked: bool) -> list[float]:
    """Compute the answer for each row of :func:`tries`."""
    if not ends:
        return [float(in_unit(compute(), target))] * 3
    tried, count = tries(ends), _how_many(ends)
    if stacked:
        found = np.asarray(in_unit(compute(**tried), target)).tolist()
        return found if isinstance(found, list) else [found] * count
    rows = ({name: quantity(float(q._magnitude[i]), q) for name, q in tried.items()} for i in range(count))
    return [float(in_unit(compute(**row), target)) for row in rows]


def _without_dust(*values: float) -> list[float]:
    """Call zero what is less than a thousand-millionth of the largest: it is what sums of floating-point numbers leave behind."""
    most = max(map(abs, values))
    return [value if abs(value) > 1e-9 * most else 0.0 for value in values]


def _mover(ends, typical: float, single: list[float]) -> str:
    """Name the coefficient that moves the answer most; `single` holds two answers for each, at its low and its high end."""
    labels = [end.coefficient.label for end in ends.values()]
    if len(labels) < 2:
        return "".join(labels)
    shifts = np.abs(np.reshape(single, (-1, 2)) - typical).max(axis=1)
    return labels[int(shifts.argmax())]


def _independent(typical: float, single: list[float], target) -> tuple[Quantity, Quantity]:
    """Combine the relative shifts that the coefficients make alone; an answer that one of them brings to nothing may be nothing."""
    if typical <= 0:
        return Quantity(typical, target), Quantity(typical, target)
    alone = np.maximum(np.reshape(single, (-1, 2)), 0.0) / typical
    with np.errstate(divide="ignore"):
        down, up = np.log(np.minimum(alone.min(axis=1), 1.0)), np.log(np.maximum(alone.max(axis=1), 1.0))
    return tuple(Quantity(float(typical * np.exp(sign * np.sqrt((shift**2).sum()))), target) for sign, shift in ((-1, down), (1, up)))


def _widen(typical, cautious, favourable):
    """Reach half as far again on both sides; a number without a band gets +-25 %. Never across zero."""
    def reach(end, sign):
        bare = typical * (1 + sign * (EXTRAPOLATION_WIDENING - 1) / 2)
        far = typical + (end - typical) * EXTRAPOLATION_WIDENING if end != typical else bare
        return 0.0 if far * typical < 0 else far

    sign = -1 if cautious <= favourable else 1
    return reach(cautious, sign), reach(favourable, -sign)


def _distinct(things) -> tuple:
    return tuple(dict.fromkeys(things))


def _unverified(uses: list[Use], coefficients) -> tuple[str, ...]:
    from_formulas = (u.formula for u in uses if u.sources and all(not SOURCES[s].verified for s in u.sources))
    return _distinct([*(c.label for c in coefficients if c.unverified), *from_formulas])


def gather(stage: Stage) -> Stage:
    """Fill a stage's formulas and sources from its numbers."""
    numbers = stage.numbers.values()
    return replace(
        stage,
        formulas=_distinct([*stage.formulas, *(f for n in numbers for f in n.formulas)]),
        sources=_distinct([*stage.sources, *(s for n in numbers for s in n.sources), *(s for a in stage.assumptions for s in a.sources)]),
    )


def by_key(*numbers: Number) -> dict[str, Number]:
    """Index numbers by their key."""
    return {n.key: n for n in numbers}


def months(values, metric_unit: str) -> Quantity:
    """Make a series of shape (12,)."""
    return quantity(np.asarray(values, dtype=float), as_unit(metric_unit))
