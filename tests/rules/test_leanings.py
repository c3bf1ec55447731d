"""Every clue leans the way that a framer has read and kept, every base rate is as it is worded."""

import pytest

from tests.rules.leanings import kept_leanings, leanings, rates_worded_otherwise
from walltriage.entries import changed


@pytest.fixture(scope="module")
def base(full):
    return full.base


def with_clue(base, path, index, **changes):
    """The rules with one clue of a path changed."""
    entry = base.paths[path].entry
    clues = list(entry.clues)
    clues[index] = changed(clues[index], **changes)
    leaning = base.paths[path].__class__(
        changed(entry, clues=clues), base.paths[path].conditions, {}
    )
    return type("Changed", (), {"paths": {**base.paths, path: leaning}})


def test_every_clue_leans_as_kept(base):
    kept, now = kept_leanings(), leanings(base)
    lines = [
        f"{path}, {condition}, {clue}: {found}, kept: {line}"
        for path, conditions in kept.items()
        for condition, clues in conditions.items()
        for clue, line in clues.items()
        if (found := now.get(path, {}).get(condition, {}).get(clue)) != line
    ]
    assert not lines, "\n".join(lines)
    assert now == kept


def test_no_clue_can_be_turned_round_unseen(base):
    now = leanings(base)
    for path in base.paths:
        for index, clue in enumerate(base.paths[path].entry.clues):
            rows = list(clue.shows.values())
            first, last = (list(rows[0])[at] for at in (0, -1))
            flipped = dict(zip(clue.shows, reversed(rows), strict=True))
            swapped = {
                s: row | {first: row[last], last: row[first]} for s, row in clue.shows.items()
            }
            for change in ({"shows": flipped}, {"shows": swapped}, {"direct": not clue.direct}):
                assert leanings(with_clue(base, path, index, **change)) != now, clue.id


def test_every_base_rate_is_as_it_is_worded(base):
    assert not rates_worded_otherwise(base)
    rates = list(base.base_rates())
    tenth = [
        (path, changed(rate, in_100=tuple(share / 10 for share in rate.in_100)))
        for path, rate in rates
    ]
    others = type("Changed", (), {"base_rates": staticmethod(lambda: tenth)})
    assert rates_worded_otherwise(others) == [rate.id for _, rate in rates]
