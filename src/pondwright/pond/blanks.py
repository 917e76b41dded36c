"""Fills in the commented lines of a pond file: what is written takes the place of its blank, and its remark stays beside it.

Only a proposal: whoever uses it compares what the text then says with what it should say.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

_HEADER = re.compile(r"^(?P<off>#\s?)?(?P<open>\[\[?)(?P<name>[\w.]+)\]\]?\s*(?:#.*)?$")
_KEY = re.compile(r"^(?P<off>#\s?)?(?P<key>\w+)(?P<equals>\s*=\s*)(?P<value>.*)$")


class NoPlace(Exception):
    """There is no line that the value could take."""


@dataclass
class _Section:
    """Where a section stands: its header's line and the line after its last; `off` while its header is a comment."""

    name: str
    many: bool
    off: bool
    start: int
    end: int


def filled(text: str, key: str, value, inline) -> str | None:
    """Put a value (or a section: a dict; or sections: a list of dicts) at a dotted key, in lines that are there; None where that cannot be.

    `inline` writes a value as it stands behind the equals sign.
    """
    end = "\r\n" if "\r\n" in text else "\n"
    page = _Page(text.split(end), inline)
    try:
        page.put(key, value)
    except NoPlace:
        return None
    return end.join(page.lines)


class _Page:
    def __init__(self, lines: list[str], inline):
        self.lines, self.inline = lines, inline

    def put(self, key: str, value) -> None:
        above, _, last = key.rpartition(".")
        if isinstance(value, dict) and (section := self._find(key, many=False)):
            self._put_section(section, value)
        elif isinstance(value, dict) and self._find(key, many=True):
            self._add(key, value)
        elif self._is_sections(key, value) and self._find(key, many=True).off:
            for entry in value:
                self._add(key, entry)
        else:
            self._put_key(above, last, value)

    def _is_sections(self, key: str, value) -> bool:
        return bool(self._find(key, many=True)) and isinstance(value, list) and value != [] and all(isinstance(v, dict) for v in value)

    def _put_section(self, section: _Section, values: dict) -> None:
        """Fill in a whole section; what it held before and does not hold now becomes a comment."""
        self._switch_on(section)
        for n, found in self._keys(self._find(section.name, many=False)):
            if not found["off"] and found["key"] not in values:
                self.lines[n] = f"# {self.lines[n]}"
        for key, value in values.items():
            self.put(f"{section.name}.{key}", value)

    def _add(self, name: str, values: dict) -> None:
        """Add one of many sections: into the blank of the first, or below the last."""
        section = self._find(name, many=True)
        if section.off:
            self._switch_on(section)
            for key, value in values.items():
                self._set(self._find(name, many=True), key, value)
        else:
            at = self._last_line(section) + 1
            while at < section.end and self.lines[at].strip():  # blanks that belong to it stay with it
                at += 1
            self.lines[at:at] = ["", f"[[{name}]]", *(f"{key} = {self.inline(value)}" for key, value in values.items())]

    def _put_key(self, section: str, key: str, value) -> None:
        found = self._find(section, many=False)
        if found is None:
            raise NoPlace
        self._switch_on(found)
        self._set(self._find(section, many=False), key, value)

    def _set(self, section: _Section, key: str, value) -> None:
        """Write a key into its own line, or into the blank for it, or below the section's last line."""
        places = sorted(((bool(m["off"]), n, m) for n, m in self._keys(section) if m["key"] == key), key=lambda place: place[:2])
        if places:
            _, n, m = places[0]
            if (remark := _remark(m)) is None:  # the old value goes on in the next line
                raise NoPlace
            self.lines[n] = f"{key}{m['equals']}{self.inline(value)}{remark}"
        elif isinstance(value, dict):
            raise NoPlace
        else:
            self.lines.insert(self._last_line(section) + 1, f"{key} = {self.inline(value)}")

    def _switch_on(self, section: _Section) -> None:
        if section.off:
            self.lines[section.start] = self.lines[section.start].removeprefix("#").removeprefix(" ")

    def _find(self, name: str, *, many: bool) -> _Section | None:
        """Find a section of that name: the last that is switched on, else the first blank of it."""
        found = [s for s in self._sections() if s.name == name and s.many == many]
        on = [s for s in found if not s.off]
        return on[-1] if on else found[0] if found else None

    def _sections(self) -> list[_Section]:
        heads = [(n, m) for n, line in enumerate(self.lines) if (m := _HEADER.match(line))]
        ends = [*(n for n, _ in heads[1:]), len(self.lines)]
        return [_Section(m["name"], m["open"] == "[[", bool(m["off"]), n, end) for (n, m), end in zip(heads, ends, strict=False)]

    def _keys(self, section: _Section) -> list[tuple[int, re.Match]]:
        """Return the lines that hold a key, or a blank for one; a comment that only looks like one is none."""
        found = [(n, m) for n in range(section.start + 1, section.end) if (m := _KEY.match(self.lines[n]))]
        return [(n, m) for n, m in found if not m["off"] or _remark(m) is not None]

    def _last_line(self, section: _Section) -> int:
        """Return the section's last line that is switched on, its header if there is no other."""
        return max([section.start, *(n for n in range(section.start, section.end) if self.lines[n].strip() and self.lines[n][0] != "#")])


def _remark(found: re.Match) -> str | None:
    """Return the remark behind a value with the space before it; None where the line is no whole key and value."""
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    try:
        trivia = tomlkit.parse(f"{found['key']} = {found['value']}").item(found["key"]).trivia
    except (TOMLKitError, ValueError):
        return None
    return f"{trivia.comment_ws}{trivia.comment}" if trivia.comment else ""
