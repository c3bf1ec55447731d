"""Other languages: everything people read is in the catalog, and is said from it.

The pseudo-language puts every text of the catalog in brackets with accents on its vowels; what
then comes out without them was left out of the catalog, or is said past it.
"""

from __future__ import annotations

import ast
import io
import re
from functools import lru_cache

import pytest
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po
from click.testing import CliRunner
from rich.console import Console

from tests.conftest import shipped_rules
from tests.pseudo import Pseudo, catalog_texts, left, pseudo_rules
from walltriage import catalog, language
from walltriage.cli import COMMANDS, main
from walltriage.inference.triage import Triager
from walltriage.interview.pages import question_page
from walltriage.interview.screen import Screen
from walltriage.language import say, say_count


@pytest.fixture(scope="module")
def pseudo():
    return Pseudo()


@pytest.fixture
def spoken(pseudo):
    undo = language.use_catalog(pseudo)
    yield pseudo
    undo()


def test_a_translation_is_said_from_its_file(tmp_path, monkeypatch):
    """From the catalog to a compiled file and back; what is not translated stays English."""
    count = catalog.write(tmp_path / "walltriage.pot")
    with (tmp_path / "walltriage.pot").open("rb") as file:
        spanish = read_po(file, locale="es")
    assert len(spanish) == count == len(catalog_texts()) > 2_500
    spanish["Nothing more"].string = "Nada más"
    spanish["Is {what} drawn right?"].string = "¿Está bien dibujado {what}?"
    target = tmp_path / "es" / "LC_MESSAGES" / "walltriage.mo"
    target.parent.mkdir(parents=True)
    with target.open("wb") as file:
        write_mo(file, spanish)
    monkeypatch.setattr(language, "FOLDER", tmp_path)
    assert language.languages() == ["en", "es"]
    language.use("es_MX")
    try:
        assert say("Nothing more") == "Nada más"
        assert say("Is {what} drawn right?", what="it") == "¿Está bien dibujado it?"
        assert say("Another one?") == "Another one?"
        before = language.words()
        target.write_bytes(target.read_bytes() + b"\0")
        language.use("es_MX")
        assert "" != language.words() != before
    finally:
        language.use("en")
    assert language.words() == ""


def test_english_is_complete_without_a_catalog(full):
    assert say("Nothing more") == "Nothing more"
    assert say("Is {what} drawn right?", what="it") == "Is it drawn right?"
    assert say_count("{count} wall", "{count} walls", 1) == "1 wall"
    assert say_count("{count} wall", "{count} walls", 2) == "2 walls"
    assert language.languages() == ["en"]


def test_a_language_without_a_catalog_is_said_in_english():
    done = CliRunner().invoke(main, ["--lang", "es", "triage", "--help"])
    assert done.exit_code == 0
    assert "Judge the walls of CASES" in done.stdout
    language.use("en")


def test_a_translation_that_asks_for_names_nobody_gives_is_said_in_english(spoken):
    spoken.known["broken {what}"] = set()
    spoken.gettext = lambda message: "roto {nada}"
    try:
        assert say("broken {what}", what="x") == "broken x"
    finally:
        del spoken.gettext


def test_every_text_of_the_rules_is_said(spoken):
    """A base read in the pseudo-language has no text without its marks, and the same verdicts."""
    base = pseudo_rules()
    for question in base.questions.values():
        entry = question.entry
        for text in (entry.ask, entry.why, entry.look, *(o.says for o in entry.options)):
            assert not re.search(r"[A-Za-z]{2}", left(text)), entry.id
    for _, rule in base.rules():
        assert left(rule.says) == "", rule.id
        assert "".join(map(left, rule.limits)) == "", rule.id
    assert all(left(word) == left(gloss) == "" for word, gloss in base.glossary.items())
    assert Triager(base).base.version == shipped_rules().version


def test_pages_of_all_questions(spoken):
    """On the screen nothing is left in English but keys and marks."""
    base = pseudo_rules()
    for question in base.questions.values():
        if question.entry.kind == "computed":
            continue
        screen = Screen()
        screen.console = Console(file=io.StringIO(), width=2000, markup=False, highlight=False)
        page = question_page(question, base.glossary, flipped=False, heading="")
        screen.help(page)
        screen.page(page)
        shown = left(screen.console.file.getvalue())
        assert not re.search(r"[A-Za-z]{3}", shown), (question.id, shown)


CLICKS_OWN = {"Usage", "Options", "Commands", "Show", "this", "message", "exit"}  # said by click
NAMES_OF_COMMANDS = {
    "walltriage", "check", "show", "cover", "prove", "catalogue", "backup", "restore", "export",
    "import", "invite", "bash", "fish",
}  # fmt: skip


@pytest.mark.parametrize("name", sorted(COMMANDS))
def test_help_of_commands(spoken, name, monkeypatch):
    """Words of help are said; names of options, values and defaults stay."""
    monkeypatch.setattr(language, "use", lambda _: None)
    monkeypatch.setattr("walltriage.cli.use", lambda _: None)
    done = CliRunner().invoke(main, ["--lang", "zz", name, "--help"], prog_name="walltriage")
    assert done.exit_code == 0
    text = " ".join(done.stdout.split())
    words = re.sub(r"--?[a-z][\w-]*|\[[^\]]*\]|[A-Z_]{2,}|\d+", " ", left(text))
    left_over = set(re.findall(r"[A-Za-z]{4,}", words)) - NAMES_OF_COMMANDS - {name}
    assert left_over - CLICKS_OWN == set()


def test_what_is_no_text_for_people():
    source = (
        '"""Doc string."""\nx = Choice("not this", "But this")\nraise E(Problem("a b", "No."))\n'
    )
    assert list(catalog.shown(ast.parse(source))) == ["But this"]


def test_remembered_sentences_follow_the_language():
    """What a cache holds in one language is not said in another."""

    @language.forgets
    @lru_cache
    def greeting() -> str:
        return language.say("Load path")

    assert greeting() == "Load path"
    undo = language.use_catalog(Pseudo())
    try:
        assert greeting() != "Load path"
    finally:
        undo()
    assert greeting() == "Load path"
