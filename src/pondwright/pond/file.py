"""The pond file: read it, say what is wrong with it in one line a fault, and write one decision into it."""
from __future__ import annotations

import contextlib
import difflib
import os
import re
import tempfile
from datetime import date, time
from importlib import resources
from pathlib import Path
from typing import get_args, get_origin

import numpy as np
from pydantic import BaseModel, ValidationError

from ..units import Quantity, QuantityError, Said, round_text, write_unit
from .model import Pond

MY_POND = "pond.toml"
MAX_BYTES = 1_000_000


class PondFileError(QuantityError):
    """What is wrong with a pond file; `faults` holds one line for each."""

    def __init__(self, faults):
        self.faults = tuple(faults)
        super().__init__("\n".join(self.faults))


def load_pond(path) -> Pond:
    """Read and check a pond file.

    Raises
    ------
    PondFileError
        One line a fault: the key's path, what was given, what would do.
    """
    return parse_pond(_text_of(Path(path)), str(Path(path).name))


def parse_pond(text: str, name: str = MY_POND) -> Pond:
    """Check the text of a pond file; faults as in :func:`load_pond`."""
    return _validated(_parsed(text, name).unwrap(), name)


def _text_of(path: Path) -> str:
    try:
        if path.stat().st_size > MAX_BYTES:
            raise PondFileError([f"{path.name}: is larger than a pond file can be ({MAX_BYTES:,} bytes)."])
        return path.read_bytes().decode("utf-8-sig")
    except FileNotFoundError:
        raise PondFileError([f"{path.name}: there is no such file here; 'pondwright start' makes one."]) from None
    except UnicodeDecodeError:
        raise PondFileError([f"{path.name}: is not a text file (UTF-8)."]) from None
    except OSError as error:
        raise PondFileError([f"{path.name}: cannot be read ({error.strerror})."]) from None


def _is_there(path: Path) -> bool:
    try:
        path.stat()
    except FileNotFoundError:
        return False
    except OSError as error:
        raise PondFileError([f"{path.name}: cannot be read ({error.strerror})."]) from None
    return True


def _parsed(text: str, name: str):
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    if "\x00" in text:
        raise PondFileError([f"{name}: is not a text file."])
    try:
        document = tomlkit.parse(text)
        document.unwrap()
    except (TOMLKitError, ValueError, TypeError, RecursionError) as error:  # some faults show only when the values are taken out
        where = f"line {error.line}: " if hasattr(error, "line") else ""
        raise PondFileError([f"{name}: {where}{_plain_toml(' '.join(str(error).split()))}"]) from None
    return document


def _plain_toml(message: str) -> str:
    message = re.sub(r" at line \d+ col \d+$", "", message)
    if m := re.search(r'[Kk]ey "?([^"]+?)"? already exists', message):
        return f"the key '{m[1]}' stands twice; keep one."
    return f"cannot be read as TOML ({message.rstrip('.')}). Text stands in quotes: depth = \"1.2 m\"."


def _validated(data: dict, name: str) -> Pond:
    if not data:
        raise PondFileError([f"{name}: is empty; it needs at least [pond.shape]."])
    try:
        return Pond.model_validate(data)
    except ValidationError as error:
        faults = error.errors()
        below = {e["loc"][:n] for e in faults for n in range(len(e["loc"]))}  # a fault inside a list also shows as "the list is too short"
        raise PondFileError(dict.fromkeys(_fault(e) for e in faults if not (e["type"] == "too_short" and e["loc"] in below))) from None


_KINDS_OF_SHAPE = ("rectangle", "circle", "ellipse", "stadium", "sloped", "shelves", "soundings", "widths", "salt", "fill")


# what each kind of pydantic error asks for, in plain words
_WISHES = {
    "string_type": "text in quotes is needed", "bool_type": "true or false is needed", "bool_parsing": "true or false is needed",
    "int_type": "a whole number is needed", "int_parsing": "a whole number is needed", "int_from_float": "a whole number is needed",
    "int_parsing_size": "a whole number is needed", "model_type": "a section is needed", "dict_type": "a section is needed",
    "model_attributes_type": "a section is needed", "tuple_type": "a list in square brackets is needed",
}


