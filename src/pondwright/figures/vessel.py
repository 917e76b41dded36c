"""The filter vessel cut open, to scale: its layers, its ways out, and where the water stands."""

from __future__ import annotations

import itertools

import numpy as np
from matplotlib.collections import PolyCollection

from ..pond.plan import Plan
from ..pond.results import Stage
from ..pond.strata import Built, built
from ..units import Q, show, unit_for
from .base import BLACK, BLUE, GREY, PALE_BLUE, VERMILLION, Picture, roomy
from .ways import named, outline_of, placed, siphon_outlines

_MOST = 8  # layers
_WORDS = 12  # on either side
_HATCH = {"mat": "xxxx", "grid": "||||"}
_STEPS = (1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10)
_BLOCKED, _RUNNING, _REST = "one drain blocked", "running", "pump stopped"
_DASH = {_RUNNING: "-", _BLOCKED: "--", _REST: ":"}
_GAP = 0.075  # between two lines of words, as a share of the height
_LEAD = 0.12  # from the wall to the words, over that height
_ROOM = 0.78  # width of the vessel over that height, at most: the rest is for words
_WIDE = 1.6  # times as wide as there is room for: from there on heights are drawn twice as large as widths
_ABOVE, _BELOW = 0.24, 0.08  # room over and under the vessel, as a share of that height


