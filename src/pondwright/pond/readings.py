"""What a set of test readings means: for each reading one sentence with its number and its limit, and what to do where it is off."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..tables import coefficients
from ..units import Q, show, unit
from .model import Pond, Reading
from .moments import moment
from .results import Number, Urgency

# the limits that readings are judged by
LIMITS = (
    *("unionized_ammonia_limit", "nitrite_limit", "chloride_per_nitrite", "nitrate_limit", "oxygen_wanted", "ph_least", "ph_most"),
    *("carbon_dioxide_limit", "alkalinity_wanted", "hardness_wanted"),
)
FRESH = ("tan", "ph", "temperature", "alkalinity")  # what a dose of bicarbonate needs, all four from one set
CHANGE = Q(25.0, "%")  # of the pond in one water change; common practice
MANY = 2  # such changes in one day; more is a shock; common practice
GREEN = 110  # % of oxygen saturation above which algae must be at work; a judgement
_WORDS = {"tan": "total ammonia (tan)", "ph": "pH", "temperature": "temperature", "alkalinity": "alkalinity"}
_LEVELS = (None, Urgency.IMPROVE, Urgency.FIX, Urgency.DANGER)
_MILD = (None, Urgency.NOTE, Urgency.IMPROVE, Urgency.FIX)


@dataclass(frozen=True)
class Verdict:
    """What one reading says; `urgency` is None where it keeps its limit. `key` is the end of a finding's dotted name."""

    key: str
    reading: str
    says: str
    urgency: Urgency | None = None
    do: str = ""
    numbers: tuple[str, ...] = ()


def latest(pond: Pond) -> Reading | None:
    """Return the newest set of readings; a pond keeps its sets in order."""
    return pond.readings[-1] if pond.readings else None


def newest(pond: Pond, name: str):
    """Return the newest value of a reading that changes slowly (chloride, conductivity), from whichever set has it, or None."""
    return next((value for reading in reversed(pond.readings) if (value := getattr(reading, name)) is not None), None)


def lacking(reading: Reading) -> str:
    """Name what a set lacks for a dose of bicarbonate, in words; "" where it is complete."""
    return ", ".join(_WORDS[name] for name in FRESH if getattr(reading, name) is None)


def hour(reading: Reading) -> int | None:
    """Read the hour out of a set's `when`, or None where it names none."""
    hour = moment(reading.when)[1]
    return hour.hour if hour is not None else None


def judge(pond: Pond, numbers: Mapping[str, Number]) -> tuple[Verdict, ...]:
    """Judge the newest set of readings, in the order in which a reader should look at them."""
    reading = latest(pond)
    if reading is None:
        return ()
    rules = (_ammonia, _nitrite, _oxygen, _ph, _carbon_dioxide, _alkalinity, _hardness, _nitrate)
    return tuple(verdict for rule in rules if (verdict := rule(pond, reading, numbers)) is not None)


def _mg(quantity) -> str:
    return show(quantity, "mg/L")


def _steps(value, name: str, *, floor: bool = False) -> int:
    """Count how many of a limit's three ends a value has passed: 0 keeps them all, 3 passes even the loosest."""
    limit = coefficients()[name]
    ends = [end.magnitude for end in (limit.low, limit.typical, limit.high)]
    number = value.m_as(unit(limit.unit))
    return sum(number < end for end in ends) if floor else sum(number > end for end in ends)


def _ammonia(pond, reading, numbers):
    tan, limit = reading.tan, coefficients()["unionized_ammonia_limit"]
    if tan is None:
        return Verdict(
            "ammonia",
            "Ammonia",
            "This set has no ammonia reading.",
            Urgency.IMPROVE,
            "Test total ammonia, pH and temperature at the same moment, in the late afternoon.",
        )
    if "unionized_ammonia" not in numbers:
        return Verdict(
            "ammonia",
            "Ammonia",
            f"The test counts all ammonia, {_mg(tan)}; without pH and temperature nobody can say how much of it is poisonous.",
            Urgency.IMPROVE if tan.m else None,
            "Measure pH and temperature at the same moment as ammonia.",
        )
    toxic = numbers["unionized_ammonia"].value
    words = (
        f"The test counts all ammonia, {_mg(tan)}; at pH {reading.ph.m:g} and {show(reading.temperature, 'degC')} "
        f"{show(numbers['unionized_share'].value, '%', digits=2)} of it is un-ionized, the part that poisons: {_mg(toxic)} as N. "
    )
    step = _steps(toxic, "unionized_ammonia_limit")
    words += (
        "That is below the strictest published limit, {low}.",
        "That is above the strictest published limit, {low}, and below the usual one, {typical}.",
        "That is above the usual limit, {typical}; harm is seen from {high}.",
        "That is above {high}, from which harm is seen.",
    )[step].format(low=_mg(limit.low), typical=_mg(limit.typical), high=_mg(limit.high))
    refs = ("water.unionized_ammonia", "water.tan_limit")
    if not step and "unionized_aired" in numbers and numbers["ph_aired"].value > reading.ph:
        aired = numbers["unionized_aired"].value
        if _steps(aired, "unionized_ammonia_limit"):
            later = numbers["ph_aired"].value.m
            words += f" But carbon dioxide holds the pH down: once aired it comes to {later:.1f}, and this to {_mg(aired)}."
            cure = (
                "Bring total ammonia down before anything lets the pH rise, such as hard airing or new water of higher pH: feed less and "
            )
            cure += "change water in small parts. Test again in two days in the late afternoon."
            return Verdict("ammonia", "Ammonia", words, Urgency.IMPROVE, cure, (*refs, "water.unionized_aired"))
    return Verdict("ammonia", "Ammonia", words, _LEVELS[step], _ammonia_cure(numbers, step), refs)


