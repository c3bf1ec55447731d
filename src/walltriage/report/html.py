"""A report as one HTML file: no script, no network, light and dark, A4 and Letter."""

from __future__ import annotations

from base64 import b64encode
from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from walltriage.language import code, say
from walltriage.report.blocks import Document, Letterhead
from walltriage.report.drawing import PlanDrawing
from walltriage.report.svg import svg


def html(document: Document) -> str:
    """The page."""
    return _environment().get_template("report.html.j2").render(doc=document)


@cache
def _environment() -> Environment:
    loader = PackageLoader("walltriage.report")
    environment = Environment(
        loader=loader, autoescape=True, undefined=StrictUndefined, trim_blocks=True,
        lstrip_blocks=True,
    )  # fmt: skip
    css, _, _ = loader.get_source(environment, "report.css")
    environment.globals |= {
        "css": Markup(css),
        "kind_of": _kind_of,
        "svg": _svg,
        "image": _image,
        "say": say,
        "language": code,
    }
    return environment


def _svg(drawing: PlanDrawing, key: str) -> Markup:
    return Markup(svg(drawing, key))  # every text in it was escaped when it was written


def _image(letterhead: Letterhead) -> str:
    """The logo as an address that holds it whole."""
    kind = {"png": "png", "jpg": "jpeg", "svg": "svg+xml"}[letterhead.logo_format]
    return f"data:image/{kind};base64,{b64encode(letterhead.logo or b'').decode('ascii')}"


def _kind_of(block: Any) -> str:
    return type(block).__name__
