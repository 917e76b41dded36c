"""Directions and places as people write them, for the message that says how to write them in degrees."""

from __future__ import annotations

import re

_WINDS = "n nne ne ene e ese se sse s ssw sw wsw w wnw nw nnw".split()
_WORDS = {"north": "n", "east": "e", "south": "s", "west": "w"}
_HALF = re.compile(r"^(?P<degrees>[-+]?\d+(?:[.,]\d+)?)\s*(?:°|deg)?\s*(?:(?P<minutes>\d+(?:\.\d+)?)\s*['′m]\w*)?\s*(?P<half>[NSEWnsew])?$")


def degrees_meant(text: str) -> str:
    """Write a direction such as "S" or "south-west", or a place such as "47 N" or "47° 36' N", in degrees; "" where it is neither."""
    wind = "".join(_WORDS.get(word, word) for word in re.findall(r"north|east|south|west|[a-z]+", text.lower().removeprefix("due ")))
    if wind in _WINDS and not re.search(r"\d", text):
        return f"a direction is written in degrees, clockwise from north: '{_WINDS.index(wind) * 22.5:g} deg'"
    found = _HALF.match(text.strip())
    if not found or not (found["minutes"] or found["half"]):
        return ""
    sign = "-" if (found["half"] or "n").lower() in "sw" or found["degrees"].startswith("-") else ""
    size = abs(float(found["degrees"].replace(",", "."))) + float(found["minutes"] or 0) / 60
    return f"north and east count as plus, south and west as minus, and minutes as a share of a degree: '{sign}{size:.6g} deg'"
