"""Blocks of JSON Lines in columns: the text between commas, each distinct one looked at once.

The frame of each line is decoded; its answers stay text.  Cut at every comma, what stands between
two is the whole of an answer, or the beginning of one, or the sureness that ends it; the few
thousand different ones of a block are read once, by the decoder of :mod:`case_form`.  A line of
wholes, and of beginnings with their end right behind, says just what these say.  Any other line
is left to :mod:`quick_json`, and so to the careful way.  Needs msgspec and pyarrow.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from walltriage.bulk import case_form, pieces
from walltriage.bulk.case_form import frame_keys, in_order
from walltriage.bulk.cells import MOST_REMEMBERED, RawTables
from walltriage.bulk.gather import columns_of
from walltriage.bulk.pieces import ends_of, pieces_of
from walltriage.bulk.quick_json import KEYLESS, SURE, CloserLookError, Packed
from walltriage.case.model import HOUSE

if case_form.there:
    import msgspec
    from msgspec import UNSET

    from walltriage.bulk.case_form import ANSWERS, FRAME, NOT_PLAIN

    class _Sure(msgspec.Struct, forbid_unknown_fields=True):
        sure: str

    _ENDING = msgspec.json.Decoder(_Sure)

BAD, WHOLE, BEGUN, ENDED = range(4)
KIND_SHIFT, COLONS_SHIFT, MOST_COLONS = 56, 58, 15
PART = 2000  # texts cut at once, which leaves what is worked on in the caches
LONG = 300  # bytes; what is longer will hardly be said again
Ints = NDArray[np.int64]
NONE: Ints = np.zeros(0, np.int64)


@dataclass(slots=True)
class Answers:
    """Packed answers (k,), and which of the walls each is of (k,); ``of`` counts the walls.

    The walls of all cases in order and of some that are not are counted through.
    """

    walls: Ints
    packed: Ints
    of: int


@dataclass(slots=True)
class _Texts:
    """Answers that are still text, and of which wall each text is."""

    walls: list[int] = field(default_factory=list)
    texts: list[memoryview] = field(default_factory=list)


class QuickLines:
    """Reads lines for one knowledge base that has so many ``columns`` of answers."""

    def __init__(self, tables: RawTables, columns: int) -> None:
        self._tables, self._columns = tables, columns
        self._known: dict[tuple[str, str], _Pieces] = {}

    def forget(self) -> None:
        """Forget the answers seen before: with the numbers that they point to."""
        self._known = {}

    def read(self, lines: Sequence[memoryview]) -> tuple[list[tuple[Any, int]], Answers]:
        """Each line as a case that is plainly in order, else None, together
        with the number of its first wall among all; and the answers of all walls.

        Answers of a line that is not in order are among them, for its walls.
        """
        if not (case_form.there and pieces.there):
            return [(None, 0)] * len(lines), Answers(NONE, NONE, 0)
        texts: dict[tuple[str, str], _Texts] = defaultdict(_Texts)
        cases: list[tuple[Any, int]] = []
        firsts, left = [], []  # of each case: its first wall, and the colons of its answers
        walls = 0
        for raw in lines:
            case = _framed(raw)
            cases.append((case, walls))
            if case is None:
                continue
            firsts.append(walls)
            colons = np.frombuffer(raw, np.uint8) == ord(":")
            left.append(int(np.count_nonzero(colons)) - frame_keys(case))
            units = "ft" if case.units is UNSET else case.units
            if case.house is not UNSET:
                _put(texts[HOUSE, units], walls, case.house)
            own = texts["wall", units]
            for wall in case.walls:
                if wall.answers is not UNSET:
                    _put(own, walls, wall.answers)
                walls += 1
        answers, plain = self._answers(texts, walls, np.array(firsts, np.intp), np.array(left))
        good = iter(plain)
        return [
            (case if case is not None and next(good) else None, first) for case, first in cases
        ], answers

    def _answers(
        self, texts: dict[tuple[str, str], _Texts], walls: int, firsts: Ints, left: Ints
    ) -> tuple[Answers, list[bool]]:
        """The answers of all texts, and whether each case is made of nothing else."""
        if not len(firsts):
            return Answers(NONE, NONE, 0), []
        owners, answers, plain = [NONE], [NONE], np.ones(walls, bool)
        colons = np.zeros(walls, np.int64)
        for (scope, units), some in texts.items():
            if not some.texts:
                continue
            if (scope, units) not in self._known:
                self._known[scope, units] = _Pieces(self._tables, scope, units)
            owner, packed, bad, counted = self._known[scope, units].read(some)
            owners.append(owner)
            answers.append(packed)
            plain[bad] = False
            colons[some.walls] += counted
        every = Answers(np.concatenate(owners), np.concatenate(answers), walls)
        seen = np.zeros((walls, self._columns), bool)
        seen.ravel()[every.walls * self._columns + columns_of(every.packed)] = True
        # a question that is answered twice has one place for both
        plain &= seen.sum(axis=1) == np.bincount(every.walls, minlength=walls)
        whole = np.logical_and.reduceat(plain, firsts)
        # a key that stands twice in the frame has a colon too many
        whole &= np.add.reduceat(colons, firsts) == left
        return every, whole.tolist()


def _framed(raw: memoryview) -> Any:
    """The frame of a line; None if it is not plainly in order."""
    try:
        case = FRAME.decode(raw)
    except NOT_PLAIN:
        return None
    return case if in_order(case) else None


def _put(some: _Texts, wall: int, answers: Any) -> None:
    """Note the text between the braces, if anything stands there."""
    text = memoryview(answers)
    # without its braces; what has none is cut nowhere, and no piece is in order
    text = text[1:-1] if text[0] == _BRACE else _NOT_ANSWERS
    if text:
        some.walls.append(wall)
        some.texts.append(text)


_BRACE, _NOT_ANSWERS = ord("{"), memoryview(b"null")


class _Pieces(dict[bytes, int]):
    """Pieces between commas: kind, packed answer or sureness, and colons, in one number."""

    def __init__(self, tables: RawTables, scope: str, units: str) -> None:
        super().__init__()
        self._packed = Packed(tables, scope, units)

    def read(self, some: _Texts) -> tuple[Ints, Ints, Ints, Ints]:
        """The answers of the texts: their walls, and themselves packed; the walls that have a bad
        piece; and the colons of each text."""
        parts = [
            self._part(some.walls[start : start + PART], some.texts[start : start + PART])
            for start in range(0, len(some.texts), PART)
        ]
        owners, packed, bad, colons = map(np.concatenate, zip(*parts, strict=True))
        return owners, packed, bad, colons

    def _part(self, walls: list[int], texts: list[memoryview]) -> tuple[Ints, Ints, Ints, Ints]:
        data = b",".join(texts) + b","
        ends = ends_of(data, ord(","))
        cut = pieces_of(data, ends)
        known = np.array([self[piece] for piece in cut.words()], np.int64)
        last = np.cumsum([len(text) + 1 for text in texts]) - 1
        lengths = np.diff(np.searchsorted(ends, last, side="right"), prepend=0)
        counts = (known >> COLONS_SHIFT).astype(np.uint8)[cut.which]
        colons = np.add.reduceat(counts, np.cumsum(lengths) - lengths, dtype=np.int64)
        owner = np.repeat(np.array(walls, np.int64), lengths)
        kind = (known >> KIND_SHIFT & 3).astype(np.uint8)[cut.which]
        packed = (known & KEYLESS)[cut.which]
        begun = np.flatnonzero(kind == BEGUN)
        ended = np.minimum(begun + 1, len(kind) - 1)  # its end stands right behind, if it has one
        paired = (kind[ended] == ENDED) & (owner[ended] == owner[begun])
        first, second = begun[paired], ended[paired]
        packed[first] += np.maximum(packed[second] - (packed[first] & 255), 0)
        bad = (kind == BAD) | (kind == ENDED)
        bad[second] = False
        bad[begun[~paired]] = True
        given = (kind == WHOLE) | (kind == BEGUN)
        return owner[given], packed[given], owner[bad], colons

    def __missing__(self, piece: bytes) -> int:
        kind, packed = self._look(piece)
        code, colons = 0, piece.count(b":")
        if kind != BAD and colons <= MOST_COLONS:
            code = colons << COLONS_SHIFT | kind << KIND_SHIFT | packed
        if len(piece) <= LONG:
            if len(self) >= MOST_REMEMBERED:
                self.clear()
            self[piece] = code
        return code

    def _look(self, piece: bytes) -> tuple[int, int]:
        """Kind, and packed answer or sureness; there is no comma, so no key can stand twice."""
        try:
            if b"}" in piece and b"{" not in piece:
                return ENDED, SURE[_ENDING.decode(b"{" + piece).sure]
            whole = b"{" not in piece or b"}" in piece
            said = ANSWERS.decode(b"{" + piece + (b"}" if whole else b"}}"))
            ((name, raw),) = said.items()
            return WHOLE if whole else BEGUN, self._packed.look(name, raw) & KEYLESS
        except (*NOT_PLAIN, CloserLookError, KeyError, ValueError):
            return BAD, 0
