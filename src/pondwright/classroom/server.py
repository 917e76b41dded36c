"""Opens the working folder in JupyterLab, from the same Python, on this computer only, with nothing asked of the network."""

from __future__ import annotations

import contextlib
import http.client
import json
import os
import secrets
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from urllib.parse import quote

HERE = "127.0.0.1"
FIRST_PORT, PORTS = 8888, 50
SETTINGS, LOG = ".jupyterlab", "log.txt"  # in the working folder
PATIENCE = 60  # seconds until a server that does not answer is given up


class ServerError(RuntimeError):
    """Why JupyterLab cannot be opened; one sentence."""


def free_port(wanted: int | None = None) -> int:
    """Return the wanted port, or the first free one from 8888 on.

    Raises
    ------
    ServerError
        The wanted port, or every port that was tried, is taken.
    """
    for port in range(FIRST_PORT, FIRST_PORT + PORTS) if wanted is None else (wanted,):
        with socket.socket() as probe:
            if os.name == "posix":  # as the server does, so that a port it used a moment ago counts as free
                probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind((HERE, port))
            except (OSError, OverflowError):
                continue
            return port
    if wanted is not None:
        raise ServerError(f"port {wanted} is taken or not allowed on this computer; leave --port out, and a free one is found.")
    raise ServerError(f"no free port from {FIRST_PORT} to {FIRST_PORT + PORTS - 1}; close another notebook server first.")


def command(folder: Path, lesson: str, port: int, *, browser: bool) -> list[str]:
    """Write the command that starts JupyterLab: this Python, this computer only, no news, no update checks."""
    options = {
        "ServerApp.ip": HERE,
        "ServerApp.port": port,
        "ServerApp.port_retries": 0,
        "ServerApp.root_dir": folder,
        "ServerApp.open_browser": browser,
        "ServerApp.answer_yes": True,
        "Application.log_level": "WARN",
        "LabApp.default_url": f"/lab/tree/{quote(lesson)}",
        "LabApp.news_url": None,
        "LabApp.check_for_updates_class": "jupyterlab.NeverCheckForUpdate",
        "LabApp.extension_manager": "readonly",
    }
    root = ["--allow-root"] if hasattr(os, "geteuid") and os.geteuid() == 0 else []
    return [sys.executable, "-m", "jupyterlab", *root, *(f"--{name}={value}" for name, value in options.items())]


def surroundings(folder: Path, token: str) -> dict[str, str]:
    """Return the environment of the server: kernels of this Python first, settings and window layouts of this folder only."""
    settings = folder / SETTINGS
    paths = [str(settings), *filter(None, [os.environ.get("JUPYTER_CONFIG_PATH")])]
    return {**os.environ, "JUPYTER_TOKEN": token, "JUPYTER_PREFER_ENV_PATH": "1", "JUPYTER_CONFIG_PATH": os.pathsep.join(paths),
            "JUPYTERLAB_WORKSPACES_DIR": str(settings / "workspaces")}


def turn_news_off(folder: Path) -> None:
    """Leave out the part of JupyterLab that asks whether it may fetch news; without its address alone it still asks."""
    path = folder / SETTINGS / "labconfig" / "page_config.json"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(json.dumps({"disabledExtensions": {"@jupyterlab/apputils-extension:announcements": True}}), encoding="utf-8")


def serve(folder: Path, lesson: str, *, port: int | None = None, browser: bool = True, say: Callable[[str], None] = print) -> int:
    """Open the folder on a lesson and stay until JupyterLab ends.

    Returns
    -------
    int
        The exit code of JupyterLab; 0 after Ctrl-C.

    Raises
    ------
    ServerError
        No free port, or JupyterLab does not come up.
    """
    port, token = free_port(port), secrets.token_hex(24)
    address = f"http://{HERE}:{port}/lab/tree/{quote(lesson)}?token={token}"
    turn_news_off(folder)
    with open(folder / SETTINGS / LOG, "w", encoding="utf-8") as log:
        server = subprocess.Popen(command(folder, lesson, port, browser=browser), env=surroundings(folder, token), cwd=folder,
                                  stdin=subprocess.DEVNULL, stdout=log, stderr=log)
    earlier = signal.signal(signal.SIGTERM, lambda *_: server.terminate())
    try:
        _wait_until_up(server, port, folder)
        say(f"{'Opening in your browser. If nothing opens, go to' if browser else 'Open in your browser:'} {address}")
        say("It listens to this computer only. Ctrl-C in this window ends it; save your notebooks first.")
        return max(server.wait(), 0)
    except KeyboardInterrupt:  # in a terminal the server has had the same Ctrl-C and is shutting its kernels down
        with contextlib.suppress(subprocess.TimeoutExpired):
            server.wait(timeout=5)
        say("Closed. Your files are in the working folder.")
        return 0
    finally:
        signal.signal(signal.SIGTERM, earlier)
        if server.poll() is None:
            server.terminate()
            server.wait(timeout=10)


def _wait_until_up(server: subprocess.Popen, port: int, folder: Path) -> None:
    deadline = time.monotonic() + PATIENCE
    while time.monotonic() < deadline:
        if server.poll() is not None:
            raise ServerError(f"JupyterLab ended before it was up (exit code {server.returncode}); {folder / SETTINGS / LOG} says why.")
        if _answers(port):
            return
        time.sleep(0.1)
    raise ServerError(f"JupyterLab did not answer within {PATIENCE} seconds.")


def _answers(port: int) -> bool:
    connection = http.client.HTTPConnection(HERE, port, timeout=2)
    try:
        connection.request("GET", "/api")
        return connection.getresponse().status == 200
    except (OSError, http.client.HTTPException):
        return False
    finally:
        connection.close()
