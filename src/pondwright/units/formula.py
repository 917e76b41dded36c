"""The one decorator: a formula's units, ranges and refusals, declared by name, and the trace of its calls."""
from __future__ import annotations

import contextlib
import contextvars
import functools
import inspect
import math
import re
import textwrap
import warnings
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
import pint

from .registry import ExtrapolationWarning, Quantity, QuantityError, in_unit, kind_of, quantity, unit


@dataclass(frozen=True)
class Arg:
    """What a formula says of one parameter or of its result: unit, possible range (physics), calibrated range (its source).

    `by` is the key of the source that set the calibrated range, where the formula names several; if it is one of the formula's rival
    methods too, the range holds for that method only.
    """

    unit: str
    possible: tuple = (None, None)
    calibrated: tuple = (None, None)
    optional: bool = False
    by: str = ""

    def describe(self) -> str:
        parts = [f"[{self.unit}]"]
        if self.possible != (None, None):
            parts.append(f"possible {_span(self.possible)}")
        if self.calibrated != (None, None):
            parts.append(f"calibrated {_span(self.calibrated)}" + (f" ({self.by})" if self.by else ""))
        return ", ".join(parts)


@dataclass(frozen=True)
class Extrapolation:
    """One use of a formula outside its calibrated range."""

    formula: str
    parameter: str
    given: str
    calibrated: str
    sources: tuple

    def __str__(self):
        return f"{self.formula}: {self.parameter} = {self.given} lies outside {self.calibrated} ({', '.join(self.sources) or 'no source'})"


class Use(NamedTuple):
    """One call of a formula, as a :func:`tracing` block saw it."""

    formula: str
    sources: tuple
    extrapolations: tuple


FORMULAS: dict[str, object] = {}
_trace: contextvars.ContextVar = contextvars.ContextVar("trace", default=None)


@contextlib.contextmanager
def tracing():
    """Collect every formula call made inside the block: ``with tracing() as uses: ...`` gives a list of :class:`Use`."""
    uses: list[Use] = []
    token = _trace.set(uses)
    try:
        yield uses
    finally:
        _trace.reset(token)
        outer = _trace.get()
        if outer is not None:
            outer.extend(uses)


def formula(*, returns: Arg, **arguments):
    """Declare by name the unit in which a formula computes, its ranges, and what comes back.

    Parameters
    ----------
    returns : Arg
        Unit and possible range of the result.
    **arguments : Arg or tuple of str
        For each parameter its `Arg`, or the tuple of words it may be (``method=("Emerson1975",)``).

    Notes
    -----
    The body works on plain floats or arrays in the declared units and stays reachable as ``function.plain``; a loop that uses it
    calls ``function.check(**floats)`` once at its door. Outside `possible` the call is refused; outside `calibrated` it is computed
    and the use is marked (see :func:`tracing`; outside a trace an `ExtrapolationWarning` is given). Parameters of no dimension take
    bare numbers. The decorator writes units and ranges into the docstring.
    """

    def decorate(plain):
        name = f"{plain.__module__.rsplit('.', 1)[-1]}.{plain.__name__}"
        signature = inspect.signature(plain)
        if list(signature.parameters) != list(arguments):
            raise TypeError(f"{name}: decorator names {list(arguments)}, signature has {list(signature.parameters)}")
        sources = tuple(re.findall(r"\[(\w+)\]_", _section(plain.__doc__ or "", "References")))
        args = {k: a for k, a in arguments.items() if isinstance(a, Arg)}
        units = {k: unit(a.unit) for k, a in args.items()}
        out = unit(returns.unit)
        defaults = {k: p.default for k, p in signature.parameters.items() if p.default is not inspect.Parameter.empty}
        order, known = list(signature.parameters), set(signature.parameters)
        rivals = {k: a for k, a in arguments.items() if isinstance(a, tuple)}
        # a parameter whose range belongs to one method: that method's parameter, and the parameter without the range for the others
        owned = {k: (m, replace(a, calibrated=(None, None))) for k, a in args.items() for m, words in rivals.items() if a.by in words}

        def check(**values):
            """Check plain numbers (in the declared units) against the ranges; return the extrapolations."""
            return tuple(e for k, v in values.items() if k in args and v is not None for e in _in_range(name, k, v, args[k], sources))

        @functools.wraps(plain)
        def wrapper(*positional, **named):
            if len(positional) > len(order):
                raise TypeError(f"{name} takes {len(order)} values, {len(positional)} were given")
            given = dict(zip(order, positional, strict=False))
            if not known.issuperset(named) or not given.keys().isdisjoint(named):
                strange = (named.keys() - known) | (given.keys() & named.keys())
                raise TypeError(f"{name}: {', '.join(sorted(strange))} given twice or not a parameter; it takes {', '.join(order)}")
            given.update(named)
            if len(given) < len(order) and (missing := [k for k in order if k not in given and k not in defaults]):
                raise TypeError(f"{name} also needs {', '.join(missing)}")
            values, marks = {}, ()
            for key, value in given.items():
                spec = arguments[key]
                if isinstance(spec, tuple):
                    if not isinstance(value, str) or value not in spec:
                        raise QuantityError(f"{key} in {name} is one of {', '.join(spec)}; {value!r} was given.")
                    values[key] = value
                elif value is None and spec.optional:
                    values[key] = None
                else:
                    values[key] = _strip(name, key, value, spec, units[key])
                    if key in owned and given.get(owned[key][0], defaults.get(owned[key][0])) != spec.by:
                        spec = owned[key][1]
                    marks += _in_range(name, key, values[key], spec, sources)
            try:
                result = plain(**values)
            except (ZeroDivisionError, OverflowError):
                raise QuantityError(f"{name} has no answer for {', '.join(f'{k} = {v}' for k, v in values.items())}.") from None
            _in_range(name, "the result", result, returns, sources)
            trace = _trace.get()
            if trace is not None:
                trace.append(Use(name, sources, marks))
            elif marks:
                warnings.warn("; ".join(map(str, marks)), ExtrapolationWarning, stacklevel=2)
            return quantity(result, out)

        wrapper.plain, wrapper.check, wrapper.arguments, wrapper.returns = plain, check, arguments, returns
        wrapper.sources, wrapper.formula_name = sources, name
        wrapper.__doc__ = _document(plain.__doc__ or "", arguments, returns)
        FORMULAS[name] = wrapper
        return wrapper

    return decorate


