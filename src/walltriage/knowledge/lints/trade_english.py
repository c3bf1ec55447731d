"""Texts for people in the words of the American residential trade."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from walltriage.errors import Problem
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.lints.model import lint
from walltriage.knowledge.visible_texts import GLOSSARY, PUBLISHED, visible_texts
from walltriage.knowledge.words_not_to_use import words_not_to_use
from walltriage.yamltree import KeyPath, Tree, load


@lint("error", "use the word of the American trade; docs/style.md has the rules")
def foreign_word(base: KnowledgeBase) -> Iterator[Problem]:
    """Words that a homeowner or framer in the United States would stumble over."""
    for path in sorted(base.folder.rglob("*.yaml")):
        if path.name == PUBLISHED:
            continue
        tree = load(path)
        for keys, text in _texts(tree, path.name):
            for found in words_not_to_use(text):
                what = f"'{found.word}' in {'.'.join(map(str, keys[-2:]))}: write {found.instead}"
                yield Problem(tree.path, *tree.place(keys), what)


def _texts(tree: Tree, name: str) -> Iterable[tuple[KeyPath, str]]:
    if name == GLOSSARY:
        return (((word,), f"{word}: {gloss}") for word, gloss in tree.data.items())
    return visible_texts(tree.data)
