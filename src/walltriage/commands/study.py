"""``walltriage study``: how often the rules are wrong on simulated houses."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Literal

import click

from walltriage.commands.common import PATH, load_base, progress, rules_option
from walltriage.errors import InputError, Problem, refuse
from walltriage.files import write_text
from walltriage.folders import user_folder
from walltriage.language import say

_LINES = (
    ("nonbearing_recognised", "non-bearing walls recognized"),
    ("nonbearing_recognised_when_seen", "  where the framing above could be seen"),
    ("bearing_recognised", "bearing walls recognized"),
    ("false_bearing", "non-bearing walls called bearing"),
    ("cannot_tell", "cannot tell"),
)
_UNMODELLED = {
    "drawn": "answered by the shares they declare",
    "never_known": "never known to anybody",
}


def _default_folder(reporter: str, seed: int, walls: int) -> Path:
    return user_folder("XDG_STATE_HOME", ".local", "state") / "study" / f"{reporter}-{seed}-{walls}"


@click.command("study", epilog="Example: walltriage study --walls 20000 --seed 1 --reporter usual")
@click.option("--walls", type=int, required=True, help="How many walls to ask about.")
@click.option("--seed", type=int, required=True, help="The same seed gives the same houses.")
@click.option(
    "--reporter",
    type=click.Choice(["perfect", "guided", "careful", "usual", "poor"]),
    default="usual",
    show_default=True,
    help="What kind of people answer.",
)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
@click.option("--resume", is_flag=True, help="Pick up an interrupted run.")
@click.option("--folder", type=PATH, help="Where finished parts are kept.")
@click.option("--charts", type=PATH, help="Write four SVG charts here.")
@click.option("--cores", type=int, default=2, show_default=True, help="Processes to use.")
@click.option(
    "--checked",
    is_flag=True,
    help="Usual people whose attic photos an engineer has checked, beside others; no planner.",
)
@click.option("--all-answers", is_flag=True, help="Give every answer in reach; no planner.")
@click.option(
    "--reach",
    type=click.Choice(["rooms", "attic", "opened"]),
    help="With --all-answers or --checked: how far people look.  [default: attic]",
)
@click.option(
    "--mix",
    type=click.Choice(["equal", "stock"]),
    help="With --all-answers or --checked: kinds of house alike, or as they stand.  "
    "[default: equal]",
)
@click.option(
    "--second-look",
    is_flag=True,
    help="With --all-answers: look once more at what clashes, shows a sign or was not known.",
)
@rules_option
def command(
    walls: int,
    seed: int,
    reporter: str,
    as_json: bool,
    resume: bool,
    folder: Path | None,
    charts: Path | None,
    cores: int,
    checked: bool,
    all_answers: bool,
    reach: Literal["rooms", "attic", "opened"] | None,
    mix: Literal["equal", "stock"] | None,
    second_look: bool,
    rules_folder: Path | None,
) -> None:
    """Run simulated interviews about simulated walls whose truth is known, and count."""
    from walltriage.lab.run import Study, run
    from walltriage.rules_folder import default_rules_folder

    if checked:
        alone = {"--all-answers": all_answers, "--resume": resume, "--folder": folder,
                 "--second-look": second_look}  # fmt: skip
        _refuse("fits no --checked", {**alone, "--charts": charts})
        _checked(rules_folder, walls, seed, reach or "attic", mix or "equal", as_json)
        return
    if all_answers:
        _refuse(
            "fits no --all-answers", {"--resume": resume, "--folder": folder, "--charts": charts}
        )
        people = (reporter, reach or "attic", mix or "equal", second_look)
        _all_answers(rules_folder, walls, seed, people, as_json)
        return
    _refuse("fits only --all-answers or --checked", {"--reach": reach, "--mix": mix})
    _refuse("fits only --all-answers", {"--second-look": second_look})
    kept = folder or _default_folder(reporter, seed, walls)
    plan = Study(rules_folder or default_rules_folder(), walls, seed, reporter, kept, cores)
    plan.check()
    if charts is not None:
        _make_folder(charts)
    with progress(say("Interviews"), len(plan.chunks())) as step:
        found = run(plan, resume, step)
    if charts is not None:
        _write_charts(charts, found)
    if as_json:
        click.echo(json.dumps(found))
    else:
        _print(found, kept)


def _refuse(why: str, given: dict[str, object]) -> None:
    """Raise :class:`InputError` for the options that were given and would do nothing."""
    problems = [
        Problem.about(name, why, "expected the one or the other")
        for name, on in given.items()
        if on
    ]
    if problems:
        raise InputError(problems)


def _all_answers(
    rules_folder: Path | None,
    walls: int,
    seed: int,
    people: tuple[str, Literal["rooms", "attic", "opened"], Literal["equal", "stock"], bool],
    as_json: bool,
) -> None:
    from walltriage.lab.all_answers import lines, study

    base = load_base(rules_folder)
    reporter, reach, mix, twice = people
    results = study(base, walls, seed, reporter, reach, mix, twice=twice)
    click.echo(json.dumps(results) if as_json else "\n".join(lines(results)))


def _checked(
    rules_folder: Path | None,
    walls: int,
    seed: int,
    reach: Literal["rooms", "attic", "opened"],
    mix: Literal["equal", "stock"],
    as_json: bool,
) -> None:
    from walltriage.lab.checked import lines, study_checked

    base = load_base(rules_folder)
    results = study_checked(base, walls, seed, reach, mix)
    click.echo(json.dumps(results) if as_json else "\n".join(lines(results)))


def _print(found: dict[str, Any], kept: Path) -> None:
    table = found["truth_by_verdict"]
    click.echo(
        f"{say('truth'):>10} {say('likely bearing'):>16} {say('cannot tell'):>13} "
        f"{say('likely non-bearing'):>20}"
    )
    for truth, word in (("bears", say("bears")), ("does_not", say("does not"))):
        row = table[truth]
        click.echo(
            f"{word:>10} {row['likely_bearing']:>16} {row['cannot_tell']:>13} "
            f"{row['likely_non_bearing']:>20}"
        )
    click.echo(
        say(
            "dangerous misses {missed} of {bearing} bearing walls, 95 % bound {bound:.4%}",
            missed=found["miss"],
            bearing=found["bearing"],
            bound=found["miss_upper95"],
        )
    )
    click.echo(
        say(
            "wrong among {said} said non-bearing: 95 % bound {bound:.3%}",
            said=found["nonbearing_said"],
            bound=found["wrong_among_nonbearing_upper95"],
        )
    )
    for key, words in _LINES:
        value = found[key]
        share = say("none there") if value is None else f"{value:.1%}"
        click.echo(f"{say(words)}: {share}")
    click.echo(
        say(
            "median questions {median:g}, p90 {p90:g}",
            median=found["median_questions"],
            p90=found["p90_questions"],
        )
    )
    for order, row in found["orders"].items():
        effort = row["effort_per_decided"]
        effort_words = (
            say("nothing decided")
            if effort is None
            else say("{effort:.1f} effort per decided wall", effort=effort)
        )
        click.echo(
            say(
                "  order {order}: {effort}, cannot tell {open:.1%}",
                order=order,
                effort=effort_words,
                open=row["cannot_tell"],
            )
        )
    fit = found["calibration"]
    click.echo(
        say(
            "calibration slope {slope:.2f}, intercept {intercept:.2f}, Brier {brier:.4f}",
            slope=fit["slope"],
            intercept=fit["intercept"],
            brier=fit["brier"],
        )
    )
    for how, names in found["unmodelled"].items():
        if names:
            told = say(
                "questions that the simulated houses do not show, {how}:", how=say(_UNMODELLED[how])
            )
            click.echo(f"{told} {', '.join(names)}")
    worst = sorted(found["archetypes"].items(), key=lambda item: -item[1]["miss"])[:5]
    for name, row in worst:
        if row["miss"]:
            click.echo(
                say(
                    "  misses in {name}: {missed} of {bearing}",
                    name=name,
                    missed=row["miss"],
                    bearing=row["bearing"],
                )
            )
    if found["miss"]:
        click.echo(say("the missed walls are case files in {kept}", kept=kept))
    click.echo(found["says"])


def _make_folder(folder: Path) -> None:
    """Before the run: nobody wants to hear of a bad folder after ten minutes."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise refuse(folder, f"cannot be written: {error.strerror}", "expected a folder") from None


def _write_charts(folder: Path, found: dict[str, Any]) -> None:
    from walltriage.lab.charts import draw

    try:
        for name, picture in draw([found]).items():
            write_text(folder / name, picture)
    except OSError as error:
        raise refuse(folder, f"cannot be written: {error.strerror}", "expected a folder") from None
