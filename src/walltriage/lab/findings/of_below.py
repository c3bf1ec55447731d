"""Findings from under the wall."""

from __future__ import annotations

from walltriage.lab.findings.of_house import HIDDEN, Finding
from walltriage.lab.findings.scene import Scene
from walltriage.lab.house.model import ON_LINE_FT, Wall
from walltriage.lab.house.truth import rests_on


def below(finding: Finding) -> Finding:
    """Out of reach over a slab, a closed crawl space or a covered ceiling."""

    def seen(s: Scene) -> str | float | None:
        covered = s.level > 0 or (s.house.base == "basement" and s.chance("finished_below", 0.35))
        if s.level < 0 or (s.level == 0 and s.house.base == "slab"):
            return None
        return HIDDEN if covered or not s.below_open else finding(s)

    return seen


def _supports(s: Scene) -> list[float]:
    """Distances, feet, of the support lines below that run the same way."""
    lines = [b.line for b in s.house.beams if b.level == s.level - 1 and b.kind in
             ("girder", "dropped", "flush")]  # fmt: skip
    lines += [w.line for w in s.house.on_level(s.level - 1)]
    return [
        abs(line.at - s.line.at) for line in lines
        if line.axis == s.line.axis and s.line.overlap(line.start, line.stop) > 0.5
    ]  # fmt: skip


def _under(s: Scene) -> str:
    if _join(s) == "end_or_lap":
        return "on_line"  # what ends there rests on something, if only on a foundation wall
    near = min(_supports(s), default=99.0)
    return "on_line" if near <= 0.5 else "near_line" if near <= 2.0 else "open_joists"


def _wall_below(s: Scene) -> str:
    gaps = [abs(w.line.at - s.line.at) for w in s.parallel(s.level - 1, 4.0)]
    if not gaps:
        return "none_near"
    return "on_line" if min(gaps) <= 1.0 else "one_to_4_ft_off"


def _join(s: Scene) -> str:
    under = Wall("under", s.level - 1, s.line)
    kinds = {rests_on(field, under) for field in s.below_fields}
    return "end_or_lap" if "ends" in kinds else "run_on"


def _doubled(s: Scene) -> str | None:
    if s.run_below != "along":
        return None
    share = 0.55 if not s.wall.later else 0.05
    return "doubled" if s.chance("doubled", share) else "single"


def _post(s: Scene) -> str:
    spots = s.points("post", "beam_end", "chimney", "ridge_post", "stair_header")
    carried = bool(spots) or s.beam_ends_here("dropped", "flush", "girder_truss", "ridge", "attic")
    if carried and s.chance("post_below", 0.55):
        return "post_or_pad" if s.chance("pad", 0.6) else "blocks"
    girder_posts = [
        (at, b.line.at) if b.line.axis == "x" else (b.line.at, at)
        for b in s.house.beams if b.level == s.level - 1 for at in b.posts
    ]  # fmt: skip
    if any(s.line.distance(*p) <= ON_LINE_FT for p in girder_posts):
        return "post_or_pad"
    return "blocks" if s.chance("stray_blocks", 0.05) else "none"


def _slab(s: Scene) -> str | None:
    if s.level > 0 or (s.level == 0 and s.house.base != "slab"):
        return None
    if not s.chance("slab_bare", 0.25):
        return None
    if s.wall.meant and s.chance("strip", 0.4):
        return "thick_edge"
    return "crack_along" if s.chance("slab_crack", 0.12) else "nothing_shows"


def _ducts(s: Scene) -> str:
    if not s.chance("floor_ducts", 0.3):
        return "none_or_mixed"
    along = (s.run_below == "along") == s.chance("floor_ducts_follow", 0.85)
    return "along_wall" if along else "across_wall"


def _old_base(s: Scene) -> str:
    share = 0.8 if s.wall.role == "once_outside" else 0.02
    return "old_base" if s.chance("old_base", share) else "no_old_base"


def _troubled(s: Scene) -> str:
    old = s.house.year < 1950
    return "troubled" if s.chance("post_trouble", 0.08 if old else 0.02) else "sound"


BELOW_FINDINGS: dict[str, Finding] = {
    "under_wall": below(_under),
    "wall_below_wall": lambda s: _wall_below(s) if s.level > 0 else None,
    "joists_below_run": below(lambda s: s.run_below),
    "joists_below_join": below(_join),
    "doubled_joist": below(_doubled),
    "post_below": below(_post),
    "slab_signs": _slab,
    "ducts_below": below(_ducts),
    "hardware_below": below(lambda s: s.detail["straps"]),
    "middle_posts_move": below(_troubled),
    "base_under_line": below(_old_base),
}
