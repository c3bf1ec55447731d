"""The same case gives the same bytes, whatever the locale, hash seed, time zone or width."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

TESTS = Path(__file__).resolve().parents[1]
CASE = TESTS / "demo_houses" / "plan_six_walls_three_levels.yaml"
SMALL_CASE = "schema: walltriage/case/1\nname: İstanbul straße\nwalls: [{id: w1}]\n"
ELSEWHERE = (
    {"LC_ALL": "de_DE.UTF-8", "LANGUAGE": "de", "TZ": "Pacific/Kiritimati", "COLUMNS": "300",
     "TERM": "dumb", "NO_COLOR": "1", "PYTHONHASHSEED": "1"},
    {"LC_ALL": "tr_TR.UTF-8", "LANG": "tr_TR.UTF-8", "TZ": "America/St_Johns", "COLUMNS": "40",
     "LINES": "10", "PYTHONHASHSEED": "2"},
    {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONIOENCODING": "utf-8", "PYTHONHASHSEED": "3"},
)  # fmt: skip
DECIMAL = "import locale; locale.setlocale(locale.LC_ALL, ''); print(locale.str(1.5))"


@pytest.fixture(scope="module")
def locales(tmp_path_factory):
    """German and Turkish, made where the system has the means to."""
    folder = tmp_path_factory.mktemp("locales")
    if shutil.which("localedef"):
        for name in ("de_DE", "tr_TR"):
            subprocess.run(
                ["localedef", "-i", name, "-f", "UTF-8", str(folder / f"{name}.UTF-8")],
                capture_output=True, check=True,
            )  # fmt: skip
            # else a difference could not be seen: both write a comma for the point
            environment = {"LC_ALL": f"{name}.UTF-8", "LOCPATH": str(folder)}
            said = subprocess.check_output([sys.executable, "-c", DECIMAL], env=environment)
            assert said == b"1,5\n"
    return folder


def outputs(folder, locales, python=sys.executable, **environment):
    """What three commands write, in one environment."""
    folder.mkdir()
    (folder / "house.yaml").write_bytes(CASE.read_bytes())
    (folder / "i.yaml").write_text(SMALL_CASE, encoding="utf-8")
    rules = ("--rules", str(TESTS / "small_rules"))
    every = {
        "PATH": os.environ["PATH"], "HOME": str(folder), "LOCPATH": str(locales),
        "PYTHONPATH": os.pathsep.join(sys.path), "PYTHONHASHSEED": "0", "PYTHONUTF8": "1",
    }  # fmt: skip
    found = []
    for arguments in (
        ("report", "house.yaml", "--out", "house.json"),
        ("triage", "--json", "house.yaml"),
        ("batch", "i.yaml", *rules, "--out", "o.csv"),
    ):
        done = subprocess.run(
            [python, "-m", "walltriage", *arguments],
            capture_output=True, cwd=folder, env=every | environment, check=False,
        )  # fmt: skip
        assert done.returncode == 0, done.stderr.decode()
        found.append(done.stdout)
    return [*found, (folder / "house.json").read_bytes(), (folder / "o.csv").read_bytes()]


def test_the_same_bytes_everywhere(tmp_path, locales):
    usual = outputs(tmp_path / "usual", locales)
    assert len(usual[-2]) > 10_000
    for number, environment in enumerate(ELSEWHERE):
        assert outputs(tmp_path / str(number), locales, **environment) == usual, environment
