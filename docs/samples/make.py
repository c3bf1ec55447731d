"""Write the sample reports anew: ``python docs/samples/make.py``.

The pictures need Chromium, Pillow and pypdfium2; without them only the reports are written.
"""

from __future__ import annotations

import io
import re
import shutil
import subprocess
import tempfile
from importlib.util import find_spec
from pathlib import Path

from rich.console import Console

from walltriage.case.read import read_case
from walltriage.inference.triage import Triager
from walltriage.interview.pages import question_page
from walltriage.interview.screen import Screen
from walltriage.knowledge.load import load_knowledge
from walltriage.report.files import make_request, rendered
from walltriage.rules_folder import default_rules_folder

HERE = Path(__file__).resolve().parent
MADE_ON = "2026-03-15"
HEADING = "In the attic: wall between kitchen and dining room"
SAMPLES = (
    ("bungalow", "buyer", ("html", "pdf", "json")),
    ("truss_house", "trade", ("pdf",)),
    ("two_levels", "firm", ("pdf", "md")),
)
PAGES = {"buyer": (1, 2), "trade": (1,), "firm": (1, 2, 3)}
"""Pages that the pictures show."""


def main() -> None:
    """Reports first, then pictures of them."""
    triager = Triager(load_knowledge(default_rules_folder()))
    for name, audience, forms in SAMPLES:
        case = read_case(HERE / f"{name}.yaml", triager.base.questions)
        request = make_request(triager, case, MADE_ON, audience)  # type: ignore[arg-type]
        for form in forms:
            target = HERE / f"{name}-{audience}.{form}"
            target.write_bytes(rendered(request, form))  # type: ignore[arg-type]
            print(f"{target}: written")
        if find_spec("pypdfium2"):
            picture_of_pages(HERE / f"{name}-{audience}.pdf", PAGES[audience])
    picture_of_screen(triager, HERE / "interview.svg")
    browser = shutil.which("chromium") or shutil.which("chromium-browser")
    if browser:
        picture_of_page(browser, HERE / "bungalow-buyer.html")


def picture_of_screen(triager: Triager, path: Path) -> None:
    """One question of the interview, with the help that ``h`` brings, as a terminal shows it."""
    question = triager.base.questions["attic_joists_at_wall"]
    page = question_page(question, triager.base.glossary, flipped=False, heading=HEADING)
    shown = io.StringIO()
    screen = Screen()
    screen.console = Console(file=shown, width=80, markup=False, emoji=False, highlight=False)
    screen.help(page)
    screen.page(page, again=True)
    lines = [line.rstrip() for line in shown.getvalue().strip("\n").splitlines()]
    console = Console(record=True, width=80, file=io.StringIO(), highlight=False)
    console.print("\n".join([*lines, " > 5", "Noted: They end on it, or lap side by side on it."]))
    drawn = console.export_svg(title="walltriage interview")
    # no font from elsewhere: the reader's own
    drawn = re.sub(r"@font-face {.*?}\s*", "", drawn, flags=re.DOTALL)
    path.write_text(drawn.replace("Fira Code", "monospace"), encoding="utf-8")
    print(f"{path}: written")


def picture_of_pages(path: Path, pages: tuple[int, ...]) -> None:
    """Pages of a PDF side by side."""
    import pypdfium2
    from PIL import Image

    document = pypdfium2.PdfDocument(path)
    shots = [document[page - 1].render(scale=64 / 72).to_pil().convert("L") for page in pages]
    gap = 10
    size = (sum(shot.width + gap for shot in shots) + gap, shots[0].height + 2 * gap)
    sheet = Image.new("L", size, 205)
    for index, shot in enumerate(shots):
        sheet.paste(shot, (gap + index * (shot.width + gap), gap))
    sheet.quantize(16).save(path.with_suffix(".png"), optimize=True)


def picture_of_page(browser: str, path: Path) -> None:
    """The top of an HTML report as a browser shows it."""
    from PIL import Image

    with tempfile.TemporaryDirectory() as folder:
        shot = Path(folder) / "shot.png"
        command = [
            browser, "--headless", "--no-sandbox", "--hide-scrollbars", f"--screenshot={shot}",
            "--window-size=1100,1500", path.as_uri(),
        ]  # fmt: skip
        subprocess.run(command, capture_output=True, check=True)
        picture = Image.open(shot).convert("RGB")
        picture.thumbnail((900, 1400))
        picture.quantize(64).save(path.with_name(f"{path.stem}-page.png"), optimize=True)


if __name__ == "__main__":
    main()
