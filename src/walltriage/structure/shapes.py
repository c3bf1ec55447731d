"""The shape of each value file: which blocks it has, and what each may hold."""

from __future__ import annotations

from typing import Any

from walltriage.structure.read import (
    BLOCK_HEAD,
    PUBLISHED,
    Shape,
    ValueReader,
    block,
    each,
    fixed,
    number,
    numbers,
    text,
    texts,
)
from walltriage.yamltree import KeyPath

# Bounds that only catch slips of the pen: no entry of these files can sensibly lie outside.
_FACTOR = number(0.05, 3)
_PSI = number(20, 5000)
_MILLION = number(0.1, 3)
_INCH = number(0.5, 60)
_PSF = number(0, 20000)


def _alike(keys: str, shape: Shape) -> dict[str, Shape]:
    """Several keys, told with spaces between them, whose values have one shape."""
    return dict.fromkeys(keys.split(), shape)


def _keyed(**keys: Shape) -> Shape:
    """A block whose values have exactly these keys."""
    return block(fixed(**keys))


SOURCES = each(fixed({"note": text()}, title=text(), edition=text(), provenance=text(*PUBLISHED)))

_SIZE_BLOCK = fixed({"prefix": text()}, **BLOCK_HEAD, values=each(numbers(0.5, 24, 2)))
SIZES = fixed(dressed=_SIZE_BLOCK, old_dressed=_SIZE_BLOCK, rough=_SIZE_BLOCK)


def _species(reader: ValueReader, where: KeyPath, value: Any) -> Any:
    by_width = isinstance(value, dict) and value.get("size_rule") == "width"
    grades = each(numbers(0.1, 5000, 7))
    return fixed(
        name=text(),
        aliases=texts(),
        **BLOCK_HEAD,
        size_rule=text("factor", "width"),
        values=each(grades) if by_width else grades,
    )(reader, where, value)


SPECIES = fixed(
    groups=each(_species),
    grade_aliases=each(texts()),
    lumped_before_2018=block(each(each(_PSI))),
    posts_and_timbers=block(each(numbers(0.1, 5000, 3))),
)

ADJUSTMENT = fixed(
    size_factor=block(each(numbers(0.3, 2, 3))),
    size_factor_4_thick=block(each(_FACTOR)),
    size_factor_stud=block(each(numbers(0.3, 2, 3))),
    light_framing=_keyed(deepest_nominal=_INCH),
    southern_pine_4_thick=_keyed(factor=_FACTOR, from_nominal_depth=_INCH),
    repetitive=_keyed(
        factor=_FACTOR,
        from_members=number(2, 10),
        spacing_up_to_in=_INCH,
        thickness_up_to_in=_INCH,
    ),
    two_ply=_keyed(factor=_FACTOR, in_header_tables=_FACTOR),
    wet_service=_keyed(**_alike("Fb Ft Fv Fc_perp Fc E", _FACTOR), Fb_limit=_PSI, Fc_limit=_PSI),
    incising=_keyed(stress=_FACTOR, E=_FACTOR, Fc_perp=_FACTOR),
    beam_stability=_keyed(
        **_alike(
            "KbE curve curve_c slenderness_limit short_ratio short_le long_le long_le_depths",
            number(0.1, 100),
        )
    ),
    column_stability=_keyed(KcE=_FACTOR, c_sawn=_FACTOR, slenderness_limit=number(10, 100)),
    built_up_columns=_keyed(nailed=_FACTOR),
    interior_pressure=_keyed(psf=number(1, 20)),
    least_bearing=_keyed(on_wood=_INCH),
    shear_at_depth=_keyed(most_share_of_span=number(0, 0.5)),
    creep=_keyed(dry=number(1, 3)),
)

