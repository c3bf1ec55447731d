"""What is fed with broken input, each as the program itself would use it."""

from __future__ import annotations

import io
import pickle
import shutil
import tempfile
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import click
from click.testing import CliRunner

from walltriage.bulk import quick_table
from walltriage.bulk.blocks import tasks
from walltriage.bulk.rows import cells_of, fields
from walltriage.bulk.run import Judge
from walltriage.bulk.store import NOTE, RunStore
from walltriage.bulk.write import write_rows
from walltriage.case.answers import AnswerError
from walltriage.case.model import CHECKED, Answer, Case
from walltriage.case.read import read_case
from walltriage.case.write import case_text
from walltriage.cli import main
from walltriage.errors import InputError, Problem
from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.inference.triage import Triager
from walltriage.interview.pages import page_for
from walltriage.interview.planner import Planner
from walltriage.interview.replies import ReplyError, understand
from walltriage.interview.session import Session
from walltriage.knowledge import glances, rule_cache
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.load import load_knowledge

TESTS = Path(__file__).resolve().parents[1]
SMALL = TESTS / "small_rules"
CORPUS = Path(__file__).with_name("corpus")


class Broken(Exception):  # noqa: N818 - what was looked for
    """The program did with an input what it must never do."""


@dataclass(frozen=True)
class Target:
    """One way in: how it is fed, its seeds, and how many inputs of a thousand it gets."""

    name: str
    feed: Callable[[Path, bytes], None]
    seeds: Callable[[], Iterable[bytes]]
    share: int

    @property
    def kept(self) -> Path:
        """Where inputs that broke something, and others worth keeping, lie."""
        return CORPUS / self.name

    def corpus(self) -> tuple[bytes, ...]:
        """All inputs to start from, in a fixed order."""
        kept = sorted(self.kept.iterdir()) if self.kept.is_dir() else []
        return (*self.seeds(), *(path.read_bytes() for path in kept))


@cache
def base() -> KnowledgeBase:
    return load_knowledge(SMALL)


@cache
def shipped() -> KnowledgeBase:
    return load_knowledge(TESTS.parent / "rules")


@cache
def triager() -> Triager:
    return Triager(base())


@cache
def shipped_triager() -> Triager:
    return Triager(shipped())


@cache
def judge() -> Judge:
    return Judge(ColumnEvaluator(base()))


def placed(problems: Iterable[Problem]) -> None:
    """Every refusal names a file, and a line of it where it has any."""
    for problem in problems:
        whole = problem.what.startswith(("more than", "a record of more", "is "))
        missing = not Path(problem.path).is_file()
        if not problem.path or not problem.what or not (problem.line or whole or missing):
            raise Broken(f"a refusal without a place: {problem!r}")


def _case(folder: Path, data: bytes) -> None:
    """Read, judge, write and read again."""
    _read_and_judge(folder, data, triager())


def _plan(folder: Path, data: bytes) -> None:
    """The same by the shipped rules, which know of plans."""
    _read_and_judge(folder, data, shipped_triager())


def _read_and_judge(folder: Path, data: bytes, by: Triager) -> None:
    path = folder / "c.yaml"
    path.write_bytes(data)
    try:
        case = read_case(path, by.base.questions)
    except InputError as error:
        placed(error)
        return
    if len(case.walls) <= 6:
        by.finding(case)
        if CHECKED.encode() in data:
            by.finding(_checked(case))
    path.write_text(case_text(case), encoding="utf-8")
    if read_case(path, by.base.questions) != case:
        raise Broken("a case is not what it was after writing and reading")


def _checked(case: Case) -> Case:
    """The case as the desk judges it once a professional has marked every answer."""

    def marked(answers: Mapping[str, Answer]) -> dict[str, Answer]:
        return {name: replace(answer, sure=CHECKED) for name, answer in answers.items()}

    walls = tuple(replace(wall, answers=marked(wall.answers)) for wall in case.walls)
    return replace(case, house=marked(case.house), walls=walls)


def _transcript(folder: Path, data: bytes) -> None:
    """Go on with an interview where it stopped."""
    _go_on(folder, data, triager())


def _pages(folder: Path, data: bytes) -> None:
    """The same by the shipped rules, which ask several things on a page."""
    _go_on(folder, data, shipped_triager())


def _go_on(folder: Path, data: bytes, by: Triager) -> None:
    path = folder / "c.yaml"
    path.write_bytes(data)
    try:
        case = read_case(path, by.base.questions)
    except InputError as error:
        placed(error)
        return
    if len(case.walls) > 6:
        return
    session = Session(Planner(by), case)
    if session.step is not None:
        session.unknown()
    session.back()
    path.write_text(case_text(session.case), encoding="utf-8")
    if read_case(path, by.base.questions) != session.case:
        raise Broken("an interview that stopped is not what it was after writing and reading")


