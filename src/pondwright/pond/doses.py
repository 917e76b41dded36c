"""What may go into the water, in words: water changes, bicarbonate, and new water before it meets fish."""

from __future__ import annotations

from collections.abc import Mapping

from ..tables import coefficients
from ..units import Q, show
from .model import Pond
from .readings import CHANGE, Verdict, lacking, latest, milligrams, salty
from .results import Number, Urgency

MANY = 2  # water changes in one day; more is a shock; common practice
SOUND_PH = (5.0, 10.5)  # outside it something is wrong that bicarbonate does not mend; a judgement
TOO_MUCH_GAS = Q(100.0, "mg/L")  # of carbon dioxide: no pond that fish live in holds so much; a judgement
BINDER = "a remover whose label says that it takes chloramine and binds ammonia"


def tap_kind(pond: Pond) -> str:
    return pond.tap.disinfectant if pond.tap else "unknown"


def brings_ammonia(pond: Pond) -> bool:
    """Tell whether new water may bring ammonia along: chloramine does, and an unknown tap is taken for the worse."""
    return tap_kind(pond) in ("chloramine", "unknown")


def changes_words(numbers: Mapping[str, Number]) -> str:
    """Say how many water changes bring ammonia under its strictest limit, and with what remover; "" where none is needed."""
    if "unionized_worst" not in numbers or numbers["unionized_worst"].value <= numbers["unionized_limit"].value:
        return ""
    never = "water changes alone cannot bring it under the strictest limit"
    as_it_is = _times(numbers["changes_needed"]) if "changes_needed" in numbers else never
    if "tap_ammonia" not in numbers:
        return as_it_is[:1].upper() + as_it_is[1:]
    bound = _times(numbers["changes_bound"]) if "changes_bound" in numbers else never
    return (
        f"With {BINDER}, dosed by that label, {bound}. With any other remover new water brings up to "
        f"{numbers['tap_ammonia'].text()} of ammonia along, and {as_it_is}"
    )


def _times(number: Number, many: str = ": too many for one day, so begin with one or two a day") -> str:
    times, size = int(number.value.m), f"{CHANGE.m:g} %"
    words = f"{times} water changes of {size} bring" if times > 1 else f"one water change of {size} brings"
    return f"{words} it under the strictest limit" + (many if times > MANY else "")


def changes_in_short(numbers: Mapping[str, Number]) -> str:
    """Say in a few words how many water changes help; "" where none is needed."""
    if not changes_words(numbers):
        return ""
    binder = "tap_ammonia" in numbers
    key = "changes_bound" if binder else "changes_needed"
    if key not in numbers:
        return "Water changes alone do not mend it"
    words = _times(numbers[key], ", over several days") + (", with a remover that binds ammonia" if binder else "")
    return words[:1].upper() + words[1:]


def bicarbonate_in_short(pond: Pond, numbers: Mapping[str, Number]) -> str:
    """Say in a few words whether bicarbonate may go in, for a set that has all that a dose needs."""
    if "bicarbonate_today" in numbers:
        return f"Bicarbonate: at most {numbers['bicarbonate_today'].text()} today."
    if "unionized_after" in numbers:
        return f"No bicarbonate now: after a dose it would be {milligrams(numbers['unionized_after'].value)}."
    return bicarbonate(pond, numbers)


def bicarbonate(pond: Pond, numbers: Mapping[str, Number]) -> str:
    """Say what dose of bicarbonate may go in today, or why none, and what comes first."""
    reading, wanted = latest(pond), coefficients()["alkalinity_wanted"].typical
    if reading is None or reading.alkalinity is None:
        return "No bicarbonate: the alkalinity has not been measured."
    if reading.alkalinity >= wanted:
        return "No bicarbonate is needed."
    if salty(pond):
        return "No bicarbonate: the water is salty, and what is reckoned here holds for fresh water."
    if missing := lacking(reading):
        return (
            f"No bicarbonate yet. It can raise the pH and so turn harmless ammonium into poison, so the same set needs {missing} as well. "
            "Measure all four within the hour, then look again."
        )
    if not SOUND_PH[0] <= reading.ph.m <= SOUND_PH[1]:
        return f"No bicarbonate: a pH of {reading.ph.m:g} has another cause, and a dose would hide it. Find that first; see pH."
    if "unionized_after" not in numbers or numbers["carbon_dioxide"].value > TOO_MUCH_GAS:
        return "No bicarbonate: the pH and the alkalinity do not fit each other. Measure both again first."
    if numbers["unionized_after"].value > numbers["unionized_limit"].value:
        return _refusal(pond, numbers)
    return _dose(reading.when, numbers, wanted)


