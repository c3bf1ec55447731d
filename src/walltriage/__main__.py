"""``python -m walltriage``."""

from walltriage.cli import run

run()
