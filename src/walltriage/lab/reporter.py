"""People who look and answer: wrong in ways that hang together, not only at random.

A person has a carefulness of their own; may take one topic wrongly all through, or look at
another wall's place in the attic, below or upstairs; errs on single questions; does not
know, or cannot get there; and is not much less sure when wrong.
"""

from __future__ import annotations

from collections.abc import Mapping
from copy import copy

import numpy as np

from walltriage.case.model import OUT_OF_REACH, SURENESS, UNKNOWN, Answer
from walltriage.knowledge.base import AskedQuestion
from walltriage.lab.findings import Found, Scene, found
from walltriage.lab.house.finish import pick
from walltriage.lab.house.model import House, Wall
from walltriage.lab.parameters import parameters

REPORTERS = ("perfect", "guided", "careful", "usual", "poor")
ROLE = {
    "perfect": "firm", "guided": "trade", "careful": "trade", "usual": "buyer", "poor": "buyer",
}  # fmt: skip
FAR = ("upstairs", "attic", "below")
LOOKED = ("seen", "measured")
MOST_ERROR = 0.6
ADJACENT = 0.6  # share of slips that go to a neighbouring option

# Our own sorting of questions into what a person takes rightly or wrongly as a whole.
TOPICS: Mapping[str, tuple[str, ...]] = {
    "direction": (
        "attic_joist_run", "truss_run", "ceiling_lines", "ceiling_magnet", "lights_and_ducts",
        "attic_board_nails", "strip_floor_above", "fixture_peek", "opened_joist_run",
        "overhead_joist_run", "floor_vent_peek",
        "joists_below_run", "ducts_below", "wall_against_ridge",
    ),
    "top_of_wall": (
        "attic_joists_at_wall", "truss_at_wall", "truss_ends", "opened_joist_end",
        "joist_nailer", "board_over_plate", "wall_top", "laps_elsewhere", "blade_test",
        "overhead_at_wall", "joists_sit", "clip_kind", "nailed_with_gap",
    ),
    "ends_of_joists": (
        "joists_end_one_side", "joists_end_other_side", "overhead_ends_one_side",
        "overhead_ends_other_side", "opened_ends_one_side", "opened_ends_other_side",
    ),
    "props": (
        "roof_props", "props_at_wall", "ridge_props", "knee_wall_above", "attic_round",
        "long_board_under_rafters",
    ),
    "beams": (
        "attic_beam", "truss_carrier", "beam_meets_wall", "hidden_beam", "post_at_wall",
        "stud_cluster_found", "stud_pack", "post_below", "round_the_wall", "thick_board_level",
        "steel_in_wall",
    ),
    "level_above": (
        "wall_over_wall", "room_over_line", "wall_ends_over", "outer_wall_above",
        "upstairs_round", "over_upper_wall",
    ),
    "support": (
        "under_wall", "wall_below_wall", "joists_below_join", "base_under_line",
        "support_length",
    ),
    "old_outside": (
        "wall_place", "outside_traces", "roof_both_sides", "floor_change", "siding_inside",
        "part_of_house", "once_porch", "ceiling_both_sides", "older_roof_inside",
    ),
    "age_of_wall": (
        "floor_under_wall", "trim_match", "told_when_built", "plate_on_finish", "joint_at_ends",
        "stud_age",
    ),
    "traced": ("wall_traced",),
}  # fmt: skip
_TOPIC_OF = {question: topic for topic, names in TOPICS.items() for question in names}


