"""Putting pages on a terminal and reading one line back.

Plain, linear text: nothing is redrawn, moved or told by colour alone, so that it reads the
same on a slow line, through a screen reader and in a scroll-back.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from typing import TextIO, cast

import questionary
from rich.console import Console, ConsoleDimensions
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from walltriage.interview.pages import Command, Page
from walltriage.interview.plain import AsciiStream, can_draw, to_ascii
from walltriage.language import say as translated
from walltriage.plaintext import printable

WIDEST = 80  # longer lines are hard to follow
PROMPT = ">"
READ_THIS = "Press Enter when you have read this."
_ANSWERED_BY_LETTER: dict[Command, tuple[str, str]] = {
    "unknown": ("d", "I don't know"),
    "out_of_reach": ("c", "I can't get there"),
}
_COMMAND_WORDS: dict[Command, tuple[str, str]] = {
    "why": ("w", "why I ask"),
    "how": ("h", "how to look"),
    "sure": ("s", "how sure"),
    "note": ("n", "add a note"),
    "back": ("b", "back"),
    "list": ("l", "list, change"),
    "so_far": ("r", "result so far"),
    "leave": ("q", "stop here"),
}
_PLAIN_STYLE = questionary.Style(
    [("qmark", ""), ("question", "nobold"), ("answer", "nobold"), ("text", "")]
)


class _Narrow(Console):
    """A console no wider than people like to read."""

    @property  # type: ignore[misc]  # nobody sets the size here
    def size(self) -> ConsoleDimensions:
        real = super().size
        return ConsoleDimensions(min(real.width, WIDEST), real.height)


class Screen:
    """One terminal; ``ascii_only`` is found out from the encoding unless asked for."""

    def __init__(self, ascii_only: bool = False) -> None:
        # Cursor reports are never needed for one line, and some terminals do not answer.
        os.environ.setdefault("PROMPT_TOOLKIT_NO_CPR", "1")
        unset = "windows" if sys.platform == "win32" else "dumb"  # there nobody sets it
        self.measured: Callable[[str], str] = _as_it_is
        """What puts the measure of the house beside every length and load that is told."""
        self._dumb = os.environ.get("TERM", unset) in ("dumb", "unknown", "")
        self._waits = not self._dumb and sys.stdout.isatty()
        self._to_heed = 0  # lines above the next page that must not scroll away unread
        plain = self._dumb or bool(os.environ.get("NO_COLOR"))
        ascii_only = self._ascii = ascii_only or not can_draw(sys.stdout)
        stream = AsciiStream(sys.stdout) if ascii_only else sys.stdout
        self.console: Console = _Narrow(
            file=cast(TextIO, stream),
            markup=False,
            emoji=False,
            highlight=False,
            no_color=plain or None,
            force_terminal=False if plain else None,
        )

    def say(self, text: str = "", style: str = "", indent: int = 0) -> None:
        """A paragraph; line breaks in ``text`` stay."""
        if not text:
            self.console.print()
            return
        for line in self.measured(translated(text)).split("\n"):
            shown = Text(printable(line), style=style)
            self.console.print(Padding(shown, (0, 0, 0, indent), expand=False))

    def help(self, page: Page) -> None:
        """How to look, with the sketch."""
        self.say()
        self.say(translated("How to look: {look}", look=page.look))
        if page.sketch:
            self.drawing(page.sketch)

    def drawing(self, sketch: str) -> None:
        """A sketch, line by line, never wrapped."""
        for line in sketch.expandtabs(4).rstrip().split("\n"):
            self.console.print(Text("  " + printable(line)), no_wrap=True, overflow="crop")

    def trouble(self, text: str) -> None:
        """One message about something that went wrong."""
        self.say(f"! {text}", "bold")

    def page(self, page: Page, sure: str = "", again: bool = False) -> None:
        """A question with its options and everything else that can be typed.

        ``again`` is for a page asked once more below some help: closer together, so that
        help and question stay on one screen.
        """
        with self.console.capture() as drawn:
            self._draw(page, sure, again)
        text = drawn.get()
        lines = self._to_heed + text.count("\n") + 1  # and the prompt
        if self._to_heed and self._waits and lines > self.console.size.height:
            self.say(READ_THIS, "dim")
            self.read()
        self._to_heed = 0
        self._put(text)

    def _draw(self, page: Page, sure: str, again: bool) -> None:
        space: Callable[[], object] = (lambda: None) if again else self.say
        self.say()
        if page.heading and not again:
            self.say(" ".join(filter(None, (page.heading + ".", translated(page.progress)))), "dim")
            self.say()
        self.say(page.ask, "bold")
        if page.words:
            self.say(page.words, "dim")
        slash = "/" if page.kind == "text" else ""
        rows = [(str(i), choice.says) for i, choice in enumerate(page.choices, 1) if page.listed]
        rows += [("0", page.none)] if page.kind == "several" else []
        rows += [(slash + key, says) for key, says in _known(_ANSWERED_BY_LETTER, page)]
        if rows:
            space()
            self.rows(rows)
        for note in (
            page.hint,
            page.keep_says
            and translated(
                "Before, you said: {keep_says}. Press Enter to keep that.", keep_says=page.keep_says
            ),
            sure and translated("Your answer will be marked: {sure}.", sure=sure),
        ):
            if note:
                space()
                self.say(note)
        keys = [f"{slash}{key} {translated(says)}" for key, says in _known(_COMMAND_WORDS, page)]
        if keys:
            space()
            self.say("   ".join(keys), "dim")

    def rows(self, rows: list[tuple[str, str]]) -> None:
        """A list with a key before each entry."""
        grid = Table.grid(padding=(0, 2))
        grid.add_column(width=4, justify="right", no_wrap=True)
        grid.add_column()
        for key, text in rows:
            grid.add_row(Text(key), Text(printable(self.measured(translated(text)))))
        if rows:
            self.console.print(grid)

    def answers(self, rows: list[tuple[str, str, str]]) -> None:
        """Numbered questions with what was said, one line each."""
        half = (self.console.width - 4) // 2
        grid = Table.grid(padding=(0, 2, 0, 0))
        grid.add_column(width=4, justify="right", no_wrap=True)
        grid.add_column(width=half - 2, no_wrap=True)
        grid.add_column(width=half - 2, no_wrap=True)
        for key, ask, said in rows:
            grid.add_row(Text(key), self._cut(ask, half - 2), self._cut(said, half - 2))
        self.console.print(grid)

    def _cut(self, text: str, width: int) -> Text:
        """A text on one line; dots, which are three columns in ASCII, show what was cut."""
        text, dots = printable(text), to_ascii("…") if self._ascii else "…"
        line = Text(to_ascii(text) if self._ascii else text)
        if line.cell_len > width:
            line.truncate(width - len(dots), overflow="crop")
            line.rstrip()
            line.append(dots)
        return line

    def heed(self, show: Callable[[], None]) -> None:
        """Print what has to be read before the next page: where both do not fit on the screen,
        that page waits for Enter."""
        self._to_heed += self.paged(lambda _: show())

    def paged(self, show: Callable[[Console], None]) -> int:
        """Print something long, a screenful at a time; how many lines the last one has."""
        with self.console.capture() as captured:
            show(self.console)
        lines = captured.get().splitlines()
        step = max(self.console.size.height - 3, 10)
        for start in range(0, len(lines), step):
            part = lines[start : start + step]
            self._put("\n".join(part) + "\n")
            if start + step >= len(lines):
                return len(part)
            self.say("Press Enter for more; s and Enter skips the rest.", "dim")
            if self.read().strip().lower() in ("s", "skip"):
                break
        return 0

    def _put(self, text: str) -> None:
        self.console.file.write(text)
        self.console.file.flush()

    def read(self) -> str:
        """One line typed by the person; KeyboardInterrupt and EOFError come through."""
        if self._dumb:
            line = input(f" {PROMPT} ")
        else:
            line = questionary.text(PROMPT, qmark="", style=_PLAIN_STYLE).unsafe_ask()
        return _whole(line)


def _as_it_is(text: str) -> str:
    return text


def _known(letters: dict[Command, tuple[str, str]], page: Page) -> list[tuple[str, str]]:
    return [shown for command, shown in letters.items() if command in page.commands]


def _whole(line: str) -> str:
    """The line as proper text: bytes the terminal could not decode are decoded or replaced."""
    try:
        return line.encode("utf-8", "surrogateescape").decode("utf-8", "replace")
    except UnicodeEncodeError:
        return line.encode("utf-8", "replace").decode("utf-8")
