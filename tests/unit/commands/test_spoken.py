"""What every command prints, in the pseudo-language: all of it is in the catalog.

Houses and walls have names without Latin letters.  What stays as it is: ids of rules and answers,
names of sizes and species, formulas, citations, files, options, the condition language.
"""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from click.testing import CliRunner

from tests.conftest import HERE, RULES
from tests.pseudo import Pseudo, left
from walltriage import language
from walltriage.case.model import HOUSE, Case
from walltriage.case.plan import Plan
from walltriage.case.read import read_case
from walltriage.case.write import write_case
from walltriage.cli import main
from walltriage.commands.common import load_base
from walltriage.inference.engine.strata import stratify
from walltriage.report.card import as_markdown, as_text
from walltriage.report.rule_cards import Cards
from walltriage.rule_testing.coverage import Coverage

HOUSES = HERE / "demo_houses"
TRANSCRIPTS = HERE.parent / "transcripts_demo"
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
    undo = language.use_catalog(Pseudo(), "pseudo-language")
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


@pytest.fixture
def recorded(full, tmp_path):
    """A recorded interview without names in Latin letters, told as changed since."""
    path = tmp_path / "№12.yaml"
    told = read_case(TRANSCRIPTS / "plan_trusses_two_walls.yaml", full.base.questions)
    write_case(path, nameless(told))
    return path


def english(text: str) -> list[str]:
    """Lines with a word of two letters or more whose vowels have no accent, outside brackets."""
    lines = [" ".join(OURS.sub(" ", line).split()) for line in left(text).splitlines()]
    return [ln for ln in lines if any(re.search("[aeiou]", w) for w in re.findall(r"\w{2,}", ln))]


def printed(*arguments: str, status: int = 0) -> str:
    done = CliRunner().invoke(main, list(arguments), prog_name="walltriage")
    assert done.exit_code == status, done.output
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


def test_a_recorded_interview(recorded):
    assert english(printed("replay", str(recorded))) == []


def test_a_recorded_interview_that_differs(recorded, full):
    told = read_case(recorded, full.base.questions)
    walls = told.outcome["walls"]
    changed = [walls[0] | {"verdict": "cannot_tell", "fired": ["an_old_rule"]}, {"id": "w9"}]
    write_case(recorded, replace(told, outcome=told.outcome | {"walls": changed}))
    assert english(printed("replay", "--quiet", str(recorded), status=1)) == []
    write_case(recorded, replace(told, outcome={}))
    assert english(printed("replay", "--quiet", str(recorded), status=1)) == []


@pytest.mark.parametrize("house", FEW[:2], indirect=True)
def test_many_cases(house):
    assert english(printed("batch", str(house))) == []
    assert english(printed("batch", str(house), "--compare", str(RULES))) == []


def test_batch_without_cases():
    usage = printed("batch", status=2)
    assert english(usage.partition("Error:")[2]) == []


STUDY = ["study", "--walls", "4", "--seed", "5"]
KINDS_OF_PEOPLE = r"\b(?:perfect|guided|careful|usual|poor|planner|fixed|random|Brier|in)\b"


@pytest.mark.parametrize("more", [["--all-answers"], ["--checked"], ["--cores", "1"]])
def test_a_study(more, tmp_path):
    """All but the ids: kinds of people and of houses, orders of asking."""
    own = ["--folder", str(tmp_path / "kept")] if "--cores" in more else []
    said = printed(*STUDY, *more, *own)
    assert english(re.sub(KINDS_OF_PEOPLE, " ", said)) == []


def test_rules_as_a_whole():
    assert english(printed("rules", "check", "--rules", str(HERE / "small_rules"))) == []


def test_cards_of_entries():
    """Of rules, questions, load paths, sources, words; conditions stay as rules write them."""
    base = load_base(RULES)
    cards = Cards(base)
    kinds = {}
    for name in cards.ids()[::4]:
        card = cards.card(name)
        facts = tuple((label, _said_of(label, text)) for label, text in card.facts)
        kept = tuple(replace(g, rows=[r[2:] for r in g.rows]) for g in card.grids)
        grids = tuple(replace(g, head=[h for h in g.head if h.startswith("⟦")]) for g in kept)
        shown = as_markdown(replace(card, id="0", file="0", facts=facts, grids=grids, drawing=""))
        assert card.kind == "source" or english(shown) == [], name
        kinds.setdefault(card.kind, card)
    assert [
        k for k, card in kinds.items() if left(as_text(card).partition(card.id)[0]).strip()
    ] == []


IDS_OR_CITATIONS = {
    "applies", "when", "source", "limits", "read by", "signs", "path", "clues", "cited by",
    "used by", "concludes", "question", "condition", "refer", "look again", "withholds", "level",
    "fires on", "quiet on", "edition", "note", "says", "settled by", "asked",
}  # fmt: skip


def _said_of(label: str, text: str) -> str:
    """What a card says of a label, nothing where it is ids, names of works or the rules' words."""
    return "" if label in IDS_OR_CITATIONS else text


def test_gaps_of_coverage():
    """What is said where no case at all was run."""
    base = load_base(RULES)
    gaps = Coverage(base, {item.id: item for item in stratify(base)}).gaps()
    assert {gap.kind for gap in gaps} == {"fires", "quiet", "carries", "stops", "option"}
    assert [gap for gap in gaps if left(gap.what)] == []
