"""The ways out of a vessel as its cut shows them: on which wall each is drawn, its outline, its name."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..pond.vessel import Outlet, Siphon, Vessel

_TURN = np.linspace(0, 2 * np.pi, 25)
_AIR = 0.3  # of a bore, between two stubs on one wall
_LONGEST = 35  # letters of a name with what it carries
LEFT, RIGHT, BACK, FLOOR = "left", "right", "back", "floor"


@dataclass(frozen=True)
class Drawn:
    """A way out where it is drawn; `x` (of the vessel's width, from its middle) for one in the floor or in the wall behind the cut."""

    outlet: Outlet
    wall: str
    x: float = 0.0


def placed(vessel: Vessel) -> list[Drawn]:
    """Put each outlet where no other one covers it: on the left wall, else on the right one, else in the wall behind."""
    taken = {LEFT: [], RIGHT: []}
    if vessel.siphon is not None and vessel.siphon.kind == "loop":
        taken[RIGHT].append((_cm(vessel.siphon.mouth), _cm(vessel.siphon.crest) + _cm(vessel.siphon.inside_diameter)))
    found: dict[str, Drawn] = {}
    floors = [outlet for outlet in vessel.outlets if outlet.kind == "floor"]
    for outlet, x in zip(floors, _spread(len(floors)), strict=True):
        found[outlet.name] = Drawn(outlet, FLOOR, x)
    behind = []
    for outlet in (outlet for outlet in vessel.outlets if outlet.kind != "floor"):
        low, high = _span(outlet)
        wall = next((wall for wall, spans in taken.items() if all(high < a or low > b for a, b in spans)), BACK)
        if wall == BACK:
            behind.append(outlet)
        else:
            taken[wall].append((low, high))
            found[outlet.name] = Drawn(outlet, wall)
    for outlet, x in zip(behind, _spread(len(behind)), strict=True):
        found[outlet.name] = Drawn(outlet, BACK, x)
    return [found[outlet.name] for outlet in vessel.outlets]


def named(drawn: list[Drawn], siphon: Siphon | None, scale: float, flows: list[str]) -> tuple[list, list]:
    """Return the heights (in the units shown; `scale` a centimetre) and names to write on the left and on the right of the vessel.

    `flows` says what each one carries, the siphon last; it is empty where nobody knows.
    """
    left, right, flows = [], [], iter(flows)
    for one in drawn:
        side = right if one.wall == RIGHT else left
        side.append((scale * _cm(one.outlet.height), _with(one.outlet.name, next(flows, ""))))
    if siphon is not None:
        left.append((scale * _cm(siphon.crest), _with(f"{siphon.kind} siphon's crest", next(flows, ""))))
    return left, right


def _with(name: str, flow: str) -> str:
    more = f", {flow}" if flow else ""
    return name[: _LONGEST - len(more)] + more


def outline_of(drawn: Drawn, across: float, scale: float, reach: float) -> list[tuple[float, float]]:
    """Return an outlet's outline: a stub of its true bore through the wall; an elbow with its open end, a floor pipe from below.

    `across` is the vessel's width at its height; outside it ends within `reach` of the wall.
    """
    outlet = drawn.outlet
    bore, axis = _cm(outlet.inside_diameter) * scale, _cm(outlet.height) * scale
    if drawn.wall == FLOOR:
        x = drawn.x * across
        return [(x - bore / 2, -2 * bore), (x + bore / 2, -2 * bore), (x + bore / 2, axis), (x - bore / 2, axis)]
    if drawn.wall == BACK:
        return list(zip(drawn.x * across + bore / 2 * np.cos(_TURN), axis + bore / 2 * np.sin(_TURN), strict=True))
    left = _on_the_left_wall(outlet, bore, axis, -across / 2, -across / 2 - min(3 * bore, reach), scale)
    return left if drawn.wall == LEFT else [(-x, y) for x, y in left]


def siphon_outlines(siphon: Siphon | None, across: float, scale: float) -> list[list[tuple[float, float]]]:
    """Return a bell over its standpipe, which goes down through the floor, or a loop up inside, over its crest and down outside."""
    if siphon is None:
        return []
    bore, crest, mouth = (_cm(q) * scale for q in (siphon.inside_diameter, siphon.crest, siphon.mouth))
    if siphon.kind == "bell":
        x, top = 0.25 * across, crest + 1.2 * bore
        bell = [(x - 1.1 * bore, mouth), (x - 1.1 * bore, top), (x + 1.1 * bore, top), (x + 1.1 * bore, mouth)]
        return [bell, [(x - bore / 2, -2 * bore), (x + bore / 2, -2 * bore), (x + bore / 2, crest), (x - bore / 2, crest)]]
    inner, outer, low, high = across / 2 - 1.5 * bore, across / 2 + 1.5 * bore, crest - bore / 2, crest + bore / 2
    return [[(inner - bore / 2, mouth), (inner - bore / 2, high), (outer + bore / 2, high), (outer + bore / 2, -2 * bore),
             (outer - bore / 2, -2 * bore), (outer - bore / 2, low), (inner + bore / 2, low), (inner + bore / 2, mouth)]]  # fmt: skip


def _on_the_left_wall(outlet: Outlet, bore: float, axis: float, wall: float, out: float, scale: float) -> list:
    low, high = axis - bore / 2, axis + bore / 2
    if outlet.kind == "hole":
        return [(wall - 0.2 * bore, low), (wall + 0.2 * bore, low), (wall + 0.2 * bore, high), (wall - 0.2 * bore, high)]
    x = wall + 1.2 * bore
    if outlet.mouth is None:
        return [(out, low), (x, low), (x, high), (out, high)]
    mouth = _cm(outlet.mouth) * scale
    end, other = (high, low) if mouth < axis else (low, high)
    return [(out, end), (x + bore, end), (x + bore, mouth), (x, mouth), (x, other), (out, other)]


def _span(outlet: Outlet) -> tuple[float, float]:
    """Return the heights (cm) that an outlet covers on its wall, with some air."""
    bore, axis = _cm(outlet.inside_diameter), _cm(outlet.height)
    ends = axis - bore / 2, axis + bore / 2, *(() if outlet.mouth is None else (_cm(outlet.mouth),))
    return min(ends) - _AIR * bore / 2, max(ends) + _AIR * bore / 2


def _spread(count: int) -> list[float]:
    """Return places left of the middle, where the feed comes down and a bell stands on the right."""
    return [-0.2] if count == 1 else np.linspace(-0.28, -0.08, count).tolist()


def _cm(quantity) -> float:
    return float(quantity.m_as("cm"))
