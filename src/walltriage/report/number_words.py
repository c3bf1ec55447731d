"""What is said about the preliminary numbers of a wall: one sentence each, by reader.

A buyer reads loads and spans; a trade also which class of work a beam would be; only a firm
reads beams, their ends, temporary lines and what the points do below.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from walltriage.language import say
from walltriage.report.beam_words import leaning, sizing_lines
from walltriage.report.words import capitalized
from walltriage.units import format_length

if TYPE_CHECKING:  # read where somebody has numbers to tell
    from walltriage.case.model import Role
    from walltriage.inference.numbers.results import LeftOut, Narrowing, WallNumbers
    from walltriage.structure.bracing import LineGap
    from walltriage.structure.shoring import Shoring
    from walltriage.structure.wall_load import WallLoad

NOT_COUNTED = {
    "wall_above": "a wall above",
    "on_wall_above": "whatever rests on the wall above",
    "roof_struts": "roof load by braces or posts",
    "snow": "snow",
    "point_load": "loads that come down at one spot",
}
WHY_OUT = {
    "snow": "the ground snow load was not given",
    "on_wall_above": "the story above is not on the plan",
}
TO_GIVE = {
    "wall_above": "a wall above was reported: draw the story above on the plan",
    "on_wall_above": "a wall above was reported: draw the story above on the plan",
    "roof_struts": "roof braces were reported: give the width of the house, or what lands here",
    "snow": "roof is counted: give the ground snow load there, 0 if none falls",
    "point_load": "a load at one spot was reported: draw the beam or post that brings it",
}
OPEN_MATTERS = {
    "joists_through": "whether the joists run unbroken over the wall",
    "roof_inside": "whether the roof rests on interior walls",
    "other_walls": "which of the other walls carry could not be settled",
    "loads": "how heavy floors, walls and roof are",
}
UPLIFT = {
    "coast_wind": "strong coastal winds lift",
    "quakes": "earthquakes overturn",
    "both": "strong coastal winds lift and earthquakes overturn",
}
UPLIFT_LINE = (
    "Uplift, not worked out: where {}, straps and hold-downs in this wall, and at the ends of what "
    "takes its place, are part of the way down to the foundation. None may be cut before an "
    "engineer has replaced it."
)
LOAD_WORDS = {
    "dead": "dead", "live": "live", "roof_live": "roof live",
    "snow": "snow",
}  # fmt: skip


def number_lines(numbers: WallNumbers, audience: Role) -> tuple[str, ...]:
    """The results in sentences; what could not be counted comes first."""
    lines: list[str] = []
    if numbers.load is not None:
        lines += _left_out_lines(numbers.left_out)
    if numbers.span is not None:
        lines.append(capitalized(numbers.span.need.sentence))
        if numbers.span.compared is not None:
            lines.append(f"{capitalized(numbers.span.compared.sentence)}.")
    if numbers.load is not None:
        lines += _load_lines(numbers.load)
    if numbers.narrowing is not None:
        lines.append(narrowing_line(numbers.narrowing))
    if audience != "buyer" and numbers.sizing is not None:
        lines += sizing_lines(numbers.sizing, audience)
    if audience == "firm" and numbers.shoring is not None:
        lines.append(shoring_line(numbers.shoring))
    if audience == "firm" and numbers.uplift is not None:
        lines.append(say(UPLIFT_LINE).format(say(UPLIFT[numbers.uplift])))
    if audience != "buyer":
        lines += [bracing_line(gap) for gap in numbers.bracing if gap.beyond]
    return tuple(lines)


def work_lines(numbers: WallNumbers) -> tuple[str, ...]:
    """For a price: what is in the way of a size, the load and the class of work."""
    lines: list[str] = []
    if numbers.load is not None:
        lines += (line for line in _left_out_lines(numbers.left_out) if "Not sized" in line)
        lines += _load_lines(numbers.load)
    if numbers.sizing is not None:
        lines += sizing_lines(numbers.sizing, "trade")
    return tuple(lines)


def number_findings(numbers: WallNumbers, audience: Role) -> tuple[str, ...]:
    """What the arithmetic noticed."""
    found: list[str] = list(numbers.problems)
    if numbers.span is not None:
        found += numbers.span.need.doubts
    if numbers.takedown is not None:
        found += numbers.takedown.findings
    sizing = numbers.sizing
    if audience == "firm" and sizing is not None:
        found += [finding for end in sizing.ends or () for finding in end.findings]
        found += [factor for one in sizing.members for factor in leaning(one)]
    return tuple(found)


def number_steps(numbers: WallNumbers) -> tuple[str, ...]:
    """Every line of arithmetic, for a firm."""
    steps = [] if numbers.span is None else list(numbers.span.need.steps)
    if numbers.takedown is not None:
        steps += numbers.takedown.steps
    if numbers.sizing is not None and numbers.sizing.members:
        steps += numbers.sizing.members[0].steps
        steps += [step for end in numbers.sizing.ends or () for step in end.steps]
    if numbers.shoring is not None:
        steps += numbers.shoring.steps
    return tuple(str(step) for step in steps)


def _left_out_lines(left_out: Iterable[LeftOut]) -> Iterator[str]:
    items = list(left_out)
    for item in items:
        why = WHY_OUT.get(item.load) or (
            say("it was reported") if item.blocks else say("not ruled out")
        )
        yield say(
            "Not counted: {not_counted} ({why}).", not_counted=say(NOT_COUNTED[item.load]), why=why
        )
    missing = dict.fromkeys(say(TO_GIVE[item.load]) for item in items if item.blocks)
    if missing:
        yield say("Not sized: {told}.", told="; ".join(missing))


def _load_lines(load: WallLoad) -> Iterator[str]:
    low, usual, high = (
        load.governing_plf.low, load.governing_plf.usual, load.governing_plf.high
    )  # fmt: skip
    if load.carries_only_itself:
        yield say(
            "As drawn the wall carries nothing but itself, up to {high:,.0f} lb a foot.", high=high
        )
        return
    parts = ", ".join(
        say(
            "{kind} {least:,.0f} to {most:,.0f} lb/ft",
            kind=say(LOAD_WORDS[kind]),
            least=least,
            most=most,
        )
        for (kind, least), (_, most) in zip(load.low.kinds(), load.high.kinds(), strict=True)
        if most > 0
    )
    house = say("followed through the house as drawn, ") if load.from_house else ""
    yield say(
        "If it bears, the wall may carry {low:,.0f} to {high:,.0f} lb/ft, usually "
        "about {usual:,.0f} lb/ft ({house}{parts}; {combination} governs).",
        low=low,
        high=high,
        usual=usual,
        house=house,
        parts=parts,
        combination=load.combination,
    )
    for spot in load.spots:
        pounds = sum(value for _, value in spot.lb.kinds())
        yield say(
            "At {at_in} from its left or front end up to {pounds:,.0f} lb come down at "
            "one spot, all kinds of load added.",
            at_in=format_length(max(spot.at_in, 0.0)),
            pounds=pounds,
        )


def narrowing_line(narrowing: Narrowing) -> str:
    """What is open that moves the load most, by how much, and the question that settles it."""
    matter = say(OPEN_MATTERS.get(narrowing.about, narrowing.about))
    look = f" {narrowing.ask}" if narrowing.ask else ""
    return say(
        "What would narrow that most: {matter}. By that alone it is {low_plf:,.0f} "
        "or {high_plf:,.0f} lb a foot.{look}",
        matter=matter,
        low_plf=narrowing.low_plf,
        high_plf=narrowing.high_plf,
        look=look,
    )


def shoring_line(shored: Shoring) -> str:
    """Pounds a foot on the two temporary lines."""
    one, other = shored.one_side_plf, shored.other_side_plf
    return say(
        "Shoring lines {away_in} from the wall, one on each side, would hold "
        "{one_low:,.0f} to {one_high:,.0f} lb/ft and {other_low:,.0f} to {other_high:,.0f} lb/ft: "
        "for whoever designs the shoring, and carried down to the ground.",
        away_in=format_length(shored.away_in),
        one_low=one.low,
        one_high=one.high,
        other_low=other.low,
        other_high=other.high,
    )


def bracing_line(gap: LineGap) -> str:
    """What taking walls out does to the distance between lines of bracing."""
    way = say("left to right") if gap.axis == "x" else say("front to back")
    return say(
        "Bracing on level {level}: without it the lines that run {way} stand up to "
        "{after_in} apart, with it {before_in}; the code's simple rule allows "
        "{limit_in} (R602.10.1.3). An engineer has to look.",
        level=gap.level,
        way=way,
        after_in=format_length(gap.after_in),
        before_in=format_length(gap.before_in),
        limit_in=format_length(gap.limit_in),
    )
