"""Reports, the screen, drawings and the checklist in the pseudo-language: nothing is left English.

What stays as it is: what people typed, titles and keys of publications, an engineer's formulas,
names of lumber, units, and at the greatest depth the ids of rules.
"""

from __future__ import annotations

import io
import re
from dataclasses import replace

import pytest

from tests.conftest import HERE
from tests.pseudo import Pseudo, left, pseudo_rules
from tests.unit.report.test_metric import texts
from walltriage import language
from walltriage.case.read import read_case
from walltriage.inference.triage import Triager
from walltriage.report.checklist import checklist
from walltriage.report.files import make_request, rendered
from walltriage.report.house_terminal import print_result
from walltriage.report.pages import build
from walltriage.report.terminal import make_console
from walltriage.report.texts import texts_for

HOUSES = sorted((HERE.parent / "transcripts_demo").glob("*.yaml"))
UNITS = re.compile(r"\b(?:ft|in|sq|lb|lbs|psf|plf|psi|dB|UTC|IRC|sha256|LVL|glulam|SPF|Stud)\b")
FORMULA = re.compile(r"^\S.* = .* = |^CM 1 \(|^fb = ")


@pytest.fixture(scope="module")
def spoken():
    """A knowledge base and everything else in the pseudo-language."""
    undo = language.use_catalog(Pseudo())
    yield Triager(pseudo_rules())
    undo()


def anonymous(case):
    """The same case with nothing that a person typed as words."""
    answers = {
        wall.id: {name: replace(a, note="", by="", seen_on="") for name, a in wall.answers.items()}
        for wall in case.walls
    }
    walls = tuple(
        replace(wall, name=str(number), answers=answers[wall.id], looks=None)
        for number, wall in enumerate(case.walls, 1)
    )
    house = {name: replace(a, note="", by="", seen_on="") for name, a in case.house.items()}
    return replace(case, name="1", story="", walls=walls, house=house, plan=None)


def english(text: str, keys: frozenset[str]) -> str:
    """What of a text is in English, if it is no formula and cites nothing."""
    rest = UNITS.sub(" ", re.sub(r"\[[^\]]*\]", " ", left(text)))
    words = set(re.findall(r"[A-Za-z]{3,}", rest))
    if (
        not words
        or FORMULA.match(text)
        or text.startswith("[")
        or keys & set(re.findall(r"[a-z]\w*", rest))
    ):
        return ""
    return rest


@pytest.mark.parametrize("path", HOUSES, ids=lambda path: path.stem)
def test_pages(spoken, path):
    case = anonymous(read_case(path, spoken.base.questions))
    keys = frozenset(spoken.base.sources) | {"elicited", "common"}
    for role in ("buyer", "trade", "firm"):
        for depth in (1, 2):
            request = make_request(spoken, case, "2026-01-02", audience=role, depth=depth)
            cited = {f"{one.title}. {one.edition}." for one in request.finding.cited}
            found = [
                text for text in texts(build(request))
                if text not in cited and english(text, keys)
                and text not in ("plan", "section", "elevation", "evidence", "span", "girder")
                and not re.fullmatch(r"[a-z_]+", text)
            ]  # fmt: skip
            assert found == [], (role, depth)


@pytest.mark.parametrize("path", HOUSES[::4], ids=lambda path: path.stem)
@pytest.mark.parametrize("depth", [1, 2])
def test_the_screen(spoken, path, depth):
    case = anonymous(read_case(path, spoken.base.questions))
    buffer = io.StringIO()
    console = make_console(buffer, 4000)
    print_result(console, make_request(spoken, case, "", depth=depth))
    lines = buffer.getvalue().splitlines()
    assert [line for line in lines if english(line, frozenset())] == []


def test_files(spoken):
    """Words of the templates too, and the language that pages say they are in."""
    case = anonymous(read_case(HOUSES[0], spoken.base.questions))
    request = make_request(spoken, case, "2026-01-02", audience="buyer")
    for form in ("html", "md"):
        text = rendered(request, form).decode("utf-8")
        assert "⟦Mádé ón 2026-01-02.⟧" in text, form
        assert '<html lang="en">' in text or form == "md"  # the pseudo-language has no code


def test_the_checklist(spoken):
    for role in ("buyer", "trade", "firm"):
        lines = checklist(spoken, texts_for(spoken.base), role, {})
        whole = left(" ".join(line.strip() for line in lines))
        assert re.findall(r"[A-Za-z]{3,}", whole) == [], role
