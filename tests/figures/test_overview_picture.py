"""The four bars: their length, and words that keep clear of the line that says "just enough"."""

from __future__ import annotations

import pytest

from pondwright.figures.overview import OverviewPicture
from pondwright.pond.file import demo_pond, parse_pond
from pondwright.pond.overview import needs
from pondwright.pond.plan import plan


@pytest.fixture(scope="module")
def demo():
    return plan(demo_pond())


def test_a_bar_is_as_long_as_its_share_and_hatched_past_the_line(demo):
    picture = OverviewPicture()
    picture.update(demo)
    for bar, need in zip(picture.bars, needs(demo), strict=True):
        assert bar.get_width() == pytest.approx(min(need.share, 3)) and bool(bar.get_hatch()) == (need.share > 1)
    assert picture.axes.get_xlabel() == "needed / available"


@pytest.mark.parametrize("share", [0.02, 0.4, 0.97, 1.0, 1.3, 1.89, 2.04, 2.06, 2.9, 40])
def test_no_words_stand_across_the_line(demo, share, monkeypatch):
    from dataclasses import replace

    from pondwright.figures import overview
    from pondwright.units import Q

    need = replace(needs(demo)[0], needed=Q(share, "h"), there=Q(1, "h"))
    monkeypatch.setattr(overview, "needs", lambda _: (need,))
    picture = OverviewPicture()
    picture.update(demo)
    picture.png()
    box = picture.shares[0].get_window_extent().transformed(picture.axes.transData.inverted())
    assert box.x0 > 1 and box.x1 < 3.1  # the picture ends a little behind 3


def test_a_bare_pond_has_no_bars():
    bare = plan(parse_pond('[pond.shape]\nkind = "circle"\ndiameter = "2 m"\ndepth = "0.6 m"\n'))
    picture = OverviewPicture()
    picture.update(bare)
    assert [bar.get_width() for bar in picture.bars] == [0] * 4 and "An empty chart" in picture.alt(bare)
