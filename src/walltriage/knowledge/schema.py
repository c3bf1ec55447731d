"""The form of every entry in ``rules/``, as frozen entries.

Extra keys are refused and every key says what it is for, so that a builder who
edits a file gets one clear message for one mistake.  What the numbers mean is
told in ``docs/writing-rules.md``.
"""

from typing import Annotated, Any, ClassVar, Literal

from walltriage.entries import Entry, Field, StringConstraints, model_validator, told
from walltriage.knowledge.plain_cases import made_cases, plain_answers

Id = Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9]*(_[a-z0-9]+)*$")]
Text = Annotated[str, StringConstraints(min_length=2, strip_whitespace=True)]
Share = Annotated[float, Field(ge=0, le=100)]
Status = Literal["draft", "reviewed", "retired"]
Place = Literal["desk", "rooms", "upstairs", "attic", "below", "opened", "none"]
Kind = Literal["seen", "measured", "recalled", "judged", "computed"]
Role = Literal["buyer", "trade", "firm"]
Verdict = Literal["likely_bearing", "likely_non_bearing", "cannot_tell"]
Level = Literal["none", "advised", "strong", "urgent"]
"""How much a wall asks for an engineer."""
Sources = str | list[str]
CaseAnswers = dict[str, Any]


class Cases(Entry):
    """Answer sets on which the rule must fire, and on which it must stay quiet."""

    fires: list[CaseAnswers] = Field(min_length=1)
    quiet: list[CaseAnswers] = Field(min_length=1)


class Rule(Entry):
    """What every rule carries: id, plain words, source, status, its own cases.

    ``limits`` (when not to trust it) may be left out where they would say nothing.  Where ``when``
    asks for plain answers and nothing more, so may the cases: all together the rule fires, and
    without one of them it is quiet.
    """

    id: Id
    says: Text
    source: Sources
    limits: list[Text] = Field(default_factory=list)
    status: Status = "reviewed"
    cases: Cases

    cases_follow: ClassVar[bool] = True  # from ``when`` alone, so that plain ones can be made

    @model_validator(mode="before")
    @classmethod
    def _with_cases(cls, data: Any) -> Any:
        known = cls.cases_follow and isinstance(data, dict)
        sides = plain_answers(data.get("when")) if known else {}
        return {"cases": made_cases(sides)} | data if sides else data


class BeliefRule(Rule):
    """A rule that moves a belief: it has to name its limits."""

    limits: list[Text] = Field(min_length=1)


class Option(Entry):
    """One answer a person can pick; ``means`` is how reports repeat it."""

    id: Id
    says: Text
    means: Text


class NotKnown(Entry):
    """How not knowing is said where there is a plainer way; ``means`` is how reports repeat it."""

    says: Text
    means: Text


class Band(Entry):
    """A named stretch of a measured scale, from the end of the last band up to ``under``."""

    id: Id
    means: Text
    under: str | float | None = None


class EarlierId(Entry):
    """An id under which a question was asked in an earlier edition (its own, if only options had
    other ids), and its options of then by those of now.

    Options that are not named are read under their own id.  ``of_house``: it was asked once for
    the house then, and is asked for each wall now.
    """

    question: Id
    options: dict[Id, Id] = Field(default_factory=dict)
    of_house: bool = False


class Simulated(Entry):
    """What simulated walls show of something that the simulator's houses do not draw.

    Of 100 walls that bear, and of 100 that do not, how many show each option.  A row may add
    up to less than 100: on the rest nothing shows, and a simulated person does not know.
    """

    bearing: dict[Id, Share]
    not_bearing: dict[Id, Share]
    source: Sources


class Question(Entry):
    """One observation to ask for.

    ``answer`` is ``choice`` (with ``options``), ``length`` or ``number`` (with
    ``least`` and ``most``, and ``bands`` where a clue reads it), or ``text``.
    ``always``: of whom it is asked before an interview ends, whatever it would change.
    ``unknown``: what stands among the options for "I don't know", where that reads oddly.
    ``opens``: by option, the questions asked at once after it, to say which of a list it is.
    A number with ``years`` is a year, and is read as people say years ("the fifties").
    ``kind`` picks the reporter's reliability; ``computed`` is never asked.  ``simulated`` is
    read by the study alone, and by it only where it has no finding for the question.
    """

    id: Id
    ask: Text
    why: Text
    look: Text
    effort: Annotated[int, Field(ge=0, le=4)]
    kind: Kind
    place: Place | None = None
    who: list[Role] = Field(default_factory=lambda: ["buyer", "trade", "firm"])
    answer: Literal["choice", "length", "number", "text"] = "choice"
    options: list[Option] = Field(default_factory=list)
    unknown: NotKnown | None = None
    bands: list[Band] = Field(default_factory=list)
    least: str | float | None = None
    most: str | float | None = None
    years: bool = False
    applies: dict[str, Any] | None = None
    sketch: str | None = None
    turns: bool = False
    first: bool = False
    always: list[Role] = Field(default_factory=list)
    opens: dict[Id, list[Id]] = Field(default_factory=dict)
    was: list[EarlierId] = Field(default_factory=list)
    simulated: Simulated | None = None

    @model_validator(mode="before")
    @classmethod
    def _reason_known(cls, data: Any) -> Any:
        if isinstance(data, dict) and "for" in data:  # a known one was written out before
            raise told(
                f"unknown reason '{data['for']}'", "expected a name under 'why' in wording.yaml"
            )
        return data


