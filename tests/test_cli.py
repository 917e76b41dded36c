"""The command line as a user meets it: a process, its two streams and its exit code."""
from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from pondwright.pond.file import blank_text, demo_text
from tests.report.handmade import NASTY, SHAPE

FIXTURES = Path(__file__).parent / "fixtures"
PONDS = [None, *sorted(p.name for p in FIXTURES.glob("*.toml"))]
A_FEW = [None, "courtyard.toml"]  # each is a process of its own; tests/report tries every pond in one


def run(*words, cwd, **choice):
    choice = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, **choice}
    env = {**os.environ, "COLUMNS": "80", "PYTHONWARNINGS": "error", **choice.pop("env", {})}
    command = [sys.executable, "-m", "pondwright.cli", *map(str, words)]
    return subprocess.run(command, cwd=cwd, env=env, encoding="utf-8", timeout=60, **choice)


def refused(done, *words, code=1, lines=1):
    """Assert that a run ended with clear lines on stderr, nothing on stdout and an exit code that is not 0."""
    assert done.returncode == code, done
    said = done.stderr.splitlines()
    assert len(said) == lines and "Traceback" not in done.stderr, done.stderr
    assert not done.stdout
    for word in words:
        assert word in done.stderr, done.stderr


# ------------------------------------------------------------------------------------------------------------------------- plan


@pytest.mark.parametrize("pond", A_FEW)
def test_plan_prints_every_stage(tmp_path, pond):
    done = run("plan", *([FIXTURES / pond] if pond else []), cwd=tmp_path)
    assert done.returncode == 0 and done.stderr == ""
    for words in ("Plan for", "In short", "Parts list", "The pond and its water", "! Caution: ", "What was assumed for you", "Sources",
                  "invented"):
        assert words in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80


def test_without_a_file_it_is_the_demo_pond_and_says_so(tmp_path):
    assert "the packaged demo pond, which is invented" in " ".join(run("plan", cwd=tmp_path).stdout.split())
    (tmp_path / "pond.toml").write_text(blank_text(), encoding="utf-8")
    assert "the packaged demo pond, which is invented" in " ".join(run("plan", cwd=tmp_path).stdout.split())
    (tmp_path / "pond.toml").write_text(f'[pond]\nname = "Mine"\n{SHAPE}', encoding="utf-8")
    done = run("plan", cwd=tmp_path)
    assert "From your file pond.toml." in done.stdout and "Plan for Mine" in done.stdout
    assert "Not planned yet: needs" in done.stdout


@pytest.mark.parametrize("system, volume", [("metric", "10900 L"), ("us", "2890 US gal"), ("imperial", "2410 imp gal")])
def test_units(tmp_path, system, volume):
    # ((5.4 - 2.2) 2.2 + pi/4 2.2²) m² x 1.01 m = 10.95 m³; / 3.785411784 and / 4.54609
    assert volume in run("plan", "--units", system, cwd=tmp_path).stdout


def test_the_files_own_units_are_used(tmp_path):
    # pi/4 x 1.27² m² x (28 + 28.5 + 27.5)/3 in x 0.0254 m = 0.9009 m³ = 198 imperial gallons
    assert "198 imp gal" in run("plan", FIXTURES / "half-barrel.toml", cwd=tmp_path).stdout
    assert "901 L" in run("plan", FIXTURES / "half-barrel.toml", "--units", "metric", cwd=tmp_path).stdout


@pytest.mark.parametrize("pond", A_FEW)
def test_json(tmp_path, pond):
    done = run("plan", *([FIXTURES / pond] if pond else []), "--json", cwd=tmp_path)
    assert done.returncode == 0 and done.stderr == ""
    found = json.loads(done.stdout)
    assert all("." in key and {"value", "unit"} <= entry.keys() for key, entry in found.items())
    assert {"survey.volume", "survey.surface_area"} <= found.keys()
    assert all(e["low"] <= e["typical"] <= e["high"] for e in found.values() if "typical" in e)


