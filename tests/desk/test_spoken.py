"""Templates of the desk in the pseudo-language: each text is in the catalog, none is passed by."""

from __future__ import annotations

import re

import pytest

from tests.conftest import HERE
from tests.pseudo import Pseudo, left
from walltriage.template_texts import texts, translated

TEMPLATES = sorted((HERE.parent / "src/walltriage/desk/web/templates").glob("*.html"))
NOT_SAID = re.compile(r"\b(?:walltriage|PDF|HTML|JSON|UTC|YYYY|MM|DD|ft|in|sq|lb)\b")


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.stem)
def test_templates(path):
    """Nothing between tags is left when all texts are said."""
    pseudo = Pseudo()
    source = path.read_text(encoding="utf-8")
    assert [text for text in texts(source) if text not in pseudo.known] == []
    said = translated(source, lambda text: f"⟦{text}⟧")
    bare = re.sub(r"{#.*?#}|{%.*?%}|{{.*?}}|<[^>]*>", " ", left(said), flags=re.DOTALL)
    assert re.findall(r"[A-Za-z]{2,}", NOT_SAID.sub(" ", bare)) == []


def test_names_in_a_template_are_kept():
    source = '<p title="Its name">Name of {{ wall }} {# not this #}<b>here</b></p>'
    assert list(texts(source)) == ["Its name", "Name of", "here"]
    said = translated(source, str.upper)
    assert said == '<p title="ITS NAME">NAME OF {{ wall }} {# not this #}<b>HERE</b></p>'
