"""How much filter: the ammonia that comes from the feed, what the water may hold, and what the filter can convert, month by month.

Design TAN is derived, never typed: it is the total ammonia at which the un-ionized part meets its limit on a warm afternoon of the month,
at the highest pH that was read and, at the cautious end, at the pH of the same water once it has aired where that is higher; the bacteria
work at the month's mean temperature. Everything is decided at the cautious end, where every uncertain number is at its bad end at once,
and the deciding month is the one with the least room.
"""
from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from ...science import biofilter as b
from ...science import nitrogen as n
from ...science.ammonia import tan_at_limit
from ...science.plants import plant_uptake
from ...tables import Coefficient, coefficients, load
from ...units import Q, Quantity, QuantityError, in_unit, round_text, show, tracing, unit
from .. import climate, readings
from ..filter_words import LIMITS, MONTH, NOTHING, assumptions, cautions, facts, findings, grids
from ..model import Pond
from ..moments import moment
from ..night import as_coefficient, carry, supply
from ..pipework import lacking
from ..results import End, Finding, Number, Stage, by_key, given, number, tries

KEY, TITLE = "filter", "The filter"
_ENDS = ("low", "typical", "high")
_MODELS = ("MaloneBeecher2000", "ZhuChen1999", "Kamstra1998")
_NEUTRAL = 7.2  # pH below which bacteria are known to slow down


def _choice(name: str, label: str, sources: tuple = (), unverified: bool = False) -> Coefficient:
    """Make a coefficient out of three things that are no scalars: 0, 1 and 2 stand for the low, the typical and the high one."""
    return Coefficient(name, label, Q(0.0, "-"), Q(1.0, "-"), Q(2.0, "-"), "-", sources, unverified, "")


_FEED = _choice("feed", "how much the fish are fed")
_MODEL = _choice("model", "the model of removal", tuple(n.MINIMUM_TAN), True)  # the lowest, Zhu and Chen's, the highest


@dataclass(frozen=True)
class _Known:
    """What the pond file and the earlier stages tell; None where they do not. Series are by month, shape (12,)."""

    feeds: Quantity | None  # shape (3, 12): low, typical, high
    protein: Quantity | None
    factor: Coefficient | None
    ph: Coefficient | None  # typically the highest that was read; high where the aired water would have more
    lowest_ph: float | None
    temperature: Quantity | None
    warmer: float
    flow: Number | None
    hours: Quantity | None
    media: dict | None
    dirty: bool

    @property
    def loaded(self) -> bool:
        return self.feeds is not None and self.protein is not None and bool(self.fed.any())

    @property
    def fed(self) -> np.ndarray:
        """Tell the months of feeding."""
        return np.asarray(self.feeds.m[1] > 0)

    @property
    def weighed(self) -> bool:
        """Tell whether the feed is the same at all ends: the pond file says it."""
        return bool((self.feeds.m[0] == self.feeds.m[2]).all())

    @property
    def limited(self) -> bool:
        return self.ph is not None and self.temperature is not None

    @property
    def afternoon(self) -> Quantity:
        return Q(self.temperature.m + self.warmer, "degC")

    @property
    def runs(self) -> bool:
        return self.flow is not None and self.hours is not None

    @property
    def sized(self) -> bool:
        return self.limited and self.media is not None and self.runs


def plan(pond: Pond, so_far: Mapping[str, Stage]) -> Stage:
    """Plan the filter as far as the pond file tells; what it does not tell is named under `missing`."""
    known = _know(pond, so_far)
    ends = _ends(known)
    chain = _chain(pond, known, tries(_together(ends)))
    with tracing():  # the marks of the deciding month stand beside its numbers
        month, series = _deciding_month(known, chain), _series(known, chain)
        numbers = by_key(*_month_numbers(pond, so_far, known, chain, ends, month), *_water_numbers(pond, so_far, known))
        area = numbers["area_needed"].typical if "area_needed" in numbers else _typical_area(known, chain)
        laid_out = grids(pond, numbers, series, known.temperature, month, area)
    assumed = assumptions(pond, numbers, known.dirty, known.warmer, _sun_hours(so_far) is not None)
    return Stage(KEY, TITLE, numbers, series, facts(numbers, series, month), laid_out, assumed, cautions(numbers),
                 _missing(pond, known))


