"""The arithmetic for the reader: what a formula says of itself, taken out of its docstring and set for print."""
from __future__ import annotations

import re
from dataclasses import dataclass

from ..sources import SOURCES, name_source
from ..units import FORMULAS
from .words import References, plain

_GREEK = dict(zip("alpha beta gamma delta eta theta mu nu rho phi omega pi sqrt".split(), "αβγδηθμνρφωπ√", strict=True))
_BRACKETS = r"\((?:[^()]|\((?:[^()]|\([^()]*\))*\))*\)"  # up to three deep
_SHORT_NAMES: dict[str, str] = {}


@dataclass(frozen=True)
class Explained:
    """A formula: its name in the library, what it computes, its equation with what it takes for granted, where it comes from."""

    name: str
    does: str
    equation: str
    references: str


def explain(name: str, references: References) -> Explained:
    """Take what a formula says of itself out of its docstring: it is written once, there."""
    formula = FORMULAS[name]
    notes, cited = (_section(formula.__doc__, title) for title in ("Notes", "References"))
    cited = re.sub(r"\[(\w+)\]_", lambda m: references.mark([m[1]]), cited)
    return Explained(name, _does(name), _readable(notes), _readable(cited))


def _does(name: str) -> str:
    return re.sub(r"^PH\b", "pH", _readable(FORMULAS[name].__doc__.partition("\n\n")[0]))


def _section(doc: str, title: str) -> str:
    found = re.search(rf"^{title}\n-+\n(.*?)(?=^\w+\n-{{3,}}\n|\Z)", doc, re.S | re.M)
    return plain(found[1]) if found else ""


def _readable(text: str) -> str:
    """Take the markup of source code out of a sentence, and say functions and sources in words."""
    text = re.sub(r"(?::\w+:)?`+([^`]*)`+", r"\1", plain(text))
    text = re.sub(r"\[(\w+)\]_", r"\1", text)
    text = re.sub(r"\b[A-Z]\w*(?:\d|[a-z][A-Z])\w*\b", lambda m: name_source(m[0]) if m[0] in SOURCES else m[0], text)
    return re.sub(r"\b(?!rho|eta|theta)[a-z]{3,}(?:_[a-z]+)+\b", _identifier, text)


def _identifier(found: re.Match) -> str:
    """Write an identifier as words: a function by what it computes, anything else without its underscores."""
    if len(_SHORT_NAMES) < len(FORMULAS):
        _SHORT_NAMES.update({name.partition(".")[2]: name for name in FORMULAS})
    name = _SHORT_NAMES.get(found[0])
    if name:
        return f'"{_does(name).rstrip(".")}"'
    return found[0].replace("_", " ") if re.search("_[a-z]{3}", found[0]) else found[0]


def typeset(text: str):
    """Set an equation for HTML: Greek letters, subscripts, superscripts; everything else is escaped."""
    from markupsafe import Markup, escape

    text = str(escape(text)).replace("-&gt;", "→")
    text = re.sub(rf"\b({'|'.join(_GREEK)})(?=\b|_)", lambda m: _GREEK[m[1]], text)
    text = re.sub(r"(\d)e(-?\d+)\b", r"\1 × 10<sup>\2</sup>", text)
    text = re.sub(rf"\^({_BRACKETS}|-?\w+(?:\.\d+)?)", lambda m: f"<sup>{_bare(m[1])}</sup>", text)
    return Markup(re.sub(r"(?<![\w&#])([A-Za-zα-ω]{1,6}\d?)_(\w+|\([^()]*\))", lambda m: f"{m[1]}<sub>{_bare(m[2])}</sub>", text))


def _bare(text: str) -> str:
    return text[1:-1] if text.startswith("(") else text
