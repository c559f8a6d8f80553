"""Which test runs which line: learnt from one run of the rooms' own tests, and again where they change."""

from __future__ import annotations

import ast
import gzip
import hashlib
import json
import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
ROOMS = ("chemistry", "column")
BESIDE = {*ROOMS, "verification", "errors", "units", "sources", "wording", "unit_kinds"}


def modules() -> list[str]:
    """Files of the mutated rooms, relative to the project."""
    return [
        path.relative_to(ROOT).as_posix()
        for room in ROOMS
        for path in sorted((ROOT / "soilx" / room).glob("*.py"))
    ]


def test_files() -> list[str]:
    """The rooms' own tests: named after one of their modules, or importing from no later room."""
    named = {f"test_{Path(file).stem}.py" for file in modules()}
    found = []
    for path in sorted((ROOT / "tests").glob("test_*.py")):
        text = path.read_text("utf-8")
        imported = set(re.findall(r"^\s*(?:from|import) soilx\.(\w+)", text, flags=re.MULTILINE))
        if path.name in named or (imported & {*ROOMS, "verification"} and imported <= BESIDE):
            found.append(path.relative_to(ROOT).as_posix())
    return found


def digest(file: str) -> str:
    """Fingerprint of a file's text."""
    return hashlib.sha256((ROOT / file).read_bytes()).hexdigest()[:16]


@dataclass(kw_only=True)
class CoverageMap:
    """What each test function took and ran.

    Attributes
    ----------
    digests : dict
        Fingerprints of the files as they were learnt.
    seconds : dict
        Processor time of each passing test function, all of its parameters together.
    lines : dict
        By file and line, the test functions that run it.
    at_import, at_collection : dict
        By file, the lines run when soilx is imported, and when tests are collected.
    failing : list of str
        Test functions that fail without any mutant, and are not used.
    """

    digests: dict[str, str] = field(default_factory=dict)
    seconds: dict[str, float] = field(default_factory=dict)
    lines: dict[str, dict[int, set[str]]] = field(default_factory=dict)
    at_import: dict[str, set[int]] = field(default_factory=dict)
    at_collection: dict[str, set[int]] = field(default_factory=dict)
    failing: list[str] = field(default_factory=list)

    @classmethod
    def load(cls, path: Path) -> CoverageMap:
        """A kept map, or an empty one."""
        if not path.exists():
            return cls()
        kept = json.loads(gzip.decompress(path.read_bytes()))
        tests = kept["tests"]
        return cls(
            digests=kept["digests"],
            seconds=kept["seconds"],
            lines={
                file: {int(line): {tests[i] for i in numbers} for line, numbers in by_line.items()}
                for file, by_line in kept["lines"].items()
            },
            at_import={file: set(lines) for file, lines in kept["at_import"].items()},
            at_collection={file: set(lines) for file, lines in kept["at_collection"].items()},
            failing=kept["failing"],
        )

    def save(self, path: Path) -> None:
        """Keep the map."""
        tests = sorted(self.seconds)
        number = {test: i for i, test in enumerate(tests)}
        kept = {
            "digests": self.digests,
            "seconds": self.seconds,
            "tests": tests,
            "lines": {
                file: {line: sorted(number[t] for t in found) for line, found in by_line.items()}
                for file, by_line in self.lines.items()
            },
            "at_import": {file: sorted(lines) for file, lines in self.at_import.items()},
            "at_collection": {file: sorted(lines) for file, lines in self.at_collection.items()},
            "failing": self.failing,
        }
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(gzip.compress(json.dumps(kept).encode()))

    def stale(self) -> list[str]:
        """Test files to be learnt (again): changed themselves, or running a module that was."""
        changed = {file for file in [*modules(), *test_files()] if self.digests.get(file) != digest(file)}
        for file in changed & set(self.lines):
            changed |= {test.partition("::")[0] for found in self.lines[file].values() for test in found}
        return [file for file in test_files() if file in changed]

    def take(self, learnt: dict[str, object], files: Iterable[str]) -> None:
        """Replace what was known of some test files by what was learnt of them."""
        files = set(files)
        for by_line in self.lines.values():
            for line in by_line:
                by_line[line] = {test for test in by_line[line] if test.partition("::")[0] not in files}
        self.seconds = {t: s for t, s in self.seconds.items() if t.partition("::")[0] not in files}
        self.failing = [t for t in self.failing if t.partition("::")[0] not in files] + list(
            learnt["failing"]
        )
        self.seconds |= {t: s for t, s in learnt["seconds"].items() if t not in self.failing}
        for file, by_line in learnt["lines"].items():
            if self.digests.get(file) != digest(file):
                self.lines[file] = {}
            own = self.lines.setdefault(file, {})
            for line, tests in by_line.items():
                own.setdefault(int(line), set()).update(t for t in tests if t in self.seconds)
            self.at_import[file] = set(learnt["at_import"][file])
            self.at_collection.setdefault(file, set()).update(learnt["at_collection"][file])
        self.digests |= {file: digest(file) for file in [*modules(), *files]}

    def tests_of(self, file: str, lines: range, users: Names) -> set[str]:
        """Test functions that run one of the lines, or that run what was made of them at import."""
        by_line = self.lines.get(file, {})
        found = set().union(*(by_line.get(line, set()) for line in lines))
        if self.runs_at_import(file, lines) or not found:
            for other, line in users.lines_after(file, lines[0]):
                found |= self.lines.get(other, {}).get(line, set())
        return found

    def runs_at_import(self, file: str, lines: range) -> bool:
        """Whether one of the lines is run when soilx is imported."""
        return not self.at_import.get(file, set()).isdisjoint(lines)


