"""The whole house and a set of walls in words, the same on a terminal and on paper."""

from __future__ import annotations

from collections.abc import Mapping, Set
from typing import TYPE_CHECKING

from walltriage.case.model import Role
from walltriage.inference.finding import Finding
from walltriage.language import say
from walltriage.report import words
from walltriage.report.beam_words import CLASS_OF_WORK, member_names
from walltriage.report.below_words import below_words
from walltriage.report.number_words import TO_GIVE, bracing_line
from walltriage.report.plan_words import line_words, plain
from walltriage.units import format_length

if TYPE_CHECKING:
    from walltriage.inference.numbers.removal import Removal
    from walltriage.inference.numbers.results import BeamEnd, Opening

HOUSE_TITLE = "The house as a whole"
HOUSE_NOTE = "Preliminary: for an engineer to check."
TOGETHER_WORDS = {
    "carries": (
        "AT LEAST ONE OF THEM PROBABLY CARRIES",
        "None of this without a licensed engineer's design for what carries the load instead.",
    ),
    "open": (
        "CANNOT TELL FOR THE SET",
        "At least one of the walls is not settled, so the set is not settled either.",
    ),
    "not_together": (
        "NO CLEAR ANSWER FOR THE SET",
        "Each wall alone is likely non-bearing, but not all of them together. "
        "A licensed engineer has to look at the set.",
    ),
    "non_bearing_together": (
        "LIKELY NON-BEARING, ALONE AND TOGETHER",
        "Nothing found speaks against the set. What is said about each wall still holds; show "
        "this to whoever looks at the house before work begins.",
    ),
}


CLASS_WORDS = {
    "needed": "the joists could not span without it",
    "in_no_smallest": "not needed by span, as long as the others stand",
    "depends": "needed or not, depending on which others carry",
    "nothing_holds": "the drawn lines do not explain the spans: a line may be missing or misplaced",
}
EACH_WORDS = {
    "needed": "the joists could not span without any one of these",
    "in_no_smallest": "not needed by span, as long as the others stand",
    "depends": "needed or not, depending on which others carry",
    "nothing_holds": "the drawn lines do not explain the spans: a line may be missing or misplaced",
}
"""The same of several lines."""
AND = " and "  # between lines at one place


def house_lines(finding: Finding, tabled: Set[str] = frozenset()) -> tuple[str, ...]:
    """Needed lines, collected loads, findings and what was assumed; nothing without a plan.

    What the walls of these ids collect is left to the table that has it.
    """
    house = finding.house
    if house is None:
        return ()
    lines, findings = house_results(finding, tabled), house_findings(finding)
    if not (lines or findings):
        return ()
    assumed = (
        (say("Assumed: {assumed}.", assumed=plain("; ".join(house.assumed))),)
        if house.assumed
        else ()
    )
    return (*lines, *findings, *assumed)


def house_results(finding: Finding, tabled: Set[str] = frozenset()) -> tuple[str, ...]:
    """Which lines the spans ask for, what each collects, and what comes to the ground."""
    house = finding.house
    if house is None:
        return ()
    names = finding.given.called()
    classes: dict[str, list[str]] = {}
    for line in house.support_lines:
        classes.setdefault(line.line_class.value, []).append(_told(line.walls, names))
    lines = [
        f"{', '.join(alike)}: {say(CLASS_WORDS[found] if len(alike) == 1 else EACH_WORDS[found])}."
        for found, alike in classes.items()
    ]
    for row in house.collects:
        if tabled >= set(row.walls):
            continue
        plf, spot = row.load.governing_plf, round(row.spot_lb)
        least, most = round(plf.low), round(plf.high)
        foot = (
            say("about {most:,}", most=most)
            if least == most
            else say("{least:,} to {most:,}", least=least, most=most)
        )
        spots = say(", and up to {spot:,} lb at single spots", spot=spot) if spot else ""
        lines.append(
            say(
                "{walls} collects {foot} lb/ft where it is heaviest{spots}.",
                walls=_told(row.walls, names),
                foot=foot,
                spots=spots,
            )
        )
    if house.ground_lb is not None:
        lines.append(
            say(
                "About {ground_lb:,.0f} lb in all come down to the ground, foundation walls "
                "not counted.",
                ground_lb=round(house.ground_lb, -2),
            )
        )
    return tuple(lines)


