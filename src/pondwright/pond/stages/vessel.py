"""The filter vessel as it will be built: what is in it, what it weighs, what the water meets on its way, what a stop of the pump does."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from ...science import biofilter as b
from ...science import pump as u
from ...science import solids as d
from ...science import spreader as s
from ...science import vessel as v
from ...tables import Coefficient, coefficients
from ...units import Q, Quantity, in_unit, show, unit
from .. import held, standing
from ..model import Pond
from ..night import as_coefficient, carry
from ..pipework import EVEN_LIMIT, curve_of, hole_ratio, holes_left, lacking, line_of
from ..results import End, Finding, Number, Stage, by_key, given, number
from ..settling import settled
from ..strata import Built, built
from ..vessel import Spreader
from ..vessel_words import RIM_SPACE, assumptions, cautions, facts, findings, layers

KEY, TITLE = "vessel", "The filter vessel"
NEEDS = "needs [vessel] with shape, its inside sizes, height and [[vessel.layers]]"
NEEDS_OUTLETS = "needs [[vessel.outlets]], for the level at which water stays when the pump stops"
CLOGGED = 1 / 3  # of the spreader's holes, in the question what changes when they clog
SPREAD = 0.10  # the first hole may give so much less than the last; common practice
IN_THE_OPEN = "takes no head from the pump while the line ends above it: count the lift up to that water"
_MM = unit("mm")


def plan(pond: Pond, so_far: Mapping[str, Stage]) -> Stage:
    """Plan the vessel as far as the pond file and the earlier stages tell."""
    if pond.vessel is None:
        return Stage(KEY, TITLE, missing=(NEEDS,), cautions=cautions({}))
    inside = built(pond.vessel)
    flow = so_far["plumbing"].numbers.get("flow") if "plumbing" in so_far and pond.pump else None
    flow = flow if flow is not None and flow.low.m > 0 else None
    numbers = [
        *_inside(inside),
        *_water(pond, inside),
        *_pace(pond, inside, flow, so_far),
        *_solids(inside, so_far),
        *_spreader(pond, flow, so_far),
        *_stop(pond, inside, so_far),
    ]
    found = by_key(*numbers)
    wishes = (
        (flow is None, f"needs {lacking(pond)}, for the flow through the vessel"),
        (inside.rest is None, NEEDS_OUTLETS),
        ("oxygen_lasts" not in found and bool(inside.media), "needs [fish] and [place], for what uses oxygen when the pump stops"),
    )
    return Stage(
        KEY,
        TITLE,
        found,
        _heights(inside),
        facts(pond, found),
        (layers(inside.strata),),
        assumptions(pond, found),
        cautions(found),
        tuple(words for wanted, words in wishes if wanted),
    )


def find(pond: Pond, stages: Mapping[str, Stage]) -> list[Finding]:
    """Say what would not work in this vessel, or not for long."""
    return [] if pond.vessel is None else findings(pond, stages)


def _heights(inside: Built) -> dict[str, Quantity]:
    """Give the heights of the layers' edges from the top down, shape (layers + 1,), for pictures."""
    return {"edges": Q(np.array([inside.strata[0].top, *(x.bottom for x in inside.strata)]), "m")}


# ------------------------------------------------------------------------------------------------------------- the vessel itself


def _inside(inside: Built) -> list[Number]:
    area, edge, cone = Q(inside.area, "m2"), Q(inside.rim, "m"), Q(inside.cone, "m")
    found = [
        given("plan_area", "Area of the vessel, seen from above", "m2", area),
        number("room", "Room in the vessel up to its rim", "L", lambda: v.filled_volume(edge, area, cone)),
    ]
    if not inside.media:
        return found
    volume = Q(inside.media_volume, "m3")
    ends = [Q(sum(x.volume * float(x.row[f"ssa_{end}"].m) for x in inside.media) / volume.m, "m2/m3") for end in ("low", "typical", "high")]
    sources = tuple(dict.fromkeys(key for x in inside.media for key in x.row["source"].split()))
    recalled = any(x.row["status"] == "memory" for x in inside.media)
    surface = Coefficient("ssa", "specific surface area of the media", *ends, "m2/m3", sources, recalled, "")
    top = max(x.top for x in inside.strata if x.row is not None)
    left = inside.room(max(inside.rim - RIM_SPACE.m / 100, top)) - inside.room(top)
    return [
        *found,
        given("media_volume", "Media in the layers", "L", volume),
        number(
            "media_surface",
            "Surface of these media",
            "m2",
            lambda ssa: b.media_area(volume, ssa),
            decides=True,
            stacked=True,
            ssa=End(surface, "low"),
        ),
        given("media_fit", "Media that still fit", "L", Q(left, "m3"), f"{show(RIM_SPACE, 'cm')} stay free below the rim"),
    ]


