"""One forked process per mutant: what is heavy is imported before, soilx with its mutant after the fork."""

from __future__ import annotations

import contextlib
import gc
import importlib
import inspect
import json
import os
import resource
import select
import signal
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from types import CodeType

import coverage
import hypothesis
import numpy  # noqa: ICN001, F401 - here so that no child has to import it
import pint  # noqa: F401
import pytest
import scipy.optimize  # noqa: F401

from tests.mutants.code_swap import forget_results, functions_there, import_instead, name_of, swap
from tests.mutants.coverage_map import ROOMS, ROOT, modules

OPTIONS = [
    "-q",
    "--no-header",
    "--tb=native",
    "-p",
    "no:cacheprovider",
    "-m",
    "not browser and not benchmark",
]
MEMORY = 6 << 30


class _Watch:
    """A pytest plugin: notes what fails, times tests, and tells the tracer whose lines these are."""

    def __init__(self, tracer: coverage.Coverage | None = None) -> None:
        self.failed: list[str] = []
        self.seconds: dict[str, float] = {}
        self.tracer = tracer

    @pytest.hookimpl(tryfirst=True)
    def pytest_collection(self) -> None:
        # After conftest: the same examples every time, and a failure is not made smaller first.
        profile = hypothesis.settings(
            hypothesis.settings.get_profile("soilx"),
            derandomize=True,
            database=None,
            phases=[hypothesis.Phase.explicit, hypothesis.Phase.generate],
            report_multiple_bugs=False,
        )
        hypothesis.settings.register_profile("mutants", profile)
        hypothesis.settings.load_profile("mutants")

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        # A pool's fresh processes hold no mutant: they would differ from it for that reason alone.
        items[:] = [item for item in items if not _has_workers(item)]

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        test = function_of(item.nodeid)
        if self.tracer:
            self.tracer.switch_context(test)
        begun = time.process_time()
        done = yield
        self.seconds[test] = self.seconds.get(test, 0.0) + time.process_time() - begun
        if self.tracer:
            self.tracer.switch_context("between")
        return done

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.failed:
            self.failed.append(function_of(report.nodeid))

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        if report.failed:
            self.failed.append(f"import of {report.nodeid}")


def _has_workers(item: pytest.Item) -> bool:
    source = inspect.getsource(getattr(item, "function", item))
    return "pool" in getattr(item, "fixturenames", ()) or "ProcessPool" in source


class _Warm(_Watch):
    """The same, with the loop over mutants in place of that over tests: each in a fork of the session."""

    def __init__(self, each: Callable[[Callable[..., object]], None], quick: list[str]) -> None:
        super().__init__()
        self.each, self.quick = each, quick

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        items: dict[str, list[pytest.Item]] = {}
        for item in session.items:
            items.setdefault(function_of(item.nodeid), []).append(item)
        # What every child would have to warm up: pint's caches, hypothesis' constants, scipy, files.
        quick = [item for test in self.quick for item in items.get(test, [])[:1]]
        for item, following in zip(quick, [*quick[1:], None], strict=True):
            item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
        self.failed.clear()
        forget_results()
        functions = functions_there()
        gc.freeze()

        def tried(code: CodeType, tests: list[str]) -> dict[str, object]:
            """The first of the tests that fails once functions have the code they have in another module."""
            swap(functions, code)
            wanted = [item for test in tests for item in items.get(test, [])]
            for item, following in zip(wanted, [*wanted[1:], None], strict=True):
                item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
                if self.failed:
                    break
            return {"failed": self.failed[:1]}

        self.each(tried)
        return True


def function_of(nodeid: str) -> str:
    """The test function without its parameters."""
    return nodeid.partition("[")[0]


