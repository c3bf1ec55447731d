"""Report texts: the shipped file is whole, and each mistake in it is told at its place."""

from __future__ import annotations

import shutil

import pytest

from tests.conftest import HERE, SMALL_RULES, shipped_rules
from walltriage.errors import InputError
from walltriage.knowledge.load import load_knowledge, load_report_texts
from walltriage.report.texts import texts_for

GOOD = HERE / "report_rules"


def messages(folder) -> list[str]:
    """Every problem of a rules folder, paths cut to the folder."""
    try:
        load_knowledge(folder)
    except InputError as error:
        return [str(problem).replace(f"{folder}/", "") for problem in error.problems]
    return []


@pytest.mark.parametrize(
    ("was", "now", "told"),
    [
        ("hidden_in_wall:", "hidden_in_wal:", "unknown key 'hidden_in_wal' (did you mean"),
        ("paths: [bracing]", "paths: [bracin]",
         "unknown load path 'bracin' (did you mean 'bracing'?)"),
        ("verdicts: [likely_bearing]", "verdicts: [bearing]", "'bearing' is not allowed"),
        ("levels: [urgent]", "levels: [grave]", "'grave' is not allowed"),
        ("place: outside", "place: garden", "'garden' is not allowed for 'place'"),
        ("house_width: house_width", "house_width: house_widht",
         "unknown question 'house_widht' (did you mean 'house_width'?)"),
        ("house_width: house_width", "house_width: built_of", "'built_of' does not ask a length"),
        ("question: ridge_direction", "question: ridge_way", "unknown question 'ridge_way'"),
        ("along_length: along_length", "along_lenght: along_length",
         "'along_lenght' is not an answer to 'ridge_direction' (did you mean 'along_length'?)"),
        ("along_length: along_length", "along_length: sideways",
         "'ridge' is not drawn as 'sideways'; along_length, along_width"),
        ("id: hides_gas", "id: hides_wires", "id 'hides_wires' is taken"),
        ("id: hides_gas", "id: clue_under_wall", "is taken"),
        ("source: common practice", "source: hearsay", "unknown source 'hearsay'"),
    ],
)  # fmt: skip
def test_mistake_is_told(tmp_path, was, now, told):
    """One mistake, one message, with line and column."""
    folder = tmp_path / "rules"
    shutil.copytree(GOOD, folder)
    file = folder / "report_texts.yaml"
    text = file.read_text(encoding="utf-8")
    assert was in text
    file.write_text(text.replace(was, now, 1), encoding="utf-8")
    found = messages(folder)
    assert any(told in line for line in found), found
    assert all(line.startswith("report_texts.yaml:") or "is taken" in line for line in found)
    line, column = found[0].split(":")[1:3]
    assert int(line) > 0
    assert int(column) > 0


def test_both_files_are_whole():
    """The shipped knowledge base and that of the report tests load, texts included."""
    assert load_knowledge(GOOD).report_texts is not None
    assert shipped_rules().report_texts is not None


def test_own_folder_may_leave_them_out():
    """A folder without the file gets the shipped texts."""
    base = load_knowledge(SMALL_RULES)
    assert base.report_texts is None
    assert texts_for(base) == shipped_rules().report_texts


def test_texts_count_for_the_hash(tmp_path):
    """The hash in every report tells which texts it was printed with."""
    folder = tmp_path / "rules"
    shutil.copytree(GOOD, folder)
    before = load_knowledge(folder).sha256
    file = folder / "report_texts.yaml"
    file.write_text(file.read_text(encoding="utf-8") + "# more\n", encoding="utf-8")
    assert load_knowledge(folder).sha256 != before


def test_a_file_alone(tmp_path):
    """Mistakes of form are told for a file read by itself too."""
    file = tmp_path / "report_texts.yaml"
    file.write_text("pricing: []\n", encoding="utf-8")
    with pytest.raises(InputError, match="missing key"):
        load_report_texts(file)


def test_every_verdict_has_a_price_answer():
    """Whatever comes out, the trade's question is answered."""
    texts = shipped_rules().report_texts
    for verdict in ("likely_bearing", "likely_non_bearing", "cannot_tell"):
        assert [p for p in texts.pricing if not p.levels and verdict in p.verdicts]
