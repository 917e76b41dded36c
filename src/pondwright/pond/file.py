"""The pond file: read it, say whose pond it is, and write it whole or not at all."""
from __future__ import annotations

import contextlib
import os
import tempfile
from importlib import resources
from pathlib import Path

from pydantic import ValidationError

from .faults import PondFileError, faults_of, unreadable
from .model import Pond

MY_POND = "pond.toml"
MAX_BYTES = 1_000_000


def load_pond(path) -> Pond:
    """Read and check a pond file.

    Raises
    ------
    PondFileError
        One line a fault: the key's path, what was given, what would do.
    """
    path = Path(path)
    return with_weather(parse_pond(text_of(path), path.name), path.parent)


def parse_pond(text: str, name: str = MY_POND) -> Pond:
    """Check the text of a pond file; faults as in :func:`load_pond`."""
    return validated(parsed(text, name).unwrap(), name)


def text_of(path: Path) -> str:
    """Return the text of a file; what keeps it from being read is one fault line."""
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


def is_there(path: Path) -> bool:
    """Tell whether a file is there; one that the system does not let us see is a fault line, not an absence."""
    try:
        path.stat()
    except FileNotFoundError:
        return False
    except OSError as error:
        raise PondFileError([f"{path.name}: cannot be read ({error.strerror})."]) from None
    return True


def parsed(text: str, name: str):
    """Return a text as a TOML document, which keeps comments; a slip in it is one fault line."""
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    if "\x00" in text:
        raise PondFileError([f"{name}: is not a text file."])
    try:
        document = tomlkit.parse(text)
        document.unwrap()
    except (TOMLKitError, ValueError, TypeError, RecursionError) as error:  # some faults show only when the values are taken out
        raise PondFileError([unreadable(error, text, name)]) from None
    return document


def validated(data: dict, name: str) -> Pond:
    """Make a pond of what a file holds; each value that will not do is one fault line."""
    if not data:
        raise PondFileError([f"{name}: is empty; it needs at least [pond.shape]."])
    try:
        return Pond.model_validate(data)
    except ValidationError as error:
        raise PondFileError(faults_of(error)) from None


def with_weather(pond: Pond, folder: Path) -> Pond:
    """Find the weather file that a place names, beside the pond file, and read it: one that cannot serve is one fault line.

    Raises
    ------
    PondFileError
        The weather file is not there or cannot serve.
    """
    if pond.place is None or pond.place.weather is None:
        return pond
    from .climate import refusal
    from .weather import WeatherError

    path = Path(folder, pond.place.weather).absolute()
    place = pond.place.model_copy(update={"weather": str(path)})
    try:
        if words := refusal(place):
            raise PondFileError([f"place.weather: {words}."])
    except WeatherError as error:
        raise PondFileError([f"place.weather: {error}"]) from None
    return pond.model_copy(update={"place": place})


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
    if not is_there(path):
        return demo_pond()
    data = parsed(text_of(path), path.name).unwrap()
    pond = validated(with_shape(data), path.name)  # a misspelt [Pond.shape] is a fault too, and not a file without a shape
    pond = with_weather(pond, path.parent)
    return pond if with_shape(data) is data else demo_pond()


_STAND_IN = {"kind": "rectangle", "length": "1 m", "width": "1 m", "depth": "1 m"}


def with_shape(data: dict) -> dict:
    """Return the data, with a stand-in where nobody has given a shape yet, so that the rest can be checked."""
    facts = data.get("pond", {})
    return data if not isinstance(facts, dict) or "shape" in facts else {**data, "pond": {**facts, "shape": _STAND_IN}}


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
