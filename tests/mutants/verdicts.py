"""Survivors that were read and compute the same, each with the reason: `verdicts.json`, by reason.

A mutant is named by file, function, the line's text, and what it was before and after; lines may move.
"""

from __future__ import annotations

import json
from pathlib import Path

Key = tuple[str, ...]

EQUIVALENT: dict[Key, str] = {
    tuple(key): why
    for why, keys in json.loads(Path(__file__).with_suffix(".json").read_text("utf-8")).items()
    for key in keys
}
