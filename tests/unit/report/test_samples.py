"""Reports of every demo house with the shipped knowledge base, and the samples in docs/."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

import html5lib
import pytest

from tests.conftest import HERE
from tests.unit.report.conftest import MADE_ON
from tests.unit.report.test_pages import NEVER, texts
from walltriage.case.model import ROLES
from walltriage.case.read import read_case
from walltriage.report import words
from walltriage.report.files import make_request, rendered
from walltriage.report.pages import USUAL_DEPTH, build

ROOT = HERE.parent
ID = re.compile(r"\b[a-z]+(?:_[a-z]+)+\b")
VERDICTS = re.compile("likely_bearing|likely_non_bearing|cannot_tell|ruled_out")
"""What the tree itself calls a verdict and a status; a page prints their words."""
CASES = sorted(
    [*(ROOT / "docs/samples").glob("*.yaml"), *(ROOT / "transcripts_demo").glob("*.yaml")]
)


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
@pytest.mark.parametrize("audience", ROLES)
def test_report_can_be_made(full, path, audience):
    """HTML parses, Markdown tells the limits, JSON is one line; no leave is given, no id shown."""
    case = read_case(path, full.base.questions)
    request = make_request(full, case, MADE_ON, audience)
    page = rendered(request, "html").decode("utf-8")
    html5lib.HTMLParser(strict=True).parse(page)
    told = rendered(request, "md").decode("utf-8")
    least = 1 if audience == "buyer" else len(case.walls)
    assert told.count(words.LIMITS_SENTENCE) >= least
    for text in texts(build(request)):
        assert not ID.findall(VERDICTS.sub("", text)), text
    assert not NEVER.search(page)
    assert not NEVER.search(told)
    assert "{answer}" not in page
    assert rendered(request, "json").count(b"\n") == 1


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_pdf_can_be_made_of_few_pages(full, path):
    """The firm's packet, the longest of all, names every wall; a buyer gets two pages for up to
    three walls, a trade one a wall, a firm two and four a wall."""
    pypdf = pytest.importorskip("pypdf")
    import io

    case = read_case(path, full.base.questions)
    finding = make_request(full, case, MADE_ON)
    readers = {
        audience: pypdf.PdfReader(io.BytesIO(rendered(replace(
            finding, audience=audience, depth=USUAL_DEPTH[audience]), "pdf")))
        for audience in ROLES
    }  # fmt: skip
    titles = [entry.title for entry in readers["firm"].outline]
    for wall in case.walls:
        assert any(wall.title[:40] in title for title in titles)

    def pages(audience):
        reader = readers[audience]
        begins = [reader.get_destination_page_number(entry) for entry in reader.outline]
        return [end - start for start, end in pairwise([*begins, len(reader.pages)])]

    assert sum(pages("buyer")) <= (2 if len(case.walls) <= 3 else 3)
    assert pages("trade") == [1] * len(case.walls)
    house, *appendix = pages("firm")
    assert house <= 2
    assert len(appendix) == len(case.walls)
    assert max(appendix) <= 4


def test_links_of_the_guide():
    """Every file that the guide names is there."""
    guide = ROOT / "docs" / "reports.md"
    links = re.findall(r"\]\(([^)#:]+)\)", guide.read_text(encoding="utf-8"))
    assert len(links) > 8
    for link in links:
        assert (guide.parent / link).is_file(), link
