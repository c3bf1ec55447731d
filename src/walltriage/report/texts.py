"""The fixed texts of reports."""

from __future__ import annotations

from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.load import load_report_texts
from walltriage.knowledge.report_texts import FILE_NAME, ReportTexts
from walltriage.rules_folder import default_rules_folder


def texts_for(base: KnowledgeBase) -> ReportTexts:
    """The knowledge base's own report texts, or the shipped ones when it has none."""
    return base.report_texts or load_report_texts(default_rules_folder() / FILE_NAME)
