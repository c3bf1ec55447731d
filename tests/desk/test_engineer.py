"""The engineer's side: queue, marks, one more thing, packet, notes, people, trail."""

from __future__ import annotations

import io
import json
import struct
import zipfile
from dataclasses import replace
from types import SimpleNamespace

import pytest

pytest.importorskip("sqlalchemy")

from pypdf import PdfReader
from sqlalchemy import func, select

from tests.desk.browser import X, step_of
from tests.desk.test_client import case_in, entries, give_as, hold
from tests.desk.test_photos import huge_png, many_scans, photo
from tests.record_transcripts import HOUSES
from walltriage.case.model import NO_ANSWER, Answer, Case, Step
from walltriage.case.read import parse_case, read_case
from walltriage.desk import people
from walltriage.desk.checks import checks_of, counted_case
from walltriage.desk.export import MOST_BY_BROWSER, import_zip
from walltriage.desk.houses import house_by_key
from walltriage.desk.queue import LEANS, QueueRow, in_order
from walltriage.desk.tables import Base, Event, HouseRecord, StaffMember

pytestmark = pytest.mark.extras


def person_of(desk, of: str) -> Case:
    """A demo house's person, whose walls are called what a desk calls them."""
    person = read_case(HOUSES / of, desk.parts.bench.base.questions)
    walls = (replace(wall, id=f"wall{n}") for n, wall in enumerate(person.walls, 1))
    return replace(person, walls=tuple(walls))


def sent_in(desk, of="04-bungalow-with-roof-props.yaml", **facts):
    """A house that a client has answered and sent; its key and link."""
    person = person_of(desk, of)
    key, token = desk.house(
        name=facts.pop("name", person.name), role=person.role,
        walls=tuple(w.name or w.id for w in person.walls), **facts,
    )  # fmt: skip
    browser = desk.browser()
    browser.get(f"/c/{token}")
    browser.submit({"reach": str(person.reach)})
    hold(browser, person)
    browser.submit({"do": "send"})
    return key, token


def form_with(browser, ending: str, question: str = "") -> int:
    """The number of the form that goes to an address with this ending."""
    forms = [f for f in browser.tree.iter(f"{X}form") if f.get("method") == "post"]
    forms = [f for f in forms if not f.get("action", "").endswith("/sign-out")]
    for number, form in enumerate(forms):
        held = {i.get("value") for i in form.iter(f"{X}input") if i.get("name") == "question"}
        if form.get("action", "").endswith(ending) and (not question or question in held):
            return number
    raise AssertionError(f"no form to {ending}")


def counted(desk, key):
    """The case as the desk judges it."""
    with desk.store.read() as db:
        house = house_by_key(db, key)
        base = desk.parts.bench.base
        return counted_case(base, desk.parts.bench.case_of(house.case_text), checks_of(db, house))


def test_the_queue_has_the_urgent_first(desk):
    """What was sent in stands before what was not, a stronger referral before a weaker one."""
    desk.house(name="not begun")
    sent_in(desk, "01-ranch-with-trusses.yaml", name="trusses")
    sent_in(desk, "04-bungalow-with-roof-props.yaml", name="props")
    engineer = desk.engineer()
    names = ["".join(a.itertext()) for th in engineer.tree.iter(f"{X}th")
             for a in th.iter(f"{X}a")]  # fmt: skip
    assert names == ["props", "trusses", "not begun"]
    assert "Engineer needed" in engineer.text
    engineer.get("/desk?q=truss")
    assert "trusses" in engineer.text
    assert "props" not in engineer.text


def test_a_mark_counts_and_the_verdict_follows(desk, full):
    """A correction changes the verdict at once, by the checker's name; taken off, it is back."""
    key, _ = sent_in(desk, "01-ranch-with-trusses.yaml")
    before = full.finding(counted(desk, key)).walls[0].verdict
    assert before == "likely_non_bearing"
    engineer = desk.engineer("Ida Quill")
    engineer.get(f"/desk/house/{key}")
    number = form_with(engineer, "/mark", "wall_top")
    fill = {"says": "corrects", "value": "prop_foot", "note": "photo 2"}
    engineer.submit(fill, number=number)
    assert "Cannot tell" in engineer.text
    answer = counted(desk, key).wall("wall1").answers["wall_top"]
    assert (answer.value, answer.by) == ("prop_foot", "checked by Ida Quill")
    assert case_in(desk, key).wall("wall1").answers["wall_top"].value == "clear_all_along"
    engineer.submit(number=form_with(engineer, "/mark", "wall_top") + 1)
    assert full.finding(counted(desk, key)).walls[0].verdict == before


