"""What the plan means: sentences with a number and its limit, the most urgent first."""
from __future__ import annotations

from ..units import tracing
from .plan import Plan, in_units_of, stage_module
from .results import Finding


def findings(plan: Plan) -> tuple[Finding, ...]:
    """Rank what every stage finds: danger to fish or people, then what does not work, what could be better, and what to note."""
    with in_units_of(plan.pond), tracing():  # as in the plan: what lies outside a source's range is marked there and is no warning here
        found = [f for key in plan.stages for f in stage_module(key).find(plan.pond, plan.stages)]
    return tuple(sorted(found, key=lambda f: f.urgency))
