"""From nothing to the first answered intake, as a new user goes: ``python -m tests.desk.drive``.

Builds the wheel, installs it with its extra ``desk`` in a new virtual environment, starts the desk
on a folder of its own, makes the first engineer's login, enters a house, and answers a client's
whole intake in Chromium at the size of a phone, with a photo and a plan.  Tells how long each part
took; ends with 1 when all of it took more than five minutes.  Needs Playwright for Python and
Debian's Chromium; the program under test gets neither.
"""

from __future__ import annotations

import argparse
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
import venv
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Error, Page, sync_playwright

from tests.desk.test_data import free_port
from tests.desk.test_photos import photo

ROOT = Path(__file__).resolve().parents[2]
GOAL_S = 300
FIRM, PASSWORD = "Larch Road Engineers", "plumb line and nine nails"
PHONE, SCREEN = {"width": 390, "height": 844}, {"width": 1280, "height": 800}
MOST_LOOKS = 80


class Clock:
    """How long each part took; the time a new user waits begins with the environment."""

    def __init__(self) -> None:
        self.begun = self.last = time.monotonic()

    def tell(self, what: str) -> None:
        """One line for the part that is done now."""
        at = time.monotonic()
        print(f"{at - self.last:6.1f} s  {what}", flush=True)
        self.last = at

    @property
    def in_all(self) -> float:
        return self.last - self.begun


def installed(folder: Path, clock: Clock) -> Path:
    """A new environment that holds the wheel with its extra and nothing else; its programs."""
    pip = [sys.executable, "-m", "pip", "--disable-pip-version-check", "-q"]
    subprocess.run([*pip, "wheel", "--no-deps", "-w", str(folder), str(ROOT)], check=True)
    (wheel,) = folder.glob("walltriage-*.whl")
    clock.tell(f"wheel built, {wheel.stat().st_size / 2**20:.1f} MB (not counted)")
    clock.begun = clock.last
    venv.create(folder / "walls", with_pip=True)
    programs = folder / "walls" / "bin"
    clock.tell("environment made")
    wanted = f"walltriage[desk] @ {wheel.as_uri()}"
    pip = [str(programs / "python"), "-m", "pip", "--disable-pip-version-check", "-q"]
    subprocess.run([*pip, "install", wanted], check=True)
    clock.tell("wheel installed with its extra")
    return programs


@contextmanager
def served(programs: Path, folder: Path, port: int) -> Iterator[str]:
    """The desk as docs/desk.md starts it; the link that makes the first login."""
    hidden = ("PYTHONPATH", "VIRTUAL_ENV")
    env = {name: value for name, value in os.environ.items() if name not in hidden}
    env |= {"XDG_DATA_HOME": str(folder / "data"), "XDG_CACHE_HOME": str(folder / "cache")}
    command = [str(programs / "walltriage"), "serve", "--firm", FIRM, "--port", str(port)]
    child = subprocess.Popen(command, env=env, cwd=folder, stderr=subprocess.PIPE, text=True)
    assert child.stderr is not None
    try:
        told = ""
        while "/join/" not in told:
            line = child.stderr.readline()
            if not line:
                raise SystemExit(f"the desk did not start:\n{told}")
            told += line
        found = re.search(r"http\S+/join/\S+", told)
        assert found is not None
        yield found[0]
    finally:
        child.terminate()
        child.wait()
        child.stderr.close()


