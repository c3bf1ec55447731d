"""What a stranger, another site or a curious client might try; each is tried here."""

from __future__ import annotations

import logging
import re
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from urllib.parse import quote

import pytest

pytest.importorskip("sqlalchemy")

import httpx
from sqlalchemy import insert, select, update
from sqlalchemy.exc import SQLAlchemyError

from tests.desk.browser import PASSWORD, X
from tests.desk.test_client import begun
from tests.desk.test_data import free_port, served
from tests.desk.test_photos import photo
from walltriage.desk import people
from walltriage.desk.houses import house_by_key
from walltriage.desk.links import withdraw
from walltriage.desk.settings import checked_proxy
from walltriage.desk.store import now
from walltriage.desk.tables import Base, Event, HouseRecord, Link, Photo, SignIn, StaffMember
from walltriage.desk.tokens import digest, new_token
from walltriage.desk.web import visit
from walltriage.desk.web.app import addresses
from walltriage.desk.web.guard import MOST_FORM_BYTES, Allowance, redacted
from walltriage.errors import InputError

pytestmark = pytest.mark.extras


def in_address(pattern: str, **parts: str) -> str:
    """An address of that pattern."""
    parts = {"size": "small", "form": "html", "subject": "house", "question": "house_kind",
             "wall": "wall1", "photo": "abcd", "asked": "1", "link": "1",
             "of": "outline", "level": "ground", "stop": "gate_load_seen"} | parts  # fmt: skip
    return re.sub(r"{(\w+)(?::int)?}", lambda m: parts[m[1]], pattern)


def token_in(page) -> str:
    """What a form of that page has to bring."""
    return re.search(r'name="form_token" value="([^"]+)"', page.text)[1]


STAFF = sorted(a for a in addresses() if a.startswith("/desk") and a != "/desk/sign-in")
CLIENT = sorted(a for a in addresses() if a.startswith("/c/"))


@pytest.mark.parametrize("pattern", STAFF)
@pytest.mark.parametrize("method", ["get", "post"])
def test_nobody_gets_in_without_signing_in(pattern, method, desk):
    """Every address of the firm's sends strangers to the sign-in page."""
    key, _ = desk.house()
    stranger = desk.browser(follow_redirects=False)
    answer = getattr(stranger.client, method)(in_address(pattern, key=key))
    assert answer.status_code == 303
    assert answer.headers["location"] == "/desk/sign-in"


@pytest.mark.parametrize("pattern", STAFF)
def test_a_form_without_its_token_does_nothing(pattern, desk):
    """Another site's form comes with the cookie but not with the token."""
    key, _ = desk.house()
    boss = desk.engineer()
    for token in ({}, {"form_token": ""}, {"form_token": new_token()}):
        answer = boss.client.post(in_address(pattern, key=key), data={"name": "x"} | token)
        assert answer.status_code == 403, pattern
        assert "Nothing was changed" in answer.text


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "https://elsewhere.example"},
        {"origin": "null"},
        {"origin": "http://testserver.elsewhere.example"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
)
def test_forms_of_other_sites_are_refused(headers, desk):
    """Even with everything else right."""
    browser = begun(desk)
    fields = browser.fields() | {"answer": browser.options("answer")[0]}
    answer = browser.client.post(browser.path, data=fields, headers=headers)
    assert answer.status_code == 403
    assert "nothing was done" in answer.text


@pytest.mark.parametrize("pattern", CLIENT)
def test_a_guessed_link_opens_nothing(pattern, desk):
    """The same plain page for any guess, whatever comes behind it."""
    desk.house()
    answer = desk.browser().client.get(in_address(pattern, token=new_token()))
    assert answer.status_code == 404
    assert "nothing under this link" in answer.text


