"""The plan in the terminal: complete, in words, and no wider than the window."""
from __future__ import annotations

import io
import re

import pytest

from pondwright.report.terminal import tell

from .handmade import NASTY, made


def shown(width=80, system="metric", name="Quarry puddle (invented)", whose="your file pond.toml") -> str:
    out = io.StringIO()
    tell(*made(name), system, whose=whose, out=out, width=width)
    return out.getvalue()


def flat(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("width", [40, 80, 120])
def test_no_line_is_wider_than_the_window(width):
    assert max(map(len, shown(width).splitlines())) <= width


def test_a_number_tells_unit_headline_typical_range_mover_and_marks():
    text = flat(shown())
    assert "What Plan on Typical Range Filter capacity 2 g/day 4 2 to 9" in text
    assert "in the peak month; moved most by the nitrification rate; unverified (a); extrapolated (b) (a) organic load factor" in text
    assert re.search(r"\(b\) temperature 3 °C; the source vouches for 8 to 24 °C \[\d\]", text)


def test_order_and_words():
    text = shown()
    places = [text.index(word) for word in ("Plan for Quarry", "teaching estimates", "In short ═", "1 dangerous, 1 to note.", "Dangerous: ",
                                            "The filter takes 2 g/day", "To note", "Parts list ─", "Plan on: the number to use",
                                            "The pond and its water ─", "! Caution: Water can drown", "Volume of water", "The filter ─",
                                            "What was assumed", "Sources ─", "The findings stand at the top")]
    assert places == sorted(places)
    assert "Not planned yet: needs [power] with voltage and a panel." in text
    assert re.search(r"\[\d\] JCGM 100:2008", text) and "[GUM]" not in text
    assert "(from memory, unverified)" in flat(text)  # AH590
    assert "Half of the surface is wet. [common practice; unverified]" in text
    assert not [line for line in text.splitlines() if line.endswith("…")]


def test_grids_keep_square_brackets_and_gaps():
    text = flat(shown())
    assert "Media Volume, L Note lava rock 160 heavy foam – [clogs]" in text


def test_units_follow_the_reader():
    text = flat(shown(system="us"))
    assert "Volume of water 2110 US gal" in text and "Warmest water 70.7 °F" in text  # 8000/3.785411784; 21.5 x 1.8 + 32


def test_a_nasty_name_is_text():
    text = shown(name=NASTY, whose=NASTY)
    assert "\x1b" not in text and "\u202e" not in text
    assert "<script>alert(1)</script> [bold]$(rm -rf ~)[/bold] {{ 7 * 7 }} :fish:" in flat(text)


def test_no_findings_is_not_called_safe():
    out = io.StringIO()
    tell(made()[0], (), out=out, width=80)
    assert "not that the pond is safe" in flat(out.getvalue())
