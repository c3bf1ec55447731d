"""Mistakes in ``glances.yaml`` are told with their place."""

from __future__ import annotations

import shutil

import pytest
import yaml

from walltriage.errors import InputError
from walltriage.knowledge.glances import FILE_NAME
from walltriage.knowledge.load import load_knowledge
from walltriage.rules_folder import default_rules_folder

USUAL = {
    "id": "near", "ask": "Is any of this so?", "why": "It shows it.", "look": "Look.",
    "items": [
        {"says": "a beam", "unseen": {"beam_meets_wall": "none"}, "of": "round_the_wall"},
        {"says": "a stud pack", "unseen": {"stud_cluster_found": "no_cluster"}},
    ],
}  # fmt: skip


def told(folder, glances) -> str:
    """What is said of a rules folder with these glances."""
    shutil.copytree(default_rules_folder(), folder / "rules")
    (folder / "rules" / FILE_NAME).write_text(yaml.safe_dump({"glances": glances}))
    with pytest.raises(InputError) as error:
        load_knowledge(folder / "rules")
    return str(error.value)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"unseen": {"no_such": "none"}}, "unknown question 'no_such'"),
        ({"unseen": {"beam_meets_wall": "nothing"}}, "'nothing' is not an answer"),
        ({"unseen": {"under_wall": "open_joists"}}, "is seen from below and rooms"),
        ({"unseen": {}}, "answers no question"),
        ({"of": "wall_place", "unseen": {"wall_place": "inside"}}, "'none_of_these' is not"),
        ({"unseen": {"beam_meets_wall": "none"}, "seen": {"post_at_wall": "no"}}, "'no' is not"),
    ],
)
def test_each_mistake_is_told(tmp_path, change, words):
    """Of the second thing on the page."""
    items = [USUAL["items"][0], {"says": "a box"} | change]
    message = told(tmp_path, [USUAL | {"items": items}])
    assert words in message
    assert FILE_NAME in message


def test_a_question_stands_in_one_glance(tmp_path):
    """Else it would be asked twice."""
    message = told(tmp_path, [USUAL, USUAL | {"id": "again"}])
    assert "is answered twice" in message


def test_parts_of_a_list_stand_together(tmp_path):
    """So that it is read as a list."""
    first, other = USUAL["items"]
    post = {"says": "a post", "unseen": {"post_at_wall": "none"}, "of": "round_the_wall"}
    message = told(tmp_path, [USUAL | {"items": [first, other, post]}])
    assert "stand apart" in message
