"""What was found of a wall, beside what had been said of it; anonymous records of that.

The verdict is kept as it stood when the outcome was written down: a rule that changes later does
not change what was told to somebody.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Literal, Self, get_args

from sqlalchemy import select
from sqlalchemy.orm import Session as Db

from walltriage.case.model import Case
from walltriage.desk.events import note_event
from walltriage.desk.store import now
from walltriage.desk.tables import HouseRecord, Outcome, Pooled
from walltriage.inference.finding import Verdict
from walltriage.inference.triage import Triager

SCHEMA = "walltriage/outcomes/1"
Seen = Literal["opened", "plans", "removed", "visit"]
Why = Literal["doubt", "work", "sample"]
Reporter = Literal["engineer", "client"]
SEEN: dict[Seen, str] = {
    "opened": "Opened up and looked at",
    "plans": "Structural drawings of the house as built",
    "removed": "Taken out, with an engineer present",
    "visit": "Seen by an engineer on a visit, nothing opened",
}
WHY: dict[Why, str] = {
    "work": "The work was going ahead in any case",
    "doubt": "It was looked at because of doubt",
    "sample": "It was picked at random, to learn how often the verdicts are right",
}
_MONTH = re.compile(r"([12]\d{3}-(0[1-9]|1[0-2]))?")
REPORTER: dict[Reporter, str] = {
    "engineer": "An engineer saw it",
    "client": "The client reports it",
}


@dataclass(frozen=True, slots=True)
class FoundLater:
    """What was found of one wall."""

    bears: bool
    seen: Seen
    why: Why
    reporter: Reporter = "engineer"
    found_on: str = ""
    paths: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class Record:
    """One wall without anything that tells whose it is: verdict, truth, answers.

    ``month`` is YYYY-MM; ``chance`` the lowest and highest belief that it bears; ``answers`` the
    option or band of each answer that counted.
    """

    verdict: Verdict
    chance: tuple[float, float]
    bears: bool
    seen: Seen
    why: Why
    reporter: Reporter
    month: str
    rules: str
    paths: tuple[str, ...]
    answers: tuple[tuple[str, str], ...]

    def data(self) -> dict[str, Any]:
        """As it goes into a pool."""
        return {
            "verdict": self.verdict, "chance": list(self.chance), "bears": self.bears,
            "seen": self.seen, "why": self.why, "reporter": self.reporter, "month": self.month,
            "rules": self.rules, "paths": list(self.paths), "answers": dict(self.answers),
        }  # fmt: skip

    @classmethod
    def of(cls, data: Any) -> Self:
        """Read one; :class:`ValueError` for what is none."""
        try:
            low, high = (float(bound) for bound in data["chance"])
            found = cls(
                data["verdict"], (low, high), data["bears"], data["seen"], data["why"],
                data["reporter"], data["month"], str(data["rules"])[:64],
                tuple(str(path)[:60] for path in data["paths"]),
                tuple((str(k)[:80], str(v)[:80]) for k, v in data["answers"].items()),
            )  # fmt: skip
        except (KeyError, TypeError, AttributeError, ValueError):
            raise ValueError("not a record of an outcome") from None
        wanted = (
            (found.verdict, get_args(Verdict)), (found.seen, SEEN), (found.why, WHY),
            (found.reporter, REPORTER), (found.bears, (True, False)),
        )  # fmt: skip
        if any(value not in known for value, known in wanted) or not 0 <= low <= high <= 1:
            raise ValueError("a record with an unknown value")
        if not isinstance(found.month, str) or not _MONTH.fullmatch(found.month):
            raise ValueError("a record with a date more exact than a month")
        return found


def record_of(triager: Triager, case: Case, wall_id: str, found: FoundLater) -> Record:
    """What is kept of one wall: free text and measured words stay out, bands stay in."""
    wall = triager.wall(case, case.wall(wall_id))
    answers = triager.answers(case, wall_id)
    kept = tuple(
        sorted(
            (name, answer.value)
            for name, answer in answers.items()
            if answer.is_real
            and answer.value
            and triager.base.questions[name].entry.answer != "text"
        )
    )
    return Record(
        wall.verdict, (round(wall.probability[0], 6), round(wall.probability[1], 6)), found.bears,
        found.seen, found.why, found.reporter, found.found_on[:7], triager.base.sha256,
        found.paths, kept,
    )  # fmt: skip


def write_outcome(
    db: Db,
    triager: Triager,
    house: HouseRecord,
    case: Case,
    wall_id: str,
    found: FoundLater,
    by: str,
) -> None:
    """Write down what was found; a second time it takes the place of the first."""
    row = db.scalar(select(Outcome).where(Outcome.house_id == house.id, Outcome.wall == wall_id))
    kept = None if row is None else Record.of(json.loads(row.record))
    record = record_of(triager, case, wall_id, found)
    if kept is not None:  # what had been said stays as it was said the first time
        record = Record(
            kept.verdict, kept.chance, found.bears, found.seen, found.why, found.reporter,
            found.found_on[:7], kept.rules, found.paths, kept.answers,
        )  # fmt: skip
    if row is None:
        row = Outcome(house_id=house.id, wall=wall_id)
        db.add(row)
    row.bears, row.seen, row.why, row.reporter = found.bears, found.seen, found.why, found.reporter
    row.paths, row.found_on, row.note = ",".join(found.paths), found.found_on, found.note
    row.by, row.at, row.record = by, now(), json.dumps(record.data(), sort_keys=True)
    note_event(db, by, "outcome recorded", house.key, wall_id)


def outcomes_of(db: Db, house: HouseRecord) -> dict[str, Outcome]:
    """A house's outcomes by wall."""
    rows = db.scalars(select(Outcome).where(Outcome.house_id == house.id))
    return {row.wall: row for row in rows}


