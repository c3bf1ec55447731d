"""The program run in a fork of this process, where everything is imported already.

A real start costs a second of imports; a fork starts at once, so that a kill at a random moment
falls into the work itself and a thousand of them take minutes.
"""

from __future__ import annotations

import atexit
import contextlib
import importlib
import os
import pkgutil
import signal
import sys
import tempfile
import time
from collections.abc import Mapping
from pathlib import Path
from typing import NoReturn

import walltriage
from walltriage.cli import main

_APART = ("walltriage.__main__", "walltriage.desk", "walltriage.lab", "walltriage.prove")


def warm_up() -> None:
    """Import what commands import when they are first used, but for what needs a library more."""
    for module in pkgutil.walk_packages(walltriage.__path__, "walltriage."):
        if not module.name.startswith(_APART):
            try:
                importlib.import_module(module.name)
            except ImportError as error:
                if (error.name or "").startswith("walltriage"):
                    raise


def become(home: Path, environment: Mapping[str, str], arguments: tuple[str, ...]) -> NoReturn:
    """In a fork: run the program as a fresh process would, and end."""
    status = 1
    try:
        atexit._clear()
        signal.signal(signal.SIGHUP, signal.SIG_DFL)  # else tests under nohup hand down their own
        os.closerange(3, 256)
        os.chdir(home)
        os.environ.clear()
        os.environ.update(environment)
        tempfile.tempdir = None
        sys.argv = ["walltriage", *arguments]
        sys.stdin, sys.stdout, sys.stderr = (
            os.fdopen(handle, mode, encoding="utf-8", closefd=False)
            for handle, mode in ((0, "r"), (1, "w"), (2, "w"))
        )
        main(list(arguments))
    except SystemExit as ended:
        status = ended.code if isinstance(ended.code, int) else 1
    finally:
        atexit._run_exitfuncs()
        sys.stdout.flush()
        os._exit(status)


def start(home: Path, environment: Mapping[str, str], *arguments: str) -> int:
    """Start the program, its output into ``home/said``; the id of its process."""
    pid = os.fork()
    with contextlib.suppress(OSError):  # by both, as either may come first
        os.setpgid(pid, 0)  # what it starts itself can then be ended with it
    if not pid:
        silence, said = os.open(os.devnull, os.O_RDONLY), home / "said"
        told = os.open(said, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        for handle, to in ((silence, 0), (told, 1), (told, 2)):
            os.dup2(handle, to)
        become(home, environment, arguments)
    return pid


def ended_within(pid: int, seconds: float) -> int | None:
    """The exit status, or None while it is still running after so long."""
    until = time.monotonic() + seconds
    while True:
        done, status = os.waitpid(pid, os.WNOHANG)
        if done:
            return os.waitstatus_to_exitcode(status)
        left = until - time.monotonic()
        if left <= 0:
            return None
        time.sleep(min(left, 0.005))
