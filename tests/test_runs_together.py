"""Columns of several sessions stepped as one array: each gets its own, and hears of its own refusal."""

import threading
import time

import pytest

import soilx
from soilx.show import runs_together
from soilx.show.runs_together import Turns

PAIR = soilx.read_scenario(soilx.demo_path("pair.toml"))


def dosed(number):
    return PAIR.with_(gypsum=f"{0.5 + 0.25 * number!r} g/kg", wettings=["1 pore_volume"])


def all_at_once(turns, asked):
    """What each of many threads gets, by its number: runs, or what it was refused with."""
    got = {}
    start = threading.Barrier(len(asked))

    def one(number, scenarios):
        start.wait()
        try:
            got[number] = turns.run(scenarios)
        except Exception as refusal:
            got[number] = refusal

    threads = [threading.Thread(target=one, args=given) for given in enumerate(asked)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=60)
        assert not thread.is_alive()
    return got


def test_everyone_gets_the_runs_of_their_own_scenarios__analytic():
    asked = [[dosed(number), dosed(number).without_gypsum()] for number in range(12)]
    got = all_at_once(Turns(), asked)
    for number, scenarios in enumerate(asked):
        alone = [soilx.leach(scenario) for scenario in scenarios]
        assert [run.scenario for run in got[number]] == scenarios
        for together, by_itself in zip(got[number], alone, strict=True):
            # Stepped in another company, the solver leaves other traces, far below what is shown.
            assert together.final_esp_pct == pytest.approx(by_itself.final_esp_pct, rel=1e-8)
            assert all(abs(account.closing_error) < 1e-9 for account in together.balance.values())


def test_who_waits_is_stepped_in_one_turn__analytic(monkeypatch):
    turns_taken = []
    real = runs_together.sweep

    def slow(scenarios):
        turns_taken.append(len(scenarios))
        time.sleep(0.05)
        return real(scenarios)

    monkeypatch.setattr(runs_together, "sweep", slow)
    all_at_once(Turns(), [[dosed(number)] for number in range(10)])
    assert sum(turns_taken) == 10
    assert len(turns_taken) <= 3


def test_a_refusal_is_heard_by_its_own_alone__analytic(monkeypatch):
    real = runs_together.sweep

    def refusing(scenarios):
        if any(scenario.title == "refused" for scenario in scenarios):
            raise soilx.SoilxError("refused: as asked.")
        return real(scenarios)

    monkeypatch.setattr(runs_together, "sweep", refusing)
    bad = dosed(0).with_(title="refused")
    got = all_at_once(Turns(), [[dosed(1)], [bad], [dosed(2)], [bad], [dosed(3)]])
    assert [isinstance(got[number], soilx.SoilxError) for number in range(5)] == [
        False,
        True,
        False,
        True,
        False,
    ]


def test_whoever_is_stopped_leaves_nobody_waiting__analytic(monkeypatch):
    turns = Turns()
    calls = []

    def stopped(_):
        calls.append(1)
        raise KeyboardInterrupt

    real = runs_together.sweep
    monkeypatch.setattr(runs_together, "sweep", stopped)
    with pytest.raises(KeyboardInterrupt):
        turns.run([dosed(1)])
    monkeypatch.setattr(runs_together, "sweep", real)
    (run,) = turns.run([dosed(1)])
    assert run.scenario == dosed(1)
    assert calls == [1]
