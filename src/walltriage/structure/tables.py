"""The value files turned into frozen tables, with every cross-reference checked."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from walltriage.errors import InputError, did_you_mean, refuse
from walltriage.structure import shapes
from walltriage.structure.read import ValueBlock, ValueReader, read_file

MILLION = 1e6


@dataclass(frozen=True, slots=True)
class Size:
    """A lumber size; nominal depth and thickness in inches set the size factor."""

    name: str
    dressing: str
    nominal_thickness: int
    nominal_depth: int
    thickness_in: float
    depth_in: float
    source: str


@dataclass(frozen=True, slots=True)
class Design:
    """Reference design values in psi, before any adjustment."""

    fb_psi: float
    ft_psi: float
    fv_psi: float
    fc_perp_psi: float
    fc_psi: float
    e_psi: float
    emin_psi: float


@dataclass(frozen=True, slots=True)
class Species:
    """One species group: its grades, given once or by nominal width."""

    key: str
    name: str
    aliases: tuple[str, ...]
    by_width: bool
    grades: Mapping[int, Mapping[str, Design]]
    source: str
    provenance: str

    @property
    def grade_names(self) -> tuple[str, ...]:
        return tuple(next(iter(self.grades.values())))


@dataclass(frozen=True, slots=True)
class ValueSource:
    """A published source: what it is, which edition, and how surely its figures are known."""

    key: str
    title: str
    edition: str
    provenance: str
    note: str


@dataclass(frozen=True, slots=True, eq=False)
class Tables:
    """Everything the arithmetic reads from ``rules/``; one set of files read is one object."""

    folder: str
    sources: Mapping[str, ValueSource]
    sizes: Mapping[str, Size]
    species: Mapping[str, Species]
    grade_aliases: Mapping[str, tuple[str, ...]]
    lumped: ValueBlock
    timbers: ValueBlock
    adjustment: Mapping[str, ValueBlock]
    engineered: Mapping[str, ValueBlock]
    choices: Mapping[str, ValueBlock]
    spans: Mapping[str, ValueBlock]
    loads: Mapping[str, ValueBlock]

    def accepted(self, name: str) -> tuple[float, float]:
        """Lowest and highest accepted value of an input."""
        low, high = self.choices["accepted"][name]
        return low, high


def load_tables(rules_dir: Path) -> Tables:
    """Read the value files under ``rules_dir``.

    Raises :class:`InputError` naming file, line and column of every mistake in the first
    file that has any.
    """
    return _load(os.path.realpath(rules_dir))


@lru_cache(maxsize=8)
def _load_at(folder: str, stamps: tuple[tuple[str, int, int], ...]) -> Tables:
    rules = Path(folder)
    sources, _ = read_file(rules / "sources.yaml", shapes.SOURCES, frozenset())
    keys = frozenset(sources)

    def part(name: str, shape: Any) -> tuple[Any, ValueReader]:
        return read_file(rules / name, shape, keys)

    sizes, size_file = part("members/sizes.yaml", shapes.SIZES)
    species, species_file = part("members/species.yaml", shapes.SPECIES)
    adjustment, _ = part("members/adjustment.yaml", shapes.ADJUSTMENT)
    engineered, _ = part("members/engineered.yaml", shapes.ENGINEERED)
    choices, choice_file = part("members/choices.yaml", shapes.CHOICES)
    spans, span_file = part("members/spans.yaml", shapes.SPANS)
    loads, load_file = part("loads.yaml", shapes.LOADS)
    tables = Tables(
        folder,
        MappingProxyType(
            {
                key: ValueSource(key, item["title"], item["edition"], item["provenance"],
                            item.get("note", ""))
                for key, item in sources.items()
            }
        ),
        _sizes(sizes, size_file),
        MappingProxyType(
            {key: _species(key, item, species_file) for key, item in species["groups"].items()}
        ),
        species["grade_aliases"],
        species["lumped_before_2018"],
        species["posts_and_timbers"],
        adjustment,
        engineered,
        choices,
        spans,
        loads,
    )  # fmt: skip
    _cross_check(tables, choice_file, span_file, species_file)
    _check_combinations(tables, load_file)
    return tables


FILES = (
    "sources.yaml",
    "loads.yaml",
    *(f"members/{name}.yaml" for name in
      ("sizes", "species", "adjustment", "engineered", "choices", "spans")),
)  # fmt: skip


def _load(folder: str) -> Tables:
    # Keyed by the files' times and lengths: an edited file is read again, an unchanged one is not.
    stamps = []
    for name in FILES:
        try:
            state = os.stat(f"{folder}/{name}")  # asked often, and twice as quick without a Path
        except OSError as error:
            reason = (error.strerror or "cannot be read").lower()
            expected = "expected a rules folder with sources.yaml, loads.yaml and members/"
            raise refuse(Path(folder, name), reason, expected) from None
        stamps.append((name, state.st_mtime_ns, state.st_size))
    return _load_at(folder, tuple(stamps))


def _sizes(found: Mapping[str, Any], reader: ValueReader) -> Mapping[str, Size]:
    sizes: dict[str, Size] = {}
    for dressing, part in found.items():
        for nominal, (thickness, depth) in part["values"].items():
            pair = nominal.split("x")
            if len(pair) != 2 or not all(number.isdigit() for number in pair):
                reader.note((dressing, "values", nominal), f"'{nominal}' is not a nominal size",
                            "expected a key such as 2x10")  # fmt: skip
                continue
            name = f"{part['prefix']} {nominal}" if "prefix" in part else nominal
            sizes[name] = Size(
                name, dressing, int(pair[0]), int(pair[1]), thickness, depth, part["source"]
            )
    if reader.problems:
        raise InputError(reader.problems)
    return MappingProxyType(sizes)


def _species(key: str, part: Mapping[str, Any], reader: ValueReader) -> Species:
    def design(row: tuple[float, ...]) -> Design:
        fb, ft, fv, fc_perp, fc, e, emin = row
        return Design(fb, ft, fv, fc_perp, fc, e * MILLION, emin * MILLION)

    by_width = part["size_rule"] == "width"
    columns: dict[int, Mapping[str, Design]] = {}
    for width, grades in part["values"].items() if by_width else (("0", part["values"]),):
        if not width.isdigit():
            where = ("groups", key, "values", width)
            reader.note(where, f"'{width}' is not a nominal width in whole inches")
            raise InputError(reader.problems)
        columns[int(width)] = MappingProxyType({name: design(row) for name, row in grades.items()})
    return Species(
        key,
        part["name"],
        part["aliases"],
        by_width,
        MappingProxyType(dict(sorted(columns.items()))),
        part["source"],
        part["provenance"],
    )


def _cross_check(
    tables: Tables, choices: ValueReader, spans: ValueReader, species: ValueReader
) -> None:
    def known(reader: ValueReader, where: tuple[str | int, ...], word: str, words: Any) -> None:
        if word not in words:
            hint = did_you_mean(word, words)
            reader.note(where, f"unknown '{word}'{hint}", "expected one of " + ", ".join(words))

    for block, key in (("beams", "sawn_sizes"), ("jack_studs", "sizes"), ("posts", "sizes")):
        for index, size in enumerate(tables.choices[block][key]):
            known(choices, (block, "values", key, index), size, tables.sizes)
    for block, kind, grade in (
        ("beams", "sawn_species", "sawn_grade"),
        ("jack_studs", "species", "grade"),
        ("jack_studs", "plate_species", "plate_grade"),
        ("posts", "species", "grade"),
    ):
        key = tables.choices[block][kind]
        known(choices, (block, "values", kind), key, tables.species)
        if key in tables.species:
            names = tables.species[key].grade_names
            known(choices, (block, "values", grade), tables.choices[block][grade], names)
    known(choices, ("beams", "values", "lvl_class"), tables.choices["beams"]["lvl_class"],
          tables.engineered["lvl_classes"].values)  # fmt: skip
    known(choices, ("beams", "values", "glulam_class"), tables.choices["beams"]["glulam_class"],
          tables.engineered["glulam_classes"].values)  # fmt: skip
    for index, key in enumerate(tables.spans["unknown_lumber"]["species"]):
        known(spans, ("unknown_lumber", "values", "species", index), key, tables.species)
    known(spans, ("unknown_lumber", "values", "usual_species"),
          tables.spans["unknown_lumber"]["usual_species"], tables.species)  # fmt: skip
    for name, era in tables.spans["eras"].values.items():
        for index, key in enumerate(era["species"]):
            known(spans, ("eras", "values", name, "species", index), key, tables.species)
        for use in shapes.USES:
            for index, size in enumerate(era[use]):
                known(spans, ("eras", "values", name, use, index), size, tables.sizes)
    lumber = tables.spans["unknown_lumber"]
    for key in ("grades", "joist_grades"):
        known(spans, ("unknown_lumber", "values", "usual_grade"), lumber["usual_grade"],
              lumber[key])  # fmt: skip
    until = [era["until"] for name, era in tables.spans["eras"].values.items() if name != "unknown"]
    if until != sorted(until):
        spans.note(("eras", "values"), "the eras are not in order of their last year")
    if "unknown" not in tables.spans["eras"].values:
        spans.note(("eras", "values"), "the era 'unknown' is missing")
    for key in tables.lumped.values:
        known(species, ("lumped_before_2018", "values", key), key, tables.species)
    for key in tables.choices["full_height_studs"].values:
        if not key.isdigit():
            choices.note(("full_height_studs", "values", key), f"'{key}' is no width in feet",
                         "expected whole feet as a key: \"8\"")  # fmt: skip
    for key in tables.timbers.values:
        known(species, ("posts_and_timbers", "values", key), key, tables.species)
    for reader in (choices, spans, species):
        if reader.problems:
            raise InputError(reader.problems)


def _check_combinations(tables: Tables, reader: ValueReader) -> None:
    where = ("combinations", "values")
    rows = tables.loads["combinations"].values
    alone = {
        name: {kind for kind in shapes.LOAD_KINDS if row.get(kind)} for name, row in rows.items()
    }
    if alone.get("D") != {"dead"}:
        reader.note(where, "no combination 'D' of dead load alone", "expected D: {dead: 1, ...}")
    for kind in shapes.LOAD_KINDS[1:]:
        if {"dead", kind} not in alone.values():
            what = f"no combination of dead load and {kind} alone"
            reader.note(where, what, "without it that load would not be counted")
    if reader.problems:
        raise InputError(reader.problems)
