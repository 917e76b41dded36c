"""The one registry of units, and the words by which people name them."""
from __future__ import annotations

import difflib
import functools
import operator
import re
import textwrap

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
    "degree_of_general_hardness = 17.848 * milligram / liter = dGH",
):
    ureg.define(_line)
Quantity = ureg.Quantity


class QuantityError(ValueError):
    """A number, unit or range that cannot be used; the message says what to write instead."""

    def _render_traceback_(self):
        """Let a notebook show the sentence alone."""
        return str(Paragraph(f"{type(self).__name__}: {self}")).splitlines()


class Said(str):
    """A sentence that a notebook shows without quotes."""

    __repr__ = str.__str__


class Paragraph(Said):
    """A sentence that is printed in lines of 90 characters, broken at spaces; JupyterLab itself breaks a long line inside a word."""

    def __str__(self) -> str:
        lines = (_BEFORE_UNIT.sub(_TIE, line) for line in self.splitlines())
        style = {"width": 90, "subsequent_indent": "  ", "break_long_words": False, "break_on_hyphens": False}
        return "\n".join(textwrap.fill(line, **style) for line in lines).replace(_TIE, " ")

    __repr__ = __str__

    def __format__(self, spec: str) -> str:
        return format(str.__str__(self), spec)  # inside another sentence it is not broken


_BEFORE_UNIT, _TIE = re.compile(r"(?<=\d) (?=[^\W\d]|%|°)"), "\N{NO-BREAK SPACE}"  # a number and its unit stay on one line


class ExtrapolationWarning(UserWarning):
    """A formula was used outside the range for which its source vouches."""


_UNIT_WORDS = {
    "liter": "L l litre litres liter liters",
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
    "micrometer": "µm um micrometre micrometres micrometer micrometers",
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
    "metric_ton": "t tonne tonnes",
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
    "degree_Celsius": "degC °C deg_C degree_C degrees_C degrees_Celsius celsius Celsius",
    "degree_Fahrenheit": "degF °F deg_F degree_F degrees_F degrees_Fahrenheit fahrenheit Fahrenheit",
    "kelvin": "K kelvin",
    "delta_degree_Celsius": "delta_degC",
    "delta_degree_Fahrenheit": "delta_degF",
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
    "ohm * millimeter ** 2 / meter": "ohm_mm2/m",
    "pascal": "Pa",
    "millipascal * second": "mPa_s mPa*s mPa·s",
    "kilopascal": "kPa",
    "hectopascal": "hPa",
    "millibar": "mbar",
    "bar": "bar",
    "psi": "psi",
    "standard_atmosphere": "atm",
    "microsiemens / centimeter": "uS/cm µS/cm",
    "millisiemens / centimeter": "mS/cm",
    "degree_of_carbonate_hardness": "dKH °dKH °KH",
    "degree_of_general_hardness": "dGH °dGH °GH dH °dH",
    "joule": "J",
    "mole": "mol",
    "millimole": "mmol",
    "micromole": "umol µmol",
}
_UNITS = {w: name for name, words in _UNIT_WORDS.items() for word in words.split() for w in (word, word.replace("_", " "))}
_UNITS_LOWER = {word.lower(): name for word, name in reversed(_UNITS.items()) if len(word) > 2 or word.islower()}
_ASK_BACK = {
    "gal": "US or imperial? Write 'US gal' (3.785 L) or 'imp gal' (4.546 L)",
    "gallon": "US or imperial? Write 'US gal' (3.785 L) or 'imp gal' (4.546 L)",
    "gallons": "US or imperial? Write 'US gal' (3.785 L) or 'imp gal' (4.546 L)",
    "gpm": "US or imperial? Write 'US gpm' (3.785 L/min) or 'imp gpm' (4.546 L/min)",
    "gph": "US or imperial? Write 'US gph' (3.785 L/h) or 'imp gph' (4.546 L/h)",
    "gals": "US or imperial? Write 'US gal' (3.785 L) or 'imp gal' (4.546 L)",
    "ton": "metric, long or short? Write 'tonne' (1000 kg), or the mass in 'lb'",
    "tons": "metric, long or short? Write 'tonnes' (1000 kg), or the mass in 'lb'",
    "c": "Celsius or coulomb? Write 'degC' for a temperature",
    "f": "Fahrenheit or farad? Write 'degF' for a temperature",
    "mh2o": "head or pressure? Write a head as a length, '2 m', or a pressure as 'kPa'",
    "mwc": "head or pressure? Write a head as a length, '2 m', or a pressure as 'kPa'",
}
_KINDS = {
    "a volume": "L", "a length": "m", "an area": "m2", "a mass": "kg", "a time": "h", "a temperature": "degC", "a flow": "L/min",
    "a concentration": "mg/L", "a power": "W", "an energy": "Wh", "a voltage": "V", "a current": "A", "a charge": "Ah",
    "a pressure": "kPa", "a speed": "m/s", "a mass per day": "g/d", "a conductivity": "uS/cm", "a surface per volume": "m2/m3",
    "an areal rate": "g/m2/d", "a resistance": "ohm", "sunshine energy on an area": "kWh/m2",
    "sunshine energy on an area per day": "kWh/m2/d",
}


