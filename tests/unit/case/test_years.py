"""Years in words: one parser for case files, tables of cases and interviews."""

from __future__ import annotations

import pytest

from walltriage.case.answers import AnswerError, make_answer
from walltriage.case.years import Years, parse_years
from walltriage.errors import QuantityError


@pytest.mark.parametrize(
    ("said", "first", "last"),
    [
        (1955, 1955, 1955),
        (1955.0, 1955, 1955),
        ("1955", 1955, 1955),
        ("about 1955", 1950, 1960),
        ("ca. 1955", 1950, 1960),
        ("~1955", 1950, 1960),
        ("1955ish", 1950, 1960),
        ("1955 or so", 1950, 1960),
        ("1950s", 1950, 1959),
        ("the 1950's", 1950, 1959),
        ("in the fifties", 1950, 1959),
        ("nineteen fifties", 1950, 1959),
        ("'50s", 1950, 1959),
        ("mid fifties", 1954, 1956),
        ("Mid-1950s", 1954, 1956),
        ("the early 60s", 1960, 1963),
        ("late seventies", 1977, 1979),
        ("nineteen twenties", 1920, 1929),
        ("2010s", 2010, 2019),
        ("2000s", 2000, 2009),
        ("early 1900s", 1900, 1933),
        ("late 1800s", 1867, 1899),
        ("1950 to 1955", 1950, 1955),
        ("1950-1955", 1950, 1955),
        ("between 1950 and 1955", 1950, 1955),
    ],
)
def test_years_as_people_say_them(said, first, last):
    """Each is a stretch of years, both ends in it."""
    assert parse_years(said) == Years(first, last)


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ("the twenties", "1920s or 2020s"),
        ("'20s", "1920s or 2020s"),
        ("1900s", "ten years or a hundred"),
        ("old", "is not a year"),
        ("1955 1956", "is not a year"),
        ("1960-1950", "is not a year"),
        ("19555", "is not a year"),
        ("", "is not a year"),
        (1955.5, "is not a year"),
        (float("nan"), "is not a year"),
        (True, "is not a year"),
        (None, "is not a year"),
        ([1955], "is not a year"),
        ("9" * 5000, "is not a year"),
    ],
)
def test_what_is_no_year(said, words):
    """Two meanings, or none: told with what would do."""
    with pytest.raises(QuantityError, match=words):
        parse_years(said)


@pytest.mark.parametrize(
    ("said", "year", "band", "sure"),
    [
        ("1955", 1955, "y1945_1964", "certain"),
        ("1950s", 1954, "y1945_1964", "fairly"),
        ("about 1955", 1955, "y1945_1964", "fairly"),
        ("1980s", 1980, "y1965_1984", "guess"),  # it may be from before 1985: the older counts
        ("about 1946", 1941, "y1920_1944", "guess"),
    ],
)
def test_words_are_less_sure_than_a_year(full, said, year, band, sure):
    """A stretch within one band is fairly sure; one over two bands is a guess, and the older."""
    answer = make_answer("year_built", full.base.questions["year_built"], said)
    assert (answer.number, answer.value, answer.sure) == (year, band, sure)
    assert answer.given == said


def test_a_guess_stays_a_guess(full):
    """Whoever calls it a guess is not made surer by the words."""
    question = full.base.questions["year_built"]
    assert make_answer("year_built", question, "1950s", sure="guess").sure == "guess"
    assert make_answer("year_built", question, 1955, sure="guess").sure == "guess"


@pytest.mark.parametrize("said", ["1590s", 2150, "about 1602", "1" * 400])
def test_years_out_of_range_are_told(full, said):
    """One message with the range, never a traceback."""
    with pytest.raises(AnswerError) as told:
        make_answer("year_built", full.base.questions["year_built"], said)
    assert "1600" in str(told.value)
