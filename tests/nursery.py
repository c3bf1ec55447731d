"""A clean process with everything imported and nothing run: programs at terminals are its forks.

A real start costs a quarter of a second of imports, hundreds of times.  What forks here has judged
nothing before and has no thread of another test, as a fork of the tests' own process would.
"""

from __future__ import annotations

import atexit
import errno
import fcntl
import gc
import json
import os
import pty
import signal
import socket
import struct
import subprocess
import sys
import termios
import time
from functools import cache
from pathlib import Path
from typing import Any

from pexpect.fdpexpect import fdspawn

from tests import forked

MOST = 1 << 20  # bytes of one request


class Nursery:
    """The tests' end of it: one for each of their processes."""

    def __init__(self) -> None:
        self._line, theirs = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
        command = [sys.executable, "-m", "tests.nursery", str(theirs.fileno())]
        env = os.environ | {"PYTHONPATH": os.pathsep.join(sys.path)}
        self._process = subprocess.Popen(command, pass_fds=[theirs.fileno()], env=env)
        theirs.close()
        atexit.register(self.end)

    def born(
        self, home: Path, env: dict[str, str], arguments: list[str], size: tuple[int, int]
    ) -> tuple[int, int]:
        """A program at a terminal of its own: its process id and our end of the terminal."""
        request = {"home": str(home), "env": env, "arguments": arguments, "size": size}
        self._line.send(json.dumps(request).encode())
        answer, (terminal,), _, _ = socket.recv_fds(self._line, MOST, 1)
        return json.loads(answer), terminal

    def ended(self, pid: int) -> int | None:
        """The exit status (below 0: a signal), or None while it runs."""
        self._line.send(json.dumps({"pid": pid}).encode())
        status: int | None = json.loads(self._line.recv(MOST))
        return status

    def end(self) -> None:
        """At the end of the tests."""
        self._line.close()
        self._process.wait()


nursery = cache(Nursery)


class Child(fdspawn):
    """A program of the nursery's, used like one that was started here."""

    def __init__(
        self, home: Path, env: dict[str, str], arguments: list[str], size: tuple[int, int]
    ) -> None:
        pid, terminal = nursery().born(home, env, arguments, size)
        super().__init__(terminal, timeout=20)
        self.pid = pid

    def wait(self) -> int:
        """The exit status, once it has ended."""
        while self.exitstatus is None and self.signalstatus is None:
            self._ask()
            time.sleep(0.002)
        return self.exitstatus if self.exitstatus is not None else -1

    def close(self, force: bool = True) -> None:
        """Hang up; whatever does not end of itself is killed."""
        if not self.closed:
            super().close()
        until = time.monotonic() + 2
        while self.exitstatus is None and self.signalstatus is None:
            if time.monotonic() > until:
                os.kill(self.pid, signal.SIGKILL)
            self._ask()
            time.sleep(0.002)

    def _ask(self) -> None:
        if self.exitstatus is None and self.signalstatus is None:
            status = nursery().ended(self.pid)
            if status is not None:
                self.exitstatus, self.signalstatus = (
                    (status, None) if status >= 0 else (None, -status)
                )


def serve(line: socket.socket) -> None:
    """Fork for each request until the tests hang up."""
    forked.warm_up()
    gc.freeze()  # else the first collection in each fork would copy all of it
    while request := _request(line):
        if "pid" in request:
            pid, status = os.waitpid(request["pid"], os.WNOHANG)
            line.send(json.dumps(os.waitstatus_to_exitcode(status) if pid else None).encode())
            continue
        pid, terminal = pty.fork()
        if not pid:
            fcntl.ioctl(0, termios.TIOCSWINSZ, struct.pack("HHHH", *request["size"], 0, 0))
            forked.become(Path(request["home"]), request["env"], tuple(request["arguments"]))
        socket.send_fds(line, [json.dumps(pid).encode()], [terminal])
        os.close(terminal)


def _request(line: socket.socket) -> dict[str, Any]:
    try:
        return json.loads(line.recv(MOST) or b"{}")
    except OSError as error:
        if error.errno == errno.ECONNRESET:
            return {}
        raise


if __name__ == "__main__":
    serve(socket.socket(fileno=int(sys.argv[1])))