def _typed(_: Path, data: bytes) -> None:
    """Lines typed at the pages of an interview, each understood or refused with words."""
    session = Session(Planner(shipped_triager()), Case())
    for line in data.decode("utf-8", "surrogateescape").split("\n")[:MOST_LINES]:
        if session.step is None:
            return
        try:
            reply = understand(line, page_for(session))
            if reply.picked is not None:
                session.answer_page(reply.picked, reply.sure or "certain", reply.note)
            elif reply.command == "back":
                session.back()
            elif reply.keep and session.page is not None:
                session.keep_page()
            elif reply.keep:
                session.keep()
            elif reply.command in ("unknown", "out_of_reach"):
                _nothing_known(session, reply.command)
            elif reply.command is None:
                session.answer(reply.value, reply.sure or "certain", reply.note)
        except (ReplyError, AnswerError) as error:
            if not str(error):
                raise Broken("a refusal without words") from error


def _nothing_known(session: Session, word: str) -> None:
    if session.page is not None:
        session.nothing_known(word)
    else:
        session.answer(word)


def _many(suffix: str) -> Callable[[Path, bytes], None]:
    def feed(folder: Path, data: bytes) -> None:
        path = folder / f"c.{suffix}"
        path.write_bytes(data)
        rows = []
        for task in tasks([path]):
            outcome = judge()(task)
            placed(outcome.problems)
            for problem in outcome.problems:
                if problem.what.startswith("could not be judged"):
                    raise Broken(str(problem))
            rows += outcome.rows
        for form in ("csv", "table"):
            write_rows(map(cells_of, rows), fields(base()), form, folder / "out")

    return feed


def _rules(folder: Path, data: bytes) -> None:
    """One file of the small rules in its place, or one more; its name is the first line."""
    name, _, content = data.partition(b"\n")
    files = {path.relative_to(SMALL).as_posix() for path in SMALL.rglob("*.yaml")} | {
        glances.FILE_NAME
    }
    known = name.decode("utf-8", "replace")
    where = folder / "rules"
    shutil.copytree(SMALL, where)
    try:
        (where / (known if known in files else "guards.yaml")).write_bytes(content)
        Triager(load_knowledge(where))
    except InputError as error:
        placed(error)
    finally:
        shutil.rmtree(where)


def _resumed(folder: Path, data: bytes) -> None:
    """The note of an interrupted batch."""
    place = folder / "o.csv.part"
    place.mkdir(exist_ok=True)
    (place / NOTE).write_bytes(data)
    try:
        list(RunStore.resume(place, "x").merged())
    except InputError as error:
        placed(error)
    finally:
        shutil.rmtree(place, ignore_errors=True)


def _kept_rules(folder: Path, data: bytes) -> None:
    """Rules kept from before, damaged on disk."""
    (folder / f"k{rule_cache.SUFFIX}").write_bytes(data)
    found = rule_cache.read(folder, "k", SMALL)
    if found is not None and found.folder != SMALL:
        raise Broken("the rules of another folder")


def _kept_seeds() -> Iterable[bytes]:
    for part in (
        base().guards,
        base().sources,
        replace(base(), anchors={}, places={}, folder=None),
    ):
        data = pickle.dumps(part)
        yield rule_cache.head("k", data) + data


def _command(folder: Path, data: bytes) -> None:
    """A command line, its words apart by line ends; only what neither writes nor asks."""
    words = data.decode("utf-8", "surrogateescape").replace("\0", "").split("\n")
    if words[0] not in ("span", "beam", "rules"):
        words = ["span", *words]
    if words[0] == "rules":
        words[1:2] = ["show", "--rules", str(SMALL)]  # the shipped ones take a second to read
    done = CliRunner().invoke(main, words)
    if done.exit_code not in (0, 1, 2) or (
        done.exception is not None
        and not isinstance(done.exception, SystemExit | click.ClickException)
    ):
        raise Broken(f"exit {done.exit_code}") from done.exception


def _parquet_seeds() -> Iterable[bytes]:
    import pyarrow
    from pyarrow import parquet

    header, *rows = (line.split(",") for line in CSV.decode().splitlines())
    for kind in ("NONE", "SNAPPY"):
        columns = dict(zip(header, zip(*rows, strict=True), strict=True))
        sink = io.BytesIO()
        parquet.write_table(pyarrow.table(columns), sink, compression=kind)
        yield sink.getvalue()


