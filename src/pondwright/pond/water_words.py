"""What a set of test readings means: for each reading one sentence with its number and its limit, and what to do where it is off."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from ..tables import coefficients
from ..units import Paragraph, Q, Quantity, show
from . import doses
from .doses import bicarbonate, bicarbonate_in_short, brings_ammonia, changes_in_short, changes_words
from .model import Pond
from .night import stop_feeding
from .plan import Plan
from .readings import CHANGE, Verdict, airing_poisons, hour, latest, lime_assumption, newest, salt, salty, steps
from .readings import milligrams as _mg
from .results import Assumption, Number, Urgency

GREEN = 110  # % of oxygen saturation above which algae must be at work; a judgement
DAY = (9, 21)  # hours between which oxygen stands well above its lowest, which comes before sunrise; a judgement
NIGHT_TAKES = Q(1.0, "mg/L")  # of oxygen at the least from a day's reading to sunrise; a judgement
REST = Q(4.0, "degC")  # below it fish lie still at the bottom; common practice
_LEVELS = (None, Urgency.IMPROVE, Urgency.FIX, Urgency.DANGER)
_MILD = (None, Urgency.NOTE, Urgency.IMPROVE, Urgency.FIX)
_WARM = (None, Urgency.NOTE, Urgency.FIX, Urgency.DANGER)
_CHANGE = "change water today with the chlorine taken out"


def judge(pond: Pond, numbers: Mapping[str, Number]) -> tuple[Verdict, ...]:
    """Judge the newest set of readings, in the order in which a reader should look at them."""
    reading = latest(pond)
    if reading is None:
        return ()
    rules = (_salt, _ammonia, _nitrite, _oxygen, _temperature, _ph, _carbon_dioxide, _alkalinity, _hardness, _nitrate)
    found = tuple(verdict for rule in rules if (verdict := rule(pond, reading, numbers)) is not None)
    fasting = any(v.do.startswith("Stop feeding") for v in found)
    return tuple(replace(v, do=_without_feed(v.do)) for v in found) if fasting else found


def _without_feed(do: str) -> str:
    """Take the feed out of the lesser advice, where another reading asks to stop feeding at once."""
    for words, instead in _FASTING:
        do = do.replace(words, instead)
    return do


_FASTING = (
    ("Feed less", "Do not feed"), ("feed less", "do not feed"), ("Shade the pond, feed in the cool of the morning,", "Shade the pond"),
)  # fmt: skip


def explained(plan: Plan) -> Paragraph:
    """Tell all that a plan says of the newest readings, one to a line, under the pond's name and the date; for a lesson."""
    stage = plan["water"]
    told = [f"- {words}" for _, words in stage.grids[0].rows]
    first = stage.facts.get("newest", "There are no readings yet.")
    return Paragraph("\n".join([f"{plan.pond.name}. {first}", *told, f"- Bicarbonate: {stage.facts['bicarbonate']}"]))


def in_short(pond: Pond, numbers: Mapping[str, Number]) -> str:
    """Say what the ammonia test means and what may be done about it, in two short sentences and one on bicarbonate; for a screen."""
    reading, worst, limit = latest(pond), numbers["unionized_worst"].value, coefficients()["unionized_ammonia_limit"]
    share = show(numbers["unionized_share"].value, "%", digits=2)
    words = f"{share} of the ammonia is un-ionized, the part that poisons: {_mg(numbers['unionized_ammonia'].value)} at pH {reading.ph.m:g}"
    if worst > numbers["unionized_ammonia"].value:
        words += f", and {_mg(worst)} once the water has aired (pH {numbers['ph_aired'].value.m:.1f})"
    step = steps(worst, "unionized_ammonia_limit")
    end = (limit.low, limit.low, limit.typical, limit.high)[step]
    words += f". That is {'above' if step else 'below'} {_mg(end)}, {_LIMIT_WORDS[step]}."
    change = changes_in_short(numbers)
    return f"{words}{f' {change}.' if change else ''} {bicarbonate_in_short(pond, numbers)}"


_LIMIT_WORDS = ("the strictest limit", "the strictest limit", "the usual limit", "from which harm is seen")


