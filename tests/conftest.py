"""What every test shares: sentences for the end of the run, and a checkout that a run leaves as it was."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

import pytest
from hypothesis import settings

settings.register_profile("ci", derandomize=True)  # the same examples each time: a red run means that something changed
if os.environ.get("CI"):
    settings.load_profile("ci")

ROOT = Path(__file__).resolve().parents[1]
SAID = "said at the end of the run"


@pytest.fixture
def say(record_property):
    """Return a function that puts lines under a heading into the summary of the whole run: ``say("heading", "line")``."""
    return lambda heading, text: record_property(SAID, (heading, text))


def _changes() -> set[str] | None:
    """List what differs from the last commit, or None where there is no git."""
    done = subprocess.run(["git", "status", "--porcelain", "-z"], cwd=ROOT, capture_output=True, text=True, check=False)
    return None if done.returncode else set(filter(None, done.stdout.split("\0")))


def pytest_configure(config):
    if not hasattr(config, "workerinput"):
        config.changes_before = _changes()


def pytest_sessionfinish(session):
    """A run writes nothing into the checkout: lessons keep their pond files to themselves."""
    config = session.config
    if hasattr(config, "workerinput"):
        return
    after, before = _changes(), config.changes_before
    config.changes_made = sorted(after - before) if after is not None and before is not None else []
    if config.changes_made and os.environ.get("CI"):  # elsewhere someone may be writing while the tests run
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


def pytest_terminal_summary(terminalreporter, config):
    said: dict[str, list[str]] = {}
    for reports in terminalreporter.stats.values():
        for report in reports:
            for name, value in getattr(report, "user_properties", ()) if getattr(report, "when", "") == "call" else ():
                if name == SAID:
                    said.setdefault(value[0], []).append(value[1])
    for heading in sorted(said):
        terminalreporter.section(heading)
        for text in said[heading]:
            terminalreporter.write_line(text)
    if getattr(config, "changes_made", None):
        terminalreporter.section("the checkout changed during this run")
        for line in config.changes_made:
            terminalreporter.write_line(line)
