"""A siphon in its vessel: whether it ever starts at this flow, what it does then, and why not where it does not."""
from __future__ import annotations

import numpy as np

from ..science import emptying as e
from ..science import siphon as s
from ..tables import coefficients
from ..units import Q, Quantity, in_unit, show, unit
from . import levels as lv
from .results import End, Number, given, number
from .strata import built
from .vessel import Siphon, Vessel

STEPS = 33  # heights between mouth and crest at which its flow is worked out
_CM, _L_MIN, _MM = unit("cm"), unit("L/min"), unit("mm")


def siphoning(vessel: Vessel, flow: Number) -> tuple[list[Number], dict[str, str], dict[str, Quantity]]:
    """Return a siphon's numbers, its answer in words and its curve for the picture; nothing where the vessel has none.

    The facts hold `siphon`, the answer, and `siphon_does`: "drains", "dribbles", "doubtful", "overflows", "stays" or "runs".
    """
    siphon = vessel.siphon
    if siphon is None:
        return [], {}, {}
    low, typical, high = (float(in_unit(q, _L_MIN)) for q in (flow.low, flow.typical, flow.high))
    trip, crest, mouth = lv.trip_level(siphon), *(float(in_unit(h, _CM)) for h in (siphon.crest, siphon.mouth))
    start = _start(siphon)
    carries = number("siphon_flow", "Flow of the siphon while it runs, at its crest", "L/min",
                     lambda: Q(lv.siphon_carries(siphon, crest), "L/min"))
    found = [start, given("siphon_trip", "Level at which the siphon starts", "cm", Q(trip, "cm")), carries]
    heights = np.linspace(mouth, crest, STEPS)
    curve = {"siphon_axis": Q(heights, "cm"), "siphon": Q(np.array([lv.siphon_carries(siphon, h) for h in heights.tolist()]), "L/min")}
    does, words = _answer(vessel, siphon, (low, typical, high), start, trip)
    if does == "runs":
        found += _cycle(vessel, siphon, typical, trip, mouth)
        by = {n.key: n for n in found}
        words = (f"The siphon starts when the water stands at {_height(trip)}, empties the vessel down to its mouth in "
                 f"{by['siphon_drain'].text(digits=2)} and starts again {by['siphon_fill'].text(digits=2)} later.{words}")
    return found, {"siphon": words, "siphon_does": does}, curve


def _start(siphon: Siphon) -> Number:
    """Give the flow that starts it, with its wide band."""
    bore = siphon.inside_diameter

    def needed(share: Quantity) -> Quantity:
        drowns = s.priming_flow(bore) if siphon.kind == "bell" else Q(lv.starting_flow(siphon), "L/min")
        return drowns * share.m

    return number("siphon_start", "Flow that the siphon must be given to start", "L/min", needed, decides=True, stacked=True,
                  share=End(coefficients()["siphon_start"], "high"))


def _answer(vessel: Vessel, siphon: Siphon, flow: tuple, start: Number, trip: float) -> tuple[str, str]:
    """Say what the siphon does at this flow, and why."""
    _, typical, high = flow
    crest, rim, mouth = (float(in_unit(h, _CM)) for h in (siphon.crest, vessel.height, siphon.mouth))
    drains = {end: tuple(lv.way(outlet, end) for outlet in vessel.outlets) for end in ("low", "typical")}
    past, most = typical - lv.carried(drains["typical"], trip), high - lv.carried(drains["low"], trip)
    need, least, sure = (float(in_unit(q, _L_MIN)) for q in (start.typical, start.low, start.high))
    if most <= 0:
        level = lv.level_at(typical, drains["typical"], rim)
        return "drains", (f"The siphon can never start: the other drains already carry the {_flow(typical)} that come in at "
                          f"{_height(level)}, below its crest at {_height(crest)}.")
    if trip >= rim:
        return "overflows", (f"The siphon can never start: its mouth drowns at {_height(trip)}, and the rim lies at {_height(rim)}. The "
                             "vessel runs over first.")
    if most < least:
        return "dribbles", (f"The siphon never starts: {_flow(max(past, 0.0))} reach its crest, and even at best it needs {_flow(least)} "
                            "to run full. The water dribbles over the crest for ever.")
    if past < need:
        return "doubtful", (f"The siphon hardly starts: {_flow(max(past, 0.0))} reach its crest, and by the rule it needs {_flow(need)} "
                            f"(nobody knows it better than {_flow(least)} to {_flow(sure)}). Try it with a bucket of water.")
    at_mouth = lv.siphon_carries(siphon, mouth)
    if at_mouth + lv.carried(drains["typical"], mouth) <= typical:
        why = "its free end does not lie below its mouth" if at_mouth == 0 else "it carries no more there than comes in"
        return "stays", f"Once started the siphon never stops: at its mouth {why}, so no air gets in, and the level stays above the mouth."
    return "runs", "" if past >= sure else (f" It should start: {_flow(past)} reach its crest, and by the rule it needs {_flow(need)}; "
                                            f"nobody knows that better than {_flow(least)} to {_flow(sure)}, so try it.")


def _flow(value: float) -> str:
    return show(Q(value, "L/min"), "L/min")


def _height(value: float) -> str:
    return show(Q(value, "cm"), "cm")


def _cycle(vessel: Vessel, siphon: Siphon, flow: float, trip: float, mouth: float) -> list[Number]:
    """Give the times of one run and of the filling after it, by adding up thin slices of water."""
    inside, drains = built(vessel), tuple(lv.way(outlet) for outlet in vessel.outlets)
    edges = np.linspace(mouth, trip, STEPS)
    water = [inside.water_below(h / 100) for h in np.linspace(mouth, trip, STEPS + 1).tolist()]
    area = Q(np.diff(water) / ((trip - mouth) / STEPS / 100), "m2")
    other = np.array([lv.carried(drains, h) for h in edges.tolist()])
    leaves = np.array([lv.siphon_carries(siphon, h) for h in edges.tolist()]) + other - flow
    return [number("siphon_drain", "Time in which the siphon empties the vessel to its mouth", "min",
                    lambda: e.passing_time(Q(edges, "cm"), area, Q(np.maximum(leaves, 1e-6), "L/min"))),
             number("siphon_fill", "Time until it starts again", "min",
                    lambda: e.passing_time(Q(edges, "cm"), area, Q(np.maximum(flow - other, 1e-6), "L/min")))]
