"""Lines of JSON that are plainly in order, straight to packed answers; needs msgspec.

A typed decoder makes of each answer a value that can be looked up, so that an answer seen
before costs one look-up and no Python step of its own.  Whatever is not plainly in order is
left to the careful way, which reads it after all or tells what is wrong and where.
"""

from __future__ import annotations

from typing import Any

from walltriage.bulk import case_form
from walltriage.bulk.case_form import frame_keys, in_order
from walltriage.bulk.cells import MOST_REMEMBERED, RawTables, no_surer
from walltriage.bulk.gather import KEYS_SHIFT, Gathered, WallRef
from walltriage.case.model import CHECKED, DEGREES, HOUSE, SURENESS_IN_FILES

if case_form.there:
    from msgspec import UNSET

    from walltriage.bulk.case_form import NOT_PLAIN, WHOLE, Answered

SURE: dict[str, int] = {**{word: DEGREES.index(word) for word in SURENESS_IN_FILES}, CHECKED: 0}
KEYLESS = (1 << KEYS_SHIFT) - 1  # what is left of a packed answer without the keys it took
MOST_WHOLE = 10**12  # a longer number is looked at with care


class CloserLookError(ValueError):
    """An answer that is not plainly in order."""


class QuickJson:
    """Reads plain lines for one knowledge base."""

    def __init__(self, tables: RawTables) -> None:
        self._tables = tables
        self._known: dict[tuple[str, str], Packed] = {}

    def forget(self) -> None:
        """Forget the answers seen before: with the numbers that they point to."""
        self._known = {}

    def read(self, raw: bytes, path: str, line: int, default: str, gathered: Gathered) -> bool:
        """Gather the walls of one line; False, and nothing kept, if it is not plainly in order."""
        if not case_form.there:
            return False
        try:
            case = WHOLE.decode(raw)
        except NOT_PLAIN:
            return False
        if not in_order(case):
            return False
        units = "ft" if case.units is UNSET else case.units
        walls = case.walls
        try:
            of_house = self._answers(HOUSE, units, case.house)
            own = [self._answers("wall", units, wall.answers) for wall in walls]
        except CloserLookError:
            return False
        keys = sum(of_house, 0) + sum(map(sum, own)) >> KEYS_SHIFT
        keys += frame_keys(case)
        if not _each_key_once(raw, keys):
            return False
        name = default if case.name is UNSET else case.name or default
        gathered.cases += 1
        for wall, answers in zip(walls, own, strict=True):
            title = "" if wall.name is UNSET else wall.name
            ref = WallRef(path, line, name, wall.id, title)
            gathered.add(ref, of_house + answers, ())
        return True

    def _answers(self, scope: str, units: str, raw: Any) -> list[int]:
        known = self._known.get((scope, units))
        if known is None:
            known = Packed(self._tables, scope, units)
            self._known[scope, units] = known
        return [] if raw is UNSET else list(map(known.__getitem__, raw.items()))


class Packed(dict[tuple[str, Any], int]):
    """Packed answers by question and what was said, with how many keys the answer takes."""

    def __init__(self, tables: RawTables, scope: str, units: str) -> None:
        super().__init__()
        self._all, self._tables = tables, tables.tables(scope, units)

    def __missing__(self, said: tuple[str, Any]) -> int:
        packed = self.look(*said)
        if len(self) >= MOST_REMEMBERED:
            self.clear()
        self[said] = packed
        return packed

    def look(self, name: str, raw: Any) -> int:
        """One answer; raises :class:`CloserLookError`."""
        keys, sure = 1, 0
        if isinstance(raw, Answered):
            said = (raw.sure, raw.by, raw.seen_on, raw.note)
            keys, value = 2 + sum(part is not UNSET for part in said), raw.value
            sure = 0 if raw.sure is UNSET else SURE.get(raw.sure, -1)
        else:
            value = raw
        table = self._tables.get(name)
        if table is None or sure < 0 or (type(value) is int and abs(value) > MOST_WHOLE):
            raise CloserLookError
        coded = table[value]
        if coded is None:
            raise CloserLookError
        return no_surer(self._all.pointing(coded), sure) | keys << KEYS_SHIFT


def _each_key_once(raw: bytes, keys: int) -> bool:
    """Whether no key was given twice, of which the decoder kept one.

    Each key has its colon.  Where there are more of them, in names or notes, those that follow
    a quotation mark are counted, and no space may stand between the two.
    """
    if raw.count(b":") == keys:
        return True
    return raw.count(b'":') == keys and not any(c in raw for c in (b" :", b"\t:", b"\r:"))
