"""Photos made safe to keep: read by content, turned upright, made smaller, written anew.

What is kept is a fresh JPEG of the pixels alone.  Where the picture was taken, by what, and
whatever else was hidden in the file stays behind.
"""

from __future__ import annotations

import hashlib
import io
import warnings
from dataclasses import dataclass
from threading import Semaphore

from PIL import Image, ImageOps, UnidentifiedImageError
from sqlalchemy import func, select
from sqlalchemy.orm import Session as Db

from walltriage.case.model import Step
from walltriage.desk.events import note_event
from walltriage.desk.scans import scans
from walltriage.desk.store import now
from walltriage.desk.tables import HouseRecord, Photo, PhotoData
from walltriage.desk.tokens import new_key
from walltriage.language import say

LONGEST, SMALL = 1800, 360  # pixels of the longer side
LEAST = 16  # pixels of the shorter side; less shows nothing
QUALITY = 82
MOST_SCANS = 30  # each goes over the whole picture
FORMATS = ["JPEG", "PNG", "WEBP"]
_AT_ONCE = Semaphore(2)  # pictures open in memory; one may take 200 megabytes


class PhotoError(Exception):
    """A file that is not kept; the text says why and what to do."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture in two sizes."""

    data: bytes
    small: bytes
    width: int
    height: int


def heic_reads() -> bool:
    """Whether photos in HEIC can be read: when the library for them is installed."""
    try:
        from pillow_heif import register_heif_opener
    except ImportError:
        return False
    if "HEIF" not in FORMATS:
        register_heif_opener()
        FORMATS.append("HEIF")
    return True


def cleaned(data: bytes, most_bytes: int, most_pixels: int) -> Picture:
    """The picture as it is kept; :class:`PhotoError` for what is none, or too large."""
    if len(data) > most_bytes:
        raise PhotoError(
            say(
                "It is larger than {value} megabytes. Send a smaller one.",
                value=most_bytes // 2**20,
            )
        )
    if scans(data) > MOST_SCANS:
        raise PhotoError(
            "It is stored in a way that takes too long to read. Send a screenshot of it."
        )
    heic_reads()
    with _AT_ONCE, warnings.catch_warnings():
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        try:
            return _made(data, most_pixels)
        except PhotoError:
            raise
        except UnidentifiedImageError:
            raise PhotoError(
                "That is not a photo that can be read here. JPEG, PNG, WebP and most phone "
                "formats work; so does a screenshot of the photo."
            ) from None
        except (
            OSError, ValueError, SyntaxError, EOFError, MemoryError, OverflowError,
            Image.DecompressionBombError, Image.DecompressionBombWarning,
        ):  # fmt: skip
            raise PhotoError("The file is damaged or incomplete. Send it again.") from None


def _made(data: bytes, most_pixels: int) -> Picture:
    with Image.open(io.BytesIO(data), formats=FORMATS) as image:
        width, height = image.size
        if width * height > most_pixels:
            raise PhotoError(
                say("It has more than {value} million pixels.", value=most_pixels // 10**6)
            )
        if min(width, height) < LEAST:
            raise PhotoError("It is too small to show anything.")
        image.draft("RGB", (LONGEST, LONGEST))  # JPEG is read at a size near the one wanted
        upright = ImageOps.exif_transpose(image)
        plain = _without_holes(upright)
    plain.thumbnail((LONGEST, LONGEST), Image.Resampling.LANCZOS)
    small = plain.copy()
    small.thumbnail((SMALL, SMALL), Image.Resampling.LANCZOS)
    return Picture(_jpeg(plain), _jpeg(small), *plain.size)


def _without_holes(image: Image.Image) -> Image.Image:
    """In plain colors, with white where a picture is see-through."""
    if image.mode in ("RGBA", "LA", "PA") or "transparency" in image.info:
        over = image.convert("RGBA")
        white = Image.new("RGBA", over.size, "white")
        white.alpha_composite(over)
        return white.convert("RGB")
    return image.convert("RGB")


def _jpeg(image: Image.Image) -> bytes:
    """The pixels alone: a new picture has none of the old one's data about it."""
    bare = Image.frombytes("RGB", image.size, image.tobytes())
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=QUALITY, optimize=True)
    return out.getvalue()


def keep_photo(
    db: Db, house: HouseRecord, step: Step, picture: Picture, by: str, most: int, caption: str = ""
) -> Photo | None:
    """Keep a picture with its look; None when the house has that picture there already.

    Raises :class:`PhotoError` when the house has as many as it may.
    """
    sha256 = hashlib.sha256(picture.data).hexdigest()
    mine = select(Photo).where(Photo.house_id == house.id)
    there = mine.where(
        Photo.sha256 == sha256, Photo.subject == step.subject, Photo.question == step.question
    )
    if db.scalar(there.limit(1)) is not None:
        return None
    count = select(func.count()).select_from(Photo).where(Photo.house_id == house.id)
    if (db.scalar(count) or 0) >= most:
        raise PhotoError(
            say("This house has {most} photos already, and that is the limit.", most=most)
        )
    photo = Photo(
        key=new_key(), house_id=house.id, subject=step.subject, question=step.question,
        width=picture.width, height=picture.height, sha256=sha256, by=by, at=now(),
        caption=caption,
    )  # fmt: skip
    db.add(photo)
    db.flush()
    db.add(PhotoData(photo_id=photo.id, picture=picture.data, small=picture.small))
    return photo


def photo_bytes(db: Db, house: HouseRecord, key: str, small: bool) -> bytes | None:
    """A picture of this house; None when it has no such one."""
    column = PhotoData.small if small else PhotoData.picture
    query = select(column).join(Photo, Photo.id == PhotoData.photo_id)
    return db.scalar(query.where(Photo.house_id == house.id, Photo.key == key))


def drop_photo(db: Db, house: HouseRecord, key: str, by: str) -> bool:
    """Take a photo away; False when the house has no such one."""
    photo = db.scalar(select(Photo).where(Photo.house_id == house.id, Photo.key == key))
    if photo is None:
        return False
    db.delete(photo)
    note_event(db, by, "photo removed", house.key, f"{photo.subject}/{photo.question}")
    return True
