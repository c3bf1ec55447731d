"""What the firm does to a house: marks, questions, notes, facts, setting aside, deleting."""

from __future__ import annotations

from datetime import date

from starlette.responses import Response

from walltriage.case.answers import AnswerError
from walltriage.case.model import Step
from walltriage.desk import remarks
from walltriage.desk.checks import SAYS, check_answer, checks_of, counted_case, uncheck
from walltriage.desk.houses import delete_house, set_archived, update_facts
from walltriage.desk.intake import MOST_NOTE, MOST_TYPED
from walltriage.desk.tables import HouseRecord
from walltriage.desk.web.desk_pages import SHOWS, new_house_of
from walltriage.desk.web.house_pages import back, by, of_house
from walltriage.desk.web.visit import Visit, see_other
from walltriage.interview import words
from walltriage.language import say
from walltriage.report.files import make_request, rendered


@of_house("engineer")
def mark(visit: Visit, house: HouseRecord) -> Response:
    """Mark one answer, or take the mark off."""
    if visit.request.method != "POST":
        return back(house)
    step = Step(visit.text("subject", 60), visit.text("question", 100))
    says = next((s for s in SAYS if s == visit.form.get("says")), None)
    value = visit.text("value", MOST_TYPED) or visit.text("typed", MOST_TYPED)
    base, bench = visit.desk.bench.base, visit.desk.bench
    try:
        with visit.desk.store.write() as db:
            kept = db.get(HouseRecord, house.id)
            assert kept is not None
            if says is None:
                uncheck(db, kept, step, by(visit))
            else:
                case = bench.case_of(kept.case_text)
                note = visit.text("note", MOST_NOTE)
                check_answer(db, base, kept, case, step, says, value, note, by(visit))
    except AnswerError as error:
        told = words.plainly(error, step.question)
        return visit.page(
            "desk_trouble.html", 400, trouble=say("The mark was not saved. {told}", told=told)
        )
    except KeyError:
        told = say("That answer was withdrawn in the meantime, or there is nothing to mark.")
        return visit.page("desk_trouble.html", 400, trouble=told)
    return back(house, f"a-{step.subject}-{step.question}")


@of_house()
def ask(visit: Visit, house: HouseRecord) -> Response:
    """One more thing for the client's link."""
    if visit.request.method == "POST":
        try:
            with visit.desk.store.write() as db:
                if "back" in visit.form:
                    remarks.take_back(db, house, visit.number("back"), by(visit))
                else:
                    remarks.ask(
                        db, visit.desk.bench.base, house,
                        visit.desk.bench.case_of(house.case_text), visit.text("subject", 60),
                        visit.text("question", 100), visit.text("words", remarks.MOST_WORDS),
                        by(visit),
                    )  # fmt: skip
        except remarks.RemarkError as error:
            return visit.page("desk_trouble.html", 400, trouble=str(error))
    return back(house, "ask")


@of_house()
def note(visit: Visit, house: HouseRecord) -> Response:
    """A note of the firm's own."""
    if visit.request.method == "POST":
        with visit.desk.store.write() as db:
            remarks.add_note(db, house, visit.text("text", 5000), by(visit))
    return back(house, "notes")


@of_house()
def facts(visit: Visit, house: HouseRecord) -> Response:
    """Name, client, address, visit, what the client sees."""
    trouble = ""
    if visit.request.method == "POST":
        given = new_house_of(visit)
        if isinstance(given, str):
            trouble = given
        else:
            with visit.desk.store.write() as db:
                kept = db.get(HouseRecord, house.id)
                if kept is not None:
                    update_facts(db, kept, given, visit.desk.bench, by(visit))
            return back(house)
    held = {name: getattr(house, name) for name in
            ("name", "client", "contact", "address", "visit_on", "shows")}  # fmt: skip
    return visit.page(
        "facts.html", 400 if trouble else 200, house=house, trouble=trouble,
        form=held | visit.form, shows=SHOWS,
    )  # fmt: skip


@of_house()
def aside(visit: Visit, house: HouseRecord) -> Response:
    """Set the house aside, or take it back."""
    if visit.request.method == "POST":
        with visit.desk.store.write() as db:
            kept = db.get(HouseRecord, house.id)
            if kept is not None:
                set_archived(db, kept, visit.form.get("do") == "aside", by(visit))
    return see_other("/desk")


@of_house("engineer")
def delete(visit: Visit, house: HouseRecord) -> Response:
    """Delete everything kept of a house, after its name was typed."""
    trouble = ""
    if visit.request.method == "POST":
        if visit.text("name", 200) == house.name:
            with visit.desk.store.write() as db:
                kept = db.get(HouseRecord, house.id)
                if kept is not None:
                    delete_house(db, kept, by(visit), visit.text("why", 200))
            return see_other("/desk")
        trouble = say("That is not the name of the house, so nothing was deleted.")
    return visit.page("delete.html", 400 if trouble else 200, house=house, trouble=trouble)


PACKETS = {"html": "text/html", "pdf": "application/pdf", "json": "application/json",
           "md": "text/markdown"}  # fmt: skip


@of_house()
def packet(visit: Visit, house: HouseRecord) -> Response:
    """The intake packet, with what was checked, to be saved or printed."""
    form = visit.request.path_params["form"]
    if form not in PACKETS:
        return back(house)
    desk = visit.desk
    with desk.store.read() as db:
        checks = checks_of(db, house)
    case = counted_case(desk.bench.base, desk.bench.case_of(house.case_text), checks)
    with desk.bench.engine() as triager:
        request = make_request(triager, case, date.today().isoformat(), "firm")
        data = rendered(request, form)
    headers = {
        "content-disposition": f'attachment; filename="packet-{house.key}.{form}"',
        "content-security-policy": "default-src 'none'; style-src 'unsafe-inline'; sandbox",
    }
    return Response(data, media_type=PACKETS[form], headers=headers)