def _water(pond: Pond, inside: Built) -> list[Number]:
    """Give the water that stays when the pump has stopped, and what the stand carries dry and full to the rim."""
    dry, alone = held.dry_mass(pond, inside), "" if pond.vessel.empty_mass else held.ALONE
    full = Q(inside.water_below(inside.rim) + held.soaked(inside), "m3")
    masses = [
        given("mass_dry", "Mass of the vessel with dry media", "kg", dry, alone),
        number("mass_flooded", "Mass that the stand carries if the vessel fills to its rim", "kg",
               lambda: v.mass_on_stand(dry, full), note=alone),
    ]
    return masses if inside.rest is None else [_stays(inside), *masses]


def _stays(inside: Built) -> Number:
    stays = "Water that stays in the vessel when the pump has stopped"
    if not held.above(inside, inside.rest):
        return given("volume_drained", stays, "L", Q(inside.water_below(inside.rest), "m3"), "up to the lowest outlet")

    def kept(film: Quantity) -> Quantity:
        held.through_the_doors(inside, inside.rest, film[0])
        return Q(np.array([held.water(inside, inside.rest, thick) for thick in in_unit(film, _MM).tolist()]), "m3")

    note, film = "below the lowest outlet, and the film on the media above it", End(coefficients()["film_thickness"], "high")
    return number("volume_drained", stays, "L", kept, stacked=True, film=film, note=note)


# ------------------------------------------------------------------------------------------------------ water through the media


def _pace(pond: Pond, inside: Built, flow: Number | None, so_far: Mapping[str, Stage]) -> list[Number]:
    """Say how much water falls on a square metre and how long it stays."""
    if flow is None:
        return []
    flows, area = End(as_coefficient(flow, "flow"), "low"), Q(inside.area, "m2")
    loading = number(
        "hydraulic_loading",
        "Hydraulic loading: water over the area of the vessel",
        "m3/m2/d",
        lambda flow: b.hydraulic_loading(flow, area),
        stacked=True,
        flow=flows,
    )
    found = [loading]
    if inside.media:
        volume = Q(inside.media_volume, "m3")
        found.append(
            number(
                "contact_time",
                "Empty-bed contact time of the media",
                "min",
                lambda flow: v.contact_time(volume, flow),
                stacked=True,
                flow=flows,
            )
        )
    if pond.vessel.flow == "up":
        found.append(settled(flow, area, so_far))
    return [carry(one, flow) for one in found]


def _solids(inside: Built, so_far: Mapping[str, Stage]) -> list[Number]:
    """Say how much dirt the feed of the fullest month makes, and how soon the mats are full."""
    feed = so_far["fish"].series.get("feed") if "fish" in so_far else None
    if feed is None or not np.any(feed.m > 0):
        return []
    most, c = feed[int(feed.m.argmax())], coefficients()
    solids = number(
        "solids",
        "Dry dirt from the feed of the fullest month",
        "g/d",
        lambda share: d.solids_from_feed(most, share),
        decides=True,
        stacked=True,
        share=End(c["solids_share"], "high"),
    )
    mats = [x for x in inside.strata if x.kind == "mat"]
    if not mats:
        return [solids]
    litres = Q(1000 * sum(x.volume for x in mats), "L")
    void = sum(x.void * x.volume for x in mats) / sum(x.volume for x in mats)

    def days(share, capture, fill, sludge) -> Quantity:
        return d.days_between_rinses(d.mat_capacity(litres, void, fill, sludge), d.solids_from_feed(most, share), capture)

    ends = {
        name: End(c[key], end)
        for name, key, end in (
            ("share", "solids_share", "high"),
            ("capture", "mat_capture", "high"),
            ("fill", "mat_fill", "low"),
            ("sludge", "sludge_solids", "low"),
        )
    }
    return [solids, number("rinse_days", "The mat is full after", "d", days, stacked=True, likely=True, **ends)]