@pytest.mark.parametrize("pattern", CLIENT)
@pytest.mark.parametrize("how", ["withdrawn", "expired"])
def test_a_link_that_ended_opens_nothing(pattern, how, desk):
    """Withdrawn or expired: nothing is shown, nothing is taken, and the page says what to do."""
    key, token = desk.house()
    with desk.store.write() as db:
        if how == "withdrawn":
            link = db.scalar(select(Link))
            withdraw(db, house_by_key(db, key), link.id, "Ida")
        else:
            db.execute(update(Link).values(expires_at=now(timedelta(seconds=-1))))
    browser = desk.browser()
    for method in (browser.client.get, browser.client.post):
        answer = method(in_address(pattern, token=token))
        assert answer.status_code == 404
        assert how in answer.text
        assert "a new link" in answer.text


def test_secrets_are_kept_as_digests_only(desk):
    """Whoever reads the database can open no link and sign in as nobody."""
    _, token = desk.house()
    boss = desk.engineer()
    cookie = boss.client.cookies["walltriage-desk"]
    with desk.store.read() as db:
        held = " ".join(
            str(cell) for table in Base.metadata.sorted_tables for row in db.execute(select(table))
            for cell in row
        )  # fmt: skip
    assert token not in held
    assert cookie not in held
    assert PASSWORD not in held
    assert digest(token) in held
    assert "$argon2id$" in held


def test_a_password_is_dear_to_guess(shipped_hasher):
    """64 MiB, three passes, four lanes: the second option that RFC 9106 recommends (section 4,
    from memory)."""
    kept = shipped_hasher.hash(PASSWORD)
    assert kept.startswith("$argon2id$v=19$m=65536,t=3,p=4$")
    assert shipped_hasher.verify(kept, PASSWORD)


def test_tokens_are_long_and_never_alike():
    """256 bits each."""
    made = {new_token() for _ in range(2000)}
    assert len(made) == 2000
    assert min(map(len, made)) >= 43


def sign_in(browser, password: str, login: str = "ida") -> None:
    browser.get("/desk/sign-in")
    browser.submit({"login": login, "password": password})


def test_a_login_is_locked_after_five_misses(desks):
    """Then the right password does not open it either, until the time is over."""
    desk = desks.make(tries_per_minute=0)
    desk.engineer()
    browser = desk.browser()
    for _ in range(5):
        sign_in(browser, "wrong")
        assert browser.path == "/desk/sign-in"
    sign_in(browser, PASSWORD)
    assert browser.path == "/desk/sign-in"
    with desk.store.write() as db:
        db.execute(update(StaffMember).values(locked_until=now(timedelta(seconds=-1))))
    sign_in(browser, PASSWORD)
    assert browser.path == "/desk"


def guessed(desk, password: str) -> bool:
    """Whether one try from a new browser gets in."""
    browser = desk.browser()
    sign_in(browser, password)
    return browser.path == "/desk"


def test_guesses_at_the_same_moment_are_counted_one_by_one(desks):
    """None slips past the count, and then the right password does not open it either."""
    desk = desks.make(tries_per_minute=0)
    desk.engineer()
    with ThreadPoolExecutor(10) as pool:
        assert not any(pool.map(lambda n: guessed(desk, f"wrong {n}"), range(10)))
    assert not guessed(desk, PASSWORD)
    with desk.store.read() as db:
        locks = db.scalars(select(Event).where(Event.what == "login locked")).all()
    assert len(locks) == 1


def test_a_sign_in_makes_a_session_of_its_own(desk):
    """A cookie that somebody put into the browser before is worth nothing after signing in."""
    boss = desk.engineer()
    planted = new_token()
    browser = desk.browser(cookies={"walltriage-desk": planted})
    sign_in(browser, PASSWORD)
    assert browser.path == "/desk"
    thief = desk.browser(cookies={"walltriage-desk": planted})
    assert thief.get("/desk").url.path == "/desk/sign-in"
    before = boss.client.cookies["walltriage-desk"]
    sign_in(boss, PASSWORD)
    thief = desk.browser(cookies={"walltriage-desk": before})
    assert thief.get("/desk").url.path == "/desk/sign-in"


