"""What somebody typed, understood: a value, or one of the words that work everywhere."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from walltriage.case.model import SURENESS, Sureness
from walltriage.errors import did_you_mean
from walltriage.interview.pages import Command, Page
from walltriage.language import say

if TYPE_CHECKING:
    from walltriage.inference.looks.glance import Picked

_COMMANDS: dict[Command, tuple[str, ...]] = {
    "unknown": ("d", "dk", "don't know", "dont know", "i don't know", "unknown", "?"),
    "out_of_reach": (
        "c", "cant", "can't", "can't get there", "cant get there", "i can't get there",
        "out of reach",
    ),
    "why": ("w", "why"),
    "how": ("h", "how", "help"),
    "sure": ("s", "sure"),
    "back": ("b", "back"),
    "list": ("l", "list"),
    "note": ("n", "note"),
    "so_far": ("r", "result", "so far"),
    "leave": ("q", "quit", "leave", "exit", "save"),
}  # fmt: skip
_WORDS = {word: command for command, known in _COMMANDS.items() for word in known}
# A single "f" after a length could be a clumsy "ft", so measured values want the whole word.
_SURE = re.compile(
    r"(?P<rest>.*?\S)[\s,]+\(?(?P<sure>certain|fairly sure|fairly|a guess|guess)\)?", re.IGNORECASE
)
_SURE_SHORT = re.compile(r"(?P<rest>\d+) ?(?P<sure>[cfg])", re.IGNORECASE)
_MARK = re.compile(r"\b(\d{1,2})\b ?(\?*)")
_NOTHING = ("0", "none", "none of these", "no", "nothing")
_TYPOGRAPHIC = str.maketrans({"’": "'", "‘": "'"})


@dataclass(frozen=True, slots=True)
class Reply:
    """What was meant; ``sure`` is None when nothing was said about sureness; ``note`` goes with
    an answer; ``picked`` is what was said on a page of several things."""

    command: Command | None = None
    value: str = ""
    keep: bool = False
    sure: Sureness | None = None
    note: str = ""
    picked: Picked | None = None


class ReplyError(ValueError):
    """Something typed that fits nothing on the page; the text says what would."""


def understand(text: str, page: Page) -> Reply:
    """Read one line typed on a page; raises :class:`ReplyError`."""
    line = " ".join(text.translate(_TYPOGRAPHIC).split())
    if not line:
        if page.keep is not None:
            return Reply(value=page.keep, keep=True)
        raise ReplyError(say("Nothing typed yet.") + " " + _expected(page))
    command = _command(line, page)
    if command is not None:
        return Reply(command)
    if page.kind == "text":
        return Reply(value=_unquoted(text.strip()))
    rest, sure = _sureness(line, page)
    if page.kind == "several":
        return Reply(value=rest, sure=sure, picked=_several(rest, page))
    if page.kind != "choice":
        return Reply(value=rest, sure=sure)
    return Reply(value=_choice(rest, line, page), sure=sure)


def _command(line: str, page: Page) -> Command | None:
    """The command typed, if any; where any text is an answer, a single letter or a slash before
    it, and quotes make a letter a name."""
    word = line.lower()
    if word.startswith("/"):
        known = _WORDS.get(word[1:].strip())
        command = _meant(known, page) if known is not None else None
        if command is None:
            raise ReplyError(say("'{line}' is not something you can type here.", line=line))
        return command
    if page.kind == "text" and len(word) > 1:
        return None
    command = _WORDS.get(word)
    return _meant(command, page) if command is not None else None


def _meant(command: Command, page: Page) -> Command | None:
    """The command, where it can be given: help is help wherever it is asked for, and back says so
    where there is nothing to go back to."""
    if command in page.commands:
        return command
    if command == "how":
        return "why" if "why" in page.commands else "help"
    return "nowhere" if command == "back" else None


def _unquoted(text: str) -> str:
    """A name without the quotes that keep it from being a letter to type."""
    quoted = len(text) > 2 and text[0] == text[-1] and text[0] in "\"'"
    return text[1:-1].strip() if quoted else text


def _sureness(line: str, page: Page) -> tuple[str, Sureness | None]:
    match = _SURE.fullmatch(line)
    if match is None and page.kind == "choice":
        match = _SURE_SHORT.fullmatch(line)
    if match is None or "sure" not in page.commands:
        return line, None
    initial = match["sure"].lower().removeprefix("a ")[0]
    return match["rest"].rstrip(" ,"), next(s for s in SURENESS if s[0] == initial)


def _choice(rest: str, line: str, page: Page) -> str:
    if rest.isascii() and rest.isdigit() and 1 <= int(rest) <= len(page.choices):
        return page.choices[int(rest) - 1].value
    for choice in page.choices:
        if choice.says and rest.casefold() == choice.says.casefold():
            return choice.value
    near = did_you_mean(rest.lower(), [choice.says.lower() for choice in page.choices])
    raise ReplyError(
        say("'{line}' is not one of the answers{near}.", line=line, near=near)
        + " "
        + _expected(page)
    )


def _several(rest: str, page: Page) -> Picked:
    """Numbers, each perhaps with a question mark; 0 or "none" for nothing at all."""
    from walltriage.inference.looks.glance import Picked

    if rest.casefold() in _NOTHING:
        return Picked()
    marks = _MARK.findall(rest)
    left = _MARK.sub("", rest).replace("and", "").strip(" ,;.")
    numbers = {int(number): doubt for number, doubt in marks}
    if left or not numbers or not all(1 <= number <= len(page.choices) for number in numbers):
        raise ReplyError(say("'{rest}' does not fit here.", rest=rest) + " " + _expected(page))
    return Picked(
        frozenset(number - 1 for number, doubt in numbers.items() if not doubt),
        frozenset(number - 1 for number, doubt in numbers.items() if doubt),
    )


def _expected(page: Page) -> str:
    if page.kind != "choice":
        return page.hint
    count = len(page.choices)
    numbers = (
        "1" if count == 1 else say("1 or 2") if count == 2 else say("1 to {count}", count=count)
    )
    return (
        say("Type {numbers}, or one of the letters.", numbers=numbers)
        if page.commands
        else say("Type {numbers}.", numbers=numbers)
    )
