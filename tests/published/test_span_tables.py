"""Every cell of the published span tables, recomputed.

Sources, editions and provenance stand in ``data/*.yaml``.  Tables that were seen must agree to
the inch in at least 97 cells of 100; no cell anywhere may be more than an inch off.
"""

from pathlib import Path
from typing import Any

import pytest

from tests.conftest import read_yaml
from walltriage.structure.spans import allowable_span
from walltriage.structure.tables import Tables

DATA = Path(__file__).parent / "data"
FILES = ("floor_joists.yaml", "ceiling_joists.yaml", "rafters.yaml", "deck_joists.yaml")
PUBLISHED = {name: table for file in FILES for name, table in read_yaml(DATA / file).items()}
LOWEST_OF = {"lowest of DFL HF SPF": ("DFL", "HF", "SPF")}
CAPS = {"rafter": "26-0", "floor": "18-0"}  # rafters at 26 ft; decks at 18 ft for their footings


def inches(printed: str) -> int:
    feet, rest = printed.removeprefix(">").split("-")
    return int(feet) * 12 + int(rest)


def computed(tables: Tables, table: dict[str, Any], spacing: str, lumber: str, size: str) -> float:
    species, grade = lumber.rsplit(" ", 1)
    return min(
        allowable_span(
            tables, use=table["use"], size=size, species=group, grade=grade,
            spacing_in=float(spacing), live_psf=table["live_psf"], dead_psf=table["dead_psf"],
            deflection=table["deflection"], duration=table["duration"],
            lumped=table.get("lumped", False), wet=table.get("wet", False),
            incised=table.get("incised", False),
        ).span_in
        for group in LOWEST_OF.get(species, (species,))
    )  # fmt: skip


def difference(name: str, table: dict[str, Any], printed: str, span: float) -> int:
    """Inches between computed and printed; a cap or "exceeds" cell counts from its cap."""
    capped = printed.startswith(">") or (
        printed == CAPS.get(table["use"]) and (table["use"] == "rafter" or "deck" in name)
    )
    if capped:
        return min(0, round(span) - inches(printed))
    return round(span) - inches(printed)


def cells(table: dict[str, Any]) -> list[tuple[str, str, str, str]]:
    return [
        (spacing, lumber, size, printed)
        for spacing, rows in table["cells"].items()
        for lumber, row in rows.items()
        for size, printed in row.items()
    ]


@pytest.mark.parametrize("name", PUBLISHED)
def test_table(tables: Tables, name: str) -> None:
    table = PUBLISHED[name]
    off = {
        (spacing, lumber, size, printed): difference(
            name, table, printed, computed(tables, table, spacing, lumber, size)
        )
        for spacing, lumber, size, printed in cells(table)
    }
    far = {cell: inch for cell, inch in off.items() if abs(inch) > 1}
    assert not far
    to_the_inch = sum(inch == 0 for inch in off.values()) / len(off)
    assert to_the_inch >= (0.97 if table["provenance"] == "seen" else 0.90)


def test_every_table_names_its_source_and_provenance() -> None:
    for table in PUBLISHED.values():
        assert table["document"]
        assert table["edition"]
        assert table["table"]
        assert table["provenance"] in ("seen", "memory")


def test_cells_are_all_there() -> None:
    """Guards the data itself: a cell dropped from a file would go unnoticed otherwise."""
    seen = sum(len(cells(t)) for t in PUBLISHED.values() if t["provenance"] == "seen")
    memory = sum(len(cells(t)) for t in PUBLISHED.values() if t["provenance"] == "memory")
    assert (seen, memory) == (538, 1227)


def test_current_values_do_not_reproduce_the_older_printing(tables: Tables) -> None:
    """The older rows need their own edition's values: today's give longer rafters."""
    table = PUBLISHED["rafter_20_20_seen"]
    now = allowable_span(
        tables, use="rafter", size="2x10", species="DFL", grade="No.2", spacing_in=12,
        live_psf=20, dead_psf=20, deflection=240, duration=1.25,
    ).span_in  # fmt: skip
    assert round(now) - inches(table["cells"]["12"]["DFL No.2"]["2x10"]) > 1
