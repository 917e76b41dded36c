"""The chain from measurements to plan: each stage sees the pond and the stages before it."""
from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from .model import Pond
from .results import Number, Stage, gather
from .stages import fish, plumbing, power, stocking, survey, water
from .stages import filter as biofilter

STAGES = {"survey": survey, "fish": fish, "plumbing": plumbing, "power": power, "filter": biofilter, "stocking": stocking, "water": water}


@dataclass(frozen=True)
class Plan:
    """A whole plan: the pond it is for and the result of each stage, by its key."""

    pond: Pond
    stages: Mapping[str, Stage]

    def __getitem__(self, dotted: str) -> Stage | Number:
        """Return a stage ("filter") or one of its numbers ("filter.design_tan")."""
        stage, _, name = dotted.partition(".")
        return self.stages[stage][name] if name else self.stages[stage]


def plan(pond: Pond) -> Plan:
    """Compute the whole plan of a pond.

    Returns
    -------
    Plan
        A stage whose section is missing in the pond file has no numbers and says what it needs.
    """
    stages: dict[str, Stage] = {}
    for key, module in STAGES.items():
        stages[key] = gather(module.plan(pond, stages))
    return Plan(pond, stages)
