"""Templates, and what they are filled with everywhere."""

from __future__ import annotations

import hashlib
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from jinja2.ext import Extension
from markupsafe import Markup

from walltriage.language import code, forgets, say
from walltriage.plaintext import printable
from walltriage.report.drawing import PlanDrawing
from walltriage.report.svg import svg
from walltriage.template_texts import translated

STATIC = Path(__file__).resolve().parent / "static"


def render(template: str, **what: Any) -> str:
    """One page."""
    return _environment().get_template(template).render(**what)


class _Words(Extension):
    """Templates are read in the language in use."""

    def preprocess(self, source: str, name: str | None, filename: str | None = None) -> str:
        return translated(source, say)


@forgets
@cache
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("walltriage.desk.web"), autoescape=True, undefined=StrictUndefined,
        trim_blocks=True, lstrip_blocks=True, finalize=_harmless, extensions=[_Words],
    )  # fmt: skip
    environment.globals |= {
        "style": _style(), "drawn": drawn, "language": code(), "say": say,
    }  # fmt: skip
    environment.filters |= {"lines": _lines, "day": _day, "minute": _minute}
    return environment


def _harmless(value: Any) -> Any:
    """Words of the program in the language in use; of everything only what can be printed."""
    return printable(say(value)) if type(value) is str else value


def _style() -> str:
    """The style sheet's address, with a mark of what is in it: kept long, never stale."""
    mark = hashlib.sha256((STATIC / "desk.css").read_bytes()).hexdigest()[:12]
    return f"/static/desk.css?{mark}"


def drawn(drawing: PlanDrawing, key: str) -> Markup:
    """A drawing as SVG; every text in it was escaped when it was written.

    Its two inline styles become classes, since pages here take styles from one file only.
    """
    text = svg(drawing, key)
    for kind in ("fill", "stroke"):
        text = text.replace(f' style="{kind}:var(--paper, #fff)"', f' class="paper-{kind}"')
    return Markup(text)


def _lines(text: str) -> list[str]:
    return [line for line in text.splitlines() if line.strip()]


def _day(at: str) -> str:
    return at[:10]


def _minute(at: str) -> str:
    return f"{at[:10]} {at[11:16]} UTC" if len(at) >= 16 else at