def _yaml_seeds(*folders: str) -> Callable[[], Iterable[bytes]]:
    def seeds() -> Iterable[bytes]:
        for folder in folders:
            for path in sorted((TESTS.parent / folder).glob("*.yaml")):
                yield path.read_bytes()

    return seeds


SMALL_CASE = b"""schema: walltriage/case/1
name: 14 Elm
for: buyer
reach: 2
units: ft
walls:
- id: w1
  name: kitchen
  answers:
    built_of: wood
    above_wall: attic
    wall_length: {value: 12 ft 6 in, sure: guess, note: paced}
asked: [w1/above_wall]
drawing: {of: outline, replies: [two, tape, 40 ft, null]}
"""
CHECKED_CASE = b"""schema: walltriage/case/1
name: 15 Elm
client: {client_name: A. Person, client_contact: by mail}
walls:
- id: w1
  answers:
    built_of: {value: wood, sure: checked, by: an engineer, seen_on: photo 3}
    above_wall: {value: attic, sure: checked, by: an engineer}
    joists_run: {value: along, sure: fairly}
asked: [w1/built_of@frame, w1/above_wall@round, w1/joists_run@round]
to_name: [w1/wall_below@round, w1/joists_end]
"""
GLANCES = b"""glances.yaml
glances:
  - id: round
    ask: "Do you see any of it?"
    why: "It tells how the house stands."
    look: "Walk along the wall."
    items:
      - says: "Brick behind the finish"
        unseen: {built_of: wood}
        seen: {built_of: brick}
      - says: "A wall right below"
        unseen: {wall_below: nothing}
        names: [wall_length]
"""
TYPED = (
    b"0\n1 3?\nnone\n2, 4? fairly\nd\nb\n\n1\nc\n0 guess\n1955\n28 ft\n",
    b"1\n2\n1\n0\n1? 2?\nb\n\n9\n99\n1 and 2 (a guess)\nq\nw\n1f\n",
)
MOST_LINES = 12
JSON_LINE = (
    b'{"schema": "walltriage/case/1", "name": "a", "walls": [{"id": "w1", "answers": '
    b'{"above_wall": "attic", "wall_length": {"value": 12.5, "sure": "fairly"}}}]}\n'
)
JSON_CHECKED = JSON_LINE.replace(b"fairly", b"checked")
CSV = b"case,wall,name,above_wall,above_wall.sure,wall_length\na,w1,x,attic,guess,12 ft\nb,w1,,,,\n"
NOTED = (
    b'{"settings": "x", "tasks": 2, "runs": 1, "cases": 3, "walls": 3, "bad": 0, "digest": "ab",'
    b' "moves": {}}'
)
COMMANDS = tuple(
    line.replace(b"; ", b"\n")
    for line in (
        b"span; --use; floor; --size; 2x10; --species; SPF; --grade; No.2; --spacing; 16in;"
        b" --live; 40psf; --dead; 10psf",
        b"beam; --opening; 10 ft; --dead; 140plf; --live; 280plf; --point; 1200 lb @ 4 ft",
        b"rules; show; above_wall",
    )
)


def _rule_seeds() -> Iterable[bytes]:
    yield GLANCES
    yield b"glances.yaml\n" + (TESTS.parent / "rules" / glances.FILE_NAME).read_bytes()
    for path in sorted(SMALL.rglob("*.yaml")):
        yield path.relative_to(SMALL).as_posix().encode() + b"\n" + path.read_bytes()


TARGETS = (
    Target("case", _case, lambda: (SMALL_CASE, CHECKED_CASE), 340),
    Target("plan", _plan, _yaml_seeds("tests/demo_houses"), 60),
    Target("transcript", _transcript, lambda: (SMALL_CASE, CHECKED_CASE), 120),
    Target("pages", _pages, _yaml_seeds("transcripts_demo"), 20),
    Target("typed", _typed, lambda: TYPED, 20),
    Target("jsonl", _many("jsonl"), lambda: (JSON_LINE * 3, JSON_CHECKED * 2), 170),
    Target("csv", _many("csv"), lambda: (CSV,), 160),
    *((Target("parquet", _many("parquet"), _parquet_seeds, 10),) if quick_table.there else ()),
    Target("rules", _rules, _rule_seeds, 20),
    Target("resume", _resumed, lambda: (NOTED,), 40),
    Target("kept rules", _kept_rules, _kept_seeds, 10),
    Target("command", _command, lambda: COMMANDS, 30),
)


def scratch() -> tempfile.TemporaryDirectory[str]:
    """A folder to feed from."""
    return tempfile.TemporaryDirectory(prefix="fuzz-")
