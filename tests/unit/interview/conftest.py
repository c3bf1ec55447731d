"""A knowledge base with house questions and several places, made from the small one."""

from __future__ import annotations

import shutil

import pytest

from tests.conftest import SMALL_RULES
from walltriage.inference.triage import Triager
from walltriage.knowledge.load import load_knowledge

HOUSE = """
place: desk
scope: house
questions:
  - id: storeys
    ask: "How many floors has the house?"
    why: "It tells what can stand over a wall."
    look: "Count them from outside."
    effort: 0
    kind: seen
    first: true
    turns: true
    options:
      - {id: one, says: "One", means: "one floor"}
      - {id: more, says: "More than one", means: "more than one floor"}
  - id: built_of
    ask: "What is the house built of?"
    why: "It tells which signs can be read."
    look: "Look at an outlet cut-out."
    effort: 0
    kind: recalled
    options:
      - {id: wood, says: "Wood studs", means: "wood frame"}
      - {id: brick, says: "Solid brick", means: "solid masonry"}
  - id: license
    ask: "What is on the plans?"
    why: "Plans show the frame."
    look: "Look at the plans."
    effort: 0
    kind: recalled
    who: [firm]
    first: true
    answer: text
  - id: colour
    ask: "What colour is it?"
    why: "Nothing reads this."
    look: "Look."
    effort: 0
    kind: seen
    options:
      - {id: red, says: "Red", means: "red"}
      - {id: blue, says: "Blue", means: "blue"}
"""


@pytest.fixture(scope="session")
def housed(tmp_path_factory) -> Triager:
    """The small knowledge base with questions about the house."""
    folder = tmp_path_factory.mktemp("rules") / "housed"
    shutil.copytree(SMALL_RULES, folder)
    wall = folder / "questions" / "all.yaml"
    wall.write_text(wall.read_text().split("  - id: built_of")[0])
    (folder / "questions" / "house.yaml").write_text(HOUSE)
    return Triager(load_knowledge(folder))