class VesselPicture(Picture):
    """A cut through the middle: layers at their true thickness with their volumes, outlets, and up to three water levels.

    `blocked` fills the vessel up to the level with its largest drain blocked instead of the running level.
    """

    size = (7.6, 4.6)
    shows = "vessel.plan_area"
    blocked = False

    def build(self) -> list:
        self.axes = self.figure.add_axes((0.01, 0.02, 0.98, 0.96))
        self.axes.set_axis_off()
        self.water = self.axes.fill([0, 1, 1], [0, 0, 1], facecolor=PALE_BLUE, edgecolor="none", zorder=1)[0]
        look = {"facecolor": "none", "edgecolor": GREY, "linewidth": 0.8, "zorder": 2}
        self.layers = [self.axes.fill([0, 1, 1], [0, 0, 1], **look)[0] for _ in range(_MOST)]
        self.pipes = PolyCollection([], facecolors="white", edgecolors=BLACK, linewidths=1.2, zorder=4)
        self.axes.add_collection(self.pipes)
        (self.wall,) = self.axes.plot([], [], color=BLACK, linewidth=2.5, zorder=3)
        (self.spreader,) = self.axes.plot([], [], color=BLACK, linewidth=3, zorder=5)
        (self.drops,) = self.axes.plot([], [], color=BLUE, marker="v", markersize=5, linestyle="none", zorder=5)
        (self.leads,) = self.axes.plot([], [], color=GREY, linewidth=0.6, zorder=2)
        self.levels = {}
        for name, colour in ((_RUNNING, BLUE), (_BLOCKED, VERMILLION), (_REST, BLACK)):
            (self.levels[name],) = self.axes.plot([], [], color=colour, linestyle=_DASH[name], linewidth=2, zorder=6)
        self.right = [self.axes.text(0, 0, "", fontsize=9, va="center", ha="left", zorder=7) for _ in range(_WORDS)]
        self.left = [self.axes.text(0, 0, "", fontsize=9, va="center", ha="right", zorder=7) for _ in range(_WORDS)]
        self.feed = self.axes.text(0, 0, "", fontsize=9, va="center", ha="left", zorder=7)
        self.key = self.axes.text(0.995, 0.99, "", transform=self.axes.transAxes, ha="right", va="top", fontsize=8.5, zorder=7)
        self.note = self.axes.text(0.5, 0.5, "", transform=self.axes.transAxes, ha="center", va="center", fontsize=10, zorder=8)
        return [self.water, *self.layers, self.pipes, self.wall, self.spreader, self.drops, self.leads, *self.levels.values(), *self.right,
                *self.left, self.feed, self.key, self.note]  # fmt: skip

    def draw(self, plan: Plan, system: str) -> None:
        vessel = plan.pond.vessel
        self.note.set_text("" if vessel is not None else "no vessel is planned yet")
        for artist in self.moving[:-1]:
            artist.set_visible(vessel is not None)
        if vessel is None:
            return
        inside, scale = built(vessel), float(Q(1, "m").m_as(Q(1, unit_for("cm", system)).units))
        across = self._frame_to(inside, vessel, scale)
        self._draw_vessel(inside, vessel, across, scale)
        self._draw_levels(plan, inside, across, scale)
        self._write(plan, inside, across, scale, system)

    def _frame_to(self, inside: Built, vessel, scale: float) -> float:
        """Set equal scales both ways, of a low wide vessel heights twice as large; return the vessel's width in the units shown."""
        across, rim = scale * _across(vessel), scale * inside.rim
        self.larger = _larger(inside, vessel)
        self.tall = tall = roomy(max(rim, across / _ROOM / self.larger), _STEPS)
        self.wide = tall * self.larger  # what `tall` is upward, across
        wide = (1 + _ABOVE + _BELOW) * self.wide * (self.size[0] * 0.98) / (self.size[1] * 0.96)
        self.over = rim + (tall - rim) / 2 + 0.16 * tall  # where the feed comes from: a low vessel stands in the middle
        self.axes.set(ylim=(self.over - (1.16 + _BELOW) * tall, self.over + (_ABOVE - 0.16) * tall), xlim=(-wide / 2, wide / 2))
        return across

    def _shape(self, inside: Built, low: float, high: float, across: float, scale: float) -> np.ndarray:
        """Return the part of the cut between two heights (m) as a polygon, in the units shown."""
        heights = [low, *([inside.cone] if low < inside.cone < high else []), high]
        half = [across / 2 * _share(inside, h) for h in heights]
        heights = [scale * h for h in heights]
        return np.array([*zip(half, heights, strict=True), *((-w, h) for w, h in zip(half[::-1], heights[::-1], strict=True))])

    def _draw_vessel(self, inside: Built, vessel, across: float, scale: float) -> None:
        outline = self._shape(inside, 0.0, inside.rim, across, scale)
        start = len(outline) // 2
        self.wall.set_data(*np.roll(outline, -start, axis=0).T)
        for patch, stratum in itertools.zip_longest(self.layers, inside.strata[:_MOST]):
            patch.set_visible(stratum is not None)
            if stratum is not None:
                patch.set_xy(self._shape(inside, stratum.bottom, stratum.top, across, scale))
                patch.set_hatch(_HATCH.get(stratum.kind, _stones(stratum)))
        def wide(height) -> float:
            return across * _share(inside, float(height.m_as("m")))

        ways = [outline_of(one, wide(one.outlet.height), scale / 100, 0.7 * _LEAD * self.wide) for one in placed(vessel)]
        siphon = vessel.siphon
        bell = siphon is not None and siphon.kind == "bell"
        loops = [] if siphon is None else siphon_outlines(siphon, wide(siphon.mouth if bell else siphon.crest), scale / 100)
        self.pipes.set_verts([*ways, *loops])
        self._draw_spreader(inside, vessel, across, scale)

    def _draw_spreader(self, inside: Built, vessel, across: float, scale: float) -> None:
        """Draw what lets the water in: over the top, or under the media where it rises."""
        if vessel.flow == "up":
            y = scale * (inside.strata[-1].bottom + inside.strata[-1].top) / 2
            self.spreader.set_data([0, 0], [self.over, y])
            self.drops.set_data([0], [y])
            self.drops.set_marker("^")
            return
        top = max((x.top for x in inside.strata if x.row is not None), default=inside.rim)
        y = scale * (top + max(inside.rim - top, 0.0) * 0.6)
        span = 0.42 * across if vessel.spreader is not None else 0.0
        count = min(vessel.spreader.holes, 9) if vessel.spreader is not None else 1
        self.spreader.set_data([0, 0, -span, span], [self.over, y, y, y])
        self.drops.set_data(np.linspace(-span, span, count), np.full(count, y - 0.02 * self.tall))
        self.drops.set_marker("v")

    def _draw_levels(self, plan: Plan, inside: Built, across: float, scale: float) -> None:
        known = heights(plan)
        full = known.get(_BLOCKED if self.blocked else _RUNNING, known.get(_REST))
        self.water.set_visible(full is not None)
        if full is not None:
            self.water.set_xy(self._shape(inside, 0.0, min(max(full, 0.0), inside.rim), across, scale))
        for name, line in self.levels.items():
            height = known.get(name)
            line.set_visible(height is not None)
            if height is not None:
                y = scale * min(height, 1.03 * inside.rim)
                reach = self._shape(inside, 0.0, max(min(height, inside.rim), 1e-6), across, scale)[:, 0].max()
                line.set_data([-reach, reach], [y, y])

    def _write(self, plan: Plan, inside: Built, across: float, scale: float, system: str) -> None:
        """Write layers to the right and levels to the left, outlets where they are drawn, with thin lines to what they name."""
        layers = [(scale * (x.bottom + x.top) / 2, _layer_words(x, system)) for x in inside.strata[:_MOST]]
        known, likely = heights(plan), heights(plan, "typical")
        levels = [(scale * min(height, 1.03 * inside.rim), _level_words(name, height, likely[name], inside, system))
                  for name, height in known.items()]
        leads, (left, right) = [], named(placed(plan.pond.vessel), plan.pond.vessel.siphon, scale / 100, _flows(plan, system))
        for words, wanted, side in ((self.right, [*layers, *right][:_WORDS], 1), (self.left, [*levels, *left][:_WORDS], -1)):
            places = _apart([y for y, _ in wanted], _GAP * self.tall)
            for n, text in enumerate(words):
                text.set_text(wanted[n][1] if n < len(wanted) else "")
                if n < len(wanted):
                    x = side * (across / 2 + _LEAD * self.wide)
                    text.set_position((x, places[n]))
                    wall = side * across / 2 * _share(inside, wanted[n][0] / scale)
                    leads += [(wall, wanted[n][0]), (x - side * 0.01 * self.wide, places[n]), (np.nan, np.nan)]
        flow = plan.stages.get("plumbing", Stage("plumbing", "")).numbers.get("flow")
        self.feed.set_text("" if flow is None else f"feed {show(flow.typical, 'L/min', system, 2)}")
        self.feed.set_position((0.03 * self.wide, self.over - 0.04 * self.tall))
        worst = ["levels, solid and dashed: at worst; flows: typical"] if _RUNNING in known else []
        self.key.set_text("\n".join([*worst, *(["heights twice as large as widths"] if self.larger > 1 else [])]))
        self.leads.set_data(*np.array(leads or [(np.nan, np.nan)]).T)

    def alt(self, plan: Plan, system: str = "metric") -> str:
        vessel = plan.pond.vessel
        if vessel is None:
            return f"No drawing for {plan.pond.name}: no vessel is planned yet. It would show its layers and where the water stands."
        inside, stage = built(vessel), plan["vessel"]
        layers = ", ".join(_layer_words(x, system) for x in inside.strata)
        likely = heights(plan, "typical")
        levels = "; ".join(_level_told(name, height, likely[name], inside, system) for name, height in heights(plan).items())
        flows = _flows(plan, system)
        names = [*(one.name for one in vessel.outlets), *([] if vessel.siphon is None else ["the siphon"])]
        carry = ", ".join(f"{name} {flow}" for name, flow in zip(names, flows, strict=False))
        carry = f" While the pump runs they carry, typically: {carry}." if carry else ""
        larger = " Heights are drawn twice as large as widths." if _larger(inside, vessel) > 1 else ""
        stop = f" The pump may stop for {stage['safe_stop'].text(system, 2)} at most." if "safe_stop" in stage else ""
        return (
            f"A cut through the filter vessel of {plan.pond.name}, {show(Q(inside.rim, 'm'), 'cm', system)} high to its rim. From the top "
            f"down: {layers}. Water levels above the bottom: {levels or 'no outlet is named yet'}.{carry}{stop}{larger}"
        )


