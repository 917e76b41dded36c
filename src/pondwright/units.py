"""Units: the one registry, the one parser, the one decorator, and the three unit systems.

Nothing else in the package hands text to pint. pint alone reads "12,5 L" as 125 L, "18 C" as coulomb, "5 pH" as picohenry,
and lets "nan L" pass; :func:`read` does not.
"""
from __future__ import annotations

import contextlib
import contextvars
import difflib
import functools
import inspect
import math
import re
import textwrap
import warnings
from dataclasses import dataclass

import numpy as np
import pint


def _registry() -> pint.UnitRegistry:
    """Make the registry; keep pint's parsed definitions in the user's cache folder where one can be written."""
    options = {"autoconvert_offset_to_baseunit": False, "cache_folder": ":auto:"}
    try:
        return pint.UnitRegistry(**options)
    except OSError:
        return pint.UnitRegistry(**{**options, "cache_folder": None})


ureg = _registry()
for _line in (
    "US_gallon = 231 * inch ** 3 = US_gal",
    "imp_gallon = 4.54609 * liter = imp_gal",
    "US_gallon_per_minute = US_gallon / minute = US_gpm",
    "US_gallon_per_hour = US_gallon / hour = US_gph",
    "imp_gallon_per_minute = imp_gallon / minute = imp_gpm",
    "imp_gallon_per_hour = imp_gallon / hour = imp_gph",
    # As mg/L of CaCO3. 1 dKH = 10 mg/L CaO; 100.087/56.077 x 10 = 17.848. The basis stays in the quantity's name.
    "degree_of_carbonate_hardness = 17.848 * milligram / liter = dKH",
):
    ureg.define(_line)
Quantity = ureg.Quantity


class QuantityError(ValueError):
    """A number, unit or range that cannot be used; the message says what to write instead."""


class ExtrapolationWarning(UserWarning):
    """A formula was used outside the range for which its source vouches."""


# ------------------------------------------------------------------------------------------------------------ words for units

