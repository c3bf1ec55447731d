"""The fixed knowledge that reports print: ``rules/report_texts.yaml``, its form and its checks.

What may hide in a wall, what a quote leaves out, what to ask the seller: trade knowledge that
does not depend on the inference, and so stands beside the rules and not in code.
"""

from collections.abc import Iterator, Mapping
from typing import Any, Literal

from walltriage.entries import Entry, Field
from walltriage.errors import Problem
from walltriage.knowledge.schema import Id, Level, Sources, Text, Verdict
from walltriage.knowledge.unknown import answers_at, unknown_at
from walltriage.yamltree import Tree

FILE_NAME = "report_texts.yaml"
SitePlace = Literal["outside", "rooms", "upstairs", "attic", "below", "opened"]
LengthRole = Literal[
    "house_width", "house_length", "wall_length", "distance_one_side", "distance_other_side"
]
ChoiceRole = Literal[
    "ridge", "wall_run", "joist_run", "levels", "wall_level", "above", "base", "roof", "opening"
]
DRAWN: dict[str, tuple[str, ...]] = {
    "ridge": ("along_length", "along_width"),
    "wall_run": ("with_ridge", "across_ridge"),
    "joist_run": ("along_wall", "across_wall"),
    "levels": ("1", "2", "3"),
    "wall_level": ("basement", "ground", "middle", "top"),
    "above": ("attic", "room"),
    "base": ("slab", "crawl_space", "basement"),
    "roof": ("trusses", "rafters", "flat"),
    "opening": ("none", "door", "wide"),
}
"""What each drawing role can be drawn as."""


class TextItem(Entry):
    """One thing to say, and for whom it holds.

    ``verdicts`` and ``levels`` (of referral) limit it to those; ``paths`` limits it to walls on
    which one of these load paths is not ruled out.  Empty lists do not limit.
    """

    id: Id
    says: Text
    source: Sources
    verdicts: list[Verdict] = Field(default_factory=list)
    levels: list[Level] = Field(default_factory=list)
    paths: list[Id] = Field(default_factory=list)


class Pricing(TextItem):
    """An answer to "may this be priced as a partition?"; the first that holds is printed."""

    because: Text


class WorkClass(TextItem):
    """A class of work, told by what has to be built."""

    title: Text
    builds: list[Text] = Field(min_length=1)


class SiteItem(TextItem):
    """Something to look at, or to photograph ``count`` times, at one place of the house."""

    place: SitePlace
    count: int = Field(1, ge=1)


class BlankField(Entry):
    """A line to fill in by hand, or from the answers to ``filled_by`` where somebody gave one.

    ``asked``: of a field about the client, whether an interview asks for it.  ``source`` comes
    from the head of the file, as with all entries; a blank states nothing that would need one.
    """

    id: Id
    says: Text
    unit: str = ""
    filled_by: list[Id] = Field(default_factory=list)
    source: Sources = ""
    asked: bool = False


class StandingCautions(Entry):
    """The usual cautions in short, for pages that have no room for each.

    ``covers`` are those that ``says`` tells; of the others that were fired, the ``gravest`` are
    told first, in this order.
    """

    says: Text
    covers: list[Id] = Field(min_length=1)
    gravest: list[Id]
    source: Sources


class Reading(Entry):
    """How one question's answers are drawn; ``draws`` maps an option to a word of DRAWN."""

    question: Id
    draws: dict[Id, str] = Field(min_length=1)


class Drawings(Entry):
    """Which questions feed the drawings; of several readings the first answered one counts."""

    lengths: dict[LengthRole, Id]
    choices: dict[ChoiceRole, list[Reading]]


class ReportTexts(Entry):
    """``rules/report_texts.yaml``."""

    pricing: list[Pricing] = Field(min_length=1)
    hidden_in_wall: list[TextItem]
    before_any_cut: list[TextItem]
    quote_exclusions: list[TextItem]
    site_measurements: list[BlankField]
    work_classes: list[WorkClass]
    ask_seller: list[TextItem]
    ask_inspector: list[TextItem]
    ask_engineer: list[TextItem]
    verify_on_site: list[SiteItem]
    photos: list[SiteItem]
    client_fields: list[BlankField]
    sign_off_fields: list[BlankField]
    firm_disclaimer: list[TextItem]
    standing_cautions: StandingCautions | None = None
    drawings: Drawings


def check(tree: Tree, questions: Mapping[str, Any], paths: Mapping[str, Any]) -> list[Problem]:
    """Every reference of the file to a load path, question, option or drawing that is not there."""
    return [
        *_path_problems(tree, paths),
        *_filled_problems(tree, questions),
        *_drawing_problems(tree, questions),
    ]


def _path_problems(tree: Tree, paths: Mapping[str, Any]) -> Iterator[Problem]:
    for where in list(tree.places):
        if len(where) > 1 and where[-2] == "paths":
            yield from unknown_at(tree, where, "load path", tree.at(where), paths)


def _filled_problems(tree: Tree, questions: Mapping[str, Any]) -> Iterator[Problem]:
    for where in list(tree.places):
        if len(where) > 1 and where[-2] == "filled_by":
            yield from unknown_at(tree, where, "question", tree.at(where), questions)


def _drawing_problems(tree: Tree, questions: Mapping[str, Any]) -> Iterator[Problem]:
    drawings = tree.data["drawings"]
    for role, name in drawings["lengths"].items():
        where = ("drawings", "lengths", role)
        yield from unknown_at(tree, where, "question", name, questions)
        if name in questions and questions[name].entry.answer != "length":
            yield tree.problem(where, f"'{name}' does not ask a length", "expected a length")
    for role, readings in drawings["choices"].items():
        for index, reading in enumerate(readings):
            here = ("drawings", "choices", role, index)
            name = reading["question"]
            yield from unknown_at(tree, (*here, "question"), "question", name, questions)
            for option, drawn in reading["draws"].items() if name in questions else ():
                there = (*here, "draws", option)
                yield from answers_at(tree, there, questions, name, [option])
                if drawn not in DRAWN[role]:
                    known = ", ".join(DRAWN[role])
                    yield tree.problem(where, f"'{role}' is not drawn as '{drawn}'", known)
