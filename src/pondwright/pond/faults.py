"""What is wrong with a pond file, in plain words: one line a fault, with the place, what was given, and what would do."""

from __future__ import annotations

import difflib
import re
import tomllib
from datetime import date, time
from typing import get_args, get_origin

from pydantic import BaseModel, ValidationError

from ..units import Q, QuantityError, show
from .model import Pond


class PondFileError(QuantityError):
    """What is wrong with a pond file; `faults` holds one line for each."""

    def __init__(self, faults):
        self.faults = tuple(faults)
        super().__init__("\n".join(self.faults))


# ------------------------------------------------------------------------------------------- what keeps a file from being read

_KEY_LINE = re.compile(r"^\s*(?P<key>[\w.-]+)\s*=\s*(?P<value>.*?)\s*$")
_STRAIGHT = str.maketrans("“”„‟″‘’‚′", "\"\"\"\"\"''''")
_BARE = re.compile(r"^(?:[-+]?[\d_]+(?:\.\d+)?|true|false)$")  # what stands without quotes in TOML
GENERAL = 'Text stands in quotes: depth = "1.2 m".'


def unreadable(error: Exception, text: str, name: str) -> str:
    """Say why a text is no TOML: the line, and how it would have to read."""
    message = re.sub(r" at line \d+ col \d+$", "", " ".join(str(error).split()))
    number = getattr(error, "line", 0) or _line_by_the_standard_reader(text)
    where = f"{name}: line {number}: " if number else f"{name}: "
    if m := re.search(r'[Kk]ey "?([^"]+?)"? already exists', message):
        return f"{where}the key '{m[1]}' stands twice; keep one."
    lines = text.splitlines()
    if 0 < number <= len(lines) and (mend := _mend(lines[number - 1]) or _left_open(lines, number)):
        return f"{where}{mend}"
    return f"{where}cannot be read as TOML ({message.rstrip('.')}). {GENERAL}"


def _line_by_the_standard_reader(text: str) -> int:
    """Ask Python's own reader for the line, where tomlkit names none: it stops at a key that stands twice."""
    try:
        tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        return int(m[1]) if (m := re.search(r"at line (\d+)", str(error))) else 0
    return 0


def _mend(line: str) -> str:
    """Name the slip in one line, and write the line as it would do."""
    line = line.strip()
    if line != (straight := line.translate(_STRAIGHT)):
        return f"these quotes are curly; TOML takes straight ones: {straight}"
    if "=" not in line and (line.startswith("[") or line.endswith("]")):
        return f"a section's name stands in square brackets: [{line.strip('[] ')}]"
    if (m := _KEY_LINE.match(line)) is not None:
        return _mend_value(m["key"], m["value"])
    if m := re.match(r"^([\w.-]+)(?:\s*:\s*|\s+)(\S.*)$", line):
        return f"an equals sign is needed: {m[1]} = {_quoted(m[2])}"
    return ""


def _mend_value(key: str, value: str) -> str:
    quotes = value.count('"')
    if value == "" or value.startswith("#"):
        return f'a value is missing: {key} = "1.2 m"'
    if value[0] == "=":
        return ""
    if value[0] not in "[{\"'":
        value = value.partition("#")[0].strip()
        return "" if _BARE.match(value) else f"a quote is missing: {key} = {_quoted(value)}"
    if value[0] in "\"'" and value.count(value[0]) == 1:
        return f"a quote is missing at the end: {key} = {_quoted(value)}"
    if m := re.match(r'^"([^"]*)"\s*([^\s#].*)$', value):
        return f"number and unit stand inside the same quotes: {key} = {_quoted(f'{m[1]} {m[2]}')}"
    if value[0] == "[" and quotes == 0 and not re.search(r"[\[{']", value[1:]):
        return f'each value of a list stands in quotes of its own: {key} = ["1.2 m", "1.3 m"]'
    if quotes % 2:
        return "a quote is missing: each text begins and ends with one."
    if re.search(r'"\s*"', value.replace('""', "")):
        apart = re.sub(r'"\s*"', '", "', value)
        return f"a comma is missing between two values: {key} = {apart}"
    return ""