_UNIT_WORDS = {
    "liter": "l L litre litres liter liters",
    "milliliter": "ml mL millilitre millilitres milliliter milliliters",
    "meter ** 3": "m3 m³ m^3 cubic_metre cubic_metres cubic_meter cubic_meters",
    "foot ** 3": "ft3 ft³ ft^3 cu_ft cubic_foot cubic_feet",
    "yard ** 3": "yd3 yd³ yd^3 cu_yd cubic_yard cubic_yards",
    "inch ** 3": "in3 in³ in^3 cu_in cubic_inch cubic_inches",
    "acre * foot": "acre-ft acre_ft acre-foot acre_feet acre-feet",
    "US_gallon": "US_gal US_gallon US_gallons gal_US gallon_US gallons_US gal_(US) gallons_(US)",
    "imp_gallon": "imp_gal imp_gallon imp_gallons imperial_gallon imperial_gallons UK_gal UK_gallons gal_(imp) gal_imp gal_UK",
    "US_gallon / minute": "US_gpm gpm_US",
    "US_gallon / hour": "US_gph gph_US",
    "imp_gallon / minute": "imp_gpm",
    "imp_gallon / hour": "imp_gph",
    "meter": "m metre metres meter meters",
    "centimeter": "cm centimetre centimetres centimeter centimeters",
    "millimeter": "mm millimetre millimetres millimeter millimeters",
    "kilometer": "km kilometre kilometres kilometer kilometers",
    "inch": "in inch inches \" ″",
    "foot": "ft foot feet ' ′",
    "yard": "yd yard yards",
    "meter ** 2": "m2 m² m^2 sq_m square_metre square_metres square_meter square_meters",
    "centimeter ** 2": "cm2 cm² cm^2",
    "millimeter ** 2": "mm2 mm² mm^2",
    "foot ** 2": "ft2 ft² ft^2 sq_ft square_foot square_feet",
    "inch ** 2": "in2 in² in^2 sq_in",
    "acre": "acre acres",
    "kilogram": "kg kilogram kilograms kilo kilos",
    "gram": "g gram grams",
    "milligram": "mg milligram milligrams",
    "microgram": "ug µg",
    "pound": "lb lbs pound pounds",
    "ounce": "oz ounce ounces",
    "second": "s sec second seconds",
    "minute": "min minute minutes",
    "hour": "h hr hrs hour hours",
    "day": "d day days",
    "week": "week weeks",
    "year": "year years yr",
    "degree_Celsius": "degC °C deg_C celsius Celsius",
    "degree_Fahrenheit": "degF °F deg_F fahrenheit Fahrenheit",
    "kelvin": "K kelvin",
    "delta_degree_Celsius": "delta_degC",
    "percent": "% percent per_cent",
    "dimensionless": "- pH fish plants",
    "degree": "deg ° degree degrees",
    "watt": "W watt watts",
    "kilowatt": "kW kilowatt kilowatts",
    "milliwatt": "mW",
    "watt * hour": "Wh watt-hour watt-hours watt_hours",
    "kilowatt * hour": "kWh kilowatt-hour kilowatt-hours",
    "megajoule": "MJ",
    "kilojoule": "kJ",
    "volt": "V volt volts",
    "millivolt": "mV",
    "ampere": "A amp amps ampere amperes",
    "milliampere": "mA",
    "ampere * hour": "Ah amp-hour amp-hours amp_hours ampere-hours",
    "ohm": "ohm ohms Ω",
    "pascal": "Pa",
    "kilopascal": "kPa",
    "hectopascal": "hPa",
    "millibar": "mbar",
    "bar": "bar",
    "psi": "psi",
    "standard_atmosphere": "atm",
    "microsiemens / centimeter": "uS/cm µS/cm",
    "millisiemens / centimeter": "mS/cm",
    "degree_of_carbonate_hardness": "dKH °dKH °KH",
    "joule": "J",
    "mole": "mol",
    "millimole": "mmol",
}
_UNITS = {w: name for name, words in _UNIT_WORDS.items() for word in words.split() for w in (word, word.replace("_", " "))}
_UNITS_LOWER = {word.lower(): name for word, name in reversed(_UNITS.items()) if len(word) > 2 or word.islower()}
_ASK_BACK = {
    "gal": "US or imperial? Write 'US gal' (3.785 L) or 'imp gal' (4.546 L)",
    "gallon": "US or imperial? Write 'US gal' (3.785 L) or 'imp gal' (4.546 L)",
    "gallons": "US or imperial? Write 'US gal' (3.785 L) or 'imp gal' (4.546 L)",
    "gpm": "US or imperial? Write 'US gpm' (3.785 L/min) or 'imp gpm' (4.546 L/min)",
    "gph": "US or imperial? Write 'US gph' (3.785 L/h) or 'imp gph' (4.546 L/h)",
    "C": "Celsius? Write 'degC'",
    "c": "Celsius? Write 'degC'",
    "F": "Fahrenheit? Write 'degF'",
    "f": "Fahrenheit? Write 'degF'",
    "mH2O": "head or pressure? Write a head as a length, '2 m', or a pressure as 'kPa'",
    "mWC": "head or pressure? Write a head as a length, '2 m', or a pressure as 'kPa'",
}
_KINDS = {
    "a volume": "L", "a length": "m", "an area": "m2", "a mass": "kg", "a time": "h", "a temperature": "degC", "a flow": "L/min",
    "a concentration": "mg/L", "a power": "W", "an energy": "Wh", "a voltage": "V", "a current": "A", "a charge": "Ah",
    "a pressure": "kPa", "a speed": "m/s", "a mass per day": "g/d", "a conductivity": "uS/cm", "a surface per volume": "m2/m3",
    "an areal rate": "g/m2/d", "a resistance": "ohm", "sunshine energy on an area": "kWh/m2",
    "sunshine energy on an area per day": "kWh/m2/d",
}


def unit(text: str):
    """Turn a unit as people write it ("mg/L", "US gal", "L per minute") into a pint unit.

    Raises
    ------
    QuantityError
        The word is unknown (the nearest known one is named) or has two meanings (it asks back).
    """
    return _unit(re.sub(r"\s+", " ", text.strip()))


@functools.cache
def _unit(text: str):
    if text in _UNITS or text.lower() in _UNITS_LOWER or text in _ASK_BACK:
        return _one_word(text)
    top, *below = re.split(r"\s*/\s*|\s+per\s+|\s+a\s+(?=day|hour|minute)", text)
    result = _one_word(top)
    for word in below:
        result = result / _one_word(word)
    return result


def _one_word(word: str):
    if word in _ASK_BACK:
        raise QuantityError(f"'{word}' has two meanings: {_ASK_BACK[word]}.")
    name = _UNITS.get(word) or _UNITS_LOWER.get(word.lower())
    if name is None:
        near = difflib.get_close_matches(word, [*_UNITS, *_UNITS_LOWER], n=1)
        raise QuantityError(f"'{word}' is not a unit known here." + (f" Did you mean '{near[0]}'?" if near else ""))
    return ureg.Unit("") if name == "dimensionless" else ureg.Unit(name)


