"""Draw the charts of docs/method.md: ``python docs/study/make.py RESULT.json ...``.

Each RESULT is what ``walltriage study --json`` printed for one seed and reporter; runs of one
reporter are added up.  The pictures are written beside this file.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from walltriage.errors import InputError
from walltriage.lab.charts import draw

HERE = Path(__file__).resolve().parent


def main(results: list[str]) -> None:
    """Write one SVG file for each chart."""
    found = [json.loads(Path(name).read_text(encoding="utf-8")) for name in results]
    for name, picture in draw(found).items():
        (HERE / name).write_text(picture, encoding="utf-8")
        print(f"{HERE / name}: written")


if __name__ == "__main__":
    if len(sys.argv) < 2:
        sys.exit("usage: python docs/study/make.py RESULT.json ...")
    try:
        main(sys.argv[1:])
    except (InputError, OSError, ValueError, KeyError) as error:
        sys.exit(f"docs/study/make.py: {error}")
