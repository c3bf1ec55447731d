"""The order in which houses want an engineer, from a short summary kept with each."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import update

from walltriage.case.model import Case
from walltriage.desk.bench import Bench
from walltriage.desk.checks import checks_of, counted_case
from walltriage.desk.store import Store
from walltriage.desk.tables import House
from walltriage.inference.finding import LEVELS, Finding

NO_DATE = "9999-99-99"


@dataclass(frozen=True, slots=True)
class Row:
    """A house in the queue: its worst referral, its walls in short."""

    house: House
    level: str
    upper: float
    walls: tuple[dict[str, Any], ...]
    answered: int

    @property
    def state(self) -> str:
        """Where the intake is, in words."""
        if self.house.sent_at:
            return "sent in"
        return "in progress" if self.answered else "waiting for the client"


def refreshed(store: Store, bench: Bench, houses: Iterable[House]) -> list[Row]:
    """The houses with their summaries, worked out anew where answers or rules have changed."""
    rows = []
    for house in houses:
        mark = f"{house.revision} {bench.base.sha256}"
        if house.summary_of != mark:
            house.summary, house.summary_of = json.dumps(_summary(store, bench, house)), mark
            with store.write() as db:
                db.execute(
                    update(House)
                    .where(House.id == house.id, House.revision == house.revision)
                    .values(summary=house.summary, summary_of=mark)
                )
        kept = json.loads(house.summary)
        rows.append(
            Row(house, kept["level"], kept["upper"], tuple(kept["walls"]), kept["answered"])
        )
    return rows


def _summary(store: Store, bench: Bench, house: House) -> dict[str, Any]:
    with store.read() as db:
        checks = checks_of(db, house)
    case = bench.case_of(house.case_text)
    with bench.engine() as triager:
        finding = triager.finding(counted_case(bench.base, case, checks))
    return summary_of(case, finding)


def summary_of(case: Case, finding: Finding) -> dict[str, Any]:
    """What the queue shows of a finding."""
    level = max((wall.referral.level for wall in finding.walls), key=LEVELS.index, default="none")
    return {
        "level": level,
        "upper": max((wall.probability[1] for wall in finding.walls), default=0.0),
        "walls": [
            {
                "name": wall.name or wall.id,
                "verdict": wall.verdict,
                "level": wall.referral.level,
            }
            for wall in finding.walls
        ],
        "answered": len(case.house) + sum(len(wall.answers) for wall in case.walls),
    }


def in_order(rows: Sequence[Row]) -> list[Row]:
    """What was sent in first, by referral, then the nearest visit, then by how likely it bears."""
    return sorted(
        rows,
        key=lambda row: (
            not row.house.sent_at,
            -LEVELS.index(row.level),
            row.house.visit_on or NO_DATE,
            -row.upper,
            row.house.sent_at or row.house.made_at,
            row.house.id,
        ),
    )