@functools.cache
def _kind_table():
    return {unit(text).dimensionality: kind for kind, text in reversed(_KINDS.items())}


def kind_of(thing) -> str:
    """Say in words what sort of quantity a Quantity or Unit is: "a volume", "a length"."""
    return _kind_table().get(thing.dimensionality, "a plain number" if thing.dimensionless else f"{thing.dimensionality}")


def Q(value, unit_text: str = "-"):
    """Make a Quantity from a number (or array) and a unit as people write it: ``Q(5200, "L")``."""
    return Quantity(value, unit(unit_text))


# ------------------------------------------------------------------------------------------------------------------- the parser

_NUMBER = r"[-+]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d+)?"
_FRACTION = re.compile(r"^(?P<sign>-?)(?:(?P<whole>\d+)[ -]+)?(?P<top>\d+)\s*/\s*(?P<bottom>\d+)(?P<rest>[^\d].*|)$")
_FEET_INCHES = re.compile(rf"^(?P<feet>{_NUMBER})\s*(?:ft|feet|foot|'|′)\s*(?P<inches>[\d./ -]+)\s*(?:in|inch|inches|\"|″|'')$")
_PLAIN = re.compile(rf"^(?P<number>{_NUMBER})(?P<rest>.*)$")
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3"}


def read(text, wanted: str | None = None):
    """Read a quantity that a person or a file wrote, number and unit apart.

    Parameters
    ----------
    text : str
        "5200 L", "12,5 L", "3/4 in", "5 ft 6 in", "18 degC", "0.25 ppm". A plain number is taken only for a dimensionless quantity.
    wanted : str, optional
        A unit of the dimension that is needed, such as "L". Without it any known unit is taken.

    Returns
    -------
    Quantity
        In the unit that was written. "ppm" becomes mg/L (fresh water weighs about 1 kg/L).

    Raises
    ------
    QuantityError
        One sentence: what was given, why it cannot be used, what would do.

    Examples
    --------
    >>> print(read("12,5 L", "L"))
    12.5 liter
    >>> print(round(read("5 ft 6 in", "m").to("m"), 4))
    1.6764 meter
    """
    return read_noting(text, wanted)[0]


def read_noting(text, wanted: str | None = None):
    """Read like :func:`read`, and also return a remark ("ppm is read as mg/L") or an empty string."""
    want = None if wanted is None else unit(wanted)
    example = "" if want is None or want.dimensionless else f", such as '1.5 {wanted}'"
    given = str(text).strip()
    if isinstance(text, bool) or text is None or not given:
        raise QuantityError(f"expected a number with a unit{example}, got {given!r}.")
    number, words = _split(given, example)
    if not math.isfinite(number):
        raise QuantityError(f"'{given}' is not a finite number.")
    if not words:
        if want is not None and not want.dimensionless:
            raise QuantityError(f"'{given}' has no unit: this is {kind_of(want)}; write it with one{example}.")
        return Quantity(number, ""), ""
    note = ""
    if words.lower() == "ppm":
        words, note = "mg/L", f"'{given}' is read as {number:g} mg/L: in fresh water 1 ppm is 1 mg/L"
    try:
        found = unit(words)
    except QuantityError as error:
        raise QuantityError(f"'{given}': {error}") from None
    if want is not None and found.dimensionality != want.dimensionality:
        raise QuantityError(f"'{given}' is {kind_of(found)}; {kind_of(want)} is needed{example}.")
    return Quantity(number, found), note


