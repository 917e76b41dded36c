"""The numbers that a lesson tells beside its lab are what the lab says of the demo pond; a change of the computation shows up here."""

from __future__ import annotations

import re
from pathlib import Path

import nbformat
import pytest

from pondwright import labs
from pondwright.pond.file import demo_pond
from pondwright.pond.overview import needs
from pondwright.units import Q

NOTEBOOKS = Path(__file__).resolve().parents[2] / "notebooks"


def told(number: str) -> str:
    """Return the words between the lab and the next heading, on one line."""
    path = next(NOTEBOOKS.glob(f"{number}-*.ipynb"))
    cells = nbformat.read(path, as_version=4).cells
    after = next(n for n, c in enumerate(cells) if "nbval-ignore-output" in c.metadata.get("tags", [])) + 1
    end = next(n for n in range(after, len(cells)) if cells[n].source.startswith("## "))
    return " ".join(" ".join(c.source for c in cells[after:end]).split())


def numbers(pattern: str, text: str) -> list[float]:
    """Return the numbers that the pattern's groups find; the words must be there."""
    found = re.search(pattern, text)
    assert found, f"{pattern!r} is not in the lesson: {text}"
    return [float(n) for n in found.groups()]


def near(said: float, value: float, unit: float = 1.0) -> bool:
    """Tell whether a rounded number is the value: half of its last place, which is `unit`."""
    return abs(said - value) <= unit / 2 + 1e-9


def test_lesson_00_the_filter_runs_short_first_and_by_how_much():
    shares = {n.name: n.share for n in needs(labs.OverviewLab(demo_pond()).result)}
    assert "the filter runs short first: its bar reaches more than twice as far as the line" in told("00")
    assert max(shares, key=shares.get) == "filter" and 2 < shares["filter"] < 2.5


def test_lesson_02_hours_of_the_small_and_the_grown_fish():
    small, grown = numbers(r"the small fish have (\d+) hours at the cautious end, the grown ones (\d+)", told("02"))
    lab = labs.StockingLab(demo_pond())
    lab.set(species="goldfish", count=10, length="12 cm", grown="24 cm", volume="5000 L", depth="1 m")
    assert near(small, lab.result["fish.hours_to_4"].value.m_as("h"))
    light = lab.result["fish.biomass"].value
    lab.set(length="24 cm")
    assert near(grown, lab.result["fish.hours_to_4"].value.m_as("h"))
    assert "more than six times as much" in told("02") and 6 < (lab.result["fish.biomass"].value / light).m_as("") < 7


def test_lesson_04_media_of_the_two_ponds():
    a, b = numbers(r"pond A needs about (\d+) L of media and pond B about (\d+) L", told("04"))
    for ph, said in ((7.6, a), (8.4, b)):
        lab = labs.FilterLab(demo_pond())
        lab.set(feed="40 g/d", temperature="20 degC", ph=ph, hours="24 h/d", media="lava_rock")
        needed = lab.result["filter.media_needed"].value.m_as("L")
        assert needed <= said <= needed + 10, "the next step of the slider at which the bar reaches the line"


def test_lesson_05_two_vessels_that_stand_still():
    lab = labs.VesselLab(demo_pond())
    drained = lab.result["vessel.safe_stop"]
    lab.set(height="76 cm")
    flooded = lab.result["vessel.safe_stop"]
    assert "A drained bed has hours to days. A flooded one has perhaps less than an hour" in told("05")
    assert Q(3, "h") < drained.low < Q(1, "d") < drained.typical and flooded.low < Q(1, "h")


