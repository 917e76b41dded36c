"""When a set was taken: the usual ways of writing a date are read, the others refused with the mend, and sets stand in order."""

from __future__ import annotations

import datetime

import pytest

from pondwright.pond.file import PondFileError, demo_text, parse_pond
from pondwright.pond.findings import findings
from pondwright.pond.moments import moment
from pondwright.pond.plan import plan
from pondwright.units import QuantityError

DAY = datetime.date(2026, 7, 28)
READ = {
    "2026-07-28 16:30": (16, 30), "2026-07-28T16:30:05": (16, 30), "28 July 2026, 16.30": (16, 30), "July 28, 2026, 4:30 pm": (16, 30),
    "28.7.2026 16h30": (16, 30), "July 28th 2026 at 4 pm": (16, 0), "28 Jul 2026 12 am": (0, 0), "2026-07-28 12:30 pm": (12, 30),
    "2026-07-28": None, "28 July 2026": None, "28.7.2026": None, "2026/7/28": None, "28/7/2026": None, "7/28/2026": None,
}  # fmt: skip
REFUSED = {
    "Tuesday": "cannot be read as a date", "28 July, 5:45": "cannot be read as a date", "28.7.26": "cannot be read as a date",
    "": "cannot be read as a date", "07/08/2026": "can mean two days", "2026-02-30": "not in the calendar",
    "28 Fool 2026": "not in the calendar", "2026-07-28 25:00": "not on the clock", "2026-07-28 16": "hour that cannot be read",
    "2026-07-28 14 pm": "hour that cannot be read",
}  # fmt: skip
SHAPE = '[pond.shape]\nkind = "circle"\ndiameter = "2 m"\ndepth = "1 m"\n'


def sets(*whens):
    return SHAPE + "".join(f'[[readings]]\nwhen = "{when}"\nph = "{7 + n / 10}"\n' for n, when in enumerate(whens))


@pytest.mark.parametrize("text", READ)
def test_a_date_is_read(text):
    assert moment(text) == (DAY, READ[text] and datetime.time(*READ[text]))


@pytest.mark.parametrize("text", REFUSED)
def test_another_way_of_writing_is_refused_with_the_mend(text):
    with pytest.raises(QuantityError, match=REFUSED[text]) as refusal:
        moment(text)
    assert "2026-07-28 16:30" in str(refusal.value) and "\n" not in str(refusal.value)


def test_the_file_names_the_set_whose_date_cannot_be_read():
    with pytest.raises(PondFileError, match=r"^readings\[2\].when: 'last week' cannot be read as a date"):
        parse_pond(sets("2026-05-01", "last week"))


def test_sets_stand_in_order_whatever_their_order_in_the_file():
    pond = parse_pond(sets("2026-07-28 16:30", "1 May 2026", "2026-07-28 05:10", "2026-06-20"))
    assert [r.when for r in pond.readings] == ["1 May 2026", "2026-06-20", "2026-07-28 05:10", "2026-07-28 16:30"]


def test_sets_of_one_moment_stay_as_they_stand():
    pond = parse_pond(sets("2026-07-28", "28 July 2026", "2026-07-28 12:00"))
    assert [float(r.ph.m) for r in pond.readings] == [7.0, 7.1, 7.2]


@pytest.mark.parametrize("written", [text for text, hour in READ.items() if hour == (16, 30)])
def test_a_plan_does_not_depend_on_how_a_moment_is_written(written):
    """The filter asks the set for its month and for its hour."""
    before, *_, newest = demo_text().split("[[readings]]")
    text = f"{before}[[readings]]{newest}"
    assert '"2026-07-28 16:30"' in newest
    usual, other = (plan(parse_pond(text.replace("2026-07-28 16:30", when))) for when in ("2026-07-28 16:30", written))
    assert other["filter.design_tan"] == usual["filter.design_tan"]
    assert [f.key for f in findings(other)] == [f.key for f in findings(usual)]
