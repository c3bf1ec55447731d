"""A report as Markdown (CommonMark with the usual tables); drawings are told in words."""

from __future__ import annotations

import re
from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined

from walltriage.language import say
from walltriage.report.blocks import Document

_SPECIAL = re.compile(r"([\\`*_\[\]<>&|~^$@])")
_AT_START = re.compile(r"^([-+#=:]|\d+(?=[.)]))")
_ADDRESS = re.compile(r"(?i)(?<=:)(/)(?=/)|(?<=www)(\.)")


class _Raw(str):
    """Text that is Markdown already."""

    __slots__ = ()


def markdown(document: Document) -> str:
    """The report; every text in it shows as it was written, whatever it holds."""
    text = _environment().get_template("report.md.j2").render(doc=document)
    return re.sub(r"\n{3,}", "\n\n", text).strip() + "\n"


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("walltriage.report"), undefined=StrictUndefined, trim_blocks=True,
        lstrip_blocks=True, finalize=escaped, autoescape=False,
    )  # fmt: skip
    environment.globals |= {
        "raw": _Raw,
        "kind_of": lambda block: _Raw(type(block).__name__),
        "say": say,
    }
    return environment


def escaped(value: Any) -> str:
    """Text with all Markdown and HTML taken out of force; also no links of themselves."""
    if isinstance(value, _Raw):
        return value
    text = _SPECIAL.sub(r"\\\1", str(value))
    text = _ADDRESS.sub(lambda match: "\\" + match[0], text)
    return _AT_START.sub(lambda m: m[1] + "\\" if m[1].isdigit() else "\\" + m[1], text)
