"""A page as a test reads it: its elements, headings, tables and words."""

import itertools
import re
from html.parser import HTMLParser

HOSTILE = {
    "script": "<script>alert(1)</script>",
    "broken out of": "\"><img src=x onerror=alert(1)></title></style><iframe src='http://a.b'>",
    "entity": "&lt;b&gt; &amp; &#x3c;script&#x3e;",
    "right to left": "שדה 7 של עמק",
    "turned round": "\u202eC kcolB\u2066 \u200f",
    "emoji": "Block \N{SEEDLING}\N{ZERO WIDTH JOINER}\N{BROWN HEART}\N{VARIATION SELECTOR-16}",
    "long": "Block" * 60,
    "control": "Block\u0001 C\u007f",
}
LINES = {
    "p",
    "li",
    "div",
    "td",
    "th",
    "tr",
    "caption",
    "h1",
    "h2",
    "h3",
    "h4",
    "h5",
    "h6",
    "text",
    "figcaption",
}
VOID = {"meta", "br", "hr", "img", "link", "input"}


class Page(HTMLParser):
    """A page as its elements: names, attributes, headings, tables and text."""

    def __init__(self, markup):
        super().__init__(convert_charrefs=True)
        self.elements, self.headings, self.tables, self.open = [], [], [], []
        self.parts, self.whole, self.drawn = [], "", []
        self.feed(markup)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag, attrs):
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)
        if tag in LINES:
            self.parts.append(" ")
        if re.fullmatch("h[1-6]", tag):
            self.headings.append([int(tag[1]), ""])
        elif tag == "table":
            self.tables.append({"caption": "", "whole": self.whole, "rows": []})
        elif tag == "p":
            self.whole = ""
        elif tag == "svg":
            self.drawn.append([])
        elif tag == "tr":
            self.tables[-1]["rows"].append([])
        elif tag in {"td", "th"}:
            self.tables[-1]["rows"][-1].append("")

    def handle_startendtag(self, tag, attrs):
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag):
        assert self.open.pop() == tag, f"</{tag}> closes something else"

    def handle_data(self, data):
        self.parts.append(data)
        if "svg" in self.open:
            self.drawn[-1].append(data)
        if {"td", "th"} & set(self.open):
            self.tables[-1]["rows"][-1][-1] += data
        elif "caption" in self.open:
            self.tables[-1]["caption"] += data
        elif self.elements[-1:] == [("p", {"class": "caption"})]:
            self.whole = data
        for level in "123456":
            if f"h{level}" in self.open:
                self.headings[-1][1] += data

    @property
    def words(self):
        return " ".join("".join(self.parts).split())

    def named(self, tag):
        return [attributes for name, attributes in self.elements if name == tag]

    def rows(self, caption):
        """The rows below the head of the one table whose caption begins so, of all its parts together."""
        found = [
            each
            for each in self.tables
            if each["caption"].startswith(caption)
            or (each["caption"].startswith("Part ") and each["whole"].startswith(caption))
        ]
        assert found
        assert len(found) == 1 or all(each["caption"].startswith("Part ") for each in found)
        return [row for each in found for row in each["rows"][1:]]


def check_structure(page, *, drawn=True):
    """One first heading, no rank left out, every drawing named with its numbers, no name given twice."""
    levels = [level for level, _ in page.headings]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in itertools.pairwise(levels))
    assert all(words.strip() for _, words in page.headings)
    drawings = page.named("svg")
    assert bool(drawings) is drawn
    for each in drawings:
        assert each["role"] == "img"
        assert re.search(r"\d", each["aria-label"])
    own = [each["id"] for _, each in page.elements if "id" in each]
    assert len(own) == len(set(own))
    assert all(each.get("scope") in {"row", "col"} for each in page.named("th"))