def changes_words(numbers: Mapping[str, Number]) -> str:
    """Say how many water changes bring ammonia under its strictest limit; "" where none is needed."""
    times = int(numbers["changes_needed"].value.m) if "changes_needed" in numbers else 0
    if not times:
        return ""
    size = f"{CHANGE.m:g} %"
    words = f"{times} water changes of {size} bring" if times > 1 else f"One water change of {size} brings"
    return f"{words} it under the strictest limit" + (": too many for one day, so begin with one or two a day" if times > MANY else "")


def _ammonia_cure(numbers, step: int) -> str:
    change = changes_words(numbers)
    change = f"{change}. " if change else ""
    if step == 3:
        return (
            f"Stop feeding now, keep air and pump running, and change water today with the chlorine taken out. {change}Test again tomorrow."
        )
    return (
        f"Feed less, see that the filter gets its flow, and test again in two days in the late afternoon. {change}Do not add anything "
        "that raises the pH."
    )


def _nitrite(pond, reading, numbers):
    if "nitrite" not in numbers:
        return None
    nitrite, chloride = numbers["nitrite"].value, newest(pond, "chloride")
    words = f"Nitrite is {_mg(nitrite)} as NO2 ({_mg(reading.nitrite_n)} as N). "
    if not nitrite.m:
        return Verdict("nitrite", "Nitrite", words + "There is none to speak of.")
    refs = ("water.nitrite", "water.chloride_wanted")
    if chloride is None:
        step = _steps(nitrite, "nitrite_limit")
        return Verdict(
            "nitrite",
            "Nitrite",
            words + "Chloride keeps it out of the blood of fish, and chloride was not measured; without it the "
            "limit is 0.1 mg/L for cold-water and 1 mg/L for warm-water fish.",
            (None, Urgency.IMPROVE, Urgency.FIX, Urgency.DANGER)[step],
            "Measure chloride. Feed less and see that the filter keeps its flow and air.",
            refs,
        )
    ratio = chloride.m_as(nitrite.units) / nitrite.m
    words += f"Chloride is {_mg(chloride)}, {ratio:.3g} times the nitrite; fish are shielded from about 10 times on (some say 6)."
    if ratio >= 10:
        return Verdict("nitrite", "Nitrite", words, numbers=refs)
    salt = ""
    if "salt_for_nitrite" in numbers:
        salt = f" {numbers['salt_for_nitrite'].text()} of plain salt (no additives) lifts the chloride to 10 times the nitrite."
    level = Urgency.IMPROVE if ratio >= 6 else Urgency.DANGER if _steps(nitrite, "nitrite_limit") == 3 else Urgency.FIX
    return Verdict("nitrite", "Nitrite", words, level, f"Feed less and change water.{salt} Ask first whether your plants bear salt.", refs)


def _oxygen(pond, reading, numbers):
    if reading.oxygen is None:
        return None
    words, level, limit = (
        f"Oxygen is {_mg(reading.oxygen)}",
        _steps(reading.oxygen, "oxygen_wanted", floor=True),
        coefficients()["oxygen_wanted"],
    )
    share = numbers["oxygen_share"].value.m if "oxygen_share" in numbers else None
    words += "" if share is None else f", {share:.0f} % of what this water can hold"
    words += f"; fish want {_mg(limit.typical)} or more and are in danger below {_mg(limit.low)}."
    at = hour(reading)
    if at is not None and 9 <= at <= 21:
        words += f" It was taken by day, at {at}:00 or after; the lowest comes just before sunrise."
    # steps count the ends missed: one end missed is the highest, 6 mg/L
    if level:
        return Verdict(
            "oxygen",
            "Oxygen",
            words,
            _LEVELS[level],
            "Stop feeding, start air and pump at once, and thin out fish or plants if it comes again."
            if level == 3
            else "Add air, feed less, and measure before sunrise.",
            ("water.oxygen_share",),
        )
    if share is not None and share > GREEN:
        return Verdict(
            "oxygen",
            "Oxygen",
            words + " More than 100 % comes from algae, which use oxygen up again at night.",
            Urgency.IMPROVE,
            "Measure again before sunrise.",
            ("water.oxygen_share",),
        )
    return Verdict("oxygen", "Oxygen", words, numbers=("water.oxygen_share",))