def test_an_invitation_works_once_even_at_the_same_moment(desk):
    """Ten tries of one link at once: one login."""
    with desk.store.write() as db:
        token = people.invite(db, "engineer")

    # all have the page open before the first of them sends it: whoever opens it later finds no form
    browsers = [desk.browser() for _ in range(10)]
    for browser in browsers:
        browser.get(f"/join/{token}")

    def join(number):
        browser = browsers[number]
        browser.submit({"name": f"N{number}", "login": f"login{number}", "password": PASSWORD,
                        "again": PASSWORD})  # fmt: skip
        return browser.path == "/desk/sign-in"

    with ThreadPoolExecutor(10) as pool:
        assert sum(pool.map(join, range(10))) == 1
    with desk.store.read() as db:
        assert len(db.scalars(select(StaffMember)).all()) == 1


def held_in(desk) -> dict[str, list]:
    """Every row of every table, but for when a link was last used and what a queue works out."""
    passing = {"used_at", "summary", "summary_of"}
    with desk.store.read() as db:
        return {
            table.name: [
                tuple(cell for column, cell in zip(table.columns, row, strict=True)
                      if column.name not in passing)
                for row in db.execute(select(table))
            ]
            for table in Base.metadata.sorted_tables
        }  # fmt: skip


def test_no_address_changes_anything_by_being_opened(desk):
    """What mail programs and browsers open beforehand takes nothing away."""
    client = begun(desk)
    token = client.path.split("/")[2]
    client.submit({"do": "photo"}, files={"photo_new": ("a.jpg", photo(), "image/jpeg")})
    with desk.store.read() as db:
        kept, house = db.scalar(select(Photo)), db.scalar(select(HouseRecord))
    boss = desk.engineer()
    before = held_in(desk)
    assert before["photos"]
    for pattern in addresses():
        if pattern != "/join/{token}":
            parts = {"token": token, "key": house.key, "photo": kept.key}
            answer = boss.client.get(in_address(pattern, **parts))
            assert answer.status_code < 500, pattern
    assert held_in(desk) == before


@pytest.mark.parametrize("number", ["9" * 30, "²", "٣", "-1", "1e3", "", "0x1"])
def test_numbers_that_name_nothing(number, desk):
    """Neither in an address nor in a form does a number break anything."""
    key, token = desk.house()
    boss = desk.engineer()
    boss.get(f"/desk/house/{key}")
    form = {"form_token": boss.fields()["form_token"]}
    posts = [
        (f"/desk/house/{key}/link/{quote(number)}/end", {}),
        (f"/desk/house/{key}/ask", {"back": number}),
        ("/desk/people", {"do": "close", "person": number}),
    ]
    for path, more in posts:
        assert boss.client.post(path, data=form | more).status_code in (200, 400, 404), path
    answer = boss.client.get(f"/c/{token}/more/{quote(number)}")
    assert answer.status_code in (200, 404)


@pytest.mark.parametrize("text", ["a\x00b", "\x1b[31mred", "a\x08b"])
def test_letters_that_no_keyboard_types_are_left_out(text, desk):
    """Not kept from forms, and nothing found where they stand in an address."""
    key, token = desk.house()
    browser = desk.browser()
    browser.get(f"/c/{token}")
    browser.submit({"reach": "2"})
    browser.submit({"answer": browser.options("answer")[0], "note": text})
    assert browser.status == 200
    (entry, *_) = held_in(desk)["entries"]
    assert all("\x00" not in str(cell) and "\x1b" not in str(cell) for cell in entry)
    boss = desk.engineer()
    for path in (f"/desk?q={quote(text)}", f"/desk/house/{key}{quote(text)}",
                 f"/c/{token}/wall/{quote(text)}"):  # fmt: skip
        assert boss.client.get(path).status_code == 404


