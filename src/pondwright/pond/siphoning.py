"""A siphon in its vessel: whether it ever starts at this flow, what it does then, whether it stops, and why not where it does not."""
from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np

from ..science import emptying as e
from ..science import outlets as o
from ..science import siphon as s
from ..tables import Coefficient, coefficients, load
from ..units import Q, Quantity, in_unit, show, unit
from . import levels as lv
from .night import as_coefficient
from .pipework import GRADES, graded
from .results import End, Number, given, number
from .strata import built, surface
from .vessel import Siphon, Vessel

STEPS = 17  # heights from mouth to crest in the picture
SLICES = np.linspace(0.0, 1.0, 13) ** 1.5  # of the way from mouth to trip: finest at the mouth, where the least water leaves
NEAR = 6  # heights between crest and trip, where a dribble takes more and more of what comes in
NOTHING = 1e-6  # L/min: less than that never gets anywhere
ENDS = ("low", "typical", "high")
NO_AIR = "no air gets in, and the level stays above the mouth."
_CM, _L_MIN = unit("cm"), unit("L/min")


@dataclass
class _Case:
    """A siphon in its vessel at the pump's flow, with all that is known at each end: the flow, the drains, the siphon."""

    vessel: Vessel
    flow: Number
    rates: dict = field(init=False)
    drains: dict = field(init=False)
    siphons: dict = field(init=False)
    kept: dict = field(default_factory=dict)

    def __post_init__(self):
        self.rates = {end: float(in_unit(getattr(self.flow, end), _L_MIN)) for end in ENDS}
        self.drains = {end: lv.outlets_of(self.vessel, end) for end in ENDS}
        self.siphons = {end: lv.siphon_way(self.siphon, end, 100 * surface(self.vessel)) for end in ENDS}

    @property
    def siphon(self) -> Siphon:
        return self.vessel.siphon

    @property
    def trip(self) -> float:
        return self.siphons["typical"].trip

    @property
    def crest(self) -> float:
        return float(in_unit(self.siphon.crest, _CM))

    @property
    def mouth(self) -> float:
        return float(in_unit(self.siphon.mouth, _CM))

    @property
    def rim(self) -> float:
        return float(in_unit(self.vessel.height, _CM))

    def carries(self, level: float, end: str = "typical") -> float:
        """Return what the running siphon carries at a level."""
        return self.siphons[end].full(level)

    def leaves_at_mouth(self, end: str) -> float:
        """Return what leaves where air should get in: through the running siphon and the drains."""
        return self.carries(self.mouth, end) + lv.carried(self.drains[end], self.mouth)

    @property
    def ways(self) -> Coefficient:
        """Stand for all that makes siphon and drains carry much or little."""
        c, fittings = coefficients(), load("fittings")
        rows = [fittings[key] for key in lv.LOSSES[self.siphon.kind]]
        used = [c[name] for name in ("drain_hole", "drain_pipe", "drain_lip", "pipe_roughness")]
        sources = (*(key for row in rows for key in row["source"].split()), *(key for one in used for key in one.sources))
        return graded("ways", "discharge of the siphon and the drains", tuple(dict.fromkeys(sources)), True)

    def heights(self, trip: float) -> list[float]:
        """Return heights from mouth to trip, those at which room or flow change their course among them."""
        bends = [h for way in self.drains["typical"] for h in (way.sill, way.sill + way.bore / 10)]
        bends += [100 * h for x in built(self.vessel).strata for h in (x.bottom, x.top)]
        even = [*(self.mouth + (trip - self.mouth) * SLICES).tolist(), *np.linspace(self.crest, trip, NEAR)[:-1].tolist()]
        return sorted({*even, *(h for h in bends if self.mouth < h < trip)})

    def course(self, what: str, *ends: str) -> tuple[np.ndarray, np.ndarray]:
        """Return the water (L) below each height and what leaves there: "drain" with the siphon running, "fill" with it dribbling."""
        if (what, *ends) not in self.kept:
            siphon, inside = self.siphons[ends[0]], built(self.vessel)
            heights = self.heights(siphon.trip)
            through = ([self.carries(h, ends[0]) for h in heights] if what == "drain" else
                       lv.curve((replace(siphon, trip=math.inf),), heights))
            leaves = np.array(through) + np.array(lv.curve(self.drains[ends[-1]], heights))
            self.kept[what, *ends] = np.array([1000 * inside.water_below(h / 100) for h in heights]), leaves
        return self.kept[what, *ends]

    def minutes(self, what: str, flow: float, *ends: str) -> float:
        """Return how long the siphon drains the vessel to its mouth, or how long it then takes to start again; infinite where never."""
        if self.siphons[ends[0]].trip >= self.rim:
            return math.inf
        water, leaves = self.course(what, *ends)
        net = leaves - flow if what == "drain" else flow - leaves
        return math.inf if net.min() <= NOTHING else float(e.passing_time(Q(water, "L"), Q(net, "L/min")).m)