def test_lesson_06_flows_that_arrive():
    text, lab = told("06"), labs.PlumbingLab(demo_pond())

    def flow(**moved):
        lab.set(**({"bore": "28 mm", "lift": "1.4 m", "speed": "100 %"} | moved))
        return lab.result["plumbing.flow"].typical.m_as("L/min")

    whole, narrow = numbers(r"About (\d+) L/min arrive, and (\d+) or less with a pipe of 14 mm", text)
    assert near(whole, flow()) and near(narrow, flow(bore="14 mm"))
    high, low = numbers(r"It is (\d+) % with the outlet at 1.4 m, and (\d+) % at 0.5 m", text)
    assert near(high, 100 * flow(speed="80 %") / flow())
    assert near(low, 100 * flow(speed="80 %", lift="0.5 m") / flow(lift="0.5 m"))
    (lower,) = numbers(r"Lowering the outlet by (\d+) cm brings about as much as a pipe one size wider", text)
    assert flow(lift=f"{1.4 - lower / 100} m") == pytest.approx(flow(bore="34 mm"), rel=0.02)  # 40 mm of PN 16


def test_lesson_07_what_the_loads_take():
    text, lab = told("07"), labs.LoadsLab(demo_pond())
    together, alone = numbers(r"use up a full battery in (\d+) hours; the pump alone takes (\d+)", text)
    assert near(alone, lab.result["power.battery_days"].value.m_as("h"))
    lab.set(first="60 W", first_hours="10 h/d")
    assert near(together, lab.result["power.battery_days"].value.m_as("h"))


WINTER = {  # what is moved: the lesson's words; the first group is the hours a day in November, two more the longest stops
    (): r"carry it for (\d+) hours of a dull November day. It stands still for up to (\d+) hours on end \((\d+) in January",
    (("battery", "220 Ah"),): r"Twice the battery brings (\d+) hours",
    (("panel", "800 W"),): r"twice the panel (\d+)",
    (("pump", "12 W"),): r"a pump of 12 W (\d+) hours",
    (("tilt", "0 deg"),): r"Flat panels bring (\d+) hours",
    (("azimuth", "90 deg"),): r"panels that face east (\d+)",
}


@pytest.mark.parametrize("moved", WINTER, ids=str)
def test_lesson_08_the_dark_months(moved):
    said = numbers(WINTER[moved], told("08"))
    lab = labs.PowerLab(demo_pond())
    lab.set(**dict(moved))
    season = lab.result["season"]
    assert near(said[0], season["run_hours"].value.m_as("h/d"))
    if not moved:
        gaps = season.series["gap"].m_as("h")
        assert near(said[1], gaps[10]) and near(said[2], gaps[0])


def test_lesson_08_trees_and_no_stop_at_all():
    lab, text = labs.PowerLab(demo_pond()), told("08")
    free = lab.result["season.run_hours"].value.m_as("h/d")
    lab.set(shade="20 deg")
    assert "Trees of 20 degrees take five hours a day" in text
    assert near(5, free - lab.result["season.run_hours"].value.m_as("h/d"))
    lab.set(shade="0 deg", pump="12 W", battery="220 Ah")
    assert "there is no stop at all from March to November" in text and max(lab.result["season"].series["gap"].m_as("h")[2:11]) < 1


def test_lesson_09_where_the_dose_is_refused():
    (said,) = numbers(r"At ([\d.]+) mg/L of total ammonia the lab says no", told("09"))
    lab = labs.WaterLab(demo_pond())
    lab.set(ph=7.6, temperature="20 degC", alkalinity="40 mg/L")
    for hundredths in range(0, 105, 5):
        lab.set(tan=f"{hundredths / 100} mg/L")
        if "No bicarbonate now" in lab.words:
            break
    assert near(100 * said, hundredths, 1)


def test_lesson_08_how_good_days_made_of_monthly_means_are():
    from pondwright.pond.stages.season import LARGEST, LONGER, SHORTER, USUAL

    cells = nbformat.read(next(NOTEBOOKS.glob("08-*.ipynb")), as_version=4).cells
    text = " ".join(" ".join(c.source for c in cells).split())
    usual, largest = numbers(r"lay within (\d+) percentage points of the month \(a point is 7 hours\); the worst was (\d+) off", text)
    shorter, longer = numbers(r"it was ([\d.]+) to ([\d.]+) times as long, in nine of ten cases", text)
    assert (usual, largest, shorter, longer) == (USUAL, LARGEST, SHORTER, LONGER)