def test_agreeing_makes_a_guess_count_in_full(desk, full):
    """A client's guess, agreed with, has the sureness of a checked answer."""
    key, token = desk.house(walls=("a",))
    browser = desk.browser()
    browser.get(f"/c/{token}")
    browser.submit({"reach": "2"})
    subject, question = step_of(browser.path)
    real = next(o for o in browser.options("answer") if o not in NO_ANSWER)
    browser.submit({"answer": real, "sure": "guess"})
    engineer = desk.engineer()
    engineer.get(f"/desk/house/{key}")
    engineer.submit({"says": "agrees"}, number=form_with(engineer, "/mark", question))
    answer = counted(desk, key).house[question]
    assert subject == "house"
    assert answer.sure == "checked"
    assert case_in(desk, key).house[question].sure == "guess"


def test_a_mark_on_an_answer_that_changed_does_not_count(desk):
    """The client changes what was marked: the page says so, the client's new word counts."""
    key, token = sent_in(desk, "01-ranch-with-trusses.yaml")
    engineer = desk.engineer()
    engineer.get(f"/desk/house/{key}")
    number = form_with(engineer, "/mark", "wall_top")
    engineer.submit({"says": "corrects", "value": "prop_foot"}, number=number)
    browser = desk.browser()
    browser.get(f"/c/{token}/look/wall1/wall_top")
    person = person_of(desk, "01-ranch-with-trusses.yaml")
    answers = person.walls[0].answers | {"wall_top": Answer("seen_in_part")}
    person = replace(person, walls=(replace(person.walls[0], answers=answers),))
    give_as(browser, person, "wall1", "wall_top")
    assert counted(desk, key).wall("wall1").answers["wall_top"].value == "seen_in_part"
    engineer.get(f"/desk/house/{key}")
    assert "changed the answer since" in engineer.text


@pytest.mark.parametrize("fill", [{"says": "corrects", "value": ""},
                                  {"says": "corrects", "value": "nonsense"}])  # fmt: skip
def test_a_correction_that_fits_nothing_is_refused(desk, fill):
    """Told plainly; no mark is made."""
    key, _ = sent_in(desk, "01-ranch-with-trusses.yaml")
    engineer = desk.engineer()
    engineer.get(f"/desk/house/{key}")
    engineer.submit(fill, number=form_with(engineer, "/mark", "wall_top"))
    assert engineer.status == 400
    assert "The mark was not saved" in engineer.text
    with desk.store.read() as db:
        assert checks_of(db, house_by_key(db, key)) == []


def test_one_more_thing_of_the_rules(desk):
    """A question out of turn comes up at the client's link and lands in the case."""
    key, token = sent_in(desk, "01-ranch-with-trusses.yaml")
    assert "doors_stick" not in case_in(desk, key).wall("wall1").answers
    engineer = desk.engineer()
    engineer.get(f"/desk/house/{key}")
    fill = {"subject": "wall1", "question": "doors_stick", "words": "Please bring a light."}
    engineer.submit(fill, number=form_with(engineer, "/ask"))
    client = desk.browser()
    client.get(f"/c/{token}")
    assert "Please bring a light." in client.text
    client.submit({"answer": client.options("answer")[0]})
    assert client.path.endswith("/end")
    assert "doors_stick" in case_in(desk, key).wall("wall1").answers
    assert case_in(desk, key).asked[-1] == Step("wall1", "doors_stick")
    engineer.get(f"/desk/house/{key}")
    assert "Withdraw the question" not in engineer.text


