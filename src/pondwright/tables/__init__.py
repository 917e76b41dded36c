"""The one loader of the CSV tables that ship with the package.

A table is UTF-8, comma separated. Lines that begin with ``#`` on top say where it comes from; three of them are read here:

    # source: Key1, Key2        keys of pondwright.sources
    # units: column unit; column unit      every numeric column; "-" for a plain number
    # key: column               the column by which rows are named (optional)

A column not named under ``units`` is text. An empty cell is None.
"""

from __future__ import annotations

import csv
import functools
from dataclasses import dataclass
from importlib import resources

from ..units import Q


@dataclass(frozen=True)
class Table:
    """One table: `rows` are dicts of text, Quantity or None; `units` names the unit of each numeric column."""

    name: str
    sources: tuple
    units: dict
    rows: tuple
    key: str | None
    header: tuple

    def __getitem__(self, wanted: str) -> dict:
        """Return the row whose key is `wanted`; a KeyError names the rows there are."""
        for row in self.rows:
            if row[self.key] == wanted:
                return row
        raise KeyError(f"{wanted!r} is not in the table {self.name}; it holds {', '.join(self.keys())}")

    def keys(self) -> tuple:
        return tuple(row[self.key] for row in self.rows)

    def column(self, name: str):
        """Return a column as one Quantity array (numeric, no gaps) or a list (text)."""
        cells = [row[name] for row in self.rows]
        return Q([c.magnitude for c in cells], self.units[name]) if name in self.units else cells


def _text(name: str) -> str:
    return (resources.files(__name__) / f"{name}.csv").read_text(encoding="utf-8")


def names() -> tuple:
    """Name every table in the package."""
    return tuple(sorted(p.name.removesuffix(".csv") for p in resources.files(__name__).iterdir() if p.name.endswith(".csv")))


@functools.cache
def load(name: str) -> Table:
    """Load one table by the name of its file without ``.csv``."""
    lines = _text(name).splitlines()
    header = tuple(line.lstrip("# ") for line in lines if line.startswith("#"))
    facts = dict(line.split(":", 1) for line in header if ":" in line)
    units = dict(part.strip().rsplit(" ", 1) for part in facts.get("units", "").split(";") if part.strip())
    rows = tuple(
        {column: _cell(cell.strip(), units.get(column)) for column, cell in raw.items()}
        for raw in csv.DictReader(line for line in lines if line and not line.startswith("#"))
    )
    sources = tuple(key.strip() for key in facts.get("source", "").split(",") if key.strip())
    return Table(name, sources, units, rows, facts.get("key", "").strip() or None, header)


def _cell(text: str, unit_text: str | None):
    if not text:
        return None
    return text if unit_text is None else Q(float(text), unit_text)


@dataclass(frozen=True)
class Coefficient:
    """A number on which sources disagree: low, typical, high, and where each comes from."""

    name: str
    label: str
    low: object
    typical: object
    high: object
    unit: str
    sources: tuple
    unverified: bool
    note: str

    def at(self, end: str):
        """Return the value at "low", "typical" or "high"."""
        return getattr(self, end)


@functools.cache
def coefficients() -> dict[str, Coefficient]:
    """Load every ``coefficients_*.csv``: columns name, label, low, typical, high, unit, source (keys split by a blank), verified, note."""
    found: dict[str, Coefficient] = {}
    for table in filter(lambda n: n.startswith("coefficients_"), names()):
        for row in load(table).rows:
            if row["name"] in found:
                raise ValueError(f"coefficient {row['name']} stands in two tables")
            low, typical, high = (Q(float(row[end]), row["unit"]) for end in ("low", "typical", "high"))
            found[row["name"]] = Coefficient(
                row["name"],
                row["label"],
                low,
                typical,
                high,
                row["unit"],
                tuple(row["source"].split()),
                row["verified"] != "yes",
                row["note"] or "",
            )
    return found
