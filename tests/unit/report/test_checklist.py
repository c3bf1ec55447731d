"""A page to take along: one sheet for everybody, in walking order, with boxes, drawings, photos."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from walltriage.case.answers import make_answer
from walltriage.case.model import ROLES
from walltriage.cli import main
from walltriage.report.checklist import MOST_LINES, WALK, WIDE, checklist
from walltriage.report.texts import texts_for

KNOWN = (
    {}, {"levels_in_house": "two"}, {"attic_frame": "trusses", "year_built": "1990"},
    {"attic_frame": "rafters", "year_built": "1925", "levels_in_house": "one"},
)  # fmt: skip


def page(full, role, known):
    answers = {name: make_answer(name, full.base.questions[name], v) for name, v in known.items()}
    return checklist(full, texts_for(full.base), role, answers)


@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize("known", KNOWN)
def test_one_sheet(full, role, known):
    """Letter paper, printed small; nobody gets a second sheet or a cut line."""
    lines = page(full, role, known)
    assert len(lines) <= MOST_LINES
    assert max(map(len, lines)) <= WIDE
    text = "\n".join(lines)
    at = [text.index(f"-- {title} ") for _, title in WALK if f"-- {title} " in text]
    assert at == sorted(at)
    assert len(at) >= 5
    assert "Photos: [_] 2 x The house from two corners" in text
    assert "A roof line that sags" in text  # trouble is on everybody's sheet
    assert "power off and tested dead" in text


@pytest.mark.parametrize("role", ROLES)
def test_a_drawing_is_on_it(full, role):
    assert any("║" in line or "│" in line or "══" in line for line in page(full, role, {}))


def test_what_is_known_is_not_asked(full):
    """Nor a look at trusses under rafters."""
    known = "\n".join(page(full, "buyer", KNOWN[3]))
    assert "What year was the house built?" not in known
    assert "Look at the roof trusses" not in known
    assert "Look at the roof trusses" in "\n".join(page(full, "buyer", KNOWN[2]))


def test_nothing_is_parted_from_its_box(full):
    """A box at the end of a line would belong to nothing."""
    assert not [line for line in page(full, "firm", {}) if line.endswith("[_]")]


def test_to_a_file_as_text_and_for_the_printer(tmp_path):
    """Never over a file that is there; HTML is set to fill one sheet."""
    for name in ("page.txt", "page.html"):
        path = tmp_path / name
        done = CliRunner().invoke(main, ["checklist", "--for", "buyer", "--out", str(path)])
        assert done.exit_code == 0, done.output
        assert "WALLS: WHAT TO LOOK AT" in path.read_text(encoding="utf-8")
        again = CliRunner().invoke(main, ["checklist", "--out", str(path)])
        assert again.exit_code == 2
        assert "already exists" in again.output
    assert "size: letter" in (tmp_path / "page.html").read_text(encoding="utf-8")


@pytest.mark.parametrize("words", [["--year", "long ago"], ["--levels", "nine"], ["--roof", "?"]])
def test_what_is_not_understood_is_told(words):
    done = CliRunner().invoke(main, ["checklist", *words])
    assert done.exit_code == 2
    assert words[0] in done.output


def test_the_html_page_prints_on_one_sheet(tmp_path):
    """By arithmetic: lines of 8.7 pt on eleven inches less the margins."""
    assert MOST_LINES * 8.7 <= (11 - 2 * 0.4) * 72
    assert WIDE * 8.7 * 0.602 <= (8.5 - 2 * 0.4) * 72  # a monospaced letter is 0.602 em wide
