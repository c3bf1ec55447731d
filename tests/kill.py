"""Ends the program at random moments with SIGKILL, as a power cut would, and looks what is left.

``python -m tests.kill --kills 1000``.  After each kill: every answer that was accepted is in
the file, the file can be read, an interrupted batch resumed gives the same bytes as one that
was not, and the next start leaves nothing lying about.
"""

from __future__ import annotations

import argparse
import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import yaml

from tests.interview.person import SMALL_RULES, Person

RELATIONS = """
settings: {facing_share: 0.5, in_line: 1 ft, long_line_share: 0.75, joist_depth: 1 ft,
  hall_least: 2 ft 6 in, hall_most: 5 ft 6 in, near_opening: 2 ft, near_edge: 2 ft,
  plain_for_sure: 8 ft, plain_at_least: 4 ft}
sureness: [{sure: fairly}]
answers:
  - {relation: length, question: wall_length, measured: true, source: common practice,
     limits: [As drawn.]}
"""


class LostError(AssertionError):
    """Something accepted is gone, or something is left over."""


def environment(home: Path) -> dict[str, str]:
    """The environment of a person at home, with temporary files there too."""
    return {
        "PATH": os.environ["PATH"], "HOME": str(home), "TMPDIR": str(home / "tmp"),
        "PYTHONPATH": os.pathsep.join(sys.path), "PYTHONUTF8": "1",
    }  # fmt: skip


def program(home: Path, *arguments: str) -> list[str]:
    """The command line of the program."""
    return [sys.executable, "-m", "walltriage", *arguments]