class Person:
    """One simulated person at one wall; answers in any order come out the same."""

    def __init__(
        self,
        kind: str,
        house: House,
        wall: Wall,
        rng: np.random.Generator,
        draws: int,
        reach: int | None = None,
    ) -> None:
        values = parameters()
        self.kind, self.preset = kind, values["reporters"][kind]
        spread = self.preset["person_spread"]
        self.slips = float(np.exp(rng.normal(0, spread) - spread**2 / 2))
        self.shrugs = float(np.exp(rng.normal(0, spread) - spread**2 / 2))
        drawn = int(pick(rng, values["reach"][kind]))
        self.reach = drawn if reach is None else reach
        self.sureness, self.easier = values["sureness"], values["dont_know_by_effort"]
        misread = self.preset["topic_misread"] * self.slips
        self._misread = {topic for topic in TOPICS if rng.random() < misread}
        self._lost = {
            place for place in FAR if rng.random() < self.preset["wrong_place"] * self.slips
        }
        self._misread_share = misread
        spot = self._spot(rng)
        self._scene = Scene(house, wall, rng)
        self._other: Scene | None = None
        other = _taken_for(house, wall, rng)
        if other is not None:
            self._other = Scene(house, other, rng)
        for scene in filter(None, (self._scene, self._other)):
            scene.spot = spot
            scene.top_seen_whole = self.preset.get("top_seen_whole", scene.top_seen_whole)
            scene.hole_count = self.preset.get("holes")
        self._draws = rng.random((draws, 6))
        self._normals = rng.normal(size=draws)

    def _spot(self, rng: np.random.Generator) -> str:
        """How this person finds the wall's place from the attic; measuring mends most slips."""
        spot = str(pick(rng, self.preset["finds_place"]))
        if spot == "marked" and rng.random() >= parameters()["measured_place_wrong"]:
            self._lost.discard("attic")
        return spot

    @property
    def attic_over(self) -> bool:
        """Whether an attic is over the wall."""
        return self._scene.attic_over

    def look_again(self, rng: np.random.Generator, measured: bool) -> Person:
        """The same person's second look: slips and misread topics are drawn anew.

        Whoever stood at a wrong place stands there again; only ``measured`` - the place itself
        measured a second time - brings most of them to the right one.
        """
        second = copy(self)
        second._misread = {topic for topic in TOPICS if rng.random() < self._misread_share}
        second._draws = rng.random(self._draws.shape)
        second._normals = rng.normal(size=len(self._normals))
        stays = parameters()["measured_place_wrong"] if measured else 1.0
        second._lost = {place for place in sorted(self._lost) if rng.random() < stays}
        return second

    def sees(self, question: AskedQuestion) -> Found:
        """What this person has before them: the wall's finding, or that of a wrong place."""
        astray = question.place in self._lost or _TOPIC_OF.get(question.id) in self._misread
        scene = self._other if astray and self._other is not None else self._scene
        return found(scene, question)

    def answer(self, question: AskedQuestion, column: int) -> Answer:
        """The answer to one question; ``column`` is its own row of random numbers."""
        draws = self._draws[column]
        saw = self.sees(question)
        error = min(MOST_ERROR, self.preset[question.entry.kind] * self.slips)
        values = question.values
        if saw is None or saw == OUT_OF_REACH:
            word = UNKNOWN if saw is None else OUT_OF_REACH
            claims = self.preset["claims_anyway"] * self.slips if saw == OUT_OF_REACH else 2 * error
            if question.entry.answer != "choice" or draws[0] >= claims:
                return Answer(word, None, word)
            return self._sure(question, values[int(draws[1] * len(values))], False, draws[4])
        shrug = self.preset["dont_know"] * self.shrugs * self.easier[question.entry.effort]
        if draws[0] < min(0.8, shrug):
            return Answer(UNKNOWN, None, UNKNOWN)
        if isinstance(saw, float):
            return self._number(question, saw, error, column)
        if draws[2] >= error or len(values) < 2:
            return self._sure(question, saw, True, draws[4])
        return self._sure(question, _slip(values, saw, draws[1], draws[3]), False, draws[4])

    def _number(self, question: AskedQuestion, true: float, error: float, column: int) -> Answer:
        draws, entry = self._draws[column], question.entry
        gross = draws[2] < error
        if question.id == "year_built":
            number = true + round(
                self._normals[column] * (18.0 if gross else self.preset["year_sd"])
            )
        elif question.id == "ground_snow":
            number = true if not gross else 20.0
        else:
            factor = 0.55 + 1.1 * draws[1] if gross else 1 + (
                self.preset["measure_cv"] * self._normals[column]
            )  # fmt: skip
            number = round(2 * true * factor) / 2
        least, most = (question.number(mark or 0) for mark in (entry.least, entry.most))
        number = min(max(number, least), most)
        sure = self._sure(question, "", not gross, draws[4]).sure
        given = f"{number:g} in" if entry.answer == "length" else f"{number:g}"
        return Answer(question.band_of(number), float(number), given, sure)

    def _sure(self, question: AskedQuestion, value: str, right: bool, draw: float) -> Answer:
        how = "looked" if question.entry.kind in LOOKED else "told"
        shares = self.sureness[how]["right" if right else "wrong"]
        doubts = self.preset["doubts"]
        fairly, guess = doubts * shares[1], doubts * shares[2]
        index = 2 if draw >= 1 - guess else 1 if draw >= 1 - guess - fairly else 0
        return Answer(value, None, value, SURENESS[index])


def _taken_for(house: House, wall: Wall, rng: np.random.Generator) -> Wall | None:
    """The wall that somebody at the wrong place looks at: mostly the nearest that runs alike."""
    walls = [w for w in house.on_level(wall.level) if w is not wall and w.role == "inside"]
    alike = [
        w for w in walls
        if w.line.axis == wall.line.axis and w.line.overlap(wall.line.start, wall.line.stop) > 0.5
    ]  # fmt: skip
    nearest = min(alike, key=lambda w: abs(w.line.at - wall.line.at), default=None)
    if nearest is not None and rng.random() < parameters()["nearest_taken"]:
        return nearest
    return walls[int(rng.integers(0, len(walls)))] if walls else None


def _slip(values: tuple[str, ...], true: str, draw: float, side: float) -> str:
    """Another option than the true one, more often a neighbour of it."""
    at = values.index(true)
    near = [i for i in (at - 1, at + 1) if 0 <= i < len(values)]
    far = [i for i in range(len(values)) if i != at]
    pool = near if side < ADJACENT else far
    return values[pool[int(draw * len(pool))]]
