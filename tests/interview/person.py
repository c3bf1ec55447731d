"""A person at a real 80x24 terminal: types lines, reads what the screen shows."""

from __future__ import annotations

import os
import re
import signal
import sys
import time
from pathlib import Path

import pexpect
import pyte

from tests.nursery import Child
from walltriage.interview.screen import READ_THIS

SMALL_RULES = Path(__file__).resolve().parents[1] / "small_rules"
# Both prompts end so; what was typed before never does, because it is followed by a line break.
PROMPT_COLUMN = 3
QUIET = 0.015  # seconds without a byte after which the program is taken to be waiting


class Person:
    """Runs ``walltriage interview`` on a pseudo-terminal of its own, in its own state folder."""

    def __init__(
        self, state: Path, *options: str, rules: Path | None = SMALL_RULES,
        size: tuple[int, int] = (24, 80), fresh: bool = False, **environment: str,
    ) -> None:  # fmt: skip
        self.rows, self.columns = size
        self.heeded: list[str] = []  # the screens that waited until they were read
        env = {
            "PATH": os.environ["PATH"],
            "HOME": str(state),
            "XDG_STATE_HOME": str(state),
            "TERM": "xterm",
            "LANG": "C.UTF-8",
            "PYTHONUTF8": "1",
            "PYTHONPATH": os.pathsep.join(sys.path),  # the program that is being tested
            # rules are read once for all tests
            **{name: os.environ[name] for name in ("XDG_CACHE_HOME",) if name in os.environ},
        } | environment
        arguments = ["interview", *options]
        if rules is not None:  # otherwise the shipped ones
            arguments += ["--rules", str(rules)]
        # what Python itself reads when it starts needs a real start
        self.fresh = fresh or not environment.keys() <= {"TERM", "NO_COLOR"}
        self.child = self.spawn(state, arguments, env)
        self.screen = pyte.HistoryScreen(self.columns, self.rows, history=2000)
        self.stream = pyte.ByteStream(self.screen)
        self.raw = b""

    def spawn(
        self, state: Path, arguments: list[str], env: dict[str, str]
    ) -> pexpect.spawn | Child:
        """Start the program at a terminal of its own: a fork of a clean one, or a fresh one."""
        if not self.fresh:
            return Child(state, env, arguments, (self.rows, self.columns))
        child = pexpect.spawn(
            sys.executable, ["-m", "walltriage", *arguments],
            env=env, dimensions=(self.rows, self.columns), cwd=str(state), timeout=20,
        )  # fmt: skip
        child.delaybeforesend = None  # nothing is typed before the prompt is there
        return child

    def _pump(self) -> bool:
        """Take in what has arrived; False at the end."""
        try:
            data = self.child.read_nonblocking(65536, timeout=QUIET)
        except pexpect.TIMEOUT:
            return True
        except pexpect.EOF:
            return False
        self.raw += data
        self.stream.feed(data)
        return True

    def waiting(self) -> bool:
        """Whether the program waits at an empty prompt."""
        cursor = self.screen.cursor
        if cursor.x != PROMPT_COLUMN:  # asked after each piece that arrives: most are no prompt
            return False
        line = self.screen.buffer[cursor.y]
        return "".join(line[x].data for x in range(self.columns)).rstrip() == " >"

    def at_prompt(self, seconds: float = 20.0) -> str:
        """Wait for the prompt; the screen as text.  What only has to be read is read."""
        until = time.monotonic() + seconds
        while time.monotonic() < until:
            if self.waiting() and not self._pending():
                if READ_THIS not in self.shown.rstrip()[-len(READ_THIS) - 9 :]:
                    return self.shown
                self.heeded.append(self.shown)
                self.child.send("\r")
                self._moved_on()
            alive = self._pump()
            if not alive:
                break
        raise AssertionError(f"no prompt:\n{self.shown}")

    def _pending(self) -> bool:
        before = len(self.raw)
        self._pump()
        return len(self.raw) != before

    @property
    def shown(self) -> str:
        """The lines on screen."""
        return "\n".join(line.rstrip() for line in self.screen.display)

    @property
    def everything(self) -> str:
        """The screen with all that has scrolled away above it."""
        past = [
            "".join(line[x].data for x in range(self.columns)).rstrip()
            for line in self.screen.history.top
        ]
        return "\n".join([*past, self.shown])

    def type(self, line: str) -> str:
        """Type a line and wait for the next prompt; the screen then."""
        self.at_prompt()
        self.child.send(line + "\r")
        self._moved_on()
        return self.at_prompt()

    def last(self, line: str) -> str:
        """Type a line after which the program ends; all that was shown."""
        self.at_prompt()
        self.child.send(line + "\r")
        return self.end()

    def _moved_on(self) -> None:
        before = len(self.raw)
        until = time.monotonic() + 5
        while time.monotonic() < until and (len(self.raw) == before or self.waiting()):
            if not self._pump():
                return

    def end(self) -> str:
        """Wait for the end of the program; all that was shown."""
        until = time.monotonic() + 20
        while self._pump():
            assert time.monotonic() < until, self.shown
        self.child.wait()
        return self.everything

    @property
    def status(self) -> int | None:
        """Exit status."""
        self.child.close()
        return self.child.exitstatus

    def kill(self) -> None:
        """End the program as a power cut would."""
        os.kill(self.child.pid, signal.SIGKILL)
        self.child.wait()


def saved_path(text: str) -> Path:
    """The file named in the parting message, put together over line ends."""
    found = re.search(r"--resume (\S+(?:\n\S+)?)", text)
    assert found, text
    return Path(found[1].replace("\n", ""))
