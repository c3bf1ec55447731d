"""What was found, next to what was said: counts, bounds, pools."""

from __future__ import annotations

import json
import random
import re

import pytest

pytest.importorskip("sqlalchemy")

from click.testing import CliRunner
from sqlalchemy import select

from tests.desk.test_engineer import sent_in
from tests.desk.test_photos import photo
from walltriage.cli import main
from walltriage.desk import outcomes
from walltriage.desk.export import export_zip, import_zip
from walltriage.desk.outcome_words import data, lines
from walltriage.desk.outcomes import Record, pool_text, read_pool, take_in
from walltriage.desk.tables import Outcome, Photo
from walltriage.desk.tallies import (
    Share,
    brier,
    by_clue,
    by_verdict,
    calibration,
    clopper_pearson,
    grouped,
)

pytestmark = pytest.mark.extras


def made(count: int, seed: int = 1, **more) -> list[Record]:
    """Invented records, to count with."""
    rng = random.Random(seed)
    found = []
    for _ in range(count):
        bears = rng.random() < 0.5
        chance = min(max(rng.gauss(0.8 if bears else 0.1, 0.1), 0.0), 1.0)
        verdict = "likely_bearing" if chance > 0.5 else "likely_non_bearing"
        wall_top = rng.choice(["prop_foot", "board_ends"] if bears else ["clear_all_along"])
        facts = {
            "verdict": verdict, "chance": (chance, chance), "bears": bears, "seen": "opened",
            "why": "work", "reporter": "engineer", "month": "2026-11", "rules": "x", "paths": (),
            "answers": (("wall_top", wall_top),),
        }  # fmt: skip
        found.append(Record(**(facts | more)))
    return found


