"""The pond file: read it, say what is wrong with it in one line a fault, and write one decision into it."""
from __future__ import annotations

import contextlib
import difflib
import os
import re
import tempfile
from importlib import resources
from pathlib import Path
from typing import get_args, get_origin

from pydantic import BaseModel, ValidationError

from ..units import Quantity
from .model import Pond

MY_POND = "pond.toml"
MAX_BYTES = 1_000_000


class PondFileError(ValueError):
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


def _parsed(text: str, name: str):
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    if "\x00" in text:
        raise PondFileError([f"{name}: is not a text file."])
    try:
        return tomlkit.parse(text)
    except TOMLKitError as error:
        where = f"line {error.line}: " if hasattr(error, "line") else ""
        raise PondFileError([f"{name}: {where}{_plain_toml(str(error))}"]) from None


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
        raise PondFileError(dict.fromkeys(_fault(name, e) for e in error.errors())) from None


_KINDS_OF_SHAPE = ("rectangle", "circle", "ellipse", "stadium", "sloped", "shelves", "soundings", "widths", "salt", "fill")


def _fault(name: str, error: dict) -> str:
    """Write one pydantic error as a line for a student."""
    place = [str(p) if isinstance(p, str) else f"[{p + 1}]" for p in error["loc"] if p not in _KINDS_OF_SHAPE]
    path = ".".join(place).replace(".[", "[") or "the file"
    given, kind, context = error.get("input"), error["type"], error.get("ctx", {})
    if kind == "extra_forbidden":
        near = difflib.get_close_matches(place[-1], _keys_at(error["loc"][:-1]), n=1)
        known = ", ".join(_keys_at(error["loc"][:-1]))
        return f"{path}: is not a key of a pond file. " + (f"Did you mean '{near[0]}'?" if near else f"Known here: {known}.")
    if kind == "missing":
        return f"{path}: is missing and needed."
    if kind in ("union_tag_invalid", "union_tag_not_found"):
        return f"{path}.kind: one of {', '.join(_KINDS_OF_SHAPE)} is needed" + (f"; {given.get('kind')!r} was given." if isinstance(given, dict) else ".")
    if kind == "value_error":
        return f"{path}: {context['error']}"
    if kind == "literal_error":
        return f"{path}: {given!r} was given; one of {context['expected']} would do."
    if kind in ("model_type", "dict_type", "tuple_type"):
        return f"{path}: {given!r} was given; {'a section' if kind != 'tuple_type' else 'a list'} is needed."
    return f"{path}: {given!r} was given; {error['msg'][0].lower()}{error['msg'][1:]}."


def _keys_at(loc) -> list[str]:
    """Name the keys that a pond file may hold at a place."""
    model = Pond
    for step in loc:
        if isinstance(step, int):
            continue
        if step in model.model_fields:
            model = _models_in(model.model_fields[step].annotation)
        if isinstance(model, list):
            named = [m for m in model if get_args(m.model_fields["kind"].annotation)[:1] == (step,)] if "shape" in loc else []
            model = named[0] if named else model[0]
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
    if not path.exists():
        return demo_pond()
    document = _parsed(_text_of(path), path.name).unwrap()
    return _validated(document, path.name) if "shape" in document.get("pond", {}) else demo_pond()


def write_down(key: str, value, folder=".") -> str:
    """Write one decision into ``pond.toml`` of the working folder and keep every comment.

    Parameters
    ----------
    key : str
        Dotted path, such as "pond.shape.depth".
    value : str, Quantity, number, list or dict
        What to store; a Quantity is written with its unit.
    folder : path, optional
        The working folder.

    Returns
    -------
    str
        A sentence: what was written where. Without a ``pond.toml`` there, the line that would be written; nothing changes.

    Raises
    ------
    PondFileError
        The file cannot be parsed (it is left as it is), or with this value it would not be a good pond file.
    """
    import tomlkit

    path = Path(folder) / MY_POND
    value = _plain(value)
    if not path.exists():
        return f"No {MY_POND} here ('pondwright start' makes one), so nothing was changed. The line would be:  {key} = {tomlkit.item(value).as_string()}"
    document = _parsed(_text_of(path), path.name)
    table = document
    *sections, last = key.split(".")
    for section in sections:
        if section not in table:
            table[section] = tomlkit.table()
        table = table[section]
        if not hasattr(table, "keys"):
            raise PondFileError([f"{path.name}: {key} cannot be written, since {section} is a single value there."])
    table[last] = value
    text = tomlkit.dumps(document)
    if "shape" in document.get("pond", {}):
        parse_pond(text, path.name)
    write_atomically(path, text)
    return f"Written in {path.name}:  {key} = {tomlkit.item(value).as_string()}"


def _plain(value):
    if isinstance(value, Quantity):
        return f"{value.magnitude:.6g} {value.units:~C}".replace("meter", "m")
    if isinstance(value, dict):
        return {k: _plain(v) for k, v in value.items()}
    return [_plain(v) for v in value] if isinstance(value, list | tuple) else value


def write_atomically(path: Path, text: str) -> None:
    """Replace a file whole or not at all.

    Raises
    ------
    PondFileError
        The file cannot be written.
    """
    try:
        handle, scratch = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    except OSError as error:
        raise PondFileError([f"{path.name}: cannot be written ({error.strerror}); nothing was changed."]) from None
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as out:
            out.write(text)
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
