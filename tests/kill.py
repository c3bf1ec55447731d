"""Ends the program at random moments with SIGKILL, as a power cut would, and looks what is left.

``python -m tests.kill --times 1000``.  Only a program that was still running counts as killed.
After each kill: every answer that was accepted is in the file, the file can be read, an
interrupted batch resumed gives the same bytes as one that was not, and the next start leaves
nothing lying about.
"""

from __future__ import annotations

import argparse
import os
import random
import shutil
import signal
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import pexpect
import yaml

from tests import forked
from tests.interview.person import SMALL_RULES, Person
from walltriage.bulk import blocks

RELATIONS = """
settings: {facing_share: 0.5, in_line: 1 ft, long_line_share: 0.75, joist_depth: 1 ft,
  hall_least: 2 ft 6 in, hall_most: 5 ft 6 in, near_opening: 2 ft, near_edge: 2 ft,
  plain_for_sure: 8 ft, plain_at_least: 4 ft}
sureness: [{sure: fairly}]
answers:
  - {relation: length, question: wall_length, measured: true, source: common practice,
     limits: [As drawn.]}
"""
LONG_ENOUGH = 120.0  # seconds for one command, on a machine with other work


class LostError(AssertionError):
    """Something accepted is gone, or something is left over."""


def environment(home: Path) -> dict[str, str]:
    """The environment of a person at home, with temporary files there too."""
    return {
        "PATH": os.environ["PATH"], "HOME": str(home), "TMPDIR": str(home / "tmp"),
        "PYTHONPATH": os.pathsep.join(sys.path), "PYTHONUTF8": "1", "TERM": "xterm",
    }  # fmt: skip


class ForkedPerson(Person):
    """A person at a terminal whose program is a fork of this process."""

    def spawn(self, state: Path, arguments: list[str], env: dict[str, str]) -> pexpect.spawn:
        """Fork at a terminal of its own; nothing is executed anew."""
        return pexpect.spawn(
            sys.executable, dimensions=(24, 80), timeout=20,
            preexec_fn=partial(forked.become, state, env, tuple(arguments)),
        )  # fmt: skip


def whole(home: Path, *arguments: str) -> float:
    """Run the program to its end; how many seconds that took."""
    started = time.monotonic()
    pid = forked.start(home, environment(home), *arguments)
    status = forked.ended_within(pid, LONG_ENOUGH)
    expect(status == 0, f"{arguments[0]} ended with {status}: {(home / 'said').read_text()}")
    return time.monotonic() - started


def killed_after(seconds: float, home: Path, *arguments: str) -> bool:
    """Start the program and kill it after some time; whether it was still running."""
    pid = forked.start(home, environment(home), *arguments)
    if forked.ended_within(pid, seconds) is not None:
        return False
    os.killpg(pid, signal.SIGKILL)
    os.waitpid(pid, 0)
    return True


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


def kill_interview(home: Path, draw: random.Random) -> str | None:
    """Answer the pages of person, plan, wall and questions; kill in between or while typing."""
    rules = home / "planned"
    if not rules.is_dir():
        shutil.copytree(SMALL_RULES, rules)
        (rules / "relations.yaml").write_text(RELATIONS)
    name = f"house{draw.randrange(10**9)}"
    path = home / f"{name}.yaml"
    person = ForkedPerson(home, "--for", "trade", "--save", path.name, rules=rules)
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
    again = ForkedPerson(home, "--resume", path.name, rules=rules)
    shown = again.at_prompt()
    if stop < FIRST_OUTLINE + OUTLINE - 1:
        expect("The plan" in shown, f"the plan is not asked for any more: {shown}")
    again.kill()
    again.child.close(force=True)
    left = [one for one in leftovers(home) if name in one]
    expect(not left, f"left over: {left}")
    path.unlink()
    return "plan entry" if FIRST_OUTLINE <= stop < FIRST_ANSWER else "interview"


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


BATCH_LINES, BLOCK_BYTES = 4_000, 32 << 10  # some 16 tasks, each kept when it is done