_ENGINEERED = each(fixed(Fb=_PSI, Fv=_PSI, Fc_perp=_PSI, E=_MILLION, Emin=_MILLION))
ENGINEERED = fixed(
    lvl_classes=block(_ENGINEERED),
    lvl_sizes=_keyed(ply=_INCH, depths=numbers(3, 30)),
    lvl_depth_factor=_keyed(reference_in=_INCH, exponent=number(0, 1), cap=number(0.5, 1.2)),
    glulam_classes=block(_ENGINEERED),
    glulam_hogging=_keyed(share=number(0.1, 1)),
    glulam_sizes=_keyed(widths=numbers(2, 15), depths=numbers(3, 60)),
    glulam_volume_factor=_keyed(length_ft=_INCH, depth_in=_INCH, width_in=_INCH, x=number(5, 30)),
    density=_keyed(**_alike("sawn lvl glulam", number(10, 80))),
)

ACCEPTED = (
    "spacing_in live_psf dead_psf deflection duration span_in opening_in line_load_plf "
    "point_load_lb height_in bearing_in plies house_width_in slope_deg ground_snow_psf"
)
CHOICES = fixed(
    beams=_keyed(
        sawn_sizes=texts(),
        sawn_species=text(),
        sawn_grade=text(),
        most_plies=number(1, 6),
        lvl_class=text(),
        glulam_class=text(),
    ),
    beam_deflection=_keyed(live=number(90, 1200), total=number(90, 1200)),
    jack_studs=_keyed(
        sizes=texts(),
        species=text(),
        grade=text(),
        most=number(1, 8),
        wall_height_in=number(48, 240),
        plate_species=text(),
        plate_grade=text(),
    ),
    posts=_keyed(sizes=texts(), species=text(), grade=text()),
    king_studs=_keyed(spacing_in=number(8, 48), most=number(1, 12)),
    full_height_studs=block(each(number(1, 12))),
    shoring=_keyed(away_in=number(12, 60)),
    accepted=_keyed(**_alike(ACCEPTED, numbers(0, 100000, 2, rising=True))),
)

USES = ("floor", "ceiling", "rafter")
DRESSINGS = ("dressed", "old_dressed", "rough")
_ERA = fixed(
    until=number(1600, 9999),
    overspan=number(1, 2),
    longest_in=number(120, 600),
    dressings=texts(*DRESSINGS),
    species=texts(),
    spacings_in=numbers(8, 48),
    **dict.fromkeys(USES, texts()),
)
_THREE = numbers(0, 250, 3, rising=True)
SPANS = fixed(
    uses=_keyed(**dict.fromkeys(USES, fixed(deflection=number(90, 1200), duration=number(0.9, 2)))),
    unknown_lumber=_keyed(
        species=texts(),
        grades=texts(),
        usual_species=text(),
        usual_grade=text(),
        joist_grades=texts(),
    ),
    default_loads=_keyed(**dict.fromkeys(USES, fixed(live=_THREE, dead=_THREE))),
    span_need=_keyed(
        easily_fraction=number(0.1, 1),
        longest_sawn_in=number(120, 600),
        no_question_under_in=number(12, 120),
        question_over_in=number(96, 360),
    ),
    measured_span=_keyed(beyond_from=number(1, 2), well_within_to=number(0.1, 1)),
    eras=block(each(_ERA)),
)

LOAD_KINDS = ("dead", "live", "roof_live", "snow")
_ROOF = fixed(below_deg=number(0, 90), psf=numbers(0, 60, 3))
LOADS = fixed(
    live=block(each(_PSF)),
    roof_live=block(each(_ROOF)),
    roof_live_areas=block(numbers(1, 5000, 2, rising=True)),
    snow=_keyed(**_alike("share Ce Ct Is full_to_deg none_from_deg", number(0, 90))),
    dead=block(each(_THREE)),
    dead_plaster=block(each(_THREE)),
    dead_practice=block(each(_THREE)),
    unknown_live=_keyed(floor=_THREE, attic=_THREE),
    combinations=block(
        each(fixed(dict.fromkeys(LOAD_KINDS, number(0, 2)), duration=number(0.9, 2)))
    ),
    soil=block(each(_PSF)),
    header_tables=_keyed(
        **_alike(
            "roof_dead_psf roof_dead_clear_psf overhang_ft snow_share "
            "floor_dead_psf floor_live_psf wall_plf",
            number(0, 300),
        )
    ),
    braced_lines=_keyed(wind=number(10, 100), earthquakes=number(10, 100)),
)
