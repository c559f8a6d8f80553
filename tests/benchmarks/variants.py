"""A thousand variants of every problem: solvable, consistent, spread, and the very same everywhere.

Run with ``python -m tests.benchmarks.variants [PROBLEM ...]``; it leaves with 1 where a digest differs
from the committed one or a report fails a quality check. ``--write`` writes the digests instead.
"""

import argparse
import hashlib
import json
import statistics
import sys
import time
from collections import Counter
from pathlib import Path

from soilx.teaching.problems import PROBLEMS
from soilx.teaching.variants import variant

COURSE = "DIGEST-1"
ALL = 1000
FEW = 4
DIGESTS = Path(__file__).resolve().parents[1] / "homework_digests.json"


def student(number):
    """Code of one student of the class that the digests are of."""
    return f"S{number:04d}"


def digest_of(variants):
    """Fingerprint of variants in their order."""
    return hashlib.sha256("\n".join(made.digest for made in variants).encode()).hexdigest()


def committed():
    """Digests by problem and by number of students, as committed."""
    return json.loads(DIGESTS.read_text("utf-8")) if DIGESTS.exists() else {}


def failing(made):
    """Titles of the quality checks that the report behind a variant does not pass."""
    report = made.seen.report
    return [] if report is None else [check.title for check in report.checks if check.verdict != "good"]


def spread_of(variants):
    """How the answers are spread, part by part."""
    words = []
    for part in variants[0].asked:
        values = [made.solution.values[part.key] for made in variants]
        if part.kind is None:
            words.append(f"{part.key} {dict(Counter(values).most_common())}")
        else:
            low, _, high = statistics.quantiles(values, n=4)
            words.append(
                f"{part.key} {min(values):.3g} to {max(values):.3g} (middle half {low:.3g} to {high:.3g}), "
                f"{len(set(values))} distinct"
            )
    return "; ".join(words)


def main():
    """Draw, print, compare."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("problems", nargs="*", help="keys of problems; all of them unless given")
    parser.add_argument("--count", type=int, default=ALL)
    parser.add_argument("--write", action="store_true")
    given = parser.parse_args()
    known, out, faults = committed(), sys.stdout.write, []
    for key in given.problems or PROBLEMS:
        started = time.perf_counter()
        variants = [variant(COURSE, key, student(number)) for number in range(given.count)]
        took = time.perf_counter() - started
        bad = [made for made in variants if failing(made)]
        found = {str(FEW): digest_of(variants[:FEW]), str(given.count): digest_of(variants)}
        same = all(known.get(key, {}).get(count) == digest for count, digest in found.items())
        named = Counter(wrong.mistake.key for made in variants for wrong in made.wrong)
        shares = ", ".join(f"{mistake} {100 * count / given.count:.0f} %" for mistake, count in named.items())
        out(
            f"{key}: {1000 * took / given.count:.0f} ms each, "
            f"{statistics.mean(made.attempts for made in variants):.2f} draws rejected each, at most "
            f"{max(made.attempts for made in variants)}; {len(bad)} reports fail a check; digest "
            f"{'written' if given.write else 'as committed' if same else 'DIFFERS'}\n"
            f"  answers: {spread_of(variants)}\n  mistakes told apart: {shares}\n"
        )
        sys.stdout.flush()
        if bad or not (same or given.write):
            faults.append(key)
        if given.write:
            # Read again: another process may have written other problems meanwhile.
            known = committed()
            known[key] = {**known.get(key, {}), **found}
            DIGESTS.write_text(json.dumps(known, indent=1, sort_keys=True) + "\n", "utf-8")
    if faults:
        raise SystemExit(f"not as committed, or not consistent: {', '.join(faults)}")


if __name__ == "__main__":
    main()
