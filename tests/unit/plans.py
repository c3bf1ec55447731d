"""An invented house of three levels with an addition, and changes of it."""

from __future__ import annotations

from pathlib import Path

LARCH_ROAD = Path(__file__).resolve().parent / "larch_road.yaml"


def larch_road(*changes: tuple[str, str]) -> str:
    """The case file's text, with passages replaced; each must be there."""
    text = LARCH_ROAD.read_text(encoding="utf-8")
    for was, now in changes:
        assert was in text, was
        text = text.replace(was, now)
    return text
