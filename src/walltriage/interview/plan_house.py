"""The outline of a house by a few questions: levels, sizes, wings, ridge."""

from __future__ import annotations

from walltriage.case.plan import ABOUT_IN, BELOW_ROOMS, DrawnLine, Length, Part, Plan, Side
from walltriage.interview.plan_form import PlanForm
from walltriage.language import say
from walltriage.report.plan_words import SIDE_WORDS

_LEVELS = {
    "ground": ("Main floor only", ("ground",)),
    "two": ("Main floor and one above", ("ground", "upstairs")),
    "basement": ("Basement and main floor", ("basement", "ground")),
    "basement_two": ("Basement, main floor and one above", ("basement", "ground", "upstairs")),
    "crawl": ("Crawl space and main floor", ("crawl_space", "ground")),
    "crawl_two": ("Crawl space, main floor and one above", ("crawl_space", "ground", "upstairs")),
    "three": ("Main floor and two above", ("ground", "upstairs", "top")),
    "basement_three": (
        "Basement, main floor and two above", ("basement", "ground", "upstairs", "top"),
    ),
    "split": ("Parts half a story apart (split-level)", ("lower", "ground", "upper")),
}  # fmt: skip
_HALF_DOWN_AND_UP = ("lower", "upper")
BY_EYE = Length(ABOUT_IN, "2 ft 6 in")
_HOW = {
    "tape": ("With a tape", Length(3.0, "3 in")),
    "paced": ("By pacing, or from the plan in a listing", Length(12.0, "1 ft")),
    "eye": ("By eye", BY_EYE),
}
_SIDES: tuple[tuple[Side, str], ...] = (
    ("back", "At the back"),
    ("front", "At the front"),
    ("left", "On the left, seen from the street"),
    ("right", "On the right, seen from the street"),
)


def outline(form: PlanForm) -> Plan:
    """The plan with nothing on it but its parts and the main ridge."""
    levels = _LEVELS[
        form.choose(
            "Which levels does the house have?",
            tuple((key, says) for key, (says, _) in _LEVELS.items()),
        )
    ][1]
    tolerance = _HOW[
        form.choose("How will you measure?", tuple((key, says) for key, (says, _) in _HOW.items()))
    ][1]
    split = _HALF_DOWN_AND_UP[0] in levels
    width = form.size(
        "How wide is the main part of the house, along the street?",
        "Stand in the street and face the house: left and right are as you see them from there. "
        "Take the main part only, without wings and porches."
        + " In a split-level, that is the part without short stairs in it."
        * split,
    )
    depth = form.size(
        "How deep is it, from front to back?",
        "Along one side, outside. Or add up the rooms, plus 6 inches for each wall.",
    )
    on = tuple(level for level in levels if level not in _HALF_DOWN_AND_UP)
    parts = [Part("main", width, depth, on)]
    while len(parts) < 4:
        side = form.choose(
            "Is there a wing or an addition?" if len(parts) == 1 else "Another one?",
            (("none", "No"), *_SIDES),
        )
        if side == "none":
            break
        parts.append(_part(form, next(s for s, _ in _SIDES if s == side), levels, len(parts)))
    return Plan(tolerance, levels, (), tuple(parts), _ridges(form, parts[0]))


def _ridges(form: PlanForm, main: Part) -> tuple[DrawnLine, ...]:
    """The main ridge, over the middle of the main part: roofs of two slopes are built that way."""
    picked = form.choose(
        "On the plan, which way does the main ridge run?",
        (
            ("front", "Along the street"),
            ("left", "From front to back"),
            ("front_hip", "Along the street, and the roof slopes down at both its ends too"),
            ("left_hip", "From front to back, and the roof slopes down at both its ends too"),
            ("none", "There is no ridge, there are several, or I don't know"),
        ),
        "The ridge is the top line of the roof. Look from across the street.",
    )
    if picked == "none":
        return ()
    way, _, hip = picked.partition("_")
    along: Side = "front" if way == "front" else "left"
    across, long = (main.depth, main.width) if along == "front" else (main.width, main.depth)
    if across is None or long is None:
        return (DrawnLine(along, None if across is None else _inches(across.inches / 2)),)
    middle = across.inches / 2
    # slopes of one steepness: the ridge ends as far from each end as it is from each side
    short = middle if hip else 0.0
    if long.inches <= 2 * short:
        return ()  # the slopes meet in a point
    return (DrawnLine(along, _inches(middle), _inches(short), _inches(long.inches - short)),)


def _inches(inches: float) -> Length:
    return Length(inches, f"{inches / 12:g} ft")


def _part(form: PlanForm, side: Side, levels: tuple[str, ...], number: int) -> Part:
    end = "left" if side in ("front", "back") else "front"
    start = form.length(
        say("How far from the {end} end of that side does it begin?", end=say(SIDE_WORDS[end])),
        say(
            "Measure along the main part's {side} from its {end} corner. "
            "Type 0 if it begins there.",
            side=say(SIDE_WORDS[side]),
            end=say(SIDE_WORDS[end]),
        ),
    )
    width = form.size("How wide is it, left to right?", "Outside, along the street.")
    depth = form.size("How deep is it, front to back?", "Outside, away from the street.")
    on = _levels_of_part(form, levels)
    later = form.choose(
        "Was it built with the house, or added later?",
        (("with", "With the house, or I don't know"), ("later", "Added later")),
    )
    year = None
    if later == "later":
        decade = form.choose(
            "About when?",
            (("1930", "Before 1940"), ("1955", "1940 to 1969"), ("1980", "1970 to 1989"),
             ("1998", "1990 to 2005"), ("2015", "Later")),
        )  # fmt: skip
        year = int(decade)
    return Part(f"part{number + 1}", width, depth, on, side, "main", start, year)


def _levels_of_part(form: PlanForm, levels: tuple[str, ...]) -> tuple[str, ...]:
    rooms = tuple(level for level in levels if level not in BELOW_ROOMS)
    if len(rooms) == 1:
        return rooms
    if _HALF_DOWN_AND_UP[0] in rooms:
        choices = {
            "both": ("One half a flight down and one half a flight up", _HALF_DOWN_AND_UP),
            "upper": ("Only one, half a flight up", ("upper",)),
            "lower": ("Only one, half a flight down", ("lower",)),
            "ground": ("One, level with the main part", ("ground",)),
        }
    else:
        choices = {"one": ("One", rooms[:1]), "all": ("As many as the house", rooms)}
    picked = form.choose(
        "How many levels does it have?", tuple((key, says) for key, (says, _) in choices.items())
    )
    return choices[picked][1]
