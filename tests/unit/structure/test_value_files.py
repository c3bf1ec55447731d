"""Mistakes in the value files are told with file, line and column."""

import re
import shutil
from pathlib import Path

import pytest

from tests.conftest import read_yaml
from walltriage.errors import InputError
from walltriage.structure.tables import FILES, Tables, load_tables

RULES = Path(__file__).parents[3] / "rules"
SOURCE = Path(__file__).parents[3] / "src" / "walltriage" / "structure"


@pytest.fixture
def copied(tmp_path: Path) -> Path:
    (tmp_path / "members").mkdir()
    for name in FILES:
        shutil.copy(RULES / name, tmp_path / name)
    return tmp_path


MISTAKES = {
    "a number that is none": ("members/sizes.yaml", "2x4: [1.5, 3.5]", "2x4: [1.5, big]", "'big'"),
    "a negative number": ("members/sizes.yaml", "2x4: [1.5, 3.5]", "2x4: [1.5, -3.5]", "-3.5"),
    "one number too few": ("members/sizes.yaml", "2x4: [1.5, 3.5]", "2x4: [1.5]", "list of 2"),
    "a size that is none": ("members/sizes.yaml", "2x4: [1.5, 3.5]", "wide: [1.5, 3.5]", "'wide'"),
    "a source nobody knows": (
        "members/sizes.yaml", "source: nds_supplement_1b", "source: nds_suplement_1b",
        "did you mean 'nds_supplement_1b'",
    ),
    "a provenance that is none": (
        "loads.yaml", "provenance: seen", "provenance: sure", "expected one of seen",
    ),
    "a key misspelled": (
        "members/adjustment.yaml", "spacing_up_to_in", "spacing_upto_in",
        "did you mean 'spacing_up_to_in'",
    ),
    "a block missing": ("members/adjustment.yaml", "creep:", "crept:", "'creep' is missing"),
    "a row out of order": (
        "loads.yaml", "roof_light: [8, 12, 15]", "roof_light: [15, 12, 8]", "rising order",
    ),
    "a species nobody knows": (
        "members/choices.yaml", "sawn_species: SPF", "sawn_species: SPFF", "did you mean 'SPF'",
    ),
    "a grade nobody knows": (
        "members/choices.yaml", "sawn_grade: No.2", "sawn_grade: No.9", "unknown 'No.9'",
    ),
    "a size nobody knows": (
        "members/spans.yaml", "floor: [2x8, 2x10, 2x12]", "floor: [2x8, 2x11]", "unknown '2x11'",
    ),
    "a usual grade that is not tried": (
        "members/spans.yaml", "usual_grade: No.2", "usual_grade: Stud", "unknown 'Stud'",
    ),
    "eras out of order": (
        "members/spans.yaml", "until: 1919", "until: 1950", "not in order",
    ),
    "no dead load alone": ("loads.yaml", "    D: {dead: 1,", "    DD: {dead: 1,", "'D'"),
    "snow never counted": (
        "loads.yaml", "D + S: {dead: 1, snow: 1,", "D + S: {dead: 1, live: 1,", "snow alone",
    ),
    "a number for a text": ("members/choices.yaml", "sawn_grade: No.2", "sawn_grade: 2", "a text"),
    "a key read as a number": (
        "members/adjustment.yaml", '"4": [1.5, 1.5, 1.15]', "4: [1.5, 1.5, 1.15]", "in quotes",
    ),
    "broken YAML": ("loads.yaml", "live:", "live: [", "not readable as YAML"),
}  # fmt: skip


@pytest.mark.parametrize("mistake", MISTAKES)
def test_mistake_is_told_with_its_place(copied: Path, mistake: str) -> None:
    name, right, wrong, told = MISTAKES[mistake]
    text = (copied / name).read_text(encoding="utf-8")
    assert right in text
    (copied / name).write_text(text.replace(right, wrong, 1), encoding="utf-8")
    with pytest.raises(InputError) as caught:
        load_tables(copied)
    assert re.search(told, str(caught.value))
    for problem in caught.value:
        assert problem.path.endswith(name)
        assert problem.line > 0


@pytest.mark.parametrize("name", FILES)
def test_missing_file(copied: Path, name: str) -> None:
    (copied / name).unlink()
    with pytest.raises(InputError, match=re.escape(name)):
        load_tables(copied)


def test_an_edited_file_is_read_again(copied: Path) -> None:
    before = load_tables(copied)
    assert load_tables(copied) is before
    path = copied / "loads.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("untested: 1500", "untested: 1234"))
    assert load_tables(copied).loads["soil"]["untested"] == 1234


def test_every_source_is_used() -> None:
    """A source of this room that no value and no step cites has no place in the list."""
    text = "".join((RULES / name).read_text(encoding="utf-8") for name in FILES[1:])
    text += "".join(path.read_text(encoding="utf-8") for path in SOURCE.glob("*.py"))
    mine = [key for key in read_yaml(RULES / "sources.yaml")
            if key.startswith(("nds", "irc_r301", "irc_r401", "asce7", "lvl"))]  # fmt: skip
    assert mine
    assert [key for key in mine if key not in text] == []


def test_every_block_has_a_source_that_exists(tables: Tables) -> None:
    blocks = [
        block
        for part in (tables.adjustment, tables.engineered, tables.choices, tables.spans,
                     tables.loads)
        for block in part.values()
    ]  # fmt: skip
    assert len(blocks) > 30
    for block in blocks:
        assert block.source in tables.sources or block.source == "common practice"
        assert (block.source == "common practice") <= (block.provenance == "common practice")
        assert block.unit


def test_design_values_fall_with_the_grade(tables: Tables) -> None:
    for group in tables.species.values():
        for grades in group.grades.values():
            for better, worse in (("SS", "No.1"), ("No.1", "No.2"), ("No.2", "No.3")):
                assert grades[better].fb_psi >= grades[worse].fb_psi
                assert grades[better].e_psi >= grades[worse].e_psi
