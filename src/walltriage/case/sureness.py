"""How sure somebody was of what they told."""

from __future__ import annotations

from typing import Literal

Sureness = Literal["certain", "fairly", "guess"]
SURENESS: tuple[Sureness, ...] = ("certain", "fairly", "guess")
CHECKED = "checked"
"""How the desk writes the sureness of an answer that a professional has checked; by whom stands
beside it.  In a file anybody could have written it, and it is read as the surest other word."""
