"""The desk in the pseudo-language: every template, and pages of a client and an engineer."""

from __future__ import annotations

import re

import pytest

from tests.conftest import HERE, RULES
from tests.desk.browser import Desks
from tests.pseudo import Pseudo, left
from walltriage import language
from walltriage.desk.web import looks
from walltriage.inference.triage import Triager
from walltriage.knowledge.load import load_knowledge
from walltriage.language import say
from walltriage.template_texts import texts, translated

TEMPLATES = sorted((HERE.parent / "src/walltriage/desk/web/templates").glob("*.html"))
NOT_SAID = re.compile(r"\b(?:walltriage|PDF|HTML|JSON|UTC|YYYY|MM|DD|ft|in|sq|lb)\b")


@pytest.fixture
def spoken_desk(tmp_path):
    undo = language.use_catalog(Pseudo())
    looks._environment.cache_clear()
    desks = Desks(Triager(load_knowledge(RULES, say=say)), tmp_path)
    yield desks.make(firm="1")
    desks.close()
    undo()
    looks._environment.cache_clear()


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.stem)
def test_templates(path):
    """Each text is in the catalog, and nothing between tags is left when they are said."""
    pseudo = Pseudo()
    source = path.read_text(encoding="utf-8")
    assert [text for text in texts(source) if text not in pseudo.known] == []
    said = translated(source, lambda text: f"⟦{text}⟧")
    bare = re.sub(r"{#.*?#}|{%.*?%}|{{.*?}}|<[^>]*>", " ", left(said), flags=re.DOTALL)
    assert re.findall(r"[A-Za-z]{2,}", NOT_SAID.sub(" ", bare)) == []


def english(text: str) -> list[str]:
    return re.findall(r"[A-Za-z]{3,}", NOT_SAID.sub(" ", left(text)))


def test_a_client_and_an_engineer(spoken_desk):
    key, token = spoken_desk.house(name="2", walls=("3",))
    client = spoken_desk.browser()
    client.get(f"/c/{token}")
    assert english(client.text) == []
    client.submit({"reach": "2"})
    for _ in range(4):
        assert english(client.text) == [], client.path
        client.submit({"answer": "unknown", "do": "answer"})
    engineer = spoken_desk.engineer("4")
    engineer.get(f"/desk/house/{key}")
    assert set(english(engineer.text)) <= {"Ida"}


def test_names_in_a_template_are_kept():
    source = '<p title="Its name">Name of {{ wall }} {# not this #}<b>here</b></p>'
    assert list(texts(source)) == ["Its name", "Name of", "here"]
    said = translated(source, str.upper)
    assert said == '<p title="ITS NAME">NAME OF {{ wall }} {# not this #}<b>HERE</b></p>'