def _salt(pond, reading, numbers):
    if not salty(pond):
        return None
    (most, made_out), bears = salt(pond), coefficients()["fish_salt"]
    far = most > bears.high
    words = (
        f"{made_out} {show(most, 'g/L')} of salt; fish of fresh water bear {show(bears.low, 'g/L')} to {show(bears.high, 'g/L')} for some "
        "weeks. What is said below of ammonia, oxygen and carbon dioxide holds for fresh water only."
    )
    cure = (
        "Measure again. If it is true, add no salt of any kind, find out where it comes from, and change water in small parts, day by day, "
        "with fresh water without chlorine: a jump harms fish as well. Fish of the sea are not in this plan."
    )
    return Verdict("salt", "Salt", words, Urgency.DANGER if far else Urgency.FIX, cure)


def _ammonia(pond, reading, numbers):
    tan, limit = reading.tan, coefficients()["unionized_ammonia_limit"]
    if tan is None:
        return Verdict(
            "ammonia", "Ammonia", "This set has no ammonia reading.", Urgency.IMPROVE,
            "Test total ammonia, pH and temperature at the same moment, in the late afternoon.",
        )  # fmt: skip
    if "unionized_worst" not in numbers:
        return Verdict(
            "ammonia", "Ammonia",
            f"The test counts all ammonia, {_mg(tan)}; without pH and temperature nobody can say how much of it is poisonous.",
            Urgency.IMPROVE if tan.m else None, "Measure pH and temperature at the same moment as ammonia.",
        )  # fmt: skip
    worst, refs = numbers["unionized_worst"].value, ("water.unionized_ammonia", "water.tan_limit")
    if not tan.m:
        most = numbers["tan_limit"].text()
        words = f"The test shows no ammonia; a kit may miss what lies below its first step. Up to {most} would keep the strictest limit."
        return Verdict("ammonia", "Ammonia", words, numbers=refs)
    words = (
        f"The test counts all ammonia, {_mg(tan)}; at pH {reading.ph.m:g} and {show(reading.temperature, 'degC')} "
        f"{show(numbers['unionized_share'].value, '%', digits=2)} of it is un-ionized, the part that poisons: "
        f"{_mg(numbers['unionized_ammonia'].value)} as N. "
    )
    if worst > numbers["unionized_ammonia"].value:
        later, comes = numbers["ph_aired"].value.m, "may come" if numbers["ph_aired"].has_band else "comes"
        words += f"Carbon dioxide holds the pH down: once the water has aired, that {comes} to {later:.1f} and this part to {_mg(worst)}. "
        refs = (*refs, "water.unionized_aired")
    step = steps(worst, "unionized_ammonia_limit")
    words += (
        "That is below the strictest published limit, {low}.",
        "That is above the strictest published limit, {low}, and below the usual one, {typical}.",
        "That is above the usual limit, {typical}; harm is seen from {high}.",
        "That is above {high}, from which harm is seen.",
    )[step].format(low=_mg(limit.low), typical=_mg(limit.typical), high=_mg(limit.high))
    return Verdict("ammonia", "Ammonia", words, _LEVELS[step], _ammonia_cure(numbers, step) if step else "", refs)


def _ammonia_cure(numbers, step: int) -> str:
    change = changes_words(numbers)
    change = f"{change}. " if change else ""
    hidden = airing_poisons(numbers)
    if step == 3:
        air = (
            "keep the pump running but add no air (as carbon dioxide leaves, the pH rises and ammonium turns into poison)"
            if hidden
            else "keep air and pump running"
        )
        return f"Stop feeding now, {air}, and {_CHANGE}. {change}Test again tomorrow."
    wait = "Until it is down, let nothing raise the pH: no hard airing, no bicarbonate, no new water of a higher pH." if hidden else (
        "Do not add anything that raises the pH."
    )
    return f"Feed less, see that the filter gets its flow, and test again in two days in the late afternoon. {change}{wait}"


