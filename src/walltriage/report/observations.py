"""Every answer as a row: what was asked, what was seen, how surely, by whom, when, from where."""

from __future__ import annotations

from collections.abc import Iterable

from walltriage.case.model import SURENESS
from walltriage.inference.finding import Observation
from walltriage.report.blocks import Table

SURE_WORDS = {"certain": "certain", "fairly": "fairly sure", "guess": "a guess"}
PLACE_WORDS = {
    "desk": "desk or outside",
    "rooms": "the rooms",
    "upstairs": "the story above",
    "attic": "the attic",
    "below": "below",
    "opened": "opened up",
    "none": "worked out",
    "outside": "outside",
}
WALKING_ORDER = ("outside", "desk", "rooms", "upstairs", "attic", "below", "opened", "none")


def observation_table(title: str, observed: Iterable[Observation]) -> Table:
    """The answers in walking order."""
    rows = sorted(observed, key=lambda row: WALKING_ORDER.index(row.place))
    return Table(
        title,
        ("Asked", "Answer", "How sure", "By, when", "Seen from", "Note"),
        tuple(_row(row) for row in rows),
        (29, 21, 9, 13, 15, 13),
    )


def surer(row: Observation) -> int:
    """How sure an answer is, as a number that is lower the surer it is; the surest for none."""
    return 0 if row.sure is None else SURENESS.index(row.sure)


def _row(row: Observation) -> tuple[str, ...]:
    computed = row.place == "none"
    by = ", ".join(part for part in (row.by, row.seen_on) if part)
    return (
        row.ask,
        row.says,
        "—" if row.sure is None else SURE_WORDS[row.sure],
        "the program" if computed else by or "not noted",
        PLACE_WORDS[row.place],
        row.note or "—",
    )