@pytest.mark.parametrize("pond", A_FEW)
def test_html(tmp_path, pond):
    done = run("plan", *([FIXTURES / pond] if pond else []), "--html", "plan.html", cwd=tmp_path)
    assert done.returncode == 0 and done.stderr == ""
    assert "is in plan.html" in done.stdout
    text = (tmp_path / "plan.html").read_text(encoding="utf-8")
    assert text.startswith("<!doctype html>") and text.endswith("</html>") and "http://" not in text and "https://" not in text
    assert run("plan", "--html", "plan.html", cwd=tmp_path).returncode == 0  # an earlier report may be replaced


def test_html_and_json_together(tmp_path):
    done = run("plan", "--html", "plan.html", "--json", cwd=tmp_path)
    assert done.returncode == 0 and "is in plan.html" in done.stderr
    assert json.loads(done.stdout) and (tmp_path / "plan.html").exists()


def test_a_nasty_name_is_text_everywhere(tmp_path):
    (tmp_path / "pond.toml").write_text(f"[pond]\nname = {json.dumps(NASTY)}\n{SHAPE}", encoding="utf-8")
    for words in (("plan",), ("check",), ("plan", "--html", "plan.html")):
        done = run(*words, cwd=tmp_path)
        assert done.returncode == 0 and "\x1b" not in done.stdout
        assert "<script>alert(1)</script> [bold]$(rm -rf ~)[/bold]" in " ".join(done.stdout.split())
    assert "<script>" not in (tmp_path / "plan.html").read_text(encoding="utf-8")


# ------------------------------------------------------------------------------------------------------------------------ check


@pytest.mark.parametrize("pond", [p for p in PONDS if p])
def test_check_is_content_with_the_fixtures(tmp_path, pond):
    done = run("check", FIXTURES / pond, cwd=tmp_path)
    assert done.returncode == 0 and "no fault found" in done.stdout and done.stderr == ""


def test_check_says_one_line_a_fault(tmp_path):
    faulty = "colour = 3\n" + demo_text().replace('"5.4 m"', '"5.4 kg"').replace('"32 %"', '"nan %"')
    (tmp_path / "pond.toml").write_text(faulty, encoding="utf-8")
    done = run("check", "pond.toml", cwd=tmp_path)
    refused(done, "pond.shape.length: '5.4 kg' is a mass; a length is needed", "fish.diet_protein: ", "colour: is not a key", lines=3)


def test_check_names_a_pump_that_cannot_lift_so_high_and_plan_plans_what_it_can(tmp_path):
    (tmp_path / "pond.toml").write_text(demo_text().replace('lift = "1.4 m"', 'lift = "4 m"'), encoding="utf-8")
    refused(run("check", cwd=tmp_path), "pump: lifts water 3.6 m at most, and plumbing.lift is 4 m: nothing would flow.", lines=1)
    done = run("plan", cwd=tmp_path)
    assert done.returncode == 0 and "nothing flows" in done.stdout


# -------------------------------------------------------------------------------------------------------------------- bad input

BAD = {
    "missing": (None, "there is no such file"), "binary": (b"\x89PNG\r\n\x00\xff\xfe", "is not a text file"), "empty": (b"", "is empty"),
    "nul": (b"a = 1\x00", "is not a text file"), "not toml": (b"depth = = 3", "cannot be read as TOML"),
    "twice": (b'[pond]\nname = "a"\nname = "b"\n', "stands twice"), "no shape": (b'[pond]\nname = "a"\n', "pond.shape: is missing"),
}


@pytest.mark.parametrize("command", ["plan", "check"])
@pytest.mark.parametrize("kind", BAD)
def test_a_bad_file(tmp_path, command, kind):
    content, words = BAD[kind]
    if content is not None:
        (tmp_path / "bad.toml").write_bytes(content)
    refused(run(command, "bad.toml", cwd=tmp_path), words)
    assert content is None or (tmp_path / "bad.toml").read_bytes() == content


def test_a_folder_for_a_file(tmp_path):
    refused(run("plan", ".", cwd=tmp_path), "cannot be read")


