"""The firm's letterhead, from the user's own ``config.yaml``; none where there is no such file."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from walltriage.entries import Entry, Field
from walltriage.errors import InputError, refuse
from walltriage.files import read_bytes
from walltriage.folders import user_folder
from walltriage.knowledge.reading import RulesReader
from walltriage.knowledge.schema import Text
from walltriage.report.blocks import Letterhead

TEMPLATE = """\
# Who hands reports over; printed at the head of the first page. Every line but the name may go.
letterhead:
  name: Your firm
  address: [Street and number, "City, State ZIP"]
  license: "Licensed professional engineers, license number"
  text: One line of your own
  # logo: logo.png   # PNG, JPEG or SVG, beside this file
"""
LogoFormat = Literal["png", "jpg", "svg"]
_FORMATS: dict[str, LogoFormat] = {".png": "png", ".jpg": "jpg", ".jpeg": "jpg", ".svg": "svg"}


class LetterheadEntry(Entry):
    """The letterhead as it is written in the file."""

    name: Text
    address: list[Text] = Field(default_factory=list, max_length=4)
    license: Text | None = None
    text: Text | None = None
    logo: Text | None = None


class ConfigFile(Entry):
    """``config.yaml``."""

    letterhead: LetterheadEntry | None = None


def config_path() -> Path:
    """Where the file is looked for, by the XDG standard."""
    return user_folder("XDG_CONFIG_HOME", ".config") / "config.yaml"


def load_letterhead(path: Path | None = None) -> Letterhead | None:
    """The letterhead; :class:`InputError` for a file or a logo that cannot be used."""
    path = path or config_path()
    if not path.exists():
        return None
    reader = RulesReader(path.parent)
    config = reader.read(path, ConfigFile)
    if config is None:
        raise InputError(reader.problems)
    given = config.letterhead
    if given is None:
        return None
    lines = (*given.address, *(line for line in (given.license, given.text) if line))
    if given.logo is None:
        return Letterhead(given.name, lines)
    logo = path.parent / given.logo
    form = _FORMATS.get(logo.suffix.lower())
    if form is None:
        expected = "expected a name ending in " + ", ".join(_FORMATS)
        raise refuse(path, f"'{given.logo}' is no known picture", expected)
    return Letterhead(given.name, lines, read_bytes(logo), form)
