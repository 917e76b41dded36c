"""Standard cables and fuses of the tables, chosen by what they must carry."""

from __future__ import annotations

from ..tables import load
from ..units import Q, Quantity


def fuse_rating(wanted: Quantity) -> Quantity | None:
    """Return the smallest standard fuse for direct current that is not below a current; None where none is."""
    return next((r["rating"] for r in load("fuses").rows if r["rating"] >= wanted), None)


def cable_row(area: Quantity, fuse: Quantity, system: str) -> dict | None:
    """Return the smallest standard cable that has the copper and may carry as much as the fuse lets through; None where none does."""
    return next((r for r in load("wires").rows if r["system"] == system and r["area"] >= area and r["ampacity_40"] >= fuse), None)


def ampacity(area: Quantity) -> Quantity:
    """Return what a cable of any copper area may carry at 40 °C: that of the largest standard size which is not larger."""
    sizes = [r for r in load("wires").rows if r["area"] <= area * 1.001]
    return max((r["ampacity_40"] for r in sizes), default=Q(0.0, "A"))
