"""Reports in a real browser: accessibility, widths, both papers, drawings.

Needs Chromium and the extra ``crosscheck``; skipped where either is missing.
"""

from __future__ import annotations

import io
import shutil
from importlib.resources import files

import pytest

from tests.unit.report.hostile import LONG, MARKUP, with_text
from walltriage.case.model import ROLES
from walltriage.report import words
from walltriage.report.html import html
from walltriage.report.pages import build
from walltriage.report.subject import Subject
from walltriage.report.svg import svg

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser")
pytestmark = [
    pytest.mark.extras,
    pytest.mark.skipif(BROWSER is None, reason="no Chromium here"),
]
pytest.importorskip("axe_playwright_python")
pypdf = pytest.importorskip("pypdf")
image = pytest.importorskip("PIL.Image")
playwright = pytest.importorskip("playwright.sync_api")

RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


@pytest.fixture(scope="module")
def browser():
    """One browser for all tests of this file."""
    with playwright.sync_playwright() as started:
        opened = started.chromium.launch(executable_path=BROWSER, args=["--no-sandbox"])
        yield opened
        opened.close()


def page_of(browser, text, width, scheme="light"):
    """The text as a page of this width; any request to the network fails the test."""
    page = browser.new_page(
        viewport={"width": width, "height": 900}, color_scheme=scheme, bypass_csp=True
    )
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    page.set_content(text)
    assert asked == []
    return page


@pytest.mark.parametrize("audience", ROLES)
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [390, 1200])
def test_accessibility(browser, make, audience, scheme, width):
    """An accessibility engine finds nothing, and nothing is wider than the window."""
    page = page_of(browser, html(build(make("two_walls", audience, 3, True))), width, scheme)
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
    axe = files("axe_playwright_python").joinpath("axe.min.js").read_text(encoding="utf-8")
    page.evaluate(axe)
    found = page.evaluate("rules => axe.run(document, {runOnly: rules})", RULES)
    assert [(v["id"], v["nodes"][0]["html"]) for v in found["violations"]] == []
    assert len(found["passes"]) > 15
    page.close()


@pytest.mark.parametrize("text", [LONG, MARKUP])
def test_long_names_stay_in_the_window(browser, make, text):
    """Ten thousand letters or markup widen nothing on a phone."""
    page = page_of(browser, html(build(make(audience="firm", change=with_text(text)))), 390)
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
    page.close()


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize(("audience", "pages"), [("buyer", 2), ("trade", 1), ("firm", None)])
def test_printed(browser, make, paper, audience, pages):
    """Two pages for the buyer, one for the trade, and the limits on each with a verdict."""
    page = page_of(browser, html(build(make("bungalow", audience))), 1200)
    printed = pypdf.PdfReader(io.BytesIO(page.pdf(format=paper))).pages
    page.close()
    if pages is not None:
        assert len(printed) == pages
    start = words.LIMITS_SENTENCE[:40]
    with_verdict = 0
    for sheet in printed:
        text = " ".join(sheet.extract_text().split())
        if "Likely bearing" in text or " dB" in text:
            assert start in text
            with_verdict += 1
    assert with_verdict


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_drawings_are_seen(browser, make, scheme):
    """Each drawing leaves ink of every strength on the paper, in either scheme."""
    subject = Subject(make(), make().finding.walls[0])
    for drawing in (subject.plan(), subject.section()):
        style = ":root { color-scheme: light dark; --paper: Canvas }"
        page = page_of(browser, f"<style>{style}</style>{svg(drawing)}", 480, scheme)
        shot = image.open(io.BytesIO(page.locator("svg").screenshot())).convert("L")
        page.close()
        darkest, lightest = shot.getextrema()
        assert lightest - darkest > 200
        paper = 255 if scheme == "light" else 18
        share = sum(n for tone, n in enumerate(shot.histogram()) if abs(tone - paper) > 40)
        assert 0.01 < share / (shot.width * shot.height) < 0.4