def test_one_more_thing_in_words_with_a_photo(desk):
    """Free words, answered in words and by a photo that the engineer then sees."""
    key, token = sent_in(desk, "01-ranch-with-trusses.yaml")
    engineer = desk.engineer()
    engineer.get(f"/desk/house/{key}")
    fill = {"subject": "house", "words": "Who built the back porch?"}
    engineer.submit(fill, number=form_with(engineer, "/ask"))
    client = desk.browser()
    client.get(f"/c/{token}")
    assert client.title == "Who built the back porch?"
    client.submit({})
    assert client.status == 400
    files = {"photo_new": ("porch.jpg", photo(), "image/jpeg")}
    client.submit({"do": "photo"}, files=files)
    client.submit({"typed": "My uncle, in 1988"})
    assert client.path.endswith("/end")
    engineer.get(f"/desk/house/{key}")
    assert "My uncle, in 1988" in engineer.text
    assert list(engineer.tree.iter(f"{X}img"))


@pytest.mark.parametrize(
    ("fill", "says"),
    [
        ({"subject": "wall9", "words": "x"}, "one of its walls"),
        ({"subject": "house"}, "Pick a question or write"),
        ({"subject": "house", "question": "wall_top"}, "about a wall"),
        ({"subject": "wall1", "question": "span_need"}, "no such question"),
    ],
)
def test_what_could_not_be_answered_is_not_asked(desk, fill, says):
    """A wall question for the house, no words at all, an unknown question."""
    key, _ = desk.house(walls=("a",))
    engineer = desk.engineer()
    engineer.get(f"/desk/house/{key}")
    engineer.submit(fill, number=form_with(engineer, "/ask"))
    assert engineer.status == 400
    assert says in engineer.text


def test_the_packet_has_what_was_checked(desk):
    """PDF, HTML, JSON; the checker's name stands beside the answer."""
    key, _ = sent_in(desk, "01-ranch-with-trusses.yaml")
    engineer = desk.engineer("Ida Quill")
    engineer.get(f"/desk/house/{key}")
    engineer.submit({"says": "agrees"}, number=form_with(engineer, "/mark", "wall_top"))
    html = engineer.client.get(f"/desk/house/{key}/packet/html")
    assert "Intake packet" in html.text
    assert "checked by Ida Quill" in html.text
    assert "attachment" in html.headers["content-disposition"]
    pdf = engineer.client.get(f"/desk/house/{key}/packet/pdf").content
    text = "".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)
    assert "checked by Ida" in " ".join(text.split())
    finding = engineer.client.get(f"/desk/house/{key}/packet/json").json()
    assert finding["schema"] == "walltriage/finding/2"


def test_notes_facts_and_setting_aside(desk):
    """Written, changed, set aside and found again; the client sees none of the notes."""
    key, token = desk.house(name="9 Elm Court")
    office = desk.engineer("Ole", "office")
    office.get(f"/desk/house/{key}")
    office.submit({"text": "dog in the yard"}, number=form_with(office, "/note"))
    assert "dog in the yard" in office.text
    office.follow("Change facts")
    office.submit({"name": "9 Elm Court, back", "visit_on": "2026-12-01"})
    assert "9 Elm Court, back" in office.text
    assert case_in(desk, key).name == "9 Elm Court, back"
    client = desk.browser()
    client.get(f"/c/{token}")
    assert "dog" not in client.page.text
    office.submit(number=form_with(office, "/aside"))
    assert "9 Elm Court" not in office.text
    office.get("/desk?aside=1")
    assert "9 Elm Court, back" in office.text


def test_the_office_marks_nothing_and_deletes_nothing(desk):
    """Roles hold at the address, not only on the page."""
    key, _ = sent_in(desk, "01-ranch-with-trusses.yaml")
    office = desk.engineer("Ole", "office")
    office.get(f"/desk/house/{key}")
    assert "Mark" not in office.page.text.replace("Markup", "")
    token = office.fields(form_with(office, "/note"))["form_token"]
    for path in ("mark", "delete"):
        data = {"form_token": token, "subject": "wall1", "question": "wall_top", "says": "agrees",
                "name": "Ranch with a trussed roof"}  # fmt: skip
        answer = office.client.post(f"/desk/house/{key}/{path}", data=data)
        assert answer.status_code == 403
        assert "for engineers" in answer.text
    for path in ("people", "trail", "everything"):
        assert office.client.get(f"/desk/{path}").status_code == 403


