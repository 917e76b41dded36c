"""The chain from measurements to plan: each stage sees the pond and the stages before it."""

from __future__ import annotations

import importlib
from collections.abc import Mapping
from dataclasses import dataclass

from ..units import Paragraph, showing_in, tracing
from .model import Pond
from .results import Number, Stage, gather

STAGES = ("survey", "fish", "plumbing", "power", "season", "filter", "vessel", "drains", "stocking", "water")


def stage_module(key: str):
    """Return the module of one stage; fetched when it is needed, so that a lab loads only its own chapters."""
    return importlib.import_module(f"{__package__}.stages.{key}")


@dataclass(frozen=True)
class Plan:
    """A whole plan: the pond it is for and the result of each stage, by its key."""

    pond: Pond
    stages: Mapping[str, Stage]

    def __getitem__(self, dotted: str) -> Stage | Number:
        """Return a stage ("filter") or one of its numbers ("filter.design_tan")."""
        stage, _, name = dotted.partition(".")
        return self.stages[stage][name] if name else self.stages[stage]

    def say(self, dotted: str, system: str | None = None) -> Paragraph:
        """Say one number in a line that names the pond: value, band and marks, or what its stage still needs."""
        key, _, name = dotted.partition(".")
        stage, system = self.stages[key], system or self.pond.pond.units
        if not stage.planned or (name not in stage and stage.missing):
            return Paragraph(f"{self.pond.name}: {stage.title} is not planned yet: {'; '.join(stage.missing)}.")
        number = self[dotted]
        with showing_in(system):
            more = "; ".join(part for part in (number.band_text(), number.note, number.marks) if part)
        return Paragraph(f"{self.pond.name}: {number.label}: {number.text(system)}" + (f" ({more})" if more else ""))


def in_units_of(pond: Pond):
    """Show quantities in the units that the pond file asks for, unless a reader (a lab's switch, the command line) has said otherwise."""
    return showing_in(pond.pond.units, unless_said=True)


def plan(pond: Pond, *, until: str = "water", done: Mapping[str, Stage] | None = None) -> Plan:
    """Compute the plan of a pond.

    Parameters
    ----------
    pond : Pond
        The checked pond file.
    until : str
        The last stage to compute; the whole chain by default. A lab stops after its own stage.
    done : mapping, optional
        Stages that need not be computed again, such as those of a lab whose sliders do not touch them.

    Returns
    -------
    Plan
        A stage whose section is missing in the pond file has no numbers and says what it needs.
    """
    stages: dict[str, Stage] = {}
    with in_units_of(pond), tracing():  # a series or sentence outside a source's range is no warning: the numbers beside it carry the mark
        for key in STAGES:
            stages[key] = done[key] if done and key in done else gather(stage_module(key).plan(pond, stages))
            if key == until:
                break
    return Plan(pond, stages)
