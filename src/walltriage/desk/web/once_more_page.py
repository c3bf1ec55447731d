"""The page on which a client looks once more at what would settle a wall."""

from __future__ import annotations

from dataclasses import replace

from starlette.responses import Response

from walltriage.desk import intake, once_more
from walltriage.desk.houses import look_at
from walltriage.desk.tables import HouseRecord
from walltriage.desk.web.client_link import base, next_place, of_link
from walltriage.desk.web.look_page import cautions
from walltriage.desk.web.sketch import sketch_svg
from walltriage.desk.web.visit import Visit, see_other
from walltriage.interview.pages import said
from walltriage.interview.signs_told import ONCE_MORE, confirming_page
from walltriage.language import say


@of_link
def page(visit: Visit, house: HouseRecord) -> Response:
    """What was said, its drawing, and one plain question."""
    trouble = ""
    if visit.request.method == "POST":
        reply = visit.form.get("answer", "")
        if reply in [choice.value for choice in confirming_page("").choices]:
            intake.look_once_more(visit.desk.store, visit.desk.bench, house, reply)
            return see_other(next_place(visit, house.id))
        trouble = say("Pick one line.")
    once = once_more.waiting(house.place)
    with look_at(visit.desk.bench, house) as session:
        item = once_more.given_to(session, once.steps[0]) if once is not None else None
        if item is None:
            return see_other(f"{base(visit)}?moved=1")
        entry = session.question(item.step)
        sketch = entry.entry.sketch or ""
        told = replace(item.answer, sure=once.sure) if once else item.answer
        shown = confirming_page(said(entry, told), entry.entry.look, sketch)
        mind, answered = cautions(session, item.step), len(session.given)
    return visit.page(
        "client_once_more.html", 400 if trouble else 200, house=house, base=base(visit),
        page=shown, first=say(ONCE_MORE), cautions=mind, sketch=sketch_svg(sketch),
        answered=answered, trouble=trouble,
    )  # fmt: skip
