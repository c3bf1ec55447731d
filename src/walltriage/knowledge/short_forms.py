"""The short forms that rule files may use, written out; all that reads rules sees the long form.

* a condition of plain answers: ``when: {above_wall: only_attic, year_built: {below: 1985}}``
* options as a table: ``options: {slab: ["A concrete floor", "a slab below"]}``
* rows of a clue that are alike: ``shows: {"along, along_bears": {...}, rest: {...}}``
* clues in groups: ``clues: {joist_run: [...]}``, by the condition they speak of; in a group
  ``clue: nail_rows of joist_nails`` names the clue and its question, ``look: ...`` a direct one
* what a file tells once for all its entries: ``source``, and of questions ``asked``, ``effort``,
  ``kind`` and ``why``; an entry's own counts before it
* how a question is asked, on one line: ``asked: {for: movement, effort: 1, who: [firm]}``, where
  ``for`` names one of the reasons told once in ``wording.yaml``
* entries that differ in a word: ``each: {one_side: one, other_side: two}``, with ``{key}`` and
  ``{word}`` where they differ
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from walltriage.knowledge.terms import COMPARISONS, FAMILIES
from walltriage.yamltree import KeyPath, Tree, load

_WORDS = {"all", "any", "not", "is", "in", *COMPARISONS, *FAMILIES}
_TERMS = ("when", "applies")
_REST = "rest"  # the states that no other row of a table names
_OF_QUESTIONS = ("asked", "effort", "kind", "why")
_OF_ENTRIES = ("source",)
WORDING = "wording.yaml"
_ASKED, _FOR, _EACH = "asked", "for", "each"
_HEADS: tuple[tuple[str, dict[str, Any]], ...] = (("clue", {}), ("look", {"direct": True}))


def reasons_of(folder: Path) -> Mapping[str, str]:
    """Why questions are asked, by name, as ``wording.yaml`` of a rules folder tells it."""
    path = folder / WORDING
    data = load(path).data if path.is_file() else None
    reasons = data.get("why") if isinstance(data, dict) else None
    return reasons if isinstance(reasons, dict) else {}


def written_out(tree: Tree, reasons: Mapping[str, str] | None = None) -> Tree:
    """The file in its long form; every part keeps the place it was written at.

    ``reasons``: why questions are asked, by name.  A name that is not known stays as it is, for
    the check of forms to tell.
    """
    writer = _Writer(tree, reasons or {})
    return Tree(tree.path, writer.file(), writer.places)


class _Writer:
    """Copies the parts of a file, each with its key path before and after."""

    def __init__(self, tree: Tree, reasons: Mapping[str, str]) -> None:
        self._tree, self._reasons = tree, reasons
        self._states = _states(tree.data)
        self.places: dict[KeyPath, tuple[int, int]] = {}

    def file(self) -> Any:
        """The whole file."""
        data = self._tree.data
        if not isinstance(data, dict):
            return self.node(data, (), ())
        common, data = _common(data)
        self.places[()] = self._tree.place(())
        found = {}
        for key, value in data.items():
            here: KeyPath = (key,)
            if key == "clues" and isinstance(value, dict):
                found[key] = self._clues(value, common)
            elif isinstance(value, list):
                found[key] = self._entries(value, here, common)
            else:
                found[key] = self._value(key, value, here, here, data)
        return found

    def _entries(self, entries: list[Any], here: KeyPath, common: dict[str, Any]) -> list[Any]:
        """The entries of a file, each with what the file tells for all of them."""
        self.places[here] = self._tree.place(here)
        found: list[Any] = []
        for at, written in enumerate(entries):
            for entry in _each(written):
                whole = _filled(self._asked(entry), self._asked(common))
                found.append(self.node(whole, (*here, at), (*here, len(found))))
        return found

    def _asked(self, entry: Any) -> Any:
        """An entry with how it is asked told key by key."""
        asked = entry.get(_ASKED) if isinstance(entry, dict) else None
        if not isinstance(asked, dict):
            return entry
        rest = {key: value for key, value in entry.items() if key != _ASKED} | asked
        if rest.get(_FOR) in self._reasons:
            rest["why"] = self._reasons[rest.pop(_FOR)]
        return rest

    def node(self, data: Any, before: KeyPath, after: KeyPath) -> Any:
        """A part of the file as it is, with what stands in it written out."""
        self.places[after] = self._tree.place(before)
        if isinstance(data, list):
            return [self.node(item, (*before, at), (*after, at)) for at, item in enumerate(data)]
        if not isinstance(data, dict):
            return data
        return {
            key: self._value(key, value, (*before, key), (*after, key), data)
            for key, value in data.items()
        }

    def _value(
        self, key: Any, value: Any, before: KeyPath, after: KeyPath, around: dict[str, Any]
    ) -> Any:
        if key in _TERMS:
            return self._term(value, before, after)
        if key == "shows" and isinstance(value, dict):
            return self._rows(value, before, after, self._states.get(around.get("condition"), ()))
        if key == "options" and isinstance(value, dict) and len(before) == 3:
            return self._options(value, before, after)
        return self.node(value, before, after)

    def _clues(self, groups: dict[str, Any], common: dict[str, Any]) -> list[Any]:
        """Clues that stand in groups, each with the condition of its group."""
        self.places["clues",] = self._tree.place(("clues",))
        found: list[Any] = []
        for condition, group in groups.items():
            for at, clue in enumerate(group if isinstance(group, list) else [group]):
                after: KeyPath = ("clues", len(found))
                before: KeyPath = ("clues", condition, at)
                whole = clue
                if isinstance(clue, dict):
                    whole = common | {"condition": condition} | headed(clue)
                found.append(self.node(whole, before, after))
                self.places[*after, "condition"] = self._tree.place(("clues", condition))
                for key in ("clue", "look") if isinstance(clue, dict) else ():
                    if key in clue:
                        named = self._tree.place((*before, key))
                        self.places[*after, "id"] = self.places[*after, "question"] = named
        return found

    def _options(self, table: dict[str, Any], before: KeyPath, after: KeyPath) -> list[Any]:
        """A table of options, by id what is picked and how reports repeat it, as a list."""
        self.places[after] = self._tree.place(before)
        found = []
        for at, (name, row) in enumerate(table.items()):
            here = self._tree.place((*before, name))
            self.places[(*after, at)] = self.places[(*after, at, "id")] = here
            words = row if isinstance(row, list) else [row]
            keys = ("says", "means", *(f"[{extra}]" for extra in range(2, len(words))))
            for key in keys[: len(words)]:
                self.places[(*after, at, key)] = here
            found.append({"id": name} | dict(zip(keys, words, strict=False)))
        return found

    def _rows(
        self, table: dict[str, Any], before: KeyPath, after: KeyPath, states: tuple[str, ...]
    ) -> dict[str, Any]:
        """A table with one row for each state, in the order of the condition's states."""
        self.places[after] = self._tree.place(before)
        if not any(key == _REST or "," in str(key) for key in table):
            return {
                key: self.node(row, (*before, key), (*after, key)) for key, row in table.items()
            }
        named = {name.strip() for key in table for name in str(key).split(",")}
        found = {
            name.strip(): self.node(row, (*before, key), (*after, name.strip()))
            for key, row in table.items()
            for name in ([n for n in states if n not in named] if key == _REST else key.split(","))
        }
        return {name: found[name] for name in states if name in found} | found

    def _term(self, term: Any, before: KeyPath, after: KeyPath) -> Any:
        self.places[after] = self._tree.place(before)
        if not isinstance(term, dict) or not term:
            return term
        if not _WORDS.isdisjoint(term):
            return {key: self._part(key, part, before, after) for key, part in term.items()}
        tests = [{"answer": question, **_test(value)} for question, value in term.items()]
        if len(tests) == 1:
            return tests[0]
        for at, question in enumerate(term):
            self.places[(*after, "all", at)] = self._tree.place((*before, question))
        return {"all": tests}

    def _part(self, key: str, part: Any, before: KeyPath, after: KeyPath) -> Any:
        """What stands under a word of the condition language: terms, or what it compares with."""
        if key == "not":
            return self._term(part, (*before, key), (*after, key))
        if key in ("all", "any") and isinstance(part, list):
            self.places[(*after, key)] = self._tree.place((*before, key))
            return [
                self._term(item, (*before, key, at), (*after, key, at))
                for at, item in enumerate(part)
            ]
        return self.node(part, (*before, key), (*after, key))


