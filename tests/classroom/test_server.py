"""The server that shows the lessons: this Python, this computer only, nothing asked of the network."""
from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import urllib.request

import pytest

from pondwright.classroom.server import HERE, ServerError, command, free_port, surroundings


def test_a_taken_port_is_said():
    with socket.socket() as taken:
        taken.bind((HERE, 0))
        taken.listen()
        port = taken.getsockname()[1]
        with pytest.raises(ServerError, match=f"port {port} is taken"):
            free_port(port)
    assert free_port() >= 8888


def test_the_command(tmp_path, monkeypatch):
    said = command(tmp_path, "00 first.ipynb", 8899, browser=False)
    assert said[:3] == [sys.executable, "-m", "jupyterlab"]
    assert "--ServerApp.ip=127.0.0.1" in said and "--ServerApp.open_browser=False" in said
    assert "--LabApp.default_url=/lab/tree/00%20first.ipynb" in said
    for uid, root in ((0, True), (1000, False)):
        monkeypatch.setattr(os, "geteuid", lambda uid=uid: uid, raising=False)
        assert ("--allow-root" in command(tmp_path, "x", 8899, browser=True)) is root


def test_the_token_is_not_on_the_command_line(tmp_path):
    assert surroundings(tmp_path, "secret")["JUPYTER_TOKEN"] == "secret"
    assert not [word for word in command(tmp_path, "x", 8899, browser=True) if "secret" in word]


@pytest.fixture
def started(tmp_path):
    port = free_port()
    run = subprocess.Popen([sys.executable, "-m", "pondwright.cli", "start", "class", "--no-browser", "--port", str(port)], cwd=tmp_path,
                           stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env={**os.environ, "HOME": str(tmp_path)})
    address = None
    for line in run.stdout:
        if found := re.search(r"http://\S+", line):
            address = found[0]
            break
    yield run, address, tmp_path / "class"
    if run.poll() is None:
        run.terminate()
        run.wait(timeout=30)
    run.stdout.close()
    run.stderr.close()


@pytest.mark.skipif(os.name != "posix", reason="sends a POSIX signal")
def test_start_serves_the_first_lesson_and_stops(started):
    run, address, folder = started
    assert address, run.stderr.read()
    assert address.startswith("http://127.0.0.1:") and "?token=" in address
    with urllib.request.urlopen(address, timeout=20) as page:
        text = page.read().decode()
    assert "@jupyterlab/apputils-extension:announcements" in text  # among what the page is told to leave out
    lesson = min(p.name for p in folder.glob("*.ipynb"))
    assert f"/lab/tree/{lesson}?" in address
    with pytest.raises(urllib.error.HTTPError, match="403"):
        urllib.request.urlopen(address.split("?")[0].replace("/lab/tree/", "/api/contents/"), timeout=20)
    run.send_signal(signal.SIGTERM)
    assert run.wait(timeout=30) == 0
    assert run.stderr.read() == ""