def test_office_does_none_of_the_engineers_acts(desk):
    """Each address that is an engineer's, by opening and by a form with its token."""
    key, _ = desk.house()
    office = desk.engineer("Olaf", "office")
    office.get(f"/desk/house/{key}")
    form = {"form_token": office.fields()["form_token"], "name": "12 Larch Road", "why": "x"}
    before = held_in(desk)
    for path in (f"house/{key}/mark", f"house/{key}/delete", f"house/{key}/outcome/wall1",
                 "outcomes", "outcomes/pool", "people", "trail", "everything"):  # fmt: skip
        for answer in (office.client.get(f"/desk/{path}"),
                       office.client.post(f"/desk/{path}", data=form)):  # fmt: skip
            assert answer.status_code == 403, path
    assert held_in(desk) == before


def test_an_address_of_version_6_counts_by_its_network():
    """Whoever has one has 2 to the power of 64; as version 4 in its dress each is one."""
    allowance = Allowance(2)
    assert allowance.take("2001:db8::1", 0.0)
    assert not allowance.take("2001:db8::ffff:2", 0.0)
    assert allowance.take("2001:db8:0:1::1", 0.0)
    assert allowance.take("::ffff:192.0.2.1", 0.0)
    assert allowance.take("::ffff:192.0.2.2", 0.0)


def test_nobody_learns_which_logins_there_are(desk):
    """A wrong password and a login that does not exist give the same page."""
    desk.engineer()
    texts = []
    for login in ("ida", "nobody"):
        browser = desk.browser()
        sign_in(browser, "wrong", login)
        texts.append(re.sub(r'value="[^"]*"', "", browser.page.text))
    assert texts[0] == texts[1]


def test_guessing_passwords_is_slowed_down(desks):
    """So many tries a minute from one address, whatever the login."""
    desk = desks.make(tries_per_minute=4)
    browser = desk.browser()
    for n in range(3):
        sign_in(browser, "wrong", f"login{n}")
    assert "Too many tries" in browser.text


def test_guessing_links_is_slowed_down(desks):
    """The same for links that do not exist."""
    desk = desks.make(tries_per_minute=4)
    browser = desk.browser()
    statuses = [browser.client.get(f"/c/{new_token()}").status_code for _ in range(4)]
    assert statuses[-1] == 429


def test_too_many_requests_are_refused(desks):
    """One address, more than its share: told to wait."""
    desk = desks.make(requests_per_minute=10)
    client = desk.browser().client
    answers = [client.get("/health") for _ in range(7)]
    assert answers[-1].status_code == 429
    assert "Nothing is lost" in answers[-1].text
    assert answers[-1].headers["retry-after"]


@pytest.mark.parametrize(
    ("proxy", "sent", "refused"),
    [
        (None, "198.51.100.{n}", True),
        ("10.1.1.1", "198.51.100.{n}", True),
        ("127.0.0.1", "198.51.100.{n}, 203.0.113.5", True),
        ("127.0.0.1", "203.0.113.5, 198.51.100.{n}", False),
    ],
    ids=["no-proxy", "another-proxy", "told-by-the-client", "told-by-the-proxy"],
)
def test_nobody_makes_up_an_address(proxy, sent, refused, tmp_path):
    """A header counts only from the proxy that is trusted, and of it what the proxy wrote last."""
    port = free_port()
    more = ["--requests", "10", *(["--behind-proxy", proxy] if proxy else [])]
    child = served(tmp_path, port, *more)
    try:
        with httpx.Client(base_url=f"http://127.0.0.1:{port}") as client:
            statuses = [
                client.get("/health", headers={"x-forwarded-for": sent.format(n=n)}).status_code
                for n in range(20)
            ]
    finally:
        child.terminate()
        child.wait()
    assert (429 in statuses) == refused, statuses


@pytest.mark.parametrize("given", ["*", "0.0.0.0/0", "::/0", "proxy", "127.0.0.1,*", ""])
def test_only_named_proxies_are_trusted(given):
    """Trusting everybody would let each client say where they are."""
    with pytest.raises(InputError, match="address of one proxy"):
        checked_proxy(given)
    assert checked_proxy("127.0.0.1,10.0.0.0/24, ::1") == "127.0.0.1,10.0.0.0/24, ::1"


