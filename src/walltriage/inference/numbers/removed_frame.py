"""The arithmetic for walls taken out together: spans, loads that move, beams, ways down."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from walltriage.case.model import Case
from walltriage.errors import InputError
from walltriage.inference.finding import Verdict
from walltriage.inference.numbers.computed import reach_cuts
from walltriage.inference.numbers.lines import solve_part
from walltriage.inference.numbers.measures import Measured
from walltriage.inference.numbers.results import (
    BeamEnd,
    MovedLoad,
    NewSpan,
    Opening,
    RemovalNumbers,
    WallNumbers,
)
from walltriage.inference.numbers.wall import spots_in
from walltriage.inference.triage import Triager
from walltriage.language import say
from walltriage.structure.house_frame import FramedHouse, build_house
from walltriage.structure.loads import LoadSet, governing_total
from walltriage.structure.members import MemberResult, choose_members, end_supports
from walltriage.structure.settled import HEAVY
from walltriage.structure.tables import Tables
from walltriage.units import format_length

MOVED_SHARE = 0.05  # of what a wall carried: smaller changes are not told


class RemovedFrame:
    """The arithmetic for one set of walls, all of which are on the plan.

    ``numbers_of`` gives the numbers of each wall as it stands: a beam in its place goes by the
    same load.  Raises :class:`InputError` for sizes beyond what the arithmetic accepts.
    """

    def __init__(
        self,
        triager: Triager,
        case: Case,
        verdicts: Mapping[str, Verdict],
        walls: tuple[str, ...],
        numbers_of: Mapping[str, WallNumbers | None],
    ) -> None:
        assert case.plan is not None
        self.walls, self.numbers_of = walls, numbers_of
        self.named = case.called()
        self.base = triager.base
        self.work = triager.house_work(case, verdicts)
        self.layout, self.answers = self.work.layout, self.work.answers
        self.bears = self.work.bears
        self.tables: Tables = self.work.tables
        self.carrying = tuple(w for w in sorted(walls) if self.bears[w] is not False)
        self.standing = self._house(bears={**self.bears, **dict.fromkeys(walls, True)})
        self.after = self._house(gone=frozenset(walls))

    def _house(
        self, gone: frozenset[str] = frozenset(), bears: Mapping[str, bool | None] | None = None
    ) -> FramedHouse:
        given = self.bears if bears is None else bears
        return build_house(self.tables, self.work.site, self.layout, given, HEAVY, gone=gone)

    def _told(self, line: str) -> str:
        """A line of the frame as people call it."""
        return self.named.get(line, line)

    def reasons(self) -> Iterator[str]:
        """Why the set cannot go by span, in sentences."""
        for wall, span, use in self._spans():
            cuts = reach_cuts(self.base, self.answers, use)
            if cuts is not None and span > cuts[0]:
                gone = say("With all of them gone") if len(self.walls) > 1 else say("With it gone")
                limit = (
                    say("farther than joists of its time reach")
                    if span > cuts[1]
                    else say(
                        "and the smaller joists of its time reach only {cuts}",
                        cuts=format_length(cuts[0]),
                    )
                )
                yield say(
                    "{gone} the joists over {wall} would span {span}, {limit}.",
                    gone=gone,
                    wall=self._told(wall),
                    span=format_length(span),
                    limit=limit,
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
                yield say(
                    "No choice of the lines that stay in {id} explains its spans; with these "
                    "walls there is one.",
                    id=part.id,
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
                way = say("left to right") if axis == "x" else say("front to back")
                yield say(
                    "On level {level} no drawn interior wall that runs {way} would be left to "
                    "hold the house upright in wind and earthquakes.",
                    level=level,
                    way=way,
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
        at, lo, hi = segment.place
        middle = (lo + hi) / 2
        return (middle, at) if segment.axis == "x" else (at, middle)

    def numbers(self) -> RemovalNumbers:
        """Spans, moved loads, beams and ways down."""
        spans = tuple(NewSpan(wall, span) for wall, span, _ in self._spans())
        openings = []
        ends: list[BeamEnd] = []
        problems: list[str] = []
        for wall in self.carrying:
            try:
                opening, beam = self._opening(wall)
            except InputError as error:  # a size beyond what the arithmetic accepts
                problems += [f"{self._told(wall)}: {p.path}: {p.what}" for p in error.problems]
                continue
            openings.append(opening)
            if not opening.load.carries_only_itself:
                ends += self._ends(wall, opening, beam)
        return RemovalNumbers(
            spans, tuple(self._moves()), tuple(openings), tuple(ends),
            self.work.bracing(self.walls), tuple(problems),
        )  # fmt: skip

    def _moves(self) -> Iterator[MovedLoad]:
        before, after = self.work.loads.followed, self.after.frame.follow()

        def pounds(load: LoadSet) -> float:
            return governing_total(self.tables, load)[0]

        for line in self.after.frame.supports:
            was, will = pounds(before.pounds(line.id)), pounds(after.pounds(line.id))
            if abs(will - was) > MOVED_SHARE * max(was, 1.0):
                old, new = before.worst_plf(line.id), after.worst_plf(line.id)
                yield MovedLoad(line.id, pounds(old), pounds(new), was, will)

    def _opening(self, wall: str) -> tuple[Opening, MemberResult | None]:
        """The beams that would carry what one wall carries, over its whole length."""
        line, load = self.work.line(wall), self.work.loads.of_wall(wall)
        assert line is not None
        assert load is not None
        length = line.hi - line.lo
        numbers = self.numbers_of.get(wall)
        left_out = () if numbers is None else numbers.left_out
        if load.carries_only_itself or any(item.blocks for item in left_out):
            return Opening(wall, length, load, left_out, (), ""), None
        chosen = choose_members(
            self.tables, length, load.high, spots_in(load.spots, length, length), first=1
        )
        first: dict[str, MemberResult] = {}
        for one in chosen:
            first.setdefault(one.member.kind, one)
        members = tuple(first.values())
        opening = Opening(wall, length, load, left_out, members, chosen.sentence)
        return opening, members[0] if members else chosen.nearest

    def _ends(self, wall: str, opening: Opening, beam: MemberResult | None) -> Iterator[BeamEnd]:
        """What is drawn under each end of a beam that would take a wall's place.

        Without a beam to weigh, half of the wall's highest load stands for each reaction.
        """
        line = self.work.line(wall)
        assert line is not None
        if beam is None:
            half = opening.load.governing_plf.high * opening.opening_in / 24
            reactions = (half, half)
        else:
            left, right = end_supports(self.tables, beam)
            reactions = (left.reaction_lb, right.reaction_lb)
        points = self.work.points_below(wall, reactions, frozenset(self.carrying))
        for place, point in zip((line.lo, line.hi), points, strict=True):
            x, y = (place, line.at) if line.axis == "x" else (line.at, place)
            yield BeamEnd(wall, x, y, point.kind == "ground", point.lines, point)
