"""Interviews at a real terminal of 80 by 24, typed like a person would."""

from __future__ import annotations

import os
import re
import shutil
import signal
import stat
import subprocess
import sys

import pytest
import yaml

from tests.interview.person import SMALL_RULES, Person, saved_path
from walltriage.case.read import read_case

SETUP = ("1", "3", "14 Elm", "kitchen")  # buyer, as far as the attic, two names


@pytest.fixture
def start(tmp_path):
    """Start interviews that end with the test."""
    people = []

    def begin(*options, **environment):
        people.append(Person(tmp_path, *options, **environment))
        return people[-1]

    yield begin
    for person in people:
        person.child.close(force=True)


def type_all(person, *lines):
    for line in lines:
        person.type(line)
    return person.shown


def state_files(tmp_path):
    return sorted((tmp_path / "walltriage").glob("*.yaml"))


def read_on(person):
    """Past the screens of a long result; the last of them."""
    while "Press Enter for more" in person.shown:
        person.type("")
    return person.shown


def finish(person, choice="6"):
    """From the check page to the end, without saving a record."""
    person.type("")
    assert "What next?" in read_on(person)
    return person.last(choice)


@pytest.mark.parametrize(
    ("answers", "words"),
    [
        (("1", "1", "1", "1", "1"), "LIKELY NON-BEARING"),
        (("1", "1", "2", "1"), "LIKELY BEARING"),
        (("1", "1", "d", "d", "d"), "CANNOT TELL WITHOUT OPENING UP"),
        (("1", "2", "d"), "CANNOT TELL WITHOUT OPENING UP"),
    ],
)
def test_each_verdict(start, answers, words):
    """A whole interview to each of the three verdicts, out of scope included."""
    person = start()
    type_all(person, *SETUP, *answers)
    assert "Your answers" in person.shown
    text = finish(person)
    assert words in text
    assert person.status == 0


def test_what_is_out_of_scope_is_told_at_once(start):
    """Whom to ask, that no answer clears the wall, and why there are more questions; once."""
    person = start()
    type_all(person, *SETUP, "1")
    assert "Questions like these" not in person.everything
    type_all(person, "2")
    told = " ".join(person.everything.split())
    assert "Questions like these cannot clear this wall:" in told
    assert "Solid masonry walls are judged in another way. Ask an engineer who knows" in told
    assert "it may still show that the wall bears" in told
    type_all(person, "d")
    assert person.everything.count("Questions like these cannot clear this wall:") == 1


def test_first_page_is_short_and_everything_fits(start):
    """No page needs more than the 24 lines there are, and options stay above the prompt."""
    person = start()
    first = person.at_prompt()
    assert "Who is asking?" in first
    assert not person.screen.history.top
    shown = type_all(person, *SETUP)
    lines = shown.split("\n")
    where = lines.index("What is above the ceiling here?")
    assert lines[where - 2].startswith("In the rooms: kitchen. About ")
    assert [line.strip() for line in lines[where + 2 : where + 7]] == [
        "1  An attic", "2  A room", "d  I don't know", "",
        "w why I ask   h how to look   s how sure   n add a note   b back   l list,",
    ]  # fmt: skip
    type_all(person, "1", "1")
    assert "In the attic: kitchen. About 1 left in this place, 2 in all." in person.shown
    type_all(person, "1")
    assert "In the attic: kitchen. About 1 left in all." in person.shown


def test_a_page_that_is_kept_is_repeated_in_its_words(tmp_path):
    """Not by the first of the questions that it answers."""
    person = Person(tmp_path, rules=None)
    try:
        for line in ("1", "1", "Elm", "2", "3 5?", "d", "b", "b"):
            person.type(line)
        said = (
            "Rooms were added on, or a porch or garage was turned into rooms; of some I can't tell"
        )
        assert f"Before, you said: {said}." in " ".join(person.shown.split())
        person.type("")
        assert f"Noted: {said}." in " ".join(person.shown.split())
    finally:
        person.child.close(force=True)