def test_an_allowance_fills_again():
    """Half of a minute's share at once, then so many a minute, for each address by itself."""
    allowance = Allowance(60)
    assert all(allowance.take("a", 0.0) for _ in range(30))
    assert not allowance.take("a", 0.0)
    assert allowance.take("b", 0.0)
    assert allowance.take("a", 1.01)
    assert not allowance.take("a", 1.02)


@pytest.mark.parametrize("path", ["/desk/sign-in", "/health", "/static/desk.css", "/nowhere"])
def test_headers_on_every_page(path, desk):
    """No script at all, no frames, no sniffing, nothing kept by caches between."""
    headers = desk.browser().client.get(path).headers
    policy = headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "script-src" not in policy
    assert "unsafe" not in policy
    assert "frame-ancestors 'none'" in policy
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "same-origin"
    assert "server" not in headers


def test_pages_hold_no_script_no_style_and_nothing_from_elsewhere(desk):
    """What the policy forbids is not there in the first place."""
    key, token = desk.house(shows="result")
    boss = desk.engineer()
    client = begun(desk)
    pages = [client.page.text]
    pages += [boss.client.get(f"/desk/{p}").text for p in ("", "new", "people", "trail")]
    pages += [boss.client.get(f"/desk/house/{key}").text]
    pages += [client.client.get(f"/c/{token}/{p}").text for p in ("begin", "answers", "end")]
    for page in pages:
        assert "<script" not in page
        assert " style=" not in page
        assert not re.search(r"\son\w+=", page)
        for address in re.findall(r'(?:src|href|action)="([^"]*)"', page):
            assert not re.match(r"(?:https?:)?//(?!testserver)", address), address


def test_cookies_are_kept_from_scripts_and_other_sites(desks):
    """HttpOnly and SameSite always; Secure and bound to the host where the address is https."""
    for url, name in (("http://testserver", "walltriage-form"),
                      ("https://testserver", "__Host-walltriage-form")):  # fmt: skip
        browser = desks.make(public_url=url).browser(base_url=url)
        answer = browser.get("/desk/sign-in")
        cookie = answer.headers["set-cookie"].lower()
        assert cookie.startswith(name.lower())
        assert "httponly" in cookie
        assert "samesite=lax" in cookie
        assert ("secure" in cookie) == url.startswith("https")
        assert ("strict-transport-security" in answer.headers) == url.startswith("https")


@pytest.mark.parametrize(
    "host", ["elsewhere.example", "testserver.elsewhere.example", "", "[", "a b"]
)
def test_another_hosts_name_is_not_served(host, desk):
    """Links and cookies cannot be turned to another name."""
    assert desk.browser().client.get("/desk", headers={"host": host}).status_code == 400


@pytest.mark.parametrize(
    "path",
    ["/static/../guard.py", "/static/%2e%2e/guard.py", "/static/..%2fguard.py",
     "/static//etc/passwd", "/static/%00", "/c/../desk", "//elsewhere.example/"],
)  # fmt: skip
def test_no_file_by_a_path_from_outside(path, desk):
    """Only the desk's own files under /static, and no way to another site."""
    answer = desk.browser(follow_redirects=False).client.get(path)
    assert answer.status_code in (303, 404)
    assert "def " not in answer.text
    assert "elsewhere" not in answer.headers.get("location", "")


@pytest.mark.parametrize("look", ["//elsewhere.example", "https://elsewhere.example/x", "../desk",
                                  "a/b\r\nx: y"])  # fmt: skip