def house_findings(finding: Finding) -> tuple[str, ...]:
    """What does not fit together, or stands on nothing drawn."""
    house = finding.house
    if house is None:
        return ()
    unexplained = (
        say(
            "{part}: what its walls likely do and what its spans need do not fit "
            "together: a likely bearing wall has no line under it, or the joists need a "
            "wall that is likely non-bearing.",
            part=plain(part),
        )
        for part in house.unexplained
    )
    return (*unexplained, *house.findings)


def _told(walls: tuple[str, ...], names: Mapping[str, str]) -> str:
    """A line of one or several walls in the walls' names; lines at one place are joined."""
    return say(AND).join(names.get(name) or line_words(name) for name in walls)


def removal_title(removal: Removal) -> str:
    """Which walls would go, by name."""
    return say("If these came out together: ") + ", ".join(removal.names.values())


def removal_verdicts(removal: Removal) -> list[str]:
    """Each wall as it stands, and with the others gone."""
    verdicts = []
    for wall, name in removal.names.items():
        now = say(words.VERDICT_WORDS[removal.alone[wall]]).lower()
        then = say(words.VERDICT_WORDS[removal.others_gone[wall]]).lower()
        others = say("; with the others gone: {then}", then=then) if len(removal.walls) > 1 else ""
        verdicts.append(
            say("{name}, as it stands: {now}{others}", name=name, now=now, others=others)
        )
    return verdicts


def removal_numbers(removal: Removal, audience: Role) -> tuple[str, ...]:
    """Spans, moved loads, beams by reader, ways down and bracing, in sentences."""
    found, names = removal.numbers, removal.names
    lines = [
        say(
            "Over {names} the joists would span {span_in}.",
            names=names[row.wall],
            span_in=format_length(row.span_in),
        )
        for row in found.spans
    ]
    for move in found.moves:
        if move.after_lb > move.before_lb:  # what a line is rid of needs nobody's care
            lines.append(
                say(
                    "{names}: from {before_lb:,.0f} to {after_lb:,.0f} lb in all, up to "
                    "{after_plf:,.0f} lb/ft, if nothing takes their place.",
                    names=names.get(move.line, move.line),
                    before_lb=move.before_lb,
                    after_lb=move.after_lb,
                    after_plf=move.after_plf,
                )
            )
    lines += [opening_line(row, names, audience) for row in found.openings]
    lines += [end_line(row, names, audience) for row in found.ends]
    lines += [bracing_line(gap) for gap in found.bracing if gap.beyond]
    return (*lines, *found.problems)


def opening_line(opening: Opening, names: Mapping[str, str], audience: Role) -> str:
    """What would stand in for one wall."""
    said = say(
        "In place of {names}, over {opening_in}",
        names=names[opening.wall],
        opening_in=format_length(opening.opening_in),
    )
    if opening.load.carries_only_itself:
        return say("{said}: no beam, as drawn it carries nothing but itself.", said=said)
    blocked = [say(TO_GIVE[item.load]) for item in opening.left_out if item.blocks]
    if blocked:
        return say("{said}: not sized; {blocked}.", said=said, blocked="; ".join(blocked))
    if audience == "buyer":
        return say("{said}: a beam, or more, that a licensed engineer has to design.", said=said)
    if audience == "trade":
        kind = opening.members[0].member.kind if opening.members else ""
        return f"{said}: {say(CLASS_OF_WORK[kind])}."
    return f"{said}: {member_names(opening.members) or opening.sentence.rstrip('.')}."


def end_line(end: BeamEnd, names: Mapping[str, str], audience: Role) -> str:
    """What is drawn under one end of a beam; a firm reads what the load does there."""
    where = say(
        "Under the end of {names} at {x_in} from the left, {y_in} from the front",
        names=names[end.wall],
        x_in=format_length(end.x_in),
        y_in=format_length(end.y_in),
    )
    if audience == "firm" and end.below is not None:
        return f"{where}: {below_words(end.below)}."
    lines = say(AND).join(names.get(line, line) for line in end.under)
    if end.on_ground:
        under = say("the ground, where a footing is needed; a beam with nothing under it is the ")
        return say("{where}, is drawn: {under}classic mistake.", where=where, under=under)
    if len(end.under) == 1:
        loud = end.below is not None and end.below.mid_span
        more = say(", BETWEEN ITS POSTS, where nothing has been checked for it") if loud else ""
        return say("{where}, is drawn: {lines}{more}.", where=where, lines=lines, more=more)
    under = say("joists between {lines}", lines=lines) if end.under else "nothing"
    return say(
        "{where}, is drawn: {under}; a beam with nothing under its ends is the classic mistake.",
        where=where,
        under=under,
    )
