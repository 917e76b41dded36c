"""Dirt that settles where the water rises: the smallest grain that stays below, in this pond's water."""
from __future__ import annotations

from collections.abc import Mapping

from ..science import biofilter as b
from ..science import solids as d
from ..tables import coefficients
from ..units import Quantity
from .night import as_coefficient
from .pipework import water_of
from .results import End, Number, Stage, number


def settled(flow: Number, area: Quantity, so_far: Mapping[str, Stage]) -> Number:
    """Give the smallest grain that surely stays: light, in the coldest water, at the most flow."""
    ends = {"particle": End(coefficients()["dirt_density"], "low"), "water": End(water_of(so_far)[0], "low"),
            "flow": End(as_coefficient(flow, "flow"), "high")}

    def smallest(particle: Quantity, water: Quantity, flow: Quantity) -> Quantity:
        return d.smallest_settled(b.hydraulic_loading(flow, area), particle, water)

    return number("settled", "Smallest dirt that stays below where the water rises", "µm", smallest, decides=True, stacked=True,
                  note="round grains; what is larger settles there and can be drained off", **ends)
