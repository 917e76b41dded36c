"""The bibliography: what is named is there, what is there is honest."""

from __future__ import annotations

import re

import pytest

from pondwright.sources import GRADES, SOURCES, cite, name_source


@pytest.mark.parametrize("key", SOURCES)
def test_a_source_is_whole(key):
    source = SOURCES[key]
    assert re.fullmatch(r"[A-Za-z]\w*", key), "a key is one word"
    assert len(source.citation) >= 20 and source.citation.strip() == source.citation and source.citation.endswith(".")
    assert source.read in GRADES


@pytest.mark.parametrize("key", SOURCES)
def test_a_source_from_memory_says_so_wherever_it_is_cited(key):
    assert cite(key).endswith("(from memory, unverified)") == (SOURCES[key].read == "memory")


def test_no_citation_stands_twice():
    citations = [s.citation for s in SOURCES.values()]
    assert not (twice := {c for c in citations if citations.count(c) > 1}), twice


def test_an_unknown_key_is_an_error():
    with pytest.raises(KeyError):
        cite("Nobody1900")


def test_a_source_has_a_name_for_sentences():
    assert name_source("ZhuChen1999") == "Zhu & Chen 1999"  # the citation's own authors and year
    assert name_source("Bister2000") == "Bister and others 2000"
    assert name_source("FishBaseCarp") == "FishBase"
    assert all(name_source(key) != key or SOURCES[key].citation.startswith(key) for key in SOURCES)