class Names:
    """Which functions use what a line at module level makes: by name, so rather too many than too few."""

    def __init__(self) -> None:
        self.made: list[tuple[str, int, int, set[str], set[str]]] = []
        self.bodies: list[tuple[str, int, int, str, set[str]]] = []
        for file in modules():
            self._read(file, ast.parse((ROOT / file).read_text("utf-8")).body, inside="")

    def _read(self, file: str, body: list[ast.stmt], inside: str) -> None:
        for node in body:
            last = node.end_lineno or node.lineno
            if isinstance(node, ast.FunctionDef):
                self.bodies.append((file, node.lineno, last, node.name, _mentioned(node)))
            elif isinstance(node, ast.ClassDef):
                self.made.append((file, node.lineno, last, {node.name}, _mentioned(node)))
                self._read(file, node.body, node.name)
            elif isinstance(node, ast.Assign | ast.AnnAssign) and node.value:
                targets = node.targets if isinstance(node, ast.Assign) else [node.target]
                made = set().union(*(_mentioned(target) for target in targets))
                self.made.append((file, node.lineno, last, made | ({inside} - {""}), _mentioned(node.value)))

    def lines_after(self, file: str, line: int) -> list[tuple[str, int]]:
        """Lines of the functions that use what is made on a line, however indirectly."""
        names: set[str] = set()
        for other, first, last, name, _ in self.bodies:
            if other == file and first <= line <= last:
                names = {name}
        if not names:
            inner = [made for other, a, b, made, _ in self.made if other == file and a <= line <= b]
            names = set(inner[-1]) if inner else set()
        while True:
            more = set().union(*(made for _, _, _, made, uses in self.made if uses & names), names)
            if more == names:
                break
            names = more
        return [
            (other, number)
            for other, first, last, name, uses in self.bodies
            if uses & names or (name in names and other == file)
            for number in range(first + 1, last + 1)
        ]


def _mentioned(node: ast.AST) -> set[str]:
    return {each.id for each in ast.walk(node) if isinstance(each, ast.Name)} | {
        each.attr for each in ast.walk(node) if isinstance(each, ast.Attribute)
    }