def kill_batch(home: Path, draw: random.Random) -> str | None:
    """Kill a batch, perhaps twice, and resume it: the same bytes as without."""
    blocks.BLOCK_BYTES = BLOCK_BYTES  # the forks are made with it
    cases, complete, took = home / "cases.jsonl", home / "whole.csv", home / "batch.seconds"
    arguments = ["batch", cases.name, "--rules", str(SMALL_RULES), "--out"]
    if not complete.is_file():
        lines = (
            f'{{"schema": "walltriage/case/1", "name": "c{n}", "walls": [{{"id": "w1", "answers":'
            f' {{"above_wall": "{"attic" if n % 3 else "room"}"}}}}]}}\n'
            for n in range(BATCH_LINES)
        )
        cases.write_text("".join(lines))
        took.write_text(str(whole(home, *arguments, complete.name)))
    out = home / "out.csv"
    out.unlink(missing_ok=True)
    killed = False
    for _ in range(draw.choice((1, 1, 2))):
        moment = draw.uniform(0, float(took.read_text()))
        killed |= killed_after(moment, home, *arguments, out.name, "--resume")
        expect(not out.exists() or out.read_bytes() == complete.read_bytes(), "half a file")
    whole(home, *arguments, out.name, "--resume")
    expect(out.read_bytes() == complete.read_bytes(), "other bytes after resuming")
    expect(not leftovers(home), f"left over: {leftovers(home)}")
    return "batch" if killed else None


def kill_report(home: Path, draw: random.Random) -> str | None:
    """Kill a report being written over another: the old one or the new one is there, whole."""
    old, new, out = home / "old.html", home / "new.html", home / "c.html"
    case, took = home / "c.yaml", home / "report.seconds"
    arguments = ["report", case.name, "--force", "--rules", str(SMALL_RULES), "--out"]
    if not new.is_file():
        for name, path in (("a", old), ("b", new)):
            case.write_text(f"schema: walltriage/case/1\nname: {name}\nwalls: [{{id: w1}}]\n")
            took.write_text(str(whole(home, *arguments, path.name)))
    shutil.copyfile(old, out)
    moment = draw.uniform(0, float(took.read_text()))
    killed = killed_after(moment, home, *arguments, out.name)
    expect(out.read_bytes() in (old.read_bytes(), new.read_bytes()), "half a report")
    whole(home, *arguments, out.name)
    expect(out.read_bytes() == new.read_bytes(), "another report than before")
    expect(not leftovers(home), f"left over: {leftovers(home)}")
    return "report" if killed else None


KINDS: dict[str, Callable[[Path, random.Random], str | None]] = {
    "interview": kill_interview, "batch": kill_batch, "report": kill_report,
}  # fmt: skip
SHARES = (6, 2, 2)


def run(times: int, seed: int) -> tuple[Counter[str], list[str]]:
    """So many kills of a running program; how many of each kind, and what went wrong."""
    draw, done, wrong = random.Random(seed), Counter[str](), list[str]()
    kinds = [*KINDS, "interview"]  # at first one of each; two interviews, as the plan may be hit
    forked.warm_up()
    with tempfile.TemporaryDirectory(prefix="kill-") as place:
        home = Path(place)
        (home / "tmp").mkdir()
        while done.total() < times:
            kind = kinds.pop() if kinds else draw.choices(tuple(KINDS), SHARES)[0]
            try:
                hit = KINDS[kind](home, draw)
            except KeyboardInterrupt:  # what was found so far is told
                break
            except AssertionError as error:
                hit = kind
                wrong.append(f"{kind}, kill {done.total()}: {error}")
            if hit:
                done[hit] += 1
    return done, wrong


def main() -> int:
    """Kill, count and tell."""
    parser = argparse.ArgumentParser(prog="python -m tests.kill", description=__doc__)
    parser.add_argument("--times", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    done, wrong = run(given.times, given.seed)
    for kind, count in sorted(done.items()):
        print(f"{count:6,d}  kills of {kind}")
    print(f"{len(wrong):6,d}  with something lost, unreadable or left over")
    print(*wrong, sep="\n")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
