"""Everything a desk holds as one archive of case files and photos, and back in again.

``register.json`` tells the rest: whose house it is, marks, notes, what was asked.  Coming in,
nothing of an archive is trusted: names are matched, sizes limited, cases read as case files are,
photos cleaned anew.
"""

from __future__ import annotations

import io
import json
import re
import tempfile
import zipfile
import zlib
from collections.abc import Sequence
from dataclasses import fields
from typing import Any, BinaryIO

import yaml
from sqlalchemy import select
from sqlalchemy.orm import Session as Db

from walltriage.case.model import CHECKED, HOUSE, Case, Step
from walltriage.case.read import parse_case
from walltriage.case.write import case_data
from walltriage.desk.bench import Bench
from walltriage.desk.checks import by_step, checks_of, counted_case, holds
from walltriage.desk.events import note_event
from walltriage.desk.houses import NewHouse, house_by_key, make_house
from walltriage.desk.outcomes import Record, take_in
from walltriage.desk.photos import PhotoError, Picture, cleaned, keep_photo
from walltriage.desk.store import Store
from walltriage.desk.tables import (
    AnswerCheck,
    AnswerEntry,
    Base,
    EngineerQuestion,
    HouseRecord,
    LookOffered,
    Note,
    Outcome,
    Photo,
    PhotoData,
    Pooled,
)
from walltriage.errors import InputError
from walltriage.knowledge.base import KnowledgeBase
from walltriage.language import say

SCHEMA = "walltriage/register/1"
MOST_BYTES = 2 * 2**30
MOST_FILES = 200_000
MOST_CASE_BYTES = 2 * 2**20
MOST_REGISTER_BYTES = 256 * 2**20  # a hundred times as much in memory, so:
MOST_BY_BROWSER = 32 * 2**20
MOST_PHOTO_BYTES, MOST_PIXELS = 20 * 2**20, 64_000_000
_OfHouse = AnswerCheck | EngineerQuestion | LookOffered | Note | AnswerEntry | Outcome
_KEPT_OF: dict[str, tuple[type[_OfHouse], tuple[str, ...]]] = {
    "checks": (
        AnswerCheck, ("subject", "question", "says", "of_value", "value", "note", "by", "at"),
    ),
    "asked": (
        EngineerQuestion, ("subject", "question", "words", "by", "at", "reply", "replied_at"),
    ),
    "offered": (LookOffered, ("wall", "stop", "at")),
    "notes": (Note, ("text", "by", "at")),
    "entries": (
        AnswerEntry, ("revision", "at", "by", "subject", "question", "value", "sure", "note"),
    ),
    "outcomes": (
        Outcome, ("wall", "bears", "paths", "seen", "why", "reporter", "by", "found_on", "note",
                  "at", "record"),
    ),
}  # fmt: skip
_PHOTO = ("key", "subject", "question", "by", "at", "caption")
_HOUSE = ("key", "begun", "sent_at", "archived_at", "made_at", "changed_at")
_KEY = re.compile(r"[a-z0-9]{4,20}")


class ImportTrouble(Exception):  # noqa: N818 - told as what happened
    """An archive that is not taken in; the text says what is wrong."""


class TooMuch(ValueError):  # noqa: N818 - told as what happened
    """A file of an archive that unpacks to more than it may."""


def export_zip(store: Store, bench: Bench, by: str) -> BinaryIO:
    """An archive of all houses, at its beginning, to be closed by whoever reads it."""
    file = tempfile.TemporaryFile()  # noqa: SIM115 - the reader closes it
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive, store.read() as db:
        houses = db.scalars(select(HouseRecord).order_by(HouseRecord.id)).all()
        told = [_house_data(db, house) for house in houses]
        for house in houses:
            _put_house(archive, db, bench, house)
        pooled = [json.loads(text) for text in db.scalars(select(Pooled.record))]
        register = {"schema": SCHEMA, "houses": told, "pooled": pooled}
        archive.writestr("register.json", json.dumps(register, ensure_ascii=False, indent=1))
    with store.write() as db:
        note_event(db, by, "everything exported, houses", detail=str(len(told)))
    file.seek(0)
    return file


