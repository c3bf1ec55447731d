"""A house measured in metric is told in metric: beside each number, in its drawings."""

from __future__ import annotations

import io
import re
from dataclasses import fields, is_dataclass, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.console import Console

from tests.conftest import HERE
from walltriage.case.measure import is_metric
from walltriage.case.model import Answer, Case
from walltriage.case.plan import Length
from walltriage.case.read import read_case
from walltriage.report.blocks import Data
from walltriage.report.files import make_request
from walltriage.report.house_terminal import print_house
from walltriage.report.metric import in_metric, where_missing, with_metric
from walltriage.report.pages import build
from walltriage.report.terminal import print_finding

HOUSES = sorted((HERE.parent / "transcripts_demo").glob("*.yaml"))
# exact by definition of the international yard and pound (1959) and of standard gravity (1901)
FT_M, LB_N = 0.3048, 4.4482216152605
TO_SI = {
    "ft": FT_M, "in": FT_M / 12, "lb": LB_N, "lb/ft": LB_N / FT_M, "psf": LB_N / FT_M**2,
    "psi": LB_N / (FT_M / 12) ** 2, "sq ft": FT_M**2,
}  # fmt: skip
SI = {
    "m": 1.0, "mm": 0.001, "N": 1.0, "kN": 1e3, "kN/m": 1e3, "kPa": 1e3, "MPa": 1e6, "sq m": 1.0,
}  # fmt: skip
IMPERIAL = re.compile(
    r"(?<![\w./,])\d[\d,./]*(?:[ -]\d+/\d+)?[ -]?"
    r"(?:sq ft|square feet|ft|feet|foot|inch(?:es)?|in|lbs?|pounds?|psf|plf|psi|kips?)\b"
    r"(?! (?:(?:the|a|an|this|that|each|every|any|all|one|it)\b|\d))"
)
METRIC_BEHIND = re.compile(
    r"(?: [\d/ ]+ in\b)?(?:/ft|-ft|-in|/sq ft| a (?:square )?foot)?\.? "
    r"\([\d,.]+(?:,? ?(?:to|or|by|and|x)? ?[\d,.]+)* "
    r"(?:mm|m|N|kN|kN/m|kPa|MPa|kN m|sq m|sq cm|cm3|cm4)\)"
)


def in_meters(part):
    """The same case with every length written in metres, as a person with such a tape would."""
    if isinstance(part, Length):
        return Length(part.inches, f"{part.inches * 0.0254:.3f} m")
    if isinstance(part, Answer):
        if part.number is None or not re.search(r"[a-z'\"]", part.given):
            return part
        return replace(part, given=f"{part.number * 0.0254:.3f} m")
    if isinstance(part, tuple):
        return tuple(in_meters(item) for item in part)
    if isinstance(part, dict):
        return {name: in_meters(item) for name, item in part.items()}
    if is_dataclass(part):
        return replace(part, **{f.name: in_meters(getattr(part, f.name)) for f in fields(part)})
    return part


def texts(part):
    """Every text of a report."""
    if isinstance(part, str):
        yield part
    elif isinstance(part, tuple):
        for item in part:
            yield from texts(item)
    elif is_dataclass(part) and not isinstance(part, Data):
        for item in fields(part):
            yield from texts(getattr(part, item.name))


def without_metric(text: str) -> list[str]:
    """Each number in feet, inches or pounds that has no metric behind it."""
    return [
        text[max(found.start() - 20, 0) : found.end() + 30]
        for found in IMPERIAL.finditer(text)
        if not METRIC_BEHIND.match(text, found.end())
        and not re.fullmatch(r"(?:1[789]|20)\d\d in", found[0])
        and not re.match(r" (?:to|or|and|by) [\d., /-]+[ -]?(?:ft|feet|in)", text[found.end() :])
    ]


def metric_case(full, path) -> Case:
    case = in_meters(read_case(path, full.base.questions))
    return case if is_metric(case) else replace(case, plan=None)


