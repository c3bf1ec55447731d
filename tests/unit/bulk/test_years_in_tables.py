"""Years in words come out of a table as they come out of a case file."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from walltriage.cli import main

SAID = ("1955", "1950s", "1980s", "about 1946", "mid fifties")
WALL = {"above_wall": "only_attic", "wall_place": "inside"}


@pytest.mark.parametrize("sure", ["certain", "guess"])
def test_every_form_of_input_reads_the_same_years(tmp_path, sure):
    """CSV, JSON Lines and YAML give one probability, that of the single-case path."""
    lines, rows = [], ["case,wall,year_built,year_built.sure,above_wall,wall_place"]
    for index, said in enumerate(SAID):
        year = {"value": said, "sure": sure}
        lines.append(json.dumps({
            "schema": "walltriage/case/1", "name": f"c{index}", "house": {"year_built": year},
            "walls": [{"id": "w1", "answers": WALL}],
        }))  # fmt: skip
        rows.append(f"c{index},w1,{said},{sure},only_attic,inside")
        (tmp_path / f"c{index}.json").write_text(lines[-1])
    (tmp_path / "all.jsonl").write_text("\n".join(lines))
    (tmp_path / "all.csv").write_text("\n".join(rows))
    found = []
    for name in ("all.jsonl", "all.csv"):
        out = CliRunner().invoke(main, ["batch", str(tmp_path / name), "--format", "jsonl"])
        assert out.exit_code == 0, out.output
        told = [json.loads(line) for line in out.stdout.splitlines()]
        found.append([(row["lowest"], row["highest"]) for row in told])
    single = []
    for index in range(len(SAID)):
        out = CliRunner().invoke(main, ["triage", "--json", str(tmp_path / f"c{index}.json")])
        assert out.exit_code == 0, out.output
        low, high = json.loads(out.stdout)["walls"][0]["probability"]
        single.append((round(low, 6), round(high, 6)))
    assert [[(round(a, 6), round(b, 6)) for a, b in rows] for rows in found] == [single, single]
