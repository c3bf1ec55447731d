"""Writing down what was found of a wall, and the page of tallies."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import timedelta

from starlette.responses import PlainTextResponse, Response

from walltriage.desk import outcome_words, outcomes, tallies
from walltriage.desk.checks import checks_of, counted_case
from walltriage.desk.store import now
from walltriage.desk.tables import HouseRecord
from walltriage.desk.web.desk_pages import is_date
from walltriage.desk.web.house_pages import by, of_house
from walltriage.desk.web.sign_pages import for_staff
from walltriage.desk.web.visit import Visit, see_other
from walltriage.knowledge.base import KnowledgeBase
from walltriage.language import say

SHOWN_CLUES = 200
ONE_DAY = timedelta(days=1)  # where it is tomorrow already


@of_house("engineer")
def outcome(visit: Visit, house: HouseRecord) -> Response:
    """What was found of one wall."""
    desk, wall_id = visit.desk, visit.request.path_params["wall"]
    with desk.store.read() as db:
        checks, kept = checks_of(db, house), outcomes.outcomes_of(db, house).get(wall_id)
    case = counted_case(desk.bench.base, desk.bench.case_of(house.case_text), checks)
    wall = next((w for w in case.walls if w.id == wall_id), None)
    if wall is None:
        return see_other(f"/desk/house/{house.key}")
    trouble = ""
    if visit.request.method == "POST":
        found = _found(visit)
        if isinstance(found, str):
            trouble = found
        else:
            with desk.bench.engine() as triager, desk.store.write() as db:
                outcomes.write_outcome(db, triager, house, case, wall_id, found, by(visit))
            return see_other(f"/desk/house/{house.key}")
    paths = {name: path.entry.title for name, path in desk.bench.base.paths.items()}
    return visit.page(
        "outcome.html", 400 if trouble else 200, house=house, wall=wall, trouble=trouble,
        kept=kept, seen=outcomes.SEEN, why=outcomes.WHY, reporter=outcomes.REPORTER, paths=paths,
    )  # fmt: skip


def _found(visit: Visit) -> outcomes.FoundLater | str:
    """What the form says, or what is wrong with it."""
    form = visit.form
    seen = next((s for s in outcomes.SEEN if s == form.get("seen")), None)
    why = next((w for w in outcomes.WHY if w == form.get("why")), None)
    reporter = next((r for r in outcomes.REPORTER if r == form.get("reporter")), None)
    if form.get("bears") not in ("yes", "no") or seen is None or why is None or reporter is None:
        return say("Say whether it bears, how that was seen, why someone looked, and who says so.")
    found_on = visit.text("found_on", 10)
    if not is_date(found_on):
        return say("Say when it was found, as YYYY-MM-DD.")
    if found_on > now(ONE_DAY)[:10]:
        return say("{found_on} is still to come. Say when it was found.", found_on=found_on)
    known = visit.desk.bench.base.paths
    paths = tuple(p for p in known if form.get(f"path_{p}")) if form["bears"] == "yes" else ()
    note = visit.text("note", 1000)
    return outcomes.FoundLater(form["bears"] == "yes", seen, why, reporter, found_on, paths, note)


def _answers(base: KnowledgeBase) -> Iterator[tuple[tuple[str, str], str]]:
    """Every answer to every question in the words of its option or of its band."""
    for name, question in base.questions.items():
        for option in question.entry.options:
            yield (name, option.id), option.says
        for band in question.entry.bands:
            yield (name, band.id), band.means


@for_staff("engineer")
def tally(visit: Visit) -> Response:
    """How often the verdicts were right."""
    base = visit.desk.bench.base
    with visit.desk.store.read() as db:
        records = outcomes.records(db)
    groups = {
        title: (tallies.by_verdict(some), tallies.calibration(some), len(some))
        for title, some in tallies.grouped(records).items()
    }
    clues = [row for row in tallies.by_clue(tallies.fair(records), base) if row.bears.of][
        :SHOWN_CLUES
    ]
    return visit.page(
        "outcomes.html", groups=groups, clues=clues, count=len(records), words=outcome_words,
        asks={name: question.entry.ask for name, question in base.questions.items()},
        said=defaultdict(str, _answers(base)),
    )  # fmt: skip


@for_staff("engineer")
def pool(visit: Visit) -> Response:
    """Our outcomes without anything that tells whose they are; or another firm's, taken in."""
    if visit.request.method == "POST":
        return _take_pool(visit)
    with visit.desk.store.read() as db:
        text = outcomes.pool_text(outcomes.records(db, pooled=False))
    headers = {"content-disposition": 'attachment; filename="outcomes.jsonl"'}
    return PlainTextResponse(text, headers=headers)


def _take_pool(visit: Visit) -> Response:
    assert visit.person is not None
    _, data = visit.files.get("pool", ("", b""))
    try:
        found = outcomes.read_pool(data.decode("utf-8"))
    except ValueError as error:  # also what is no text
        told = say("That pool was not taken in. {error}.", error=str(error).capitalize())
        return visit.page("desk_trouble.html", 400, trouble=told)
    with visit.desk.store.write() as db:
        outcomes.take_in(db, found, visit.person.name)
    return see_other("/desk/outcomes")
