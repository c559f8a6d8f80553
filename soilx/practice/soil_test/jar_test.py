"""A jar test read as a score of dispersion: what a crumb of soil does in rain water."""

import re
from dataclasses import dataclass
from typing import Final

WORDS: Final = ("clear", "milky edge", "cloudy")
"""What is seen around the crumb; the score is the place in this list."""

CLEAR: Final = 0
MILKY: Final = 1
CLOUDY: Final = 2

_SEEN: Final = re.compile(r"\b(?:clear|milky|cloud(?:y|s|ed))\b")
_DENIED: Final = re.compile(r"\b(?:not|no|never|without)\b(?:\s+\w+){0,2}\s*$")
_SCORES: Final = {"clear": CLEAR, "milky": MILKY}


@dataclass(frozen=True, slots=True, kw_only=True)
class JarScore:
    """Dispersion as it was seen.

    Attributes
    ----------
    now : int
        0 clear, 1 milky edge, 2 cloudy.
    rinsed : int
        The same once the soil's own salts were rinsed out; `now` where nobody rinsed.
    text : str
        As reported.
    """

    now: int
    rinsed: int
    text: str

    @property
    def stays_clear(self) -> bool:
        """Clear, and clear after rinsing where that was tried."""
        return self.now == CLEAR and self.rinsed == CLEAR

    @property
    def held_by_salt(self) -> bool:
        """Disperses more once its salts are gone: only they hold the clay."""
        return self.rinsed > self.now

    @property
    def word(self) -> str:
        """The first of the words that fits."""
        return WORDS[self.now]


def read_jar_test(text: str | None) -> JarScore | None:
    """Score of a jar test in words; None where there is none or its words are not ours.

    Parameters
    ----------
    text : str or None
        "clear", "milky edge", "cloudy", or these with what rinsing did: "clear, cloudy after three rinses".
    """
    if not text:
        return None
    words = text.lower()
    seen = [
        (_SCORES.get(found[0], CLOUDY), found.start())
        for found in _SEEN.finditer(words)
        # "not cloudy" says something, and not what a reader of single words would take it for
        if not _DENIED.search(words[: found.start()])
    ]
    if not seen or len(seen) != len(_SEEN.findall(words)):
        return None
    rinse = words.find("rins")
    # Two states without a rinse between them are a doubt: the worse one counts.
    if rinse < 0:
        worst = max(score for score, _ in seen)
        return JarScore(now=worst, rinsed=worst, text=text)
    return JarScore(now=seen[0][0], rinsed=seen[-1][0], text=text)