def find(pond: Pond, stages: Mapping[str, Stage]) -> list[Finding]:
    """Say whether the filter is enough, what is missing, and what else to mend."""
    return findings(pond, stages[KEY])


# ------------------------------------------------------------------------------------------------------------- what is known


def _know(pond: Pond, so_far: Mapping[str, Stage]) -> _Known:
    fish, plumbing = (so_far.get(key, Stage(key, "")) for key in ("fish", "plumbing"))
    hours = _sun_hours(so_far)
    if hours is None and pond.pump is not None:
        hours = Q(np.full(12, float(pond.pump.hours_per_day.m_as(unit("h/d")))), "h/d")
    protein, feeds, temperature = pond.fish.diet_protein if pond.fish else None, None, fish.series.get("water_temperature")
    if (typical := fish.series.get("feed")) is not None:
        feeds = Q(np.array([in_unit(fish.series.get(key, typical), unit("g/d")) for key in ("feed_low", "feed", "feed_high")]), "g/d")
    read = [float(r.ph.m) for r in pond.readings if r.ph is not None]
    return _Known(
        feeds, protein, None if protein is None else _factor(protein), _ph(max(read), *_aired(pond)) if read else None,
        min(read, default=None), temperature, _warmer(pond, temperature),
        _flow(plumbing) if pond.pump else None, hours,
        load("media")[pond.filter.media] if pond.filter else None, bool(pond.filter and not pond.filter.solids_filter),
    )


def _flow(plumbing: Stage) -> Number | None:
    """Take the flow from the stage plumbing; where both pump and line are known and it gives none, the pump cannot lift the water."""
    if "flow" not in plumbing and {"lift", "pump_power"} <= plumbing.numbers.keys():
        return given("flow", "Flow that the pump gives through this line", "L/min", Q(0.0, "L/min"))
    return plumbing.numbers.get("flow")


def _sun_hours(so_far: Mapping[str, Stage]) -> Quantity | None:
    sun = supply(so_far)
    return None if sun is None else sun.series.get("pump_hours")


def _ph(read: float, aired: float, limed: bool) -> Coefficient:
    highest, sources = Q(max(read, aired), "-"), ("PlummerBusenberg1982", *(coefficients()["lime_index"].sources if limed else ()))
    return Coefficient("ph", "how far the water airs", Q(read, "-"), Q(read, "-"), highest, "-", sources, False, "")


def _aired(pond: Pond) -> tuple[float, bool]:
    """Work out the highest pH to which a water that was read comes once it has aired (0 where nobody can), and whether lime may drop."""
    whole = [r for r in pond.readings if r.ph is not None and readings.can_air(r)]
    if not whole:
        return 0.0, False
    lime = [readings.calcium(pond, r) for r in whole]
    columns = ([r.alkalinity for r in whole], [Q(0.0, "mg/L") if c is None else c.low for c in lime])
    alkalinity, calcium = (Q(np.array([in_unit(value, unit("mg/L")) for value in column]), "mg/L") for column in columns)
    warmth, air = Q(np.array([in_unit(r.temperature, unit("degC")) for r in whole]), "degC"), climate.pressure(pond)
    try:
        aired = readings.aired_ph(alkalinity, warmth, air)
        limed = readings.drops_lime(aired, alkalinity, warmth, calcium, coefficients()["lime_index"].high)
        return float((readings.aired_ph(alkalinity, warmth, air, calcium) if limed else aired).m.max()), limed
    except QuantityError:  # no fresh water holds so much; the water's own stage says so
        return 0.0, False


