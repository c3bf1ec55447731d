"""Findings for rare looks in the attic, from above and through an opening, and for telling alike
things apart."""

from __future__ import annotations

from walltriage.lab.findings.of_above import ABOVE_FINDINGS, at_wall, attic, stick, truss, upstairs
from walltriage.lab.findings.of_house import HIDDEN, HOUSE_FINDINGS, Finding
from walltriage.lab.findings.scene import Scene
from walltriage.lab.house.model import ON_LINE_FT, Wall

JOINS_FT = 0.6  # another wall's end this near to the line joins the wall
NEAR_JOINT_FT = 2.0
SHALLOW_FILL = 0.4  # of pebbles: 2 to 4 in. between joists of 5 1/2 in. and more; elicited


def _sits(s: Scene) -> str | None:
    if s.traced == "none":
        return None
    sits = at_wall(s, s.seen_kinds) in ("end_or_lap", "joined_over", "run_through")
    return "sit_on_it" if sits else "clear_of_it"


def _plate_kind(s: Scene) -> str | None:
    if HOUSE_FINDINGS["truss_plates"](s) != "plates":
        return None
    return "plywood" if s.house.facts.get("gussets") == "yes" else "steel_teeth"


def _clip(s: Scene) -> str | None:
    met = ABOVE_FINDINGS["truss_at_wall"](s)
    if met is None or met == HIDDEN:
        return None
    draw = s.draw("clip")
    if met == "gap_or_slot_clips":
        return "slotted" if draw < 0.45 else "nothing" if draw < 0.85 else "nailed"
    if s.house.year >= 1985 and draw < 0.25:
        return "plain_clip"
    return "nailed" if draw < 0.65 else "nothing"


def _nailed(s: Scene) -> str | None:
    if _clip(s) is not None:
        return "nailed_too" if _clip(s) == "nailed" else "no_nails"
    return "nailed_too" if s.chance("nailed_gap", 0.1) else "no_nails"


def _both_ends(s: Scene) -> str | None:
    if s.traced == "none":
        return None
    ends = [end for b in s.beams("girder_truss") for end in b.ends]
    if any(s.line.distance(*end) <= ON_LINE_FT for end in ends):
        return "one_end_only" if s.chance("tail_buried", 0.3) else "thicker_one"
    if ends and s.chance("girder_close", 0.3):
        return "thicker_one"
    return "one_end_only" if s.chance("ends_buried", 0.4) else "same_at_both"


def _tag(s: Scene) -> str | None:
    if s.traced == "none":
        return None
    if "bearing" in s.seen_kinds and s.chance("tag", 0.4):
        return "at_line"
    return "elsewhere" if s.chance("tag_else", 0.06) else "none_there"


def _under_fill(s: Scene) -> str:
    if HOUSE_FINDINGS["attic_fill"](s) not in ("batts", "fluff"):
        return HIDDEN
    return _under(s)


def _under(s: Scene) -> str:
    if s.beam_ends_here("flush", "attic"):
        return "beam_ends"
    along = any(
        b.line.axis == s.line.axis and abs(b.line.at - s.line.at) < 0.5
        and s.line.overlap(b.line.start, b.line.stop) > 1
        for b in s.beams("flush")
    )  # fmt: skip
    return "beam_along" if along else "none_found"


def _tops(s: Scene) -> str:
    """Loose fill that may not be lifted: whether it leaves the joists' tops in sight."""
    if HOUSE_FINDINGS["attic_fill"](s) != "pebbles":
        return HIDDEN
    if s.traced != "whole" or not s.chance("shallow fill", SHALLOW_FILL):
        return "covered"
    return "all_alike" if _under(s) == "none_found" else "wider_one"


def _slack(s: Scene) -> str | None:
    if ABOVE_FINDINGS["props_at_wall"](s) not in ("near_line", "on_wall"):
        return None
    return "loose" if s.chance("slack", 0.1 if s.paths["roof_struts"] else 0.3) else "tight"


def _doubled(s: Scene) -> str:
    if s.points("stair_header", within=1.0):
        return "doubled" if s.chance("trimmer_seen", 0.8) else "single"
    return "doubled" if s.chance("doubled_over", 0.06) else "single"