def test_a_house_deleted_at_the_clients_wish(desk):
    """Everything of it goes, the trail stays, the link says what to do."""
    key, token = sent_in(desk, "01-ranch-with-trusses.yaml")
    client = desk.browser()
    client.get(f"/c/{token}/look/house/house_kind")
    client.submit({"do": "photo"}, files={"photo_new": ("a.jpg", photo(), "image/jpeg")})
    engineer = desk.engineer()
    engineer.get(f"/desk/house/{key}/delete")
    engineer.submit({"name": "another house", "why": "client asked"})
    assert engineer.status == 400
    engineer.submit({"name": "Ranch with a trussed roof", "why": "client asked"})
    assert engineer.path == "/desk"
    with desk.store.read() as db:
        for table in Base.metadata.sorted_tables:
            if table.name not in ("people", "sign_ins", "invitations", "events"):
                assert db.scalar(select(func.count()).select_from(table)) == 0, table.name
        said = db.scalars(select(Event).where(Event.house_key == key)).all()
    assert said[-1].what == "deleted with everything that was sent in"
    client.get(f"/c/{token}")
    assert client.status == 404
    assert "nothing under this link" in client.text


def test_everything_out_and_in_again(desk, desks, full):
    """Case files anybody can read, photos, marks and notes; another desk takes all of it in."""
    key, token = sent_in(desk, "01-ranch-with-trusses.yaml", client="M. Ode")
    client = desk.browser()
    client.get(f"/c/{token}/look/wall1/wall_top")
    client.submit({"do": "photo"}, files={"photo_new": ("a.jpg", photo(), "image/jpeg")})
    engineer = desk.engineer("Ida")
    engineer.get(f"/desk/house/{key}")
    fill = {"says": "corrects", "value": "prop_foot"}
    engineer.submit(fill, number=form_with(engineer, "/mark", "wall_top"))
    engineer.submit({"text": "a note"}, number=form_with(engineer, "/note"))
    engineer.get("/desk/everything")
    engineer.submit({"do": "export"})
    data = engineer.page.content
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        names = archive.namelist()
        checked = archive.read(f"{key}/checked.yaml").decode()
        case = parse_case(archive.read(f"{key}/case.yaml").decode(), "x", full.base.questions)
        register = json.loads(archive.read("register.json"))
    assert case == case_in(desk, key)
    assert "sure: checked" in checked
    found = parse_case(checked, "x", full.base.questions)
    assert found.wall("wall1").answers["wall_top"].value == "prop_foot"
    assert sum(name.endswith(".jpg") for name in names) == 1
    assert register["houses"][0]["client"] == "M. Ode"

    other = desks.make()
    boss = other.engineer("Bo")
    boss.get("/desk/everything")
    files = {"archive": ("all.zip", data, "application/zip")}
    for says in ("came in", "is here already"):
        boss.submit({"do": "import"}, number=1, files=files)
        assert says in boss.text
    assert counted(other, key) == counted(desk, key)
    assert len(entries(other)) == len(entries(desk))
    boss.get(f"/desk/house/{key}")
    assert "a note" in boss.text
    assert list(boss.tree.iter(f"{X}img"))


