"""What every picture shares: one kept Figure, an image with its words, four line colours that also print in black and white."""

from __future__ import annotations

import base64
import html
import io
import math

import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator
from PIL import Image

from ..pond.plan import Plan

# Okabe and Ito's palette (the four that are dark enough for lines on white); each is always used with its own dash, marker or word.
BLUE, VERMILLION, GREEN, BLACK = "#0072B2", "#D55E00", "#009E73", "#000000"
PALE_BLUE, GREY, PALE = "#D6E8F4", "#666666", "#EDEDED"  # fills only, always with a dark edge
DPI = 96


class Picture:
    """One picture: `build` once, then `update` for each result.

    A subclass sets `size` (inches) and `shows`, and writes ``build(self)`` (make axes and artists; return the list of artists that move),
    ``draw(self, plan, system)`` (move them) and ``alt(self, plan, system)`` (one or two sentences: what is drawn, the number that
    answers the question, its limit). `plan` is a Plan, perhaps only with the stages that the picture needs; `system` is metric, us or
    imperial.

    Axes, ticks and titles are drawn again only where a limit or a label changed; round the limits with :func:`roomy`, so that a slider
    redraws only what moves. That makes a redraw three times as fast.
    """

    size = (7.6, 3.3)
    shows = ""  # the dotted name of a number, series or fact without which there is nothing to draw

    def __init__(self):
        self.figure = Figure(figsize=self.size, dpi=DPI)
        self.canvas = FigureCanvasAgg(self.figure)
        self.moving = self.build()
        for artist in self.moving:
            artist.set_animated(True)
        self._frame = None

    @classmethod
    def can_show(cls, plan: Plan) -> bool:
        """Tell whether the plan holds what the picture shows."""
        stage, _, key = cls.shows.partition(".")
        found = plan.stages.get(stage)
        return found is not None and any(key in part for part in (found.numbers, found.series, found.facts))

    def build(self) -> list:
        raise NotImplementedError

    def draw(self, plan: Plan, system: str) -> None:
        raise NotImplementedError

    def alt(self, plan: Plan, system: str = "metric") -> str:
        raise NotImplementedError

    def update(self, plan: Plan, system: str = "metric") -> None:
        """Show another result in the same Figure."""
        self.draw(plan, system)

    def png(self, dpi: int = DPI) -> bytes:
        """Return the picture as it stands as PNG bytes; the kept background serves the screen's own resolution."""
        out = io.BytesIO()
        if dpi != DPI:
            self.figure.savefig(out, format="png", dpi=dpi)
            return out.getvalue()
        frame = tuple((*a.get_xlim(), *a.get_ylim(), a.get_title(), a.get_xlabel(), a.get_ylabel()) for a in self.figure.axes)
        if frame != self._frame:
            self.canvas.draw()
            self._frame, self._background = frame, self.canvas.copy_from_bbox(self.figure.bbox)
        self.canvas.restore_region(self._background)
        for artist in sorted(self.moving, key=lambda a: a.zorder):
            artist.axes.draw_artist(artist)
        Image.fromarray(np.asarray(self.canvas.buffer_rgba())[..., :3]).save(out, format="png", compress_level=1)
        return out.getvalue()

    def html(self, plan: Plan, system: str = "metric") -> str:
        """Update, and return the picture as an ``<img>`` that carries its words."""
        self.update(plan, system)
        data = base64.b64encode(self.png()).decode("ascii")
        words, width = html.escape(self.alt(plan, system), quote=True), round(self.size[0] * DPI)
        return f'<img alt="{words}" style="max-width:100%;width:{width}px" src="data:image/png;base64,{data}">'


def tidy(axes, xlabel: str, ylabel: str) -> None:
    """Give axes their labels and few ticks, and take away what does not carry meaning."""
    axes.set_xlabel(xlabel)
    axes.set_ylabel(ylabel)
    axes.spines[["top", "right"]].set_visible(False)
    for axis in (axes.xaxis, axes.yaxis):
        axis.set_major_locator(MaxNLocator(5))


def roomy(value: float, steps=(1, 1.5, 2, 3, 5, 7, 10)) -> float:
    """Round an axis limit up to 1, 1.5, 2, 3, 5 or 7 times a power of ten, so that it seldom moves; zero stays zero.

    Coarser `steps`, such as (1, 3, 10), suit a number that a slider moves far.

    Examples
    --------
    >>> roomy(1.07), roomy(0.42), roomy(-83)
    (1.5, 0.5, -100.0)
    """
    if value == 0:
        return 0.0
    power = 10.0 ** math.floor(math.log10(abs(value)))
    step = next(n for n in steps if n * power >= abs(value) * (1 - 1e-9))
    return math.copysign(step * power, value)