def _warmer(pond: Pond, monthly: Quantity | None) -> float:
    """Return how many degrees the readings lie above their month's mean, at most; 0 where none is warmer."""
    if monthly is None:
        return 0.0
    means, above = in_unit(monthly, unit("degC")), [0.0]
    for reading in pond.readings:
        if reading.temperature is not None:
            month = moment(reading.when)[0].month
            above.append(float(in_unit(reading.temperature, unit("degC")) - means[month - 1]))
    return max(above)


def _missing(pond: Pond, known: _Known) -> tuple[str, ...]:
    line = lacking(pond)
    unknown = [name for name, there in (("[fish]", pond.fish), ("[place]", pond.place)) if there is None]
    wishes = (
        (known.feeds is None, f"{' and '.join(unknown) or '[fish] and [place]'}, for the feed of each month"),
        (known.feeds is not None and known.protein is None, "fish.diet_protein from the feed's label, for the ammonia in it"),
        (known.ph is None, "[[readings]] with ph, read on a bright afternoon, for the ammonia that the water may hold"),
        (known.temperature is None and known.feeds is not None, "[place], for the water's temperature in each month"),
        (pond.filter is None, "[filter] with container, media and media_volume, to say whether it is enough"),
        (pond.filter is not None and not known.runs, f"{line}, for the flow through the filter"),
    )
    return tuple(f"needs {what}" for wanted, what in wishes if wanted)


# ------------------------------------------------------------------------------------------------------- one chain for every month


@dataclass
class _Chain:
    """All that was worked out, part by part: arrays of shape (tries, 12), and the formulas that made them.

    The tries are those of :func:`results.tries`: row 0 typical, row 1 cautious. The groups of coefficients stand in such an order that the
    first rows are the tries of a number that hangs on the first groups only.
    """

    parts: dict[str, Quantity]
    uses: dict[str, list]

    def work(self, name: str, compute, *before: str) -> Quantity:
        with tracing() as uses:
            self.parts[name] = compute()
        self.uses[name] = [*(u for part in before for u in self.uses[part]), *uses]
        return self.parts[name]

    def tell(self, c: Mapping[str, Quantity], *names: str) -> list[Quantity]:
        """Give parts for a number whose coefficients have so many rows, and let its trace know what made them.

        The marks of twelve months stay behind: the number takes those of the deciding month from others.
        """
        rows = len(next(iter(c.values())))
        with tracing() as uses:
            uses.extend(u._replace(extrapolations=()) for name in names for u in self.uses[name])
        return [self.parts[name][:rows] for name in names]


def _together(ends: Mapping[str, Mapping[str, End]], *groups: str) -> dict[str, End]:
    return {name: end for group in groups or ends for name, end in ends[group].items()}


def _ends(known: _Known) -> dict[str, dict[str, End]]:
    """Gather the coefficients on which sources disagree, each with the end that is cautious for the filter, by what they act on."""
    c, found = coefficients(), {"water": {}, "rate": {}, "load": {}, "filter": {}}
    if known.loaded:
        found["load"] = {"factor": End(known.factor, "high")} | ({} if known.weighed else {"feed": End(_FEED, "high")})
    if known.limited:
        found["water"] = {"limit": End(c["unionized_ammonia_limit"], "low"), "ceiling": End(c["ammonia_ceiling"], "low")}
        if known.ph.high != known.ph.low:
            found["water"]["ph"] = End(known.ph, "high")
        found["rate"] = {"model": End(_MODEL, "low"), "theta": End(_choice("theta", c["nitrification_theta"].label,
                                                                              c["nitrification_theta"].sources), "low")}
        if known.dirty:
            found["rate"]["organic"] = End(c["organic_load_factor"], "low")
        if known.lowest_ph < _NEUTRAL:
            found["rate"]["acid"] = End(_acid(known.lowest_ph), "low")
    if known.sized:
        found["filter"] = {"ssa": _surface_end(known), "flow": _end(known.flow, "low"), "per_pass": End(c["removal_per_pass"], "low"),
                           "usable": End(c["usable_oxygen"], "low")}
    return found


