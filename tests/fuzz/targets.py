"""What is fuzzed: for each target what is fed in, what must hold, and its share of the inputs."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from hypothesis import strategies as st

from soilx.bench.record_columns import HEADER, LINE
from soilx.teaching.receipts import ALPHABET, Receipt
from soilx.units import Kind
from tests.fuzz import checks, homework_checks
from tests.fuzz.inputs import (
    DEMO,
    HOSTILE,
    cells,
    numbers,
    quantity_texts,
    scenario_files,
    tables,
    words,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """One thing that reads.

    Attributes
    ----------
    name : str
    inputs : strategy
    check : callable
        True where an input was accepted.
    share : float
        Of all inputs.
    """

    name: str
    inputs: st.SearchStrategy[Any]
    check: Callable[[Any], bool]
    share: float


_symbols = st.sampled_from((None, None, "Na", "Ca", "SO4", "Mg"))
_likely_units = (
    [unit for _, unit in checks.KNOWN] + [kind.unit for kind in Kind] + ["%", "ppm", "mg/L", "mg/kg"]
)
_likely_texts = st.builds(
    "{}{}{}".format, numbers, st.sampled_from(("", " ")), st.sampled_from(_likely_units)
)


def _of_kind(kind: Kind) -> st.SearchStrategy[Any]:
    """A number in a unit that this kind is written in, its own and those of the table of known sizes."""
    units = [unit for known, unit in checks.KNOWN if known is kind] + [kind.unit]
    texts = st.builds("{}{}{}".format, numbers, st.sampled_from(("", " ", "  ")), st.sampled_from(units))
    return st.tuples(texts, st.just(kind), _symbols, st.just(True))


_codes = st.text(st.sampled_from("ABCXYZ0189_.-"), min_size=1, max_size=10).map(lambda text: f"S{text}7")

receipts = st.builds(
    Receipt,
    course=_codes,
    student=_codes,
    problem=st.sampled_from(homework_checks.PROBLEM_KEYS),
    fresh=st.integers(0, 255),
    solved=st.booleans(),
    tries=st.integers(1, 3),
    level=st.integers(0, 3),
    mistakes=st.lists(st.sampled_from(homework_checks.MISTAKE_KEYS), max_size=3, unique=True).map(tuple),
)
_letters = st.one_of(
    st.sampled_from(ALPHABET),
    st.sampled_from("OILU-_. \n²"),
    st.text(max_size=2),
    st.sampled_from(HOSTILE[:30]),
)
_receipt_texts = st.one_of(
    st.from_regex(r"[A-Z0-9.-]{1,8} [A-Z0-9]{1,6} ([0-9A-Za-z]{4}-){2}[0-9A-Za-z]{4}", fullmatch=True),
    st.builds(lambda receipt, tail: receipt.text + tail, receipts, words),
    words,
)

_ROW_KEYS = (*HEADER, "mass_g", "unknown")
_rows = st.dictionaries(st.sampled_from(_ROW_KEYS), cells, max_size=6)
_numbered = st.builds(
    lambda row, arm, portion: {**row, "arm": arm, "portion": str(portion), "replicate": "1"},
    _rows,
    st.one_of(st.sampled_from(("gypsum", "control", "new arm")), cells),
    st.integers(1, 999),
)
_LINES = (*LINE, "unknown")
_line_cells = st.tuples(
    st.sampled_from(_LINES),
    cells,
    cells,
    st.sampled_from(("", "gypsum", "=x")),
    st.sampled_from(("", "1", "²")),
    cells,
)

_FILES = (
    "soils.csv",
    "waters.csv",
    "pair.toml",
    "block_c.toml",
    "codes.csv",
    "receipts.txt",
    "nowhere.csv",
    ".",
)


@st.composite
def command_lines(draw: st.DrawFn) -> tuple[list[str], dict[str, bytes]]:
    """A command with its words, options and files, some of them wrong."""
    files: dict[str, bytes] = {
        "soils.csv": draw(tables("soils.csv")),
        "waters.csv": draw(tables("waters.csv")),
        "pair.toml": draw(scenario_files()),
        "codes.csv": _codes_file(draw),
        "receipts.txt": "\n".join(draw(st.lists(_receipt_texts, max_size=3))).encode(
            "utf-8", "surrogatepass"
        ),
    }
    anything = st.one_of(st.sampled_from(_FILES), _arguments)
    command = draw(
        st.sampled_from(("leach", "rate", "variant", "check", "receipt", "key", "overview", "open", "any"))
    )
    problem, codes = (
        draw(st.sampled_from(homework_checks.PROBLEM_KEYS)),
        ["--course", "FUZZ-1", "--student", "S1"],
    )
    if command == "leach":
        given = ["leach", draw(st.sampled_from(("pair.toml", "pair.toml", "soils.csv", "nowhere.toml")))]
    elif command == "rate":
        soil = draw(st.sampled_from(("Block C", "Block F", "Bed 7", "Lawn 2", "x")))
        given = ["rate", "soils.csv", "--soil", soil, "--target-esp", draw(_arguments)]
        for option in draw(st.lists(st.sampled_from(_RATE_OPTIONS), max_size=3, unique=True)):
            given += [option, draw(_arguments)]
    elif command == "variant":
        given = ["homework", "variant", problem, *codes, "--fresh", draw(_arguments)]
    elif command == "check":
        given = ["homework", "check", problem, *draw(st.lists(_arguments, max_size=3)), *codes]
    elif command == "receipt":
        given = ["homework", "receipt", *draw(_receipt_texts).split()]
    elif command == "key":
        given = ["homework", "key", "codes.csv", "--course", "FUZZ-1", "--problem", problem]
        given += (
            ["-o", draw(st.sampled_from(("key.csv", "nowhere/key.csv", ".")))] if draw(st.booleans()) else []
        )
    elif command == "overview":
        given = ["homework", "overview", "receipts.txt"]
    elif command == "open":
        given = ["open", draw(st.sampled_from(("lecture", "bench", "homework", "../x"))), "--headless"]
        given += draw(
            st.sampled_from(([], ["--folder", "."], ["--folder", "nowhere"], ["--host", "0.0.0.0"]))
        )
    else:
        given = draw(st.lists(anything, max_size=4))
    if draw(st.integers(0, 3)) == 0:
        given.insert(draw(st.integers(0, len(given))), draw(anything))
    if draw(st.booleans()):
        given.append("--json")
    # What no shell can hand over, and what never comes back.
    given = [one.replace("\x00", "") for one in given if one not in ("verify", "handout")]
    return given, files


_arguments = st.one_of(numbers, words, quantity_texts).map(lambda text: text.replace("\x00", ""))
_RATE_OPTIONS = ("--depth", "--factor", "--purity", "--moisture", "--bag", "--pot", "--waters", "--water")


def _codes_file(draw: st.DrawFn) -> bytes:
    out = io.StringIO()
    rows = [
        ["student", "note"],
        *([draw(st.one_of(_codes, cells)), draw(cells)] for _ in range(draw(st.integers(0, 3)))),
    ]
    csv.writer(out).writerows(rows)
    return out.getvalue().encode("utf-8", errors="surrogatepass")


TARGETS: tuple[Target, ...] = (
    Target(name="quantities", inputs=quantity_texts, check=checks.check_quantity, share=0.12),
    Target(
        name="readings",
        inputs=st.tuples(
            st.one_of(quantity_texts, _likely_texts), st.sampled_from(Kind), _symbols, st.booleans()
        )
        | st.sampled_from(Kind).flatmap(_of_kind),
        check=checks.check_reading,
        share=0.15,
    ),
    Target(
        name="known units",
        inputs=st.tuples(
            st.floats(-1e12, 1e12, allow_subnormal=False).map(repr),
            st.sampled_from(sorted(checks.KNOWN, key=str)),
        ),
        check=checks.check_known,
        share=0.05,
    ),
    Target(name="soils", inputs=tables("soils.csv"), check=checks.check_soils, share=0.07),
    Target(name="waters", inputs=tables("waters.csv"), check=checks.check_waters, share=0.04),
    Target(name="reports", inputs=tables("soils.csv"), check=checks.check_reports, share=0.08),
    Target(name="products", inputs=tables("products.csv"), check=checks.check_products, share=0.04),
    Target(name="climates", inputs=tables("climate.csv"), check=checks.check_climates, share=0.04),
    Target(name="scenarios", inputs=scenario_files(), check=checks.check_scenario, share=0.06),
    Target(
        name="decisions",
        inputs=scenario_files(of="decision*"),
        check=checks.check_decision,
        share=0.02,
    ),
    Target(name="columns", inputs=scenario_files(), check=checks.check_leaching, share=0.01),
    Target(name="records", inputs=tables("bench_block_c.csv"), check=checks.check_record, share=0.08),
    Target(
        name="portions added",
        inputs=st.tuples(tables("bench_block_c.csv"), st.one_of(_numbered, _rows)),
        check=checks.check_adding,
        share=0.04,
    ),
    Target(
        name="portions changed",
        inputs=st.tuples(tables("bench_block_c.csv"), _rows, st.integers(0, 20)),
        check=checks.check_changing,
        share=0.04,
    ),
    Target(
        name="record lines",
        inputs=st.tuples(tables("bench_block_c.csv"), _line_cells),
        check=checks.check_line,
        share=0.02,
    ),
    Target(
        name="receipts",
        inputs=st.tuples(receipts, st.integers(0, 60), _letters),
        check=homework_checks.check_receipt,
        share=0.06,
    ),
    Target(name="receipt texts", inputs=_receipt_texts, check=homework_checks.check_receipt_text, share=0.03),
    Target(
        name="answers",
        inputs=st.tuples(
            st.sampled_from(homework_checks.PROBLEM_KEYS), st.integers(0, 2), st.one_of(quantity_texts, cells)
        ),
        check=homework_checks.check_answer,
        share=0.03,
    ),
    Target(name="commands", inputs=command_lines(), check=homework_checks.check_command, share=0.02),
)

#: Files that a coverage-guided run starts from, by target.
SEEDS: dict[str, tuple[str, ...]] = {
    "soils": ("soils.csv",),
    "waters": ("waters.csv",),
    "reports": ("soils.csv",),
    "products": ("products.csv",),
    "climates": ("climate.csv",),
    "scenarios": tuple(path.name for path in sorted(DEMO.glob("*.toml"))),
    "records": ("bench_block_c.csv",),
}
