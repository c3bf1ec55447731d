"""The load path to ground: from a beam's ends to the ground, and what of it has been seen.

A beam with nothing under its ends is the classic mistake.  Every stage between the beam's end and
the soil either has been seen, has been looked for and not found, or is not known; the last two
are findings of their own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from walltriage.errors import refuse
from walltriage.language import say
from walltriage.structure.steps import NOTE
from walltriage.units import format_quantity


class Seen(StrEnum):
    """What is known of one stage."""

    SEEN = "seen"
    MISSING = "missing"
    UNSEEN = "unseen"


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage of the load path, and what is known of it."""

    key: str
    what: str
    seen: Seen


@dataclass(frozen=True, slots=True)
class EndPath:
    """One end of the beam: its load in pounds, its stages from the top, and the findings."""

    end: str
    load_lb: float
    stages: tuple[Stage, ...]
    findings: tuple[str, ...]

    @property
    def complete(self) -> bool:
        """Whether every stage has been seen."""
        return all(stage.seen is Seen.SEEN for stage in self.stages)


@dataclass(frozen=True, slots=True)
class LoadPathToGround:
    """Both ends' ways down; ``complete`` only when every stage of both has been seen."""

    ends: tuple[EndPath, ...]
    complete: bool
    findings: tuple[str, ...]
    note: str = NOTE


def stages_below(levels_below: int, ground: str) -> tuple[tuple[str, str], ...]:
    """Keys and names of the stages from a beam's end to the soil.

    ``levels_below`` counts the storeys, basements and crawl spaces under the beam's own storey;
    ``ground`` is ``slab`` or ``footing``.
    """
    if isinstance(levels_below, bool) or not isinstance(levels_below, int):
        raise refuse("levels below", f"{levels_below!r} is not a whole number", "expected 0 to 4")
    if not 0 <= levels_below <= 4:
        raise refuse("levels below", f"{levels_below} is out of range", "expected 0 to 4")
    if ground not in ("slab", "footing"):
        raise refuse("ground", f"unknown '{ground}'", "expected slab or footing")
    stages = [("at_end", say("studs or a post under the beam's end"))]
    for level in range(1, levels_below + 1):
        stages.append(
            (
                f"floor_{level}",
                say("solid blocking through the floor, level {level} down", level=level),
            )
        )
        stages.append(
            (
                f"level_{level}",
                say("a wall, beam or post right below it, level {level} down", level=level),
            )
        )
    if ground == "slab":
        stages.append(("ground", say("a footing or a thickened slab under the point")))
    else:
        stages.append(("ground", say("a footing under the point")))
    return tuple(stages)


def load_path_to_ground(
    loads_lb: Mapping[str, float],
    seen: Mapping[str, Mapping[str, bool | None]],
    *,
    levels_below: int,
    ground: str = "footing",
    metric: bool = False,
) -> LoadPathToGround:
    """Follow each end of a beam to the ground.

    ``loads_lb`` gives each end's combined load; ``seen`` says for each end and stage key
    whether it was seen (true), looked for and not there (false) or not known (absent or
    ``None``).  The findings tell loads in kilonewtons where ``metric``.  Raises
    :class:`InputError` for an end or a stage that does not exist.
    """
    listed = stages_below(levels_below, ground)
    keys = [key for key, _ in listed]
    for end, answers in seen.items():
        if end not in loads_lb:
            raise refuse("end", f"unknown '{end}'", "expected one of " + ", ".join(loads_lb))
        for key in answers:
            if key not in keys:
                raise refuse("stage", f"unknown '{key}'", "expected one of " + ", ".join(keys))
    ends = tuple(
        _follow(end, load, listed, seen.get(end, {}), metric) for end, load in loads_lb.items()
    )
    complete = all(end.complete for end in ends)
    findings = [finding for end in ends for finding in end.findings]
    if not complete:
        findings.append(
            say(
                "The load has not been followed to the ground. A beam with nothing under it is the "
                "classic mistake: an engineer has to see what is under each end."
            )
        )
    return LoadPathToGround(ends, complete, tuple(findings))


def _follow(
    end: str,
    load: float,
    listed: tuple[tuple[str, str], ...],
    seen: Mapping[str, bool | None],
    metric: bool,
) -> EndPath:
    states = {True: Seen.SEEN, False: Seen.MISSING, None: Seen.UNSEEN}
    stages = tuple(Stage(key, what, states[seen.get(key)]) for key, what in listed)
    findings, pounds = [], format_quantity(load, "lb", metric)
    for stage in stages:
        if stage.seen is Seen.MISSING:
            findings.append(
                say(
                    "{end} end, {pounds}: there is no {what}.",
                    end=end,
                    pounds=pounds,
                    what=_bare(stage.what),
                )
            )
    unseen = [stage.what for stage in stages if stage.seen is Seen.UNSEEN]
    if unseen:
        findings.append(
            say(
                "{end} end, {pounds}: not seen: {unseen}.",
                end=end,
                pounds=pounds,
                unseen="; ".join(unseen),
            )
        )
    return EndPath(end, load, stages, tuple(findings))


def _bare(what: str) -> str:
    return what.removeprefix("a ")