def forked(work: Callable[[], object], *, seconds: float) -> object | None:
    """What some work gives in a process of its own; None where it took more processor time than it may."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.setsid()
            os.close(reading)
            nothing = os.open(os.devnull, os.O_RDWR)
            for stream in (0, 1, 2):
                os.dup2(nothing, stream)
            whole = int(seconds) + 1
            resource.setrlimit(resource.RLIMIT_CPU, (whole, whole + 1))
            resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
            os.write(writing, b" ")
            with os.fdopen(writing, "wb") as out:
                out.write(json.dumps(work()).encode())
        finally:
            os._exit(0)
    os.close(writing)
    parts = []
    # Processor time is what is limited; the clock is for a child that sleeps.
    ends = time.monotonic() + 60 + 20 * seconds
    while select.select([reading], [], [], max(0.0, ends - time.monotonic()))[0]:
        part = os.read(reading, 1 << 16)
        if not part:
            break
        parts.append(part)
    os.close(reading)
    with contextlib.suppress(ProcessLookupError):
        os.killpg(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    text = b"".join(parts).strip()
    if text:
        return json.loads(text)
    if os.WIFSIGNALED(status) and os.WTERMSIG(status) not in {signal.SIGXCPU, signal.SIGKILL}:
        return {"failed": [f"the process died of signal {os.WTERMSIG(status)}"]}
    return None


def at_home(cache: Path) -> None:
    """Settings that every child inherits: where it stands, and that it writes nothing beside the cache."""
    os.chdir(ROOT)
    sys.path[:0] = [path for path in (str(ROOT), str(ROOT / "tests")) if path not in sys.path]
    sys.pycache_prefix = str(cache / "bytecode")
    os.environ["HYPOTHESIS_STORAGE_DIRECTORY"] = str(cache / "hypothesis")
    os.environ["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"


def learn(files: list[str]) -> dict[str, object]:
    """What test files run, line by line, and how long each test takes; in the process that calls."""
    tracer = coverage.Coverage(
        data_file=None, config_file=False, include=[f"{ROOT}/soilx/{room}/*" for room in ROOMS]
    )
    watch = _Watch(tracer)
    tracer.start()
    tracer.switch_context("import")
    for file in modules():
        importlib.import_module(name_of(file))
    tracer.switch_context("collection")
    pytest.main([*OPTIONS, *files], plugins=[watch])
    tracer.stop()
    data = tracer.get_data()
    by_file = {
        Path(path).relative_to(ROOT).as_posix(): data.contexts_by_lineno(path)
        for path in data.measured_files()
    }

    def lines_in(context: str) -> dict[str, list[int]]:
        return {
            file: [line for line, found in lines.items() if context in found]
            for file, lines in by_file.items()
        }

    return {
        "seconds": watch.seconds,
        "failing": sorted(set(watch.failed)),
        "lines": {
            file: {line: [c for c in found if "::" in c] for line, found in lines.items()}
            for file, lines in by_file.items()
        },
        "at_import": lines_in("import"),
        "at_collection": lines_in("collection"),
    }


def first_failure(file: str, code: CodeType, tests: list[str]) -> dict[str, object]:
    """The first test that fails with other code in a file's place from import on; in this process."""
    import_instead(file, code)
    # Few tests first: they catch most, and collecting a file costs more than its quickest tests.
    for batch in (tests[:8], tests[8:]):
        if not batch:
            break
        watch = _Watch()
        ended = pytest.main([*OPTIONS, "-x", *batch], plugins=[watch])
        if watch.failed:
            return {"failed": watch.failed[:1]}
        if ended not in {pytest.ExitCode.OK, pytest.ExitCode.NO_TESTS_COLLECTED}:
            return {"failed": [f"pytest ended with {int(ended)}"]}
    return {"failed": []}


def warm(files: list[str], each: Callable[[Callable[..., object]], None], *, quick: list[str]) -> None:
    """Collect tests once and hand over what tries a mutant's functions on some of them, in a fork."""
    pytest.main([*OPTIONS, "-s", *files], plugins=[_Warm(each, quick)])
