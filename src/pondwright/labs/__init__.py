"""The labs: ipywidgets only, one a lesson. A lab owns sliders and holds no physics.

``from pondwright.labs import VolumeLab`` fetches only that lab.
"""

from __future__ import annotations

import importlib

# name -> module that holds it
_SHELF = {
    "OverviewLab": "overview",
    "VolumeLab": "volume",
    "StockingLab": "stocking",
    "FilterLab": "filter",
    "VesselLab": "vessel",
    "PlumbingLab": "plumbing",
    "LoadsLab": "loads",
    "PowerLab": "power",
    "WaterLab": "water",
}
__all__ = [*_SHELF]


def __getattr__(name: str):
    if name in _SHELF:
        return getattr(importlib.import_module(f".{_SHELF[name]}", __name__), name)
    raise AttributeError(f"there is no lab named {name!r}; there are {', '.join(_SHELF)}")


def __dir__():
    return __all__
