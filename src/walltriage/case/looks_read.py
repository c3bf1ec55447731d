"""Read the ``looks:`` of a wall, every mistake with its place."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from walltriage.case.forms import LookForm, LooksForm
from walltriage.case.looks import SAW, Found, Look, MarkedDistance, WallLooks
from walltriage.units import format_length
from walltriage.yamltree import KeyPath, Wrong


def looks_of(form: LooksForm, where: KeyPath, wrong: Wrong) -> WallLooks | None:
    """The looks of one wall; None when they make no sense, and the mistakes are told."""
    return _LooksReader(form, wrong).looks(where)


class _LooksReader:
    def __init__(self, form: LooksForm, wrong: Wrong) -> None:
        self.form, self._wrong = form, wrong
        self.clean = True

    def wrong(self, where: KeyPath, what: str, expected: str) -> None:
        self.clean = False
        self._wrong(where, what, expected)

    def looks(self, where: KeyPath) -> WallLooks | None:
        form = self.form
        if not form.zero_end:
            expected = "say in words from which end you measure, for instance 'the window end'"
            self.wrong((*where, "zero_end"), "the zero end has no name", expected)
        seen = [self.look(look, (*where, "seen", i)) for i, look in enumerate(form.seen)]
        found = WallLooks(
            zero_end=form.zero_end,
            other_end=form.other_end,
            length_in=form.length,
            marked=tuple(self.marks(where)),
            looks=tuple(look for look in seen if look is not None),
        )
        if self.clean:
            self.overlaps(found, where)
        return found if self.clean else None

    def look(self, form: LookForm, where: KeyPath) -> Look | None:
        stretch = self.stretch(form, where)
        if form.saw is None and not form.found and form.place not in ("below", "upstairs"):
            expected = f"expected 'saw:' with one of {', '.join(SAW)}, or 'found:'"
            self.wrong(where, "the look does not say what was seen", expected)
        if stretch is None:
            return None
        found = tuple(self.things(form, where, stretch))
        return Look(
            form.place, *stretch, form.whole is True, form.saw, found, form.length, form.sure,
            form.by, form.seen_on,
        )  # fmt: skip

    def stretch(self, form: LookForm, where: KeyPath) -> tuple[float, float] | None:
        """Both ends of what was seen, within the wall where its length is known."""
        given = form.model_fields_set
        if "at" in given or form.place == "hole":
            if form.at is None or form.place != "hole" or given & {"start", "end", "whole"}:
                expected = "a hole has 'at:'; every other look 'from:' and 'to:', or 'whole: true'"
                self.wrong(where, "the look's place along the wall is unclear", expected)
                return None
            return self.within((*where, "at"), form.at, form.at)
        if "whole" in given:
            if form.whole is not True or given & {"start", "end"}:
                expected = "expected 'whole: true' alone, or 'from:' and 'to:'"
                self.wrong((*where, "whole"), "'whole' is unclear", expected)
                return None
            return (0.0, self.form.length or 0.0)
        if form.start is None or form.end is None:
            expected = "expected 'from:' and 'to:', measured from the zero end, or 'whole: true'"
            self.wrong(where, "the look has no stretch", expected)
            return None
        if form.start >= form.end:
            what = f"the stretch begins at {format_length(form.start)}, not before its end"
            expected = f"expected less than 'to' ({format_length(form.end)})"
            self.wrong((*where, "from"), what, expected)
            return None
        return self.within((*where, "to"), form.start, form.end)

    def within(self, where: KeyPath, start: float, end: float) -> tuple[float, float] | None:
        wall_in = self.form.length
        if wall_in is not None and end > wall_in:
            what = f"{format_length(end)} is outside the wall"
            expected = f"it is {format_length(wall_in)} long, measured from its zero end"
            self.wrong(where, what, expected)
            return None
        return (start, end)

    def things(
        self, look: LookForm, where: KeyPath, stretch: tuple[float, float]
    ) -> Iterator[Found]:
        hole = look.place == "hole"
        for index, form in enumerate(look.found):
            here = (*where, "found", index)
            at = stretch[0] if form.at is None and hole else form.at
            if at is None:
                self.wrong(here, "the find has no place", "expected 'at:', from the zero end")
            elif not (hole or look.whole or stretch[0] <= at <= stretch[1]):
                expected = "a find lies between 'from' and 'to' of its look"
                self.wrong((*here, "at"), f"{format_length(at)} is outside the stretch", expected)
            else:
                yield Found(form.what, at)

    def marks(self, where: KeyPath) -> Iterator[MarkedDistance]:
        for index, form in enumerate(self.form.marked):
            if form.below is None or form.above is None or not form.from_wall:
                expected = "expected 'from:' (an outside wall), and 'below:' and 'above:', measured"
                self.wrong((*where, "marked", index), "the mark is not complete", expected)
            else:
                yield MarkedDistance(form.from_wall, form.below, form.above)

    def overlaps(self, found: WallLooks, where: KeyPath) -> None:
        """Two stretches seen from one place cannot show different framing where they overlap."""
        stretches = [(i, look) for i, look in enumerate(found.looks) if look.place != "hole"]
        for (_, one), (index, other) in combinations(stretches, 2):
            apart = one.to_in <= other.from_in or other.to_in <= one.from_in
            apart = apart and not (one.whole or other.whole)
            if one.place != other.place or apart or None in (one.saw, other.saw):
                continue
            if one.saw != other.saw:
                what = f"the same stretch is '{one.saw}' and '{other.saw}', seen from one place"
                expected = "keep what is right, or cut the stretches so that they do not overlap"
                self.wrong((*where, "seen", index), what, expected)
