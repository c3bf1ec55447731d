"""Blocks of JSON Lines in columns: the text between commas, each distinct one looked at once.

The frame of each line is decoded; its answers stay text.  Cut at every comma, what stands between
two is the whole of an answer, or the beginning of one, or the sureness that ends it; the few
thousand different ones of a block are read once, by the decoder of :mod:`case_form`.  A line of
wholes, and of beginnings with their end right behind, says just what these say.  Any other line
is left to :mod:`quick_json`, and so to the careful way.  Needs msgspec and pyarrow.
"""

from __future__ import annotations

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
LONG = 300  # bytes; what is longer will hardly be said again
Ints = NDArray[np.int64]
NONE: Ints = np.zeros(0, np.int64)


@dataclass(slots=True)
class PlainCase:
    """A line in order: its walls as (id, name), and the place of the first among all."""

    name: str
    walls: list[tuple[str, str]]
    first: int


@dataclass(slots=True)
class Answers:
    """Packed answers (k,), and which of the walls each is of (k,); ``of`` counts the walls."""

    walls: Ints
    packed: Ints
    of: int


@dataclass(slots=True)
class _Texts:
    """Answers that are still text, and of which wall each text is."""

    walls: list[int] = field(default_factory=list)
    texts: list[bytes] = field(default_factory=list)


class QuickLines:
    """Reads lines for one knowledge base that has so many ``columns`` of answers."""

    def __init__(self, tables: RawTables, columns: int) -> None:
        self._tables, self._columns = tables, columns
        self._known: dict[tuple[str, str], _Pieces] = {}

    def forget(self) -> None:
        """Forget the answers seen before: with the numbers that they point to."""
        self._known = {}

    def read(self, lines: Sequence[bytes]) -> tuple[list[PlainCase | None], Answers]:
        """Each line as a case where it is plainly in order, and the answers of all walls.

        Answers of a line that is not in order are among them, for its walls.
        """
        cases: list[PlainCase | None] = [None] * len(lines)
        if not (case_form.there and pieces.there):
            return cases, Answers(NONE, NONE, 0)
        texts: dict[tuple[str, str], _Texts] = {}
        firsts, left = [], []  # of each case in order: its first wall, the colons of its answers
        walls = 0
        for index, raw in enumerate(lines):
            case = _framed(raw)
            if case is None:
                continue
            units = "ft" if case.units is UNSET else case.units
            cases[index] = PlainCase(
                "" if case.name is UNSET else case.name,
                [(w.id, "" if w.name is UNSET else w.name) for w in case.walls],
                walls,
            )
            firsts.append(walls)
            left.append(raw.count(b":") - frame_keys(case))
            for wall in case.walls:
                _put(texts, (HOUSE, units), walls, case.house)
                _put(texts, ("wall", units), walls, wall.answers)
                walls += 1
        answers, plain = self._answers(texts, walls, np.array(firsts, np.intp), np.array(left))
        at = 0
        for index, case in enumerate(cases):
            if case is not None:
                if not plain[at]:
                    cases[index] = None
                at += 1
        return cases, answers

    def _answers(
        self, texts: dict[tuple[str, str], _Texts], walls: int, firsts: Ints, left: Ints
    ) -> tuple[Answers, list[bool]]:
        """The answers of all texts, and whether each case is made of nothing else."""
        if not len(firsts):
            return Answers(NONE, NONE, 0), []
        found, plain = [], np.ones(walls, bool)
        colons = {HOUSE: np.zeros(walls, np.int64), "wall": np.zeros(walls, np.int64)}
        for (scope, units), some in texts.items():
            if (scope, units) not in self._known:
                self._known[scope, units] = _Pieces(self._tables, scope, units)
            answers, bad, counted = self._known[scope, units].read(some, walls)
            found.append(answers)
            plain[bad] = False
            colons[scope] += counted
        every = Answers(
            np.concatenate([NONE, *(one.walls for one in found)]),
            np.concatenate([NONE, *(one.packed for one in found)]),
            walls,
        )
        seen = np.zeros((walls, self._columns), bool)
        seen[every.walls, columns_of(every.packed)] = True
        # a question that is answered twice has one place for both
        plain &= seen.sum(axis=1) == np.bincount(every.walls, minlength=walls)
        whole = np.logical_and.reduceat(plain, firsts)
        # a key that stands twice in the frame has a colon too many
        whole &= np.add.reduceat(colons["wall"], firsts) + colons[HOUSE][firsts] == left
        return every, whole.tolist()


def _framed(raw: bytes) -> Any:
    """The frame of a line; None if it is not plainly in order."""
    try:
        case = FRAME.decode(raw)
    except NOT_PLAIN:
        return None
    return case if in_order(case) else None


def _put(
    texts: dict[tuple[str, str], _Texts], key: tuple[str, str], wall: int, answers: Any
) -> None:
    """Note the text between the braces, if anything stands there."""
    if answers is UNSET:
        return
    text = bytes(answers)
    # without its braces; what has none is cut nowhere, and no piece is in order
    text = text[1:-1] if text.startswith(b"{") else b"null"
    if text and not text.isspace():
        some = texts.get(key)
        if some is None:
            some = texts[key] = _Texts()
        some.walls.append(wall)
        some.texts.append(text)


class _Pieces(dict[bytes, int]):
    """Pieces between commas: kind, packed answer or sureness, and colons, in one number."""

    def __init__(self, tables: RawTables, scope: str, units: str) -> None:
        super().__init__()
        self._packed = Packed(tables, scope, units)

    def read(self, some: _Texts, walls: int) -> tuple[Answers, Ints, Ints]:
        """The answers of the texts, the walls with a bad piece, and colons by wall (walls,)."""
        data = b",".join(some.texts) + b","
        ends = ends_of(data, ord(","))
        cut = pieces_of(data, ends)
        known = np.array([self[piece] for piece in cut.words], np.int64)
        codes = known[cut.which]
        last = np.cumsum([len(text) + 1 for text in some.texts]) - 1
        lengths = np.diff(np.searchsorted(ends, last, side="right"), prepend=0)
        owner = np.repeat(np.array(some.walls, np.int64), lengths)
        kind, packed = codes >> KIND_SHIFT & 3, codes & KEYLESS
        colons = np.bincount(owner, codes >> COLONS_SHIFT, walls).astype(np.int64)
        ended = np.append(kind == ENDED, False)
        follows = ended[1:] & (np.append(owner[1:], -1) == owner)
        begun = kind == BEGUN
        bad = (kind == BAD) | (begun & ~follows)
        bad |= ended[:-1] & ~np.append(False, begun[:-1] & follows[:-1])
        surer = np.append(packed[1:], 0) - (packed & 255)
        packed = np.where(begun & follows, packed + np.maximum(surer, 0), packed)
        given = (kind == WHOLE) | begun
        return Answers(owner[given], packed[given], walls), owner[bad], colons

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
