"""Bytes cut into pieces, each distinct piece told once.  Needs pyarrow.

Where pieces end is found by numpy and they are told apart by Arrow, in place: a piece is its text
and the byte that ends it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

try:
    import pyarrow
except ImportError:  # then nothing is cut
    pyarrow = None

there = pyarrow is not None
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Pieces:
    """The distinct pieces, an Arrow array with the byte that ends each, and which of them some are
    (k,).

    The same piece stands there twice where it ends in two ways.
    """

    distinct: Any
    which: Ints

    def words(self) -> list[bytes]:
        """The distinct pieces, without the byte that ends each."""
        return [word[:-1] for word in self.distinct.to_pylist()]

    def texts(self, *ending: str) -> list[str]:
        """The same as text, where these end pieces; :class:`UnicodeDecodeError` if one is none.

        What is no text cannot become any by what stands behind it, so all are decoded at once.
        """
        if not len(self.distinct):
            return []
        _, places, data = self.distinct.buffers()
        offsets = np.frombuffer(places, np.int32)[self.distinct.offset :]
        text = str(memoryview(data)[offsets[0] : offsets[len(self.distinct)]], "utf-8")
        for letter in ending[1:]:
            text = text.replace(letter, ending[0])
        return text.split(ending[0])[:-1]


def ends_of(data: bytes, *ending: int) -> Ints:
    """Where any of these bytes stands in the data (n,)."""
    letters = np.frombuffer(data, np.uint8)
    found = letters == ending[0]
    for letter in ending[1:]:
        found |= letters == letter
    return np.flatnonzero(found)


def pieces_of(data: bytes, ends: Ints, some: Ints | None = None) -> Pieces:
    """The pieces that end at each of ``ends`` (n,), or ``some`` of them (k,), by number."""
    starts = np.empty(len(ends) + 1, np.int32)  # blocks are far smaller than that
    starts[0] = 0
    np.add(ends, 1, out=starts[1:], casting="unsafe")
    buffers = [None, pyarrow.py_buffer(starts), pyarrow.py_buffer(data)]
    whole = pyarrow.Array.from_buffers(pyarrow.binary(), len(ends), buffers)
    if some is not None:
        whole = whole.take(pyarrow.array(some))
    told = whole.dictionary_encode()
    return Pieces(told.dictionary, told.indices.to_numpy())