def test_why_how_sure_and_notes(start, tmp_path):
    """Why and how explain and ask again; sureness is asked apart or typed behind the answer."""
    person = start()
    type_all(person, *SETUP)
    assert "Why I ask: It tells which parts of the frame" in person.type("w")
    assert "How to look: Think of the floor above this room." in person.type("how")
    assert "How sure are you of your next answer" in person.type("s")
    assert "Your answer will be marked: a guess." in person.type("3")
    assert "Noted: An attic (a guess)." in person.type("1")
    assert "Noted: Wood studs (fairly sure)." in person.type("1 fairly")
    assert "Noted: I can't get there." in person.type("c")
    assert "Noted: I don't know." in person.type("d")
    saved = yaml.safe_load(state_files(tmp_path)[0].read_text())
    assert saved["walls"][0]["answers"] == {
        "above_wall": {"value": "attic", "sure": "guess"},
        "built_of": {"value": "wood", "sure": "fairly"},
        "joists_end": "out_of_reach",
        "joists_run": "unknown",
    }


PLACES = (("2", "attic"), ("4", "opened"))


def small_rules_with(tmp_path, file, was, now):
    """A copy of the small knowledge base with one change."""
    rules = tmp_path / "rules"
    shutil.copytree(SMALL_RULES, rules)
    text = (rules / file).read_text()
    assert was in text
    (rules / file).write_text(text.replace(was, now))
    return rules


def test_measured_answer_for_the_numbers(tmp_path):
    """After a sign has settled it, a length is asked for, in feet and inches or metric; a bad
    one gets one message and another try."""
    was, now = "asked_for_numbers: []", "asked_for_numbers: [wall_length]"
    person = Person(tmp_path, rules=small_rules_with(tmp_path, "measures.yaml", was, now))
    shown = type_all(person, *SETUP, "1", "1", "2", "1")
    assert "In the rooms: kitchen. I can judge the wall already;" in shown
    assert "Type a length, such as 12 ft 6 in or 3.8 m (1 ft to 100 ft)." in shown
    shown = person.type("12 parsecs")
    assert "! '12 parsecs' is not a length; expected a length such as 12 ft 6 in" in shown
    assert "is out of range" in person.type("900 ft")
    assert "Noted: 3.81 m (a guess)." in person.type("3.81 m guess")
    saved = yaml.safe_load(state_files(tmp_path)[0].read_text())
    assert saved["walls"][0]["answers"]["wall_length"] == {"value": "3.81 m", "sure": "guess"}
    person.child.close(force=True)


def test_who_measures_in_metric_is_told_in_metric(tmp_path):
    """From the first length in meters on: the range that is accepted, and all else with a unit.

    By hand: 1 ft x 0.3048 = 0.30 m, 100 ft x 0.3048 = 30.48 m.
    """
    was, now = "asked_for_numbers: []", "asked_for_numbers: [wall_length]"
    rules = small_rules_with(tmp_path, "measures.yaml", was, now)
    person = Person(tmp_path, rules=rules)
    type_all(person, *SETUP, "1", "1", "2", "1")
    assert "'40 m' is out of range; expected 0.30 m to 30.48 m" in person.type("40 m")
    assert "Noted: 3.81 m." in person.type("3.81 m")
    assert "(0.30 m to 30.48 m)" in person.type("4")
    assert "Noted: 12 ft (3.66 m)." in person.type("12 ft")
    person.child.close(force=True)


def test_bad_answer_is_told_once_and_asked_again(start):
    """One message, one new prompt."""
    person = start()
    type_all(person, *SETUP)
    shown = person.type("7")
    assert "! '7' is not one of the answers. Type 1 or 2, or one of the letters." in shown
    assert "Noted: An attic." in person.type("1")


def test_back_and_keep(start, tmp_path):
    """Back over two answers, one changed, one kept with Enter."""
    person = start()
    type_all(person, *SETUP, "1", "1", "1")
    assert "Which way do the boards" in person.shown
    assert "Before, you said: None stop there. Press Enter to keep that." in person.type("b")
    assert "Before, you said: Wood studs. Press Enter to keep that." in person.type("back")
    assert "Noted: Wood studs." in person.type("")
    assert "Did you see just that yourself" in " ".join(person.type("2").split())
    assert "Noted: Some stop there (looked at twice)." in person.type("1")
    assert "That is enough to judge this wall." in person.shown


