"""The same bytes from every Python: ``python -m tests.pythons python3.12 python3.13``.

Each interpreter named gets a virtual environment with the program in it, and runs what
``tests/unit/test_same_everywhere.py`` runs; what it writes is compared with this one's.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

from tests.unit.test_same_everywhere import outputs

ROOT = Path(__file__).resolve().parents[1]


def main() -> int:
    """Install, run and compare; 1 when a byte differs."""
    interpreters, differ = sys.argv[1:], 0
    if not interpreters:
        sys.exit("expected interpreters, such as python3.12 python3.13")
    with tempfile.TemporaryDirectory(prefix="pythons-") as place:
        folder = Path(place)
        ours = outputs(folder / "this", folder)
        print(f"{sys.version.split()[0]}: {sum(map(len, ours)):,} bytes")
        for number, interpreter in enumerate(interpreters):
            home = folder / f"venv{number}"
            subprocess.run([interpreter, "-m", "venv", home], check=True)
            python = str(home / "bin" / "python")
            subprocess.run([python, "-m", "pip", "install", "-q", f"{ROOT}"], check=True)
            version = subprocess.check_output([python, "-V"], text=True).split()[1]
            theirs = outputs(folder / version, folder, python, PYTHONPATH="")
            same = theirs == ours
            differ += not same
            print(f"{version}: {'the same' if same else 'OTHER'} bytes")
    return 1 if differ else 0


if __name__ == "__main__":
    sys.exit(main())
