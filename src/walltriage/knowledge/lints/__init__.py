"""Small named checks of a knowledge base that loads: what could be wrong though it fits.

Each lint has an id, a severity, a remedy and one function from the base to problems.
``LINTS`` lists those that need no belief arithmetic; ``rule_testing.lints`` adds the rest.
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
from walltriage.knowledge.lints.model import lints_in

LINTS = lints_in(use, fire, tree, tables, polarity, numbers, wording, trade_english)
