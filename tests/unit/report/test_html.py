"""The HTML file: valid, alone, without script, and harmless whatever people typed."""

from __future__ import annotations

import re
from itertools import pairwise

import html5lib
import pytest

from tests.unit.report.hostile import ALL, LONG, MARKUP, SCRIPTS, with_text
from walltriage.case.model import ROLES
from walltriage.report.html import html
from walltriage.report.pages import build

XHTML = "{http://www.w3.org/1999/xhtml}"


def parsed(text):
    """The document tree; any parse error of the HTML standard fails the test."""
    return html5lib.HTMLParser(strict=True).parse(text)


def shown(tree):
    """All text of the body."""
    return "".join(tree.find(f"{XHTML}body").itertext())


@pytest.mark.parametrize("name", ["bungalow", "truss_house", "two_walls"])
@pytest.mark.parametrize("audience", ROLES)
def test_valid_and_alone(make, name, audience):
    """No parse error, no script, nothing fetched, one heading of the first level, ids once."""
    text = html(build(make(name, audience, 3, numbers=True)))
    tree = parsed(text)
    tags = [
        element.tag.rpartition("}")[2] for element in tree.iter() if isinstance(element.tag, str)
    ]
    assert not set(tags) & {"script", "link", "iframe", "img", "object", "form", "input", "base"}
    assert tags.count("h1") == tags.count("main") == 1
    assert not re.search(r"""(?:src|href|action)\s*=|@import|url\(""", text)
    addresses = set(re.findall(r"https?://[^\s\"<]+", text))
    assert addresses <= {"http://www.w3.org/2000/svg"}
    ids = [element.get("id") for element in tree.iter() if element.get("id")]
    assert len(ids) == len(set(ids))
    names = {i for e in tree.iter() for i in (e.get("aria-labelledby") or "").split()}
    assert names <= set(ids)
    levels = [int(tag[1]) for tag in tags if re.fullmatch("h[1-6]", tag)]
    assert all(after - before <= 1 for before, after in pairwise(levels))


def test_policy_forbids_network_and_script(make):
    """The page itself tells browsers to load nothing."""
    text = html(build(make()))
    policy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"
    assert f'content="{policy}"' in text


def test_language_and_title(make):
    """The page names its language and itself."""
    tree = parsed(html(build(make())))
    assert tree.get("lang") == "en"
    title = tree.find(f"{XHTML}head/{XHTML}title").text
    assert title == "Bungalow on Alder Lane – For the home buyer"


@pytest.mark.parametrize("text", ALL)
@pytest.mark.parametrize("audience", ROLES)
def test_hostile_text_is_text(make, text, audience):
    """The tree has the same elements as that of an ordinary case."""

    def tags(change):
        tree = parsed(html(build(make(audience=audience, depth=2, change=change))))
        # drawings and cut headings may differ in the number of shapes, not in kind
        return {element.tag for element in tree.iter() if isinstance(element.tag, str)}, tree

    usual, _ = tags(with_text("x"))
    found, tree = tags(with_text(text))
    assert found == usual
    attributes = {name for element in tree.iter() for name in element.attrib}
    assert not [name for name in attributes if str(name).startswith("on")]


def test_text_is_kept_in_full(make):
    """Names and notes are shown as they were written, ten thousand letters too."""
    for text in (MARKUP, SCRIPTS, LONG):
        tree = parsed(html(build(make(audience="firm", change=with_text(text)))))
        assert text in shown(tree)


def test_data_can_be_read_back(make):
    """The embedded result is the very line that the JSON report holds."""
    request = make("two_walls", "firm", change=with_text(MARKUP))
    tree = parsed(html(build(request)))
    from walltriage.report.finding_json import finding_line

    pre = next(e for e in tree.iter(f"{XHTML}pre") if e.get("id") == "finding-json")
    assert pre.text == finding_line(request.finding)
