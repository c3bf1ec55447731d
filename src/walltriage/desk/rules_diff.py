"""Candidate tables as a diff of the rule files, for ``patch -p1`` in a copy of the rules.

Files are changed where the tables stand and nowhere else: comments, order and short forms stay.
Nothing is written into the rules.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator, Sequence
from difflib import unified_diff
from pathlib import Path

import yaml

from walltriage.desk.table_candidates import Candidate, Rows
from walltriage.errors import InputError
from walltriage.knowledge.load import load_knowledge
from walltriage.knowledge.short_forms import headed
from walltriage.yamltree import read_text

HEAD = (
    "Candidate tables where outcomes disagree with the rules.  Nothing is changed by this file.\n"
    "Answers are counted as they were given, slips and all; walls came because someone\n"
    "looked; tables near in meaning move together.  Weigh each one, name its source, and\n"
    "compare verdicts before any of it is used.\n\n"
)
FOLDERS = ("load_paths", "load_path_parts")


def rules_diff(folder: Path, wanted: Sequence[Candidate]) -> tuple[str, list[Candidate]]:
    """The diff, and the candidates that are not in it: those whose table does not stand in a file
    by itself, and those with which the rules would not load.

    Raises :class:`InputError` for rules that do not load as they are.
    """
    load_knowledge(folder)
    found = {clue for path in _files(folder) for clue, _, _ in _tables(read_text(path))}
    left_out = [one for one in wanted if one.clue not in found]
    kept = [one for one in wanted if one not in left_out]
    if kept and not _loads(folder, kept):
        left_out += [one for one in kept if not _loads(folder, [one])]
        kept = [one for one in kept if one not in left_out]
    lines: list[str] = []
    for path, before, after in _changed(folder, kept):
        name = path.relative_to(folder).as_posix()
        lines += unified_diff(
            before.splitlines(keepends=True), after.splitlines(keepends=True),
            f"a/{name}", f"b/{name}",
        )  # fmt: skip
    return HEAD + "".join(lines) if lines else "", left_out


def _loads(folder: Path, some: Sequence[Candidate]) -> bool:
    """Whether the rules can still be read with these tables."""
    with tempfile.TemporaryDirectory() as place:
        copy = Path(place) / "rules"
        shutil.copytree(folder, copy)
        for path, _, after in _changed(copy, some):
            path.write_text(after, encoding="utf-8")
        try:
            load_knowledge(copy)
        except InputError:
            return False
    return True


def _changed(folder: Path, some: Sequence[Candidate]) -> Iterator[tuple[Path, str, str]]:
    """Each file that changes: its text before and after."""
    by_clue = {one.clue: one for one in some}
    for path in _files(folder):
        before = after = read_text(path)
        tables = [
            (table, by_clue[clue], block)
            for clue, table, block in _tables(before)
            if clue in by_clue
        ]
        for table, candidate, block in sorted(tables, key=lambda t: -t[0].start_mark.index):
            start, end = table.start_mark.index, table.end_mark.index
            end = start + len(after[start:end].rstrip())
            start = len(after[:start].rstrip())  # after the colon of "shows:"
            rows = _block(candidate, block) if block else f" {_flow(candidate.after)}"
            after = after[:start] + rows + after[end:]
        if after != before:
            yield path, before, after


def _files(folder: Path) -> list[Path]:
    """The files with clues in them."""
    return sorted(path for name in FOLDERS for path in (folder / name).glob("*.yaml"))


def _tables(text: str) -> Iterator[tuple[str, yaml.Node, int]]:
    """Each clue's id, its table, and the column of the rows where they can stand in a block."""
    todo = [node for node in (yaml.compose(text, Loader=yaml.SafeLoader),) if node is not None]
    while todo:
        node = todo.pop()
        if isinstance(node, yaml.SequenceNode):
            todo += node.value
        elif isinstance(node, yaml.MappingNode):
            pairs = {key.value: (key, value) for key, value in node.value}
            told = {name: value.value for name, (_, value) in pairs.items()}
            clue = headed(told).get("id")
            if clue is not None and "shows" in pairs:
                key, table = pairs["shows"]
                yield (
                    clue,
                    table,
                    0 if node.flow_style else key.start_mark.column + 2,
                )
            else:
                todo += [value for _, value in pairs.values()]


def _block(candidate: Candidate, column: int) -> str:
    margin = " " * column
    lines = [f"{margin}# candidate from {candidate.outcomes} outcomes; before:"]
    lines += [f"{margin}#   {state}: {_row(row)}" for state, row in candidate.before.items()]
    lines += [f"{margin}{state}: {_row(row)}" for state, row in candidate.after.items()]
    return "\n" + "\n".join(lines)


def _flow(rows: Rows) -> str:
    return "{" + ", ".join(f"{state}: {_row(row)}" for state, row in rows.items()) + "}"


def _row(row: object) -> str:
    assert isinstance(row, dict)
    return "{" + ", ".join(f"{_word(answer)}: {count:g}" for answer, count in row.items()) + "}"


def _word(answer: str) -> str:
    """An answer's id, in quotes where YAML would read it as something else."""
    return yaml.safe_dump(answer, default_flow_style=True).split("\n")[0]