def test_back_from_the_first_question_leads_to_how_far(start):
    """How far one can go is open to change at any time."""
    person = start()
    type_all(person, *SETUP)
    assert "call the house?" in person.type("b")  # the page before, none is skipped
    assert "How far can you go today?" in person.type("b")
    type_all(person, "1", "", "")
    assert "What is above the ceiling here?" in person.shown
    type_all(person, "1", "1")
    assert "Your answers" in person.shown  # nothing in the attic is asked


def test_clash_is_told_and_list_changes_an_answer(start):
    """Answers that cannot both be true are told at once; the list puts one right."""
    person = start()
    type_all(person, *SETUP, "1", "1", "1", "1")
    shown = person.type("l")
    assert re.search(r" 3 +Do boards stop on the wall\? +None stop there", shown)
    person.type("3")
    assert "Changing an answer." in person.shown
    shown = person.type("2")
    assert "! Some answers contradict each other. Boards that run along a wall" in shown
    shown = person.type("1")  # what is above the ceiling
    shown = person.type("2")
    assert "No longer applies, set aside: Do boards stop on the wall?" in shown
    shown = person.type("1")
    shown = person.type("1")
    assert re.search(r" 3 +Do boards stop on the wall\? +Some stop there", shown)


@pytest.fixture
def clashing(tmp_path):
    """Somebody whose first two answers cannot both be true."""
    was = "{answer: joists_run, is: along}, {answer: joists_end, is: some_end}]}\n"
    now = "{answer: above_wall, is: attic}, {answer: built_of, is: wood}]}\n"
    rules = small_rules_with(tmp_path, "contradictions.yaml", was, now)
    file = rules / "contradictions.yaml"
    file.write_text(file.read_text().replace("[joists_run, joists_end]", "[above_wall, built_of]"))
    person = Person(tmp_path, rules=rules)
    type_all(person, *SETUP, "1", "1")
    yield person
    person.child.close(force=True)


def test_what_clashes_is_looked_at_again_at_once(clashing):
    """Whoever has just told two things that cannot both be true is asked which to look at again;
    that is given anew."""
    assert "! Some answers contradict each other." in clashing.shown
    assert "Which of these do you look at once more?" in clashing.shown
    assert "Changing an answer." in clashing.type("1")
    shown = clashing.type("2")
    assert "Noted: A room." in shown
    assert "once more?" not in shown


def test_what_clashes_may_be_left(clashing):
    """Nobody is held up by it: the interview goes on, and does not ask for it again."""
    _, asked, after = clashing.type("3").partition("Do boards stop on the wall?")
    assert asked
    assert "once more?" not in after
    assert "once more?" not in clashing.type("d")


def test_hole_brings_the_cautions_first(start):
    """Whoever would open a hole reads the warnings before any question."""
    person = start("--for", "trade")
    shown = person.type("5")
    assert "Before you make a hole:" in shown
    assert "Switch the power off and test before any cut." in shown


def test_cautions_come_again_before_the_first_hole(tmp_path):
    """Right before the first question that needs a hole, once for the wall."""
    was, now = ("effort: {}\n    kind: seen\n    place: {}".format(*x) for x in PLACES)
    rules = small_rules_with(tmp_path, "questions/all.yaml", was, now)
    person = Person(tmp_path, rules=rules)
    type_all(person, "2", "5", "14 Elm", "kitchen", "1", "1", "1")
    assert person.everything.count("Before you make a hole:") == 2
    assert "Inside the wall: kitchen." in person.shown
    type_all(person, "1", "1")
    assert person.everything.count("Before you make a hole:") == 2
    person.child.close(force=True)