def _split(given: str, example: str):
    """Split text into a float and the words after it."""
    text = given.replace("−", "-")
    for sign, plain in _VULGAR.items():
        text = re.sub(rf"(\d)?{sign}", lambda m, p=plain: f"{m[1]} {p}" if m[1] else p, text)
    if m := _FEET_INCHES.match(text):
        inches = _split(m["inches"].strip(), example)[0]
        return float(m["feet"]) + math.copysign(inches, float(m["feet"])) / 12, "ft"
    if m := _FRACTION.match(text):
        if int(m["bottom"]) == 0:
            raise QuantityError(f"'{given}' divides by zero.")
        value = int(m["whole"] or 0) + int(m["top"]) / int(m["bottom"])
        return (-value if m["sign"] else value), m["rest"].strip()
    if re.match(r"^[-+]?\d{1,3}([,.]\d{3}){2,}\b", text) or re.match(r"^[-+]?[1-9]\d{0,2},\d{3}(?!\d)", text) or re.match(r"^[-+]?\d[\d.]*[., ]\d+,\d", text):
        raise QuantityError(f"'{given}': is the comma a decimal comma or a thousands mark? Write it without, such as '1500' or '1.5'.")
    text = re.sub(r"^([-+]?\d*),(\d+)", r"\1.\2", text)
    if re.match(r"^[-+]?\d+ \d{3}\b", text):
        raise QuantityError(f"'{given}' has a space inside the number: write '{text.replace(' ', '', 1)}'.")
    if m := _PLAIN.match(text):
        return float(m["number"]), m["rest"].strip()
    if re.match(r"^[-+]?(nan|inf)", text.lower()):
        raise QuantityError(f"'{given}' is not a finite number.")
    raise QuantityError(f"'{given}' does not start with a number{example and '; write it' + example[1:]}.")


# ---------------------------------------------------------------------------------------------------------------- the decorator


@dataclass(frozen=True)
class Arg:
    """What a formula says of one parameter or of its result: unit, possible range (physics), calibrated range (its source)."""

    unit: str
    possible: tuple = (None, None)
    calibrated: tuple = (None, None)
    optional: bool = False

    def describe(self) -> str:
        parts = [f"[{self.unit}]"]
        if self.possible != (None, None):
            parts.append(f"possible {_span(self.possible)}")
        if self.calibrated != (None, None):
            parts.append(f"calibrated {_span(self.calibrated)}")
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


@dataclass(frozen=True)
class Use:
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
        order = list(signature.parameters)

        def check(**values):
            """Check plain numbers (in the declared units) against the ranges; return the extrapolations."""
            return tuple(e for k, v in values.items() if k in args and v is not None for e in _in_range(name, k, v, args[k], sources))

        @functools.wraps(plain)
        def wrapper(*positional, **named):
            if len(positional) > len(order):
                raise TypeError(f"{name} takes {len(order)} values, {len(positional)} were given")
            given = dict(zip(order, positional, strict=False))
            twice = given.keys() & named.keys()
            unknown = named.keys() - set(order)
            if twice or unknown:
                raise TypeError(f"{name}: {', '.join(sorted(twice | unknown))} given twice or not a parameter; it takes {', '.join(order)}")
            given.update(named)
            missing = [k for k in order if k not in given and k not in defaults]
            if missing:
                raise TypeError(f"{name} also needs {', '.join(missing)}")
            values, marks = {}, ()
            for key, value in given.items():
                spec = arguments[key]
                if isinstance(spec, tuple):
                    if value not in spec:
                        raise QuantityError(f"{key} in {name} is one of {', '.join(spec)}; {value!r} was given.")
                    values[key] = value
                elif value is None and spec.optional:
                    values[key] = None
                else:
                    values[key] = _strip(name, key, value, spec, units[key])
                    marks += _in_range(name, key, values[key], spec, sources)
            result = plain(**values)
            _in_range(name, "the result", result, returns, sources)
            trace = _trace.get()
            if trace is not None:
                trace.append(Use(name, sources, marks))
            elif marks:
                warnings.warn("; ".join(map(str, marks)), ExtrapolationWarning, stacklevel=2)
            return Quantity(result, out)

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
        if isinstance(value, str | bool) or value is None or not np.issubdtype(np.asarray(value).dtype, np.number):
            raise QuantityError(f"{key} in {name} needs a quantity in {spec.unit}; {value!r} was given: write Q(number, '{spec.unit}').")
        if not wanted.dimensionless:
            shown = f"{value:g}" if np.ndim(value) == 0 else "an array of bare numbers"
            raise QuantityError(f"{key} in {name} needs a unit: write Q({shown}, '{spec.unit}') instead of {shown}.")
        return np.asarray(value, dtype=float) if np.ndim(value) else float(value)
    if value.units == wanted:
        magnitude = value.magnitude
    else:
        try:
            magnitude = value.m_as(wanted)
        except pint.DimensionalityError:
            raise QuantityError(f"{key} in {name} is {kind_of(wanted)} (such as '1 {spec.unit}'); {value:~} is {kind_of(value)}.") from None
    return np.asarray(magnitude, dtype=float) if np.ndim(magnitude) else float(magnitude)