def _factor(protein: Quantity) -> Coefficient:
    """Put three published rules side by side as ammonia, as N, from each gram of protein in this feed."""
    share, rules = float(in_unit(protein, unit("-"))), ("TimmonsEbeling2010", "FAO589", "ExtensionAmmonia")
    typical, *others = (n.tan_from_feed.plain(1.0, share, method=rule) / share for rule in rules)
    low, high = min(typical, *others), max(typical, *others)
    return Coefficient("tan_factor", "ammonia from each gram of protein", Q(low, "-"), Q(typical, "-"), Q(high, "-"), "-", rules, True, "")


def _acid(ph: float) -> Coefficient:
    """Say what low pH leaves of the rate: as bacteria afloat, as a film, or nothing lost as in a film that had months to get used to it."""
    low, typical = (Q(float(n.ph_factor.plain(ph, method)), "-") for method in ("EPA1975", "Villaverde1997"))
    return Coefficient("acid", f"a pH as low as {round_text(ph)}", low, typical, Q(1.0, "-"), "-",
                       ("EPA1975", "Villaverde1997", "TarreGreen2004"), True, "")


def _surface_end(known: _Known) -> End:
    media = known.media
    return End(Coefficient("ssa", f"the specific surface area of {media['name'].split(',')[0]}", media["ssa_low"], media["ssa_typical"],
                           media["ssa_high"], "m2/m3", tuple(media["source"].split()), media["status"] == "memory", ""), "low")


def _end(found: Number, cautious: str) -> End:
    return End(as_coefficient(found, found.key), cautious)


def _chain(pond: Pond, known: _Known, c: Mapping[str, Quantity]) -> _Chain:
    """Work out all that is known, for coefficients of shape (n,)."""
    c, found = {name: q[:, None] for name, q in c.items()}, _Chain({}, {})
    if known.loaded:
        found.work("tan_load", lambda: _load(known, **c))
    if known.limited:
        tan = found.work("design_tan", lambda: _design_tan(known, **c))
        rate = found.work("removal", lambda: _removal(known, tan, **c), "design_tan")
    if known.sized:
        volume = pond.filter.media_volume
        found.work("surface", lambda: b.surface_capacity(rate, b.media_area(volume, c["ssa"]), known.hours), "removal")
        found.work("flow", lambda: b.flow_capacity(c["flow"], tan, c["per_pass"], known.hours), "design_tan")
        found.work("oxygen", lambda: b.oxygen_capacity(c["flow"], c["usable"], known.hours))
        found.work("capacity", lambda: b.filter_capacity(*(found.parts[name] for name in LIMITS)), *LIMITS)
    return found


def _load(known: _Known, factor, feed=None, **_) -> Quantity:
    feeds = known.feeds[1] if feed is None else Q(known.feeds.m[feed.m[:, 0].astype(int)], "g/d")
    return n.tan_from_feed(feeds, known.protein, factor)


def _design_tan(known: _Known, limit, ceiling, ph=None, **_) -> Quantity:
    """Return the ammonia at which the un-ionized part meets its limit, or the ceiling where that is less."""
    most = tan_at_limit(limit, known.ph.typical if ph is None else ph, known.afternoon).m
    return Q(np.minimum(most, in_unit(ceiling, unit("mg/L"))), "mg/L")


def _removal(known: _Known, tan: Quantity, model, theta, organic=1.0, acid=1.0, **_) -> Quantity:
    """Return what 1 m² converts by the model and at the temperature factor (0 the slowest, 1 typical, 2 the fastest) that are tried.

    Cool water slows the bacteria most where the factor is large, water warmer than the experiments where it is small.
    """
    thetas = Q(np.array([coefficients()["nitrification_theta"].at(end).m for end in _ENDS]).reshape(3, 1, 1), "-")
    rates = np.array([n.areal_removal(tan, known.temperature, thetas, organic, acid, method).m for method in _MODELS])
    rates = np.array([rates.min(axis=1), rates[:, 1], rates.max(axis=1)])
    rates = np.array([rates.min(axis=1), rates[:, 1], rates.max(axis=1)])  # by model, by factor, by try, by month
    return Q(rates[model.m[:, 0].astype(int), theta.m[:, 0].astype(int), np.arange(len(model.m))], "g/m2/d")


