"""Read the ``plan:`` of a case file, every mistake with its place."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from walltriage.case.forms import (
    AreaForm,
    BeamForm,
    JoistsForm,
    PartForm,
    PlanFields,
    PostForm,
    RidgeForm,
    WallLineForm,
)
from walltriage.case.plan import MOST_OUT_IN, Area, DrawnLine, DrawnPost, Length, Part, Plan
from walltriage.case.plan_check import plan_problems
from walltriage.errors import did_you_mean
from walltriage.units import format_length
from walltriage.yamltree import KeyPath, Wrong

POST_HEIGHT_IN, FOOTING_IN = (12.0, 240.0), (6.0, 96.0)


def plan_of(form: PlanFields, wall_ids: set[str], wrong: Wrong) -> Plan | None:
    """The plan that was drawn; ``wrong`` is told every mistake, and then None comes back."""
    reader = _PlanReader(form, wall_ids, wrong)
    plan = reader.plan()
    if reader.clean:
        for where, what, expected in plan_problems(plan):
            reader.wrong(where, what, expected)
    return plan if reader.clean else None


class _PlanReader:
    def __init__(self, form: PlanFields, wall_ids: set[str], wrong: Wrong) -> None:
        self.form, self.wall_ids, self._wrong = form, wall_ids, wrong
        self.clean = True
        self.levels = self.names(form.levels, ("levels",))
        self.parts: dict[str, Part] = {}

    def wrong(self, where: KeyPath, what: str, expected: str) -> None:
        self.clean = False
        self._wrong(("plan", *where), what, expected)

    def plan(self) -> Plan:
        form = self.form
        tolerance = form.tolerance or Plan().tolerance
        if not 0 < tolerance.inches <= MOST_OUT_IN:
            self.wrong(("tolerance",), f"a tolerance of {tolerance.given}", "expected up to 5 ft")
        if not self.levels:
            self.wrong(("levels",), "no levels", "expected their names from the lowest up")
        for index, raw in enumerate(form.parts):
            part = self.part(raw, ("parts", index))
            if part is not None:
                self.parts[part.id] = part
        if not self.parts:
            self.wrong(("parts",), "no parts", "expected '- id: main' with its width and depth")
        return Plan(
            tolerance,
            self.levels,
            self.levels_of(form.whole, ("whole",)),
            tuple(self.parts.values()),
            tuple(self.line(raw, ("ridges", i)) for i, raw in enumerate(form.ridges)),
            tuple(self.line(raw, ("walls", i)) for i, raw in enumerate(form.walls)),
            tuple(self.line(raw, ("beams", i)) for i, raw in enumerate(form.beams)),
            tuple(
                post for i, raw in enumerate(form.posts) if (post := self.post(raw, ("posts", i)))
            ),
            tuple(self.area(raw, ("stairs", i)) for i, raw in enumerate(form.stairs)),
            tuple(self.area(raw, ("joists", i)) for i, raw in enumerate(form.joists)),
        )

    def part(self, form: PartForm, where: KeyPath) -> Part | None:
        if not form.id or form.id in self.parts:
            what = f"duplicate part '{form.id}'" if form.id else "a part without an id"
            self.wrong((*where, "id"), what, "expected a name of its own for each part")
            return None
        of = form.of
        if not self.parts:
            if form.side is not None or of:
                what = "the first part stands against no other"
                self.wrong(where, what, "leave 'side' and 'of' out")
        else:
            of = of or next(iter(self.parts))
            if form.side is None:
                self.wrong(
                    (*where, "side"), "missing key 'side'", "expected front, back, left, right"
                )
            self.known((*where, "of"), of, self.parts, f"'{of}' is no part given before")
        levels = (
            self.levels if form.levels is None else self.levels_of(form.levels, (*where, "levels"))
        )
        return Part(form.id, form.width, form.depth, levels, form.side, of, form.start, form.year)

    def line(self, form: RidgeForm, where: KeyPath) -> DrawnLine:
        wall = name = level = size = ""
        kind = "ridge"
        openings: tuple[tuple[Length, Length], ...] = ()
        if isinstance(form, WallLineForm):
            wall, name, kind = form.wall, form.name, form.kind
            if wall:
                near = did_you_mean(wall, self.wall_ids)
                what = f"no wall '{wall}' in this case{near}"
                self.known((*where, "wall"), wall, sorted(self.wall_ids), what)
            openings = tuple(ends for ends in form.openings if ends is not None)
        elif isinstance(form, BeamForm):
            name, kind, size = form.name, "beam", form.size
        if isinstance(form, WallLineForm | BeamForm):
            level = self.level(form.level, where)
        self.part_of(form.part, where)
        return DrawnLine(
            form.along, form.off, form.start, form.end, level, form.part, wall, name, kind,
            openings, size,
        )  # fmt: skip

    def post(self, form: PostForm, where: KeyPath) -> DrawnPost | None:
        if form.left is None or form.front is None:
            expected = "expected how far from the left and from the front"
            self.wrong(where, "a post without a place", expected)
            return None
        self.part_of(form.part, where)
        self.sensible(form.height, (*where, "height"), "a post", POST_HEIGHT_IN)
        self.sensible(form.footing, (*where, "footing"), "a footing", FOOTING_IN)
        return DrawnPost(
            self.level(form.level, where), form.left, form.front, form.part, form.size,
            form.height, form.footing,
        )  # fmt: skip

    def sensible(
        self, length: Length | None, where: KeyPath, of: str, ends: tuple[float, float]
    ) -> None:
        """A length that does not lie between ``ends`` in inches is told."""
        if length is not None and not ends[0] <= length.inches <= ends[1]:
            expected = " to ".join(format_length(end, length.metric) for end in ends)
            self.wrong(where, f"{of} of {length.given}", f"expected {expected}")

    def area(self, form: AreaForm, where: KeyPath) -> Area:
        run, seen_from = None, ""
        if isinstance(form, JoistsForm):
            run, seen_from = form.run, form.seen_from
        self.part_of(form.part, where)
        level = self.level(form.level, where)
        return Area(level, form.part, form.left, form.front, run, seen_from)

    def names(self, given: Sequence[str], where: KeyPath) -> tuple[str, ...]:
        if len(set(given)) != len(given):
            self.wrong(where, "duplicate level", "expected each name once")
        return tuple(dict.fromkeys(given))

    def level(self, name: str, where: KeyPath) -> str:
        what = f"'{name}' is not a level{did_you_mean(name, self.levels)}"
        self.known((*where, "level"), name, self.levels, what)
        return name

    def levels_of(self, given: Sequence[str], where: KeyPath) -> tuple[str, ...]:
        for name in self.names(given, where):
            what = f"'{name}' is not a level{did_you_mean(name, self.levels)}"
            self.known(where, name, self.levels, what)
        return tuple(level for level in self.levels if level in given)

    def part_of(self, name: str, where: KeyPath) -> None:
        if name:
            what = f"no part '{name}'{did_you_mean(name, self.parts)}"
            self.known((*where, "part"), name, self.parts, what)

    def known(self, where: KeyPath, name: str, names: Collection[str], what: str) -> None:
        """A name that nothing stands for is told, with those that there are."""
        if name not in names:
            self.wrong(where, what, "known: " + (", ".join(names) or "none"))
