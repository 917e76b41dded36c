"""Which pictures a printed chapter has. To add one, write one line: the stage, and the class in `pondwright.figures`."""
from __future__ import annotations

import base64
import importlib
from collections.abc import Iterable
from dataclasses import dataclass

from ..pond.plan import Plan
from ..pond.results import Stage
from .words import plain

# (stage, "module:class"), in the order of printing; a stage may have several; one that has nothing to show yet is left out
PICTURES = (
    ("survey", "survey:SurveyPicture"),
    ("plumbing", "plumbing:PlumbingPicture"),
    ("plumbing", "profile:ProfilePicture"),
    ("power", "power:PowerPicture"),
    ("power", "wiring:WiringPicture"),
    ("season", "season:SeasonPicture"),
    ("filter", "filter:FilterPicture"),
    ("vessel", "vessel:VesselPicture"),
    ("drains", "drains:LevelPicture"),
    ("stocking", "stocking:StockingPicture"),
    ("water", "water:WaterPicture"),
)
PRINT_DPI = 192


@dataclass(frozen=True)
class Drawn:
    """A picture as a data address, with its words."""

    address: str
    alt: str


def pictures_of(stage: Stage, plan: Plan, system: str, shelf: Iterable = PICTURES) -> list[Drawn]:
    """Draw the pictures of one stage at a resolution for paper."""
    if not stage.planned:
        return []
    kinds = [_kind(which) for key, which in shelf if key == stage.key]
    return [_draw(kind, plan, system) for kind in kinds if kind.can_show(plan)]


def _kind(which):
    if not isinstance(which, str):
        return which
    module, _, name = which.partition(":")
    return getattr(importlib.import_module(f"pondwright.figures.{module}"), name)


def _draw(kind, plan: Plan, system: str) -> Drawn:
    picture = kind()
    picture.update(plan, system)
    data = base64.b64encode(picture.png(PRINT_DPI)).decode("ascii")
    return Drawn(f"data:image/png;base64,{data}", plain(picture.alt(plan, system)))