def _house_data(db: Db, house: HouseRecord) -> dict[str, Any]:
    facts = [f.name for f in fields(NewHouse) if f.name not in ("walls", "role")]
    data: dict[str, Any] = {name: getattr(house, name) for name in (*_HOUSE, *facts)}
    for name, (table, columns) in _KEPT_OF.items():
        rows = db.scalars(select(table).where(table.house_id == house.id).order_by(table.id))
        data[name] = [{column: getattr(row, column) for column in columns} for row in rows]
    photos = db.scalars(select(Photo).where(Photo.house_id == house.id).order_by(Photo.id))
    data["photos"] = [{column: getattr(row, column) for column in _PHOTO} for row in photos]
    return data


def _put_house(archive: zipfile.ZipFile, db: Db, bench: Bench, house: HouseRecord) -> None:
    case, checks = bench.case_of(house.case_text), checks_of(db, house)
    archive.writestr(f"{house.key}/case.yaml", _yaml(case_data(case)))
    if checks:
        counted = counted_case(bench.base, case, checks)
        archive.writestr(f"{house.key}/checked.yaml", _yaml(checked_data(case, counted, checks)))
    rows = select(Photo.key, PhotoData.picture).join(PhotoData, PhotoData.photo_id == Photo.id)
    for key, data in db.execute(rows.where(Photo.house_id == house.id)):
        archive.writestr(f"{house.key}/photos/{key}.jpg", data, zipfile.ZIP_STORED)


def _yaml(data: dict[str, Any]) -> str:
    return yaml.safe_dump(data, sort_keys=False, allow_unicode=True, width=100)


def checked_data(case: Case, counted: Case, checks: Sequence[AnswerCheck]) -> dict[str, Any]:
    """The counted case as a case file, with ``sure: checked`` where an engineer stands for it."""
    data = case_data(counted)
    answers = {HOUSE: data["house"]} | {wall["id"]: wall["answers"] for wall in data["walls"]}
    told = {HOUSE: case.house} | {wall.id: wall.answers for wall in case.walls}
    for step, check in by_step(checks).items():
        before = told.get(step.subject, {}).get(step.question)
        entry = answers.get(step.subject, {}).get(step.question)
        if check.says != "unseen" and holds(check, before) and isinstance(entry, dict):
            answers[step.subject][step.question] = entry | {"sure": CHECKED}
    return data