def _ph(pond, reading, numbers):
    if reading.ph is None:
        return None
    least, most = coefficients()["ph_least"], coefficients()["ph_most"]
    words = f"pH is {reading.ph.m:g}; fish do well from {least.typical.m:g} to {most.typical.m:g}."
    low, high = _steps(reading.ph, "ph_least", floor=True), _steps(reading.ph, "ph_most")
    if high:
        return Verdict(
            "ph",
            "pH",
            words + " High pH in the afternoon comes from algae and turns ammonia poisonous.",
            _MILD[high],
            "Shade the pond, take out algae, feed less. Do not pour in acid: it frees carbon dioxide and the pH swings back.",
        )
    if low:
        return Verdict(
            "ph",
            "pH",
            words + " Low pH slows the filter; it mostly means that the alkalinity is used up.",
            _MILD[low],
            "Measure alkalinity and total ammonia, and raise the alkalinity in small steps.",
        )
    return Verdict("ph", "pH", words)


def _carbon_dioxide(pond, reading, numbers):
    if reading.ph is None or reading.alkalinity is None or reading.temperature is None:
        return None
    if "carbon_dioxide" not in numbers:
        return Verdict(
            "contradiction",
            "pH and alkalinity",
            f"A pH of {reading.ph.m:g} with an alkalinity of {_mg(reading.alkalinity)} cannot "
            "be: no water holds less than no carbon dioxide.",
            Urgency.IMPROVE,
            "Measure both again with fresh reagents.",
        )
    gas, limit = numbers["carbon_dioxide"].value, coefficients()["carbon_dioxide_limit"]
    step = _steps(gas, "carbon_dioxide_limit")
    words = (
        f"Carbon dioxide, worked out from pH and alkalinity, is {_mg(gas)}; fish bear {limit.low.m:g} to {_mg(limit.high)} "
        "(limits from memory, unverified) while oxygen is good."
    )
    return Verdict(
        "carbon_dioxide",
        "Carbon dioxide",
        words,
        _MILD[step],
        "Stir or air the water: carbon dioxide leaves through the surface. Where there is ammonia, bring that down first: the pH "
        "rises as the gas leaves.",
        ("water.carbon_dioxide",),
    )


def _alkalinity(pond, reading, numbers):
    if reading.alkalinity is None:
        return None
    wanted = coefficients()["alkalinity_wanted"]
    words = (
        f"Alkalinity is {_mg(reading.alkalinity)} as CaCO3; the pH swings below {_mg(wanted.low)}, and {wanted.typical.m:g} to "
        f"{_mg(wanted.high)} is good for a filter."
    )
    if "alkalinity_days" in numbers:
        words += (
            f" At full feed the filter eats {numbers['alkalinity_used'].text()} of it: {numbers['alkalinity_days'].text()} until "
            f"{_mg(wanted.low)}, if nothing brings any back."
        )
    short = _steps(reading.alkalinity, "alkalinity_wanted", floor=True)
    if short < 2:  # above 75 mg/L
        return Verdict("alkalinity", "Alkalinity", words)
    return Verdict(
        "alkalinity",
        "Alkalinity",
        words,
        Urgency.FIX if short == 3 else Urgency.IMPROVE,
        bicarbonate(pond, numbers),
        tuple(f"water.{key}" for key in ("bicarbonate_today", "ph_after_dose", "unionized_after") if key in numbers),
    )


