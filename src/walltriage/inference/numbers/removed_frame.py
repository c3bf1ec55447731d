"""The arithmetic for walls taken out together: spans, loads that move, members, ways down."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from walltriage.case.geometry import Layout
from walltriage.case.model import Answer, Case
from walltriage.errors import InputError
from walltriage.inference.finding import Verdict
from walltriage.inference.numbers.computed import reach_cuts
from walltriage.inference.numbers.house import BEARS, solve_part
from walltriage.inference.numbers.house_frame import House, build_house
from walltriage.inference.numbers.measures import Measured
from walltriage.inference.triage import Triager
from walltriage.structure.loads import governing_total
from walltriage.structure.members import choose_members
from walltriage.structure.steps import NOTE
from walltriage.structure.strips import PointLoad
from walltriage.structure.tables import Tables, load_tables
from walltriage.units import format_length

MOST_MEMBERS = 3
MOVED_SHARE = 0.05  # of what a wall carried: smaller changes are not told


class RemovedFrame:
    """The arithmetic for one set of walls, all of which are on the plan."""

    def __init__(
        self, triager: Triager, case: Case, verdicts: Mapping[str, Verdict], walls: tuple[str, ...]
    ) -> None:
        assert case.plan is not None
        self.walls = walls
        self.named = {wall.id: wall.called for wall in case.walls}
        self.base = triager.base
        self.tables: Tables = load_tables(self.base.folder)
        self.layout: Layout = triager.reader(case.plan).layout
        self.answers: dict[str, Answer] = triager.house_answers(case)
        self.bears = {wall: BEARS[verdict] for wall, verdict in verdicts.items()}
        self.carrying = frozenset(w for w in walls if self.bears[w] is not False)
        self.before = self._house()
        self.standing = self._house(bears={**self.bears, **dict.fromkeys(walls, True)})
        self.after = self._house(gone=frozenset(walls))

    def _house(
        self,
        gone: frozenset[str] = frozenset(),
        beams: frozenset[str] = frozenset(),
        bears: Mapping[str, bool | None] | None = None,
    ) -> House:
        return build_house(
            self.tables, Measured(self.base, self.answers), self.layout,
            self.bears if bears is None else bears, heavy=True, gone=gone, beams=beams,
        )  # fmt: skip

    def _told(self, line: str) -> str:
        """A line of the frame as people call it."""
        return self.named.get(line, line)

    def reasons(self) -> Iterator[str]:
        """Why the set cannot go by span, in sentences."""
        for wall, span, use in self._spans():
            cuts = reach_cuts(self.base, self.answers, use)
            if cuts is not None and span > cuts[0]:
                gone = "With all of them gone" if len(self.walls) > 1 else "With it gone"
                limit = (
                    "farther than joists of its time reach"
                    if span > cuts[1]
                    else f"and the smaller joists of its time reach only {format_length(cuts[0])}"
                )
                yield (
                    f"{gone} the joists over {self._told(wall)} would span "
                    f"{format_length(span)}, {limit}."
                )
        yield from self._nothing_left()
        for part in self.layout.plan.parts:
            if part.id not in self.layout.rects:
                continue
            open_to_all = {w: b for w, b in self.bears.items() if w not in self.walls}
            held = solve_part(self.base, self.layout, part.id, open_to_all, self.answers)
            left = solve_part(
                self.base, self.layout, part.id, open_to_all, self.answers, frozenset(self.walls)
            )
            if all(one.count for one in held) and not all(one.count for one in left):
                yield (
                    f"No choice of the lines that stay in {part.id} explains its spans; with these "
                    "walls there is one."
                )

    def _nothing_left(self) -> Iterator[str]:
        """Levels on which a set takes the last inside walls that run one way: they brace."""
        if len(self.walls) < 2:
            return
        gone = [s for s in self.layout.walls if s.line.wall in self.walls]
        for level, axis in sorted({(s.line.level, s.axis) for s in gone}):
            stays = [
                s
                for s in self.layout.walls_on(level)
                if s.axis == axis and s not in gone and s.line.kind == "wall"
            ]
            if not stays:
                way = "left to right" if axis == "x" else "front to back"
                yield (
                    f"On level {level} no drawn inside wall that runs {way} would be left to hold "
                    "the house upright in wind and earthquakes."
                )

    def _spans(self) -> Iterator[tuple[str, float, str]]:
        """The span over the middle of each wall once all are gone, and what the joists carry.

        The spans of roof trusses are their maker's, and none are given for them.
        """
        for wall in self.walls:
            line = self.layout.plan.line_of(wall)
            spot = self._middle(wall)
            if line is None or spot is None:
                continue
            level = self.layout.plan.levels.index(line.level)
            x, y = spot
            before = self.standing.frame.span_at(level, x + 1, y + 1)
            span = self.after.frame.span_at(level, x + 1, y + 1)
            if span is not None and before is not None and span > before + 1:
                part = self.layout.plan.part(line.part)
                floor = self.layout.level_over(part, line.level) is not None
                if floor or not Measured(self.base, self.answers).word("roof_trusses"):
                    yield wall, span, "floor" if floor else "ceiling"

    def _middle(self, wall: str) -> tuple[float, float] | None:
        segment = next(s for s in self.layout.walls if s.line.wall == wall)
        if not segment.whole:
            return None
        assert segment.at is not None
        assert segment.lo is not None
        assert segment.hi is not None
        middle = (segment.lo + segment.hi) / 2
        return (middle, segment.at) if segment.axis == "x" else (segment.at, middle)

    def numbers(self) -> dict[str, Any]:
        """Spans, moved loads, members and ways down as plain data with lines."""
        found: dict[str, Any] = {"note": NOTE, "lines": [], "findings": []}
        try:
            found["spans"] = [
                {"wall": wall, "span_in": round(span, 1)} for wall, span, _ in self._spans()
            ]
            found["moves"] = list(self._moves())
            found["openings"] = [self._opening(wall) for wall in sorted(self.carrying)]
            found["ways_down"] = list(self._ways_down())
        except InputError as error:  # a size beyond what the arithmetic accepts
            found["findings"] += [f"{p.path}: {p.what}" for p in error.problems]
        for row in found.get("spans", ()):
            span, over = format_length(row["span_in"]), self._told(row["wall"])
            found["lines"].append(f"Over {over} the joists would span {span}.")
        for row in found.get("moves", ()):
            if row["after_lb"] > row["before_lb"]:  # what a line is rid of needs nobody's care
                found["lines"].append(
                    f"{self._told(row['line'])}: from {row['before_lb']:,} to {row['after_lb']:,} "
                    f"lb in all, up to {row['after_plf']:,} lb on one foot, if nothing takes their "
                    "place."
                )
        for row in found.get("openings", ()):
            found["lines"].append(row["sentence"])
        for row in found.get("ways_down", ()):
            found["lines"].append(row["sentence"])
        return found

    def _moves(self) -> Iterator[dict[str, Any]]:
        before, after = self.before.frame.follow(), self.after.frame.follow()
        for line in self.after.frame.supports:
            old = governing_total(self.tables, before.worst_plf(line.id))[0]
            new = governing_total(self.tables, after.worst_plf(line.id))[0]
            was = governing_total(self.tables, before.pounds(line.id))[0]
            will = governing_total(self.tables, after.pounds(line.id))[0]
            if abs(will - was) > MOVED_SHARE * max(was, 1.0):
                yield {
                    "line": line.id, "before_plf": round(old), "after_plf": round(new),
                    "before_lb": round(was), "after_lb": round(will),
                }  # fmt: skip

    def _opening(self, wall: str) -> dict[str, Any]:
        """The beams that would carry what one wall carries, over its whole length."""
        name = self.before.line_of[wall]
        line = next(s for s in self.before.frame.supports if s.id == name)
        followed = self.before.frame.follow()
        points = tuple(
            PointLoad(f"load {n}", p.lo - line.lo, p.load)
            for n, p in enumerate(followed.spots(name), 1)
            if line.lo < p.lo < line.hi and governing_total(self.tables, p.load)[0] > 0
        )
        length = line.hi - line.lo
        said = f"In place of {self._told(wall)}, over {format_length(length)}"
        try:
            chosen = choose_members(self.tables, length, followed.worst_plf(name), points)
        except InputError as error:
            what = "; ".join(f"{p.path}: {p.what}" for p in error.problems)
            return {"wall": wall, "opening_in": round(length, 1), "members": [],
                    "sentence": f"{said}: no listed beam can be checked ({what})."}  # fmt: skip
        kinds: dict[str, str] = {}
        for one in chosen:
            told = f"{one.member.label} ({one.utilisation:.0%})"
            kinds.setdefault(one.member.kind, told)
        names = "; ".join(list(kinds.values())[:MOST_MEMBERS]) or chosen.sentence.rstrip(".")
        return {
            "wall": wall,
            "opening_in": round(length, 1),
            "members": list(kinds.values())[:MOST_MEMBERS],
            "sentence": f"{said}: {names}.",
        }

    def _ways_down(self) -> Iterator[dict[str, Any]]:
        """What is drawn under each end of a beam that would take a wall's place."""
        house = self._house(beams=self.carrying)
        for wall in sorted(self.carrying):
            line = next(s for s in house.frame.supports if s.id == house.line_of[wall])
            for place in (line.lo, line.hi):
                x, y = (place, line.at) if line.axis == "x" else (line.at, place)
                if line.level == 0 or line.grounded:
                    under, seen = "the ground, where a footing is needed", False
                else:
                    rests = house.frame.stands_on(line.level, x, y)
                    seen = len(rests) == 1
                    names = " and ".join(self._told(s.id) for s in rests)
                    under = names if seen else f"joists between {names}" if rests else "nothing"
                    if not seen:
                        under += "; a beam that stands on nothing is the classic mistake"
                yield {
                    "wall": wall,
                    "at_in": [round(x, 1), round(y, 1)],
                    "on_a_line": seen,
                    "sentence": f"Under the end of {self._told(wall)} at {format_length(x)} from "
                    f"the left, {format_length(y)} from the front, is drawn: {under}.",
                }
