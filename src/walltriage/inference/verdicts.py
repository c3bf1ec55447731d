"""The three things that can be said of a wall."""

from __future__ import annotations

from typing import Literal

Verdict = Literal["likely_bearing", "likely_non_bearing", "cannot_tell"]