def _test(value: Any) -> dict[str, Any]:
    if isinstance(value, dict):
        return value
    return {"in" if isinstance(value, list) else "is": value}


def _common(data: dict[str, Any]) -> tuple[dict[str, Any], dict[str, Any]]:
    """What a file tells once for all its entries, and the rest of it."""
    names = (*_OF_ENTRIES, *(_OF_QUESTIONS if "questions" in data else ()))
    common = {key: data[key] for key in names if key in data}
    return common, {key: value for key, value in data.items() if key not in common}


def _filled(entry: Any, common: dict[str, Any]) -> Any:
    """An entry (what has an id, or a relation) with what it does not tell itself."""
    if not isinstance(entry, dict) or entry.keys().isdisjoint(("id", "relation")):
        return entry
    return common | entry


def headed(clue: dict[str, Any]) -> dict[str, Any]:
    """A clue with its id and question told key by key; what is no "A of B" stays as it is."""
    for key, means in _HEADS:
        words = str(clue.get(key, "")).split(" of ")
        if len(words) == 2:
            rest = {name: value for name, value in clue.items() if name != key}
            return {"id": words[0], "question": words[1]} | means | rest
    return clue


def _each(entry: Any) -> Iterator[Any]:
    """The entries that one entry stands for: one for each key and word of its ``each``."""
    words = entry.get(_EACH) if isinstance(entry, dict) else None
    if not isinstance(words, dict):
        yield entry
        return
    rest = {key: value for key, value in entry.items() if key != _EACH}
    yield from (_put(rest, {"{key}": str(key), "{word}": str(words[key])}) for key in words)


def _put(data: Any, words: Mapping[str, str]) -> Any:
    if isinstance(data, dict):
        return {_put(key, words): _put(value, words) for key, value in data.items()}
    if isinstance(data, list):
        return [_put(item, words) for item in data]
    if isinstance(data, str):
        for mark, word in words.items():
            data = data.replace(mark, word)
    return data


def _states(data: Any) -> dict[Any, tuple[str, ...]]:
    """The states of each condition that stands in this file."""
    entries = data.get("conditions") if isinstance(data, dict) else None
    return {
        entry.get("id"): tuple(entry["states"])
        for entry in (entries if isinstance(entries, list) else ())
        if isinstance(entry, dict) and isinstance(entry.get("states"), dict)
    }