def _in_range(name, key, value, spec, sources):
    """Refuse what is not finite or not possible; return a mark for what lies outside the calibrated range."""
    if isinstance(value, np.ndarray):
        if value.size == 0:
            raise QuantityError(f"{key} in {name} is an empty array.")
        low, high = float(value.min()), float(value.max())
    else:
        low = high = value
    if not (math.isfinite(low) and math.isfinite(high)):
        raise QuantityError(f"{key} in {name} is not a finite number.")
    if _outside(low, high, spec.possible):
        raise QuantityError(f"{key} in {name} must be {_span(spec.possible)} {_label(spec)}; {_worst(low, high, spec.possible):g} is not possible.")
    if _outside(low, high, spec.calibrated):
        given = f"{_worst(low, high, spec.calibrated):.4g} {_label(spec)}".strip()
        return (Extrapolation(name, key, given, f"{_span(spec.calibrated)} {_label(spec)}".strip(), sources),)
    return ()


def _outside(low, high, span):
    return (span[0] is not None and low < span[0]) or (span[1] is not None and high > span[1])


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


# ------------------------------------------------------------------------------------------------------------ the unit systems

SYSTEMS = ("metric", "us", "imperial")
# metric unit -> (US customary, British imperial). What is missing reads the same everywhere (mg/L, V, A, W, h).
_SYSTEM_UNITS = {
    "L": ("US gal", "imp gal"), "m3": ("US gal", "imp gal"), "m": ("ft", "ft"), "cm": ("in", "in"), "mm": ("in", "in"),
    "m2": ("ft2", "ft2"), "kg": ("lb", "lb"), "g": ("oz", "oz"), "degC": ("degF", "degF"), "L/min": ("US gpm", "imp gpm"),
    "L/h": ("US gph", "imp gph"), "m/s": ("ft/s", "ft/s"), "kg/m3": ("lb/ft3", "lb/ft3"), "g/d": ("oz/d", "oz/d"),
    "kPa": ("psi", "psi"), "m2/m3": ("ft2/ft3", "ft2/ft3"), "m3/m2/d": ("US gpm/ft2", "imp gpm/ft2"), "mm2": ("mm2", "mm2"),
}
_SHORT = {"-": "", "degC": "°C", "degF": "°F", "m2": "m²", "m3": "m³", "ft2": "ft²", "ft3": "ft³", "mm2": "mm²", "m2/m3": "m²/m³",
          "ft2/ft3": "ft²/ft³", "kg/m3": "kg/m³", "lb/ft3": "lb/ft³", "g/m2/d": "g/m²/day", "kWh/m2/d": "kWh/m²/day",
          "m3/m2/d": "m³/m²/day", "g/d": "g/day", "oz/d": "oz/day", "kg/d": "kg/day", "Wh/d": "Wh/day", "h/d": "h/day", "m2/d": "m²/day",
          "US gpm/ft2": "US gpm/ft²", "imp gpm/ft2": "imp gpm/ft²", "uS/cm": "µS/cm", "kWh/m2": "kWh/m²"}


def unit_for(metric_unit: str, system: str = "metric") -> str:
    """Name the unit in which a system shows what metric shows in `metric_unit`."""
    if system not in SYSTEMS:
        raise QuantityError(f"the unit system is one of {', '.join(SYSTEMS)}; {system!r} was given.")
    if system == "metric" or metric_unit not in _SYSTEM_UNITS:
        return metric_unit
    return _SYSTEM_UNITS[metric_unit][SYSTEMS.index(system) - 1]


def short(unit_text: str) -> str:
    """Write a unit for people: m2 becomes m², degC becomes °C."""
    return _SHORT.get(unit_text, unit_text)


def show(quantity, metric_unit: str, system: str = "metric", digits: int = 3) -> str:
    """Write a quantity for people, rounded to `digits` significant figures, in the unit of their system.

    Examples
    --------
    >>> show(Q(5236, "L"), "L"), show(Q(5236, "L"), "L", "us")
    ('5240 L', '1380 US gal')
    """
    target = unit_for(metric_unit, system)
    value = quantity.m_as(unit(target))
    return f"{round_text(value, digits)} {short(target)}".strip()


def round_text(value: float, digits: int = 3) -> str:
    """Round to significant figures and write without an exponent."""
    if value == 0:
        return "0"
    places = digits - 1 - math.floor(math.log10(abs(value)))
    rounded = round(value, places)
    text = f"{rounded:.{max(places, 0)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