@pytest.mark.parametrize("of", [1, 2, 7, 30, 200])
def test_bounds_are_those_of_the_library(of):
    """Against scipy's exact interval (Clopper and Pearson 1934)."""
    stats = pytest.importorskip("scipy.stats")
    for count in {0, 1, of // 3, of // 2, of - 1, of}:
        exact = stats.binomtest(count, of).proportion_ci(0.95, "exact")
        assert clopper_pearson(count, of) == pytest.approx((exact.low, exact.high), abs=1e-9)


def test_no_outcome_says_nothing():
    """Of none, every share is possible."""
    assert Share(0, 0).bounds == (0.0, 1.0)
    assert Share(0, 0).share is None
    assert brier([]) is None


def test_verdicts_belief_and_score():
    """Counted by hand; the score against scikit-learn's."""
    metrics = pytest.importorskip("sklearn.metrics")
    found = made(200)
    rows = {row.verdict: row.bears for row in by_verdict(found)}
    called = [r for r in found if r.verdict == "likely_non_bearing"]
    assert rows["likely_non_bearing"] == Share(sum(r.bears for r in called), len(called))
    assert rows["cannot_tell"] == Share(0, 0)
    bins = calibration(found)
    assert sum(b.bears.of for b in bins) == 200
    assert all(b.low <= b.believed <= b.high for b in bins)
    truth = [r.bears for r in found]
    score = metrics.brier_score_loss(truth, [r.chance[0] for r in found])
    assert brier(found) == pytest.approx(score, abs=1e-12)


def test_groups_are_told_apart():
    """Doubt, and clients' own word, stand by themselves."""
    found = made(5) + made(3, why="doubt") + made(2, reporter="client")
    assert [len(some) for some in grouped(found).values()] == [5, 3, 2]


def test_a_clue_that_turned_out_otherwise_is_told(full):
    """Thirty walls or more with a clue the wrong way round: said so, and nothing is changed."""
    turned = [
        Record(**{
            "verdict": "cannot_tell", "chance": (0.5, 0.5), "bears": n % 2 == 0, "seen": "opened",
            "why": "work", "reporter": "engineer", "month": "", "rules": "x", "paths": (),
            "answers": (("wall_top", "clear_all_along" if n % 2 == 0 else "prop_foot"),),
        })
        for n in range(120)
    ]  # fmt: skip
    apart = {row.answer for row in by_clue(turned, full.base) if row.apart}
    assert "clear_all_along" in apart
    assert not any(row.apart for row in by_clue(turned[:20], full.base))
    assert not any(row.apart for row in by_clue(made(200), full.base))
    assert "to be weighed" in "\n".join(lines(turned, full.base))


def write_down(desk, key, **fill):
    """An engineer writes down what was found of the first wall."""
    boss = desk.engineer("Ida")
    boss.get(f"/desk/house/{key}")
    boss.follow("What was found")
    usual = {"bears": "yes", "seen": "opened", "why": "work", "reporter": "engineer",
             "found_on": "2026-11-20", "note": "M. Ode called"}  # fmt: skip
    boss.submit(usual | fill)
    return boss


def token_on(browser) -> str:
    """What forms of the page on show have to bring."""
    return re.search(r'name="form_token" value="([^"]+)"', browser.page.text)[1]


def test_written_down_and_counted(desk, full):
    """The verdict of that day is kept; a second time only the finding changes."""
    key, token = sent_in(desk, "01-ranch-with-trusses.yaml", client="M. Ode", address="1 Elm Court")
    boss = write_down(desk, key)
    assert boss.path == f"/desk/house/{key}"
    client = desk.browser()
    client.get(f"/c/{token}/look/wall1/wall_top")
    client.submit({"answer": "prop_foot"})
    boss.get(f"/desk/house/{key}/outcome/wall1")
    boss.submit({"bears": "no"})
    with desk.store.read() as db:
        (record,) = outcomes.records(db)
    assert (record.verdict, record.bears) == ("likely_non_bearing", False)
    assert dict(record.answers)["wall_top"] == "clear_all_along"
    boss.get("/desk/outcomes")
    assert "0 of 1 (0.0 to 97.5 %)" in boss.text


@pytest.mark.parametrize("fill", [{"bears": ""}, {"seen": "x"}, {"found_on": "soon"}])
def test_half_an_outcome_is_refused(desk, fill):
    """Told on the page, nothing written."""
    key, _ = sent_in(desk, "01-ranch-with-trusses.yaml")
    assert write_down(desk, key, **fill).status == 400
    with desk.store.read() as db:
        assert outcomes.records(db) == []


def test_a_pool_tells_nothing_of_anybody(desk, desks):
    """No names, addresses, words or days; another desk takes it in once."""
    key, _ = sent_in(desk, "01-ranch-with-trusses.yaml", client="M. Ode", address="1 Elm Court")
    boss = write_down(desk, key)
    text = boss.client.get("/desk/outcomes/pool").text
    for gone in ("Ode", "Elm", "Ida", key, "Ranch", "kitchen", "2026-11-20", "9 ft"):
        assert gone not in text
    assert '"2026-11"' in text
    found = read_pool(text)
    other = desks.make()
    for new in (1, 0):
        with other.store.write() as db:
            assert take_in(db, found, "Bo") == new
    with desk.store.write() as db:
        assert take_in(db, found, "Ida") == 0  # our own come back


def test_outcomes_and_pools_move_with_everything(desk, desks):
    """What was found, and what other firms found, is in the archive and comes in with it."""
    key, _ = sent_in(desk, "01-ranch-with-trusses.yaml")
    write_down(desk, key)
    with desk.store.write() as db:
        take_in(db, made(7), "Ida")
    with export_zip(desk.store, desk.parts.bench, "Ida") as archive:
        data = archive.read()
    other = desks.make()
    import_zip(other.store, other.parts.bench.base, data, "Bo")
    import_zip(other.store, other.parts.bench.base, data, "Bo")
    with desk.store.read() as ours, other.store.read() as theirs:
        assert outcomes.records(theirs) == outcomes.records(ours)
        (row,) = theirs.scalars(select(Outcome))
    assert (row.note, row.found_on, row.bears) == ("M. Ode called", "2026-11-20", True)


def test_a_pool_by_the_browser(desk):
    """Taken in once; what is no pool, or nothing, gets a plain page."""
    boss = desk.engineer("Ida")
    for says in ("3 outcomes", "3 outcomes"):
        boss.get("/desk/outcomes")
        boss.submit(files={"pool": ("outcomes.jsonl", pool_text(made(3)).encode(), "text/plain")})
        assert boss.path == "/desk/outcomes"
        assert says in boss.text
    for sent in (b"", b"\xff\xfe", b"[" * 100_000, b'{"schema": "walltriage/outcomes/1"}\n{}'):
        boss.get("/desk/outcomes")
        boss.submit(files={"pool": ("outcomes.jsonl", sent, "text/plain")})
        assert boss.status == 400
        assert "not taken in" in boss.text


@pytest.mark.parametrize(
    ("text", "says"),
    [("", "line 1"), ("{}", "line 1"), ('{"schema": "walltriage/outcomes/1"}\n{}', "line 2"),
     (pool_text(made(1, month="2026-11-20")), "more exact than a month"),
     (pool_text(made(1, month="<script")), "more exact than a month"),
     (pool_text([]) + "[" * 100_000, "line 2"),
     (pool_text(made(1, seen="dreamt")), "unknown value")],
)  # fmt: skip
def test_a_pool_that_is_none_is_refused(text, says):
    """With its line."""
    with pytest.raises(ValueError, match=says):
        read_pool(text)


def test_records_survive_a_pool():
    """Export and import, the same."""
    found = made(30)
    assert sorted(map(repr, read_pool(pool_text(found)))) == sorted(map(repr, found))


def test_the_command(tmp_path, full):
    """Pools in and out, tallies on the terminal and as JSON."""
    pool = tmp_path / "theirs.jsonl"
    pool.write_text(pool_text(made(40)))
    place = ["--data", str(tmp_path / "desk")]
    done = CliRunner().invoke(main, ["outcomes", "--pool-in", str(pool), "--json", *place])
    assert done.exit_code == 0, done.output
    told = json.loads(done.stdout)
    assert told["outcomes"] == 40
    wanted = data(made(40), full.base)["groups"]
    for title, group in told["groups"].items():
        assert group["verdicts"] == wanted[title]["verdicts"]
    bad = tmp_path / "bad.jsonl"
    bad.write_text("nothing")
    done = CliRunner().invoke(main, ["outcomes", "--pool-in", str(bad), *place])
    assert done.exit_code == 2
    assert "bad.jsonl: line 1" in done.stderr


@pytest.mark.parametrize(
    ("found_on", "says"),
    [
        ("20261128", "as YYYY-MM-DD"),
        ("2026-W48-6", "as YYYY-MM-DD"),
        ("2999-01-01", "still to come"),
    ],
)
def test_a_day_is_written_in_one_way(found_on, says, desk):
    """Other forms would leave more than the month in a pool, and a day to come is none."""
    key, _ = desk.house(walls=("kitchen",))
    boss = write_down(desk, key, found_on=found_on)
    assert boss.status == 400
    assert says in boss.text
    assert boss.get("/desk/outcomes").status_code == 200


def test_no_word_that_anybody_wrote_is_in_a_pool(desk):
    """One word in every field that takes words, a photo, a measured length: none comes out."""
    word = "zq7x"
    key, token = desk.house(
        name=word, walls=(word,), client=word, contact=word, address=word, visit_on="2026-11-19"
    )
    client = desk.browser()
    client.get(f"/c/{token}")
    client.submit({"reach": "1"})
    for _ in range(6):
        files = {"photo_new": (f"{word}.jpg", photo(), "image/jpeg")}
        one_of_several = client.fields().get("answer") != "typed" and not client.ticks("seen-")
        fill = {
            "note": word,
            "answer": client.options("answer")[0] if one_of_several else "unknown",
        }
        if "such as 12 ft" in client.text:
            fill = {"note": word, "typed": "13 ft 7 in"}
        client.submit(fill, files=files)
        assert client.status == 200, client.text
    boss = write_down(desk, key, note=word)
    boss.client.post(f"/desk/house/{key}/note", data={
        "text": word, "form_token": token_on(boss)
    })  # fmt: skip
    with desk.store.read() as db:
        (kept,) = db.scalars(select(Photo).limit(1))
    text = boss.client.get("/desk/outcomes/pool").text
    assert '"bears": true' in text
    for gone in (word, key, kept.key, token, "Ida", "ida", "13 ft 7", "2026-11-", "photo"):
        assert gone not in text, gone
    (record,) = read_pool(text)
    assert set(record.data()) == {"verdict", "chance", "bears", "seen", "why", "reporter", "month",
                                  "rules", "paths", "answers"}  # fmt: skip
    base = desk.parts.bench.base
    for question, value in record.answers:  # an option or a band of the rules, nothing of their own
        entry = base.questions[question].entry
        known = {option.id for option in entry.options} | {band.id for band in entry.bands}
        assert value in known, (question, value)
