"""A plan made by hand: every shape a result can have, with numbers that a test can expect."""
from __future__ import annotations

from pondwright.pond.file import parse_pond
from pondwright.pond.plan import Plan
from pondwright.pond.results import Assumption, Finding, Grid, Number, Stage, Urgency, gather, months
from pondwright.units import Extrapolation, Q

NASTY = "<script>alert(1)</script> [bold]$(rm -rf ~)[/bold] {{ 7 * 7 }} :fish: \x1b[31m\u202eevil & `id`"
SHAPE = '[pond.shape]\nkind = "rectangle"\nlength = "4 m"\nwidth = "2.5 m"\ndepth = "0.8 m"\n'


def pond(name: str = "Quarry puddle (invented)", more: str = ""):
    import tomlkit

    return parse_pond(f"[pond]\nname = {tomlkit.item(name).as_string()}\n{SHAPE}{more}")


def number(key="capacity", label="Filter capacity", unit="g/d", low=2.0, typical=4.0, high=9.0, **rest) -> Number:
    value = low if rest.get("decides") else typical
    return Number(key, label, unit, *(Q(v, unit) for v in (value, typical, low, high)), **rest)


OUTSIDE = Extrapolation("nitrogen.some_rate", "temperature", "3 degC", "8 to 24 degC", ("GUM",))


def made(name: str = "Quarry puddle (invented)", more: str = "") -> tuple[Plan, tuple[Finding, ...]]:
    volume = Number("volume", "Volume of water", "L", *(Q(8000.0, "L"),) * 4, formulas=("geometry.prism_volume",), sources=("Geometry",))
    warmest = Number("temperature", "Warmest water", "degC", *(Q(21.5, "degC"),) * 4)
    water = Stage("survey", "The pond and its water", {"volume": volume, "temperature": warmest},
                  series={"feed": months(range(12), "g/d")}, cautions=("Water can drown <anyone>.",))
    capacity = number(decides=True, mover="the nitrification rate", note="in the peak month", unverified=("organic load factor",),
                      extrapolated=(OUTSIDE,), sources=("GUM", "AH590"))
    media = Grid("Media compared", ("Media", "Volume", "Note"), ("", "L", ""),
                 (("lava rock", Q(160.0, "L"), "heavy"), ("foam", None, "[clogs]")))
    filtering = Stage("filter", "The filter", {"capacity": capacity}, facts={"binds": "oxygen"}, grids=(media,),
                      assumptions=(Assumption("Half of the surface is wet.", ("Practice",), True),))
    missing = Stage("power", "Sun and electricity", missing=("needs [power] with voltage and a panel",))
    short = Finding("filter.short", Urgency.DANGER, "The filter takes 2 g/day; 5 g/day come in.", "Feed less or add media.",
                    ("filter.capacity",))
    rough = Finding("survey.rough", Urgency.NOTE, "One reading only.", "Take five.")
    return Plan(pond(name, more), {s.key: gather(s) for s in (water, filtering, missing)}), (short, rough)
