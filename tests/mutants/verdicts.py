"""Survivors that were read and compute the same, each with the reason."""

from __future__ import annotations

EQUIVALENT: dict[tuple[str, str, str, str], str] = {}
