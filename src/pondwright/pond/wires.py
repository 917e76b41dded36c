"""Standard cables and fuses of the tables, chosen by what they must carry."""

from __future__ import annotations

from ..tables import load
from ..units import Q, Quantity, show

SAME_SIZE = 0.005  # a wire within half a per cent of a gauge's copper is that gauge: the tables round so


def fuse_rating(wanted: Quantity) -> Quantity | None:
    """Return the smallest standard fuse for direct current that is not below a current; None where none is."""
    return next((r["rating"] for r in load("fuses").rows if r["rating"] >= wanted), None)


def cable_row(area: Quantity, fuse: Quantity, system: str) -> dict | None:
    """Return the smallest standard cable that has the copper and may carry as much as the fuse lets through; None where none does."""
    return next((r for r in load("wires").rows if r["system"] == system and r["area"] >= area and r["ampacity_40"] >= fuse), None)


def ampacity(area: Quantity) -> Quantity:
    """Return what a cable of any copper area may carry at 40 °C: that of the largest standard size which is not larger."""
    largest = area * (1 + SAME_SIZE)
    sizes = [r for r in load("wires").rows if r["area"] <= largest]
    return max(sizes, key=lambda r: r["area"].magnitude)["ampacity_40"] if sizes else Q(0.0, "A")


def wire_words(area: Quantity) -> str:
    """Name a copper area: "2.5 mm²", or "14 AWG (2.08 mm²)" where it is that of an American wire gauge."""
    copper = area.m_as("mm^2")
    gauges = (r["size"] for r in load("wires").rows if r["system"] == "AWG" and abs(r["area"].magnitude / copper - 1) < SAME_SIZE)
    gauge = next(gauges, None)
    return show(area, "mm2") if gauge is None else f"{gauge} ({show(area, 'mm2')})"