def _deciding_month(known: _Known, chain: _Chain) -> int:
    """Choose, among the months of feeding, the one in which the cautious end leaves the least room."""
    if not known.loaded:
        return int(known.temperature.m.argmax()) if known.limited else 0
    ammonia, parts = chain.parts["tan_load"].m[1], chain.parts
    room = parts["capacity"].m[1] if "capacity" in parts else parts["removal"].m[1] if "removal" in parts else np.ones(12)
    return int(np.argmax(np.where(ammonia > 0, ammonia / np.maximum(room, 1e-9), -1.0)))


def _series(known: _Known, chain: _Chain) -> dict[str, Quantity]:
    """Gather what pictures and later stages draw on: cautious by its plain name, typical beside it."""
    kept = {name: q for name, q in chain.parts.items() if name != "removal"}
    found = {name: q[1] for name, q in kept.items()} | {f"{name}_typical": q[0] for name, q in kept.items()}
    if known.loaded and known.sized:
        found["feed_allowed"] = n.feed_for_tan(found["capacity"], known.protein, known.factor.high)
    return found if known.hours is None else found | {"pump_hours": known.hours}


def _area(known: _Known, load: Quantity, removal: Quantity) -> Quantity:
    """Return the surface that the month of feeding asks for which needs most of it; arrays of shape (n, 12) in, shape (n,) out."""
    hours = Q(24.0, "h/d") if known.hours is None else known.hours[known.fed]
    return Q(b.area_needed(load[:, known.fed], removal[:, known.fed], hours).m.max(axis=1), "m2")


def _can_be_sized(known: _Known, chain: _Chain, row: int) -> bool:
    """Tell whether there is a surface that would do: bacteria convert something, and water comes, in every month of feeding."""
    if not (known.loaded and known.limited) or chain.parts["removal"].m[row, known.fed].min() < NOTHING:
        return False
    return known.hours is None or bool(in_unit(known.hours, unit("h/d"))[known.fed].min() >= 0.01)


def _typical_area(known: _Known, chain: _Chain) -> Quantity | None:
    return _area(known, chain.parts["tan_load"][:1], chain.parts["removal"][:1])[0] if _can_be_sized(known, chain, 0) else None


def _cover(known: _Known, load: Quantity, capacity: Quantity) -> Quantity:
    """Return how many times the capacity holds the ammonia, in the month of feeding with the least room; shape (n,)."""
    return Q((capacity.m[:, known.fed] / load.m[:, known.fed]).min(axis=1), "-")


# ------------------------------------------------------------------------------------------------------- the numbers of one month


