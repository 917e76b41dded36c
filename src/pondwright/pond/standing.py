"""What a stopped pump does to the filter: oxygen of a bed under water, air and moisture of a drained one, the longest safe stop.

Uptake is taken from what the filter does, not from its surface: the ammonia of the feed tells what the nitrifying bacteria breathe while
they work, the dirt that was caught tells what the others breathe.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from ..science import solids as d
from ..science import standing as t
from ..science.oxygen import oxygen_saturation
from ..tables import Coefficient, coefficients
from ..units import Q, Quantity, in_unit, show, unit
from .climate import pressure
from .model import Pond
from .results import End, Number, Stage, number
from .strata import Built

DEMAND = 4.57  # g of oxygen for each g of N
DRY_LAYER = Q(50.0, "mm")  # of the uppermost media: when it is dry, the film there is lost; a judgement, no source
MOSTLY = 0.2  # share of the media's height: a bed with more of it under water counts as flooded; a judgement, no source
_GRACE = Coefficient(
    "grace", "whether nitrate may stand in for oxygen", Q(0.0, "-"), Q(0.0, "-"), Q(1.0, "-"), "-", ("Judgement",), False, ""
)
_DAILY, _MG_H = unit("g/d"), unit("mg/h")


@dataclass(frozen=True)
class Stopped:
    """What is known of the bed when the flow stops; `water` in L, `work` the oxygen (mg/h) that nitrification takes while it goes on."""

    pond: Pond
    celsius: float
    water: float
    work: Coefficient
    feed: float
    tan: float | None  # as it was read last, None where nobody read it
    nitrate: float

    def ends(self) -> dict[str, End]:
        """Name what sources disagree on, each with the end that uses oxygen up sooner."""
        c = coefficients()
        found = {"work": End(self.work, "high"), "rest": End(c["resting_share"], "high"), "start": End(c["start_share"], "low")}
        if self.tan is None:
            found["tan"] = End(c["unread_tan"], "high")
        if self.feed:
            found |= {
                name: End(c[key], "high") for name, key in (("share", "solids_share"), ("days", "dirt_days"), ("dirt", "dirt_uptake"))
            }
        return found

    def resting(self, work, rest, share=None, days=None, dirt=None, **_) -> Quantity:
        """Return the oxygen that the bed takes at rest, with the dirt in it."""
        uptake = work.m * rest.m
        if share is not None:
            mass = Q(self.feed * share.m * days.m * coefficients()["mat_capture"].typical.m, "g")
            uptake = uptake + d.solids_uptake(mass, dirt, Q(min(max(self.celsius, 15.0), 25.0), "degC")).m
        return Quantity(uptake, _MG_H)

    def oxygen(self, work, rest, start, tan=None, **dirt) -> Quantity:
        """Return the hours until the oxygen is gone; `tan` is what is taken for an ammonia that nobody read."""
        full = oxygen_saturation(Q(self.celsius, "degC"), pressure=pressure(self.pond))
        resting = self.resting(work, rest, **dirt)
        ammonia = Q(self.tan, "mg/L") if tan is None else tan
        return t.hours_of_oxygen(Q(self.water, "L"), Q(full.m * start.m, "mg/L"), ammonia, work, resting)

    def safe(self, grace, **ends) -> Quantity:
        """Return the hours until the water turns foul; nitrate counts as far as `grace` says."""
        more = t.hours_of_nitrate(Q(self.water, "L"), Q(self.nitrate, "mg/L"), self.resting(**ends))
        return Q(self.oxygen(**ends).m + grace.m * more.m, "h")


def stopped(pond: Pond, so_far: Mapping[str, Stage], water: float) -> Stopped | None:
    """Gather what the plan knows of the month of most feed; None where it does not know the ammonia or the water's warmth."""
    fish, found = (so_far.get(key, Stage(key, "")) for key in ("fish", "filter"))
    load, warmth = found.series.get("tan_load"), fish.series.get("water_temperature")
    if load is None or warmth is None or not np.any(load.m > 0) or water <= 0:
        return None
    month = int(load.m.argmax())
    high, typical = (1000 * DEMAND / 24 * _at(found, key, month, _DAILY) for key in ("tan_load", "tan_load_typical"))
    typical = typical or high
    low, usual, most = (Q(value, "mg/h") for value in (min(typical, high), typical, max(typical, high)))
    work = Coefficient("work", "ammonia of the feed", low, usual, most, "mg/h", ("Nitrification",), False, "")
    tan, nitrate = (_last(pond, name) for name in ("tan", "nitrate_n"))
    warm, feed = _at(fish, "water_temperature", month, unit("degC")), _at(fish, "feed", month, _DAILY)
    return Stopped(pond, warm, water, work, feed, tan, nitrate or 0.0)  # no nitrate at all is the cautious end of one that nobody read