def _nitrite(pond, reading, numbers):
    if "nitrite" not in numbers:
        return None
    nitrite, (chloride, source) = numbers["nitrite"].value, newest(pond, "chloride")
    limit = coefficients()["nitrite_limit"]
    words = f"Nitrite is {_mg(nitrite)} as NO2 ({_mg(reading.nitrite_n)} as N). "
    if not nitrite.m:
        return Verdict("nitrite", "Nitrite", words + "There is none to speak of.")
    refs, step = ("water.nitrite", "water.chloride_wanted"), steps(nitrite, "nitrite_limit")
    if not step:
        words += f"Up to {_mg(limit.low)} even sensitive cold-water fish bear it."
        return Verdict("nitrite", "Nitrite", words, numbers=refs)
    if chloride is None:
        words += (
            f"Chloride keeps it out of the blood of fish, and chloride was not measured; without it the limit is {_mg(limit.low)} for "
            f"cold-water and {_mg(limit.high)} for warm-water fish."
        )
        level = Urgency.DANGER if step == 3 else Urgency.IMPROVE
        return Verdict("nitrite", "Nitrite", words, level, f"{_nitrite_cure(numbers, level)} Measure chloride.", refs)
    ratio = chloride.m_as(nitrite.units) / nitrite.m
    older = "" if source is reading else f" (read {source.when})"
    words += f"Chloride is {_mg(chloride)}{older}, {ratio:.3g} times the nitrite; fish are shielded from about 10 times on (some say 6)."
    if ratio >= 10:
        level = Urgency.IMPROVE if step == 3 else None
        cure = "Find out why the filter leaves so much: flow, air, warmth or age." if level else ""
        return Verdict("nitrite", "Nitrite", words, level, cure, refs)
    added = ""
    if "salt_for_nitrite" in numbers:
        added = (
            f" Ask first whether your plants bear salt; then {numbers['salt_for_nitrite'].text()} of plain salt (no additives), dissolved "
            "in a bucket, lifts the chloride to 10 times the nitrite."
        )
    elif (wanted := numbers["chloride_wanted"].value) > (bear := coefficients()["plant_chloride"].low):
        added = (
            f" To shield the fish would take {_mg(wanted)} of chloride, and sensitive plants bear {_mg(bear)}: no dose is told here. Where "
            "no plants hang on the water, ask a fish health service about salt."
        )
    level = Urgency.IMPROVE if ratio >= 6 else Urgency.DANGER if step == 3 else Urgency.FIX
    return Verdict("nitrite", "Nitrite", words, level, _nitrite_cure(numbers, level) + added, refs)


def _nitrite_cure(numbers, level: Urgency) -> str:
    if level is not Urgency.DANGER:
        return "Feed less, see that the filter keeps its flow and air, and change water."
    air = "" if airing_poisons(numbers) else ", add air (the blood carries less oxygen)"
    return f"Stop feeding now{air}, and {_CHANGE}; test again tomorrow."


def _oxygen(pond, reading, numbers):
    if reading.oxygen is None:
        return None
    limit, at = coefficients()["oxygen_wanted"], hour(reading)
    share = numbers["oxygen_share"].value.m if "oxygen_share" in numbers else None
    words = f"Oxygen is {_mg(reading.oxygen)}" + ("" if share is None else f", {share:.0f} % of what this water can hold")
    words += f"; fish want {_mg(limit.typical)} or more and are in danger below {_mg(limit.low)}."
    by_day = at is None or DAY[0] <= at <= DAY[1]
    if by_day:
        when = "The hour was not written down" if at is None else f"It was taken by day, at {at}:00 or after"
        dawn = max(reading.oxygen - NIGHT_TAKES, 0 * NIGHT_TAKES)
        words += f" {when}; the lowest comes just before sunrise, at least {_mg(NIGHT_TAKES)} lower, so it is judged as {_mg(dawn)}."
    # steps count the ends missed: one end missed is the highest, 6 mg/L
    level = steps(reading.oxygen - NIGHT_TAKES if by_day else reading.oxygen, "oxygen_wanted", floor=True)
    refs = ("water.oxygen_share",)
    if level:
        return Verdict("oxygen", "Oxygen", words, _LEVELS[level], _oxygen_cure(numbers, level), refs)
    if share is not None and share > GREEN:
        words += " More than 100 % comes from algae, which use oxygen up again at night."
        return Verdict("oxygen", "Oxygen", words, Urgency.IMPROVE, "Measure again before sunrise.", refs)
    return Verdict("oxygen", "Oxygen", words, numbers=refs)


def _oxygen_cure(numbers, level: int) -> str:
    poison = airing_poisons(numbers)
    if level == 3:
        also = " The pH then rises and with it the poisonous ammonia, so change water today as well; see ammonia." if poison else ""
        return f"Stop feeding, start air and pump at once, and thin out fish or plants if it comes again.{also}"
    if poison:
        return "Feed less, and measure before sunrise. No extra air until the ammonia is down: the pH would rise and poison the fish."
    return "Add air, feed less, and measure before sunrise."


_WARMEST = {"koi": ("warmest_carp", "koi"), "common carp": ("warmest_carp", "carp"), "goldfish": ("warmest_goldfish", "goldfish")}


