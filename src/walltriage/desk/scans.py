"""How often a JPEG goes over its picture.

A progressive JPEG tells its picture in several scans, and a reader goes through all of the picture
for each, however few bytes it has.  Cameras write one scan, programs about ten; a file of half a
megabyte can hold thousands and keep a processor busy for hours.
"""

from __future__ import annotations

import re

_START = b"\xff\xd8"
_MARKER = re.compile(rb"\xff[^\x00\xd0-\xd7\xff]")  # neither a stuffed byte, a restart nor fill
_ALONE = b"\x01\xd8"  # markers without a length
_END, _SCAN = 0xD9, 0xDA


def scans(data: bytes) -> int:
    """The number of scans up to the end of the first picture; 0 for what is no JPEG.

    Damaged files are gone through as their readers do, on to the next marker.
    """
    if not data.startswith(_START):
        return 0
    count, found = 0, _MARKER.search(data, len(_START))
    while found is not None and (marker := data[found.end() - 1]) != _END:
        count += marker == _SCAN
        at = found.end()
        if marker not in _ALONE:
            at += int.from_bytes(data[at : at + 2], "big")
        found = _MARKER.search(data, at)
    return count
