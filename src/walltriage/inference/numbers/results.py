"""The numbers of a wall, a house and a set of walls taken out: typed, frozen, without sentences.

What is said about them is in ``report/``; what they are as JSON, too.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from walltriage.structure.steps import NOTE

if TYPE_CHECKING:  # most results have few of these, and their modules are spared
    from walltriage.inference.numbers.measured_span import ComparedSpan
    from walltriage.structure.bracing import LineGap
    from walltriage.structure.house_lines import LineClass
    from walltriage.structure.load_path import LoadPathToGround
    from walltriage.structure.members import MemberResult
    from walltriage.structure.new_point import PointBelow
    from walltriage.structure.shoring import Shoring
    from walltriage.structure.span_need import SpanNeed
    from walltriage.structure.supports import EndSupport
    from walltriage.structure.takedown import Takedown
    from walltriage.structure.wall_load import WallLoad

LeftOutLoad = Literal["wall_above", "on_wall_above", "roof_struts", "snow", "point_load"]


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A load that is not counted.

    ``blocks``: it was reported, or is known to be there, so that no beam may be sized without it.
    """

    load: LeftOutLoad
    blocks: bool


@dataclass(frozen=True, slots=True)
class SpanNumbers:
    """Whether joists could span without the wall, and what is known of the joists.

    ``compared`` is the span beside every known capacity, where size and spacing were measured.
    """

    need: SpanNeed
    size: str | None
    spacing_in: float | None
    compared: ComparedSpan | None


@dataclass(frozen=True, slots=True)
class Narrowing:
    """The one look that would narrow a load most: what is open, what to look at, and the range.

    ``question`` and ``ask`` are empty where no question settles it.  Loads in pounds a foot.
    """

    about: str
    question: str
    ask: str
    low_plf: float
    high_plf: float


@dataclass(frozen=True, slots=True)
class Sizing:
    """Beams over the whole opening under the highest load; the first one's ends.

    ``sentence`` tells how the choice came out; ``nearest`` is given where none works.
    """

    opening_in: float
    members: tuple[MemberResult, ...]
    nearest: MemberResult | None
    sentence: str
    ends: tuple[EndSupport, EndSupport] | None
    way_down: LoadPathToGround | None
    """None where nobody said what is below."""
    below: tuple[PointBelow, ...]
    """What takes the two points below, where a plan shows it."""


@dataclass(frozen=True, slots=True)
class WallNumbers:
    """All preliminary numbers of one wall; None or empty where nothing can be worked out."""

    span: SpanNumbers | None
    load: WallLoad | None
    takedown: Takedown | None
    left_out: tuple[LeftOut, ...]
    narrowing: Narrowing | None
    sizing: Sizing | None
    shoring: Shoring | None
    bracing: tuple[LineGap, ...]
    problems: tuple[str, ...]
    uplift: str | None = None
    """What lifts or overturns here: ``coast_wind``, ``quakes`` or ``both``; None where neither."""
    note: str = NOTE

    @property
    def not_sized(self) -> tuple[LeftOut, ...]:
        """Loads for whose sake no beam is listed."""
        return tuple(item for item in self.left_out if item.blocks)


@dataclass(frozen=True, slots=True)
class ClassedLine:
    """What the spans of a part say of one line; several walls at one place are one line."""

    part: str
    walls: tuple[str, ...]
    line_class: LineClass


@dataclass(frozen=True, slots=True)
class CollectingLine:
    """What one inside line collects on its heaviest foot, and the most at one spot."""

    walls: tuple[str, ...]
    load: WallLoad
    spot_lb: float


@dataclass(frozen=True, slots=True)
class HouseNumbers:
    """The house as a whole: lines needed, loads collected, pounds on the ground."""

    support_lines: tuple[ClassedLine, ...]
    collects: tuple[CollectingLine, ...]
    ground_lb: float | None
    unexplained: tuple[str, ...]
    """Parts whose verdicts and spans do not fit together."""
    findings: tuple[str, ...]
    assumed: tuple[str, ...]
    note: str = NOTE


@dataclass(frozen=True, slots=True)
class NewSpan:
    """Inches that joists over a wall would span with the set gone."""

    wall: str
    span_in: float


@dataclass(frozen=True, slots=True)
class MovedLoad:
    """What a line collects with the set standing and with it gone, if nothing takes its place."""

    line: str
    before_plf: float
    after_plf: float
    before_lb: float
    after_lb: float


@dataclass(frozen=True, slots=True)
class Opening:
    """What would stand in for one wall: its load, and beams where they may be listed."""

    wall: str
    opening_in: float
    load: WallLoad
    left_out: tuple[LeftOut, ...]
    members: tuple[MemberResult, ...]
    sentence: str


@dataclass(frozen=True, slots=True)
class BeamEnd:
    """What is drawn under one end of a beam in a wall's place.

    ``under`` are the lines below: one that it stands on, two between whose joists it lands, or
    none; ``on_ground`` where a footing is needed.
    """

    wall: str
    x_in: float
    y_in: float
    on_ground: bool
    under: tuple[str, ...]
    below: PointBelow | None


@dataclass(frozen=True, slots=True)
class RemovalNumbers:
    """The arithmetic of a set of walls taken out together."""

    spans: tuple[NewSpan, ...] = ()
    moves: tuple[MovedLoad, ...] = ()
    openings: tuple[Opening, ...] = ()
    ends: tuple[BeamEnd, ...] = ()
    bracing: tuple[LineGap, ...] = ()
    problems: tuple[str, ...] = ()
    drawn: bool = True
    note: str = NOTE