def _temperature(pond, reading, numbers):
    warmth = reading.temperature
    if warmth is None:
        return None
    name, fish = _WARMEST.get(pond.fish.species if pond.fish else "other", ("warmest_other", ""))
    limit = coefficients()[name]
    low, typical, high = (show(limit.at(end), "degC") for end in ("low", "typical", "high"))
    words = f"The water is {show(warmth, 'degC')}; "
    words += (
        f"{fish} are at ease up to about {low}, are kept up to {typical}, and may die from {high} on."
        if fish
        else f"fish of cold water (trout) want less than {low}; fish of warm water are kept up to {typical} and may die from {high} on."
    )
    level, air = steps(warmth, name), "" if airing_poisons(numbers) else ", move the water by night"
    if level > 1:
        cure = f"Shade the pond, stop feeding in the heat{air}, and measure oxygen before sunrise. Cool water goes in slowly."
        return Verdict("temperature", "Temperature", words, _WARM[level], cure)
    if level:
        cure = "Shade the pond, feed in the cool of the morning, and measure oxygen before sunrise."
        return Verdict("temperature", "Temperature", words, _WARM[level], cure if fish else f"Find out what your fish bear. {cure}")
    stop = stop_feeding(pond) if pond.fish else coefficients()["stop_feeding"].typical
    if warmth >= stop:
        return Verdict("temperature", "Temperature", words)
    words += f" Below {show(stop, 'degC')} they hardly digest."
    cure = "Do not feed until the water is warmer."
    if warmth < REST:
        cure += " Leave the fish in peace at the bottom. Keep a hole in the ice from the edge, without blows, and nobody steps on ice."
    return Verdict("temperature", "Temperature", words, Urgency.NOTE, cure)


def _ph(pond, reading, numbers):
    if reading.ph is None:
        return None
    c, ph = coefficients(), reading.ph
    words = f"pH is {ph.m:g}; fish do well from {c['ph_least'].typical.m:g} to {c['ph_most'].typical.m:g}."
    lowest, highest = c["ph_deadly_low"].typical, c["ph_deadly_high"].typical
    if ph < lowest or ph > highest:
        words += f" {'Below' if ph < lowest else 'Above'} {(lowest if ph < lowest else highest).m:g} they may die."
        return Verdict("ph", "pH", words, Urgency.DANGER, _ph_alarm(ph < lowest))
    low, high = steps(ph, "ph_least", floor=True), steps(ph, "ph_most")
    aired = numbers.get("ph_aired")
    if high and aired is not None and ph <= aired.value:
        return Verdict(
            "ph", "pH",
            f"{words} This water's own alkalinity brings it there (up to {aired.value.m:.1f} once it has aired), and so high a pH turns "
            "ammonia poisonous.",
            _MILD[high],
            "Feed less. Shade alone does not bring it down; plants that take up ammonia help, and rain water in small parts. Do not pour "
            "in acid: it frees carbon dioxide and the pH swings back.",
        )  # fmt: skip
    if high:
        return Verdict(
            "ph", "pH", words + " High pH in the afternoon comes from algae and turns ammonia poisonous.", _MILD[high],
            "Shade the pond, take out algae, feed less. Do not pour in acid: it frees carbon dioxide and the pH swings back.",
        )  # fmt: skip
    if low and reading.alkalinity is not None and reading.alkalinity > c["alkalinity_wanted"].low:
        return Verdict(
            "ph", "pH",
            f"{words} Low pH slows the filter. The alkalinity is not used up, so carbon dioxide holds the pH down, or one of the two was "
            "read wrong.",
            _MILD[low], "Measure pH and alkalinity again, and see carbon dioxide.",
        )  # fmt: skip
    if low:
        return Verdict(
            "ph", "pH", words + " Low pH slows the filter; it mostly means that the alkalinity is used up.", _MILD[low],
            "Measure alkalinity and total ammonia, and raise the alkalinity in small steps, if bicarbonate is not refused below.",
        )  # fmt: skip
    return Verdict("ph", "pH", words)


def _ph_alarm(acid: bool) -> str:
    first = (
        "Measure again at once with a fresh kit or a newly set meter. If it is true, stop feeding, test total ammonia, and change water in "
        "small parts with the chlorine taken out, watching the fish. "
    )
    if acid:
        return first + "Look for the cause: a spill, peat, melting snow, alkalinity used up. No lime and no soda: a jump of the pH kills."
    return first + "Look for the cause: fresh concrete or mortar, lime, a dense bloom of algae. No acid: a jump of the pH kills."


