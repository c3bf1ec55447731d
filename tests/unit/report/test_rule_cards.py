"""What is printed of an entry: its text, its weights both ways, where it is used."""

from __future__ import annotations

import json
import shutil

import pytest
from click.testing import CliRunner

from tests.conftest import RULES, SMALL_RULES
from walltriage.commands.rules import command
from walltriage.errors import InputError
from walltriage.inference.belief.tree import Belief, Reported
from walltriage.knowledge.load import load_knowledge
from walltriage.report.card import Card, Grid, as_markdown, as_text
from walltriage.report.catalogue import catalogue
from walltriage.report.rule_cards import Cards, UnknownEntryError

CATALOGUE = RULES.parent / "docs" / "rule-catalogue.md"


def show(*args):
    """The command's result on the small rules."""
    result = CliRunner().invoke(command, [*args, "--rules", str(SMALL_RULES)])
    if isinstance(result.exception, InputError):
        raise result.exception
    return result


def facts(card):
    """The labelled texts of a card; the last of a label counts."""
    return dict(card.facts)


@pytest.mark.parametrize("rules", ["small", "full"])
def test_every_entry_has_a_card(rules, request):
    """Questions, paths, conditions, rules and sources all print, with a line of their own."""
    base = request.getfixturevalue(rules).base
    cards = Cards(base)
    for name in cards.ids():
        card = cards.card(name)
        assert card.id == name
        assert card.line > 0
        assert as_text(card).startswith(f"{card.kind} {name}\n")
        assert as_markdown(card).startswith(f"### `{name}`\n")


def test_a_clue_tells_counts_and_weights(small):
    """Natural frequencies as written, and the decibans that the belief really uses."""
    counts, alone = Cards(small.base).card("clue_joists_run").grids
    assert counts.head == ("state", "along", "across")
    assert counts.rows == [("along", "95", "5"), ("across", "5", "95")]
    table = Belief(small.base).tables["framing_above"]["joist_run"]
    checked = table.weight([Reported("clue_joists_run", "joist_run", "along", 0.985)])
    weight = table.weight([Reported("clue_joists_run", "joist_run", "along", 0.97)])
    assert alone.rows[0][:3] == ("framing_above", "checked", f"{checked:+.1f} dB")
    assert alone.rows[1][1:3] == ("confirmed", f"{weight:+.1f} dB")
    assert alone.rows[2][1:3] == ("certain", f"{weight:+.1f} dB")
    assert float(alone.rows[4][2].split()[0]) > weight > checked


def test_a_question_names_its_readers_through_facts(small):
    """A rule that reads a question by way of a fact is named too."""
    card = Cards(small.base).card("above_wall")
    assert facts(card)["read by"] == "fact_attic_above, rate_room_above, joists_run, joists_end"
    assert ("unknown", "not known", "weighs nothing") in card.grids[0].rows


def test_a_rule_tells_when_what_and_its_cases(small):
    """A verdict: alternatives in words, what it concludes, cases of both kinds."""
    card = Cards(small.base).card("verdict_bearing")
    told = facts(card)
    assert told["when"] == (
        "(sign any) or (measure lower at least bearing_at_least and not scope any)"
    )
    assert told["concludes"] == "likely_bearing"
    assert told["fires on"] == "joists_end: some_end"
    assert told["quiet on"] == "no answers at all"


@pytest.mark.parametrize(
    ("name", "label", "text"),
    [
        ("sign_joists_end", "weight", "decisive: the path bears"),
        ("rate_room_above", "of 100", "30 to 50 bear"),
        ("fact_attic_above", "concludes", "attic_above: yes"),
        ("scope_masonry", "refer", "Ask an engineer who knows masonry."),
        ("clash_run_and_end", "look again", "joists_run, joists_end"),
        ("gate_sign", "withholds", "likely_non_bearing"),
        ("refer_long", "level", "advised"),
        ("caution_power", "shown", "before any opening"),
        ("irc_2018", "cited by", "sign_joists_end (R502.6), joist_break (R502.6.1)"),
        ("framing_above", "signs", "sign_joists_end"),
        ("joist_break", "clues", "clue_joists_end"),
        ("wall_length", "range", "1 ft to 100 ft"),
    ],
)
def test_each_kind_tells_what_matters(small, name, label, text):
    """One telling line of every kind of entry."""
    assert facts(Cards(small.base).card(name))[label] == text