def _month_numbers(pond: Pond, so_far: Mapping[str, Stage], known: _Known, chain: _Chain, ends, month: int) -> list[Number]:
    numbers, when, decides = [], MONTH[month], {"decides": True, "stacked": True}
    tan_load = removal = None

    def of_month(work):
        then = replace(known, temperature=None if known.temperature is None else known.temperature[month : month + 1],
                       feeds=None if known.feeds is None else known.feeds[:, month : month + 1])
        return lambda **c: work(then, **{name: q[:, None] for name, q in c.items()})[:, 0]

    if known.loaded:
        tan_load = number(
            "tan_load", f"Ammonia from the feed, as N (TAN), in {when}", "g/d", of_month(_load), **decides, **ends["load"],
            note="" if known.weighed else "nobody weighed the feed: it is guessed from the length of the fish and the warmth")
        numbers.append(tan_load)
    if known.limited:
        design = number(
            "design_tan", f"Ammonia that the water may hold, as N (design TAN), in {when}", "mg/L", of_month(_design_tan), **decides,
            **ends["water"], note=f"on a warm afternoon of {show(known.afternoon[month], 'degC')} at pH {_ph_words(known.ph)}")
        # no wider band outside 15 to 27 degC: the range of theta is what is not known there
        removal = number(
            "removal", "Ammonia that 1 m² of media converts at that TAN", "g/m2/d",
            of_month(lambda known, **c: _removal(known, _design_tan(known, **c), **c)), **decides, widen=False,
            **_together(ends, "water", "rate"))
        numbers += [_design_ph(known.ph), design, removal]
    if known.sized:
        numbers += _capacity_numbers(pond, known, month, design, removal)
    if tan_load is not None and removal is not None:
        numbers += [_cover_number(known, chain, ends, removal)] if known.sized else []
        numbers += _media_numbers(pond, known, chain, ends, removal)
        numbers += _helpers(pond, so_far, removal)
    return numbers


def _ph_words(ph: Coefficient) -> str:
    high, typical = round_text(ph.high.m), round_text(ph.typical.m)
    return high if high == typical else f"{high}, typically {typical}"


def _design_ph(ph: Coefficient) -> Number:
    label = "pH at which the limit for ammonia is taken"
    if ph.high == ph.low:
        return given("design_ph", label, "-", ph.typical, "the highest that was read")
    return number("design_ph", label, "-", lambda ph: ph, decides=True, ph=End(ph, "high"),
                  note="that of this water once it has aired; typical is the highest that was read")


def _capacity_numbers(pond: Pond, known: _Known, month: int, design: Number, removal: Number) -> list[Number]:
    hours, volume, c = known.hours[month], pond.filter.media_volume, coefficients()
    flow, tan = _end(known.flow, "low"), _end(design, "low")
    surface = number(
        "surface_capacity", "What the surface of the media can convert", "g/d", decides=True, stacked=True,
        compute=lambda removal, ssa: b.surface_capacity(removal, b.media_area(volume, ssa), hours),
        removal=_end(removal, "low"), ssa=_surface_end(known))
    carried = number(
        "flow_capacity", "What the flow brings in, and loses in one pass", "g/d", decides=True, stacked=True,
        compute=lambda flow, tan, per_pass: b.flow_capacity(flow, tan, per_pass, hours),
        flow=flow, tan=tan, per_pass=End(c["removal_per_pass"], "low"))
    oxygen = number(
        "oxygen_capacity", "What the oxygen in the water allows", "g/d", decides=True, stacked=True,
        compute=lambda flow, usable: b.oxygen_capacity(flow, usable, hours), flow=flow, usable=End(c["usable_oxygen"], "low"),
        note="a trickling filter takes more from the air" if pond.filter.operation == "trickling" else "")
    limits = {"surface": carry(surface, removal), "flow": carry(carried, known.flow, design), "oxygen": carry(oxygen, known.flow)}
    capacity = carry(number(
        "capacity", "What the filter can convert: the smallest of the three", "g/d", decides=True, stacked=True,
        compute=lambda surface, flow, oxygen: b.filter_capacity(surface, flow, oxygen),
        note=f"the pump runs {round_text(float(hours.m_as(unit('h/d'))))} h a day",
        **{name: _end(limit, "low") for name, limit in limits.items()}), *limits.values())
    if not known.loaded:
        return [*limits.values(), capacity]
    feed = number(
        "feed_allowed", f"Feed a day that the filter can carry in {MONTH[month]}", "g/d", decides=True, stacked=True,
        compute=lambda capacity, factor: n.feed_for_tan(capacity, known.protein, factor),
        capacity=_end(capacity, "low"), factor=End(known.factor, "high"))
    return [*limits.values(), capacity, carry(feed, capacity)]


