"""Names and notes that try to be more than text, and what to look for afterwards."""

from __future__ import annotations

from dataclasses import replace

from walltriage.case.model import Case

MARKUP = "<script>alert(1)</script><img src=x onerror=alert(2)>&amp;\"'</title></style></svg>"
MARKDOWN = (
    "[x](javascript:alert) ![i](http://a.example/i.png) `c` *b* _e_ | # h <b>k</b> www.a.example"
)
CONTROL = "bell\x07 esc\x1b[31m nul\x00 del\x7f"
TURNED = "abc\u202edcba\u202c \u2067mirror\u2069 \u200e\u200f"
SCRIPTS = "Küche Łódź Привет Ελλάδα שלום مرحبا 壁を取る 🧱"
LONG = "W" * 10_000
NOT_CHARACTERS = "\ufffe \U0001ffff \ufdd0 \ud800"
ALL = (MARKUP, MARKDOWN, CONTROL, TURNED, SCRIPTS, LONG, NOT_CHARACTERS)


def with_text(text: str):
    """A change of a case that puts the text wherever a person can write."""

    def change(case: Case) -> Case:
        wall = case.walls[0]
        answers = {
            name: replace(answer, note=text, by=text, seen_on=text)
            for name, answer in wall.answers.items()
        }
        walls = (replace(wall, name=text, answers=answers), *case.walls[1:])
        return replace(case, name=text, story=text, walls=walls)

    return change