def test_an_explained_word_has_a_card_and_a_place_in_the_catalogue(tmp_path):
    """The plain meaning, the questions that use the word, and the line of the glossary."""
    folder = tmp_path / "rules"
    shutil.copytree(SMALL_RULES, folder)
    (folder / "glossary.yaml").write_text("hatch: a small door in a ceiling\n", encoding="utf-8")
    base = load_knowledge(folder)
    card = Cards(base).card("hatch")
    assert (card.title, card.file, card.line) == ("a small door in a ceiling", "glossary.yaml", 1)
    assert facts(card)["used by"] == "joists_run, joists_end"
    assert "## Words explained\n\n### `hatch`\n" in catalogue(base)


def test_an_unknown_id_is_told_with_a_near_one(small):
    """A slip in the id gets a suggestion, from the class and from the command."""
    with pytest.raises(UnknownEntryError) as raised:
        Cards(small.base).card("gate_sgn")
    assert raised.value.hint == " (did you mean 'gate_sign'?)"
    with pytest.raises(InputError, match="no entry 'gate_sgn'"):
        show("show", "gate_sgn")


def test_show_prints_the_place():
    """The last line is the file and line to open."""
    result = show("show", "joist_run")
    assert result.exit_code == 0
    assert result.output.splitlines()[-1] == f"{SMALL_RULES}/load_paths/framing_above.yaml:22"


def test_show_without_an_id_lists_questions_with_options():
    """Somebody who writes a case file finds every question and every answer."""
    lines = show("show").output.splitlines()
    assert lines[:2] == ["above_wall: What is above the ceiling here?", "    attic, room"]
    assert "    1 ft to 100 ft" in lines
    assert lines[-1] == "Every question also takes unknown and out_of_reach."


def test_show_as_json():
    """One object with the same facts, or a list of all questions."""
    told = json.loads(show("show", "joist_run", "--json").output)
    assert told["kind"] == "condition"
    assert told["at"] == "load_paths/framing_above.yaml:22"
    assert told["tables"][0]["rows"][0][-1] == "-11.2 dB"
    first, *_ = json.loads(show("show", "--json").output)
    assert first["id"] == "above_wall"


def test_markdown_escapes_what_would_be_markup():
    """Underscores, bars and stars of a text stay what they are; a drawing stays as drawn."""
    grid = Grid("c_d", ("a|b",), [("x*y",)])
    page = as_markdown(Card("id_1", "rule", "a_b", "f.yaml", 3, (("l", "p|q"),), (grid,), "|_|\n"))
    assert "a\\_b" in page
    assert "| a\\|b |" in page
    assert "| x\\*y |" in page
    assert "```text\n|_|\n```" in page


def test_the_catalogue_holds_everything(small):
    """Every id has a heading of its own, once, and the same base gives the same page."""
    page = catalogue(small.base)
    headings = [line.strip("# `") for line in page.splitlines() if line.startswith("###")]
    for name in Cards(small.base).ids():
        assert headings.count(name) == 1, name
    assert page == catalogue(small.base)
    assert "| `joists_end` | 2 | by a decisive sign | -8.8 dB |" in page


def test_the_catalogue_in_docs_is_current(full):
    """docs/rule-catalogue.md is what the rules give: run 'walltriage rules catalogue --out'."""
    assert CATALOGUE.read_text(encoding="utf-8") == catalogue(full.base)


def test_the_command_writes_the_page(tmp_path, small):
    """To a file with --out, else to the terminal; a bad place is told."""
    assert show("catalogue", "--out", str(tmp_path / "c.md")).exit_code == 0
    assert (tmp_path / "c.md").read_text(encoding="utf-8") == catalogue(small.base)
    assert show("catalogue").output == catalogue(small.base)
    with pytest.raises(InputError, match="cannot be written: no such file or directory"):
        show("catalogue", "--out", str(tmp_path / "none" / "c.md"))
