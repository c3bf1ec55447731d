"""Small named checks of a knowledge base that loads: what could be wrong though it fits.

Each lint has an id, a severity, a remedy and one function from the base to problems.
``LINTS`` lists those that need no belief arithmetic; ``inference.lints`` adds the rest.
"""

from walltriage.knowledge.lints import (
    fire,
    numbers,
    polarity,
    tables,
    trade_english,
    tree,
    use,
    wording,
)
from walltriage.knowledge.lints.model import Lint

LINTS: tuple[Lint, ...] = (
    *use.LINTS,
    *fire.LINTS,
    *tree.LINTS,
    *tables.LINTS,
    *polarity.LINTS,
    *numbers.LINTS,
    *wording.LINTS,
    *trade_english.LINTS,
)
