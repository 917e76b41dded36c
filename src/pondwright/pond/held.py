"""The water that a vessel holds, standing between its media and clinging to them, and what its stand then carries."""

from __future__ import annotations

import functools

import numpy as np

from ..science import biofilter as b
from ..science import vessel as v
from ..tables import coefficients
from ..units import Q, Quantity, in_unit, unit
from .model import Pond
from .night import as_coefficient, carry
from .pipework import GRADES, graded
from .results import End, Number, number
from .strata import Built, Stratum, built

ALONE = "without the vessel itself"
METHODS = ("Nusselt1916", "BilletSchultes1999", "Stichlmair1989")
_COOL = 15.0  # degC, of the water that trickles
_KG, _L_MIN, _MM, _M = unit("kg"), unit("L/min"), unit("mm"), unit("m")


def dry_mass(pond: Pond, inside: Built) -> Quantity:
    """Return the mass of the dry media, with that of the vessel where the file has it."""
    own = pond.vessel.empty_mass
    return Q((0.0 if own is None else float(in_unit(own, _KG))) + sum(x.volume * x.bulk for x in inside.strata), "kg")


def soaked(inside: Built) -> float:
    """Return the water (m3) that the media themselves soak up."""
    return sum(x.volume * x.bulk * x.soaks for x in inside.strata) / 1000


def above(inside: Built, level: float) -> list[tuple[Stratum, float]]:
    """Return each mat and media layer with the part of it (m3) that lies above a level."""
    parts = ((x, x.volume - inside.part(x, level)) for x in inside.strata if x.row is not None)
    return [(x, part) for x, part in parts if part > 0]


def clean(x: Stratum) -> float:
    """Return the share of a drained layer that is water, without a film."""
    return v.static_holdup.plain(v.equivalent_diameter.plain(x.surface, x.void), x.void)


def water(inside: Built, level: float, film: float, trickling=None) -> float:
    """Return the water (m3) up to a level, in a film (mm) on what lies above it, and in what trickles there: a share for each layer."""
    found = inside.water_below(level)
    for x, part in above(inside, level):
        share = clean(x) + v.film_water.plain(x.surface, film, x.void) + (trickling(x) if trickling else 0.0)
        found += part * min(share, x.void)
    return found


def through_the_doors(inside: Built, level: float, film: Quantity) -> None:
    """Leave the trace of the formulas behind `water`; its loops use the plain ones."""
    v.filled_volume(Q(level, "m"), Q(inside.area, "m2"), Q(inside.cone, "m"))
    for x, _ in above(inside, level)[:1]:
        surface = Q(x.surface, "m2/m3")
        v.static_holdup(v.equivalent_diameter(surface, x.void), x.void), v.film_water(surface, film, x.void)


def running(pond: Pond, flow: Number, level: Number, siphon: str) -> list[Number]:
    """Give the water in the vessel while the pump runs, up to the running level, and what the stand then carries.

    `siphon` says what becomes of that level where a siphon starts.
    """
    inside = built(pond.vessel)
    loading = b.hydraulic_loading.plain(float(in_unit(flow.typical, _L_MIN)), inside.area)

    @functools.cache
    def share(method: str, surface: float, void: float) -> float:
        return v.running_holdup.plain(loading, surface, void, _COOL, method)

    top = above(inside, float(in_unit(level.typical, _M)))  # one equation for all layers: by its sum it is the low, middle or high one
    order = sorted(METHODS, key=lambda method: sum(part * share(method, x.surface, x.void) for x, part in top))
    whose = dict(zip(("low", "typical", "high"), order, strict=True))

    def litres(level: Quantity, **wetted: Quantity) -> Quantity:
        film, trickle = (wetted.get(name, Q(np.zeros(len(level)), in_)) for name, in_ in (("film", "mm"), ("trickle", "-")))
        rows = zip(in_unit(level, _M).tolist(), in_unit(film, _MM).tolist(), trickle.m.tolist(), strict=True)
        through_the_doors(inside, float(in_unit(level, _M)[0]), film[0])
        found = [water(inside, h, thick, lambda x, how=whose[GRADES[grade]]: share(how, x.surface, x.void)) for h, thick, grade in rows]
        return Q(np.array(found), "m3")

    wet = any(x.row is not None and x.top > float(in_unit(level.low, _M)) for x in inside.strata)
    ends = {"level": End(as_coefficient(level, "level"), "high")}
    if wet:
        ends["film"] = End(coefficients()["film_thickness"], "high")
        ends["trickle"] = End(graded("trickle", "water that runs over the media", METHODS, True), "high")
    note = "up to the level while it runs" + ("; above it the film on the media and the water that trickles" if wet else "")
    note += f"; {siphon}" if siphon else ""
    volume = number("volume_running", "Water in the vessel while the pump runs", "L", litres, stacked=True, note=note, **ends)
    dry, more = dry_mass(pond, inside), soaked(inside)
    mass = number("mass_running", "Mass that the stand carries while the pump runs", "kg",
                  lambda **c: v.mass_on_stand(dry, Q(litres(**c).m + more, "m3")), stacked=True,
                  note="" if pond.vessel.empty_mass else ALONE, **ends)
    return [carry(one, level) for one in (volume, mass)]
