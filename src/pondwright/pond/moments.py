"""When a set of readings was taken: dates and hours as people write them, so that sets can be put in order."""

from __future__ import annotations

import datetime
import functools
import re

from ..units import QuantityError

_MONTHS = "january february march april may june july august september october november december".split()
_DATES = (  # each names what its groups are
    (r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})", "ymd"),
    (r"(\d{1,2})\.?[ -]([a-z]{3,9})\.?,?[ -](\d{4})", "dmy"),
    (r"([a-z]{3,9})\.? (\d{1,2})(?:st|nd|rd|th)?,? (\d{4})", "mdy"),
    (r"(\d{1,2})\.(\d{1,2})\.(\d{4})", "dmy"),
    (r"(\d{1,2})/(\d{1,2})/(\d{4})", "??y"),
)
_HOUR = r"(\d{1,2})(?:[:.h](\d{2})(?::\d{2})?)? ?(am|pm|h)?"
_WISH = "write the date such as '2026-07-28' or '2026-07-28 16:30', so that sets of readings can be put in order"


@functools.lru_cache(maxsize=1000)
def moment(text: str) -> tuple[datetime.date, datetime.time | None]:
    """Read a date, and the hour if there is one, from "2026-07-28 16:30", "28 July 2026", "July 28, 2026, 4:30 pm", "28.7.2026".

    Raises
    ------
    QuantityError
        There is no such day or hour, it is written in some other way, or day and month cannot be told apart.
    """
    words = " ".join(text.lower().split())
    for pattern, order in _DATES:
        if m := re.match(rf"{pattern}(?:(?:,? (?:at )?|t){_HOUR})?$", words):
            return _day(text, m[1], m[2], m[3], order), _hour(text, m[4], m[5], m[6])
    raise QuantityError(f"'{text}' cannot be read as a date: {_WISH}.")


def _day(text: str, first: str, second: str, third: str, order: str) -> datetime.date:
    if order == "??y":
        if int(first) <= 12 and int(second) <= 12 and first != second:
            raise QuantityError(f"'{text}' can mean two days: {_WISH}.")
        order = "mdy" if int(second) > 12 else "dmy"
    parts = dict(zip(order, (first, second, third), strict=True))
    month = parts["m"] if parts["m"].isdigit() else 1 + next((n for n, name in enumerate(_MONTHS) if name.startswith(parts["m"])), 12)
    try:
        return datetime.date(int(parts["y"]), int(month), int(parts["d"]))
    except ValueError:
        raise QuantityError(f"'{text}' names a day that is not in the calendar: {_WISH}.") from None


def _hour(text: str, hour: str | None, minute: str | None, half: str | None) -> datetime.time | None:
    if hour is None:
        return None
    twelve = half in ("am", "pm")
    number = int(hour) % 12 + 12 * (half == "pm") if twelve else int(hour)
    if (minute or half) is None or (twelve and not 1 <= int(hour) <= 12):
        raise QuantityError(f"'{text}' has an hour that cannot be read: {_WISH}.")
    try:
        return datetime.time(number, int(minute or 0))
    except ValueError:
        raise QuantityError(f"'{text}' has an hour that is not on the clock: {_WISH}.") from None


def in_order(readings) -> tuple:
    """Put sets of readings in order, the oldest first; a set without an hour counts as taken at noon, equal ones stay as they stand."""

    def key(reading):
        day, hour = moment(reading.when)
        return datetime.datetime.combine(day, hour or datetime.time(12))

    return tuple(sorted(readings, key=key))