def _carbon_dioxide(pond, reading, numbers):
    if reading.ph is None or reading.alkalinity is None or reading.temperature is None:
        return None
    if "carbon_dioxide" not in numbers:
        return Verdict(
            "contradiction", "pH and alkalinity",
            f"A pH of {reading.ph.m:g} with an alkalinity of {_mg(reading.alkalinity)} cannot be: carbon dioxide would be "
            f"{'more than water can hold' if reading.ph.m < 5 else 'less than none'}.",
            Urgency.IMPROVE, "Measure both again with fresh reagents.",
        )  # fmt: skip
    gas, limit = numbers["carbon_dioxide"].value, coefficients()["carbon_dioxide_limit"]
    step = steps(gas, "carbon_dioxide_limit")
    words = (
        f"Carbon dioxide, worked out from pH and alkalinity, is {_mg(gas)}; fish bear {limit.low.m:g} to {_mg(limit.high)} "
        "(limits from memory, unverified) while oxygen is good."
    )
    cure = "Stir or air the water: carbon dioxide leaves through the surface."
    if airing_poisons(numbers):
        cure = "Do not stir or air the water yet: as the gas leaves, the pH rises and ammonium turns into poison. Bring that down first."
        if step == 3 and steps(numbers["unionized_aired"].value, "unionized_ammonia_limit") < 3:
            cure = (
                "So much of it harms fish by itself: air the water gently, over some days. As the gas leaves, the pH rises and with it the "
                "poisonous ammonia, so feed less, change water and test ammonia each day; see ammonia."
            )
    if gas > doses.TOO_MUCH_GAS:
        words += " So much stands only in water fresh from a well or in a closed bottle; elsewhere one of the two was read wrong."
        cure = f"Measure pH and alkalinity again at once, with fresh reagents. If both are true: {cure[0].lower()}{cure[1:]}"
    return Verdict("carbon_dioxide", "Carbon dioxide", words, _MILD[step], cure if step else "", ("water.carbon_dioxide",))


def _alkalinity(pond, reading, numbers):
    if reading.alkalinity is None:
        return None
    wanted = coefficients()["alkalinity_wanted"]
    words = (
        f"Alkalinity is {_mg(reading.alkalinity)} as CaCO3; below {_mg(wanted.low)} the pH swings from day to night, and "
        f"{_mg(wanted.typical)} or more is good for fish and filter."
    )
    if "alkalinity_days" in numbers and reading.alkalinity > wanted.low:
        words += (
            f" At full feed the filter eats {numbers['alkalinity_used'].text()} of it: after {numbers['alkalinity_days'].value.m:.0f} days "
            f"{_mg(wanted.low)} is left, if nothing brings any back."
        )
    if "alkalinity_changed" in numbers:
        words += f" One water change brings it to {numbers['alkalinity_changed'].text()}."
    short = steps(reading.alkalinity, "alkalinity_wanted", floor=True)
    if short < 2:  # above 75 mg/L
        return Verdict("alkalinity", "Alkalinity", words)
    return Verdict(
        "alkalinity", "Alkalinity", words, Urgency.FIX if short == 3 else Urgency.IMPROVE, bicarbonate(pond, numbers),
        tuple(f"water.{key}" for key in ("bicarbonate_today", "ph_after_dose", "unionized_after") if key in numbers),
    )  # fmt: skip


def _ph_band(ph: Number) -> str:
    return f"{ph.low.m:.1f} to {ph.high.m:.1f}, typically {ph.typical.m:.1f}"


def _hardness(pond, reading, numbers):
    known = reading.calcium_hardness if reading.hardness is None else reading.hardness
    if known is None:
        return None
    wanted, what = coefficients()["hardness_wanted"], "Calcium hardness" if reading.hardness is None else "Hardness"
    words = f"{what} is {_mg(known)} as CaCO3; fish want {_mg(wanted.typical)} or more."
    low = known < wanted.typical
    if "calcite_saturation" in numbers:
        index = numbers["calcite_saturation"].value.m
        verb = "still dissolves" if index < 0 else "dissolves hardly or not at all"
        words += f" Crushed shell or limestone {verb} in it (saturation index at most {index:.1f}: below 0 it dissolves, at 0 no more)."
    if "ph_aired" in numbers and numbers["ph_aired"].has_band and not salty(pond):
        words += f" As it airs, lime may drop out of it and coat pipes and media: its pH then comes to {_ph_band(numbers['ph_aired'])}."
    cure = "Hang a net bag of crushed shell or limestone where water moves." if low else ""
    return Verdict("hardness", "Hardness", words, Urgency.IMPROVE if low else None, cure)


