"""A real browser: client and engineer, phone and desk, light and dark, by axe's rules."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys

import pytest

pytest.importorskip("playwright")
pytest.importorskip("axe_playwright_python")
pytest.importorskip("sqlalchemy")

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import sync_playwright

from tests.desk.browser import PASSWORD
from tests.desk.test_data import free_port
from tests.desk.test_data import served as running
from tests.desk.test_photos import photo
from tests.desk.test_second_look import LINE, link_to, said_in_full
from walltriage.desk.houses import NewHouse, make_house
from walltriage.desk.links import make_link
from walltriage.desk.store import Store

CHROMIUM = shutil.which("chromium")
pytestmark = [pytest.mark.extras, pytest.mark.skipif(CHROMIUM is None, reason="no Chromium here")]
SIZES = {"phone": {"width": 390, "height": 844}, "desk": {"width": 1280, "height": 800}}
MOST_TABS = 30
WCAG = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    """A desk as people start it: its address and the link that makes the first login."""
    port, folder = free_port(), tmp_path_factory.mktemp("desk")
    arguments = ["-m", "walltriage", "serve", "--data", str(folder), "--port", str(port),
                 "--requests", "0"]  # fmt: skip
    env = os.environ | {"PYTHONPATH": os.pathsep.join(sys.path)}
    child = subprocess.Popen(
        [sys.executable, *arguments], env=env, stderr=subprocess.PIPE, text=True
    )
    told = ""
    while "/join/" not in told:
        told += child.stderr.readline()
    yield f"http://127.0.0.1:{port}", re.search(r"http\S+/join/\S+", told)[0]
    child.terminate()
    child.wait()
    child.stderr.close()


@pytest.fixture(scope="module")
def chromium():
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield browser
        browser.close()


def checked(page) -> None:
    """Nothing on the page breaks WCAG 2.2 AA by axe, nothing runs over the side."""
    found = Axe().run(page, options={"runOnly": WCAG})
    assert found.violations_count == 0, f"{page.url}\n{found.generate_report()}"
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), page.url


def opened(page, address: str) -> None:
    for _ in range(100):
        try:
            page.goto(address)
            return
        except Exception as error:
            if "ERR_CONNECTION_REFUSED" not in str(error):
                raise
            page.wait_for_timeout(100)


def test_a_house_from_link_to_queue(served, chromium, tmp_path):
    """Login made, house entered, looks answered on a phone with a photo, sent, marked."""
    root, join = served
    engineer = chromium.new_context(viewport=SIZES["desk"]).new_page()
    opened(engineer, join)
    checked(engineer)
    for name, text in (("name", "Ida Quill"), ("login", "ida"), ("password", PASSWORD),
                       ("again", PASSWORD)):  # fmt: skip
        engineer.fill(f"#{name}", text)
    with engineer.expect_navigation():
        engineer.click("main button")
    checked(engineer)
    engineer.fill("#login", "ida")
    engineer.fill("#password", PASSWORD)
    with engineer.expect_navigation():
        engineer.click("main button")
    with engineer.expect_navigation():
        engineer.click("text=Add a house >> nth=0")
    checked(engineer)
    engineer.fill("#name", "14 Larch Road")
    engineer.fill("#walls", "kitchen to dining room")
    with engineer.expect_navigation():
        engineer.click("main button")
    checked(engineer)
    link = engineer.inner_text(".link a")

    for scheme, size in (("light", "phone"), ("dark", "phone"), ("dark", "desk")):
        view = chromium.new_context(viewport=SIZES[size], color_scheme=scheme)
        page = view.new_page()
        page.goto(link)
        checked(page)
        view.close()
    phone = chromium.new_context(viewport=SIZES["phone"], has_touch=True).new_page()
    phone.goto(link)
    phone.tap("text=I can get into the attic")
    with phone.expect_navigation():
        phone.tap(".go button")
    (tmp_path / "wall.jpg").write_bytes(photo(1200, 900))
    looks = 0
    while re.search("/look/|/once-more$|/second-look/", phone.url):
        if looks in (0, 2, 10, 12):
            phone.eval_on_selector_all("details", "all => all.forEach(one => one.open = true)")
            checked(phone)
        if looks == 0:
            phone.set_input_files("#photo_old", str(tmp_path / "wall.jpg"))
            with phone.expect_navigation():
                phone.tap("text=Save the photo")
            assert phone.locator(".photos img").count() == 1
            checked(phone)
        if phone.locator("#typed").count():
            hint = phone.inner_text("#hint")
            fits = "1962" if "year" in hint else "20" if "a number" in hint else "12 ft"
            if "How thick" in phone.inner_text("h1"):
                fits = "5 in"
            phone.fill("#typed", fits)
            with phone.expect_navigation():
                phone.press("#typed", "Enter")  # by keyboard alone
        else:
            phone.tap(".choice >> nth=0")
            with phone.expect_navigation():
                phone.tap(".go button")
        looks += 1
        assert looks < 80
    checked(phone)
    phone.goto(link + "/answers")
    checked(phone)
    phone.goto(link + "/end")
    with phone.expect_navigation():
        phone.tap(".go button")
    checked(phone)

    engineer.goto(f"{root}/desk")
    checked(engineer)
    with engineer.expect_navigation():
        engineer.click("table a")
    engineer.eval_on_selector_all("details", "all => all.forEach(one => one.open = true)")
    checked(engineer)
    for path in ("people", "trail", "everything", "outcomes"):
        engineer.goto(f"{root}/desk/{path}")
        checked(engineer)
    small = engineer.context.new_page()
    small.set_viewport_size(SIZES["phone"])
    small.goto(f"{root}/desk")
    checked(small)
    with small.expect_navigation():
        small.click("table a")
    checked(small)
    with small.expect_navigation():
        small.click("text=What was found at this wall")
    checked(small)


def test_a_second_look_by_keyboard(chromium, full, tmp_path):
    """Without JavaScript: what a screen reader is told of the list, the slip and the look."""
    port, store = free_port(), Store(f"sqlite:///{tmp_path / 'desk.sqlite3'}")
    store.bring_up_to_date()
    token = link_to(store, said_in_full(full, ("kitchen",)))
    store.close()
    child = running(tmp_path, port)
    plain = chromium.new_context(viewport=SIZES["phone"], java_script_enabled=False)
    page = plain.new_page()
    try:
        page.goto(f"http://127.0.0.1:{port}/c/{token}")
        page.check("input[name=reach][value='3']")
        sent(page)
        here, ask = page.url, page.inner_text("h1")
        assert ask.startswith("One thing alone keeps kitchen from being called non-bearing.")
        everywhere(chromium, here)
        lines = page.get_by_role("group", name=ask).get_by_role("radio")
        assert lines.count() == 2
        by_keyboard(page)  # nothing picked
        assert page.get_by_role("alert").inner_text() == "Pick one line."
        assert page.title().startswith("Error: ")
        by_keyboard(page, "A stud pack found in the wall")
        assert page.url == f"{here}/{LINE}"
        everywhere(chromium, page.url)
        assert page.locator("input[name=answer]:checked").count() == 0
        by_keyboard(page, "No, single studs at even spacing")
        assert "/second-look/" not in page.url
        page.go_back()
        assert page.url.endswith(f"/look/{LINE}")
        assert page.get_by_role("radio", name="No, single studs").is_checked()
    finally:
        plain.close()
        child.terminate()
        child.wait()


def by_keyboard(page, line: str = "") -> None:
    """Pick a line, if any, and send the form, by Tab, Space and Enter alone."""
    wanted = page.get_by_role("radio", name=line) if line else page.locator(".go button")
    for _ in range(MOST_TABS):
        if wanted.evaluate("one => one === document.activeElement"):
            break
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.type === 'radio'") and line:
            for _ in range(MOST_TABS):  # arrows go round within a group, and pick
                if wanted.evaluate("one => one === document.activeElement"):
                    break
                page.keyboard.press("ArrowDown")
    if line:
        page.keyboard.press("Space")
        assert wanted.is_checked()
        by_keyboard(page)
        return
    with page.expect_navigation():
        page.keyboard.press("Enter")


def walls_on(told: str) -> str:
    """The sentence of the plan's words that tells where the wall is."""
    return next(line for line in told.splitlines() if "kitchen to dining room:" in line)


