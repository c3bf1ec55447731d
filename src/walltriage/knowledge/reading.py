"""The files of a rules folder, read one by one and put together, every mistake kept."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ConfigDict, RootModel, ValidationError

from walltriage.entries import Entry, changed
from walltriage.errors import InputError, Problem
from walltriage.forms import in_form, problems_from
from walltriage.knowledge import (
    earlier_ids,
    glances,
    references,
    report_texts,
    seen_along,
    short_forms,
    shorthand,
)
from walltriage.knowledge.base import AskedQuestion, KnowledgeBase, LoadPath
from walltriage.knowledge.entry_places import anchors_in, id_places
from walltriage.knowledge.schema import (
    Clue,
    Id,
    LoadPathFile,
    PathPartFile,
    QuestionFile,
    SituationFile,
    Source,
    Text,
)
from walltriage.knowledge.schema_guards import CautionFile, GuardsFile
from walltriage.knowledge.schema_leaning import LeaningFile
from walltriage.knowledge.schema_measures import MeasuresFile
from walltriage.knowledge.schema_plan import RelationsFile
from walltriage.knowledge.schema_scope import ContradictionFile, ScopeFile
from walltriage.knowledge.visible_texts import in_language
from walltriage.yamltree import Tree, load

Model = TypeVar("Model", bound=BaseModel | Entry)
Say = Callable[[str], str]


class SourceFile(RootModel[dict[str, Source]]):
    """``rules/sources.yaml``."""

    model_config = ConfigDict(defer_build=True)


class GlossaryFile(RootModel[dict[str, Text]]):
    """``rules/glossary.yaml``: trade words and what they mean in plain words."""

    model_config = ConfigDict(defer_build=True)


class CaseHouses(RootModel[dict[Id, dict[Id, Any]]]):
    """``rules/case_houses.yaml``: answer sets by name, for the cases of rules."""

    model_config = ConfigDict(defer_build=True)


class RulesReader:
    """Collects parsed files, their models and every problem met on the way.

    Files in ``parsed``, by their name in the folder, are taken from there; ``say`` puts texts
    for people into another language.
    """

    def __init__(
        self,
        folder: Path,
        parsed: Mapping[str, Tree] | None = None,
        say: Say | None = None,
    ) -> None:
        self.folder, self.parsed, self.say = folder, parsed or {}, say
        self.problems: list[Problem] = []
        self.trees: list[Tree] = []
        self.tree_of: dict[type[Any], Tree] = {}  # the last file read of each form
        self.left_out: set[str] = set()  # ids of entries that could not be read
        self.houses: Mapping[str, Mapping[str, Any]] = {}  # told once, for the cases of rules
        self.reasons: Mapping[str, str] | None = None

    def read(self, path: Path, model: type[Model]) -> Model | None:
        try:
            tree = self.parsed.get(self.name(path)) or self._written_out(path)
        except InputError as error:
            self.problems.extend(error.problems)
            return None
        try:
            data = shorthand.with_houses(tree.data, self.houses)
            if self.say is not None:
                data = in_language(data, path.name, self.say)
            found = in_form(model, data)
        except ValidationError as error:
            self.problems.extend(problems_from(error, tree, model))
            return self._rest(tree, model, error)
        self._keep(tree, model)
        return found

    def optional(self, name: str, model: type[Model], without: Model | None = None) -> Model | None:
        """A file that a folder may do without; ``without`` where it is not there."""
        path = self.folder / name
        return self.read(path, model) if path.is_file() else without

    def _keep(self, tree: Tree, model: type[Any]) -> None:
        self.trees.append(tree)
        self.tree_of[model] = tree

    def _written_out(self, path: Path) -> Tree:
        if self.reasons is None:
            self.reasons = {}  # a file that cannot be read is told of once
            self.reasons = short_forms.reasons_of(self.folder)
        return short_forms.written_out(load(path), self.reasons)

    def _rest(self, tree: Tree, model: type[Model], error: ValidationError) -> Model | None:
        """The file without the entries that are wrong, so that the others are checked too."""
        entries = set()
        for detail in error.errors(include_url=False):
            entry = len(detail["loc"]) > 1 and isinstance(detail["loc"][1], int)
            if not entry or detail["loc"][-1] == "id":  # others may mean this one
                return None
            entries.add(detail["loc"][:2])
        rest = tree.without(entries)
        try:
            found = in_form(model, shorthand.with_houses(rest.data, self.houses))
        except ValidationError:
            return None
        named = (tree.at(where) for where in entries)
        self.left_out |= {str(e["id"]) for e in named if isinstance(e, dict) and "id" in e}
        self._keep(rest, model)
        return found

    def blames(self, problem: Problem) -> bool:
        """Whether a problem is only that an entry could not be read, which was told already."""
        return any(f"'{name}'" in problem.what for name in self.left_out)

    def name(self, path: Path) -> str:
        """A file's name within the rules folder."""
        return path.relative_to(self.folder).as_posix()

    def read_folder(
        self, name: str, model: type[Model], *, needed: bool = True
    ) -> list[Model | None]:
        files = sorted((self.folder / name).glob("*.yaml"))
        if not files and needed:
            here = str(self.folder / name)
            self.problems.append(Problem.about(here, "no rule files here", "expected *.yaml"))
        return [self.read(path, model) for path in files]