def _nitrate(pond, reading, numbers):
    if "nitrate" not in numbers:
        return None
    nitrate, limit = numbers["nitrate"].value, coefficients()["nitrate_limit"]
    step = steps(nitrate, "nitrate_limit")
    words = (
        f"Nitrate is {_mg(nitrate)} as NO3 ({_mg(reading.nitrate_n)} as N); {_mg(limit.typical)} is the usual limit for fish with "
        f"plants, {_mg(limit.high)} for fish alone."
    )
    level = Urgency.FIX if step == 3 else Urgency.IMPROVE if step else None
    if level is None:
        return Verdict("nitrate", "Nitrate", words, numbers=("water.nitrate",))
    cure = f"Change water{_nitrate_changes(pond, numbers)}, feed less, or grow more plants: the filter makes nitrate and leaves it."
    return Verdict("nitrate", "Nitrate", words, level, cure, ("water.nitrate", "water.nitrate_changes"))


def _nitrate_changes(pond, numbers) -> str:
    if "nitrate_changes" not in numbers:
        return " from elsewhere (your new water holds too much itself)"
    own = pond.tap.nitrate_n if pond.tap else None
    told = "if the new water holds none" if own is None else f"with new water that holds {_mg(own)} as N"
    return f" ({numbers['nitrate_changes'].text()} changes reach the usual limit, {told})"


def assumptions(pond: Pond, numbers: Mapping[str, Number], step: Quantity) -> tuple[Assumption, ...]:
    """Name what the water's part of the plan takes for granted; `step` is the alkalinity that one day may bring."""
    bound = Assumption("New water holds no ammonia of its own.", ("Practice",))
    if brings_ammonia(pond):
        some, most = (show(coefficients()["chloramine"].at(end), "mg/L") for end in ("low", "high"))
        bound = Assumption(f"New water holds {some} to {most} of chloramine, as Cl2.", coefficients()["chloramine"].sources)
    lime = (lime_assumption(),) if "ph_aired" in numbers and numbers["ph_aired"].has_band else ()
    daily = Assumption(
        f"The alkalinity rises by at most {show(step, 'mg/L')} (as CaCO3) a day, and one water change is {CHANGE.m:g} % of the pond.",
        ("Practice",),
    )
    return (*_ASSUMPTIONS, daily, bound, *lime)


_ASSUMPTIONS = (
    Assumption(
        "The tests read right: kit reagents are in date, and nitrogen is written as N (a kit that gives the ion reads higher: nitrate "
        "4.43, nitrite 3.28, ammonia 1.22 times).",
        ("AtomicWeights",),
    ),
    Assumption(
        "Ions are counted as if alone in the water, which gives up to 5 % more carbon dioxide than there is.", ("PlummerBusenberg1982",)
    ),
    Assumption("Less than 0.02 mg/L of free chlorine or chloramine harms fish.", ("WEF8",)),
    Assumption("The air holds 420 parts of carbon dioxide in a million.", ("Practice",)),
)
CAUTIONS = (
    "Chemicals: read the label and safety sheet, wear gloves and goggles, weigh and dissolve in a bucket first (chemical into water, "
    "never water onto chemical), keep them dry, locked and apart, and never mix them. An adult does the dosing. Quicklime, hydrated lime "
    "and lye burn skin and eyes and kill fish: they are not for a pond with fish.",
    "Purity stands on the label, not here: doses are for the pure substance. Use plain salt and plain baking soda without additives.",
    "Never change much water at once: a jump in temperature or pH harms fish, and new water of higher pH turns ammonium into poison. "
    "Chlorine and chloramine must be out before the water meets fish; where there is chloramine, its ammonia too.",
    "Hygiene: test reagents can be poisonous, so no tasting, no mouth near the tube, and waste goes where its leaflet says. Cover cuts, "
    "wear gloves, and wash hands after any contact with pond water.",
    "Produce that was watered from a salted or medicated pond is not for eating unless the label of what went in allows it; salt does "
    "not leave by itself, and a salted pond must not drain into a stream or onto a bed.",
    "Sick fish need a veterinarian or a fish health service, not only a number.",
)