def import_zip(
    store: Store, base: KnowledgeBase, data: bytes, by: str,
    most_register_bytes: int = MOST_REGISTER_BYTES,
) -> list[str]:  # fmt: skip
    """Take in an archive; a line for each house, told to the person who sent it.

    Houses that are here already stay as they are.  Raises :class:`ImportTrouble` when nothing of
    the archive can be taken; a house that cannot be is told, and the others come in.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            infos = archive.infolist()
            if len(infos) > MOST_FILES or sum(i.file_size for i in infos) > MOST_BYTES:
                raise ImportTrouble("The archive is too large to import at once.")
            register = _register(archive, most_register_bytes)
            pooled = _pooled(register)
            found = [item for item in register["houses"] if isinstance(item, dict)]
            told = [_take(store, base, archive, item, by) for item in found]
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError):
        raise ImportTrouble("That is not an archive of a desk, or it is damaged.") from None
    if pooled:
        with store.write() as db:
            take_in(db, pooled, by)
    return told


def _register(archive: zipfile.ZipFile, most_bytes: int) -> dict[str, Any]:
    try:
        register = json.loads(_read(archive, "register.json", most_bytes))
    except KeyError:
        raise ImportTrouble("The archive has no register.json: it was not made here.") from None
    except TooMuch:
        raise ImportTrouble(
            "register.json is too large to import here. Use: walltriage desk import"
        ) from None
    except (ValueError, RecursionError):
        raise ImportTrouble("register.json cannot be read.") from None
    if not isinstance(register, dict) or register.get("schema") != SCHEMA:
        raise ImportTrouble(say("register.json is not of the kind {schema}.", schema=SCHEMA))
    if not isinstance(register.get("houses"), list):
        raise ImportTrouble("register.json lists no houses.")
    return register


def _pooled(register: dict[str, Any]) -> list[Record]:
    """Outcomes of other firms that the desk had taken in."""
    given = register.get("pooled", [])
    try:
        return [Record.of(record) for record in given]
    except (TypeError, ValueError):
        raise ImportTrouble("Outcomes of other firms in register.json cannot be read.") from None


def _take(
    store: Store, base: KnowledgeBase, archive: zipfile.ZipFile, item: dict[str, Any], by: str
) -> str:
    key = item.get("key")
    if not isinstance(key, str) or not _KEY.fullmatch(key):
        return say("A house without a valid key was left out.")
    try:
        text = _read(archive, f"{key}/case.yaml", MOST_CASE_BYTES).decode("utf-8")
        case = parse_case(text, f"{key}/case.yaml", base.questions)
        with store.read() as db:
            here = db.scalar(select(HouseRecord.id).where(HouseRecord.key == key)) is not None
        # cleaned before anything is written: nobody's answers wait for pictures
        pictures = [] if here else [_picture(archive, key, row) for row in item.get("photos") or ()]
        with store.write() as db:
            if db.scalar(select(HouseRecord.id).where(HouseRecord.key == key)) is not None:
                return say(
                    "{name} ({key}) is here already and stays as it is.", name=case.name, key=key
                )
            _enter(db, item, key, case, by)
            _enter_photos(db, key, item, pictures)
    except (InputError, KeyError, UnicodeDecodeError, PhotoError, TypeError, ValueError) as error:
        why = str(error).splitlines()[0] if str(error) else type(error).__name__
        return say("{key} was left out: {why}", key=key, why=why)
    return say("{name} ({key}) came in.", name=case.name, key=key)


def _read(archive: zipfile.ZipFile, name: str, most: int) -> bytes:
    with archive.open(name) as file:
        data = file.read(most + 1)
    if len(data) > most:
        raise TooMuch(f"{name} is too large")
    return data


def _enter(db: Db, item: dict[str, Any], key: str, case: Case, by: str) -> None:
    new = NewHouse(
        name=case.name[:200],
        client=_words(item, "client", 200), contact=_words(item, "contact", 300),
        address=_words(item, "address", 300), visit_on=_words(item, "visit_on", 10),
        shows="result" if item.get("shows") == "result" else "thanks",
    )  # fmt: skip
    house = make_house(db, new, by, case)
    house.key, house.begun = key, item.get("begun") is True
    for name in ("sent_at", "archived_at", "made_at", "changed_at"):
        setattr(house, name, _words(item, name, 20) or getattr(house, name))
    for name, (table, columns) in _KEPT_OF.items():
        for row in item.get(name) or ():
            kept = {c: row[c] for c in columns}
            if not all(_fits(table, column, value) for column, value in kept.items()):
                raise ValueError(f"{name} cannot be read")
            if table is Outcome:
                Record.of(json.loads(kept["record"]))
            db.add(table(house_id=house.id, **kept))
    house.revision = max((int(r["revision"]) for r in item.get("entries") or ()), default=0)
    note_event(db, by, "house imported", key)


def _fits(table: type[Base], column: str, value: object) -> bool:
    """Whether a value has the column's type and is no longer than it takes."""
    kind = table.__table__.columns[column].type
    most = getattr(kind, "length", None)
    return type(value) is kind.python_type and (most is None or len(str(value)) <= most)


def _picture(archive: zipfile.ZipFile, house_key: str, row: dict[str, Any]) -> Picture:
    key = str(row["key"])
    if not _KEY.fullmatch(key):
        raise ValueError("a photo without a valid key")
    data = _read(archive, f"{house_key}/photos/{key}.jpg", MOST_PHOTO_BYTES)
    return cleaned(data, MOST_PHOTO_BYTES, MOST_PIXELS)


def _enter_photos(db: Db, key: str, item: dict[str, Any], pictures: Sequence[Picture]) -> None:
    house = house_by_key(db, key)
    for row, picture in zip(item.get("photos") or (), pictures, strict=True):
        step = Step(_words(row, "subject", 60), _words(row, "question", 100))
        photo = keep_photo(db, house, step, picture, _words(row, "by", 200), MOST_FILES)
        if photo is not None:
            photo.at = _words(row, "at", 20)


def _words(item: dict[str, Any], name: str, most: int) -> str:
    value = item.get(name, "")
    return value[:most] if isinstance(value, str) else ""
