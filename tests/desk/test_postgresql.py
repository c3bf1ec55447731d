"""The same desk on a real PostgreSQL server, started here for these tests alone."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
import threading
from pathlib import Path

import pytest

pytest.importorskip("psycopg")
pytest.importorskip("sqlalchemy")

from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext

from tests.desk.test_client import begun, entries
from tests.desk.test_data import free_port
from tests.desk.test_engineer import counted, form_with, sent_in
from tests.desk.test_photos import photo, photos
from walltriage.desk.settings import database_url
from walltriage.desk.store import Store
from walltriage.desk.tables import Base

PROGRAMS = sorted(Path("/usr/lib/postgresql").glob("*/bin"))
pytestmark = [
    pytest.mark.extras,
    pytest.mark.skipif(not PROGRAMS, reason="no PostgreSQL server here"),
]


def run(*arguments: str) -> None:
    """Run one of the server's programs; root has to become its user first."""
    become = ["runuser", "-u", "postgres", "--"] if os.getuid() == 0 else []
    program = [*become, str(PROGRAMS[-1] / arguments[0]), *arguments[1:]]
    subprocess.run(program, check=True, stdout=subprocess.DEVNULL, cwd="/")


@pytest.fixture(scope="module")
def server():
    """A server on a port of its own; gives the URL of an empty database."""
    folder, port = tempfile.mkdtemp(prefix="walltriage-pg-"), free_port()
    if os.getuid() == 0:
        shutil.chown(folder, "postgres")
    data = f"{folder}/data"
    try:
        run("initdb", "-D", data, "-A", "trust", "-U", "desk")
        options = f"-p {port} -k {folder} -c listen_addresses=127.0.0.1"
        run("pg_ctl", "-D", data, "-o", options, "-l", f"{folder}/log", "-w", "start")
        yield f"postgresql://desk@127.0.0.1:{port}/postgres"
        run("pg_ctl", "-D", data, "-m", "immediate", "-w", "stop")
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def test_the_desk_on_postgresql(server, desks):
    """Made, migrated, answered, photographed, marked, from two desks at once."""
    url = database_url(server, None)
    one, other = desks.make(url), desks.make(url)
    with one.store.engine.connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection), Base.metadata) == []
    key, _ = sent_in(one, "01-ranch-with-trusses.yaml")
    engineer = other.engineer("Ida Quill")
    engineer.get(f"/desk/house/{key}")
    number = form_with(engineer, "/mark", "wall_top")
    engineer.submit({"says": "corrects", "value": "prop_foot"}, number=number)
    assert "Cannot tell" in engineer.text
    assert counted(one, key).wall("wall1").answers["wall_top"].value == "prop_foot"

    browser = begun(one)
    browser.submit({"do": "photo"}, files={"photo_new": ("a.jpg", photo(), "image/jpeg")})
    assert len(photos(other)) == 1


def test_one_answer_through_two_desks_at_once(server, desks):
    """The same form sent to two workers in the same moment: one answer, nothing lost."""
    url = database_url(server, None)
    one, other = desks.make(url), desks.make(url)
    before = len(entries(one))
    browser = begun(one)
    path = browser.path
    fields = browser.fields() | {"answer": browser.options("answer")[0]}
    answers = []

    def send(desk) -> None:
        client = desk.browser(follow_redirects=False).client
        answers.append(client.post(path, data=fields, files={"none": ("", b"")}).status_code)

    threads = [threading.Thread(target=send, args=(desk,)) for desk in (one, other) * 3]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert answers == [303] * 6
    told = [(e.subject, e.question) for e in entries(one)[before:]]
    assert len(told) == len(set(told)) > 0


def test_a_server_started_anew_is_found_again(server, desks, monkeypatch):
    """Connections that rested are tried before they are used, so nobody sees that they are gone."""
    desk = desks.make(database_url(server, None))
    browser = begun(desk)
    store = Store(desk.store.url)  # another program ends what the desk has open
    with store.engine.connect() as connection:
        connection.exec_driver_sql(
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity "
            "WHERE datname = current_database() AND pid <> pg_backend_pid()"
        )
    store.close()
    monkeypatch.setattr("walltriage.desk.store.RESTED_S", 0.0)
    browser.submit({"answer": browser.options("answer")[0]})
    assert browser.status == 200
    assert "answered" in browser.text
