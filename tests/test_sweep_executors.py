"""Sweeps on executors: the same answers to the last bit, in bounded memory, and none lost with a worker."""

import gc
import os
import pickle
import signal
import tracemalloc
from concurrent.futures import Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from itertools import cycle, islice
from multiprocessing import get_context
from pathlib import Path

import numpy as np
import pytest
from strategies import plain_soil

import soilx
from soilx.column.files import demo_path, read_scenario
from soilx.column.leaching import leach
from soilx.column.run import Run
from soilx.column.scenario import Scenario
from soilx.column.sweep import sweep
from soilx.column.sweep_stream import figures, sweep_stream
from soilx.errors import LimitError, ModelRangeError

PAIR = read_scenario(demo_path("pair.toml"))
SHORT = PAIR.with_(layers=3, displaced_fraction=1.0, wettings=["1 pore_volume"])
ARRAYS = ("concentrations", "exchanger", "gypsum", "water", "applied", "out_volume", "outflow")

CASES = tuple(
    base.with_(gypsum=f"{0.5 * number!r} g/kg")
    for number in range(4)
    for base in (SHORT, PAIR.with_(layers=6), SHORT.with_(wettings=["2.3 pore_volume"]))
)


@pytest.fixture(scope="module")
def pool():
    # Workers that start afresh: no thread of this process is copied into them half way.
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as workers:
        yield workers


def identical(one: Run, other: Run) -> None:
    for name in ARRAYS:
        here, there = getattr(one.trace, name), getattr(other.trace, name)
        assert here.tobytes() == there.tobytes(), name
        assert not there.flags.writeable
    assert one.start.tobytes() == other.start.tobytes()


def test_a_pool_gives_the_runs_of_one_process_to_the_last_bit__conservation(pool):
    here = sweep(CASES, chunk=2)
    told = []
    there = sweep(iter(CASES), chunk=2, executor=pool, progress=lambda *done: told.append(done))
    for one, other, scenario in zip(here, there, CASES, strict=True):
        identical(one, other)
        assert other.scenario is scenario
        assert figures(one) == figures(other)
    assert told == [(number, 12) for number in (2, 4, 6, 8, 10, 12)]
    # A run that has travelled is carried on like any other, and still cannot be written to.
    identical(here[1].then("1 pore_volume"), there[1].then("1 pore_volume"))
    with pytest.raises(ValueError, match="read-only"):
        there[0].start[0] = 0.0


def test_a_stream_gives_the_same_rows_with_a_pool_and_without__conservation(pool):
    told = []
    here = list(sweep_stream(CASES, chunk=5))
    there = list(sweep_stream(iter(CASES), chunk=5, executor=pool, progress=lambda *done: told.append(done)))
    assert here == there
    assert told == [(5, None), (10, None), (12, None)]
    for row, scenario in zip(here, CASES, strict=True):
        alone = figures(leach(scenario))
        assert row["soil"] == alone["soil"] == "Bed 7"
        for name in ("final_esp_pct", "sodium_leached_mg_per_kg", "gypsum_left_g_per_kg"):
            assert row[name] == pytest.approx(alone[name], rel=1e-9, abs=1e-9)
        assert row["largest_closing_error"] < 1e-9
    more = [row for row in here if row["water_pore_volumes"] == pytest.approx(2.3)]
    assert np.all(np.diff([row["final_esp_pct"] for row in more]) < 0)


def test_whole_runs_can_be_kept_with_every_step__conservation(pool):
    (kept,) = sweep_stream([PAIR], keep=itself, keep_steps=True, executor=pool)
    identical(sweep([PAIR])[0], kept)
    assert kept.balance["Na"].closing_error == pytest.approx(0, abs=1e-9)
    # What was derived, and kept beside the run, does not have to travel.
    identical(kept, pickle.loads(pickle.dumps(kept)))


def itself(run: Run) -> Run:
    return run


def once_killed(run: Run) -> tuple[float, bool]:
    """The answer, and whether a worker gave it; the worker that meets the last scenario is killed by it."""
    flag = Path(os.environ["SOILX_TEST_KILLED"])
    worker = os.getpid() != int(os.environ["SOILX_TEST_PARENT"])
    if worker and run.scenario.gypsum == CASES[-1].gypsum:
        flag.touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return run.final_esp_pct, worker


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="this system kills in another way")
def test_a_killed_worker_loses_no_result__conservation(tmp_path, monkeypatch):
    flag = tmp_path / "killed"
    monkeypatch.setenv("SOILX_TEST_KILLED", str(flag))
    monkeypatch.setenv("SOILX_TEST_PARENT", str(os.getpid()))
    wanted = [row["final_esp_pct"] for row in sweep_stream(CASES, chunk=2)]
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as workers:
        answers = sweep_stream(CASES, keep=once_killed, chunk=2, executor=workers, in_flight=2)
        first = [next(answers), next(answers)]
        assert not flag.exists()
        with pytest.warns(RuntimeWarning, match=r"lost work .*BrokenProcessPool.*it had finished is kept"):
            rest = list(answers)
        assert flag.exists()
    assert [esp for esp, _ in first + rest] == wanted
    by_worker = [worker for _, worker in first + rest]
    assert by_worker[:2] == [True, True]
    assert by_worker[-1] is False