def _quoted(text: str) -> str:
    return '"' + text.strip().strip("\"'").partition("#")[0].strip() + '"'


def _left_open(lines: list[str], number: int) -> str:
    """Find the list that an earlier line, or this one, opens and nothing closes."""
    for n in range(number, 0, -1):
        if (m := _KEY_LINE.match(lines[n - 1])) and (value := m["value"]).startswith("["):
            opened = "\n".join([value, *lines[n:number]])
            is_open = opened.count("[") > opened.count("]")
            return f"the list that begins in line {n} ({m['key']}) is not closed: it ends with ]" if is_open else ""
    return ""


# ---------------------------------------------------------------------------------------------- what is wrong with what was read

_KINDS_OF_SHAPE = ("rectangle", "circle", "ellipse", "stadium", "sloped", "shelves", "soundings", "widths", "salt", "fill")
_OTHER_WORDS = {"round": "circle", "oval": "ellipse", "square": "rectangle", "steps": "shelves", "slope": "sloped"}
_FIRST = (
    "Fill it in first: the lines under [pond.shape], without the # before them, your own numbers in place of ___ (lesson 01 leads you "
    "there)."
)

# what each kind of pydantic error asks for, in plain words
_PLAIN = "a plain number, without unit and quotes, is needed, such as 140"
_WHOLE = "a whole number without quotes is needed, such as 3"
_YES_NO = "true or false is needed, without quotes"
_WISHES = {
    "string_type": "text in quotes is needed", "bool_type": _YES_NO, "bool_parsing": _YES_NO,
    "int_type": _WHOLE, "int_parsing": _WHOLE, "int_from_float": _WHOLE, "int_parsing_size": _WHOLE,
    "model_type": "a section is needed", "dict_type": "a section is needed", "model_attributes_type": "a section is needed",
    "float_type": _PLAIN, "float_parsing": _PLAIN, "finite_number": _PLAIN,
    "tuple_type": "a list in square brackets is needed",
}


def faults_of(error: ValidationError) -> list[str]:
    """Write what pydantic found as lines for a student, each once."""
    found = error.errors()
    below = {e["loc"][:n] for e in found for n in range(len(e["loc"]))}  # a fault inside a list also shows as "the list is too short"
    misspelt = {(*e["loc"][:-1], _nearest(e["loc"][-1], _keys_at(e["loc"][:-1]))) for e in found if e["type"] == "extra_forbidden"}
    said_already = {"too_short": below, "missing": misspelt}
    return list(dict.fromkeys(_fault(e) for e in found if e["loc"] not in said_already.get(e["type"], ())))