def archive_of(files: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return out.getvalue()


def register(**house) -> bytes:
    return json.dumps({"schema": "walltriage/register/1", "houses": [house]}).encode()


OUTCOME = {
    "wall": "wall1", "bears": True, "paths": "", "seen": "opened", "why": "work",
    "reporter": "engineer", "by": "Ida", "found_on": "2026-11-20", "note": "",
    "at": "2026-11-20T10:00:00Z", "record": '{"verdict": "sure"}',
}  # fmt: skip


def nothing_comes_in(desk, data, says):
    """An archive is refused with these words, and no house of it is kept."""
    boss = desk.engineer("Bo")
    boss.get("/desk/everything")
    boss.submit({"do": "import"}, number=1, files={"archive": ("a.zip", data, "application/zip")})
    assert says in boss.text
    with desk.store.read() as db:
        assert db.scalar(select(func.count()).select_from(HouseRecord)) == 0


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"no archive", "not an archive of a desk"),
        (archive_of({}), "no register.json"),
        (archive_of({"register.json": b"{"}), "cannot be read"),
        (archive_of({"register.json": b"[]"}), "not of the kind"),
        (archive_of({"register.json": register(key="../../etc")}), "left out"),
        (archive_of({"register.json": register(key="abcd1234")}), "left out"),
        (archive_of({"register.json": register(key="abcd1234"),
                     "abcd1234/case.yaml": b"schema: other"}), "left out"),
        (archive_of({"register.json": register(key="abcd1234", photos=[{"key": "../x"}]),
                     "abcd1234/case.yaml": b"schema: walltriage/case/1\nname: a"}), "left out"),
        (archive_of({"register.json": register(key="abcd1234", outcomes=[OUTCOME]),
                     "abcd1234/case.yaml": b"schema: walltriage/case/1\nname: a"}), "left out"),
        (archive_of({"register.json": register(key="abcd1234", notes=[
            {"text": "x", "by": "y" * 201, "at": "2026-11-20T10:00:00Z"}]),
                     "abcd1234/case.yaml": b"schema: walltriage/case/1\nname: a"}), "left out"),
        (archive_of({"register.json": b'{"schema": "walltriage/register/1", "houses": [], '
                                      b'"pooled": [{"verdict": "sure"}]}'}), "other firms"),
        (archive_of({"register.json": b"[" * 100_000}), "cannot be read"),
        (archive_of({"register.json": register(key="abcd1234", notes=[{"text": ["x"]}]),
                     "abcd1234/case.yaml": b"schema: walltriage/case/1\nname: a"}), "left out"),
    ],
)  # fmt: skip
def test_an_archive_from_elsewhere_is_not_trusted(desk, data, says):
    """Damaged, foreign or with paths in it: told, and nothing half done."""
    nothing_comes_in(desk, data, says)


def lying(data: bytes, name: bytes, size: int) -> bytes:
    """An archive that says, before the file and in its list, how much a file unpacks to."""
    changed = bytearray(data)
    for before, after_name in ((22, 30), (24, 46)):
        head = (data.index(name) if after_name == 30 else data.rindex(name)) - after_name
        assert data[head : head + 2] == b"PK"
        changed[head + before : head + before + 4] = struct.pack("<I", size)
    return bytes(changed)


CASE = b"schema: walltriage/case/1\nname: a\n"
BOMB = b"a: &a [x,x,x,x,x,x,x,x,x]\n" + b"".join(
    b"%c: &%c [%s]\n" % (98 + n, 98 + n, b",".join([b"*%c" % (97 + n)] * 9)) for n in range(9)
)
HOUSE = register(key="abcd1234")
WITH_PHOTO = register(key="abcd1234", photos=[{"key": "photo12345"}])


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (archive_of({"register.json": b" " * (MOST_BY_BROWSER + 1)}), "too large to import here"),
        (archive_of({"register.json": HOUSE, "abcd1234/case.yaml": b" " * (3 * 2**20)}), "large"),
        (archive_of({"register.json": HOUSE, "abcd1234/case.yaml": CASE + BOMB}), "left out"),
        (archive_of({"register.json": WITH_PHOTO, "abcd1234/case.yaml": CASE,
                     "abcd1234/photos/photo12345.jpg": bytes(21 * 2**20)}), "large"),
        (archive_of({"register.json": WITH_PHOTO, "abcd1234/case.yaml": CASE,
                     "abcd1234/photos/photo12345.jpg": huge_png()}), "left out"),
        (archive_of({"register.json": WITH_PHOTO, "abcd1234/case.yaml": CASE,
                     "abcd1234/photos/photo12345.jpg": many_scans()}), "left out"),
        (lying(archive_of({"register.json": HOUSE, "abcd1234/case.yaml": CASE}),
               b"register.json", 3 * 2**30), "too large to import at once"),
        (lying(archive_of({"register.json": HOUSE, "abcd1234/case.yaml": b" " * 2**21}),
               b"abcd1234/case.yaml", 9), "damaged"),
    ],
    ids=["register", "case", "anchors", "photo", "pixels", "scans", "told-large", "told-small"],
)  # fmt: skip
def test_an_archive_that_grows_is_stopped(desk, data, says):
    """Small as it comes, large as it unpacks, whatever it says of itself."""
    nothing_comes_in(desk, data, says)


