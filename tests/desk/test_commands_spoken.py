"""What `serve`, `desk` and `outcomes` print, in the pseudo-language: all is in the catalog."""

from __future__ import annotations

import pytest

pytest.importorskip("sqlalchemy")

from click.testing import CliRunner

from tests.desk.test_outcomes import made
from tests.pseudo import Pseudo, left
from walltriage import language
from walltriage.cli import main
from walltriage.desk.outcomes import pool_text
from walltriage.desk.running import tell_way_in
from walltriage.desk.settings import Settings
from walltriage.desk.store import Store

pytestmark = pytest.mark.extras


@pytest.fixture(autouse=True)
def spoken(monkeypatch):
    monkeypatch.setattr("walltriage.cli.use", lambda _: None)
    undo = language.use_catalog(Pseudo(), "pseudo-language")
    yield
    undo()


def words_left(text: str) -> list[str]:
    """Lines that have letters outside the brackets; question and answer ids do not count."""
    lines = (line.split(":")[0] if " = " in line else line for line in left(text).splitlines())
    return [line for line in lines if " = " not in line and any(map(str.isalpha, line))]


@pytest.mark.parametrize("count", [0, 1, 400])
def test_outcomes(tmp_path, count):
    pool = tmp_path / "pool.jsonl"
    pool.write_text(pool_text(made(count)), encoding="utf-8")
    data, out = ["--data", str(tmp_path / "desk")], ["--pool-out", str(tmp_path / "ours.jsonl")]
    done = CliRunner().invoke(main, ["outcomes", *data, *out, "--pool-in", str(pool)])
    assert done.exit_code == 0, done.output
    assert words_left(done.output) == []


def test_where_the_desk_is(tmp_path, capsys):
    store = Store(f"sqlite:///{tmp_path / '1.sqlite3'}")
    store.bring_up_to_date()
    tell_way_in(store, Settings(database="", public_url="http://127.0.0.1:1"))
    store.close()
    told = capsys.readouterr().err.splitlines()
    assert len(told) == 4
    assert words_left("\n".join(told[:3])) == []  # the last is the link