def killed_after(seconds: float, home: Path, *arguments: str) -> bool:
    """Start the program and kill it after some time; whether it was still running."""
    process = subprocess.Popen(
        program(home, *arguments), env=environment(home), cwd=home,
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    try:
        process.wait(seconds)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()
        return True
    return False


def leftovers(home: Path) -> list[str]:
    """Temporary files and folders of ours, wherever they can be."""
    found = [*home.rglob("*.unfinished"), *home.rglob("*.part"), *(home / "tmp").iterdir()]
    return sorted(str(path.relative_to(home)) for path in found)


def expect(condition: bool, what: str) -> None:
    """:class:`LostError` unless it is so."""
    if not condition:
        raise LostError(what)


PERSON, OUTLINE, WALL = 2, 6, 5  # pages of each
# who, the name; yes, draw: levels, tape, width, depth, no wing, ridge; right; the wall's name:
# level, way, how far off, from, to; right, nothing more; then the questions
TYPED = (
    "3", "?", "1", "2", "1", "36 ft", "26 ft", "1", "1", "1", "kitchen",
    "1", "1", "13 ft", "0", "20 ft", "1", "1", "d", "d",
)  # fmt: skip
FIRST_OUTLINE, NAMED, FIRST_WALL, FIRST_ANSWER = 3, 10, 11, 18


def kill_interview(home: Path, draw: random.Random) -> None:
    """Answer the pages of person, plan, wall and questions; kill in between or while typing."""
    rules = home / "planned"
    if not rules.is_dir():
        shutil.copytree(SMALL_RULES, rules)
        (rules / "relations.yaml").write_text(RELATIONS)
    name = f"house{draw.randrange(10**9)}"
    path = home / f"{name}.yaml"
    person = Person(home, "--for", "trade", "--save", path.name, rules=rules)
    stop = draw.randrange(PERSON, len(TYPED) + 1)
    for line in TYPED[:stop]:
        person.type(name if line == "?" else line)
    if stop < len(TYPED) and draw.random() < 0.7:  # in the middle of taking the next answer
        person.child.send(TYPED[stop] + "\r")
        time.sleep(draw.random() * 0.04)
    person.kill()
    person.child.close(force=True)
    data = yaml.safe_load(path.read_text())
    lost = [what for what, least, kept in _accepted(data, stop) if kept < least]
    expect(not lost, f"after {stop} lines: {lost} are gone from {data}")
    again = Person(home, "--resume", path.name, rules=rules)
    shown = again.at_prompt()
    if stop < FIRST_OUTLINE + OUTLINE - 1:
        expect("The plan" in shown, f"the plan is not asked for any more: {shown}")
    again.kill()
    again.child.close(force=True)
    left = [one for one in leftovers(home) if name in one]
    expect(not left, f"left over: {left}")
    path.unlink()


def _accepted(data: dict[str, Any], stop: int) -> list[tuple[str, int, int]]:
    """(what, how many of it were accepted at least, how many are kept)."""
    plan, drawing = data.get("plan") or {}, data.get("drawing") or {}
    begun = {drawing.get("of"): len(drawing.get("replies", ()))}
    drawn = any(line.get("wall") == "wall1" for line in plan.get("walls", ()))
    wall = data["walls"][0]
    return [
        ("replies about the house", min(stop - FIRST_OUTLINE, OUTLINE),
         OUTLINE if plan else begun.get("outline", 0)),
        ("the wall's name", int(stop > NAMED), int(wall.get("name") == "kitchen")),
        ("replies about the wall", min(stop - FIRST_WALL, WALL),
         WALL if drawn else begun.get("wall wall1", 0)),
        ("answers", stop - FIRST_ANSWER, len(data["house"]) + len(wall["answers"])),
    ]  # fmt: skip


def kill_batch(home: Path, draw: random.Random) -> None:
    """Kill a batch, perhaps twice, and resume it: the same bytes as without."""
    cases = home / "cases.jsonl"
    whole = home / "whole.csv"
    arguments = ["batch", cases.name, "--rules", str(SMALL_RULES), "--out"]
    if not whole.is_file():
        lines = (
            f'{{"schema": "walltriage/case/1", "name": "c{n}", "walls": [{{"id": "w1", "answers":'
            f' {{"above_wall": "{"attic" if n % 3 else "room"}"}}}}]}}\n'
            for n in range(40_000)
        )
        cases.write_text("".join(lines))
        done = killed_after(120, home, *arguments, whole.name)
        expect(not done and whole.is_file(), "the whole batch did not end")
    out = home / "out.csv"
    out.unlink(missing_ok=True)
    for _ in range(draw.choice((1, 2))):
        killed_after(draw.uniform(0.2, 4.0), home, *arguments, out.name, "--resume")
        expect(not out.exists() or out.read_bytes() == whole.read_bytes(), "half a file")
    done = killed_after(120, home, *arguments, out.name, "--resume")
    expect(not done, "the resumed batch did not end")
    expect(out.read_bytes() == whole.read_bytes(), "other bytes after resuming")
    expect(not leftovers(home), f"left over: {leftovers(home)}")


def kill_report(home: Path, draw: random.Random) -> None:
    """Kill a report being written over an old one: the old one or the new one is there."""
    (home / "c.yaml").write_text("schema: walltriage/case/1\nname: a\nwalls: [{id: w1}]\n")
    out = home / "c.html"
    arguments = ["report", "c.yaml", "--out", out.name, "--force", "--rules", str(SMALL_RULES)]
    if not out.is_file():
        expect(not killed_after(60, home, *arguments), "the report did not end")
    old = out.read_bytes()
    killed_after(draw.uniform(0.2, 1.2), home, *arguments)
    expect(out.read_bytes() == old, "another report than before")
    expect(not killed_after(60, home, *arguments), "the report did not end")
    expect(not leftovers(home), f"left over: {leftovers(home)}")


KINDS: dict[str, Callable[[Path, random.Random], None]] = {
    "interview": kill_interview, "batch": kill_batch, "report": kill_report,
}  # fmt: skip
SHARES = (7, 1, 2)


def run(kills: int, seed: int) -> tuple[Counter[str], list[str]]:
    """So many kills; how many of each kind, and what went wrong."""
    draw, done, wrong = random.Random(seed), Counter[str](), list[str]()
    with tempfile.TemporaryDirectory(prefix="kill-") as place:
        home = Path(place)
        (home / "tmp").mkdir()
        for number in range(kills):
            (kind,) = draw.choices(tuple(KINDS), SHARES) if number >= 3 else (list(KINDS)[number],)
            done[kind] += 1
            try:
                KINDS[kind](home, draw)
            except AssertionError as error:
                wrong.append(f"{kind}, kill {number}: {error}")
    return done, wrong


def main() -> int:
    """Kill, count and tell."""
    parser = argparse.ArgumentParser(prog="python -m tests.kill", description=__doc__)
    parser.add_argument("--kills", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    done, wrong = run(given.kills, given.seed)
    for kind, count in done.items():
        print(f"{count:6,d}  kills of {kind}")
    print(f"{len(wrong):6,d}  with something lost, unreadable or left over")
    print(*wrong, sep="\n")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