def test_resume_alone_offers_the_unfinished_ones(start, tmp_path):
    """No new one is offered there; and when none is kept, that is said at once."""
    none = start("--resume")
    said = none.end().replace("\n", "").replace("\r", "")
    assert none.status == 2
    assert "no unfinished interview is kept there" in said
    person = start()
    type_all(person, *SETUP, "1", "1")
    person.kill()
    again = start("--resume")
    shown = again.at_prompt()
    assert "Pick up an unfinished interview?" in shown
    assert "Start a new one" not in shown
    assert "Do boards stop on the wall?" in again.type("1")


def test_killed_and_resumed(start, tmp_path):
    """A power cut costs the question on screen, no more; the next start offers to go on."""
    person = start()
    type_all(person, *SETUP, "1", "1 guess")
    assert "Do boards stop on the wall?" in person.shown
    person.kill()
    (path,) = state_files(tmp_path)
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    again = start()
    shown = again.at_prompt()
    assert "Pick up an unfinished interview?" in shown
    assert re.search(r"1 +14 Elm: 2 answers, saved \d\d \w+ \d{4}, \d\d:\d\d", shown)
    shown = again.type("1")
    assert "Do boards stop on the wall?" in shown
    assert "Before, you said: Wood studs (a guess)." in again.type("b")


def test_new_one_can_be_started_beside_an_unfinished(start, tmp_path):
    """An unfinished interview is not in the way and not overwritten."""
    person = start()
    type_all(person, *SETUP, "1")
    person.kill()
    again = start()
    assert "Who is asking?" in again.type("2")
    type_all(again, *SETUP)
    again.kill()
    assert [path.name for path in state_files(tmp_path)] == ["14-elm-2.yaml", "14-elm.yaml"]


@pytest.mark.parametrize("key", ["\x03", "\x04"])
def test_interrupted_says_where_it_is_saved(start, key, small):
    """Ctrl-C and Ctrl-D end with 130 and a line that says how to go on; that line works."""
    person = start()
    type_all(person, *SETUP, "1")
    person.child.send(key)
    text = person.end()
    assert "Interrupted. Saved in " in text
    assert person.status == 130
    path = saved_path(text)
    assert (
        read_case(path, small.base.questions).wall("wall1").answers["above_wall"].value == "attic"
    )
    again = start("--resume", str(path))
    assert "What is the house built of?" in again.at_prompt()


def test_interrupted_before_anything_was_said(start, tmp_path):
    """Nothing is left behind by somebody who looked in only."""
    person = start("--save", "mine.yaml")
    person.at_prompt()
    person.child.send("\x03")
    assert "nothing is saved" in person.end()
    assert person.status == 130
    assert not (tmp_path / "mine.yaml").exists()


def test_closed_terminal_loses_nothing(start, tmp_path, small):
    """When the terminal goes away, what was answered is there."""
    person = start()
    type_all(person, *SETUP, "1", "1")
    os.kill(person.child.pid, signal.SIGHUP)
    person.end()
    (path,) = state_files(tmp_path)
    assert set(read_case(path, small.base.questions).wall("wall1").answers) == {
        "above_wall",
        "built_of",
    }


def test_stop_here_and_go_on_in_a_file_of_ones_own(start, tmp_path):
    """--save keeps the answers there; the same option later goes on with them."""
    person = start("--save", "mine.yaml", "--for", "trade")
    type_all(person, "3", "14 Elm", "kitchen", "1")
    text = person.last("q")
    assert person.status == 0
    assert "Stopped. Saved in mine.yaml." in text
    assert not (tmp_path / "walltriage").exists()
    again = start("--save", "mine.yaml")
    shown = again.type("1")
    assert "What is the house built of?" in shown
    type_all(again, "1", "2", "1")
    text = finish(again, "5")
    assert "The record is in mine.yaml." in text
    record = yaml.safe_load((tmp_path / "mine.yaml").read_text())
    assert record["for"] == "trade"
    assert record["asked"] == ["wall1/above_wall", "wall1/built_of", "wall1/joists_end"]
    assert record["outcome"]["walls"][0]["verdict"] == "likely_bearing"
    finished = start("--save", "mine.yaml")
    assert "mine.yaml: holds a finished interview; give another name" in finished.end()
    assert finished.status == 2