def records(db: Db, pooled: bool = True) -> list[Record]:
    """Every record of this desk, and those of pools unless they are left out."""
    texts: list[str] = list(db.scalars(select(Outcome.record).order_by(Outcome.id)))
    if pooled:
        texts += db.scalars(select(Pooled.record).order_by(Pooled.id))
    return [Record.of(json.loads(text)) for text in texts]


def pool_text(found: Iterable[Record]) -> str:
    """A pool: lines of JSON in an order that tells nothing of when each was written."""
    lines = sorted(json.dumps(record.data(), sort_keys=True) for record in found)
    return "\n".join([json.dumps({"schema": SCHEMA}), *lines]) + "\n"


def read_pool(text: str) -> list[Record]:
    """The records of a pool; :class:`ValueError` with the line for what is none."""
    lines = text.splitlines()
    try:
        head = json.loads(lines[0]) if lines else None
    except (ValueError, RecursionError):
        head = None
    if not isinstance(head, dict) or head.get("schema") != SCHEMA:
        raise ValueError(f"line 1: not a pool of outcomes ({SCHEMA})")
    found = []
    for number, line in enumerate(lines[1:], 2):
        try:
            found.append(Record.of(json.loads(line)))
        except RecursionError:
            raise ValueError(f"line {number}: nested too deeply to be a record") from None
        except ValueError as error:
            raise ValueError(f"line {number}: {error}") from None
    return found


def take_in(db: Db, found: Sequence[Record], by: str) -> int:
    """Keep the records of a pool that are not here yet; how many came in.

    Two walls with the very same record are told apart by how many of them a pool has.
    """
    ours = [
        hashlib.sha256(text.encode()).hexdigest() for text in db.scalars(select(Outcome.record))
    ]
    count: dict[str, int] = {}
    taken = 0
    for record in found:
        text = json.dumps(record.data(), sort_keys=True)
        bare = hashlib.sha256(text.encode()).hexdigest()
        count[bare] = count.get(bare, 0) + 1
        if count[bare] <= ours.count(bare):
            continue
        mark = hashlib.sha256(f"{bare} {count[bare]}".encode()).hexdigest()
        if db.scalar(select(Pooled.id).where(Pooled.mark == mark)) is None:
            db.add(Pooled(mark=mark, record=text, at=now()))
            db.flush()
            taken += 1
    note_event(db, by, "pool imported, outcomes that were new", detail=f"{taken}/{len(found)}")
    return taken
