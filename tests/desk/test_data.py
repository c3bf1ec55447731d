"""Nothing stored is lost: killed servers, copies, older databases."""

from __future__ import annotations

import os
import random
import signal
import socket
import subprocess
import sys
import threading
import time

import pytest

pytest.importorskip("sqlalchemy")
pytest.importorskip("httpx")

import httpx
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from click.testing import CliRunner
from sqlalchemy import inspect, select

from tests.desk.load import several
from tests.desk.test_client import begun, case_in, entries
from walltriage.cli import main
from walltriage.desk.bench import Bench
from walltriage.desk.houses import NewHouse, delete_house, make_house
from walltriage.desk.links import make_link
from walltriage.desk.store import Store, _config
from walltriage.desk.tables import AnswerEntry, Base, HouseRecord
from walltriage.errors import InputError

pytestmark = pytest.mark.extras


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def served(folder, port: int, *more: str) -> subprocess.Popen:
    """A desk as people run it, answering."""
    arguments = ["-m", "walltriage", "serve", "--data", str(folder), "--port", str(port),
                 "--requests", "0", *more]  # fmt: skip
    env = os.environ | {"PYTHONPATH": os.pathsep.join(sys.path)}
    child = subprocess.Popen([sys.executable, *arguments], env=env, stderr=subprocess.DEVNULL)
    for _ in range(300):
        try:
            if httpx.get(f"http://127.0.0.1:{port}/health").status_code == 200:
                return child
        except httpx.TransportError:
            time.sleep(0.1)
    raise AssertionError("the desk does not answer")


def answering(port: int, token: str, acknowledged: list[tuple[str, str]], stop) -> None:
    """A client who answers until the server is gone; what was acknowledged is written down."""
    client = httpx.Client(base_url=f"http://127.0.0.1:{port}", follow_redirects=True)
    with client:
        try:
            client.post(f"/c/{token}/begin", data={"reach": "2"})
            while not stop.is_set():
                page = client.get(f"/c/{token}")
                step = page.url.path.split("/look/")
                if len(step) < 2:
                    return
                files = {"none": ("", b"")}
                data = {"answer": "unknown"} | several(page.text)
                told = client.post(page.url.path, data=data, files=files, follow_redirects=False)
                if told.status_code == 303:
                    acknowledged.append((token, step[1]))
        except httpx.TransportError:
            return


def test_a_killed_server_loses_no_answer(tmp_path):
    """kill -9 under load, three times: every answer acknowledged is there afterwards."""
    store = Store(f"sqlite:///{tmp_path / 'desk.sqlite3'}")
    store.bring_up_to_date()
    tokens = {}
    with store.write() as db:
        for n in range(8):
            house = make_house(db, NewHouse(f"house {n}", ("wall",)), "Ida")
            tokens[make_link(db, house, 1, "Ida")] = house.id
    acknowledged: list[tuple[str, str]] = []
    rng = random.Random(7)
    for _ in range(3):
        port, stop = free_port(), threading.Event()
        child = served(tmp_path, port)
        threads = [
            threading.Thread(target=answering, args=(port, token, acknowledged, stop))
            for token in tokens
        ]
        for thread in threads:
            thread.start()
        enough, until = len(acknowledged) + 8, time.monotonic() + 20
        while len(acknowledged) < enough and time.monotonic() < until:
            time.sleep(rng.random() / 50)
        child.send_signal(signal.SIGKILL)
        child.wait()
        stop.set()
        for thread in threads:
            thread.join()
    with store.read() as db:
        kept = {(e.house_id, f"{e.subject}/{e.question}") for e in db.scalars(select(AnswerEntry))}
    store.close()
    assert len(acknowledged) >= 24
    lost = [step for token, step in acknowledged if (tokens[token], step) not in kept]
    assert lost == []


def run(*arguments: str):
    return CliRunner().invoke(main, [*arguments])


