"""What is read without pydantic is what pydantic reads, and nothing that it refuses."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from walltriage.case.case_forms import AnswerForm, CaseForm, WallForm
from walltriage.entries import Entry, Field, checked
from walltriage.plainly import plainly

KEYS = {
    AnswerForm: ("value", "sure", "by", "seen_on", "note"),
    WallForm: ("id", "name", "answers", "looks"),
    CaseForm: ("schema", "name", "story", "for", "reach", "units", "client", "plan", "house",
               "walls", "asked", "to_name", "drawing", "outcome"),
}  # fmt: skip
VALUES = st.one_of(
    st.sampled_from(["certain", "guess", "checked", "buyer", "firm", "m", "ft", "word", "", None]),
    st.sampled_from([0, 4, 5, -1, True, 2.0, 7.5]),
    st.lists(st.sampled_from(["house/q", 3, None]), max_size=2),
    st.dictionaries(st.sampled_from(["client_name", "of", 5]), st.sampled_from(["Ada", 7, None])),
    st.just({"of": "start", "replies": ["a", None]}),
)


def data_for(kind: type[Entry]) -> st.SearchStrategy:
    keys = st.sampled_from((*KEYS[kind], "unknown", 5))
    return st.one_of(VALUES, st.dictionaries(keys, VALUES, max_size=8))


@pytest.mark.parametrize("kind", KEYS, ids=lambda kind: kind.__name__)
@given(draw=st.data())
def test_never_another_entry(kind, draw):
    """Whatever is made without pydantic equals what pydantic makes of it."""
    data = draw.draw(data_for(kind))
    found = plainly(kind, data)
    if found is not None:
        assert found == checked(kind, data)


@pytest.mark.parametrize(
    ("kind", "data"),
    [
        (AnswerForm, {"value": "yes", "sure": "guess", "by": "Ada", "note": "in the dark"}),
        (WallForm, {"id": "w1", "answers": {"joist_run": "along"}}),
        (CaseForm, {"schema": "walltriage/case/1", "name": "n", "for": "firm", "reach": 4,
                    "units": "m", "client": {"client_name": "Ada"}, "house": {}, "walls": [],
                    "asked": ["house/q"]}),
    ],
)  # fmt: skip
def test_usual_ones_are_plain(kind, data):
    """As files have them, they need no pydantic."""
    assert plainly(kind, data) == checked(kind, data)


class Other(Entry):
    """With limits and kinds that are not plain."""

    short: str = Field("", max_length=3)
    either: str | int = ""
    many: list[str] = Field(default_factory=list)


@pytest.mark.parametrize("data", [{"short": "long one"}, {"either": 1.5}, {"many": [3]}])
def test_other_kinds_are_left_to_pydantic(data):
    """A limit that is not understood is never taken to be kept."""
    assert plainly(Other, data) is None
    with pytest.raises(ValidationError):
        checked(Other, data)
    assert plainly(Other, {}) == checked(Other, {})


def test_defaults_are_nobodys_own():
    """What is changed in one entry is not changed in the next."""
    one, other = (plainly(WallForm, {"id": name}) for name in ("a", "b"))
    one.answers["q"] = "yes"
    assert other.answers == {}