@pytest.mark.parametrize("path", HOUSES, ids=lambda path: path.stem)
def test_every_number_of_every_page(full, path):
    """Buyer, trade and firm, all there is; on paper and on the screen."""
    case = metric_case(full, path)
    if not is_metric(case):  # nothing was measured there
        assert not any(answer.number for wall in case.walls for answer in wall.answers.values())
        return
    for role in ("buyer", "trade", "firm"):
        request = make_request(full, case, "2026-01-02", audience=role, depth=3)
        page = build(request)
        left = [line for text in texts(page) for line in without_metric(text)]
        assert left == [], role
    screen = Console(file=io.StringIO(), width=4000)
    print_finding(screen, request)
    print_house(screen, request.finding)
    assert without_metric(screen.file.getvalue()) == []


def test_a_house_in_feet_is_told_in_feet(full):
    for path in HOUSES:
        case = read_case(path, full.base.questions)
        assert not is_metric(case), path.stem
    page = build(make_request(full, case, "2026-01-02", audience="firm"))
    assert not any(re.search(r"\d (?:mm|kN|kPa)\b", text) for text in texts(page))


@given(
    st.integers(1, 999_999), st.sampled_from(sorted(TO_SI)), st.sampled_from(["", ",", ".", " x"])
)
def test_the_metric_is_right(thousandths, unit, after):
    """Worked out anew from the definitions of foot and pound, to the last digit printed."""
    number = thousandths / 100
    text = f"about {number:,.2f} {unit}{after}"
    found = re.search(r"\(([\d,.]+) ([^)]*)\)", with_metric(text))
    told, digits = found[1].replace(",", ""), len(found[1].partition(".")[2])
    size = SI[found[2]]
    assert abs(float(told) * size - number * TO_SI[unit]) <= 0.5001 * size / 10**digits
    assert with_metric(with_metric(text)) == with_metric(text)
    assert in_metric(text) == text.replace(f"{number:,.2f} {unit}", f"{found[1]} {found[2]}")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("12 ft 6 in wide", "12 ft 6 in (3.81 m) wide"),
        ("12, 16 or 24 in apart", "12, 16 or 24 in (305, 406 or 610 mm) apart"),
        ("3 1/2 by 9 1/4 inches", "3 1/2 by 9 1/4 inches (89 by 235 mm)"),
        ("up to 1,234 lb a foot", "up to 1,234 lb a foot (18.01 kN/m)"),
        ("It is 12 ft. Then 3 in. high", "It is 12 ft (3.66 m). Then 3 in. (76 mm) high"),
        ("3 in 100 houses, 2 in the attic, 1962 in Ohio", None),
        ("a 2x8 in a wall, R602.3 in a table, 1 inside", None),
        ("12 ft (3.66 m)", None),
    ],
)
def test_what_is_a_quantity(text, told):
    assert with_metric(text) == (told or text)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Look 10 feet past it.", "Look 10 feet (3.05 m) past it."),
        ("None lands within 2 feet of the line", "None lands within 2 feet (610 mm) of the line"),
        ("such as 12 ft 6 in or 3.8 m (0.30 m to 30.48 m).",) * 2,
        ("Shown in 3 in 100 houses.",) * 2,
    ],
)
def test_an_interview_in_metric(text, told):
    """What tells metric already keeps its words.  1 ft = 0.3048 m by definition."""
    assert where_missing(text) == told


def test_every_question_in_metric(full):
    """No length in a question, its choices or its way of looking stays in feet and inches alone."""
    length = re.compile(r"\d (?:feet|foot|ft|inch|inches)\b")
    told = 0
    for question in full.base.questions.values():
        entry = question.entry
        for text in (entry.ask, entry.look, entry.why, *(one.says for one in entry.options)):
            found = length.findall(text)
            told += bool(found)
            assert len(re.findall(r"\([^()]*\d m?m\)", where_missing(text))) >= len(found)
    assert told > 50
