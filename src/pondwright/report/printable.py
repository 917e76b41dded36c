"""The printable plan: one HTML page that stands alone, for A4 or Letter, in black and white as well as in colour."""
from __future__ import annotations

import base64
import importlib
import re
from collections.abc import Mapping
from dataclasses import dataclass

from ..pond.plan import Plan
from ..pond.results import Finding, Stage
from ..units import FORMULAS
from .parts import parts
from .words import HEADS, HONESTY, LEGEND, NOTHING_FOUND, Row, by_urgency, gap, plain, row, sources_of

# stage key -> "module:class" in pondwright.figures; a stage without a picture, or with something missing, is printed without
PICTURES = {
    "survey": "survey:SurveyPicture",
    "plumbing": "plumbing:PlumbingPicture",
    "power": "power:PowerPicture",
    "filter": "filter:FilterPicture",
    "stocking": "stocking:StockingPicture",
    "water": "water:WaterPicture",
}
KEY_NUMBERS = (  # for the first page, where the plan has them
    "survey.volume", "stocking.limit", "fish.hours_to_4", "filter.feed_allowed", "filter.media_needed", "plumbing.flow", "power.pump_hours",
    "power.panel_needed", "power.battery_needed", "power.cable_needed", "power.pump_fuse", "water.tan_limit",
)
PRINT_DPI = 192
SYSTEM_WORDS = {"metric": "metric units", "us": "US units", "imperial": "imperial units"}


@dataclass(frozen=True)
class Explained:
    """A formula for the reader: its name, what it does, its equation with what it takes for granted, where it comes from."""

    name: str
    does: str
    equation: str
    references: str


@dataclass(frozen=True)
class Picture:
    """A picture as a data address, with its words."""

    address: str
    alt: str


@dataclass(frozen=True)
class Chapter:
    """One stage, ready to print."""

    stage: Stage
    title: str
    gap: str
    rows: tuple[Row, ...]
    grids: tuple
    formulas: tuple[Explained, ...]  # those that no earlier chapter used
    earlier: int
    picture: Picture | None


def printable(plan: Plan, findings: tuple[Finding, ...], system: str = "metric", *, whose: str = "", when: str = "",
              pictures: Mapping[str, object] | None = None) -> str:
    """Write a plan as an HTML page that needs no network and no other file.

    Parameters
    ----------
    plan, findings
        As `plan(pond)` and `findings(plan)` return them.
    system : str
        metric, us or imperial.
    whose : str
        Where the pond comes from, such as a file's name.
    when : str
        A date in words for the top of the page; none by default, so that the same pond gives the same page.
    pictures : mapping, optional
        Stage key -> picture class, or its "module:class" in `pondwright.figures`; :data:`PICTURES` by default.

    Returns
    -------
    str
        The page.
    """
    import jinja2

    shelf = PICTURES if pictures is None else pictures
    pages = jinja2.Environment(loader=jinja2.PackageLoader(__package__, ""), autoescape=True, trim_blocks=True, lstrip_blocks=True,
                               undefined=jinja2.StrictUndefined)
    pages.filters["plain"] = plain
    chapters, explained = [], set()
    for stage in plan.stages.values():
        chapters.append(_chapter(plan, stage, system, shelf.get(stage.key), explained))
        explained.update(stage.formulas)
    return pages.get_template("plan.html.j2").render(
        plan=plan, name=plain(plan.pond.name), note=plain(plan.pond.pond.note), whose=whose, when=when, units=SYSTEM_WORDS[system],
        honesty=HONESTY, legend=LEGEND, findings=by_urgency(findings), nothing=NOTHING_FOUND, heads=HEADS, chapters=chapters,
        key_numbers=[r for c in chapters for r in c.rows if r.key in KEY_NUMBERS], parts=parts(plan, system), sources=sources_of(plan),
        formulas=sorted((f for c in chapters for f in c.formulas), key=lambda f: f.name),
    )


def _chapter(plan: Plan, stage: Stage, system: str, picture, explained: set[str]) -> Chapter:
    rows = tuple(row(stage, number, system) for number in stage.numbers.values())
    grids = tuple((plain(g.title), list(zip(g.heads(system), g.units, strict=True)), g.cells(system)) for g in stage.grids)
    shown = _picture(picture, plan, system) if picture is not None and stage.planned and not stage.missing else None
    new = [name for name in stage.formulas if name not in explained]
    return Chapter(stage, plain(stage.title), gap(stage), rows, grids, tuple(map(explain, new)), len(stage.formulas) - len(new), shown)


def _picture(which, plan: Plan, system: str) -> Picture:
    """Draw one picture at a resolution for paper."""
    if isinstance(which, str):
        module, _, name = which.partition(":")
        which = getattr(importlib.import_module(f"pondwright.figures.{module}"), name)
    picture = which()
    picture.update(plan, system)
    data = base64.b64encode(picture.png(PRINT_DPI)).decode("ascii")
    return Picture(f"data:image/png;base64,{data}", plain(picture.alt(plan, system)))


def explain(name: str) -> Explained:
    """Take what a formula says of itself out of its docstring: it is written once, there."""
    doc = FORMULAS[name].__doc__
    notes, references = (re.search(rf"^{title}\n-+\n(.*?)(?=^\w+\n-{{3,}}\n|\Z)", doc, re.S | re.M) for title in ("Notes", "References"))
    keys = re.sub(r"\[(\w+)\]_", r"\1", plain(references[1]))
    return Explained(name, plain(doc.partition("\n\n")[0]), plain(notes[1]) if notes else "", keys)