def bicarbonate(pond: Pond, numbers: Mapping[str, Number]) -> str:
    """Say what dose of bicarbonate may go in today, or why none, and what comes first."""
    reading = latest(pond)
    if reading is None or reading.alkalinity is None:
        return "No bicarbonate: the alkalinity has not been measured."
    if reading.alkalinity >= coefficients()["alkalinity_wanted"].typical:
        return "No bicarbonate is needed."
    if missing := lacking(reading):
        return (
            f"No bicarbonate yet. It can raise the pH and so turn harmless ammonium into poison, so the same set needs {missing} as "
            "well. "
            "Measure all four within the hour, then look again."
        )
    if "unionized_after" not in numbers:
        return "No bicarbonate: the pH and the alkalinity do not fit each other. Measure both again first."
    now, after, limit = numbers["unionized_ammonia"].value, numbers["unionized_after"].value, numbers["unionized_limit"]
    higher = max(numbers[key].value.m for key in ("ph_after_dose", "ph_after_airing"))
    if after > limit.value:
        already = now > limit.value
        first = f"Un-ionized ammonia is {_mg(now)} already, past its limit of {limit.text()}. " if already else ""
        past = "" if already else f", past its limit of {limit.text()}"
        return (
            f"No bicarbonate now. {first}With a dose the pH would come to {higher:.1f} once the water has aired, and un-ionized "
            f"ammonia to {_mg(after)}{past}. First bring total ammonia down: feed less, change water (new water brings its own "
            "alkalinity), then test again."
        )
    today, wanted = numbers["bicarbonate_today"], coefficients()["alkalinity_wanted"].typical
    days = int(numbers["bicarbonate_days"].value.m)
    return (
        f"Today at most {today.text()} of pure sodium bicarbonate, dissolved in a bucket and poured in slowly where water moves: "
        f"{show(numbers['alkalinity_step'].value, 'mg/L')} of alkalinity. The pH would come to {numbers['ph_after_dose'].value.m:.1f} at "
        "once "
        f"and {numbers['ph_after_airing'].value.m:.1f} once the water has aired; un-ionized ammonia at most {_mg(after)} against "
        f"{limit.text()}. {days} such day{'s' if days > 1 else ''} reach{'' if days > 1 else 'es'} {_mg(wanted)}; test ammonia before "
        "each. "
        f"The dose counts for this set only ({reading.when})."
    )


def _hardness(pond, reading, numbers):
    if reading.hardness is None:
        return None
    wanted = coefficients()["hardness_wanted"]
    words = f"Hardness is {_mg(reading.hardness)} as CaCO3; fish want {_mg(wanted.typical)} or more."
    low = reading.hardness < wanted.typical
    if "calcite_saturation" in numbers:
        index = numbers["calcite_saturation"].value.m
        verb = "still dissolves" if index < 0 else "dissolves hardly or not at all"
        words += f" Crushed shell or limestone {verb} in it (index at most {index:.1f}; 0 is balance)."
    return Verdict(
        "hardness",
        "Hardness",
        words,
        Urgency.IMPROVE if low else None,
        "Hang a net bag of crushed shell or limestone where water moves." if low else "",
    )


def _nitrate(pond, reading, numbers):
    if "nitrate" not in numbers:
        return None
    nitrate, limit = numbers["nitrate"].value, coefficients()["nitrate_limit"]
    step = _steps(nitrate, "nitrate_limit")
    words = (
        f"Nitrate is {_mg(nitrate)} as NO3 ({_mg(reading.nitrate_n)} as N); {_mg(limit.typical)} is the usual limit for fish with "
        "plants, "
        f"{_mg(limit.high)} for fish alone."
    )
    return Verdict(
        "nitrate",
        "Nitrate",
        words,
        Urgency.FIX if step == 3 else Urgency.IMPROVE if step else None,
        "Change water, feed less, or grow more plants: the filter makes nitrate and does not take it away.",
        ("water.nitrate",),
    )


def tap_advice(pond: Pond, numbers: Mapping[str, Number]) -> Verdict:
    """Say what to do with new water before it meets fish."""
    kind = pond.tap.disinfectant if pond.tap else "unknown"
    fixed = "Tap water holds chlorine or chloramine, and 0.02 mg/L harms fish. "
    dose = (
        f"For each mg/L of total chlorine in one change of {show(numbers['change_volume'].value, 'L')}, "
        f"{numbers['remover'].text()} of sodium thiosulfate crystals; a bottled remover goes by its own label."
    )
    match kind:
        case "none":
            return Verdict(
                "tap",
                "New water",
                "The pond file says that the new water holds no chlorine.",
                Urgency.NOTE,
                "Test one bucket for chlorine all the same before the first change.",
            )
        case "chlorine":
            return Verdict(
                "tap",
                "New water",
                fixed + "Yours holds chlorine.",
                Urgency.NOTE,
                f"Take it out before the water meets fish: let it stand for days with air, or use a remover. {dose}",
                ("water.remover",),
            )
        case "chloramine":
            return Verdict(
                "tap",
                "New water",
                fixed + "Yours holds chloramine: standing does not drive it out, and each mg/L leaves "
                f"{numbers['chloramine_tan'].text()} of ammonia nitrogen behind.",
                Urgency.IMPROVE,
                f"Use a remover that says it takes chloramine, and test ammonia afterwards. {dose}",
                ("water.remover", "water.chloramine_tan"),
            )
    return Verdict(
        "tap",
        "New water",
        fixed + "The pond file does not say which.",
        Urgency.IMPROVE,
        f"Ask your water works and write it into tap.disinfectant; until then treat it as chloramine. {dose}",
        ("water.remover",),
    )