def test_a_pool_that_is_closed_leaves_the_work_here__conservation():
    with ThreadPoolExecutor(1) as workers:
        pass
    with pytest.warns(RuntimeWarning, match="cannot schedule new futures") as said:
        runs = sweep(CASES, chunk=4, executor=workers)
    assert len(said) == 1
    for one, other in zip(sweep(CASES, chunk=4), runs, strict=True):
        identical(one, other)


class Losing(Executor):
    """Brings nothing back, in an error of its own."""

    def submit(self, fn, /, *args, **kwargs):  # noqa: ARG002
        future: Future[object] = Future()
        future.set_exception(OSError("the line is dead"))
        return future


def test_what_an_executor_does_not_bring_back_is_done_here__conservation():
    with pytest.warns(RuntimeWarning, match="OSError: the line is dead") as said:
        rows = list(sweep_stream(CASES, chunk=3, executor=Losing()))
    assert len(said) == 1
    assert rows == list(sweep_stream(CASES, chunk=3))


def failing(run: Run) -> float:
    raise ZeroDivisionError(run.scenario.soil.name)


def test_a_fault_in_what_is_kept_is_raised__analytic(pool):
    with (
        pytest.warns(RuntimeWarning, match="ZeroDivisionError"),
        pytest.raises(ZeroDivisionError, match="Bed 7"),
    ):
        list(sweep_stream(CASES, keep=failing, executor=pool))


def test_what_the_model_refuses_is_refused_on_a_pool_too__davies1962(pool):
    with pytest.raises(ModelRangeError) as here:
        list(sweep_stream([SHORT, too_strong()], chunk=1))
    answers = sweep_stream([SHORT, too_strong()], chunk=1, executor=pool)
    assert next(answers)["soil"] == "Bed 7"
    with pytest.raises(ModelRangeError) as there:
        next(answers)
    assert str(here.value) == str(there.value)


class Counting(Executor):
    """Does the work at once, and counts what has been handed over."""

    def __init__(self):
        self.handed = 0
        self.taken_back = 0

    def submit(self, fn, /, *args, **kwargs):
        self.handed += 1
        future: Future[object] = Future()
        if self.handed < 4:
            future.set_result(fn(*args, **kwargs))
        future.add_done_callback(lambda done: self.count(done))
        return future

    def count(self, done):
        self.taken_back += done.cancelled()


def endless():
    number = 0
    while True:
        yield SHORT.with_(gypsum=f"{0.01 * number!r} g/kg")
        number += 1


def test_scenarios_without_end_are_taken_as_there_is_room__analytic():
    crew = Counting()
    answers = sweep_stream(endless(), chunk=2, executor=crew, in_flight=3)
    assert crew.handed == 0
    rows = [next(answers) for _ in range(4)]
    assert [round(row["gypsum_g_per_kg"], 9) for row in rows] == [0.0, 0.01, 0.02, 0.03]
    assert crew.handed == 4  # two collected, and two more under way
    answers.close()
    assert crew.taken_back == 1


def test_memory_does_not_grow_with_the_number_of_scenarios__analytic():
    def most(count):
        gc.collect()
        tracemalloc.start()
        rows = 0
        # Collected after each chunk, so that what is measured is held and not only not yet swept up.
        for _ in sweep_stream(islice(cycle(CASES[:3]), count), chunk=10, progress=lambda *_: gc.collect()):
            rows += 1
        _, peak = tracemalloc.get_traced_memory()
        tracemalloc.stop()
        assert rows == count
        return peak

    most(10)  # what is loaded on first use
    # Two chunks or eight: what is kept of each is given away at once.
    few, many = most(20), most(80)
    assert many < 1.2 * few


@pytest.mark.parametrize("wrong", [0, -3, 2.5, True, "many"])
def test_a_number_at_a_time_that_is_none_is_refused__analytic(wrong):
    with pytest.raises(LimitError, match=r"chunk = .*whole number"):
        sweep([SHORT], chunk=wrong)
    with pytest.raises(LimitError, match="chunk = "):
        soilx.sweep_stream([SHORT], chunk=wrong)
    with pytest.raises(LimitError, match="in_flight = "):
        soilx.sweep_stream([SHORT], in_flight=wrong)


def test_a_cluster_s_executor_runs_a_sweep_unchanged__conservation():
    distributed = pytest.importorskip("distributed", reason="no cluster extra: sweeps on Dask are not tried")
    with (
        distributed.LocalCluster(
            n_workers=1, threads_per_worker=2, processes=False, dashboard_address=None
        ) as cluster,
        distributed.Client(cluster) as client,
    ):
        rows = list(sweep_stream(CASES, chunk=4, executor=client.get_executor()))
    assert rows == list(sweep_stream(CASES, chunk=4))


def too_strong() -> Scenario:
    return SHORT.with_(
        soil=plain_soil(other_anions="60 mmol_c/kg", driest_water="0.05 L/kg"),
        wettings=[{"amount": "0.1 pore_volume", "evapotranspiration": "0.15 L/kg"}],
    )
