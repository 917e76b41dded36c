"""The one parser: text that a person or a file gives, read as a quantity."""
from __future__ import annotations

import math
import re

from .bearings import degrees_meant
from .registry import Quantity, QuantityError, kind_of, unit

_NUMBER = r"[-+]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d+)?"
_LONGEST = 80  # characters; no quantity that a person writes is longer
_FRACTION = re.compile(r"^(?P<sign>[-+]?)(?:(?P<whole>\d+)[ -]+)?(?P<top>\d+)\s*/\s*(?P<bottom>\d+)(?P<rest>[^\d].*|)$")
_INCHES = r"(?:\d+[ -]+)?\d+/\d+|\d*\.?\d+"
_FEET_INCHES = re.compile(rf"^(?P<feet>{_NUMBER})\s*(?:ft|feet|foot|'|′)\s*(?P<inches>{_INCHES})\s*(?:in|inch|inches|\"|″|'')$")
_HOURS_MINUTES = re.compile(r"^(?P<hours>\d+)\s*(?:h|hr|hours?)\s*(?:and\s+)?(?P<minutes>\d+(?:\.\d+)?)\s*(?:min|minutes?)$")
_THOUSANDS = re.compile(r"^[-+]?(?:\d{1,3}(?:[,.]\d{3}){2,}\b|[1-9]\d{0,2},\d{3}(?!\d)|\d[\d.]*[., ]\d+,\d)")
_PLAIN = re.compile(rf"^(?P<number>{_NUMBER})(?P<rest>.*)$")
_GAUGE = re.compile(r"^(?:AWG\s*)?(?P<gauge>\d{1,2}|0{3,4}|[1-4]/0)(?:\s*AWG)?$", re.IGNORECASE)
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3"}


def read(text, wanted: str | None = None):
    """Read a quantity that a person or a file wrote, number and unit apart.

    Parameters
    ----------
    text : str
        "5200 L", "12,5 L", "3/4 in", "5 ft 6 in", "2 h 40 min", "18 degC", "0.25 ppm", "14 AWG" (as copper area). A plain number is taken
        only for a dimensionless quantity.
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
    plain = want is not None and (want == unit("-") or wanted == "%")  # an angle and hours a day are no plain numbers, though pint says so
    example = "" if want is None or plain else f", such as '1.5 {wanted}'"
    given = " ".join("".join(c if c.isprintable() else " " for c in str(text)).split())
    if isinstance(text, bool) or text is None or not given:
        raise QuantityError(f"expected a number with a unit{example}, got {given!r}.")
    if len(given) > _LONGEST:
        raise QuantityError(f"'{given[:20]} ...' is too long for a quantity; write a number with a unit{example}.")
    if "__" in given:
        raise QuantityError(f"'{given}' is a blank still: put your own number in place of the line.")
    if "awg" in given.lower():
        return _wire(given, want)
    if wanted == "deg" and (meant := degrees_meant(given)):
        raise QuantityError(f"'{given}': {meant}.")
    number, words = _split(given, example)
    if not math.isfinite(number):
        raise QuantityError(f"'{given}' is not a finite number.")
    if not words:
        if want is not None and not plain:
            raise QuantityError(f"'{given}' has no unit: this is {_kind(want, wanted)}; write it with one{example}.")
        if wanted == "%":
            whole = f" if you mean the fraction {given}, '{number * 100:g} %'" if 0 < number <= 1 else ""
            raise QuantityError(f"'{given}' has no unit: this is a share; write '{given} %'{whole and ', or' + whole}.")
        return Quantity(number, ""), ""
    if re.match(r"(?:[-–±+]|\+/-|to) ?[.\d]", words):
        raise QuantityError(f"'{given}' is more than one number; write one{example}.")
    note = ""
    if words.lower() == "ppm":
        words, note = "mg/L", f"'{given}' is read as {number:g} mg/L: in fresh water 1 ppm is 1 mg/L"
    try:
        found = unit(words)
    except QuantityError as error:
        raise QuantityError(f"'{given}': {error}") from None
    if want is not None and str(found).startswith("delta") != str(want).startswith("delta"):
        raise QuantityError(f"'{given}': a temperature and a difference of temperatures are not the same; '{wanted}' is needed.")
    if want is not None and found.dimensionality != want.dimensionality:
        raise QuantityError(f"'{given}' is {kind_of(found)}; {_kind(want, wanted)} is needed{example}.")
    return Quantity(number, found), note


def _kind(want, wanted: str) -> str:
    return f"a number in {wanted}" if want.dimensionless and want != unit("-") else kind_of(want)


def _wire(given: str, want):
    """Read an American wire gauge as the copper area of a solid wire.

    By ASTM B258 gauge 0000 is 0.46 in thick, gauge 36 is 0.005 in, and the 39 steps between are equal ratios.
    """
    m = _GAUGE.match(given)
    if m is None or not 0 <= (number := _gauge_number(m["gauge"])) + 3 <= 43:
        raise QuantityError(f"'{given}' is not a wire gauge; write one from '4/0 AWG' (thick) to '40 AWG' (thin), or the copper in mm2.")
    area = Quantity(math.pi / 4 * (0.127 * 92 ** ((36 - number) / 39)) ** 2, "mm**2")
    if want is not None and want.dimensionality != area.units.dimensionality:
        raise QuantityError(f"'{given}' is the size of a wire; {kind_of(want)} is needed.")
    return area, f"'{given}' is read as {area.magnitude:.3g} mm² of copper"


def _gauge_number(text: str) -> int:
    """Return the number of a gauge; 1/0 is 0, and 2/0 (or 00) to 4/0 (or 0000) count down from it."""
    if text.endswith("/0"):
        return 1 - int(text[0])
    return 1 - len(text) if set(text) == {"0"} else int(text)


def _split(given: str, example: str):
    """Split text into a float and the words after it."""
    text = given.replace("−", "-")
    for sign, plain in _VULGAR.items():
        text = re.sub(rf"(\d)?{sign}", lambda m, p=plain: f"{m[1]} {p}" if m[1] else p, text)
    if m := _FEET_INCHES.match(text):
        inches = _split(m["inches"].strip(), example)[0]
        return float(m["feet"]) + math.copysign(inches, float(m["feet"])) / 12, "ft"
    if m := _HOURS_MINUTES.match(text):
        return float(m["hours"]) + float(m["minutes"]) / 60, "h"
    if m := _FRACTION.match(text):
        if int(m["bottom"]) == 0:
            raise QuantityError(f"'{given}' divides by zero.")
        value = int(m["whole"] or 0) + int(m["top"]) / int(m["bottom"])
        return (-value if m["sign"] == "-" else value), m["rest"].strip()
    if _THOUSANDS.match(text):
        raise QuantityError(f"'{given}': is the comma a decimal comma or a thousands mark? Write it without, such as '1500' or '1.5'.")
    text = re.sub(r"^([-+]?\d*),(\d+)", r"\1.\2", text)
    if re.match(r"^[-+]?\d+ \d{3}\b", text):
        raise QuantityError(f"'{given}' has a space inside the number: write '{text.replace(' ', '', 1)}'.")
    if m := _PLAIN.match(text):
        return float(m["number"]), m["rest"].strip()
    if re.match(r"^[-+]?(nan|inf)", text.lower()):
        raise QuantityError(f"'{given}' is not a finite number.")
    raise QuantityError(f"'{given}' does not start with a number{example and '; write it' + example[1:]}.")
