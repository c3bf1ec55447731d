"""Keep all answers of simulated people: SEED WALLS REPORTER REACH MIX OUT.npz [second] [twice].

python -m tests.lab_runs 1501 12000 careful attic equal careful.npz
python -m tests.lab_runs 2501 12000 careful attic equal careful.npz second
python -m tests.lab_runs 1501 12000 guided opened equal guided.npz twice

``second``: the second family.  ``twice``: people look once more where ``lab/looked_again.py`` says.
"""

from __future__ import annotations

import sys
from pathlib import Path

from walltriage.inference.columns.codes import joined
from walltriage.inference.columns.evaluator import ColumnEvaluator
from walltriage.knowledge.load import load_knowledge
from walltriage.lab.answers import Truth, answer_all, save_answers
from walltriage.lab.run import generator_version
from walltriage.rules_folder import default_rules_folder

CHUNK = 2000


def main(words: list[str]) -> None:
    seed, walls, reporter, reach, mix, out = words[:6]
    twice = "twice" in words[6:]
    evaluator = ColumnEvaluator(load_knowledge(default_rules_folder()))
    if "second" in words[6:]:
        from tests.second_family.answers import answer_all as second
        from tests.second_family_twice import answer_all_twice

        answers = answer_all_twice if twice else second
        batch, truth = answers(evaluator, int(seed), int(walls), reporter, reach)
    else:
        parts = [
            answer_all(evaluator, int(seed), range(start, min(start + CHUNK, int(walls))),
                       reporter, reach, mix, twice=twice)
            for start in range(0, int(walls), CHUNK)
        ]  # fmt: skip
        batch = joined([part[0] for part in parts])
        truth = Truth.joined([part[1] for part in parts])
    made = {
        "seed": int(seed), "reporter": reporter, "reach": reach, "mix": mix,
        "family": "second" if "second" in words[6:] else "first", "twice": twice,
        "generator": generator_version(), "rules": evaluator.base.sha256,
    }  # fmt: skip
    save_answers(Path(out), evaluator.coder, batch, truth, made)
    print(f"{out}: {len(truth)} walls, {int(truth.bears.sum())} bear")


if __name__ == "__main__":
    main(sys.argv[1:])
