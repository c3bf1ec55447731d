"""Answers as a careful person would give them in front of a wall of one kind."""

from __future__ import annotations

import re

from walltriage.case.model import Answer, Case, Sureness, Wall
from walltriage.inference.looks.glance import Asked, picked_by, word_for_all
from walltriage.inference.triage import Triager
from walltriage.interview.planner import Planner
from walltriage.interview.session import Session
from walltriage.knowledge.base import AskedQuestion, KnowledgeBase

# A plain detached house of the sixties with an attic, and an inner wall in it.
PLAIN_HOUSE = {
    "house_kind": "detached",
    "walls_made_of": "wood_frame",
    "year_built": "1965",
    "levels_in_house": "one",
    "top_space": "attic",
    "base_of_house": "crawl_space",
    "house_width": "28 ft",
    "house_length": "44 ft",
    "attic_frame": "rafters",
    "additions": "none_known",
    "walls_gone": "none_known",
    "quake_or_wind": "neither",
    "ridge_look": "straight",
    "crack_kind": "none",
    "recent_change": "no_change",
    "rot_or_insects": "none_seen",
    "wall_level": "ground",
    "above_wall": "only_attic",
    "below_wall": "crawl_space",
    "wall_place": "inside",
    "wall_height": "reaches_ceiling",
    "wall_traced": "whole",
    "joists_cut_above": "none_cut",
    "place_in_depth": "outer_third",
}

# The same under a roof of trusses that pass over the wall, looked at from end to end.
TRUSS_HOUSE = PLAIN_HOUSE | {
    "year_built": "1988",
    "attic_frame": "trusses",
    "truss_plates": "plates",
    "truss_run": "along",
    "truss_at_wall": "gap_or_slot_clips",
    "truss_ends": "go_past",
    "truss_carrier": "none",
    "wall_level": "top",
    "wall_against_ridge": "across_ridge",
    "attic_spot": "marked",
    "wall_thickness": "4.5 in",
    "wall_top": "clear_all_along",
    "wall_goes_on_up": "none",
    "attic_round": "none_of_these",
    "round_the_wall": "none_of_these",
    "house_history": "none_of_these",
    "house_exposure": "none_of_these",
    "house_movement": "none_of_these",
    "wall_line": "stands_alone",
    "under_wall": "open_joists",
    "post_below": "none",
}

# A story of rooms over the same inner wall, whose top is laid open and touched by nothing.
TWO_STORY_HOUSE = TRUSS_HOUSE | {
    "levels_in_house": "two",
    "above_wall": "rooms_all_along",
    "upstairs_round": "none_of_these",
    "wall_over_wall": "none_within_4_ft",
    "room_over_line": "open_room",
    "opened_top": "clear_all_along",
    "opened_joist_run": "along",
    "opened_joist_end": "gap_or_none",
}


class Answering:
    """Knows what to say to each question: the answers given, else the likeliest one on a
    wall that carries nothing."""

    def __init__(self, base: KnowledgeBase, answers: dict[str, str]) -> None:
        self.base, self.answers = base, answers
        self.clues = {clue.question: clue for clue in reversed(list(base.clues()))}

    def value(self, question: AskedQuestion) -> str:
        """The value to give."""
        if question.id in self.answers:
            return self.answers[question.id]
        clue = self.clues.get(question.id)
        if clue is None:
            return "unknown"
        clear = next(iter(clue.shows.values()))
        likeliest = max(clear, key=lambda answer: clear[answer])
        if question.entry.answer == "choice":
            return likeliest
        return self.measured(question, likeliest)

    def measured(self, question: AskedQuestion, band: str) -> str:
        """A number in the middle of a band, in plain figures."""
        low = question.number(question.entry.least)
        for item in question.entry.bands:
            high = question.number(question.entry.most if item.under is None else item.under)
            if item.id == band:
                middle = round((low + high) / 2)
                return f"{middle} in" if question.entry.answer == "length" else str(middle)
            low = high
        raise AssertionError(band)

    def answer(self, name: str) -> Answer:
        """What is said to a question, as an answer."""
        value = self.value(self.base.questions[name])
        return Answer(value, None, value)

    def typed_on(self, screen: str) -> str | None:
        """What to type on a page of several things; None where the last page is another one."""
        text = " ".join(screen.split())
        last = max(text.rfind(q.entry.ask) for q in self.base.questions.values())
        at, glance = max(
            ((text.rfind(g.ask), g) for g in self.base.glances),
            key=lambda found: found[0], default=(-1, None),
        )  # fmt: skip
        if glance is None or at <= last:
            return None
        here = text[at:]
        shown = {
            item: int(found[1])
            for item in map(str, range(len(glance.items)))
            if (found := re.search(rf"\b(\d+) {re.escape(glance.items[int(item)].says)}", here))
        }
        page = Asked(glance, tuple(glance.items[int(item)] for item in shown))
        word = word_for_all(page, self.answer)
        if word:
            return {"unknown": "d", "out_of_reach": "c"}[word]
        numbers, picked = list(shown.values()), picked_by(page, self.answer)
        told = [str(numbers[index]) for index in sorted(picked.seen)]
        told += [f"{numbers[index]}?" for index in sorted(picked.unsure)]
        return " ".join(told) or "0"

    def typed(self, question: AskedQuestion) -> str:
        """The value as one would type it: an option by its words, whatever its number is."""
        value = self.value(question)
        if value in ("unknown", "out_of_reach"):
            return {"unknown": "d", "out_of_reach": "c"}[value]
        return {option.id: option.says for option in question.entry.options}.get(value, value)


def told_all(
    triager: Triager, answers: dict[str, str], wall: Wall, reach: int = 3, guessed: str = ""
) -> Session:
    """An interview about one wall to its end; the question ``guessed`` is only guessed."""
    person = Answering(triager.base, answers)
    session = Session(Planner(triager), Case(reach=reach, walls=(wall,)))
    while session.step is not None:
        sure: Sureness = "guess" if session.step.question == guessed else "certain"
        session.answer(person.value(session.question(session.step)), sure)
    return session
