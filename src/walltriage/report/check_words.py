"""What checks of studs beside an opening, of a girder and of its posts came to, in sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

from walltriage.units import format_length, format_quantity

if TYPE_CHECKING:  # read where somebody has numbers to tell
    from walltriage.structure.king_studs import KingStuds
    from walltriage.structure.new_point import PointBelow
    from walltriage.structure.post_check import PostCheck


def kings_line(kings: KingStuds, metric: bool = False) -> str:
    """Full-height studs beside an opening, inside and, by the code's table, outside."""
    pressure = format_quantity(kings.pressure_psf, "psf", metric)
    if kings.count:
        many = "stands" if kings.count == 1 else "stand"
        inside = (
            f"{kings.count} full-height {kings.stud} {many} beside the opening at each end, at "
            f"{kings.ratio:.0%} as a column that {pressure} bends sideways."
        )
    else:
        inside = f"No listed number of full-height {kings.stud} studs stands beside the opening."
    asked = "more than its rows" if kings.outside is None else f"{kings.outside} at each end"
    return (
        f"{inside} In an outside wall wind decides: read the count in the local code (IRC R602.7.5 "
        f"of 2018, from memory: {asked})."
    )


def girder_words(point: PointBelow) -> str:
    """Checks of what was measured of a girder, its posts and their pads; the rest is named."""
    girder = point.girder
    told = []
    if girder is not None:
        verdict = "passes" if girder.works else "DOES NOT PASS"
        told.append(
            f"Such a girder, {girder.size} of the weakest common lumber, {verdict}: bending "
            f"{girder.bending:.0%}, shear {girder.shear:.0%}, sag {girder.deflection:.0%} of what "
            "is allowed."
        )
    told += [post_words(post) for post in point.posts if len(post.unchecked) < 2]
    missing = [] if girder is not None else ["the girder"]
    for what in ("post", "footing"):
        unknown = sum(what in post.unchecked for post in point.posts)
        other = "other " if 0 < unknown < len(point.posts) else ""
        if unknown or not point.posts:
            missing.append(f"the {other}{what}" + ("s" if unknown > 1 else ""))
    if missing:
        told.append(f"Unchecked, because their sizes are not known: {', '.join(missing)}")
    return " ".join(told).rstrip(".")


def post_words(post: PostCheck) -> str:
    """A post and its pad, as far as they were measured, under the grown load."""
    where = f"{format_length(post.from_start_in)} from the girder's left or front end"
    verdict = "passes" if post.works else "DOES NOT PASS"
    parts = []
    if post.column is not None and post.crushing is not None:
        parts.append(
            f"a {post.size} {format_length(post.height_in)} high at {post.column:.0%} as a column, "
            f"the girder on it crushed to {post.crushing:.0%}"
        )
    if post.pad is not None and post.footing_in is not None:
        parts.append(f"its pad {format_length(post.footing_in)} square at {post.pad:.0%}")
    return (
        f"The post {where} goes from {post.before_lb:,.0f} to {post.load_lb:,.0f} lb and "
        f"{verdict}: {', '.join(parts)} of what is allowed."
    )