@pytest.mark.parametrize("size", ["phone", "desk"])
def test_a_wall_is_pointed_at_on_the_drawing(size, chromium, tmp_path):
    """Without JavaScript, by touch and by mouse, light and dark: where one points, there it is."""
    port, store = free_port(), Store(f"sqlite:///{tmp_path / 'desk.sqlite3'}")
    store.bring_up_to_date()
    with store.write() as db:
        house = make_house(db, NewHouse("14 Larch Road", ("kitchen to dining room",)), "Ida")
        token = make_link(db, house, 1, "Ida")
    store.close()
    child = running(tmp_path, port)
    plain = chromium.new_context(
        viewport=SIZES[size], has_touch=size == "phone", java_script_enabled=False
    )
    page = plain.new_page()
    try:
        page.goto(f"http://127.0.0.1:{port}/c/{token}")
        page.check("input[name=reach][value='2']")
        page.check("input[name=draws][value=yes]")
        sent(page)
        page.click("text=Draw it")
        for value in ("ground", "tape", "40 ft", "28 ft", "none", "front"):
            if page.locator("#typed").count():
                page.fill("#typed", value)
            else:
                page.check(f"input[value={value}]")
            sent(page)
        page.click("text=Draw kitchen to dining room")
        everywhere(chromium, page.url)
        for right, down in ((0.2, 0.42), (0.8, 0.44)):
            box = page.locator("input.point:visible").bounding_box()
            place = box["x"] + right * box["width"], box["y"] + down * box["height"]
            with page.expect_navigation():
                page.touchscreen.tap(*place) if size == "phone" else page.mouse.click(*place)
        assert page.url.endswith("/plan#drawn")
        everywhere(chromium, page.url)
        page.click("text=In words")
        told = walls_on(page.inner_text("main"))
        shown = box["width"] / 480  # the drawing is 480 units wide
        scale = min((480 - 112) / 480, (300 - 68) / 336)  # to 480 by 336 inches of house
        left = (480 - 480 * scale) / 2
        ends = [((at * box["width"] / shown) - left) / scale for at in (0.2, 0.8)]
        numbers = [float(n) * 12 + float(i or 0)
                   for n, i in re.findall(r"(\d+) ft(?: (\d+) in)?", told)]  # fmt: skip
        assert numbers[1] == pytest.approx(ends[0], abs=9)
        assert numbers[2] == pytest.approx(ends[1], abs=9)
    finally:
        plain.close()
        child.terminate()
        child.wait()


def sent(page) -> None:
    """Press the page's main button."""
    with page.expect_navigation():
        page.click(".go button")


def everywhere(chromium, address: str) -> None:
    """The page by axe on both screens, light and dark, with all its details open."""
    for size in SIZES.values():
        for scheme in ("light", "dark"):
            view = chromium.new_context(viewport=size, color_scheme=scheme)
            page = view.new_page()
            page.goto(address)
            page.eval_on_selector_all("details", "all => all.forEach(one => one.open = true)")
            checked(page)
            view.close()
