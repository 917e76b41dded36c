"""Every result as value and unit under a stable dotted name."""
from __future__ import annotations

import json

from ..pond.plan import Plan
from ..pond.results import Finding, Number, Urgency
from ..units import unit, unit_for, write_unit
from .words import gap, plain, remarks

DIGITS = 6  # significant; more than any of these numbers deserves, few enough to read


def as_json(plan: Plan, findings: tuple[Finding, ...], system: str = "metric") -> str:
    """Write a plan as one flat JSON object.

    Returns
    -------
    str
        "survey.volume": {"value", "unit", "low", "typical", "high", "label", "remarks"} for a number, with the keys of the formulas and
        sources behind it;
        "fish.feed.series": {"value": [...], "unit"} for a series (twelve months unless the stage says otherwise);
        "filter.facts.binds", "filter.missing", "finding.survey.spread", "pond.name": {"value": words, "unit": ""}.
    """
    results = {"pond.name": _words(plan.pond.name)}
    for stage in plan.stages.values():
        for key, number in stage.numbers.items():
            results[f"{stage.key}.{key}"] = _number(number, system)
        for key, series in stage.series.items():
            results[f"{stage.key}.{key}.series"] = _series(series, system)
        for key, fact in stage.facts.items():
            results[f"{stage.key}.facts.{key}"] = _words(fact)
        if stage.missing:
            results[f"{stage.key}.missing"] = _words(gap(stage))
    for finding in findings:
        urgency = Urgency(finding.urgency).name.lower()
        results[f"finding.{finding.key}"] = {**_words(finding.what), "do": plain(finding.do), "urgency": urgency}
    return json.dumps(results, indent=2, ensure_ascii=True, allow_nan=False)


def _words(text) -> dict:
    return {"value": plain(text), "unit": ""}


def _rounded(value: float) -> float:
    return float(f"{float(value):.{DIGITS}g}")


def _number(number: Number, system: str) -> dict:
    name = unit_for(number.unit, system)
    value, low, typical, high = (_rounded(q.m_as(unit(name))) for q in (number.value, number.low, number.typical, number.high))
    return {"value": value, "unit": name, "low": low, "typical": typical, "high": high, "label": plain(number.label),
            "decides": number.decides, "moved_most_by": plain(number.mover), "sources": list(number.sources),
            "formulas": list(number.formulas), "widened": number.widened, "remarks": list(remarks(number))}


def _series(series, system: str) -> dict:
    name = unit_for(write_unit(series.units), system)
    return {"value": [_rounded(v) for v in series.m_as(unit(name)).ravel()], "unit": name}
