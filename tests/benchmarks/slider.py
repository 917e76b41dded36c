"""From a key press on a slider to new pixels on the screen: the whole way through browser, server, kernel and picture.

The floor is what the general libraries cost with nothing of ours on top: one kept figure, one Image widget, one label. A lab is compared
with it in the same run, since the times of one machine say little about another.
"""

from __future__ import annotations

import json
import statistics

FLOOR = '''import io, numpy as np, ipywidgets as w
from matplotlib.figure import Figure
fig = Figure(figsize=(7, 3), dpi=72); ax = fig.subplots(); x = np.arange(8760); line, = ax.plot(x, np.sin(x / 400))
img = w.Image(format="png"); s = w.FloatSlider(description="Depth (m)", min=0, max=3, step=0.05, value=1); label = w.Label("start")
def show(_=None):
    line.set_ydata(np.sin(x / 400 + s.value)); b = io.BytesIO(); fig.savefig(b, format="png")
    img.value = b.getvalue(); label.value = f"{s.value:.2f}"
s.observe(show, "value"); show()
w.VBox([s, img, label])'''
PRESSES = 20
# Starts the clock at the key press itself; stops it when every picture beside the slider is new, decoded, and one frame has passed.
WATCH = """handle => { window.__done = new Promise(ready => {
  const box = handle.closest('.jp-OutputArea'), pictures = () => [...box.querySelectorAll('img')];
  const sources = () => pictures().map(i => i.src).join(), before = sources();
  const stop = () => requestAnimationFrame(() => ready(performance.now() - window.__start));
  const poll = () => {
    if (sources() && sources() !== before) Promise.all(pictures().map(i => i.decode().catch(() => 0))).then(stop);
    else requestAnimationFrame(poll); };
  const start = () => { window.__start = performance.now(); requestAnimationFrame(poll); };
  window.addEventListener('keydown', start, {once: true, capture: true});
}); }"""
WAIT = "Promise.race([window.__done, new Promise(gone => setTimeout(() => gone(null), 3000))])"


def floor_notebook() -> str:
    cell = {"cell_type": "code", "execution_count": None, "id": "floor", "metadata": {}, "outputs": [], "source": FLOOR}
    kernel = {"kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"}}
    return json.dumps({"cells": [cell], "metadata": kernel, "nbformat": 4, "nbformat_minor": 5})


def measure(opened, presses: int = PRESSES) -> list[float]:
    """Press arrow keys on a slider that moves the picture; return the times in ms of those presses that changed it, sorted."""
    opened.page.bring_to_front()  # a page behind another draws one frame a second
    for handle in opened.cell.query_selector_all(".widget-slider .noUi-handle"):
        handle.scroll_into_view_if_needed()
        handle.focus()
        opened.page.wait_for_timeout(200)
        if _times(opened, handle, 2):
            return sorted(_times(opened, handle, presses))
    return []


def _times(opened, handle, presses: int) -> list[float]:
    times, key = [], "ArrowRight"
    for _ in range(presses):
        handle.evaluate(WATCH)
        opened.page.keyboard.press(key)
        time = opened.page.evaluate(WAIT)
        if time is None:  # the slider stands at its end: turn round
            key = "ArrowLeft" if key == "ArrowRight" else "ArrowRight"
        else:
            times.append(time)
        opened.page.wait_for_timeout(80)
    return times


def median_and_p95(times: list[float]) -> tuple[float, float]:
    return statistics.median(times), times[round(0.95 * (len(times) - 1))]