def _fault(error: dict) -> str:
    """Write one pydantic error as a line for a student."""
    loc = error["loc"]
    if loc[:2] == ("pond", "shape"):
        loc = loc[:2] + loc[3:]  # pydantic puts the kind of shape into the path; the file does not
    place = [f"[{p + 1}]" if isinstance(p, int) else p if re.fullmatch(r"[\w-]+", p) else repr(p) for p in loc]
    path = ".".join(place).replace(".[", "[") or "the file"
    given, kind, context = error.get("input"), error["type"], error.get("ctx", {})
    if kind == "extra_forbidden":
        return f"{path}: is not a key of a pond file. {_known(error['loc'][-1], _keys_at(error['loc'][:-1]))}"
    if kind == "missing":
        return f"{path}: is missing and needed.{f' {_FIRST}' if path in ('pond', 'pond.shape') else ''}"
    if kind == "union_tag_not_found":
        return f"{path}.kind: is missing and needed; one of {', '.join(_KINDS_OF_SHAPE)} would do."
    if kind == "union_tag_invalid":
        word = given["kind"]
        return f"{path}.kind: {_brief(word)} was given; one of {', '.join(_KINDS_OF_SHAPE)} would do.{_meant(word, _KINDS_OF_SHAPE)}"
    if kind == "value_error":
        return f"{path}: {context['error']}"
    if kind == "literal_error":
        words = context["expected"]
        meant = _meant(given, re.findall(r"'([^']+)'", words))
        return f"{path}: {_brief(given)} was given; one of {words} would do.{meant}"
    if kind in ("too_short", "too_long"):
        least, most = context.get("min_length"), context.get("max_length")
        wanted = f"at least {least}" if kind == "too_short" else f"at most {most}"
        return f"{path}: {context['actual_length']} values were given; {wanted} would do."
    if kind in ("greater_than_equal", "less_than_equal"):
        limit = f"at least {context['ge']:g}" if "ge" in context else f"at most {context['le']:g}"
        return f"{path}: {_brief(given)} was given; {limit} would do."
    if kind == "string_too_long":
        return f"{path}: the text is too long; at most {context['max_length']} characters would do."
    wish = _WISHES.get(kind, f"{error['msg'][0].lower()}{error['msg'][1:]}")
    return f"{path}: {_brief(given)} was given; {wish}."


def _brief(given) -> str:
    """Show what was given on one short line."""
    text = str(given) if isinstance(given, date | time) else repr(given)
    return text if len(text) <= 60 else f"{text[:57]}..."


def _nearest(word, known) -> str | None:
    """Return the known word that was most likely meant; large letters and small ones count as the same."""
    if not isinstance(word, str):
        return None
    plain = word.casefold().strip()
    near = difflib.get_close_matches(plain, known, n=1)
    return plain if plain in known else near[0] if near else None


def _known(word: str, known: list[str]) -> str:
    near = _nearest(word, known)
    if near is None:
        return f"Known here: {', '.join(known)}."
    return f"Keys are written in small letters: '{near}'." if near == word.casefold() else f"Did you mean '{near}'?"


def _meant(word, known) -> str:
    near = _OTHER_WORDS.get(word) if isinstance(word, str) else None
    near = near if near in known else _nearest(word, known)
    return f" Did you mean '{near}'?" if near else ""


def _keys_at(loc) -> list[str]:
    """Name the keys that a pond file may hold at a place."""
    model = Pond
    for step in (s for s in loc if not isinstance(s, int)):
        if isinstance(model, list):  # the shapes: the next step is the kind
            model = next(m for m in model if step in get_args(m.model_fields["kind"].annotation))
        elif step in model.model_fields:
            model = _models_in(model.model_fields[step].annotation)
        if model is None:
            return []
    return list(model.model_fields)


def _models_in(annotation):
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    found = [m for part in get_args(annotation) for m in [_models_in(part)] if m is not None] if get_origin(annotation) else []
    flat = [m for item in found for m in (item if isinstance(item, list) else [item])]
    return None if not flat else flat[0] if len(flat) == 1 else flat


# ---------------------------------------------------------------------------------------- what cannot both be so in a good file


def contradictions(pond: Pond) -> list[str]:
    """Say what a file says that cannot both be so, though each line by itself can be read; a plan is made of it all the same."""
    if pond.plumbing is None:
        return []
    found, lift = [], pond.plumbing.lift
    length = sum(run.length.m_as("m") for run in pond.plumbing.line)
    if length < lift.m_as("m"):
        found.append(f"plumbing: {show(Q(length, 'm'), 'm')} of pipe cannot reach {show(lift, 'm')} up, which is its lift.")
    if pond.pump is None:
        return found
    top = max(point.head for point in pond.pump.curve) * pond.pump.speed**2
    if top <= lift:
        found.append(f"pump: lifts water {show(top, 'm')} at most, and plumbing.lift is {show(lift, 'm')}: nothing would flow.")
    return found
