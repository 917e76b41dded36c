"""How long things take: printed at the end of the run, compared with the goal, never a reason to fail."""

from __future__ import annotations

import statistics
import subprocess
import sys
import time

HEADING = "speed (goals are for a quiet machine)"
IMPORT = "import time; t = time.perf_counter(); import pondwright; print(time.perf_counter() - t)"
FIRST_PLAN = (
    "import time; t = time.perf_counter(); from pondwright import demo_pond, findings, plan; p = plan(demo_pond()); findings(p); "
    "print(time.perf_counter() - t)"
)


def fresh(code: str, times: int = 3) -> float:
    """Run code in fresh processes and return the median of what it prints, in ms."""
    runs = [subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout for _ in range(times)]
    return 1000 * statistics.median(float(r) for r in runs)


def test_import(say):
    alone = fresh(IMPORT)
    with_plan = fresh(FIRST_PLAN)
    say(HEADING, f"import pondwright: {alone:.0f} ms (goal 250); with the first plan and its findings: {with_plan:.0f} ms")
    assert 0 < alone < with_plan


def test_plan(say):
    from pondwright import demo_pond, findings, plan

    pond, times, found = demo_pond(), [], []
    for _ in range(15):
        start = time.perf_counter()
        planned = plan(pond)
        middle = time.perf_counter()
        findings(planned)
        times.append(1000 * (middle - start))
        found.append(1000 * (time.perf_counter() - middle))
    stages = ", ".join(f"{key} {_stage_ms(pond, planned, key):.1f}" for key in planned.stages)
    say(HEADING, f"plan(pond): median {statistics.median(times):.1f} ms (goal 20); findings: {statistics.median(found):.1f} ms")
    say(HEADING, f"by stage, ms: {stages}")
    assert all(stage.planned for stage in planned.stages.values())


def _stage_ms(pond, planned, key: str) -> float:
    from pondwright.pond.plan import stage_module

    before = {k: s for k, s in planned.stages.items() if list(planned.stages).index(k) < list(planned.stages).index(key)}
    times = []
    for _ in range(7):
        start = time.perf_counter()
        stage_module(key).plan(pond, before)
        times.append(1000 * (time.perf_counter() - start))
    return statistics.median(times)


def test_plan_on_the_command_line(say, tmp_path):
    times = []
    for _ in range(3):
        start = time.perf_counter()
        done = subprocess.run(
            [sys.executable, "-c", "import sys; from pondwright.cli import main; sys.exit(main())", "plan"],
            cwd=tmp_path, capture_output=True, text=True, check=True, encoding="utf-8",
        )
        times.append(1000 * (time.perf_counter() - start))
    say(HEADING, f"pondwright plan, whole process: median {statistics.median(times):.0f} ms (goal 2000)")
    assert "Slipway basin" in done.stdout and len(done.stdout.splitlines()) > 40


def test_a_year_of_hours(say):
    """Sun, battery and pump hour by hour; and the sun alone, as when a slider tilts the panel."""
    from dataclasses import replace

    from pondwright import demo_pond
    from pondwright.pond import offgrid, season

    pond = demo_pond()
    offgrid.year_of(pond)  # imports pvlib
    weather, mount = offgrid.weather_of(pond), offgrid.mount_of(pond)
    supply, bright = offgrid.supply_of(pond, "low", tuple(weather.by_month(weather.air).tolist()), True)
    suns, years = [], []
    for n in range(7):
        start = time.perf_counter()
        light = season.sun_on_panel(weather, replace(mount, tilt=40.0 + n))
        middle = time.perf_counter()
        pump, *_ = (watts * season.hours_of_day(hours, around) for watts, hours, around in offgrid.loads_of(pond))
        found = season.season(weather, bright * light, supply, pump, 0 * pump)
        suns.append(1000 * (middle - start))
        years.append(1000 * (time.perf_counter() - start))
        assert found.run_hours.shape == (12,)
    say(HEADING, f"a year of hours: {statistics.median(years):.0f} ms (goal 150), of which the sun {statistics.median(suns):.0f} ms")


def test_labs_of_the_supply(say):
    """A move of a slider to the new picture and sentence, without the browser."""
    from pondwright.labs import LoadsLab, PowerLab
    from pondwright.pond.file import demo_pond

    moves = ((PowerLab, "battery", "{} Ah", 100), (PowerLab, "tilt", "{} deg", 200), (LoadsLab, "first_hours", "{} h/d", 100))
    for kind, name, text, goal in moves:
        lab, times = kind(demo_pond()), []
        for value in range(12, 22):
            start = time.perf_counter()
            lab.set(**{name: text.format(value)})
            times.append(1000 * (time.perf_counter() - start))
        say(HEADING, f"{kind.__name__}, {name}: median {statistics.median(times):.0f} ms (goal {goal})")
        assert lab.words