def _vent(s: Scene) -> str | None:
    if not s.chance("floor_vent", 0.4):
        return None
    return "not_clear" if s.run == "changes_here" else f"{s.run}_wall"


def _truss_joint(s: Scene) -> str | None:
    if not any(f.material == "floor_trusses" for f in s.fields):
        return None
    if s.kinds & {"ends", "needed"}:
        return "block_there" if s.chance("block_in", 0.3) else "joint_there"
    return "joint_there" if s.chance("joint_over", 0.25) else "no_joint"


def _strap(s: Scene) -> str:
    braced = s.paths["bracing"] and s.house.year >= 1960
    return "strap" if s.chance("strap", 0.15 if braced else 0.01) else "none"


def _top_fixed(s: Scene) -> str:
    draw = s.draw("top_fixed")
    if s.wall.later and not s.wall.settled:
        return "loose" if draw < 0.3 else "few_nails" if draw < 0.75 else "nailed_each"
    if not s.wall.touches_frame:
        return "loose"
    return "loose" if draw < 0.03 else "few_nails" if draw < 0.45 else "nailed_each"


def _settled(s: Scene) -> str:
    return "marks" if s.wall.settled or s.chance("dents", 0.08) else "no_marks"


def _near_joint(s: Scene) -> str:
    """Where other walls join this one within two feet of an opening in them."""
    found = "none_near"
    for w in s.house.on_level(s.level):
        if w.line.axis == s.line.axis or w.opening_ft < 1 or not _joins(w, s):
            continue
        if not s.chance(f"opening near {w.id}", 0.35):  # openings have no place of their own
            continue
        if w.opening_ft > 3:
            return "wide_near"
        found = "narrow_near"
    heads = [
        end for b in s.beams("dropped", "header") if b.line.axis != s.line.axis for end in b.ends
    ]
    return "wide_near" if any(s.line.distance(*end) <= JOINS_FT for end in heads) else found


def _joins(w: Wall, s: Scene) -> bool:
    ends = (w.line.point(0.0), w.line.point(1.0))
    return any(s.line.distance(*end) <= JOINS_FT for end in ends)


def _garage(s: Scene) -> str:
    draw = s.draw("garage_signs")
    if s.wall.role == "once_outside" and s.chance("was_garage", 0.4):
        return "no_sign" if draw < 0.15 else "one_sign" if draw < 0.5 else "more_signs"
    return "one_sign" if draw < 0.1 else "more_signs" if draw < 0.115 else "no_sign"


def _slab_cut(s: Scene) -> str | None:
    if s.level != 0 or s.house.base != "slab" or not s.chance("slab_seen", 0.08):
        return None
    return "thick_here" if s.chance("strip_there", 0.7 if s.wall.meant else 0.08) else "thin_here"


def _hinge(s: Scene) -> str:
    if not s.attic_open:
        return HIDDEN
    factory = s.house.facts.get("house_kind", "detached").startswith("factory")
    return "hinge" if factory and s.chance("hinge", 0.5) else "no_hinge"


RARE_FINDINGS: dict[str, Finding] = {
    "joists_sit": stick(_sits),
    "plate_kind": _plate_kind,
    "clip_kind": truss(_clip),
    "nailed_with_gap": attic(_nailed),
    "truss_both_ends": truss(_both_ends),
    "truss_tag": truss(_tag),
    "fill_lifted": attic(_under_fill),
    "joist_tops": attic(_tops),
    "strongback": stick(lambda s: "ends_elsewhere" if s.chance("strongback", 0.12) else "none"),
    "props_slack": _slack,
    "doubled_above": _doubled,
    "floor_vent_peek": upstairs(_vent),
    "floor_truss_joint": _truss_joint,
    "slanted_strap": _strap,
    "top_fixed": _top_fixed,
    "settled_onto": _settled,
    "opening_near_joint": _near_joint,
    "garage_signs": _garage,
    "slab_cut_seen": _slab_cut,
    "roof_hinge": _hinge,
}
