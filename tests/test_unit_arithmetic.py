"""Our short ways of multiplying, adding and taking away quantities, against those of plain pint."""

from __future__ import annotations

import operator

import numpy as np
import pint
import pytest

from pondwright.units import Q

CALCULATIONS = {"+": operator.add, "-": operator.sub, "*": operator.mul, "/": operator.truediv}


@pytest.mark.parametrize(("first", "sign", "second"), [
    ((3.0, "m"), "+", (5.0, "cm")), ((3.0, "m"), "-", (1.0, "ft")), ((2.0, "g/h"), "+", (48.0, "g/d")), ((3.0, "m"), "*", 2.5),
    (2.5, "*", (3.0, "m")), ((3.0, "m"), "/", 4.0), ((3.0, "m"), "*", (2.0, "cm")), ((20.0, "degC"), "-", (12.0, "degC")),
    ((20.0, "degC"), "+", (5.0, "delta_degC")), ((5.0, "delta_degC"), "*", 2.0), ((np.array([1.0, 2.0]), "L"), "-", (1.0, "m3")),
])
def test_the_short_ways_of_calculating_give_what_plain_pint_gives(first, sign, second):
    plain = pint.UnitRegistry()
    ours, theirs = ([make(*x) if isinstance(x, tuple) else x for x in (first, second)]
                    for make in (Q, lambda value, words: plain.Quantity(value, words.replace("/d", "/day").replace("m3", "m ** 3"))))
    one, other = CALCULATIONS[sign](*ours), CALCULATIONS[sign](*theirs)
    assert one.m_as(str(other.units)) == pytest.approx(other.magnitude, rel=1e-14)


@pytest.mark.parametrize(("first", "sign", "second"), [
    (Q(20, "degC"), "*", 2.0), (Q(20, "degC"), "/", 2.0), (Q(20, "degC"), "+", Q(5, "degC")), (Q(3, "m"), "+", Q(1, "kg")),
    (Q(3, "m"), "-", 1.0), (Q(3, "m"), "+", Q(0.5, "-")),
])
def test_what_cannot_be_calculated_is_refused(first, sign, second):
    with pytest.raises(pint.errors.PintTypeError):
        CALCULATIONS[sign](first, second)
