"""What lies below the end of a new beam, and what its load does to that."""

from __future__ import annotations

from typing import TYPE_CHECKING

from walltriage.language import say
from walltriage.units import format_length

if TYPE_CHECKING:  # read where somebody has numbers to tell
    from walltriage.structure.new_point import PointBelow
    from walltriage.structure.post_check import PostCheck


def below_words(point: PointBelow) -> str:
    """What takes a new point load, and what it does to it."""
    load = say("{load_lb:,.0f} lb", load_lb=point.load_lb)
    line = " and ".join(point.lines)
    if point.kind == "ground":
        return say(
            "the ground with {load}: about {footing_sqft:.1f} sq ft of footing at "
            "{soil_psf:g} psf; under a slab nobody knows of one, so an engineer has to "
            "look",
            load=load,
            footing_sqft=point.footing_sqft or 0,
            soil_psf=point.soil_psf or 0,
        )
    if point.kind == "nothing":
        return say(
            "NOTHING that is drawn, with {load}; a beam with nothing under it is the "
            "classic mistake",
            load=load,
        )
    if point.kind == "joists":
        return say(
            "JOISTS between {line}, with {load}, which were never sized for it: blocking "
            "is not enough, an engineer has to design what takes it down",
            line=line,
            load=load,
        )
    if point.kind == "wall":
        return say(
            "{line} with {load}: unchecked, studs and what is under them have to be seen there",
            line=line,
            load=load,
        )
    before, after = point.before, point.after
    if before is None or after is None:
        return say("{line} with {load}", line=line, load=load)
    where = (
        say(
            "IN MID-SPAN, {from_post_in} from the nearer support of a span of {span_in}",
            from_post_in=format_length(point.from_post_in or 0),
            span_in=format_length(point.span_in or 0),
        )
        if point.mid_span
        else say("at a post")
    )
    return say(
        "{line} with {load}, {where}. Its greatest moment goes from "
        "{moment_before:,.0f} to {moment_after:,.0f} lb-ft, its shear from "
        "{shear_before:,.0f} to {shear_after:,.0f} lb, its heaviest post from "
        "{post_before:,.0f} to {post_after:,.0f} lb, which asks for {footing_sqft:.1f} sq "
        "ft of footing at {soil_psf:g} psf. {point}",
        line=line,
        load=load,
        where=where,
        moment_before=before.moment_lb_ft,
        moment_after=after.moment_lb_ft,
        shear_before=before.shear_lb,
        shear_after=after.shear_lb,
        post_before=before.post_lb,
        post_after=after.post_lb,
        footing_sqft=point.footing_sqft or 0,
        soil_psf=point.soil_psf or 0,
        point=girder_words(point),
    )


def girder_words(point: PointBelow) -> str:
    """Checks of what was measured of a girder, its posts and their pads; the rest is named."""
    girder = point.girder
    sentences = []
    if girder is not None:
        verdict = say("passes") if girder.works else say("DOES NOT PASS")
        sentences.append(
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
    sentences += [post_words(post) for post in point.posts if len(post.unchecked) < 2]
    missing = [] if girder is not None else [say("the girder")]
    for what in ("post", "footing"):
        unknown = sum(what in post.unchecked for post in point.posts)
        other = "other " if 0 < unknown < len(point.posts) else ""
        if unknown or not point.posts:
            missing.append(
                say("the {other}{what}", other=other, what=what) + ("s" if unknown > 1 else "")
            )
    if missing:
        sentences.append(
            say(
                "Unchecked, because their sizes are not known: {missing}",
                missing=", ".join(missing),
            )
        )
    return " ".join(sentences).rstrip(".")


def post_words(post: PostCheck) -> str:
    """A post and its pad, as far as they were measured, under the grown load."""
    where = say(
        "{from_start_in} from the girder's left or front end",
        from_start_in=format_length(post.from_start_in),
    )
    verdict = say("passes") if post.works else say("DOES NOT PASS")
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
