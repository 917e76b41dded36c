"""What meets the eye after `pondwright start`: the first lesson, and nothing that asks, offers or advertises."""
from __future__ import annotations

import pytest

from .chromium import browsing, needed, started

pytestmark = pytest.mark.browser
needed()
SETTLED = 3000  # ms; the question about news comes within a second of the notebook


def test_the_first_lesson_opens_without_a_question(tmp_path):
    folder, hosts = tmp_path / "my-pond", set()
    with started(folder) as (address, token), browsing() as context:
        page = context.new_page()
        page.on("request", lambda request: hosts.add(request.url.split("/")[2] if "://" in request.url else ""))
        page.goto(f"{address}/?token={token}")
        page.wait_for_selector(".jp-Notebook .jp-Cell", timeout=60_000)
        page.wait_for_timeout(SETTLED)
        lesson = min(p.name for p in folder.glob("*.ipynb"))
        assert page.locator(f"#jp-main-dock-panel [title*='{lesson}']").count() > 0
        assert page.locator(".jp-Dialog").count() == 0
        assert page.locator(".Toastify__toast").count() == 0
        assert hosts <= {address.removeprefix("http://"), ""}
