"""The user's letterhead: read from the XDG folder, printed, and every mistake in it named."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from tests.unit.report.conftest import MADE_ON
from walltriage.cli import main
from walltriage.errors import InputError
from walltriage.report.blocks import Letterhead
from walltriage.report.files import make_request, rendered
from walltriage.report.letterhead import TEMPLATE, load_letterhead

DOT = (
    b"<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 4 4'><circle cx='2' cy='2' r='1'/></svg>"
)


@pytest.fixture
def home(tmp_path, monkeypatch):
    """A configuration folder of one's own."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    folder = tmp_path / "walltriage"
    folder.mkdir()
    return folder


def test_none_without_a_file(home):
    """Most people have none."""
    assert load_letterhead() is None
    told = CliRunner().invoke(main, ["config"])
    assert told.exit_code == 0
    assert "No letterhead" in told.output


def test_the_template_reads(home):
    """What ``--init`` writes can be used as it is, and is never written over."""
    assert CliRunner().invoke(main, ["config", "--init"]).exit_code == 0
    path = home / "config.yaml"
    assert path.read_text(encoding="utf-8") == TEMPLATE
    path.write_text(TEMPLATE.replace("Your firm", "Alder & Finch"), encoding="utf-8")
    told = CliRunner().invoke(main, ["config", "--init"])
    assert "  Alder & Finch\n  Street and number\n" in told.output


def test_it_is_printed_in_html_and_markdown(home, houses, make):
    """Name, lines and logo; the name's own signs stay text."""
    (home / "logo.svg").write_bytes(DOT)
    text = "letterhead: {name: 'Alder & <Finch>', license: License 4471, logo: logo.svg}\n"
    (home / "config.yaml").write_text(text, encoding="utf-8")
    letterhead = load_letterhead()
    assert letterhead == Letterhead("Alder & <Finch>", ("License 4471",), DOT, "svg")
    case = make("bungalow", "firm").finding.given
    request = make_request(
        houses, case, MADE_ON, "firm", letterhead=letterhead, client={"client_name": "R. Vale"}
    )
    page = rendered(request, "html").decode("utf-8")
    assert "<strong>Alder &amp; &lt;Finch&gt;</strong><br>License 4471" in page
    assert 'src="data:image/svg+xml;base64,' in page
    assert "R. Vale" in page
    told = rendered(request, "md").decode("utf-8")
    assert "License 4471" in told
    assert "R. Vale" in told


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("letterhead: {nam: x}", "config.yaml:1:"),
        ("letterhead: [", "config.yaml:"),
        (
            "letterhead: {name: Alder, logo: logo.gif}",
            "'logo.gif' is no known picture; expected a name",
        ),
        ("letterhead: {name: Alder, logo: logo.png}", "logo.png: "),
    ],
)
def test_mistakes_are_named(home, text, says):
    """With file and place, and what was expected."""
    (home / "config.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        load_letterhead()
    assert says in str(caught.value)


def test_a_wrong_field_is_named(tmp_path, houses):
    """``--fill`` tells which fields there are."""
    from tests.unit.report.conftest import CASES

    target = tmp_path / "a.html"
    done = CliRunner().invoke(
        main, ["report", str(CASES / "bungalow.yaml"), "--rules", str(houses.base.folder),
               "--out", str(target), "--for", "firm", "--fill", "client_nam=x"],
    )  # fmt: skip
    assert done.exit_code == 2
    assert "no client field 'client_nam'" in done.stderr
    assert not target.exists()