def test_a_copy_of_a_running_desk_is_put_back(desk, tmp_path):
    """Taken while an answer is being written, checked, put back elsewhere with all in it."""
    browser = begun(desk)
    browser.submit({"answer": browser.options("answer")[0]})
    copy, place = tmp_path / "copy.sqlite3", desk.parts.settings.database
    with desk.store.write():
        done = run("desk", "backup", str(copy), "--database", place)
    assert done.exit_code == 0, done.output
    done = run("desk", "restore", str(copy), "--data", str(tmp_path / "new"))
    assert done.exit_code == 0, done.output
    again = Store(f"sqlite:///{tmp_path / 'new' / 'desk.sqlite3'}")
    with again.read() as db:
        assert [e.value for e in db.scalars(select(AnswerEntry))] == [
            e.value for e in entries(desk)
        ]
    again.close()
    assert not [name for name in os.listdir(tmp_path) if name.startswith(".desk-")]


def test_copies_never_go_over_anything(desk, tmp_path):
    """A file that is there, a database that is there, a file that is no copy."""
    place = desk.parts.settings.database
    (tmp_path / "there").write_text("mine")
    done = run("desk", "backup", str(tmp_path / "there"), "--database", place)
    assert (done.exit_code, (tmp_path / "there").read_text()) == (2, "mine")
    done = run("desk", "restore", str(tmp_path / "there"), "--database", place)
    assert done.exit_code == 2
    done = run("desk", "restore", str(tmp_path / "there"), "--data", str(tmp_path / "new"))
    assert done.exit_code == 2
    assert "cannot be copied" in done.stderr
    assert not (tmp_path / "new" / "desk.sqlite3").exists()


def test_the_first_form_becomes_todays(tmp_path):
    """A database of the first edition is brought to today's form, with its houses in it."""
    store, config = Store(f"sqlite:///{tmp_path / 'old.sqlite3'}"), _config()
    with store.engine.execution_options(writes=True).begin() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, "0001")
    assert "outcomes" not in inspect(store.engine).get_table_names()
    with store.write() as db:
        make_house(db, NewHouse("an old house"), "Ida")
    store.bring_up_to_date()
    with store.engine.connect() as connection:
        context = MigrationContext.configure(connection)
        assert compare_metadata(context, Base.metadata) == []
        assert connection.exec_driver_sql("SELECT name FROM houses").scalar() == "an old house"
    store.close()


def test_a_database_of_a_newer_edition_is_left_alone(desk):
    """Told, and nothing is touched."""
    with desk.store.engine.execution_options(writes=True).begin() as connection:
        connection.exec_driver_sql("UPDATE alembic_version SET version_num = '9999'")
    with pytest.raises(InputError, match="newer edition"):
        desk.store.bring_up_to_date()


def test_sqlite_is_set_to_lose_nothing(desk):
    """Write-ahead log, full synchronization, keys that hold."""
    with desk.store.read() as db:
        connection = db.connection()
        for pragma, value in (("journal_mode", "wal"), ("synchronous", 2), ("foreign_keys", 1)):
            assert connection.exec_driver_sql(f"PRAGMA {pragma}").scalar() == value


def test_a_new_house_never_sees_a_deleted_ones_answers(desk, desks, full):
    """Two workers on one database; the new house has the number and the revision of the old."""
    other = desks.make(desk.parts.settings.database, bench=Bench(full))
    _, token = desk.house(walls=("the old wall",))
    with desk.store.read() as db:
        old = db.scalars(select(HouseRecord)).one()
    for worker in (other, desk):
        browser = worker.browser()
        browser.get(f"/c/{token}")
    browser.submit({"reach": "1"})
    browser.submit({"answer": browser.options("answer")[0]})
    other.browser().get(f"/c/{token}")  # now both workers hold the interview
    with desk.store.write() as db:
        delete_house(db, db.get(HouseRecord, old.id), "Ida", "asked for")
    key, token = desk.house(walls=("the new wall",))
    with desk.store.write() as db:
        new = db.scalars(select(HouseRecord)).one()
        assert new.id == old.id
        new.revision, new.begun = 2, True
    browser = other.browser()
    browser.get(f"/c/{token}")
    browser.submit({"answer": browser.options("answer")[0]})
    case = case_in(desk, key)
    assert [wall.name for wall in case.walls] == ["the new wall"]
    assert set(case.house) == {entry.question for entry in entries(desk)}
