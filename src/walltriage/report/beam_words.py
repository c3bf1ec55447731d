"""What is said of the beam that would take a wall's place, and of its ends."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from walltriage.language import say
from walltriage.report.below_words import below_words
from walltriage.units import format_length, format_quantity

if TYPE_CHECKING:  # read where somebody has numbers to tell
    from walltriage.case.model import Role
    from walltriage.inference.numbers.results import Sizing
    from walltriage.structure.king_studs import KingStuds
    from walltriage.structure.members import MemberResult

CLASS_OF_WORK = {
    "sawn": "beam of built-up lumber, for a licensed engineer to size",
    "lvl": "beam of laminated lumber, for a licensed engineer to size",
    "glulam": "beam of glued laminated timber, for a licensed engineer to size",
    "": "more than listed wood beams carry: steel, a post in between or an engineer's own design",
}
CHECK_WORDS = (
    "bending", "shear", "live deflection", "total deflection", "left bearing", "right bearing",
    "long-term sag",
)  # fmt: skip
"""What a beam is checked for: each check's name, said as it is."""
SIDES = ("left or front", "right or back")


def class_of_work(sizing: Sizing) -> str:
    """The lightest class of beam that would do, without a size."""
    kinds = [one.member.kind for one in sizing.members]
    return say(CLASS_OF_WORK[kinds[0] if kinds else ""])


def sizing_lines(sizing: Sizing, audience: Role) -> Iterator[str]:
    """A trade reads the class of work; a firm the beams, their ends and what is below those."""
    wide = format_length(sizing.opening_in)
    if audience == "trade":
        yield say(
            "Class of work over the {wide} of the wall: {sizing}.",
            wide=wide,
            sizing=class_of_work(sizing),
        )
        return
    where = say("over the whole {wide} of the wall, under the highest load", wide=wide)
    if not sizing.members:
        yield say(
            "No listed beam carries it {where}. {sentence}", where=where, sentence=sizing.sentence
        )
        return
    yield say(
        "Beams that pass the checks {where}: {members}.",
        where=where,
        members=member_names(sizing.members),
    )
    if sizing.ends is not None:
        worst = max(sizing.ends, key=lambda end: end.reaction_lb)
        yield say(
            "Each end of such a beam would bring up to {reaction_lb:,.0f} lb down to one "
            "spot and ask for about {footing_sqft:.1f} sq ft of footing on untested "
            "soil; {studs} {stud} studs or {posts} would take it at that end.",
            reaction_lb=worst.reaction_lb,
            footing_sqft=worst.footing_sqft,
            studs=worst.studs or say("no number of"),
            stud=worst.stud,
            posts=_posts(worst.posts),
        )
        if worst.kings is not None:
            yield kings_line(worst.kings)
    for side, point in zip(SIDES, sizing.below, strict=False):
        yield say("The {side} end comes down on {point}.", side=say(side), point=below_words(point))
    if sizing.below:
        return
    if sizing.way_down is None:
        yield say("What is under the ends of such a beam was not reported.")
    else:
        yield from sizing.way_down.findings[-1:]


def member_names(members: Iterable[MemberResult]) -> str:
    """Beams with how hard they work and in what."""
    return "; ".join(f"{m.member.label} ({m.utilisation:.0%}, {say(m.governs)})" for m in members)


def _posts(posts: Iterable[object]) -> str:
    names = [getattr(post, "label", "") for post in posts]
    return (
        say("a post {names}", names=names[0])
        if names
        else say("a post larger than the listed ones")
    )


def kings_line(kings: KingStuds, metric: bool = False) -> str:
    """Full-height studs beside an opening, inside and, by the code's table, outside."""
    pressure = format_quantity(kings.pressure_psf, "psf", metric)
    if kings.count:
        many = "stands" if kings.count == 1 else "stand"
        inside = say(
            "{count} full-height {stud} {many} beside the opening at each end, at "
            "{ratio:.0%} as a column that {pressure} bends sideways.",
            count=kings.count,
            stud=kings.stud,
            many=many,
            ratio=kings.ratio,
            pressure=pressure,
        )
    else:
        inside = say(
            "No listed number of full-height {stud} studs stands beside the opening.",
            stud=kings.stud,
        )
    asked = (
        say("more than its rows")
        if kings.outside is None
        else say("{outside} at each end", outside=kings.outside)
    )
    return say(
        "{inside} In an outside wall wind decides: read the count in the local code "
        "(IRC R602.7.5 of 2018, from memory: {asked}).",
        inside=inside,
        asked=asked,
    )


def leaning(one: MemberResult) -> Iterator[str]:
    """Where a beam passes only by a factor that not everybody grants."""
    factor = one.repetitive_factor
    bending = next(check for check in one.checks if check.name == "bending")
    if factor > 1 and bending.ratio <= 1 < bending.ratio * factor:
        yield say(
            "{label} passes in bending only by the repetitive-member factor {factor:g}: "
            "{ratio:.0%} without it.",
            label=one.member.label,
            factor=factor,
            ratio=bending.ratio * factor,
        )