def test_record_is_written_and_replays(start, tmp_path):
    """The saved record replays to the same outcome, and the autosave is cleared away."""
    person = start()
    type_all(person, *SETUP, "1", "1", "1", "1", "1", "")
    read_on(person)
    assert "Where should I save the record?" in person.type("1")
    (tmp_path / "taken.yaml").write_text("mine\n")
    assert "taken.yaml: already there" in person.type("taken.yaml")
    text = person.last("")
    assert "Saved in 14-elm.yaml." in text
    assert (tmp_path / "taken.yaml").read_text() == "mine\n"
    assert state_files(tmp_path) == []
    replay = [sys.executable, "-m", "walltriage", "replay", "14-elm.yaml", "--rules", SMALL_RULES]
    done = subprocess.run(replay, cwd=tmp_path, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "as recorded" in done.stdout


def test_second_wall_of_the_same_house(start, tmp_path):
    """Another wall has its own name, answers and result in the same record."""
    person = start("--save", "two.yaml")
    type_all(person, *SETUP, "1", "1", "2", "1", "")
    read_on(person)
    assert "What do you call it?" in person.type("3")
    assert "Your answers" in person.type("/b")  # not that wall after all
    type_all(person, "")
    while "Press Enter for more" in person.shown:
        person.type("s")
    assert "What do you call it?" in person.type("3")
    assert "In the rooms: bath." in person.type("bath")
    type_all(person, "1", "2", "1")
    while "Your answers" not in person.shown:
        person.type("d")
    assert "bath: What is above the ceiling" in person.shown
    finish(person, "6")
    record = yaml.safe_load((tmp_path / "two.yaml").read_text())
    assert [wall["name"] for wall in record["walls"]] == ["kitchen", "bath"]
    verdicts = [wall["verdict"] for wall in record["outcome"]["walls"]]
    assert verdicts == ["likely_bearing", "cannot_tell"]


def test_a_wall_without_a_name_leaves_nothing(start, tmp_path):
    """Who thinks better of another wall and stops has no second wall in the file."""
    person = start("--save", "one.yaml")
    type_all(person, *SETUP, "1", "1", "2", "1", "")
    read_on(person)
    assert "What do you call it?" in person.type("3")
    person.last("/q")
    walls = yaml.safe_load((tmp_path / "one.yaml").read_text())["walls"]
    assert [wall["id"] for wall in walls] == ["wall1"]


def test_foreign_state_file_is_told_and_kept(start, tmp_path):
    """A file that is no interview is named, left alone, and in nobody's way."""
    folder = tmp_path / "walltriage"
    folder.mkdir()
    (folder / "14-elm.yaml").write_text("schema: something/else\n")
    person = start()
    assert "Skipped, because it cannot be read" in person.at_prompt()
    type_all(person, *SETUP, "1")
    assert (folder / "14-elm.yaml").read_text() == "schema: something/else\n"
    refused = start("--resume", str(folder / "14-elm.yaml"))
    assert "expected 'schema: walltriage/case/1'" in refused.end().replace("\n", "")
    assert refused.status == 2


def test_harmful_names_are_harmless(start, tmp_path):
    """Escapes, markup and emoji codes in a file's names are shown, not obeyed."""
    name = "x\x1b]0;owned\x07 [bold red]a[/] :key: \u202egnp"
    case = {
        "schema": "walltriage/case/1", "name": name, "for": "buyer", "reach": 2,
        "walls": [{"id": "wall1", "name": name, "answers": {"above_wall": "attic"}}],
        "asked": ["wall1/above_wall"],
    }  # fmt: skip
    path = tmp_path / "harm.yaml"
    path.write_text(yaml.safe_dump(case))
    person = start("--resume", str(path))
    shown = person.at_prompt()
    assert "x\\x1b]0;owned\\x07 [bold red]a[/] :key: \\u202egnp" in shown
    assert b"\x1b]0;" not in person.raw
    type_all(person, "1", "2", "1")
    finish(person, "5")
    assert b"\x1b]0;" not in person.raw
    assert yaml.safe_load(path.read_text())["name"] == name


def test_no_colour_when_asked(start):
    """NO_COLOR: nothing is coloured; the words carry everything."""
    person = start(NO_COLOR="1")
    type_all(person, *SETUP, "1", "1", "2", "1")
    finish(person)
    coloured = re.findall(rb"\x1b\[(?:\d+;)*(?:3[0-8]|4[0-8]|9[0-7])(?:;\d+)*m", person.raw)
    assert coloured == []
    assert "LIKELY BEARING" in person.everything


def test_dumb_terminal_gets_no_escapes(start):
    """On a terminal that can do nothing, plain lines come and go."""
    person = start(TERM="dumb")
    type_all(person, *SETUP, "1", "1", "2", "1")
    finish(person)
    assert b"\x1b" not in person.raw
    assert "LIKELY BEARING" in person.everything
    assert person.status == 0


@pytest.mark.parametrize(
    ("options", "environment"),
    [(("--ascii",), {}), ((), {"PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0", "LC_ALL": "C"})],
)
def test_ascii_only(start, options, environment):
    """Asked for, or because the terminal can show nothing else."""
    person = start(*options, **environment)
    type_all(person, "1", "3", "14 Elm", "K\u00fcche", "1", "l")
    assert person.raw.replace("K\u00fcche".encode(), b"").isascii()
    person.type("")
    type_all(person, "1", "2", "1")
    text = finish(person)
    assert "LIKELY BEARING" in text
    assert person.raw.replace("K\u00fcche".encode(), b"").isascii()


def test_broken_rules_are_told_before_anything_is_asked(tmp_path):
    """A knowledge base that cannot be read ends it with its own message."""
    person = Person(tmp_path, rules=tmp_path / "nowhere")
    text = person.end()
    told = "".join(text.split())  # the screen breaks the line where the path's length says
    assert "nowhere:nosuchfolder;expectedarulesfolder" in told
    assert person.status == 2


@pytest.mark.parametrize("closed", ["stdin", "stdout"])
def test_refuses_without_a_terminal(closed, tmp_path):
    """One message that names the command for files, and nothing else."""
    command = [sys.executable, "-m", "walltriage", "interview"]
    master, slave = os.openpty()
    try:
        streams = {"stdin": slave, "stdout": slave, "stderr": subprocess.PIPE}
        streams[closed] = subprocess.DEVNULL
        done = subprocess.run(command, **streams, cwd=tmp_path, text=True, check=False, timeout=20)
    finally:
        os.close(master)
        os.close(slave)
    assert done.returncode == 2
    assert done.stderr == (
        "interview: needs a terminal to ask its questions; "
        "for answers in a file, use: walltriage triage FILE\n"
    )


def test_a_report_is_written_from_the_last_menu(start, tmp_path):
    """A name with a known ending gives a report; a wrong one and a taken one are told."""
    person = start("--save", "mine.yaml", "--for", "trade")
    type_all(person, "3", "14 Elm", "kitchen", "1", "1", "2", "1", "")
    read_on(person)
    assert "Where should I save the report?" in person.type("4")
    assert "no known kind of report" in person.type("report.doc")
    assert "mine.yaml is already there" in person.type("mine.yaml")
    assert "Written: report.html" in person.type("report.html")
    assert person.last("5")
    assert "<html" in (tmp_path / "report.html").read_text(encoding="utf-8")


def test_two_terminals_on_one_file(start, tmp_path):
    """Who answers second is told, and goes on in a file of their own; both keep all answers."""
    first = start("--save", "x.yaml")
    type_all(first, *SETUP)
    second = start("--resume", "x.yaml")
    second.type("1")
    shown = first.type("2")
    assert "was changed by another program" in first.everything
    assert "x-2.yaml" in first.everything, shown
    one, two = ((tmp_path / name).read_text() for name in ("x.yaml", "x-2.yaml"))
    assert one != two
    assert one.count("asked") == two.count("asked") == 1
