"""pondwright: a teaching workbook for people who build a pond into a small recirculating system.

``import pondwright`` is light; what a lesson needs is fetched on first use.
"""
from __future__ import annotations

import importlib

__version__ = "0.1.0"

# name -> module that holds it
_SHELF = {
    "Q": "units", "read": "units", "show": "units", "QuantityError": "units",
    "demo_pond": "pond.file", "my_pond": "pond.file", "load_pond": "pond.file", "write_down": "pond.writing",
    "plan": "pond.plan", "findings": "pond.findings",
}
__all__ = [*_SHELF, "__version__"]


def __getattr__(name: str):
    if name in _SHELF:
        return getattr(importlib.import_module(f".{_SHELF[name]}", __name__), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__():
    return __all__