def knowledge_base(reader: RulesReader, sha256: str) -> KnowledgeBase:
    """All of a rules folder, checked; :class:`InputError` with every problem."""
    folder = reader.folder
    houses = reader.optional(shorthand.FILE_NAME, CaseHouses)
    reader.houses = houses.root if houses else {}
    wording = reader.optional(short_forms.WORDING, shorthand.Wording) or shorthand.Wording()
    questions = reader.read_folder("questions", QuestionFile)
    paths = reader.read_folder("load_paths", LoadPathFile)
    parts = reader.read_folder("load_path_parts", PathPartFile, needed=False)
    situation = reader.read(folder / "situation.yaml", SituationFile)
    scope = reader.read(folder / "scope.yaml", ScopeFile)
    contradictions = reader.read(folder / "contradictions.yaml", ContradictionFile)
    guards = reader.read(folder / "guards.yaml", GuardsFile)
    cautions = reader.read(folder / "cautions.yaml", CautionFile)
    measures = reader.read(folder / "measures.yaml", MeasuresFile)
    no_plan = RelationsFile(settings={}, sureness=[], answers=[])
    relations = reader.optional("relations.yaml", RelationsFile, no_plan)
    sources = reader.read(folder / "sources.yaml", SourceFile)
    leaning = reader.optional("leaning.yaml", LeaningFile)
    glossary = reader.optional("glossary.yaml", GlossaryFile)
    seen = reader.optional(seen_along.FILE_NAME, seen_along.SeenAlongFile)
    together = reader.optional(glances.FILE_NAME, glances.GlanceFile)
    texts = reader.optional(report_texts.FILE_NAME, report_texts.ReportTexts)
    if (
        None in (*questions, *paths, *parts)
        or not (questions and paths)
        or not (situation and scope and contradictions and guards)
        or not (cautions and measures and relations and sources)
    ):
        raise InputError(reader.problems)
    places, doubles = id_places(reader.trees)
    asked = _questions([file for file in questions if file])
    whole = [_with_parts(file, [part for part in parts if part]) for file in paths if file]
    base = KnowledgeBase(
        questions=asked,
        paths=_paths([shorthand.filled_in(file, asked, wording) for file in whole]),
        facts=tuple(situation.facts),
        scope=tuple(scope.scope),
        contradictions=tuple(contradictions.contradictions),
        guards=guards,
        cautions=cautions,
        measures=measures,
        relations=relations,
        sources=sources.root,
        folder=folder,
        sha256=sha256,
        places=places,
        report_texts=texts,
        seen_along=seen,
        glances=tuple(together.glances) if together else (),
        glossary=glossary.root if glossary else {},
        leaning=leaning,
        anchors=anchors_in(reader.trees, folder),
    )
    # with an id taken twice one entry hides the other, and every reference looks wrong
    found = reader.problems + [
        problem for problem in doubles or _checked(base, reader) if not reader.blames(problem)
    ]
    if found:
        raise InputError(sorted(found, key=lambda p: (p.path, p.line, p.column)))
    return base


def _checked(base: KnowledgeBase, reader: RulesReader) -> Iterator[Problem]:
    """What is wrong between the entries of a folder each of which is in its form."""
    yield from references.check(base, reader.trees)
    yield from earlier_ids.check(base)
    if (tree := reader.tree_of.get(report_texts.ReportTexts)) is not None:
        yield from report_texts.check(tree, base.questions, base.paths)
    if (tree := reader.tree_of.get(seen_along.SeenAlongFile)) is not None:
        yield from seen_along.check(tree, base.questions, base.paths)
    if (tree := reader.tree_of.get(glances.GlanceFile)) is not None:
        yield from glances.check(tree, base.questions)


def _questions(files: list[QuestionFile]) -> dict[str, AskedQuestion]:
    asked = {}
    for file in files:
        for entry in file.questions:
            asked[entry.id] = AskedQuestion(entry, entry.place or file.place, file.scope)
    return asked


def _with_parts(file: LoadPathFile, parts: list[PathPartFile]) -> LoadPathFile:
    """A load path with the conditions and clues that stand in files of their own."""
    mine = [part for part in parts if part.adds_to == file.path]
    conditions = [condition for part in mine for condition in part.conditions]
    clues = [clue for part in mine for clue in part.clues]
    return changed(file, conditions=[*file.conditions, *conditions], clues=[*file.clues, *clues])


def _paths(files: list[LoadPathFile]) -> dict[str, LoadPath]:
    defined = {c.id: (file, c) for file in files for c in file.conditions}
    clues: dict[str, list[Clue]] = {}
    for file in files:
        for clue in file.clues:
            clues.setdefault(clue.condition, []).append(clue)
    paths = {}
    for file in sorted(files, key=lambda file: file.order):
        conditions = {c.id: (c, c.given) for c in file.conditions}
        for used in file.uses:
            if used.id in defined:
                conditions[used.id] = (defined[used.id][1], used.given)
        of_path = {name: tuple(clues.get(name, ())) for name in conditions}
        paths[file.path] = LoadPath(file, conditions, of_path)
    return paths