def _at(stage: Stage, key: str, month: int, wanted) -> float:
    """Return a series' value in a month, zero where the stage has none."""
    return float(in_unit(stage.series[key], wanted)[month]) if key in stage.series else 0.0


def _last(pond: Pond, name: str) -> float | None:
    """Return the newest reading of something in mg/L, None where nobody read it."""
    read = [value for r in pond.readings if (value := getattr(r, name)) is not None]
    return float(in_unit(read[-1], unit("mg/L"))) if read else None


def flooded(bed: Stopped, drains: bool) -> Number:
    """Say how long the oxygen of the flooded bed lasts; where the bed drains, if a clogged drain leaves it under water."""
    warmth, water = show(Q(bed.celsius, "degC"), "degC"), show(Q(bed.water, "L"), "L")
    note = f"{'if a clogged drain leaves them under water; ' if drains else ''}at {warmth}, {water} of water among the media"
    return number(
        "oxygen_lasts",
        "Oxygen of the flooded media lasts, once the flow stops",
        "h",
        bed.oxygen,
        decides=True,
        stacked=True,
        widen=False,
        likely=True,
        note=note,
        **bed.ends(),
    )


def drained(held: Coefficient) -> Number:
    """Say how long the drained media stay moist at their top."""
    return number(
        "moist",
        "Top of the drained media stays moist",
        "h",
        lambda held, evaporation: t.drying_time(held, DRY_LAYER, evaporation),
        decides=True,
        stacked=True,
        likely=True,
        note="without a lid; a lid keeps it moist for days",
        held=End(held, "low"),
        evaporation=End(coefficients()["evaporation"], "high"),
    )


def pores(bed: Stopped, vessel: Built, void: float, held: Coefficient) -> Number:
    """Say how much oxygen is left in the air at the foot of the drained media."""
    warmth = Q(bed.celsius, "degC")
    height, volume = Q(vessel.top - vessel.foot, "m"), vessel.media_volume

    def foot(**ends) -> Quantity:
        outside = t.air_oxygen(warmth, pressure(bed.pond))
        diffusivity = t.pore_diffusivity(max(void - float(held.typical.m), 0.01), void, warmth)
        uptake = Q(bed.resting(**ends).m * 0.024 / volume, "g/m3/d")  # mg/h in a day's grams
        return Q(100 * t.deepest_oxygen(outside, uptake, height, diffusivity).m / outside.m, "%")

    ends = {name: end for name, end in bed.ends().items() if name not in ("start", "tan")}
    return number(
        "pore_oxygen",
        "Oxygen in the air at the foot of the drained media, of that outside",
        "%",
        foot,
        decides=True,
        stacked=True,
        widen=False,
        **ends,
    )


def safe_stop(bed: Stopped | None, moist: Number, under: float) -> Number | None:
    """Return the longest safe stop: of the flooded bed where more than a little of it stands in water, else of the drained one."""
    label = "Longest safe stop of the pump"
    if under <= MOSTLY:
        note = "the media drain: they live on the air in their pores until their top dries"
        return replace(moist, key="safe_stop", label=label, note=note)
    if bed is None:
        return None
    nitrate = "; the range reaches to the end of the nitrate too" if bed.nitrate else ""
    return number(
        "safe_stop",
        label,
        "h",
        bed.safe,
        decides=True,
        stacked=True,
        widen=False,
        likely=True,
        note=f"the media stand in water: until its oxygen is gone{nitrate}",
        grace=End(_GRACE, "low"),
        **bed.ends(),
    )


def standing_water(vessel: Built) -> float:
    """Return the litres around the media when they stand in water: up to the rest level, or to their top where they drain."""
    if vessel.foot is None:
        return 0.0
    level = vessel.top if (vessel.drowned or 0.0) <= MOSTLY else vessel.rest
    return 1000 * vessel.water_below(level)
