"""Photos go out by their keys, to whoever may see the house."""

from __future__ import annotations

import re

from starlette.responses import Response

from walltriage.desk.events import CLIENT
from walltriage.desk.photos import drop_photo, photo_bytes
from walltriage.desk.tables import HouseRecord
from walltriage.desk.web.client_link import base, of_link
from walltriage.desk.web.visit import Visit, see_other

_LOOK = re.compile(r"[A-Za-z0-9_-]{1,60}/[a-z0-9_]{1,100}")


def picture(visit: Visit, house: HouseRecord) -> Response:
    """One picture, small or large; an empty page when there is none."""
    small = visit.request.path_params["size"] == "small"
    with visit.desk.store.read() as db:
        data = photo_bytes(db, house, visit.request.path_params["photo"], small)
    if data is None:
        return Response("There is no such photo.", 404, media_type="text/plain")
    kept = {"cache-control": "private, max-age=3600"}
    return Response(data, media_type="image/jpeg", headers=kept)


@of_link
def clients_picture(visit: Visit, house: HouseRecord) -> Response:
    """A client sees the photos of their own house."""
    return picture(visit, house)


@of_link
def drop(visit: Visit, house: HouseRecord) -> Response:
    """The client takes a photo away, and comes back to its look."""
    if visit.request.method == "POST":
        with visit.desk.store.write() as db:
            kept = db.get(HouseRecord, house.id)
            if kept is not None:
                drop_photo(db, kept, visit.request.path_params["photo"], CLIENT)
    look = visit.form.get("look", "")
    return see_other(f"{base(visit)}/look/{look}" if _LOOK.fullmatch(look) else base(visit))
