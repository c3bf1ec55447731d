"""One level of a plan as a grid of characters: what stands where, at one scale."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from walltriage.case.geometry import Layout, Rectangle, Segment
from walltriage.case.plan import BELOW_ROOMS, DrawnLine
from walltriage.language import say
from walltriage.plaintext import printable
from walltriage.report.plan_words import plain
from walltriage.units import format_length

MOST_COLUMNS, MOST_ROWS = 54, 24
_HEAVY = {
    "lr": "━", "du": "┃", "dr": "┏", "dl": "┓", "ru": "┗", "lu": "┛", "dru": "┣", "dlu": "┫",
    "dlr": "┳", "lru": "┻", "dlru": "╋",
}  # fmt: skip


class GridSheet:
    """A grid of characters over the house; row 0 is the back."""

    def __init__(self, layout: Layout, level: str, most_rows: int) -> None:
        self.layout, self.level = layout, level
        self.rects = [rect for _, rect in layout.parts_on(level)]
        around = list(layout.rects.values())
        self.x0, self.y0 = min(r.x0 for r in around), min(r.y0 for r in around)
        self.x1, self.y1 = max(r.x1 for r in around), max(r.y1 for r in around)
        self.scale = min(
            MOST_COLUMNS / (self.x1 - self.x0), 2 * most_rows / (self.y1 - self.y0), 1 / 6
        )
        self.columns, self.rows = self.column(self.x1) + 1, self.row(self.y0) + 1
        self.grid = [[" "] * self.columns for _ in range(self.rows)]
        self.joists = False

    def column(self, x: float) -> int:
        return round((x - self.x0) * self.scale)

    def row(self, y: float) -> int:
        return round((self.y1 - y) * self.scale / 2)

    def sign(self, column: int, row: int) -> str:
        inside = 0 <= column < self.columns and 0 <= row < self.rows
        return self.grid[row][column] if inside else " "

    def put(self, column: int, row: int, sign: str) -> None:
        if 0 <= column < self.columns and 0 <= row < self.rows:
            self.grid[row][column] = sign

    def lines(self) -> list[str]:
        """The drawing with its outer sizes."""
        self._stairs()
        for ridge in self._ridges():
            self._stroke(ridge, "·", "·")
        walls = self.layout.walls_on(self.level)
        for wall in walls:
            if not wall.line.wall:
                self._stroke(wall, "─", "│")
        for beam in self.layout.beams:
            if beam.line.level == self.level:
                self._stroke(beam, "┅", "┇")
        for joint in self._old_foundations():
            self._stroke(joint, "─", "│")
        self._outline()
        for wall in walls:
            if wall.line.wall:
                self._stroke(wall, "▓", "▓")
        self._posts()
        self._joists()
        self._part_names()
        for wall in walls:
            if wall.line.wall:
                self._name(wall)
        return self._with_sizes()

    def _ridges(self) -> tuple[Segment, ...]:
        """The ridges, on levels with rooms: below them nobody looks for the roof."""
        return () if self.level in BELOW_ROOMS else self.layout.ridges

    def _old_foundations(self) -> Iterator[Segment]:
        """Below the rooms, the wall that stays where a later part was built on."""
        parts = self.layout.parts_on(self.level) if self.level in BELOW_ROOMS else []
        for (one, a), (other, b) in combinations(parts, 2):
            for axis in ("x", "y"):
                met = set(a.across(axis)) & set(b.across(axis))
                lo = max(a.along(axis)[0], b.along(axis)[0])
                hi = min(a.along(axis)[1], b.along(axis)[1])
                if met and lo < hi and one.year != other.year:
                    yield Segment(axis, met.pop(), lo, hi, DrawnLine("front"))

    def _stroke(self, segment: Segment, flat: str, upright: str) -> None:
        if not segment.whole:
            return
        at, lo, hi = segment.place
        if segment.axis == "x":
            cells = [(c, self.row(at)) for c in range(self.column(lo), self.column(hi) + 1)]
        else:
            cells = [(self.column(at), r) for r in range(self.row(hi), self.row(lo) + 1)]
        across = {"x": "┃┏┓┗┛┣┫", "y": "━┏┓┗┛┳┻"}[segment.axis]
        for cell in cells:
            at_end = cell in (cells[0], cells[-1]) and len(cells) > 2
            if not (at_end and self.sign(*cell) in across):  # an outside wall runs on past it
                self.put(*cell, flat if segment.axis == "x" else upright)
        self._openings(segment)

    def _openings(self, segment: Segment) -> None:
        """Gaps where doors and wider openings are; the smallest takes one place."""
        at, start, _ = segment.place
        base = start - (segment.line.start.inches if segment.line.start else 0.0)
        for first, last in segment.line.openings:
            lo, hi = base + first.inches, base + last.inches
            if segment.axis == "x":
                for column in range(self.column(lo), max(self.column(hi), self.column(lo) + 1)):
                    self.put(column, self.row(at), " ")
            else:
                for row in range(self.row(hi), max(self.row(lo), self.row(hi) + 1)):
                    self.put(self.column(at), row, " ")

    def _outline(self) -> None:
        """The edges of all parts together; what two parts share is no outside wall."""
        inside = [[False] * (self.columns - 1) for _ in range(self.rows - 1)]
        for rect in self.rects:
            for row in range(self.row(rect.y1), self.row(rect.y0)):
                for column in range(self.column(rect.x0), self.column(rect.x1)):
                    inside[row][column] = True

        def cell(row: int, column: int) -> bool:
            in_grid = 0 <= row < self.rows - 1 and 0 <= column < self.columns - 1
            return in_grid and inside[row][column]

        for row in range(self.rows):
            for column in range(self.columns):
                a, b = cell(row - 1, column - 1), cell(row - 1, column)
                c, d = cell(row, column - 1), cell(row, column)
                ways = "".join(
                    way
                    for way, drawn in (("d", c != d), ("l", a != c), ("r", b != d), ("u", a != b))
                    if drawn
                )
                if ways:
                    self.put(column, row, _HEAVY["".join(sorted(ways))])

    def _stairs(self) -> None:
        for area in self.layout.plan.stairs:
            rect = self.layout.area(area) if area.level == self.level else None
            if rect is not None:
                for row in range(self.row(rect.y1), self.row(rect.y0) + 1):
                    for column in range(self.column(rect.x0), self.column(rect.x1) + 1):
                        self.put(column, row, "/")

    def _posts(self) -> None:
        for post in self.layout.plan.posts:
            rect = self.layout.rects.get(self.layout.part_id(post.part))
            if post.level == self.level and rect is not None:
                x, y = rect.x0 + post.left.inches, rect.y0 + post.front.inches
                self.put(self.column(x), self.row(y), "■")

    def _joists(self) -> None:
        for area in self.layout.plan.joists:
            rect = self.layout.area(area)
            if area.level != self.level or rect is None:
                continue
            column, row = self._middle(rect)
            if area.run in ("front", "back"):
                self._write(column - 3, row, "<---->")
            else:
                for step, sign in enumerate("^||v"):
                    self._write(column, row - 1 + step, sign)
            self.joists = True

    def _part_names(self) -> None:
        """The name, and the year if any, of every part but the first, in its back left corner."""
        for part, rect in self.layout.parts_on(self.level):
            if part.side is not None:
                called = plain(part.id)
                name = f"{called}, {part.year}" if part.year is not None else called
                room = self.column(rect.x1) - self.column(rect.x0) - 3
                name = name if len(name) <= room else called[: max(room, 0)]
                self._write(self.column(rect.x0) + 2, self.row(rect.y1) + 1, printable(name))

    def _middle(self, rect: Rectangle) -> tuple[int, int]:
        # a quarter up, so that it does not lie on a middle wall
        y = rect.y0 + (rect.y1 - rect.y0) * 0.25
        return self.column((rect.x0 + rect.x1) / 2), self.row(y)

    def _write(self, column: int, row: int, text: str) -> None:
        for step, sign in enumerate(text):
            inside = 0 <= row < self.rows and 0 <= column + step < self.columns
            if inside and self.grid[row][column + step] == " ":
                self.grid[row][column + step] = sign

    def _name(self, wall: Segment) -> None:
        """The wall's id on its own line, between spaces."""
        if not wall.whole:
            return
        at, lo, hi = wall.place
        middle, name = (lo + hi) / 2, f" {wall.line.wall} "
        if wall.axis == "x":
            column, row = self.column(middle) - len(name) // 2, self.row(at)
        else:
            column, row = self.column(at) - len(name) // 2, self.row(middle)
        for step, sign in enumerate(name):
            self.put(max(0, min(column, self.columns - len(name))) + step, row, sign)

    def _with_sizes(self) -> list[str]:
        """The rows that this level fills, with its outer sizes and the ridge named."""
        x0, x1 = min(r.x0 for r in self.rects), max(r.x1 for r in self.rects)
        y0, y1 = min(r.y0 for r in self.rects), max(r.y1 for r in self.rects)
        first, last = self.column(x0), self.column(x1)
        metric = self.layout.plan.metric
        wide, deep = format_length(x1 - x0, metric), format_length(y1 - y0, metric)
        bar = f" {wide} ".center(max(last - first - 1, 0), "-")
        lines = ["  " + " " * first + f"|{bar}|"]
        top, bottom = self.row(y1), self.row(y0)
        notes = {(top + bottom) // 2: say("{deep} deep", deep=deep)}
        for ridge in self._ridges():
            if ridge.axis == "x" and ridge.at is not None:
                row = self.row(ridge.at)
                notes[row] = ", ".join(filter(None, ("ridge", notes.get(row, ""))))
        for row in range(top, bottom + 1):
            text = ("  " + "".join(self.grid[row]).rstrip()).ljust(self.columns + 2)
            lines.append(f"{text}  {notes.get(row, '')}")
        lines.append("  " + " " * first + "front".center(last - first + 1))
        return [line.rstrip() for line in lines]