def test_no_way_out_by_a_form(look, desk):
    """The one form that says where to come back to leads nowhere else."""
    browser = begun(desk)
    browser.submit({"do": "photo"}, files={"photo_new": ("a.jpg", photo(), "image/jpeg")})
    token = browser.path.split("/")[2]
    key = next(img.get("src").split("/")[4] for img in browser.tree.iter(f"{X}img"))
    browser.client.follow_redirects = False
    answer = browser.client.post(f"/c/{token}/photo/{key}/drop", data={"look": look})
    assert answer.headers["location"] == f"/c/{token}"


HOSTILE = "<script>alert(1)</script>\"'><img src=x onerror=1>{{7*7}}\u202egnp"


@pytest.mark.parametrize(
    "path",
    [
        "/c/{token}/look/house%0d%0aset-cookie:%20a=b/house_kind",
        "/c/{token}/wall/wall1%0d%0ax-made-up:%201",
        "/c/{token}/plan/outline%0d%0ax-made-up:%201",
        "/c/{token}/photo/abcd%0d%0ax-made-up:%201/small",
        "/c/{token}%0d%0ax-made-up:%201",
        "/desk/house/abcd%0d%0ax-made-up:%201",
        "/desk/house/{key}/packet/html%0d%0ax-made-up:%201",
        "/desk/house/{key}/outcome/wall1%0d%0ax-made-up:%201",
    ],
)
def test_no_header_by_a_line_break_in_an_address(path, desk):
    """Wherever a part of an address may come back in an answer's headers."""
    key, token = desk.house()
    boss = desk.engineer()
    boss.client.follow_redirects = False
    address = path.format(key=key, token=token)
    for answer in (boss.client.get(address), boss.client.post(address, data={"look": "a\r\nb:c"})):
        assert not {"x-made-up", "b"} & set(answer.headers)
        assert "a=b" not in answer.headers.get("set-cookie", "")
        assert all("\n" not in value for value in answer.headers.values())


def test_what_people_write_is_only_ever_text(desk):
    """Names, notes and replies with markup in them: shown as typed, run by nobody."""
    key, token = desk.house(name=HOSTILE, walls=(HOSTILE,), client=HOSTILE, shows="result")
    browser = desk.browser()
    browser.get(f"/c/{token}")
    browser.submit({"reach": "0"})
    browser.submit({"answer": browser.options("answer")[0], "note": HOSTILE})
    browser.get(f"/c/{token}/end")
    browser.submit({"do": "send"})
    boss = desk.engineer()
    boss.get(f"/desk/house/{key}")
    boss.submit({"text": HOSTILE}, number=len(list(boss.tree.iter(f"{X}form"))) - 3)
    pages = [
        boss.client.get(p).text for p in ("/desk", f"/desk/house/{key}", f"/desk/house/{key}/facts")
    ]
    pages += [browser.client.get(f"/c/{token}/{p}").text for p in ("", "answers", "end", "result")]
    for page in pages:
        assert "<script>alert" not in page
        assert "<img src=x" not in page
        assert "49" not in re.sub(r'"[^"]*"', "", page.split("&lt;img", 1)[-1][:80])
        assert "\u202e" not in page


def test_a_body_without_end_is_stopped(desks):
    """No length told beforehand: counted while it comes in."""
    desk = desks.make(body_bytes=100_000)
    browser = begun(desk)

    def stream():
        yield b"answer="
        for _ in range(100):
            yield b"x" * 10_000

    headers = {"content-type": "application/x-www-form-urlencoded"}
    answer = browser.client.post(browser.path, content=stream(), headers=headers)
    assert answer.status_code == 413


def test_a_form_without_files_is_short(desk):
    """It is taken apart in memory, so it may hold far less than one with a photo."""
    browser = begun(desk)
    fields = {"answer": "unknown", "note": "x" * MOST_FORM_BYTES}
    answer = browser.client.post(browser.path, data=fields)
    assert answer.status_code == 413
    assert "Nothing you sent before is lost" in answer.text


