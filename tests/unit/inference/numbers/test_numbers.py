"""Measurements become span need, loads and members; nothing is invented where they lack."""

from __future__ import annotations

import pytest

from walltriage.case.read import parse_case
from walltriage.inference.numbers.computed import computed_answers
from walltriage.report.number_words import number_lines

HOUSE = "house: {year_built: 1956, house_width: 26 ft}"
HEAD = f"schema: walltriage/case/1\n{HOUSE}\nwalls:\n- id: w1\n  answers:\n"
LAPPED = {
    "wall_level": "top",
    "above_wall": "only_attic",
    "below_wall": "open_basement",
    "attic_joists_at_wall": "end_or_lap",
    "distance_one_side": "12 ft",
    "distance_other_side": "13 ft 6 in",
    "wall_length": "11 ft",
    "joist_size": "two_by_six",
    "joist_spacing": "in_16",
}


def finding(full, **changes):
    """The finding for one wall with these answers changed (None: left out)."""
    answers = {k: v for k, v in (LAPPED | changes).items() if v is not None}
    lines = "".join(f"    {name}: {value}\n" for name, value in answers.items())
    return full.finding(parse_case(HEAD + lines, "c.yaml", full.base.questions)).walls[0]


def test_all_numbers_of_a_lapped_wall(full):
    """Span, take-down, members, supports and the unseen way down all stand in the result."""
    numbers = finding(full).numbers
    assert numbers.note.startswith("Preliminary")
    assert numbers.span.need.span_without_in == (306.0, 306.0)
    assert (numbers.span.size, numbers.span.spacing_in) == ("2x6", 16)
    # 5 psf x 12.75 ft + 6 psf x 8 ft = 111.75 plf dead, 10 psf x 12.75 ft = 127.5 plf live:
    # usual dead loads of rules/loads.yaml, half of each neighboring span (statics)
    assert numbers.load.usual.dead == pytest.approx(111.75)
    assert numbers.load.usual.live == pytest.approx(127.5)
    assert numbers.sizing.members
    assert all(member.utilisation <= 1 for member in numbers.sizing.members)
    assert not numbers.sizing.way_down.complete
    # temporary lines 3 ft away: w x share x L / (L - 3), share by span or half (statics)
    high = numbers.load.governing_plf.high
    assert numbers.shoring.one_side_plf.high == pytest.approx(high * 0.5 * 12 / 9)
    assert numbers.shoring.other_side_plf.high == pytest.approx(high * 13.5 / 25.5 * 13.5 / 10.5)


@pytest.mark.parametrize(
    ("changes", "load"),
    [
        ({"wall_level": "ground", "above_wall": "rooms_all_along", "wall_over_wall": "within_1_ft",
          "attic_joists_at_wall": None}, "wall_above"),
        ({"above_wall": "flat_roof", "attic_joists_at_wall": None}, "snow"),
    ],
)  # fmt: skip
def test_no_beam_while_a_reported_load_is_left_out(full, changes, load):
    """A wall above that was reported, or a roof without its snow: said, and nothing is sized."""
    numbers = finding(full, **changes).numbers
    assert [item.load for item in numbers.not_sized if load in item.load]
    assert numbers.sizing is None
    lines = number_lines(numbers, "firm")
    assert lines[0].startswith("Not counted: ")
    assert any(line.startswith("Not sized: ") for line in lines)
    assert not any("Beams that pass" in line for line in lines)


def test_span_need_is_evidence(full):
    """Joists that could not reach speak for bearing, and the reason says what was worked out."""
    path = finding(full, attic_joists_at_wall=None, wall_length=None).path("framing_above")
    span = next(item for item in path.evidence if item.question == "span_without_wall")
    assert span.decibans > 0


@pytest.mark.parametrize(
    ("changes", "asked"),
    [
        ({"distance_other_side": None}, False),
        ({"distance_other_side": "unknown"}, False),
        ({"attic_joists_at_wall": None, "attic_joist_run": "along"}, False),
        ({"joist_material": "i_joists"}, False),
        ({"distance_one_side": "55 ft", "distance_other_side": "55 ft"}, False),
        ({}, True),
    ],
)
def test_span_need_only_where_it_is_a_question(full, changes, asked):
    """Nothing is worked out without both distances, for joists along, or for made-up joists."""
    answers = {k: v for k, v in (LAPPED | changes).items() if v is not None}
    lines = "".join(f"    {name}: {value}\n" for name, value in answers.items())
    case = parse_case(HEAD + lines, "c.yaml", full.base.questions)
    computed = computed_answers(full.base, case.answers_for("w1"))
    assert ("span_without_wall" in computed) == asked


def test_a_guessed_distance_makes_a_guessed_span(full):
    """The computed answer is no surer than the measurement it comes from."""
    guessed = "{value: 12 ft, sure: guess}"
    lines = "".join(f"    {k}: {v}\n" for k, v in (LAPPED | {"distance_one_side": guessed}).items())
    case = parse_case(HEAD + lines, "c.yaml", full.base.questions)
    assert computed_answers(full.base, case.answers_for("w1"))["span_without_wall"].sure == "guess"


@pytest.mark.parametrize(
    ("one", "other", "state"),
    # Common practice, no source: whatever is up there, joists cross a hall of five feet, and a
    # room of over fifteen feet is a question for the size of its joists.
    [
        ("2 ft", "2 ft 6 in", "easily_if_held"),  # nobody saw what holds them
        ("8 ft", "8 ft", "marginal"),
        ("14 ft", "16 ft", "could_not"),
    ],
)
def test_joists_of_unknown_size(full, one, other, state):
    """Under 5 ft there is no span question, over 15 ft there is one."""
    changes = {"distance_one_side": one, "distance_other_side": other, "joist_size": None}
    answers = {k: v for k, v in (LAPPED | changes).items() if v is not None}
    lines = "".join(f"    {name}: {value}\n" for name, value in answers.items())
    case = parse_case(HEAD + lines, "c.yaml", full.base.questions)
    answer = computed_answers(full.base, case.answers_for("w1"))["span_without_wall"]
    assert answer.value == state


def test_no_numbers_without_measurements(full):
    """A wall nobody measured has no numbers."""
    names = ("distance_one_side", "distance_other_side")
    assert finding(full, **dict.fromkeys(names)).numbers is None


@pytest.mark.parametrize(
    ("place", "told"), [("coast_wind", "winds lift"), ("quakes", "overturn"), ("neither", "")]
)
def test_uplift_is_named_where_it_matters(full, place, told):
    """On the firm's page alone, and not worked out."""
    house = HEAD.replace("26 ft}", f"26 ft, quake_or_wind: {place}}}")
    lines = "".join(f"    {name}: {value}\n" for name, value in LAPPED.items())
    numbers = (
        full.finding(parse_case(house + lines, "c.yaml", full.base.questions)).walls[0].numbers
    )
    said = [line for line in number_lines(numbers, "firm") if line.startswith("Uplift")]
    assert [told in line for line in said] == ([True] if told else [])
    for reader in ("buyer", "trade"):
        assert not any(line.startswith("Uplift") for line in number_lines(numbers, reader))
