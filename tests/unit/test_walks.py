"""The walks of DEVELOPERS.md: the modules they name are those that a value passes, and as many."""

from __future__ import annotations

import re
import shutil
import sys
from pathlib import Path

import pytest

from tests.conftest import HERE, RULES
from walltriage.case.model import Role
from walltriage.case.read import read_case
from walltriage.inference.triage import Triager
from walltriage.knowledge.load import load_knowledge
from walltriage.report.files import make_request, write_report

SRC = HERE.parent / "src" / "walltriage"
SECTION = (HERE.parent / "DEVELOPERS.md").read_text(encoding="utf-8").split("## Three walks")[1]
WALKS = re.findall(r"\*\*(.+?)\*\*: (.+?)\.\n\n(.*?)\n\n", SECTION.split("\n## ")[0] + "\n\n", re.S)
CASES = HERE / "demo_houses"
ONE_WALL: tuple[str, Role] = ("02-ranch-with-laps.yaml", "buyer")
WITH_A_PLAN: tuple[str, Role] = ("plan_six_walls_three_levels.yaml", "firm")


def named(walk: str) -> list[str]:
    """The modules that a walk names, once each."""
    names = re.findall(r"`([a-z_]+(?:/[a-z_]+)*)`", walk)
    return [name for name in dict.fromkeys(names) if (SRC / f"{name}.py").is_file()]


@pytest.fixture(scope="module")
def entered(tmp_path_factory):
    """The modules of the package whose functions run, from the files of rules and cases to pages.

    The rules come from a folder of their own, so that no cache stands in for their files.
    """
    folder = tmp_path_factory.mktemp("walks")
    shutil.copytree(RULES, folder / "rules")
    found = set()

    met = set()

    def note(frame, event, argument):
        code = frame.f_code
        if event != "call" or code in met:
            return
        met.add(code)
        path = Path(code.co_filename)
        if code.co_name != "<module>" and SRC in path.parents:
            found.add(path.relative_to(SRC).with_suffix("").as_posix())

    before = sys.getprofile()
    sys.setprofile(note)
    try:
        triager = Triager(load_knowledge(folder / "rules"))
        for name, role in ONE_WALL, WITH_A_PLAN:
            case = read_case(CASES / name, triager.base.questions)
            request = make_request(triager, case, "2026-01-31", role)
            write_report(folder / "report.html", request)
    finally:
        sys.setprofile(before)
    return found


@pytest.mark.parametrize(("title", "told", "steps"), WALKS)
def test_modules_of_the_walks_work_in_them(entered, title, told, steps):
    """As many are named as the text says, and each has a part in a run."""
    modules = named(steps)
    assert sum(map(int, re.findall(r"\d+", told))) == len(modules)
    assert set(modules) - entered == set()


def test_there_are_three():
    assert len(WALKS) == 3
