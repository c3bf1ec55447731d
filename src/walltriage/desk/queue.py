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
from walltriage.desk.tables import HouseRecord
from walltriage.inference.finding import LEVELS, Finding, WallFinding

NO_DATE = "9999-99-99"
FORM = 2  # of what is kept as a summary; another number has all of them worked out anew
LEANS = {"bearing": "leans toward bearing", "non_bearing": "leans toward non-bearing",
         "none": "leans neither way"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class QueueRow:
    """A house in the queue: its worst referral, its walls in short.

    ``leans`` is how far the wall that leans most leans toward bearing: 1 for one called bearing, 0
    for one called non-bearing, else the share of simulated walls like it that bore.
    """

    house: HouseRecord
    level: str
    leans: float
    walls: tuple[dict[str, Any], ...]
    answered: int

    @property
    def state(self) -> str:
        """Where the intake is, in words."""
        if self.house.sent_at:
            return "sent in"
        return "in progress" if self.answered else "waiting for the client"


def refreshed(store: Store, bench: Bench, houses: Iterable[HouseRecord]) -> list[QueueRow]:
    """The houses with their summaries, worked out anew where answers or rules have changed."""
    rows = []
    for house in houses:
        mark = f"{FORM} {house.revision} {bench.base.sha256}"
        if house.summary_of != mark:
            house.summary, house.summary_of = json.dumps(_summary(store, bench, house)), mark
            with store.write() as db:
                db.execute(
                    update(HouseRecord)
                    .where(HouseRecord.id == house.id, HouseRecord.revision == house.revision)
                    .values(summary=house.summary, summary_of=mark)
                )
        kept = json.loads(house.summary)
        rows.append(
            QueueRow(house, kept["level"], kept["leans"], tuple(kept["walls"]), kept["answered"])
        )
    return rows


def _summary(store: Store, bench: Bench, house: HouseRecord) -> dict[str, Any]:
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
        "leans": max((_leans(wall) for wall in finding.walls), default=0.0),
        "walls": [
            {
                "name": wall.name or wall.id,
                "verdict": wall.verdict,
                "level": wall.referral.level,
                "leaning": LEANS[wall.leaning.toward] if wall.leaning is not None else "",
            }
            for wall in finding.walls
        ],
        "answered": len(case.house) + sum(len(wall.answers) for wall in case.walls),
    }


def _leans(wall: WallFinding) -> float:
    if wall.leaning is not None:
        return wall.leaning.chance
    settled = {"likely_bearing": 1.0, "likely_non_bearing": 0.0}
    return settled.get(wall.verdict, wall.middle)


def in_order(rows: Sequence[QueueRow]) -> list[QueueRow]:
    """What was sent in first, by referral, then by leaning toward bearing, then the next visit."""
    return sorted(
        rows,
        key=lambda row: (
            not row.house.sent_at,
            -LEVELS.index(row.level),
            -row.leans,
            row.house.visit_on or NO_DATE,
            row.house.sent_at or row.house.made_at,
            row.house.id,
        ),
    )
