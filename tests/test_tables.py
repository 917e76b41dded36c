"""Every table that ships: provenance on top, sources that exist, units that can be read, no hole where a number is needed."""

from __future__ import annotations

import csv
import re

import pytest

from pondwright import tables
from pondwright.sources import SOURCES
from pondwright.units import Quantity, unit

NAMES = tables.names()
PLAIN = [n for n in NAMES if not n.startswith("coefficients_")]


@pytest.mark.parametrize("name", NAMES)
def test_a_table_says_where_it_comes_from(name):
    table = tables.load(name)
    prose = [line for line in table.header if not re.match(r"(source|units|key):", line)]
    assert prose, f"{name} has no words on its provenance"
    keys = [*table.sources, *(k for row in table.rows for k in (row.get("source") or "").split())]
    assert keys, f"{name} names no source"
    assert not (strange := sorted({k for k in keys if k not in SOURCES})), f"{name} names sources that are not in sources.py: {strange}"


@pytest.mark.parametrize("name", NAMES)
def test_a_table_is_regular(name):
    table = tables.load(name)
    assert table.rows
    lines = [line for line in tables._text(name).splitlines() if line and not line.startswith("#")]
    head, *body = list(csv.reader(lines))
    assert len(set(head)) == len(head) and all(head)
    assert all(len(row) == len(head) for row in body), f"{name} has a row with too few or too many cells"
    assert set(table.units) <= set(head), f"units of {name} name columns that are not there: {set(table.units) - set(head)}"
    for unit_text in table.units.values():
        unit(unit_text)
    if table.key:
        assert table.key in head
        if name != "climates":  # twelve rows a place
            assert len(set(table.keys())) == len(table.rows), f"two rows of {name} have the same key"


@pytest.mark.parametrize("name", PLAIN)
def test_numbers_are_quantities_and_low_is_at_most_high(name):
    table = tables.load(name)
    for row in table.rows:
        for column in table.units:
            assert row[column] is None or isinstance(row[column], Quantity)
        for low in (c for c in table.units if "low" in c.split("_")):
            between, high = (row.get(low.replace("low", end)) for end in ("typical", "high"))
            ends = [q.magnitude for q in (row[low], between, high) if q is not None]
            assert ends == sorted(ends), f"{name}: {row}"


@pytest.mark.parametrize("name, c", tables.coefficients().items(), ids=list(tables.coefficients()))
def test_a_coefficient_is_low_typical_high_with_words_and_a_source(name, c):
    low, typical, high = (c.at(end).m_as(unit(c.unit)) for end in ("low", "typical", "high"))
    assert low <= typical <= high
    assert c.label and not c.label.startswith("_") and c.sources
    assert not [k for k in c.sources if k not in SOURCES]
    if all(not SOURCES[k].verified for k in c.sources):
        assert c.unverified, f"{name} rests on sources from memory only, so it is unverified"


def test_a_row_that_is_not_there_names_those_that_are():
    with pytest.raises(KeyError, match=r"'sponge_cake' is not in the table media; it holds .*lava_rock"):
        tables.load("media")["sponge_cake"]


def test_a_column_of_numbers_is_one_quantity_and_a_column_of_words_a_list():
    media = tables.load("media")
    assert media.column("void_fraction").magnitude.shape == (len(media.rows),)
    assert media.column("name")[0] == media.rows[0]["name"]


def test_an_empty_cell_is_none(monkeypatch):
    monkeypatch.setattr(tables, "_text", lambda name: "# source: Practice\n# units: a m; b ft\n# key: k\nk,a,b,c\nx,1.5,,\ny,,2,words\n")
    table = tables.load.__wrapped__("anything")
    assert table["x"]["a"].m_as("meter") == 1.5 and table["x"]["b"] is None and table["x"]["c"] is None
    assert table["y"]["a"] is None and table["y"]["c"] == "words"
    assert (table.sources, table.key, table.units) == (("Practice",), "k", {"a": "m", "b": "ft"})


# ---- climates, against the sky: what any place must obey


def _climates():
    from pondwright.pond.climate import climate, places

    return [climate(key) for key in places()]


@pytest.mark.parametrize("place", _climates(), ids=lambda c: c.key)
def test_a_climate_obeys_the_sky(place):
    """The sky sets these limits; they hold at every place on earth (Duffie and Beckman, eq. 1.10.3, from memory)."""
    import numpy as np

    ghi, dhi = place.ghi.m_as(unit("kWh/m2/d")), place.dhi.m_as(unit("kWh/m2/d"))
    latitude = np.radians(place.latitude.m_as("degree"))
    day = np.array([17, 47, 75, 105, 135, 162, 198, 228, 258, 288, 318, 344])  # the usual mean day of each month
    declination = np.radians(23.45) * np.sin(2 * np.pi * (284 + day) / 365)
    sunset = np.arccos(np.clip(-np.tan(latitude) * np.tan(declination), -1, 1))
    above = (24 / np.pi) * 1.367 * (1 + 0.033 * np.cos(2 * np.pi * day / 365)) * (
        np.cos(latitude) * np.cos(declination) * np.sin(sunset) + sunset * np.sin(latitude) * np.sin(declination)
    )
    assert ghi.shape == (12,) and np.all(dhi <= ghi * 1.02)
    assert np.all(ghi < 0.85 * above + 0.05), "no month brings more to the ground than a clear sky lets through"
    assert np.all((place.air_temperature.m_as("degC") > -45) & (place.air_temperature.m_as("degC") < 45))
    assert np.all((place.relative_humidity.m_as("percent") > 5) & (place.relative_humidity.m_as("percent") <= 100))
    assert abs(place.latitude.m_as("degree")) <= 90 and abs(place.longitude.m_as("degree")) <= 180
