"""The ponds that tests plan: the demo and the invented ones of tests/fixtures, each by its name as the text of its file."""

from __future__ import annotations

from pathlib import Path

from pondwright.pond.file import demo_text

FILES = sorted((Path(__file__).parent / "fixtures").glob("*.toml"))
TEXTS = {"demo": demo_text(), **{path.stem: path.read_text(encoding="utf-8") for path in FILES}}