# -------------------------------------------------------------------------------------------------------------- the spreader


def _spreader(pond: Pond, flow: Number | None, so_far: Mapping[str, Stage]) -> list[Number]:
    """Say what each hole gives, how even it is, and what changes when a third of the holes clog.

    The head of a drilled pipe is told with the line that ends in it; the water on a plate stands in the open and takes none from the pump.
    """
    sp = pond.vessel.spreader
    if sp is None:
        return []
    return [*_evenness(sp), *(() if flow is None else _plate(sp, flow.typical) if sp.kind == "plate" else _drilled(pond, flow, so_far))]


def _evenness(sp: Spreader) -> list[Number]:
    if sp.kind == "plate":
        return []
    label = "Most holes of this size for a spread of 10 %"
    found = [
        given("hole_spacing", "Distance from hole to hole", "cm", sp.length / sp.holes),
        number("holes_even", label, "-", lambda: s.most_holes(SPREAD, sp.hole, sp.inside_diameter)),
    ]
    if hole_ratio(sp).m >= EVEN_LIMIT:
        return found
    for key, label, share in (
        ("evenness", "The first hole gives, of what the last gives", 0.0),
        ("evenness_clogged", "The same with a third of the holes clogged", CLOGGED),
    ):
        found.append(number(key, label, "%", lambda share=share: Q(100 * float(s.first_to_last(hole_ratio(sp, share)).m), "%")))
    return found


def _plate(sp: Spreader, flow: Quantity) -> list[Number]:
    """Give the water that stands on a drilled plate."""
    left, words = holes_left(sp, CLOGGED), "Water that stands on the plate"
    return [
        given("hole_flow", "Flow through one hole", "L/min", flow / sp.holes),
        number("plate_water", words, "cm", lambda: s.hole_head(flow / sp.holes, sp.hole), note=IN_THE_OPEN),
        number("plate_water_clogged", f"{words} with a third of its holes clogged", "cm", lambda: s.hole_head(flow / left, sp.hole)),
    ]


def _drilled(pond: Pond, flow: Number, so_far: Mapping[str, Stage]) -> list[Number]:
    """Give the head and the flow of a drilled pipe once a third of its holes have clogged."""
    sp = pond.vessel.spreader
    found = [given("hole_flow", "Flow through one hole", "L/min", flow.typical / sp.holes)]
    if pond.plumbing is None or pond.pump is None:
        return found
    (line, _), curve = line_of(pond, so_far), curve_of(pond.pump)
    at = line.typical

    def falls_to() -> Quantity:
        k, water = line.loss("typical", at["bore"], CLOGGED), (Q(at["roughness"], "mm"), Q(at["viscosity"], "mm2/s"))
        return u.operating_flow(*curve, Q(at["bore"], "mm"), Q(line.lengths, "m"), Q(line.lift, "m"), k, *water)

    less = number("spreader_flow_clogged", "Flow with a third of the spreader's holes clogged", "L/min", falls_to)
    label = "Head that the spreader then takes"
    return [*found, less, number("spreader_head_clogged", label, "cm",
                                 lambda: s.manifold_head(less.value, sp.inside_diameter, hole_ratio(sp, CLOGGED)))]


# ------------------------------------------------------------------------------------------------------- when the pump stops


def _stop(pond: Pond, inside: Built, so_far: Mapping[str, Stage]) -> list[Number]:
    """Say how long the media live without flow, under water and drained, and how long the pump may stop at most."""
    if not inside.media:
        return []
    bed = standing.stopped(pond, so_far, standing.standing_water(inside))
    found = [] if bed is None else [standing.flooded(bed, (inside.drowned or 0.0) <= standing.MOSTLY)]
    if inside.drowned is None:
        return found
    top, film = inside.media[0], coefficients()["film_thickness"]
    slime = (v.film_water.plain(top.surface, float(film.at(end).m), top.void) for end in ("low", "typical", "high"))
    ends = [Q(min(held.clean(top) + share, top.void), "-") for share in slime]
    moisture = Coefficient("held", "water that the drained media hold", *ends, "-", (*film.sources, "SaezCarbonell1985"), True, "")
    moist = standing.drained(moisture)
    air = [] if bed is None else [standing.pores(bed, inside, top.void, moisture)]
    safe = standing.safe_stop(bed, moist, inside.drowned)
    return [*found, moist, *air, *(() if safe is None else (safe,))]
