"""Random houses of one to three levels, as lines of support and fields of joists."""

from __future__ import annotations

from random import Random

from walltriage.structure.frame import Frame, JoistField, Support
from walltriage.structure.loads import LoadSet


def random_house(seed: int, *, one_way: bool = False) -> Frame:
    """A rectangle, with a wing half of the time; walls, beams with posts, loads of every kind."""
    random = Random(seed)
    width, depth = random.uniform(240, 600), random.uniform(200, 420)
    rects = {"main": (0.0, 0.0, width, depth)}
    if not one_way and random.random() < 0.5:
        start = random.uniform(0, width / 2)
        rects["wing"] = (start, depth, random.uniform(start + 100, width + 60), depth + 150)
    supports: list[Support] = []
    fields: list[JoistField] = []
    for level in range(random.randint(1, 3)):
        for name, (x0, y0, x1, y1) in rects.items():
            own = LoadSet(dead=random.uniform(40, 90))
            for side, axis, at, lo, hi in (
                ("f", "x", y0, x0, x1), ("b", "x", y1, x0, x1),
                ("l", "y", x0, y0, y1), ("r", "y", x1, y0, y1),
            ):  # fmt: skip
                supports.append(Support(f"{name}{side}{level}", level, axis, at, lo, hi, plf=own))
            run = "y" if one_way else random.choice("xy")
            psf = LoadSet(*(random.uniform(0, 40) for _ in range(4)))
            fields.append(JoistField(f"{name}{level}", level, x0, y0, x1, y1, run, psf))
            for number in range(random.randint(0, 4)):
                axis = "x" if one_way else random.choice("xy")
                low, high = (y0, y1) if axis == "x" else (x0, x1)
                near, far = (x0, x1) if axis == "x" else (y0, y1)
                at = random.uniform(low + 30, high - 30)
                lo, hi = sorted(random.uniform(near, far) for _ in range(2))
                if one_way or random.random() < 0.3:
                    lo, hi = near, far
                if hi - lo < 12:
                    continue
                beam = random.random() < 0.3 and (lo, hi) == (near, far)
                posts = tuple(random.uniform(lo, hi) for _ in range(2)) if beam else ()
                supports.append(
                    Support(
                        f"{name}{level}w{number}", level, axis, at, lo, hi,
                        carries=beam or random.random() < 0.7,
                        plf=LoadSet(dead=random.uniform(0, 60)), beam=beam, posts=posts,
                    )
                )  # fmt: skip
    return Frame(supports, fields)
