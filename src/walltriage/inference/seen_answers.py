"""What looks along a wall answer, by ``rules/seen_along.yaml``.

Where a wall has looks, they answer before a bare "all of it" does.  A find is never lost: neither
a find of a look to a clear answer given, nor a find given to looks that were clear.
"""

from __future__ import annotations

from collections.abc import Mapping

from walltriage.case.looks import Look, WallLooks
from walltriage.case.model import SUREST_FIRST, UNKNOWN, Answer, least_sure
from walltriage.inference.seen_along import Reach, clashes, covers, finds, seen_words, stretches
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.seen_along import SeenAlongFile, SeenAnswer, SeenReach
from walltriage.language import say
from walltriage.units import format_length, parse_length

NO_LOOKS = WallLooks("")
_CLEAR_ORDER = ("nothing_rests", "along", "one_piece")


def with_looks(
    base: KnowledgeBase, looks: WallLooks | None, answers: Mapping[str, Answer]
) -> dict[str, Answer]:
    """The answers about one wall with those that looks along it give."""
    rules = base.seen_along
    if rules is None or looks is None:
        return dict(answers)
    length_in = wall_length_in(rules, looks, answers)
    found: dict[str, Answer] = {}
    differ_in = parse_length(rules.lengths_differ)
    against = list(clashes(looks, _told_length(rules, answers), _tops(rules), differ_in))
    for entry in rules.answers:
        seen = [look for look in looks.looks if look.place in entry.seen_from]
        if not seen or not _applies(entry, answers):
            continue
        given = answers.get(entry.question)
        answer = _answer(rules, entry, looks, seen, length_in)
        if given is not None and given.value in entry.found.values():
            if answer is not None and answer.value in entry.clear.values():
                against.append(
                    say(
                        "'{question}' was answered {given}, looks show none",
                        question=entry.question,
                        given=given.given,
                    )
                )
            continue  # something found stays found
        if answer is not None:
            found[entry.question] = answer
        elif given is not None and given.value in entry.clear.values():
            places = rules.reach(entry.reach).places
            note = say(
                "only {looks}", looks=seen_words(stretches(looks, places, length_in), length_in)
            )
            found[entry.question] = Answer(UNKNOWN, None, UNKNOWN, note=note)
    if looks.marked:
        found[rules.marking.question] = _marking(rules, looks)
    if against:
        clash = rules.clash
        found[clash.question] = Answer(clash.differs, None, "; ".join(dict.fromkeys(against)))
    return {**answers, **found}


def wall_length_in(
    rules: SeenAlongFile, looks: WallLooks, answers: Mapping[str, Answer]
) -> float | None:
    """The length that stretches are held against: the longest told, so that no end is missed."""
    lengths = (looks.length_in, _told_length(rules, answers), *(k.length_in for k in looks.looks))
    return max((length for length in lengths if length is not None), default=None)


def reach_of(entry: SeenReach) -> Reach:
    """A reach of the rules, in inches."""
    return Reach(parse_length(entry.gap), parse_length(entry.ends))


def _told_length(rules: SeenAlongFile, answers: Mapping[str, Answer]) -> float | None:
    answer = answers.get(rules.length)
    return None if answer is None else answer.number


def _tops(rules: SeenAlongFile) -> list[str]:
    """Every place from which the framing on the wall shows."""
    return [place for reach in rules.reaches for place in reach.places]


def _applies(entry: SeenAnswer, answers: Mapping[str, Answer]) -> bool:
    def among(question: str, options: list[str]) -> bool:
        answer = answers.get(question)
        return answer is not None and answer.value in options

    return all(among(q, options) for q, options in entry.only_with.items()) and not any(
        among(q, options) for q, options in entry.unless.items()
    )


def _answer(
    rules: SeenAlongFile,
    entry: SeenAnswer,
    looks: WallLooks,
    seen: list[Look],
    length_in: float | None,
) -> Answer | None:
    met = finds(looks, entry.seen_from)
    for what, option in entry.found.items():
        places = [(look, item) for look, item in met if item.what == what]
        if places:
            spots = ", ".join(format_length(item.at_in) for _, item in places)
            # the surest look that found it
            sure = min((look.sure for look, _ in places), key=SUREST_FIRST.index)
            return Answer(option, None, option, sure, note=say("found at {spots}", spots=spots))
    reach = rules.reach(entry.reach)
    # every look that can see it counts, so that an attic's half and holes make a whole
    shown = [look for look in looks.looks if look.place in reach.places and look.saw is not None]
    own = [look for look in seen if look.saw is not None]
    if not (own and entry.clear) or any(look.saw not in entry.clear for look in shown):
        return None
    stretch = stretches(looks, reach.places, length_in)
    worst = max((look.saw for look in shown if look.saw), key=_CLEAR_ORDER.index)
    option = entry.clear[worst]
    if not covers(stretch, length_in, reach_of(reach)):
        # "nothing on the part seen" is not said of a part where something touches
        clear_so_far = option == entry.clear.get("nothing_rests")
        option = entry.part if clear_so_far and entry.part is not None else ""
    note = seen_words(stretch, length_in)
    # no surer than the least sure look
    return (
        Answer(option, None, option, least_sure(look.sure for look in shown), note=note)
        if option
        else None
    )


def _marking(rules: SeenAlongFile, looks: WallLooks) -> Answer:
    """Whether the place was marked: distances measured below and above agree, enough of them."""
    marking = rules.marking
    apart = parse_length(rules.marks_agree)
    walls = {mark.from_wall.strip().casefold() for mark in looks.marked}
    agree = all(abs(mark.below_in - mark.above_in) <= apart for mark in looks.marked)
    option = marking.agrees if agree and len(walls) >= marking.least else marking.differs
    distances = "; ".join(
        say(
            "{from_wall}: {below_in} below, {above_in} above",
            from_wall=mark.from_wall,
            below_in=format_length(mark.below_in),
            above_in=format_length(mark.above_in),
        )
        for mark in looks.marked
    )
    return Answer(option, None, option, note=distances)
