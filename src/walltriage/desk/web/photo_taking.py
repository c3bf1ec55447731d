"""Photos that come in with a form."""

from __future__ import annotations

from walltriage.case.model import Step
from walltriage.desk.events import CLIENT
from walltriage.desk.photos import PhotoError, cleaned, keep_photo
from walltriage.desk.tables import HouseRecord
from walltriage.desk.web.visit import Visit

FIELDS = ("photo_new", "photo_old")  # from the camera, or one taken before


def take_photo(
    visit: Visit, house: HouseRecord, step: Step, by: str = CLIENT, need: bool = False
) -> str:
    """Save the photos that came with a form; what is wrong with one, or an empty text."""
    sent = [visit.files[name][1] for name in FIELDS if name in visit.files]
    if not sent:
        return "No photo was chosen." if need else ""
    limits = visit.desk.settings
    try:
        for data in sent:
            picture = cleaned(data, limits.photo_bytes, limits.photo_pixels)
            with visit.desk.store.write() as db:
                keep_photo(db, house, step, picture, by, limits.photos_per_house)
    except PhotoError as error:
        return str(error)
    return ""
