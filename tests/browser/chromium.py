"""JupyterLab as `pondwright start` opens it, seen in Debian's Chromium without a screen."""

from __future__ import annotations

import contextlib
import json
import os
import re
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path
from urllib.parse import quote, urlsplit

import pytest

HOW = "no Chromium found: run `sudo apt-get install chromium`, or set PONDWRIGHT_CHROMIUM to its path"
FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update",
    "--disable-sync", "--disable-default-apps", "--disable-dev-shm-usage",
]  # fmt: skip
START = "import sys; from pondwright.cli import main; sys.exit(main())"
RUN_ALL, IDLE = "Run All Cells", "document.querySelector('.jp-Notebook-ExecutionIndicator')?.dataset?.status === 'idle'"


def find() -> str | None:
    """Return the path of a Chromium, or None."""
    named = os.environ.get("PONDWRIGHT_CHROMIUM")
    if named:
        return named if Path(named).exists() else None
    return next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)


def needed() -> None:
    """Skip the whole file where there is no Chromium; every file skips here, so that the run says it in one line."""
    if find() is None:
        pytest.skip(HOW, allow_module_level=True)


def free_port() -> int:
    with socket.socket() as s:
        s.bind(("127.0.0.1", 0))
        return s.getsockname()[1]


@contextlib.contextmanager
def started(folder: Path):
    """Run ``pondwright start FOLDER --no-browser`` and give (address without path, token); end it afterwards."""
    apart = ("JUPYTER_CONFIG_DIR", "JUPYTERLAB_SETTINGS_DIR", "JUPYTER_RUNTIME_DIR")
    settings = {name: str(folder.parent / name.lower()) for name in apart}
    command = [sys.executable, "-c", START, "start", str(folder), "--no-browser", "--port", str(free_port())]
    server = subprocess.Popen(command, env={**os.environ, **settings, "PYTHONUNBUFFERED": "1"}, cwd=folder.parent, stdout=subprocess.PIPE,
                              stderr=subprocess.STDOUT, text=True)
    try:
        said = ""
        for line in server.stdout:
            said += line
            if found := re.search(r"(http://127\.0\.0\.1:\d+)/lab\S*token=(\w+)", line):
                yield found[1], found[2]
                return
        raise AssertionError(f"pondwright start printed no address:\n{said}")
    finally:
        server.terminate()
        try:
            server.wait(20)
        except subprocess.TimeoutExpired:
            server.kill()
        server.stdout.close()


@contextlib.contextmanager
def browsing():
    """Open Chromium and give a function that makes a fresh page."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=find(), args=FLAGS)
        context = browser.new_context(viewport={"width": 1280, "height": 1000})
        try:
            yield context
        finally:
            browser.close()


class Opened:
    """One notebook, open in JupyterLab with all its cells run."""

    def __init__(self, context, address: str, token: str, name: str):
        self.address, self.token, self.name = address, token, name
        self.page = context.new_page()
        self.faults: list[str] = []
        self.page.on("pageerror", lambda error: self.faults.append(str(error)))
        self.asked: set[str] = set()
        self.page.on("request", lambda request: self.asked.add(urlsplit(request.url).hostname or ""))
        apart = "".join(c for c in name if c.isalnum())  # a workspace of its own, so that no other page's tabs are opened again
        self.page.goto(f"{address}/lab/workspaces/{apart}/tree/{quote(name)}?token={token}")
        self.page.wait_for_selector(".jp-Notebook .jp-Cell", timeout=60_000)
        self._wait_for_kernel()  # asked to run before that, JupyterLab opens its kernel dialog
        self.page.wait_for_function(IDLE, timeout=90_000)
        self.page.click(".lm-MenuBar-itemLabel >> text=Run")
        self.page.click(f"text={RUN_ALL} >> nth=0")
        self.cell = self._lab_cell()
        self.page.wait_for_function(IDLE, timeout=120_000)

    def _wait_for_kernel(self) -> None:
        deadline = time.monotonic() + 90
        while time.monotonic() < deadline:
            kernels = [s["kernel"] for s in self.ask("api/sessions") if s["path"] == self.name]
            if kernels and kernels[0]["connections"] and kernels[0]["execution_state"] == "idle":
                return
            self.page.wait_for_timeout(100)
        raise AssertionError(f"{self.name}: the kernel did not come up")

    def close(self) -> None:
        self.page.close()
        for session in self.ask("api/sessions"):
            if session["path"] == self.name:
                self.ask(f"api/sessions/{session['id']}", method="DELETE")

    def ask(self, path: str, method: str = "GET"):
        request = urllib.request.Request(f"{self.address}/{path}", method=method, headers={"Authorization": f"token {self.token}"})
        with urllib.request.urlopen(request, timeout=30) as answer:
            body = answer.read()
        return json.loads(body) if body else None

    def _lab_cell(self):
        """Scroll down until the cell with sliders and a picture has come up; a notebook far off the screen is not drawn."""
        deadline = time.monotonic() + 60
        while time.monotonic() < deadline:
            for cell in self.page.query_selector_all(".jp-CodeCell"):
                with contextlib.suppress(Exception):  # a cell may be taken off the page while we look
                    cell.scroll_into_view_if_needed(timeout=1000)
                    if cell.query_selector(".widget-slider .noUi-handle") and cell.evaluate(_HAS_PICTURE):
                        return cell
                self.page.wait_for_timeout(50)
        raise AssertionError(f"{self.name}: no slider with a picture beside it came up")

    def saved(self) -> dict:
        """Save with the keyboard, and return the notebook as the server keeps it."""
        before = self.ask(f"api/contents/{quote(self.name)}?content=0")["last_modified"]
        self.page.keyboard.press("Control+s")
        deadline = time.monotonic() + 20
        while self.ask(f"api/contents/{quote(self.name)}?content=0")["last_modified"] == before and time.monotonic() < deadline:
            self.page.wait_for_timeout(200)
        return self.ask(f"api/contents/{quote(self.name)}?content=1")["content"]

    # ---- what the lab shows

    @property
    def words(self) -> str:
        return self.cell.query_selector("p[role=status]").inner_text()

    @property
    def picture(self) -> tuple[str, str, int]:
        """Return (source, alt, width in pixels) of the lab's picture."""
        return self.cell.evaluate("c => { const i = c.querySelector('.jp-OutputArea img'); return [i.src, i.alt, i.naturalWidth]; }")

    def shown(self) -> tuple[str, str]:
        return self.words, self.picture[0]

    def wait_for_change(self, before: tuple[str, str], seconds: float = 8.0) -> bool:
        """Wait until both the sentence and the picture differ from before."""
        deadline = time.monotonic() + seconds
        while time.monotonic() < deadline:
            now = self.shown()
            if now[0] != before[0] and now[1] != before[1]:
                return True
            self.page.wait_for_timeout(40)
        return False

    def press(self, key: str, times: int = 1) -> None:
        for _ in range(times):
            self.page.keyboard.press(key)

    def focused(self, script: str):
        return self.page.evaluate(f"(e => {script})(document.activeElement)")


_HAS_PICTURE = "c => [...c.querySelectorAll('.jp-OutputArea img')].some(i => i.complete && i.naturalWidth > 50)"
