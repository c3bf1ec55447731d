"""Read ``rules/`` into a :class:`KnowledgeBase`, telling every mistake of every file at once.

What reads and checks the files is imported only where they have not been kept from before.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

from walltriage.errors import InputError, refuse
from walltriage.files import read_bytes
from walltriage.knowledge import rule_cache
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.entry_places import LateAnchors
from walltriage.knowledge.report_texts import ReportTexts
from walltriage.yamltree import Tree, load


def load_knowledge(
    folder: Path,
    cache: Path | None = None,
    say: Callable[[str], str] | None = None,
    words: str = "",
) -> KnowledgeBase:
    """Read and check the knowledge base in ``folder``; :class:`InputError` with all problems.

    With ``cache``, rules that were read and found in order before are taken from there.  ``say``
    puts their texts into another language, which ``words`` tell from every other: without them
    rules in that language are read every time.
    """
    if not folder.is_dir():
        raise refuse(folder, "no such folder", "expected a rules folder")
    cache = cache if say is None or words else None
    sha256 = digest(folder)
    name = rule_cache.key(folder, sha256, words) if cache is not None else ""
    known = rule_cache.read(cache, name, folder) if cache is not None else None
    if known is not None:
        return replace(known, anchors=LateAnchors(lambda: load_knowledge(folder).anchors))
    from walltriage.knowledge.reading import RulesReader, knowledge_base

    base = knowledge_base(RulesReader(folder, say=say), sha256)
    if cache is not None and digest(folder) == sha256:  # nobody changed a file meanwhile
        rule_cache.write(cache, name, base)
    return base


def parsed_files(folder: Path) -> dict[str, Tree]:
    """Every YAML file of a rules folder in its long form, by its name in the folder."""
    from walltriage.knowledge import short_forms

    files = sorted(folder.rglob("*.yaml"))
    reasons = short_forms.reasons_of(folder)
    return {
        p.relative_to(folder).as_posix(): short_forms.written_out(load(p), reasons) for p in files
    }


def knowledge_of(folder: Path, parsed: Mapping[str, Tree], sha256: str = "") -> KnowledgeBase:
    """A knowledge base of files parsed before, some perhaps changed since; checked as ever."""
    from walltriage.knowledge.reading import RulesReader, knowledge_base

    return knowledge_base(RulesReader(folder, parsed=parsed), sha256)


def load_report_texts(path: Path) -> ReportTexts:
    """One file of report texts alone; what it refers to is not checked."""
    from walltriage.knowledge.reading import RulesReader

    reader = RulesReader(path.parent)
    texts = reader.read(path, ReportTexts)
    if texts is None:
        raise InputError(reader.problems)
    return texts


def digest(folder: Path) -> str:
    """SHA-256 over the name and bytes of every YAML file, lumber and loads included."""
    digest = hashlib.sha256()
    for path in sorted(folder.rglob("*.yaml")):
        content = read_bytes(path)
        name = path.relative_to(folder).as_posix()
        digest.update(f"{name}\0{len(content)}\0".encode() + content)
    return digest.hexdigest()
