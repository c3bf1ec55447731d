"""What checks of studs beside an opening, of a girder and of its posts came to, in sentences."""

from __future__ import annotations

from typing import TYPE_CHECKING

from walltriage.language import say
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
        inside = say(
            "{count} full-height {stud} {many} beside the opening at each end, at "
            "{ratio:.0%} as a column that {pressure} bends sideways.",
            count=kings.count,
            stud=kings.stud,
            many=many,
            ratio=kings.ratio,
            pressure=pressure,
        )
    else:
        inside = say(
            "No listed number of full-height {stud} studs stands beside the opening.",
            stud=kings.stud,
        )
    asked = (
        say("more than its rows")
        if kings.outside is None
        else say("{outside} at each end", outside=kings.outside)
    )
    return say(
        "{inside} In an outside wall wind decides: read the count in the local code "
        "(IRC R602.7.5 of 2018, from memory: {asked}).",
        inside=inside,
        asked=asked,
    )


def girder_words(point: PointBelow) -> str:
    """Checks of what was measured of a girder, its posts and their pads; the rest is named."""
    girder = point.girder
    told = []
    if girder is not None:
        verdict = "passes" if girder.works else say("DOES NOT PASS")
        told.append(
            say(
                "Such a girder, {size} of the weakest common lumber, {verdict}: bending "
                "{bending:.0%}, shear {shear:.0%}, sag {deflection:.0%} of what is allowed.",
                size=girder.size,
                verdict=verdict,
                bending=girder.bending,
                shear=girder.shear,
                deflection=girder.deflection,
            )
        )
    told += [post_words(post) for post in point.posts if len(post.unchecked) < 2]
    missing = [] if girder is not None else [say("the girder")]
    for what in ("post", "footing"):
        unknown = sum(what in post.unchecked for post in point.posts)
        other = "other " if 0 < unknown < len(point.posts) else ""
        if unknown or not point.posts:
            missing.append(
                say("the {other}{what}", other=other, what=what) + ("s" if unknown > 1 else "")
            )
    if missing:
        told.append(
            say(
                "Unchecked, because their sizes are not known: {missing}",
                missing=", ".join(missing),
            )
        )
    return " ".join(told).rstrip(".")


def post_words(post: PostCheck) -> str:
    """A post and its pad, as far as they were measured, under the grown load."""
    where = say(
        "{from_start_in} from the girder's left or front end",
        from_start_in=format_length(post.from_start_in),
    )
    verdict = "passes" if post.works else say("DOES NOT PASS")
    parts = []
    if post.column is not None and post.crushing is not None:
        parts.append(
            say(
                "a {size} {height_in} high at {column:.0%} as a column, the girder on it "
                "crushed to {crushing:.0%}",
                size=post.size,
                height_in=format_length(post.height_in),
                column=post.column,
                crushing=post.crushing,
            )
        )
    if post.pad is not None and post.footing_in is not None:
        parts.append(
            say(
                "its pad {footing_in} square at {pad:.0%}",
                footing_in=format_length(post.footing_in),
                pad=post.pad,
            )
        )
    return say(
        "The post {where} goes from {before_lb:,.0f} to {load_lb:,.0f} lb and "
        "{verdict}: {parts} of what is allowed.",
        where=where,
        before_lb=post.before_lb,
        load_lb=post.load_lb,
        verdict=verdict,
        parts=", ".join(parts),
    )
