"""Writes one decision into the pond file and keeps every comment."""
from __future__ import annotations

from pathlib import Path

import numpy as np

from ..units import Quantity, Said, round_text, write_unit
from .blanks import filled
from .faults import PondFileError
from .file import MY_POND, is_there, parsed, text_of, validated, with_shape, with_weather, write_atomically


def write_down(key: str, value, folder=".") -> Said:
    """Write one decision into ``pond.toml`` of the working folder and keep every comment.

    Parameters
    ----------
    key : str
        Dotted path, such as "pond.shape.depth".
    value : str, Quantity, number, list, dict or None
        What to store; a Quantity is written with its unit. None writes nothing, so that a lesson can be run through. A dict for a list,
        such as one more set of "readings", goes to the list's end, or takes the place of the set with the same `when` (of the outlet
        with the same `name`).
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
    if not is_there(path):
        return Said(f"No {MY_POND} here ('pondwright start' makes one), so nothing was changed. The line would be:  {line}")
    old = text_of(path)
    document = parsed(old, path.name)
    wanted = document.unwrap()
    _put(wanted, key, value, dict, path.name)
    pond = validated(with_shape(wanted), path.name)
    if key.startswith("place"):
        with_weather(pond, path.parent)
    text = filled(old, key, value, _inline)
    if text is None or not _says(text, wanted, path.name):  # no blank to fill in: the document takes the value where it can
        _put(document, key, value, tomlkit.table, path.name)
        text = tomlkit.dumps(document)
    if not _says(text, wanted, path.name):
        raise PondFileError([f"{path.name}: {key} cannot be placed there; nothing was changed. Write it by hand:  {line}"])
    write_atomically(path, text)
    return Said(f"Written in {path.name}:  {line}")


def _says(text: str, wanted: dict, name: str) -> bool:
    """Tell whether a text, read again, holds just what it should."""
    try:
        return parsed(text, name).unwrap() == wanted
    except PondFileError:
        return False


# lists of sections, to which one more may be added without writing the others again; with the key that tells which one is meant
_LISTS = {"readings": "when", "fish.groups": "", "power.loads": "", "vessel.outlets": "name"}


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
    else:  # a lesson may be run twice: the same entry, a set of readings of the same time or an outlet of the same name takes its own place
        which = _LISTS[key]
        twin = (n for n, entry in enumerate(table[last]) if entry == value or (which in value and entry.get(which) == value[which]))
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