def _across(vessel) -> float:
    """Return the width (m) that the cut shows."""
    return float((vessel.length if vessel.shape == "box" else vessel.diameter).m_as("m"))


def _larger(inside: Built, vessel) -> int:
    """Return how many times as large as widths heights are drawn: a low wide vessel would be a stripe."""
    return 2 if _across(vessel) / _ROOM > _WIDE * inside.rim else 1


def _share(inside: Built, height: float) -> float:
    """Return the vessel's width at a height (m), of that above its cone."""
    return min(max(height, 0.0) / inside.cone, 1.0) if inside.cone else 1.0


def _flows(plan: Plan, system: str) -> list[str]:
    """Write what each outlet, and the siphon last, carries while the pump runs; nothing where the plan does not know it."""
    flows = plan.stages.get("drains", Stage("drains", "")).series.get("way_flows")
    return [] if flows is None else [show(flow, "L/min", system, 2) for flow in flows]


def heights(plan: Plan, end: str = "value") -> dict[str, float]:
    """Return the water levels (m above the bottom) that the plan knows: running, with one drain blocked, with the pump stopped.

    `end` is that of the first two: what the plan counts on, at worst, or "typical".
    """
    drains, inside = plan.stages.get("drains", Stage("drains", "")), built(plan.pond.vessel)
    found = {}
    for name, key in ((_RUNNING, "level_running"), (_BLOCKED, "level_blocked")):
        if key in drains:
            found[name] = float(getattr(drains[key], end).m_as("m"))
    if inside.rest is not None:
        found[_REST] = inside.rest
    return found