@pytest.mark.parametrize("address", ["/c/{token}", "/join/{token}", "/desk/sign-in", "/desk/new"])
def test_nothing_large_is_taken_from_strangers(address, desk, monkeypatch):
    """What they send is not read, and they are refused as if nothing had come."""
    read = []
    monkeypatch.setattr(visit, "_read", lambda *given: read.append(given))
    stranger = desk.browser(follow_redirects=False)
    files = {"photo_new": ("a.jpg", bytes(300_000), "image/jpeg")}
    answer = stranger.client.post(address.format(token=new_token()), files=files)
    assert answer.status_code in (303, 400, 404)
    assert not read


def test_large_photos_are_taken_from_who_is_known(desk):
    """By a link that opens."""
    browser = begun(desk)
    data = photo(1800, 1200) + bytes(300_000)
    browser.submit({"do": "photo"}, files={"photo_new": ("a.jpg", data, "image/jpeg")})
    with desk.store.read() as db:
        assert db.scalar(select(Photo.width)) == 1800


def test_too_many_fields_are_refused(desk):
    """A form of thousands of fields is no form of ours."""
    browser = begun(desk)
    files = {f"f{n}": ("", b"x") for n in range(200)}
    assert browser.client.post(browser.path, files=files).status_code == 400


def test_a_fault_inside_is_told_to_nobody_outside(desk, monkeypatch, caplog):
    """A plain page without a trace; the log has the trace, without the link."""
    _, token = desk.house()
    browser = desk.browser()
    monkeypatch.setattr("walltriage.desk.web.client_link.open_link", lambda *_: 1 / 0)
    with caplog.at_level(logging.ERROR):
        answer = browser.client.get(f"/c/{token}/end")
    assert answer.status_code == 500
    assert "ZeroDivision" not in answer.text
    assert "saved" in answer.text
    assert "ZeroDivisionError" in caplog.text
    assert token not in caplog.records[-1].getMessage()


def test_an_error_of_the_database_tells_nothing_that_was_written(desk):
    """Its text goes to the log, so what people wrote must not be in it."""
    written = "the safe is behind the paneling"
    with pytest.raises(SQLAlchemyError) as caught, desk.store.write() as db:
        db.execute(insert(Event).values(at=None, by=written, what=written))
    assert written not in str(caught.value)


def test_paths_in_the_log_open_nothing():
    """Links and invitations are cut out."""
    assert redacted("/c/abc/look/house/x") == "/c/.../look/house/x"
    assert redacted("/join/abc") == "/join/..."
    assert redacted("/desk") == "/desk"


def test_signing_out_ends_the_session(desk):
    """The cookie is worth nothing afterwards, even if somebody kept it."""
    boss = desk.engineer()
    cookie = boss.client.cookies["walltriage-desk"]
    token = re.search(r'name="form_token" value="([^"]+)"', boss.page.text)[1]
    boss.client.post("/desk/sign-out", data={"form_token": token})
    thief = desk.browser(cookies={"walltriage-desk": cookie})
    thief.get("/desk")
    assert thief.path == "/desk/sign-in"


def test_a_session_runs_out(desk):
    """After its hours it is over."""
    boss = desk.engineer()
    with desk.store.write() as db:
        db.execute(update(SignIn).values(expires_at=now(timedelta(seconds=-1))))
    boss.get("/desk")
    assert boss.path == "/desk/sign-in"


@pytest.mark.parametrize(
    ("password", "says"),
    [
        ("short", "12 to 200"),
        ("aaaaaaaaaaaaaaaa", "easy to guess"),
        ("ida-ida-longer", "easy to guess"),
    ],
)
def test_weak_passwords_are_refused(password, says, desk):
    """Told on the page; the invitation stays good."""
    with desk.store.write() as db:
        token = people.invite(db, "engineer")
    browser = desk.browser()
    browser.get(f"/join/{token}")
    browser.submit({"name": "Ida", "login": "ida", "password": password, "again": password})
    assert says in browser.text
    browser.submit({"password": PASSWORD, "again": PASSWORD})
    assert browser.path == "/desk/sign-in"