@functools.cache
def unit(text: str):
    """Turn a unit as people write it ("mg/L", "US gal", "L per minute") into a pint unit.

    Raises
    ------
    QuantityError
        The word is unknown (the nearest known one is named) or has two meanings (it asks back).
    """
    text = re.sub(r"\s+", " ", text.strip())
    if text in _UNITS or text.lower() in _UNITS_LOWER or text.lower() in _ASK_BACK:
        return _one_word(text)
    top, *below = re.split(r"\s*/\s*|\s+per\s+|\s+a\s+(?=day|hour|minute)", text)
    result = _one_word(top)
    for word in below:
        result = result / _one_word(word)
    return result


def _one_word(word: str):
    if word.lower() in _ASK_BACK:
        raise QuantityError(f"'{word}' has two meanings: {_ASK_BACK[word.lower()]}.")
    name = _UNITS.get(word) or _UNITS_LOWER.get(word.lower())
    if name is None:
        near = difflib.get_close_matches(word, [*_UNITS, *_UNITS_LOWER], n=1) or [w for w in _UNITS if w.lower() == word.lower()]
        raise QuantityError(f"'{word}' is not a unit known here." + (f" Did you mean '{near[0]}'?" if near else ""))
    return ureg.Unit("") if name == "dimensionless" else ureg.Unit(name)


@functools.cache
def _kind_table():
    return {unit(text).dimensionality: kind for kind, text in reversed(_KINDS.items())}


def kind_of(thing) -> str:
    """Say in words what sort of quantity a Quantity or Unit is: "a volume", "a length"."""
    return _kind_table().get(thing.dimensionality, "a plain number" if thing.dimensionless else f"{thing.dimensionality}")


@functools.cache
def write_unit(of) -> str:
    """Write a pint unit the way :func:`unit` reads it: "m3", "US gal/min", "mg/L".

    Raises
    ------
    QuantityError
        No word known here says this unit.
    """
    words = {unit(words.split()[0]): words.split()[0].replace("_", " ") for name, words in _UNIT_WORDS.items() if name != "dimensionless"}
    if of == ureg.Unit(""):
        return "-"
    if of in words:
        return words[of]
    powers = of._units.items()
    above = functools.reduce(lambda a, b: a * b, (ureg.Unit(n) ** p for n, p in powers if p > 0), ureg.Unit(""))
    below = [w for n, p in powers if p < 0 for w in _below(ureg.Unit(n), -p, words)]
    if (above != ureg.Unit("") and above not in words) or None in below:
        raise QuantityError(f"there is no word here for the unit '{of}'.")
    return "/".join([words.get(above, "-"), *below])


def _below(of, power, words) -> list:
    """Name what stands under the line: m2 as one word where there is one, else the word as often as its power says."""
    return [words[of**power]] if of**power in words else [words.get(of)] * int(power)


def in_unit(quantity, wanted):
    """Return the number (or array) of a Quantity in a pint unit, without looking up the way between two units each time anew."""
    has, asked = quantity._units, wanted._units
    if has is asked or has == asked:
        return quantity._magnitude
    factor = _factor(has, asked)
    return _slow_m_as(quantity, wanted) if factor is None else quantity._magnitude * factor


@functools.lru_cache(maxsize=4096)
def _factor(has, asked) -> float | None:
    """Return what a number is multiplied by from one unit to another; None between temperatures, whose zeros differ."""
    if _slow_m_as(Quantity(0.0, has), asked) != 0:
        return None
    return float(_slow_m_as(Quantity(1.0, has), asked))


def quantity(magnitude, of):
    """Make a Quantity of a clean number or array and a pint unit; pint's own door takes ten times as long to look for other cases."""
    made = object.__new__(Quantity)
    made._magnitude, made._units = magnitude, of._units
    return made


def Q(value, unit_text: str = "-"):
    """Make a Quantity from a number (or array) and a unit as people write it: ``Q(5200, "L")``."""
    return quantity(value, unit(unit_text)) if type(value) in _CLEAN else Quantity(value, unit(unit_text))


_CLEAN = (float, int, np.ndarray, np.float64)


# Our registry's own class: conversions and single values of an array by the short ways above. A plan asks for thousands of them.
_slow_m_as, _pint_unit = Quantity.m_as, functools.cache(ureg.Unit)


def _m_as(self, units):
    wanted = _pint_unit(units) if isinstance(units, str) else units
    return in_unit(self, wanted) if isinstance(wanted, ureg.Unit) else _slow_m_as(self, units)


def _item(self, key):
    return quantity(self._magnitude[key], self)


@functools.lru_cache(maxsize=4096)
def _from_zero(of) -> bool:
    """Tell whether a unit counts from zero, as all do but those of a temperature: only then may its numbers be multiplied and added."""
    return bool(Quantity(1.0, of)._is_multiplicative)


def _times(calculate, slow):
    """Multiply or divide by a plain number without asking what it is."""
    def times(self, other):
        if type(other) in _CLEAN and _from_zero(self._units):
            return quantity(calculate(self._magnitude, other), self)
        return slow(self, other)

    return times


def _plus(calculate, slow):
    """Add or take away what is given in another unit by the known way between the two."""
    def plus(self, other):
        if type(other) is Quantity and _from_zero(self._units) and _from_zero(other._units):
            return quantity(calculate(self._magnitude, in_unit(other, self)), self)
        return slow(self, other)

    return plus


Quantity.m_as, Quantity.__getitem__ = _m_as, _item
Quantity.__mul__ = Quantity.__rmul__ = _times(operator.mul, Quantity.__mul__)
Quantity.__truediv__ = _times(operator.truediv, Quantity.__truediv__)
Quantity.__add__, Quantity.__sub__ = _plus(operator.add, Quantity.__add__), _plus(operator.sub, Quantity.__sub__)