@pytest.mark.parametrize("words, says", [
    (("plan", "--units", "cubits"), "cubits"), (("plan", "--unit", "us"), "--unit"), (("plan", "a", "b"), "unrecognized arguments: b"),
    (("dance",), "dance"), (("start", "x", "--port", "70000"), "'70000' is not a port"),
    (("start", "x", "--port", "ten"), "'ten' is not a port"),
])
def test_bad_words(tmp_path, words, says):
    refused(run(*words, cwd=tmp_path), says, "--help", code=2)
    assert not list(tmp_path.iterdir())


def test_the_report_never_replaces_anything_but_a_page(tmp_path):
    pond = tmp_path / "pond.toml"
    pond.write_text(demo_text(), encoding="utf-8")
    (tmp_path / "notes.txt").write_text("mine")
    (tmp_path / "linked.html").symlink_to(pond)
    for target in ("pond.toml", "./pond.toml", "notes.txt", "linked.html"):
        refused(run("plan", "pond.toml", "--html", target, cwd=tmp_path), "was left alone")
    assert pond.read_text(encoding="utf-8") == demo_text() and (tmp_path / "notes.txt").read_text() == "mine"


def test_a_target_that_cannot_be_written(tmp_path):
    refused(run("plan", "--html", "nowhere/plan.html", cwd=tmp_path), "plan.html: cannot be written", "nothing was changed")
    refused(run("plan", "--html", ".", cwd=tmp_path), "is a folder")


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="root may write everywhere")
def test_a_folder_without_leave_to_write(tmp_path):
    tmp_path.chmod(0o500)
    refused(run("plan", "--html", "plan.html", cwd=tmp_path), "Permission denied")


@pytest.mark.skipif(os.name != "posix", reason="shell pipes")
def test_a_reader_that_goes_away(tmp_path):
    read, write = os.pipe()
    os.close(read)
    try:
        refused(run("plan", cwd=tmp_path, stdout=write), "closed it before the end")
    finally:
        os.close(write)


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="needs /dev/full")
def test_a_full_disk(tmp_path):
    with open("/dev/full", "w") as full:
        refused(run("plan", cwd=tmp_path, stdout=full), "cannot be written", "No space left")


@pytest.mark.skipif(os.name != "posix", reason="shell redirection")
def test_no_standard_output_at_all(tmp_path):
    command = f"{sys.executable} -m pondwright.cli plan >&-"
    done = subprocess.run(command, shell=True, cwd=tmp_path, stderr=subprocess.PIPE, text=True, timeout=60)
    assert done.returncode == 1 and len(done.stderr.splitlines()) == 1 and "nowhere to write" in done.stderr


def test_a_terminal_that_knows_only_ascii(tmp_path):
    done = run("plan", cwd=tmp_path, env={"PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"})
    assert done.returncode == 0 and done.stderr == "" and done.stdout.isascii() and "10.8 m?" in done.stdout


def test_start_where_a_file_is(tmp_path):
    (tmp_path / "my-pond").write_text("mine")
    refused(run("start", "--no-browser", cwd=tmp_path), "my-pond: is a file")


# ------------------------------------------------------------------------------------------------------------------------- help


def test_help_and_version(tmp_path):
    assert "start" in run(cwd=tmp_path).stdout
    assert run("--version", cwd=tmp_path).stdout.startswith("pondwright 0.")
    for command in ("start", "plan", "check"):
        done = run(command, "--help", cwd=tmp_path)
        assert done.returncode == 0 and "usage: pondwright" in done.stdout


def test_check_names_a_weather_file_that_cannot_serve(tmp_path):
    (tmp_path / "pond.toml").write_text(SHAPE + '[place]\nweather = "year.epw"\n', encoding="utf-8")
    refused(run("check", cwd=tmp_path), "place.weather: the weather file 'year.epw' cannot be read")
    (tmp_path / "year.epw").write_text("LOCATION,cut short", encoding="utf-8")
    refused(run("check", cwd=tmp_path), "place.weather: the weather file 'year.epw' is damaged")
