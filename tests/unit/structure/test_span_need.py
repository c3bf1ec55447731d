"""Whether joists could reach without a wall."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from walltriage.errors import InputError
from walltriage.structure.joist_capacity import era_of
from walltriage.structure.span_need import SpanState, span_need
from walltriage.structure.tables import Tables, load_tables

TABLES = load_tables(Path(__file__).parents[3] / "rules")
ORDER = [SpanState.EASILY, SpanState.MARGINAL, SpanState.COULD_NOT]
USES = st.sampled_from(["floor", "ceiling"])
ERAS = st.sampled_from(
    ["before_1920", "from_1920", "from_1946", "from_1970", "from_2000", "unknown"]
)


def rank(state: SpanState) -> int:
    return ORDER.index(state)


def test_sentence(tables: Tables) -> None:
    need = span_need(tables, span_without_in=280, size="2x6", spacing_in=16, era="from_1946")
    assert need.state is SpanState.COULD_NOT
    assert need.sentence.startswith(
        "if this wall went, the joists would have to span 23 ft 4 in; "
        "2x6 at 16 in manage 8 ft 11 in to 11 ft 8 in"
    )


@pytest.mark.parametrize("use", ["floor", "ceiling"])
def test_unknown_joists(tables: Tables, use: str) -> None:
    assert span_need(tables, span_without_in=56, use=use).state is SpanState.EASILY
    assert span_need(tables, span_without_in=182, use=use).state is not SpanState.EASILY
    assert span_need(tables, span_without_in=372, use=use).state is SpanState.COULD_NOT


def test_old_houses_are_given_more(tables: Tables) -> None:
    """The same span: refused to joists of 2010, left open for those of 1925."""
    new = span_need(tables, span_without_in=170, size="2x6", spacing_in=16, era="from_2000")
    old = span_need(tables, span_without_in=170, size="2x6", spacing_in=16, era="from_1920")
    assert new.state is SpanState.COULD_NOT
    assert old.state is SpanState.MARGINAL


def test_overspanned_even_with_the_wall_is_a_doubt(tables: Tables) -> None:
    need = span_need(
        tables, span_without_in=300, span_with_in=220, size="2x4", use="floor", era="from_1970"
    )
    assert need.doubts
    assert not span_need(tables, span_without_in=300, span_with_in=80, size="2x4").doubts


@given(
    first=st.floats(20, 500), more=st.floats(0, 90), use=USES, era=ERAS,
    size=st.sampled_from([None, "2x4", "2x6", "2x8", "2x10", "2x12"]),
)  # fmt: skip
def test_longer_is_never_easier(first: float, more: float, use, era, size) -> None:
    tables = TABLES
    short = span_need(tables, span_without_in=first, use=use, era=era, size=size)
    long = span_need(tables, span_without_in=first + more, use=use, era=era, size=size)
    wide = span_need(tables, span_without_in=(first, first + more), use=use, era=era, size=size)
    assert rank(short.state) <= rank(long.state)
    assert rank(short.state) <= rank(wide.state) <= rank(long.state) or wide.state is ORDER[1]


@given(span=st.floats(20, 500), use=USES, era=ERAS, step=st.integers(0, 3))
def test_deeper_is_never_harder(span: float, use, era, step: int) -> None:
    sizes = ["2x4", "2x6", "2x8", "2x10", "2x12"]
    tables = TABLES
    shallow = span_need(tables, span_without_in=span, use=use, era=era, size=sizes[step])
    deep = span_need(tables, span_without_in=span, use=use, era=era, size=sizes[step + 1])
    assert rank(deep.state) <= rank(shallow.state)


@pytest.mark.parametrize(
    "change",
    [
        {"span_without_in": 0},
        {"span_without_in": -10},
        {"span_without_in": 90 * 12},
        {"span_without_in": (200, 100)},
        {"span_with_in": 300},
        {"size": "2x7"},
        {"use": "attic"},
        {"era": "victorian"},
        {"spacing_in": 90},
        {"species": "balsa"},
    ],
)
def test_bad_input_gives_no_answer(tables: Tables, change: dict) -> None:
    with pytest.raises(InputError):
        span_need(tables, **{"span_without_in": 200, **change})


@pytest.mark.parametrize(
    ("year", "era"),
    [(1880, "before_1920"), (1919, "before_1920"), (1920, "from_1920"), (1950, "from_1946"),
     (1999, "from_1970"), (2024, "from_2000"), (None, "unknown")],
)  # fmt: skip
def test_era_of_a_year(tables: Tables, year: int | None, era: str) -> None:
    assert era_of(tables, year) == era


@pytest.mark.parametrize("year", [15, 19500, True, "1950"])
def test_a_year_that_is_none(tables: Tables, year) -> None:
    with pytest.raises(InputError):
        era_of(tables, year)


def test_a_grade_that_some_species_lack(tables: Tables) -> None:
    need = span_need(tables, span_without_in=90, size="2x4", use="ceiling", grade="Construction")
    assert "Construction" in need.lowest
    with pytest.raises(InputError, match="grade"):
        span_need(tables, span_without_in=90, size="2x4", grade="No.17")


def test_a_size_named_rough_is_taken_as_rough(tables: Tables) -> None:
    need = span_need(tables, span_without_in=150, size="rough 2x8", era="before_1920")
    assert "rough 2x8" in need.lowest
    assert "rough 2x8" in need.highest
    plain = span_need(tables, span_without_in=150, size="2x8", era="before_1920")
    assert plain.capacity_in.low < need.capacity_in.low
    assert plain.capacity_in.high == need.capacity_in.high


def test_rafters_answer_for_the_snow_of_their_place(tables):
    """Unknown snow counts as the most that the code's tables list; no snow as the roof's 20 psf."""
    joist = {"use": "rafter", "size": "2x8", "spacing_in": 16.0, "era": "from_1970"}

    def easily_under_in(snow_psf: float | None) -> float:
        return span_need(tables, span_without_in=150, snow_psf=snow_psf, **joist).easily_under_in

    assert easily_under_in(None) == easily_under_in(70)
    assert easily_under_in(70) < easily_under_in(30) < easily_under_in(0) == easily_under_in(20)
    assert easily_under_in(120) < easily_under_in(70)


def test_snow_does_not_lie_on_floors(tables):
    for use in ("floor", "ceiling"):
        plain = span_need(tables, span_without_in=150, use=use, size="2x8")
        assert span_need(tables, span_without_in=150, use=use, size="2x8", snow_psf=70) == plain
