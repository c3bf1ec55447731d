"""The whole report as blocks: which sheets for whom."""

from __future__ import annotations

import json

from walltriage.case.model import CASE_SCHEMA, Role
from walltriage.case.write import case_data
from walltriage.inference.finding import FINDING_SCHEMA
from walltriage.language import say
from walltriage.report import for_buyer, for_firm, for_trade, words
from walltriage.report.blocks import Data, Document, said
from walltriage.report.finding_json import finding_line
from walltriage.report.metric import in_measure_of
from walltriage.report.subject import Depth, Request, shortened

KIND_WORDS: dict[Role, str] = {
    "buyer": "For the home buyer",
    "trade": "For the trade",
    "firm": "Intake packet for an engineering firm",
}
USUAL_DEPTH: dict[Role, Depth] = {"buyer": 1, "trade": 1, "firm": 2}
PRELIMINARY_NOTE = (
    "Preliminary sizes and loads: for judging feasibility and for an engineer to check. "
    "Not for construction."
)
_SHEETS = {"buyer": for_buyer.sheets, "trade": for_trade.sheets, "firm": for_firm.sheets}


def build(request: Request) -> Document:
    """The report on every wall of the request's finding, with every text made harmless."""
    finding = request.finding
    sheets = tuple(_SHEETS[request.audience](request))
    document = Document(
        title=shortened(finding.case),
        kind=say(KIND_WORDS[request.audience]),
        made_on=request.made_on,
        rules=_rules(request),
        limits=say(words.LIMITS_SENTENCE),
        preliminary=say(PRELIMINARY_NOTE),
        sheets=sheets,
        data=_data(request) if request.audience == "firm" else (),
        letterhead=request.letterhead,
    )
    return in_measure_of(finding.given, said(document))


def _rules(request: Request) -> str:
    """Which rules judged; for a firm how their digest begins, which is whole in the JSON."""
    rules = request.finding.rules
    digest = (
        say(", sha256 {sha256}", sha256=rules.sha256[:12]) if request.audience == "firm" else ""
    )
    return say("Rules {version}{digest}", version=rules.version, digest=digest)


def _data(request: Request) -> tuple[Data, ...]:
    """The result and the case, to be read by another program."""
    case = json.dumps(case_data(request.finding.given), ensure_ascii=True, separators=(", ", ": "))
    result = finding_line(request.finding)
    return (
        Data("finding.json", say("The result, {schema}", schema=FINDING_SCHEMA), result),
        Data("case.json", say("The answers, {schema}", schema=CASE_SCHEMA), case),
    )