def siphoning(vessel: Vessel, flow: Number) -> tuple[list[Number], dict[str, str], dict[str, Quantity]]:
    """Return a siphon's numbers, its answer in words and its curve for the picture; nothing where the vessel has none.

    The facts hold `siphon`, the answer, and `siphon_does`: "drains", "dribbles", "doubtful", "overflows", "stays", "clings" or "runs".
    """
    if vessel.siphon is None:
        return [], {}, {}
    case = _Case(vessel, flow)
    start = _start(case.siphon)
    found = [start, given("siphon_trip", "Level at which the siphon starts", "cm", Q(case.trip, "cm")), _carries(case)]
    heights = np.linspace(case.mouth, case.crest, STEPS)
    curve = {"siphon_axis": Q(heights, "cm"), "siphon": Q(np.array([case.carries(h) for h in heights.tolist()]), "L/min")}
    does, words = _answer(case, start)
    if does in ("runs", "clings"):
        found += _cycle(case)
        by = {n.key: n for n in found}
        words = (f"The siphon starts when the water stands at {_height(case.trip)}, empties the vessel down to its mouth in "
                 f"{by['siphon_drain'].text(digits=2)} and starts again {by['siphon_fill'].text(digits=2)} later.{words}")
    return found, {"siphon": words, "siphon_does": does}, curve


def _start(siphon: Siphon) -> Number:
    """Give the flow that starts it, with its wide band."""
    bore = siphon.inside_diameter

    def needed(share: Quantity) -> Quantity:
        drowns = s.priming_flow(bore) if siphon.kind == "bell" else o.hole_flow(bore, bore)
        return drowns * share.m

    return number("siphon_start", "Flow that the siphon must be given to start", "L/min", needed, decides=True, stacked=True,
                  share=End(coefficients()["siphon_start"], "high"))


def _carries(case: _Case) -> Number:
    """Give what it carries while it runs full, with the range of what its bends and its wall take."""
    way = case.siphons["typical"]

    def flow(ways: Quantity) -> Quantity:
        fall = Q(max(case.crest - max(way.end, way.tail), 0.0), "cm")
        o.full_pipe_flow(fall, Q(way.bore, "mm"), Q(way.length, "m"), way.k)  # leaves the trace
        return Q(np.array([case.carries(case.crest, GRADES[grade]) for grade in ways.m.tolist()]), "L/min")

    return number("siphon_flow", "Flow of the siphon while it runs, at its crest", "L/min", flow, stacked=True, ways=End(case.ways, "low"))


def _answer(case: _Case, start: Number) -> tuple[str, str]:
    """Say what the siphon does at this flow, and why."""
    trip, rim, typical = case.trip, case.rim, case.rates["typical"]
    past, most = typical - lv.carried(case.drains["typical"], trip), case.rates["high"] - lv.carried(case.drains["low"], trip)
    need, least, sure = (float(in_unit(q, _L_MIN)) for q in (start.typical, start.low, start.high))
    if most <= 0:
        level = lv.level_at(typical, case.drains["typical"], rim)
        return "drains", (f"The siphon can never start: the other drains already carry the {_flow(typical)} that come in at "
                          f"{_height(level)}, below its crest at {_height(case.crest)}.")
    if trip >= rim:
        return "overflows", (f"The siphon can never start: its mouth drowns at {_height(trip)}, and the rim lies at {_height(rim)}. The "
                             "vessel runs over first.")
    if most < least:
        return "dribbles", (f"The siphon never starts: {_flow(max(past, 0.0))} reach its crest, and even at best it needs {_flow(least)} "
                            "to run full. The water dribbles over the crest for ever.")
    if past <= need + 10 * NOTHING:
        return "doubtful", (f"The siphon hardly starts: {_flow(max(past, 0.0))} reach its crest, and by the rule it needs {_flow(need)} "
                            f"(nobody knows it better than {_flow(least)} to {_flow(sure)}). Try it with a bucket of water.")
    starts = "" if past >= sure else (f" It should start: {_flow(past)} reach its crest, and by the rule it needs {_flow(need)}; "
                                      f"nobody knows that better than {_flow(least)} to {_flow(sure)}, so try it.")
    does, stops = _stops(case)
    return does, stops if does == "stays" else starts + stops


