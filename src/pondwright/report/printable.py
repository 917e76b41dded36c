"""The printable plan: one HTML page that stands alone, for A4 or Letter, in black and white as well as in colour."""
from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from ..pond.plan import Plan
from ..pond.results import Finding, Stage, Urgency
from .formulas import Explained, explain, typeset
from .parts import parts
from .pictures import PICTURES, Drawn, pictures_of
from .words import HEADS, HONESTY, LEGEND, References, Table, by_urgency, gap, in_short, plain, table

KEY_NUMBERS = (  # for the second page, where the plan has them
    "survey.volume", "stocking.limit", "fish.hours_to_4", "filter.feed_allowed", "filter.media_needed", "plumbing.flow", "power.pump_hours",
    "power.panel_needed", "power.battery_needed", "power.cable_needed", "power.pump_fuse", "water.tan_limit",
)
SYSTEM_WORDS = {"metric": "metric units", "us": "US units", "imperial": "imperial units"}


@dataclass(frozen=True)
class Chapter:
    """One stage, ready to print."""

    stage: Stage
    title: str
    gap: str
    numbers: Table
    grids: tuple
    assumed: tuple[str, ...]
    formulas: tuple[Explained, ...]  # those that no earlier chapter used
    earlier: int
    pictures: list[Drawn]


def printable(plan: Plan, findings: tuple[Finding, ...], system: str = "metric", *, whose: str = "", when: str = "",
              pictures: Iterable = PICTURES) -> str:
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
    pictures : iterable, optional
        Pairs of a stage's key and a picture class, or its "module:class" in `pondwright.figures`; :data:`PICTURES` by default.

    Returns
    -------
    str
        The page.
    """
    import jinja2

    pages = jinja2.Environment(loader=jinja2.PackageLoader(__package__, ""), autoescape=True, trim_blocks=True, lstrip_blocks=True,
                               undefined=jinja2.StrictUndefined)
    pages.filters["plain"], pages.filters["typeset"] = plain, typeset
    urgent = tuple(f for f in findings if f.urgency < Urgency.NOTE) or findings  # these first, so that the parts list is soon reached
    notes = findings[len(urgent):]
    references, chapters, explained = References(plan), [], set()
    for stage in plan.stages.values():
        chapters.append(_chapter(plan, stage, system, references, pictures, explained))
        explained.update(stage.formulas)
    return pages.get_template("plan.html.j2").render(
        name=plain(plan.pond.name), note=plain(plan.pond.pond.note), whose=whose, when=when, units=SYSTEM_WORDS[system],
        honesty=HONESTY, legend=LEGEND, urgent=by_urgency(urgent), notes=by_urgency(notes), in_short=in_short(findings), heads=HEADS,
        chapters=chapters,
        key_numbers=[r for c in chapters for r in c.numbers.rows if r.key in KEY_NUMBERS], parts=parts(plan, system),
        sources=references.listed(),
    )


def _chapter(plan: Plan, stage: Stage, system: str, references: References, pictures, explained: set[str]) -> Chapter:
    grids = tuple((plain(g.title), list(zip(g.heads(system), g.units, strict=True)), references.cells(g, system)) for g in stage.grids)
    assumed = tuple(f"{plain(a.text)} {references.mark(a.sources, *(['unverified'] if a.unverified else []))}" for a in stage.assumptions)
    new = [explain(name, references) for name in stage.formulas if name not in explained]
    return Chapter(stage, plain(stage.title), gap(stage), table(stage, system, references), grids, assumed, tuple(new),
                   len(stage.formulas) - len(new), pictures_of(stage, plan, system, pictures))
