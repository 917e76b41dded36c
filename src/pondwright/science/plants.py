"""Plants: the nitrogen they take up, and the area that a day's feed can grow."""
from __future__ import annotations

from ..units import Arg, formula

_AREA = Arg("m2", possible=(0, 1e6))
_FEED = Arg("g/d", possible=(0, 1e7))
_RATIO = Arg("g/m2/d", possible=(1, 1000))


@formula(area=_AREA, rate=Arg("g/m2/d", possible=(0, 10)), returns=Arg("g/d", possible=(0, None)))
def plant_uptake(area, rate):
    """Nitrogen that growing plants take up in a day.

    Parameters
    ----------
    area
        Covered by the plants.
    rate
        Nitrogen for each square metre in a day of the growing season; a number or an array.

    Notes
    -----
    N = A r. It leaves the pond only when the plants are cut and carried away.

    References
    ----------
    [ReddyDeBusk1985]_; [Boyd1976]_; [GraberJunge2009]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(plant_uptake(Q(1.5, "m2"), Q(0.54, "g/m2/d")), "g/d")
    '0.81 g/day'
    """
    return area * rate


@formula(feed=_FEED, ratio=_RATIO, returns=_AREA)
def growing_area(feed, ratio):
    """Area of plants that a day's feed can keep growing.

    Parameters
    ----------
    feed
        Given to the fish in a day.
    ratio
        Feed rate ratio: grams of feed a day for each square metre of plants.

    Notes
    -----
    A = F / ratio. Raft beds 60 to 100 g/m²/d; leafy greens 40 to 50, fruiting plants 50 to 80 in media beds.

    References
    ----------
    [Rakocy2007]_; [FAO589Ratios]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(growing_area(Q(1000, "g/d"), Q(60, "g/m2/d")), "m2")
    '16.7 m²'
    """
    return feed / ratio


@formula(area=_AREA, ratio=_RATIO, returns=_FEED)
def feed_for_area(area, ratio):
    """Feed a day that an area of plants asks for.

    Parameters
    ----------
    area
        Covered by the plants.
    ratio
        Feed rate ratio.

    Notes
    -----
    F = A ratio

    References
    ----------
    [Rakocy2007]_; [FAO589Ratios]_

    Examples
    --------
    >>> from pondwright import Q, show
    >>> show(feed_for_area(Q(200, "m2"), Q(100, "g/m2/d")), "kg/d")
    '20 kg/day'
    """
    return area * ratio