def _stops(case: _Case) -> tuple[str, str]:
    """Say whether air gets in at its mouth: only where more leaves there than comes in. Both are known from an end to an end."""
    leaves = {end: case.leaves_at_mouth(end) for end in ENDS}
    out, into = f"{_between(leaves)} leave through it and the drains", f"{_between(case.rates)} come in"
    if leaves["typical"] <= case.rates["typical"] + 10 * NOTHING:
        if leaves["high"] > case.rates["low"]:
            return "stays", (f"Once started the siphon hardly stops: with the water at its mouth {_flow(leaves['typical'])} leave, and "
                             f"{_flow(case.rates['typical'])} come in (nobody knows it better than that {out}, and {into}). Unless more "
                             f"leaves than comes in, {NO_AIR}")
        low = case.carries(case.mouth) == 0
        end = "the pond's water" if case.siphons["typical"].tail >= case.mouth else "its free end"
        why = f"{end} does not lie below its mouth" if low else "it carries no more there than comes in"
        return "stays", f"Once started the siphon never stops: at its mouth {why}, so {NO_AIR}"
    if leaves["low"] <= case.rates["high"] + NOTHING:
        return "clings", (f" But it may never stop: with the water at its mouth {out}, and {into}. Unless more leaves than comes in, "
                          f"{NO_AIR}")
    return "runs", ""


def _flow(value: float) -> str:
    return show(Q(value, "L/min"), "L/min")


def _between(ends: dict[str, float]) -> str:
    low, high = _flow(ends["low"]), _flow(ends["high"])
    return high if low == high else f"{low.removesuffix(high.partition(' ')[2]).strip()} to {high}"


def _height(value: float) -> str:
    return show(Q(value, "cm"), "cm")


# ------------------------------------------------------------------------------------------------------------------- its cycle


def _cycle(case: _Case) -> list[Number]:
    """Give the times of one run and of the filling after it, by adding up thin slices of water."""
    starts = coefficients()["siphon_start"]
    ends = {"starts": End(graded("starts", starts.label, starts.sources, starts.unverified), "low"), "drains": End(case.ways, "high"),
            "flow": End(as_coefficient(case.flow, "flow"), "low")}
    run = {"ways": End(case.ways, "low"), "flow": End(as_coefficient(case.flow, "flow"), "high")}
    return [_time("siphon_drain", "Time in which the siphon empties the vessel to its mouth",
                  lambda flow, ways: case.minutes("drain", flow, ways), "at worst it never gets there: as much comes in as leaves", run),
            _time("siphon_fill", "Time until it starts again",
                  lambda flow, starts, drains: case.minutes("fill", flow, starts, drains), "at worst it never starts again", ends)]


def _time(key: str, label: str, minutes: Callable[..., float], never: str, ends: dict[str, End]) -> Number:
    """Give a time with its range. Where at worst it never ends, the range stops at the typical answer, and the note says so."""
    def words(name: str, value: float):
        return value if name == "flow" else GRADES[value]

    def found(**at: Quantity) -> Quantity:
        rows = zip(*(in_unit(at[name], ends[name].coefficient.typical).tolist() for name in ends), strict=True)
        return Q(np.array([minutes(**{name: words(name, v) for name, v in zip(ends, row, strict=True)}) for row in rows]), "min")

    worst = {name: float(in_unit(end.coefficient.at(end.cautious), end.coefficient.typical)) for name, end in ends.items()}
    endless = math.isinf(minutes(**{name: words(name, value) for name, value in worst.items()}))
    if endless:
        ends = {name: End(replace(end.coefficient, **{end.cautious: end.coefficient.typical}), end.cautious) for name, end in ends.items()}
    return number(key, label, "min", found, stacked=True, note=never if endless else "", **ends)