def _strip(name, key, value, spec, wanted):
    """Turn a Quantity into plain numbers in the wanted unit, or say what to write instead."""
    if not isinstance(value, Quantity):
        if isinstance(value, pint.Quantity):
            raise QuantityError(f"{key} in {name} comes from another pint registry: make it with pondwright's Q(number, unit).")
        if not _is_numbers(value):
            wish = "a plain number" if wanted.dimensionless else f"a quantity in {spec.unit}"
            raise QuantityError(f"{key} in {name} needs {wish}; {value!r} was given: write Q(number, '{spec.unit}').")
        if not wanted.dimensionless:
            shown = f"{value:g}" if np.ndim(value) == 0 else "an array of bare numbers"
            raise QuantityError(f"{key} in {name} needs a unit: write Q({shown}, '{spec.unit}') instead of {shown}.")
        return np.asarray(value, dtype=float) if np.ndim(value) else float(value)
    try:
        magnitude = in_unit(value, wanted)
    except pint.DimensionalityError:
        raise QuantityError(f"{key} in {name} is {kind_of(wanted)} (such as '1 {spec.unit}'); {value:~} is {kind_of(value)}.") from None
    if type(magnitude) is float or (type(magnitude) is np.ndarray and magnitude.dtype.char == "d" and magnitude.ndim):
        return magnitude  # as nearly all of them are
    if np.iscomplexobj(magnitude):
        raise QuantityError(f"{key} in {name} is a complex number; only real ones are taken.")
    return np.asarray(magnitude, dtype=float) if np.ndim(magnitude) else float(magnitude)


def _is_numbers(value) -> bool:
    """Tell whether bare input is a real number or an array of them, as opposed to text, a truth value or junk."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        return True
    try:
        kind = np.asarray(value).dtype
    except ValueError:  # lists of unequal lengths
        return False
    return np.issubdtype(kind, np.integer) or np.issubdtype(kind, np.floating)


def _in_range(name, key, value, spec, sources):
    """Refuse what is not finite or not possible; return a mark for what lies outside the calibrated range."""
    if isinstance(value, np.ndarray):
        if value.size == 0:
            raise QuantityError(f"{key} in {name} is an empty array.")
        # a year of months is looked through faster as a list; NaN spreads to numpy's min and max
        numbers = value.ravel().tolist() if value.size < 100 else (float(value.min()), float(value.max()))
        low, high = min(numbers), max(numbers)
        finite = math.isfinite(sum(numbers)) or all(map(math.isfinite, numbers))  # a sum of huge numbers may not be finite, though they are
    else:
        low = high = value
        finite = math.isfinite(value)
    if not finite:
        raise QuantityError(f"{key} in {name} is not a finite number.")
    if _outside(low, high, spec.possible):
        worst = _worst(low, high, spec.possible)
        allowed = f"{_span(spec.possible)} {_label(spec)}".strip()
        raise QuantityError(f"{key} in {name} must be {allowed}; {worst:g} is not possible.")
    if _outside(low, high, spec.calibrated):
        given = f"{_worst(low, high, spec.calibrated):.4g} {_label(spec)}".strip()
        return (Extrapolation(name, key, given, f"{_span(spec.calibrated)} {_label(spec)}".strip(), (spec.by,) if spec.by else sources),)
    return ()


def _outside(low, high, span):
    """Compare with a range; the last digit that floating point lost is not outside."""
    least, most = span
    return (least is not None and low < least and low < least - 1e-12 * abs(least)) or (
        most is not None and high > most and high > most + 1e-12 * abs(most)
    )


def _worst(low, high, span):
    return low if span[0] is not None and low < span[0] else high


def _label(spec):
    return "" if spec.unit == "-" else spec.unit


def _span(span) -> str:
    low, high = span
    if low is None:
        return f"at most {high:g}"
    return f"at least {low:g}" if high is None else f"{low:g} to {high:g}"


def _section(doc: str, title: str) -> str:
    """Return the body of one numpydoc section."""
    m = re.search(rf"^[ ]*{title}\n[ ]*-{{3,}}\n(.*?)(?=^[ ]*\w[\w ]*\n[ ]*-{{3,}}\n|\Z)", inspect.cleandoc(doc), re.S | re.M)
    return m[1] if m else ""


def _document(doc: str, arguments, returns) -> str:
    """Add unit, ranges and refusals to the author's docstring."""
    doc = inspect.cleandoc(doc)
    for key, spec in arguments.items():
        text = spec.describe() if isinstance(spec, Arg) else "{" + ", ".join(spec) + "}"
        doc = re.sub(rf"^{key}$", f"{key} : {text}", doc, count=1, flags=re.M)
    added = f"Returns\n-------\nQuantity\n    {returns.describe()}\n\nRaises\n------\nQuantityError\n" + textwrap.indent(
        "A bare number or wrong dimension, a value that is not finite, or one outside its possible range.", "    ") + "\n\n"
    head, mark, tail = doc.partition("Notes\n-----\n")
    return f"{head}{added}{mark}{tail}" if mark else f"{doc}\n\n{added}"
