"""Bytes that coverage guides: each reader in a process of its own, which atheris drives.

`python -m tests.fuzz.guided TARGET [libFuzzer options]` fuzzes one, `python -m tests.fuzz --guided` all.
"""

from __future__ import annotations

import re
import subprocess
import sys
import tempfile
from pathlib import Path

CHECKS = {
    "quantities": "check_quantity",
    "soils": "check_soils",
    "waters": "check_waters",
    "reports": "check_reports",
    "products": "check_products",
    "climates": "check_climates",
    "scenarios": "check_scenario",
    "records": "check_record",
    "receipt texts": "check_receipt_text",
}
_TEXTS = ("quantities", "receipt texts")
_STARTS = {
    "quantities": (b"7.05 t/ha", b"5 lb/1000 ft^2", b"(mmol/L)^-0.5", b"1e3 cmol_c kg-1"),
    "receipt texts": (b"SOIL-24 S07 1R0A-FZZY-G74N",),
}


def run_all(*, runs: int, start: int) -> list[tuple[str, int, str]]:
    """Name, inputs and find (empty for none) of every reader, one process after the other."""
    return [(name, *run_one(name, runs=runs, start=start)) for name in CHECKS]


def run_one(name: str, *, runs: int, start: int) -> tuple[int, str]:
    """Inputs that were tried on one reader, and what was found."""
    with tempfile.TemporaryDirectory(prefix="soilx-guided-") as folder:
        words = Path(folder) / "words"
        words.write_text(_dictionary(), encoding="ascii")
        corpus = Path(folder) / "corpus"
        corpus.mkdir()
        for number, raw in enumerate(_seeds(name)):
            (corpus / str(number)).write_bytes(raw)
        done = subprocess.run(
            [
                sys.executable,
                "-m",
                "tests.fuzz.guided",
                name,
                f"-runs={runs}",
                f"-seed={start}",
                f"-dict={words}",
                "-max_len=6000",
                "-rss_limit_mb=4000",
                "-timeout=30",
                f"-artifact_prefix={folder}/",
                str(corpus),
            ],
            capture_output=True,
            text=True,
            errors="replace",
            check=False,
        )
    said = done.stderr + done.stdout
    tried = re.findall(r"#(\d+)\s+(?:DONE|pulse|NEW|REDUCE|INITED|BINGO)|Done (\d+) runs", said)
    count = max((int(one or other) for one, other in tried), default=0)
    return count, "" if done.returncode == 0 else said[-3000:]


def _seeds(name: str) -> list[bytes]:
    from tests.fuzz.inputs import DEMO
    from tests.fuzz.targets import SEEDS

    whole = [(DEMO / file).read_bytes() for file in SEEDS.get(name, ())]
    short = [b"\n".join(raw.split(b"\n")[:2]) for raw in whole]
    return [*whole, *short, *_STARTS.get(name, ())]


def _dictionary() -> str:
    from tests.fuzz.inputs import HOSTILE

    kept = [word.encode("utf-8", "surrogatepass") for word in HOSTILE if 0 < len(word) <= 40]
    return "".join('"' + "".join(f"\\x{byte:02x}" for byte in word) + '"\n' for word in kept)


def main() -> None:
    """Fuzz one reader until it is told to stop."""
    import atheris

    name = sys.argv[1]
    with atheris.instrument_imports(include=["soilx"]):
        from tests.fuzz import checks, homework_checks
    check = getattr(checks, CHECKS[name], None) or getattr(homework_checks, CHECKS[name])

    def one(raw: bytes) -> None:
        check(raw.decode("utf-8", errors="replace") if name in _TEXTS else raw)

    atheris.Setup([sys.argv[0], *sys.argv[2:]], one)
    atheris.Fuzz()


if __name__ == "__main__":
    main()