class QuestionFile(Entry):
    """``rules/questions/*.yaml``."""

    place: Place
    scope: Literal["house", "wall"]
    questions: list[Question] = Field(min_length=1)


class BaseRate(BeliefRule):
    """Of 100 walls in a situation, how many bear by this path: lowest and highest belief."""

    cases_follow = False  # those before it count first
    in_100: Annotated[list[Share], Field(min_length=2, max_length=2)]
    when: dict[str, Any] | None = None


class Given(Entry):
    """How often each state of a condition is met, with the path bearing and without."""

    bearing: dict[str, Share]
    not_bearing: dict[str, Share]


class GivenWhere(Entry):
    """Other counts, another misread share, or both, where a fact has this value."""

    fact: Id
    value: Id = Field(alias="is")
    given: Given | None = None
    misread: Annotated[float, Field(ge=0, lt=0.5)] | None = None


class Condition(Entry):
    """A hidden fact with states ordered from "speaks against bearing" to "speaks for".

    ``ordered``: whether the states are a scale; else they are kinds of a thing, and no order of
    answers suits them all.  ``given_where``: the first whose fact holds counts in place of
    ``given``.  ``seen_in_part``: of 100 walls in a state, in how many a look that took in only a
    part of the wall's top sees what another state would show.
    """

    id: Id
    says: Text
    states: dict[Id, Text] = Field(min_length=2)
    given: Given
    ordered: bool = True
    given_where: list[GivenWhere] = Field(default_factory=list)
    seen_in_part: dict[Id, dict[Id, Share]] = Field(default_factory=dict)
    source: Sources
    limits: list[Text] = Field(min_length=1)


class UsedCondition(Entry):
    """A condition defined under another load path that also bears on this one."""

    id: Id
    given: Given
    source: Sources
    limits: list[Text] = Field(min_length=1)


class Clue(BeliefRule):
    """How often each answer to a question is met in each state of a condition.

    ``shows`` maps state -> answer -> count in 100; answers stand in order from
    "against" to "for", the same in every state.  ``direct`` marks a look at the load path
    itself (the joists at the wall, the attic above it): only such a look can close a path
    that has to be seen.
    """

    cases_follow = False  # its question has to be answered, too
    condition: Id
    question: Id
    direct: bool = False
    shows: dict[str, dict[str, Share]]
    when: dict[str, Any] | None = None
    # neither is left out once rules are loaded
    says: Text | None = None  # type: ignore[assignment]
    cases: Cases | None = None  # type: ignore[assignment]


class Sign(BeliefRule):
    """Shows weight by this path: when it is told, "non-bearing" is vetoed.

    It weighs as its clues do, and settles the path when seen in an opening or from two places.
    ``settles``: alone, as a fact of the house's plan, or two looks that bear each other out.
    """

    when: dict[str, Any]
    settles: bool = False


class LoadPathFile(Entry):
    """``rules/load_paths/*.yaml``; reports list the paths by ``order``."""

    path: Id
    order: int = 0
    title: Text
    says: Text
    settled_by: Text
    bears: bool = True
    base_rates: list[BaseRate] = Field(min_length=1)
    conditions: list[Condition] = Field(default_factory=list)
    uses: list[UsedCondition] = Field(default_factory=list)
    clues: list[Clue] = Field(default_factory=list)
    signs: list[Sign] = Field(default_factory=list)


class PathPartFile(Entry):
    """``rules/load_path_parts/*.yaml``: conditions and clues of a path that stand by themselves."""

    adds_to: Id
    conditions: list[Condition] = Field(default_factory=list)
    clues: list[Clue] = Field(default_factory=list)


class DerivedFact(Rule):
    """A plain conclusion other rules build on."""

    when: dict[str, Any]
    concludes: dict[Id, Id] = Field(min_length=1, max_length=1)


class SituationFile(Entry):
    """``rules/situation.yaml``."""

    facts: list[DerivedFact]


class Source(Entry):
    """One publication: what it is, which edition, and how its words reached this base."""

    title: Text
    edition: Text
    provenance: Literal["seen", "memory"]
    note: str | None = None


COMMON_PRACTICE = "common practice"
ELICITED = "elicited"
UNPUBLISHED = (COMMON_PRACTICE, ELICITED)