def _layer_words(stratum, system: str) -> str:
    name = {"gap": "free space", "plenum": "plenum"}.get(stratum.kind, stratum.name)
    volume = f", {show(Q(1000 * stratum.volume, 'L'), 'L', system, 2)}" if stratum.row is not None else ""
    return f"{name}, {show(Q(100 * stratum.thickness, 'cm'), 'cm', system, 2)}{volume}"


def _level_words(name: str, height: float, likely: float, inside: Built, system: str) -> str:
    if height >= inside.rim - 1e-6:
        return f"{name}: {'over the rim' if likely >= inside.rim - 1e-6 else 'may run over'}"
    return f"{name}: {show(Q(100 * height, 'cm'), 'cm', system, 2)}"


def _level_told(name: str, height: float, likely: float, inside: Built, system: str) -> str:
    """Say a level in full: at worst and typically."""
    if name == _REST:
        return _level_words(name, height, likely, inside, system)
    worst, typical = (_level_words(name, level, level, inside, system).removeprefix(f"{name}: ") for level in (height, likely))
    return f"{name}: {worst} at worst, typically {typical}"


def _stones(stratum) -> str | None:
    """Choose circles for media: large ones for coarse, small ones for fine; nothing for free space."""
    if stratum.kind != "media":
        return None
    return "O" if stratum.surface < 120 else "o" if stratum.surface < 220 else "oo"


def _apart(wanted: list[float], gap: float) -> list[float]:
    """Move heights apart so far that words on them do not touch, each as little as needed; their order stays."""
    order = sorted(range(len(wanted)), key=lambda n: wanted[n])
    placed = [wanted[n] for n in order]
    for _ in range(60):
        for a in range(len(placed) - 1):
            push = gap - (placed[a + 1] - placed[a])
            if push > 1e-9:
                placed[a] -= push / 2
                placed[a + 1] += push / 2
        if placed and placed[0] < -0.7 * gap:
            placed[0] = -0.7 * gap  # the edge of the picture
    found = [0.0] * len(wanted)
    for n, y in zip(order, placed, strict=True):
        found[n] = y
    return found