def _fault(error: dict) -> str:
    """Write one pydantic error as a line for a student."""
    loc = error["loc"]
    if loc[:2] == ("pond", "shape"):
        loc = loc[:2] + loc[3:]  # pydantic puts the kind of shape into the path; the file does not
    place = [f"[{p + 1}]" if isinstance(p, int) else p if re.fullmatch(r"[\w-]+", p) else repr(p) for p in loc]
    path = ".".join(place).replace(".[", "[") or "the file"
    given, kind, context = error.get("input"), error["type"], error.get("ctx", {})
    if kind == "extra_forbidden":
        near = difflib.get_close_matches(place[-1], _keys_at(error["loc"][:-1]), n=1)
        known = ", ".join(_keys_at(error["loc"][:-1]))
        return f"{path}: is not a key of a pond file. " + (f"Did you mean '{near[0]}'?" if near else f"Known here: {known}.")
    if kind == "missing":
        return f"{path}: is missing and needed."
    if kind in ("union_tag_invalid", "union_tag_not_found"):
        known = ", ".join(_KINDS_OF_SHAPE)
        if kind == "union_tag_not_found":
            return f"{path}.kind: is missing and needed; one of {known} would do."
        return f"{path}.kind: {_brief(given['kind'])} was given; one of {known} would do."
    if kind == "value_error":
        return f"{path}: {context['error']}"
    if kind == "literal_error":
        return f"{path}: {_brief(given)} was given; one of {context['expected']} would do."
    if kind in ("too_short", "too_long"):
        least, most = context.get("min_length"), context.get("max_length")
        wanted = f"at least {least}" if kind == "too_short" else f"at most {most}"
        return f"{path}: {context['actual_length']} values were given; {wanted} would do."
    if kind in ("greater_than_equal", "less_than_equal"):
        limit = f"at least {context['ge']}" if "ge" in context else f"at most {context['le']}"
        return f"{path}: {_brief(given)} was given; {limit} would do."
    if kind == "string_too_long":
        return f"{path}: the text is too long; at most {context['max_length']} characters would do."
    wish = _WISHES.get(kind, f"{error['msg'][0].lower()}{error['msg'][1:]}")
    return f"{path}: {_brief(given)} was given; {wish}."


def _brief(given) -> str:
    """Show what was given on one short line."""
    text = str(given) if isinstance(given, date | time) else repr(given)
    return text if len(text) <= 60 else f"{text[:57]}..."


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


# ------------------------------------------------------------------------------------------------------------ whose pond it is


def demo_text() -> str:
    """Return the text of the demo pond file."""
    return (resources.files(__package__) / "demo-pond.toml").read_text(encoding="utf-8")


def blank_text() -> str:
    """Return the text of a new user's pond file: commented blanks."""
    return (resources.files(__package__) / "blank-pond.toml").read_text(encoding="utf-8")


def demo_pond() -> Pond:
    """Return the packaged demo pond, an invented example."""
    return parse_pond(demo_text(), "demo-pond.toml")


def my_pond(folder=".") -> Pond:
    """Return the pond of ``pond.toml`` in the working folder, or the demo pond while that file has no shape yet.

    Raises
    ------
    PondFileError
        The file is there but something in it is wrong.
    """
    path = Path(folder) / MY_POND
    if not _is_there(path):
        return demo_pond()
    data = _parsed(_text_of(path), path.name).unwrap()
    return _validated(data, path.name) if _has_shape(data) or not isinstance(data.get("pond", {}), dict) else demo_pond()


def _has_shape(data: dict) -> bool:
    return isinstance(data.get("pond"), dict) and "shape" in data["pond"]


