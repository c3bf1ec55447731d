"""What every command prints, in the pseudo-language: all of it is in the catalog.

Houses and walls have names without Latin letters.  What stays as it is: ids of rules and answers,
names of sizes and species, formulas, citations, files, options.  `study` and `rules`,
for whoever works on the rules, print English.
"""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from click.testing import CliRunner

from tests.conftest import HERE
from tests.pseudo import Pseudo, left
from walltriage import language
from walltriage.case.model import HOUSE, Case
from walltriage.case.plan import Plan
from walltriage.case.read import read_case
from walltriage.case.write import write_case
from walltriage.cli import main

HOUSES = HERE / "demo_houses"
UNITS = r"ft|in|sq|lb|lbs|lb-ft|psf|plf|psi|dB"
WOOD = r"Spruce|Pine|Fir|Douglas|Hem|Southern|Larch|glulam|DFL|HF|SP|SPF|LVL|No|Select|Structural"
OURS = re.compile(
    rf"""\S*[_/\\]\S* | --?[a-z][\w-]* | \b\w+\.(?:yaml|md|html|jsonl)\b | [\w']*\d[\w.']*
    | \b(?:walltriage|sha256|config|{UNITS}|{WOOD})\b | \b[DLSRWE](?:\s*\+\s*[DLSRWE])+\b""",
    re.VERBOSE,
)


@pytest.fixture(autouse=True)
def spoken(monkeypatch, tmp_path):
    monkeypatch.setattr("walltriage.cli.use", lambda _: None)
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    undo = language.use_catalog(Pseudo())
    yield
    undo()


def nameless(case: Case) -> Case:
    """The case without a word of its own: no notes, reporters or names in Latin letters."""
    if case.plan is not None:
        case = replace(case, plan=unnamed(case.plan))
    walls = tuple(replace(wall, name="Ж" * n) for n, wall in enumerate(case.walls, 1))
    case = replace(case, name="№ 12", story="", walls=walls)
    for subject in (HOUSE, *(wall.id for wall in case.walls)):
        answers = case.house if subject == HOUSE else case.wall(subject).answers
        for name, answer in answers.items():
            case = case.with_answer(subject, name, replace(answer, note="", by="", seen_on=""))
    return case


def unnamed(plan: Plan) -> Plan:
    """The plan with its beams and knee walls named by numbers."""
    walls = [replace(w, name=w.name and f"№{n}") for n, w in enumerate(plan.walls)]
    beams = [replace(b, name=b.name and f"№{n}") for n, b in enumerate(plan.beams)]
    return replace(plan, walls=tuple(walls), beams=tuple(beams))


def without_sources(page: str) -> str:
    """A page up to its bibliography, and tables without their last column, the sources."""
    before = page.partition("```")[0].partition("Sóúrcés cítéd")[0]
    return re.sub(r"\|[^|\n]*\|$", "|", before, flags=re.MULTILINE)


@pytest.fixture
def house(full, tmp_path, request):
    """A demo house in a file."""
    path = tmp_path / "№12.yaml"
    write_case(path, nameless(read_case(HOUSES / request.param, full.base.questions)))
    return path


def english(text: str) -> list[str]:
    """Lines with a word of two letters or more whose vowels have no accent, outside brackets."""
    lines = [" ".join(OURS.sub(" ", line).split()) for line in left(text).splitlines()]
    return [ln for ln in lines if any(re.search("[aeiou]", w) for w in re.findall(r"\w{2,}", ln))]


def printed(*arguments: str) -> str:
    done = CliRunner().invoke(main, list(arguments), prog_name="walltriage")
    assert done.exit_code == 0, done.output
    return done.output


ALL = sorted(path.name for path in HOUSES.glob("*.yaml"))
FEW = ["01-ranch-with-trusses.yaml", "06-answers-that-clash.yaml", "18-lap-at-the-third-hole.yaml",
       "plan_six_walls_three_levels.yaml", "plan_knee_walls.yaml"]  # fmt: skip


@pytest.mark.parametrize("house", ALL, indirect=True)
def test_results_on_the_screen(house):
    assert english(printed("triage", str(house), "-v")) == []


@pytest.mark.parametrize("role", ["buyer", "trade", "firm"])
@pytest.mark.parametrize("house", FEW, indirect=True)
def test_pages(house, role):
    out = printed("report", str(house), "--out", "-", "--format", "md", "--for", role)
    assert english(without_sources(out)) == []


@pytest.mark.parametrize("house", FEW, indirect=True)
def test_photos(house):
    assert english(printed("photos", str(house))) == []


@pytest.mark.parametrize(
    "line",
    [
        "checklist --for buyer --year 1955",
        "checklist --for firm",
        "cases",
        "cases nothing",
        "config",
        "beam --opening 10ft --dead 140plf --live 280plf",
        "beam --opening 10ft --dead 140plf --live 280plf --flush",
        "beam --spans 12ft,10ft --dead 140plf --live 280plf",
        "beam --header roof --house-width 28ft --ground-snow 30psf",
        "span --use floor --size 2x10 --spacing 16in --live 40psf --dead 10psf",
    ],
)
def test_what_a_command_prints(line):
    assert english(printed(*line.split())) == []