class Drive:
    """An engineer at a screen and a client at a phone."""

    def __init__(self, engineer: Page, phone: Page, pictures: Path | None) -> None:
        self.engineer, self.phone, self.pictures, self.shots = engineer, phone, pictures, 0

    def shot(self, page: Page, name: str) -> None:
        """A picture of a page, where pictures are wanted."""
        if self.pictures is not None:
            self.shots += 1
            path = self.pictures / f"{self.shots:02d}-{name}.png"
            page.screenshot(path=str(path), full_page=True)

    def first_login(self, join: str) -> None:
        """The one-time link, then the sign-in page."""
        page = self.engineer
        until_it_answers(page, join)
        fill(page, name="Ida Quill", login="ida", password=PASSWORD, again=PASSWORD)
        self.shot(page, "join")
        press(page, "main button")
        fill(page, login="ida", password=PASSWORD)
        press(page, "main button")
        self.shot(page, "empty-queue")

    def enter_house(self) -> str:
        """A house with one wall; the client's link."""
        page = self.engineer
        press(page, "main a[href$='/desk/new'] >> nth=0")
        fill(page, name="14 Larch Road", walls="kitchen to dining room", client="M. Ode")
        self.shot(page, "new-house")
        press(page, "main button")
        self.shot(page, "link")
        return page.inner_text(".link a")

    def draw(self, link: str) -> None:
        """How far the client can go, two sizes, and a wall by two taps."""
        page = self.phone
        page.goto(link)
        self.shot(page, "begin")
        page.check("input[name=reach][value='2']")
        page.check("input[name=draws][value=yes]")
        press(page, ".go button")
        press(page, "main a[href$='/plan/outline'] >> nth=0")
        for value in ("ground", "tape", "40 ft", "28 ft", "none", "front"):
            if page.locator("#typed").count():
                page.fill("#typed", value)
            else:
                page.check(f"input[value={value}]")
            press(page, ".go button")
        press(page, "main a[href$='/plan/wall:wall1'] >> nth=0")
        for right, down in ((0.2, 0.4), (0.8, 0.41)):
            self.shot(page, "pointing")
            box = page.locator("input.point:visible").bounding_box()
            assert box is not None
            with page.expect_navigation():
                page.touchscreen.tap(
                    box["x"] + right * box["width"], box["y"] + down * box["height"]
                )
        self.shot(page, "plan")
        press(page, "button[value=go] >> nth=0")

    def answer(self, picture: Path) -> int:
        """Every look, the first with a photo; how many there were."""
        page, looks = self.phone, 0
        while re.search("/look/|/once-more$|/second-look/", page.url) and looks < MOST_LOOKS:
            if looks == 0:
                page.click("details:has(#photo_old) > summary")
                page.set_input_files("#photo_old", str(picture))
                press(page, "button[value=photo]")
            self.shot(page, f"look-{looks + 1}")
            if page.locator("#typed").count():
                page.fill("#typed", fitting(page))
            else:
                page.tap(".choice >> nth=0")
            press(page, ".go button")
            assert not page.locator(".trouble").count(), page.inner_text("main")
            looks += 1
        assert page.url.endswith("/end"), page.url
        self.shot(page, "end")
        press(page, ".go button")
        self.shot(page, "thanks")
        return looks

    def read(self, desk: str) -> str:
        """The queue and the house on it; the wall's verdict."""
        page = self.engineer
        page.goto(desk)
        self.shot(page, "queue")
        press(page, "table a >> nth=0")
        self.shot(page, "house")
        return " ".join(page.inner_text("main .verdict >> nth=0").split())


def fitting(page: Page) -> str:
    """A number that fits what is asked."""
    hint, ask = page.inner_text("#hint"), page.inner_text("h1")
    if "year" in hint:
        return "1962"
    if "length" not in hint:
        return "20"
    return "5 in" if "thick" in ask else "12 ft"


def until_it_answers(page: Page, address: str) -> None:
    """Open a page of a server that is still starting."""
    for _ in range(600):
        try:
            page.goto(address)
            return
        except Error as error:
            if "ERR_CONNECTION_REFUSED" not in str(error):
                raise
            page.wait_for_timeout(100)
    raise SystemExit(f"{address} does not answer")


def fill(page: Page, **fields: str) -> None:
    """Type into fields by their ids."""
    for name, text in fields.items():
        page.fill(f"#{name}", text)


def press(page: Page, what: str) -> None:
    """Press something that leads to another page."""
    with page.expect_navigation():
        page.click(what)


def main() -> int:
    """Drive it all and tell the times."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--pictures", type=Path, help="a folder for a picture of every page")
    given = parser.parse_args()
    if given.pictures is not None:
        given.pictures.mkdir(parents=True, exist_ok=True)
    chromium, clock, port = shutil.which("chromium"), Clock(), free_port()
    if chromium is None:
        raise SystemExit("chromium is not installed here")
    with tempfile.TemporaryDirectory(prefix="walltriage-drive-") as name:
        folder = Path(name)
        picture = folder / "wall.jpg"
        picture.write_bytes(photo(1200, 900))
        programs = installed(folder, clock)
        with served(programs, folder, port) as join, sync_playwright() as driver:
            clock.tell("desk started, link for the first login told")
            browser = driver.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
            pages = [browser.new_context(viewport=size, has_touch=touch).new_page()
                     for size, touch in ((SCREEN, False), (PHONE, True))]  # fmt: skip
            drive = Drive(*pages, given.pictures)
            drive.first_login(join)
            clock.tell("first engineer signed in")
            link = drive.enter_house()
            clock.tell("house entered")
            drive.draw(link)
            clock.tell("plan drawn by the client")
            looks = drive.answer(picture)
            clock.tell(f"{looks} looks answered and sent, one with a photo")
            verdict = drive.read(f"http://127.0.0.1:{port}/desk")
            clock.tell(f"read at the desk: {verdict}")
            browser.close()
    print(f"{clock.in_all:6.1f} s  in all (goal: {GOAL_S} s)")
    return int(clock.in_all > GOAL_S)


if __name__ == "__main__":
    raise SystemExit(main())
