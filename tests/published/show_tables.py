"""Print how every published table compares: ``python -m tests.published.show_tables``.

One line a table: cells, within the tolerance, to the inch, and the worst cell.
"""

from pathlib import Path

from tests.published import test_headers as headers
from tests.published import test_span_tables as spans
from walltriage.structure.largest_opening import largest_opening
from walltriage.structure.tables import load_tables

RULES = Path(__file__).parents[2] / "rules"


def line(name: str, provenance: str, off: dict[str, int], tolerance: int) -> str:
    worst = max(off, key=lambda cell: abs(off[cell]))
    told = f"{off[worst]:+d} in at {worst}" if off[worst] else "none"
    within = sum(abs(inch) <= tolerance for inch in off.values())
    exact = sum(inch == 0 for inch in off.values())
    return f"{name:<45} {provenance:<7} {len(off):>5} {within:>5} {exact:>5}  {told}"


def main() -> None:
    tables = load_tables(RULES)
    print(f"{'table':<45} {'':<7} cells  <=1in exact  worst")
    for name, table in spans.PUBLISHED.items():
        off = {
            f"{spacing} in {lumber} {size} ({printed})": spans.difference(
                name, table, printed, spans.computed(tables, table, spacing, lumber, size)
            )
            for spacing, lumber, size, printed in spans.cells(table)
        }
        print(line(name, table["provenance"], off, 1))
    print(f"\n{'headers':<45} {'':<7} cells  <=2in exact  worst")
    for name, table in headers.PUBLISHED.items():
        own = table["case"] == "roof" and not table.get("older", False)
        off = {}
        for size, width, printed, _ in headers.cells(table):
            loads = headers.recovered_loads(table, float(width))
            span = min(
                largest_opening(tables, member, loads, own_weight=own, clear_span=True)
                for member in headers.headers(tables, table, size)
            )
            off[f"{size}, {width} ft ({printed})"] = round(span) - headers.inches(printed)
        print(line(name, table["provenance"], off, 2))


if __name__ == "__main__":
    main()
