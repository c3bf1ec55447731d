"""A drawing as one SVG element, to stand inside a page or alone in a file."""

from __future__ import annotations

from xml.sax.saxutils import escape, quoteattr

from walltriage.plaintext import printable
from walltriage.report.drawing import Dot, Item, Label, PlanDrawing, Shape, Stroke

# currentColor takes the page's ink, light or dark; alone in a file it is black.
_OPACITY = {"ink": "", "soft": ".72", "faint": ".38", "paper": ""}
_PAPER = "var(--paper, #fff)"
_INK = "#141414"


def svg(drawing: PlanDrawing, name: str = "", font: str = "") -> str:
    """The SVG element; ``name`` sets its ids apart from others on a page.

    With a ``font`` it stands alone, on white paper and in dark ink, and no page lends it either.
    """
    key = name or drawing.name
    inner = "".join(_item(item) for item in drawing.items)
    alone = ""
    if font:
        inner = inner.replace(_PAPER, "#fff")
        alone = f' color="{_INK}" font-family={quoteattr(font)} font-stretch="semi-condensed"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img"{alone} '
        f'viewBox="0 0 {_n(drawing.width)} '
        f'{_n(drawing.height)}" aria-labelledby={quoteattr(f"{key}-t {key}-d")}>'
        f"<title id={quoteattr(f'{key}-t')}>{_text(drawing.title)}</title>"
        f"<desc id={quoteattr(f'{key}-d')}>{_text(drawing.desc)}</desc>{inner}</svg>"
    )


def _item(item: Item) -> str:
    if isinstance(item, Stroke):
        place = f'x1="{_n(item.x1)}" y1="{_n(item.y1)}" x2="{_n(item.x2)}" y2="{_n(item.y2)}"'
        return f"<line {place}{_paint(None, item.tone, item.width, item.dash)}/>"
    if isinstance(item, Shape):
        points = " ".join(f"{_n(x)},{_n(y)}" for x, y in item.points)
        paint = _paint(item.fill, item.stroke, item.width, item.dash)
        return f'<polygon points="{points}"{paint}/>'
    if isinstance(item, Dot):
        place = f'cx="{_n(item.x)}" cy="{_n(item.y)}" r="{_n(item.r)}"'
        return f"<circle {place}{_paint(item.fill, item.stroke, item.width, item.dash)}/>"
    return _label(item)


def _label(label: Label) -> str:
    weight = ' font-weight="700"' if label.bold else ""
    return (
        f'<text x="{_n(label.x)}" y="{_n(label.y)}" font-size="{_n(label.size)}" '
        f'text-anchor="{label.anchor}"{weight}{_paint(label.tone, None, 0, ())}>'
        f"{_text(label.text)}</text>"
    )


def _paint(fill: str | None, stroke: str | None, width: float, dash: tuple[float, ...]) -> str:
    parts = [_tone("fill", fill)]
    if stroke:
        parts.append(_tone("stroke", stroke) + f' stroke-width="{_n(width)}"')
        if dash:
            parts.append(f' stroke-dasharray="{" ".join(_n(part) for part in dash)}"')
    return "".join(parts)


def _tone(kind: str, tone: str | None) -> str:
    if tone is None:
        return f' {kind}="none"'
    if tone == "paper":
        return f' style="{kind}:{_PAPER}"'
    opacity = f' {kind}-opacity="{_OPACITY[tone]}"' if _OPACITY[tone] else ""
    return f' {kind}="currentColor"{opacity}'


def _text(text: str) -> str:
    return escape(printable(text))


def _n(number: float) -> str:
    """A short decimal without a trailing zero; one digit behind the point is finer than print."""
    return f"{number:.1f}".removesuffix(".0")