def _course(numbers: Mapping[str, Number]) -> str:
    """Say where the pH would go after a dose, the higher place last: at once, or once the water has aired."""
    at_once, aired = (numbers[key].value.m for key in ("ph_after_dose", "ph_after_airing"))
    now, then = f"{at_once:.1f} at once", f"{aired:.1f} once the water has aired"
    return f"{now} and {then}" if aired >= at_once else f"{now}, and fall to {then}"


def _refusal(pond: Pond, numbers: Mapping[str, Number]) -> str:
    worst, after, limit = numbers["unionized_worst"].value, numbers["unionized_after"].value, numbers["unionized_limit"]
    already = worst > limit.value
    first = f"Without any, un-ionized ammonia comes to {milligrams(worst)} already, past its limit of {limit.text()}. " if already else ""
    past = "" if already else f", past its limit of {limit.text()}"
    own, left = pond.tap.alkalinity if pond.tap else None, latest(pond).alkalinity
    brings = "new water brings its own alkalinity" + ("" if own is None else f", {'only ' if own < left else ''}{milligrams(own)}")
    return (
        f"No bicarbonate now. {first}With a dose the pH would come to {_course(numbers)}, and un-ionized ammonia to "
        f"{milligrams(after)}{past}. "
        f"First bring total ammonia down: feed less, change water ({brings}), then test again."
    )


def _dose(when: str, numbers: Mapping[str, Number], wanted) -> str:
    days, after = int(numbers["bicarbonate_days"].value.m), numbers["unionized_after"].value
    ammonia = f"un-ionized ammonia to at most {milligrams(after)} against {numbers['unionized_limit'].text()}" if after.m else (
        "the test showed no ammonia")
    return (
        f"Today at most {numbers['bicarbonate_today'].text()} of pure sodium bicarbonate, dissolved in a bucket and poured in slowly where "
        f"water moves: {show(numbers['alkalinity_step'].value, 'mg/L')} of alkalinity. The pH would come to {_course(numbers)}; "
        f"{ammonia}. "
        f"{days} such day{'s' if days > 1 else ''} reach{'' if days > 1 else 'es'} {milligrams(wanted)}; test ammonia before each. "
        f"The dose counts for this set only ({when})."
    )


def tap_advice(pond: Pond, numbers: Mapping[str, Number]) -> Verdict:
    """Say what to do with new water before it meets fish."""
    kind, fixed = tap_kind(pond), "Tap water holds chlorine or chloramine, and 0.02 mg/L harms fish. "
    if kind == "none":
        says = "The pond file says that the new water holds no chlorine."
        return Verdict("tap", "New water", says, Urgency.NOTE, "Test one bucket for chlorine all the same before the first change.")
    change = show(numbers["change_volume"].value, "L")
    if kind == "chlorine":
        return Verdict(
            "tap", "New water", fixed + "Yours holds chlorine.", Urgency.NOTE,
            "Take it out before the water meets fish: let it stand for days with air, or use a remover. For each mg/L of total chlorine in "
            f"one change of {change}, {numbers['remover'].text()} of sodium thiosulfate crystals; a bottled remover goes by its own label.",
            ("water.remover",),
        )  # fmt: skip
    known = kind == "chloramine"
    says = (
        f"{'Yours holds chloramine' if known else 'The pond file does not say which; it may be chloramine'}. Standing does not drive that "
        f"out, and where its chlorine is taken away its ammonia stays behind: up to {numbers['tap_ammonia'].text()} as N."
    )
    ask = "" if known else "Ask your water works which it is and write it into tap.disinfectant; until then treat it as chloramine. "
    return Verdict(
        "tap", "New water", fixed + says, _tap_level(numbers),
        f"{ask}Use only {BINDER}, and dose it by its label for one change of {change}. Plain thiosulfate and airing are not enough. Test "
        "the new water for chlorine and ammonia before it meets fish (the label says how the ammonia test reads afterwards).",
        ("water.tap_ammonia",),
    )  # fmt: skip


def _tap_level(numbers: Mapping[str, Number]) -> Urgency:
    """Rank chloramine by whether the ammonia of one change alone would be more than the pond may hold."""
    if "tan_limit" not in numbers:
        return Urgency.IMPROVE
    added = numbers["tap_ammonia"].value.m * CHANGE.m / 100
    return Urgency.FIX if added > numbers["tan_limit"].value.m_as(numbers["tap_ammonia"].value.units) else Urgency.IMPROVE
