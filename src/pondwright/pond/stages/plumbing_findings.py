"""What the plumbing stage's numbers mean: where pump and line do not fit each other."""
from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from ...science import pipes as p
from ...units import Q, show
from ..model import Pond
from ..pipework import Line, choices, curve_of, line_of
from ..results import Finding, Stage, Urgency

SLOW, FAST = Q(0.3, "m/s"), Q(1.5, "m/s")  # dirt settles below, noise and loss grow above; common practice
WORTH_IT = 0.10  # a judgement: a wider pipe is worth naming where it brings a tenth more water
GOOD_PUMP = Q(60, "%")  # from memory: small pumps reach 10 to 40 %, good solar pumps up to 55 %
POOR_PUMP = Q(5, "%")
SUCKED = 0.05  # m; a judgement: less suction than this is within what the losses are known


def find(pond: Pond, stages: Mapping[str, Stage]) -> list[Finding]:
    """Say where the pump and the line do not fit each other."""
    stage = stages["plumbing"]
    if pond.pump is None or pond.plumbing is None:
        return []
    if "flow" not in stage:
        top, lift = show(curve_of(pond.pump)[1][0], "m"), show(pond.plumbing.lift, "m")
        return [Finding("plumbing.cannot_lift", Urgency.FIX,
                        f"The pump lifts water {top} at most, and the outlet stands {lift} above the pond: nothing flows.",
                        "Lower the outlet, or take a pump whose curve begins well above the lift.", ("plumbing.lift",))]
    line, _ = line_of(pond, stages)
    return [*_speed(line, stage), *_wider(pond, line, stage), *_power(pond, stage), *_suction(pond, stage), *_gaps(pond, line, stage)]


def _speed(line: Line, stage: Stage):
    speeds = [p.velocity.plain(stage["flow"].typical.m_as("L/min"), bore) for bore in line.each(line.typical["bore"])]
    most, least = Q(max(speeds), "m/s"), Q(min(speeds), "m/s")
    where = "the pipe" if len(set(speeds)) == 1 else "the {} pipe"
    if most > FAST:
        yield Finding("plumbing.too_fast", Urgency.IMPROVE,
                      f"The water runs through {where.format('narrowest')} at {show(most, 'm/s')}; up to {show(FAST, 'm/s')} is common "
                      "practice, and the loss grows with the square.", "Take a wider pipe.", ("plumbing.velocity",))
    if least < SLOW:
        yield Finding("plumbing.too_slow", Urgency.IMPROVE,
                      f"The water creeps through {where.format('widest')} at {show(least, 'm/s')}; below {show(SLOW, 'm/s')} dirt settles "
                      "(common practice).", "A narrower pipe would stay cleaner; or give the line a plug where it can be flushed.",
                      ("plumbing.velocity",))


def _suction(pond: Pond, stage: Stage):
    """Name a high point above the grade line: it stands under suction, or lets air in by its air hole and has to be lifted to."""
    heights, grade = (stage.series[name].m_as("m") for name in ("profile_height", "profile_grade"))
    worst = int(np.argmax(heights - grade))
    if heights[worst] - grade[worst] > SUCKED and pond.plumbing.air_break:
        yield Finding("plumbing.air_lift", Urgency.FIX,
                      f"The line rises to {show(Q(float(heights.max()), 'm'), 'm')} above the pond, more than plumbing.lift says "
                      f"({show(pond.plumbing.lift, 'm')}). Its air hole lets air in there, so the pump has to lift the water to the top: "
                      "the flow is less than this plan says.",
                      "Lay the line without a high point, or write the height of its top as the lift.", ("plumbing.lift", "plumbing.flow"))
    elif heights[worst] - grade[worst] > SUCKED:
        yield Finding("plumbing.suction", Urgency.IMPROVE,
                      f"At {show(Q(float(stage.series['profile_way'][worst].m_as('m')), 'm'), 'm')} along the line its pipe lies "
                      f"{show(Q(float(heights[worst] - grade[worst]), 'm'), 'cm')} above the height to which the water's pressure would "
                      "lift it: the pipe is under suction there and draws air at every joint that is not quite tight.",
                      "Lay the line without a high point. Or let air in on purpose at its top: then the lift is that of the top, and the "
                      "flow is less.", ("plumbing.head",))


def _wider(pond: Pond, line: Line, stage: Stage):
    before = line.each(line.typical["bore"])
    flow, lost = stage["flow"].typical.m_as("L/min"), stage["pipe_head"].typical + stage["fittings_head"].typical
    for row, bore, other in choices(line, curve_of(pond.pump)):
        if bore > min(before) and other > (1 + WORTH_IT) * flow:
            now, then = (show(Q(q, "L/min"), "L/min") for q in (flow, other))
            yield Finding("plumbing.wider_pipe", Urgency.IMPROVE,
                          f"Pipe and fittings take {show(lost, 'm')} of the pump's {stage['head'].text()} of head. A wider line, "
                          f"{row['series']} {row['size']}, would bring {then} instead of {now}, {100 * (other / flow - 1):.0f} % more, for "
                          "the same electricity.",
                          "Take the wider line, with fittings to match.", ("plumbing.flow", "plumbing.pipe_head"))
            return


def _power(pond: Pond, stage: Stage):
    water, power = stage["hydraulic_power"], stage["pump_power"].value
    drawn = show(power, "W")
    if "efficiency" not in stage or stage["efficiency"].value > GOOD_PUMP:
        share = 100 * (water.value / power).m_as("")
        yield Finding("plumbing.efficiency", Urgency.FIX,
                      f"By its curve the pump puts {water.text()} into the water and draws {drawn}: {share:.0f} %, where good small pumps "
                      f"stay under {show(GOOD_PUMP, '%')} (from memory). The curve and the power do not belong together.",
                      "Look at the label again, and measure the flow with a bucket and a watch.", ("plumbing.hydraulic_power",))
    elif stage["efficiency"].value < POOR_PUMP:
        yield Finding("plumbing.poor_pump", Urgency.IMPROVE,
                      f"Only {stage['efficiency'].text()} of the pump's electricity reaches the water; small pumps commonly reach 10 to "
                      "40 % (from memory).", "Look for a pump that works nearer to the middle of its curve at this head.",
                      ("plumbing.efficiency",))


def _gaps(pond: Pond, line: Line, stage: Stage):
    if line.spreader is None and not line.runs[-1].fittings.get("exit"):
        yield Finding("plumbing.no_exit", Urgency.NOTE,
                      "The list of fittings names no exit, yet every open end loses the speed of the water (K = 1).",
                      "Write exit = 1 into plumbing.fittings.", ("plumbing.fittings_head",))
    if stage.facts["curve_ends_early"] == "yes":
        yield Finding("plumbing.curve_ends_early", Urgency.NOTE,
                      f"The pump curve ends at {show(pond.pump.curve[-1].flow, 'L/min')} with head to spare, so the flow is at least that.",
                      "Add a point with more flow and less head: let the pump run into a bucket at a lower outlet.", ("plumbing.flow",))
