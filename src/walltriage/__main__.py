"""``python -m walltriage``."""

from walltriage.cli import main

main()
