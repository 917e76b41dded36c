"""The README as a stranger meets it: small pictures that are there, links that lead somewhere, commands that the program takes."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from PIL import Image

ROOT = Path(__file__).resolve().parents[1]
TEXT = (ROOT / "README.md").read_text(encoding="utf-8")
PICTURES = re.findall(r'<img src="([^"]+)" width="(\d+)" alt="([^"]+)">', TEXT)


def test_it_opens_with_the_job():
    heading, job = TEXT.split("\n\n")[:2]
    assert heading == "# pondwright" and 300 < len(job) < 1000 and "`pond.toml`" in job


@pytest.mark.parametrize("source, width, alt", PICTURES)
def test_a_picture_is_there_small_and_said_in_words(source, width, alt):
    path = ROOT / source
    assert path.stat().st_size <= 120_000 and path.suffix == ".png"
    assert Image.open(path).width >= int(width) and len(alt) > 80


def test_there_is_a_lab_and_a_plan():
    assert [Path(source).stem for source, _, _ in PICTURES] == ["lab", "plan"] and TEXT.count("<img") == 2 and "![" not in TEXT


def test_links_lead_somewhere():
    for target in re.findall(r"\]\(([^)]+)\)", TEXT):
        assert target.startswith("https://www.python.org/") or (ROOT / target).exists(), target


def test_every_command_stands_there_for_both_kinds_of_machine():
    commands = [line.strip() for line in TEXT.splitlines() if line.startswith("    ")]
    long = [c for c in commands if "-m venv" in c]
    assert [c.replace("py -m", "python3 -m").replace("\\Scripts\\", "/bin/") for c in long[1::2]] == long[0::2]  # the Windows form follows
    assert long[0] == "python3 -m venv .venv && .venv/bin/pip install . && .venv/bin/pondwright start"
    assert long[2] == 'python3 -m venv .venv && .venv/bin/pip install -e ".[test]" && .venv/bin/pytest'


def test_the_options_it_names_exist():
    from pondwright.cli import _parser

    parser = _parser()
    for command in re.findall(r"bin/pondwright ((?:check|plan) .+)$", TEXT, re.M):
        assert parser.parse_args(command.split()).run
    for option in set(re.findall(r"`(--[a-z-]+)", TEXT)):
        assert option in ("--html", "--json", "--units", "--no-browser")