def _cover_number(known: _Known, chain: _Chain, ends, removal: Number) -> Number:
    """Hold the capacity against the ammonia with all that is uncertain in either, at once."""
    found = number(
        "cover", "How many times the filter covers the ammonia, in the month with the least room", "-", decides=True, stacked=True,
        compute=lambda **c: _cover(known, *chain.tell(c, "tan_load", "capacity")), likely=True, **_together(ends))
    low, high = (show(q, "-", digits=2) for q in found.likely)
    return replace(carry(found, known.flow, removal), note=f"{low} to {high} if the errors are independent of each other")


def _media_numbers(pond: Pond, known: _Known, chain: _Chain, ends, removal: Number) -> list[Number]:
    """Size the media; where the cautious removal is nothing, no number can be given and a finding says so."""
    if not _can_be_sized(known, chain, 1):
        return []
    area = carry(number(
        "area_needed", "Surface that the bacteria need, in the month that asks for most", "m2", decides=True, stacked=True,
        compute=lambda **c: _area(known, *chain.tell(c, "tan_load", "removal")), **_together(ends, "water", "rate", "load")), removal)
    if known.media is None:
        return [area]
    needed = carry(number(
        "media_needed", f"{known.media['name'].split(',')[0].capitalize()} needed", "L", decides=True, stacked=True,
        compute=b.media_volume, area=_end(area, "high"), surface=_surface_end(known)), area)
    gap = needed.value - pond.filter.media_volume
    return [area, needed, given("media_missing", "Media missing", "L", gap)] if gap.m > 0 else [area, needed]


def _helpers(pond: Pond, so_far: Mapping[str, Stage], removal: Number) -> list[Number]:
    """Show what plants and bare surfaces could add; the plan counts on neither."""
    found = []
    if pond.plants is not None:
        row = load("plant_uptake")[pond.plants.kind]
        rate = Coefficient("uptake", f"uptake by {row['name']}", row["low"], row["typical"], row["high"], "g/m2/d", (row["source"],),
                           row["status"] == "memory", "")
        found.append(number(
            "plant_share", "Nitrogen that the plants can take up while they grow", "g/d", lambda rate: plant_uptake(pond.plants.area, rate),
            stacked=True, rate=End(rate, "low"), note="not counted on"))
    survey = so_far.get("survey", Stage("survey", ""))
    if (wet := survey.numbers.get("wetted_area") or survey.numbers.get("surface_area")) is not None:
        walls = number(
            "wall_share", "Ammonia that bare walls and bottom could convert", "g/d",
            lambda removal: b.surface_capacity(removal, wet.typical), stacked=True, removal=_end(removal, "low"),
            note="not counted on: the water there hardly moves, and silt covers it")
        found.append(carry(walls, removal))
    return found


def _water_numbers(pond: Pond, so_far: Mapping[str, Stage], known: _Known) -> list[Number]:
    """Give what the flow and the container alone tell."""
    found, survey = [], so_far.get("survey", Stage("survey", ""))
    if known.flow is not None and known.flow.low.m > 0:
        flow = _end(known.flow, "low")
        if pond.filter is not None and pond.filter.plan_area is not None:
            found.append(number(
                "hydraulic_loading", "Hydraulic loading: water over the area of the filter", "m3/m2/d",
                lambda flow: b.hydraulic_loading(flow, pond.filter.plan_area), stacked=True, flow=flow))
        if "volume" in survey:
            found.append(number(
                "turnover", "Time to pump the pond's volume once", "h",
                lambda flow: b.turnover_time(survey["volume"].typical, flow), stacked=True, flow=flow))
    if known.media is not None and pond.vessel is None:  # else the vessel's own chapter weighs it, layer by layer
        found.append(number("full_mass", "Mass of the container with its media, full of water", "kg", lambda: _full_mass(pond, known.media),
                            note="without the container itself"))
    return found


def _full_mass(pond: Pond, media: dict) -> Quantity:
    return b.full_mass(pond.filter.container, pond.filter.media_volume, media["void_fraction"], media["bulk_density"])