def write_down(key: str, value, folder=".") -> Said:
    """Write one decision into ``pond.toml`` of the working folder and keep every comment.

    Parameters
    ----------
    key : str
        Dotted path, such as "pond.shape.depth".
    value : str, Quantity, number, list, dict or None
        What to store; a Quantity is written with its unit. None writes nothing, so that a lesson can be run through. A dict for a list,
        such as one more set of "readings", goes to the list's end, or takes the place of the set with the same `when`.
    folder : path, optional
        The working folder.

    Returns
    -------
    Said
        A sentence: what was written where. Without a ``pond.toml`` there, the line that would be written; nothing changes.

    Raises
    ------
    PondFileError
        The file cannot be parsed (it is left as it is), or with this value it would not be a good pond file.
    """
    import tomlkit

    path = Path(folder) / MY_POND
    if value is None:
        return Said(f"Nothing written: put your own value for {key} in this cell first.")
    value = _plain(value)
    line = f"[[{key}]] {_inline(value)}" if _is_one_more(key, value) else f"{key} = {_inline(value)}"
    if not _is_there(path):
        return Said(f"No {MY_POND} here ('pondwright start' makes one), so nothing was changed. The line would be:  {line}")
    document = _parsed(_text_of(path), path.name)
    wanted = document.unwrap()
    _put(wanted, key, value, dict, path.name)
    # a file of blanks has no shape yet: what is written into it is checked beside a stand-in
    _validated(wanted if _has_shape(wanted) else {**wanted, "pond": {**wanted.get("pond", {}), "shape": _STAND_IN}}, path.name)
    _put(document, key, value, tomlkit.table, path.name)
    text = tomlkit.dumps(document)
    if _parsed(text, path.name).unwrap() != wanted:
        raise PondFileError([f"{path.name}: {key} cannot be placed there; nothing was changed. Write it by hand:  {line}"])
    write_atomically(path, text)
    return Said(f"Written in {path.name}:  {line}")


_STAND_IN = {"kind": "rectangle", "length": "1 m", "width": "1 m", "depth": "1 m"}


_LISTS = ("readings", "fish.groups", "power.loads")  # of sections: one more may be added without writing the others again


def _is_one_more(key: str, value) -> bool:
    return key in _LISTS and isinstance(value, dict)


def _put(document, key: str, value, new_section, name: str) -> None:
    """Set a dotted key, making the sections on its way."""
    table = document
    *sections, last = key.split(".")
    for section in sections:
        if section not in table:
            table[section] = new_section()
        table = table[section]
        if not hasattr(table, "keys"):
            raise PondFileError([f"{name}: {key} cannot be written, since {section} is not a section there."])
    if not _is_one_more(key, value):
        table[last] = value
    elif last not in table:
        table[last] = [value]
    else:  # a lesson may be run twice: the same entry, or a set of readings of the same time, takes its own place
        twin = (n for n, entry in enumerate(table[last]) if entry == value or ("when" in value and entry.get("when") == value["when"]))
        if (place := next(twin, None)) is None:
            table[last].append(value)
        else:
            table[last][place] = value


def _inline(value) -> str:
    """Write a value on one line, as it would stand behind the equals sign."""
    import tomlkit

    if isinstance(value, dict):
        return "{ " + ", ".join(f"{k} = {_inline(v)}" for k, v in value.items()) + " }"
    return f"[{', '.join(map(_inline, value))}]" if isinstance(value, list) else tomlkit.item(value).as_string()


def _plain(value):
    """Turn a value into what TOML can hold: a Quantity into text with its unit."""
    if isinstance(value, Quantity):
        numbers, word = np.atleast_1d(value.magnitude), write_unit(value.units)
        texts = [f"{round_text(float(n), 6)} {word}".removesuffix(" -") for n in numbers]
        return texts if np.ndim(value.magnitude) else texts[0]
    if isinstance(value, dict):
        return {str(k): _plain(v) for k, v in value.items()}
    if isinstance(value, list | tuple | np.ndarray):
        return [_plain(v) for v in value]
    if isinstance(value, np.generic):
        return value.item()
    if isinstance(value, str | bool | int | float):
        return value
    raise PondFileError([f"{value!r} cannot be written into a pond file; a quantity, text, a number, a list or a section can."])


def write_atomically(path: Path, text: str) -> None:
    """Replace a file whole or not at all.

    Raises
    ------
    PondFileError
        The file cannot be written.
    """
    path = Path(os.path.realpath(path))  # a link stays a link
    try:
        handle, scratch = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    except OSError as error:
        raise PondFileError([f"{path.name}: cannot be written ({error.strerror}); nothing was changed."]) from None
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as out:
            out.write(text)
            out.flush()
            os.fsync(out.fileno())
        if path.exists():
            if not os.access(path, os.W_OK):
                raise PermissionError(13, "Permission denied")
            os.chmod(scratch, path.stat().st_mode & 0o777)
        else:
            os.chmod(scratch, 0o644)
        os.replace(scratch, path)
    except OSError as error:
        with contextlib.suppress(OSError):
            os.unlink(scratch)
        raise PondFileError([f"{path.name}: cannot be written ({error.strerror}); nothing was changed."]) from None