def test_a_new_password_ends_every_session(desk):
    """Whoever is still signed in by the old one is out."""
    browser, boss = desk.engineer("Bo"), desk.engineer("Ida")
    with desk.store.write() as db:
        person = db.scalar(select(StaffMember).where(StaffMember.login == "bo"))
        token = people.invite(db, "engineer", "Ida", person)
    new = desk.browser()
    new.get(f"/join/{token}")
    words = "nine nails and a plumb line"
    new.submit({"password": words, "again": words})
    assert new.path == "/desk/sign-in"
    browser.get("/desk")
    assert browser.path == "/desk/sign-in"
    boss.get("/desk")
    assert boss.path == "/desk"


def test_import_without_a_browser_gives_the_same_lines(desk, full):
    """What the command uses."""
    assert import_zip(
        desk.store, full.base,
        archive_of({"register.json": register(key="abcd1234"),
                    "abcd1234/case.yaml": b"schema: walltriage/case/1\nname: a\nhouse: {}"}),
        "Bo",
    ) == ["a (abcd1234) came in."]  # fmt: skip


def test_people_come_and_go(desk):
    """Invited by a link that works once; closed, they are out at once."""
    boss = desk.engineer("Bo")
    boss.get("/desk/people")
    boss.submit({"role": "office", "do": "invite"}, number=1)
    link = next("".join(p.itertext()) for p in boss.tree.iter(f"{X}p") if p.get("class") == "link")
    new = desk.browser()
    new.get(link)
    words = "nine nails and a plumb line"
    new.submit({"name": "Ole", "login": "ole", "password": words, "again": words})
    assert new.path == "/desk/sign-in"
    new.submit({"login": "ole", "password": words})
    assert new.path == "/desk"
    assert desk.browser().get(link).status_code == 404
    boss.get("/desk/people")
    boss.submit({"do": "close"}, number=1)
    new.get("/desk")
    assert new.path == "/desk/sign-in"
    new.submit({"login": "ole", "password": words})
    assert new.path == "/desk/sign-in"


def test_whoever_goes_leaves_no_way_in(desk):
    """Invitations that they made, and a link for their own password, open nothing any more."""
    boss, going = desk.engineer("Bo"), desk.engineer("Gus")
    with desk.store.write() as db:
        person = db.scalar(select(StaffMember).where(StaffMember.login == "gus"))
        theirs = [people.invite(db, "engineer", "Gus"), people.invite(db, "engineer", "Bo", person)]
        others = people.invite(db, "office", "Bo")
    going.get("/desk/people")
    boss.get("/desk/people")
    boss.submit({"do": "close", "person": str(person.id)})
    stranger = desk.browser()
    assert [stranger.get(f"/join/{token}").status_code for token in theirs] == [404, 404]
    assert stranger.get(f"/join/{others}").status_code == 200


def test_the_last_engineer_stays(desk):
    """Nobody can lock the whole firm out."""
    boss = desk.engineer("Bo")
    boss.get("/desk/people")
    boss.submit({"do": "close"}, number=0)
    assert boss.status == 400
    assert "must be able to sign in" in boss.text


def row(name: str, level: str, leans: float, visit_on: str = "", sent: bool = True) -> QueueRow:
    """A house in the queue."""
    house = SimpleNamespace(
        name=name, visit_on=visit_on, sent_at="2026-11-20" if sent else "",
        made_at="2026-11-01", id=0,
    )  # fmt: skip
    return QueueRow(house, level, leans, (), 1)


def test_the_order_is_referral_then_leaning_then_visit():
    rows = [
        row("leans less", "advised", 0.1, "2026-11-21"),
        row("no date", "advised", 0.4),
        row("later", "advised", 0.4, "2026-12-03"),
        row("sooner", "advised", 0.4, "2026-12-01"),
        row("urgent, leans away", "urgent", 0.04),
        row("not sent", "urgent", 1.0, "2026-11-21", sent=False),
    ]
    assert [r.house.name for r in in_order(rows)] == [
        "urgent, leans away", "sooner", "later", "no date", "leans less", "not sent",
    ]  # fmt: skip


def test_the_leaning_stands_in_the_queue_and_on_the_house(desk, full):
    """A wall that cannot be told: which way it leans, and what class of work that means."""
    key, _ = sent_in(desk, "08-nothing-known.yaml")
    leaning = full.finding(counted(desk, key)).walls[0].leaning
    engineer = desk.engineer()
    assert LEANS[leaning.toward] in engineer.text
    engineer.get(f"/desk/house/{key}")
    assert leaning.text in engineer.text
