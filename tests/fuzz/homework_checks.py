"""Receipts, answers and whole commands: what must hold of them whatever is typed."""

from __future__ import annotations

import contextlib
import io
import os
import re
import tempfile
from functools import lru_cache
from pathlib import Path
from unittest import mock

from soilx.cli import run_command
from soilx.errors import SoilxError
from soilx.teaching.attempts import Attempt
from soilx.teaching.checking import Outcome, judge
from soilx.teaching.mistakes import MISTAKES
from soilx.teaching.overview import overview
from soilx.teaching.problems import PROBLEMS
from soilx.teaching.receipts import Receipt, read_receipt
from soilx.teaching.variants import Variant, variant
from soilx.units import express, read
from tests.fuzz.checks import refused_well

MISTAKE_KEYS = tuple(MISTAKES)
PROBLEM_KEYS = tuple(PROBLEMS)
_SAME = str.maketrans({"O": "0", "I": "1", "L": "1"})


@lru_cache(maxsize=256)
def made(problem: str, number: int) -> Variant:
    """One student's variant, drawn once."""
    return variant("FUZZ-1", problem, f"S{number}")


def check_receipt(given: tuple[Receipt, int, str]) -> bool:
    """A receipt is read as itself, and with one character altered as nothing else."""
    receipt, at, letter = given
    assert read_receipt(receipt.text) == receipt
    text = receipt.text
    at %= len(text)
    altered = text[:at] + letter + text[at + len(letter) :]
    try:
        found = read_receipt(altered)
    except SoilxError as refusal:
        refused_well(refusal)
        return True
    assert _plain(altered) == _plain(text), f"{altered} verifies, and was made from {text}"
    assert found == receipt
    return True


def _plain(text: str) -> tuple[str, str, str]:
    """A receipt as hands that copy it may write it: letters that are misread, small ones, blanks."""
    course, student, code = text.upper().split()
    return course, student, code.replace("-", "").translate(_SAME)


def check_receipt_text(text: str) -> bool:
    """Any text as a line of receipts: refused, or a receipt that says the same again."""
    overview(f"{text}\n{text}")
    try:
        found = read_receipt(text)
    except SoilxError as refusal:
        refused_well(refusal)
        return False
    assert read_receipt(found.text) == found
    return True


def check_answer(given: tuple[str, int, str]) -> bool:
    """Any text as an answer: judged in whole sentences, right only where it is the solution's number."""
    problem, number, reply = given
    own = made(problem, number)
    after = Attempt(variant=own).answer({part.key: reply for part in own.asked})
    assert all(after.sentences)
    accepted = False
    for part in own.asked:
        judged = judge(own, part.key, reply)
        assert judged.text.strip()
        accepted |= judged.outcome is not Outcome.UNREAD
        if judged.outcome is Outcome.RIGHT and part.kind is not None:
            right = own.solution.values[part.key]
            texts = [reply, f"{reply.strip()} %"]
            near = []
            for text in texts:
                with contextlib.suppress(SoilxError):
                    internal = read(text, part.kind, name="answer", ion=part.ion, ground=part.ground)
                    near.append(express(internal, part.kind, part.unit, ion=part.ion, ground=part.ground))
            assert any(
                abs(value - right) <= 1.001 * part.tolerance * abs(right) + 1e-8 for value in near
            ) or any(abs(100 * value - right) <= 1.001 * part.tolerance * abs(right) + 1e-8 for value in near)
    return accepted


def check_command(given: tuple[list[str], dict[str, bytes]]) -> bool:
    """A command line over files: exit code 0, 1 or 2; a refusal is one line, and nothing else is written."""
    arguments, files = given
    with tempfile.TemporaryDirectory(prefix="soilx-fuzz-") as folder:
        for name, raw in files.items():
            (Path(folder) / name).write_bytes(raw)
        out = io.TextIOWrapper(io.BytesIO(), encoding="utf-8", write_through=True)
        err = io.TextIOWrapper(io.BytesIO(), encoding="utf-8", errors="backslashreplace", write_through=True)
        # A server would take the place of this process: that it is asked for is all that is looked at.
        with (
            contextlib.redirect_stdout(out),
            contextlib.redirect_stderr(err),
            contextlib.chdir(folder),
            mock.patch.object(os, "execve") as served,
        ):
            code = run_command(arguments)
        said = err.buffer.getvalue().decode("utf-8")  # type: ignore[attr-defined]
        assert code in (0, 1, 2)
        if code:
            assert re.fullmatch(r"soilx: [^\n\r]+\n", said), f"{arguments}: {said!r}"
        else:
            assert said == ""
        left = {path.name for path in Path(folder).iterdir()} - set(files)
        wanted = {
            arguments[at + 1] for at in range(len(arguments) - 1) if arguments[at] in ("-o", "--output")
        }
        assert left <= wanted, f"{left} were written"
        for call in served.call_args_list:
            command = call.args[1]
            assert command[1:4] == ["-m", "marimo", "run"]
            assert (
                command[command.index("--host") + 1] in ("127.0.0.1", "::1", "localhost")
                or "--token" in command
            )
    return code == 0
