"""Write the golden reports and the schema of results anew: ``python -m tests.golden.remake``.

Then look at the difference.
"""

from __future__ import annotations

import io
import json
import textwrap
from pathlib import Path

from tests.unit.report.conftest import CASES, MADE_ON, REPORT_RULES
from walltriage.case.model import Role
from walltriage.case.read import read_case
from walltriage.inference.triage import Triager
from walltriage.knowledge.load import load_knowledge
from walltriage.report.files import make_request, rendered
from walltriage.report.finding_json import finding_schema
from walltriage.report.subject import Depth

HERE = Path(__file__).resolve().parent
SCHEMA = HERE.parents[1] / "docs" / "finding.schema.json"
GOLDEN: dict[str, tuple[str, Role, Depth]] = {
    "bungalow-buyer.html": ("bungalow", "buyer", 1),
    "bungalow-buyer.md": ("bungalow", "buyer", 1),
    "bungalow-buyer.pdf.txt": ("bungalow", "buyer", 1),
    "truss_house-trade.md": ("truss_house", "trade", 1),
    "two_walls-firm.md": ("two_walls", "firm", 3),
    "two_walls-firm.json": ("two_walls", "firm", 1),
}
"""File name -> case, reader, depth.  A PDF is kept as the text an independent library reads."""


def golden_text(triager: Triager, name: str) -> str:
    """What the file of this name has to hold."""
    case, audience, depth = GOLDEN[name]
    answers = read_case(CASES / f"{case}.yaml", triager.base.questions)
    request = make_request(triager, answers, MADE_ON, audience, depth)
    if name.endswith(".pdf.txt"):
        return pdf_text(rendered(request, "pdf"))
    form = name.rpartition(".")[2]
    return rendered(request, form).decode("utf-8")  # type: ignore[arg-type]


def pdf_text(content: bytes) -> str:
    """The words of a PDF, page by page; line breaks and gaps are the reading library's own."""
    from pypdf import PdfReader

    pages = PdfReader(io.BytesIO(content)).pages
    words = [" ".join(page.extract_text().split()) for page in pages]
    return "\n---\n".join(textwrap.fill(text, 100) for text in words) + "\n"


def main() -> None:
    """Write them all."""
    triager = Triager(load_knowledge(REPORT_RULES))
    for name in GOLDEN:
        (HERE / name).write_text(golden_text(triager, name), encoding="utf-8")
        print(f"{HERE / name}: written")
    SCHEMA.write_text(json.dumps(finding_schema(), indent=2) + "\n", encoding="utf-8")
    print(f"{SCHEMA}: written")


if __name__ == "__main__":
    main()
