"""The house and its walls without any answers: named, added, taken away, drawn.

Each edit makes a new case and leaves the old one as it was.
"""

from __future__ import annotations

from dataclasses import replace

from walltriage.case.looks import WallLooks
from walltriage.case.model import Case, Wall

FIRST_WALL = "wall1"


def frame_of(case: Case) -> Case:
    """A case without its answers; it has at least one wall."""
    walls = tuple(replace(wall, answers={}) for wall in case.walls) or (Wall(FIRST_WALL),)
    return replace(case, house={}, walls=walls, asked=(), to_name=(), outcome=None)


def with_name(frame: Case, wall_id: str, name: str) -> Case:
    """A wall named."""
    return _with_wall(frame, replace(frame.wall(wall_id), name=name))


def with_looks(frame: Case, wall_id: str, looks: WallLooks) -> Case:
    """What was seen from where to where along a wall."""
    return _with_wall(frame, replace(frame.wall(wall_id), looks=looks))


def with_one_more(frame: Case, name: str) -> Case:
    """One more wall, the last, under an id of its own."""
    taken = {wall.id for wall in frame.walls}
    number = next(n for n in range(1, len(taken) + 2) if f"wall{n}" not in taken)
    return replace(frame, walls=(*frame.walls, Wall(f"wall{number}", name)))


def without_wall(frame: Case, wall_id: str) -> Case:
    """A wall taken away, from the plan too."""
    walls = tuple(wall for wall in frame.walls if wall.id != wall_id)
    plan = frame.plan
    if plan is not None:
        plan = replace(plan, walls=tuple(w for w in plan.walls if w.wall != wall_id))
    return replace(frame, walls=walls, plan=plan)


def _with_wall(frame: Case, changed: Wall) -> Case:
    walls = tuple(changed if wall.id == changed.id else wall for wall in frame.walls)
    return replace(frame, walls=walls)
