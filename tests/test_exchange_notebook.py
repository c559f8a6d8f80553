"""The exchange lesson runs headless, imports only marimo and soilx, and shows what the library computes."""

import ast
import importlib.util
import re
import subprocess
import sys
import time
from pathlib import Path
from types import SimpleNamespace

import pytest

from soilx.show import lesson

EXCHANGE = Path(__file__).resolve().parents[1] / "notebooks" / "exchange.py"
HEADLESS_SECONDS = 10.0

# What each control sets, and the picture that follows it.
CONTROLS = {
    "calcium": ("sites", "calcium"),
    "each_mass": ("milligrams", "each_mg_per_l"),
    "sodium_share": ("isotherm", "sodium_share_pct"),
    "calcium_added": ("beaker", "calcium_pct"),
    "thinned": ("dilution", "thinned"),
    "sodium_times": ("root", "times"),
    "water_sar": ("ratio", "sar"),
    "gypsum_added": ("plateau", "added_g_per_l"),
    "salt": ("steps", "salt_mmol_per_l"),
    "poured": ("layer", "water"),
    "agreement": ("conventions", "agree_at_esp_pct"),
}
SETTINGS = {
    "low": (0, 10, 0, 0, 1, 1, 0, 0, 0, 0, 0),
    "between": (4, 85, 92, 55, 4.5, 2.6, 13, 1.7, 35, 1.1, 22),
    "high": (12, 500, 99, 300, 50, 4, 100, 10, 200, 8, 30),
}


@pytest.fixture(scope="module")
def app():
    spec = importlib.util.spec_from_file_location("exchange", EXCHANGE)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module.app


@pytest.fixture(scope="module")
def opened(app):
    """Definitions of the lesson as it opens, and how long that took [s]."""
    began = time.perf_counter()
    _, shown = app.run()
    return shown, time.perf_counter() - began


def test_imports_are_marimo_and_soilx_only__common_practice():
    imported = set()
    for node in ast.walk(ast.parse(EXCHANGE.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            imported |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            imported.add(node.module.split(".")[0])
    assert imported == {"marimo", "soilx"}


def test_each_control_is_read_by_one_cell__common_practice():
    tree = ast.parse(EXCHANGE.read_text(encoding="utf-8"))
    read = [
        part.value.id
        for part in ast.walk(tree)
        if isinstance(part, ast.Attribute) and part.attr == "value" and isinstance(part.value, ast.Name)
    ]
    assert sorted(read) == sorted(CONTROLS)


def test_marimo_finds_nothing_to_say__common_practice():
    command = [sys.executable, "-m", "marimo", "check", "--strict", str(EXCHANGE)]
    checked = subprocess.run(command, capture_output=True, text=True, check=False)
    assert checked.returncode == 0, checked.stdout + checked.stderr


def test_it_runs_headless_within_10_s__common_practice(opened):
    assert opened[1] < HEADLESS_SECONDS


def test_it_opens_on_what_each_question_asks__analytic(opened):
    shown, _ = opened
    assert {name: shown[name].value for name in CONTROLS} == {
        "calcium": 6,
        "each_mass": 200,
        "sodium_share": 50,
        "calcium_added": 100,
        "thinned": 10,
        "sodium_times": 2,
        "water_sar": 60,
        "gypsum_added": 10,
        "salt": 0,
        "poured": 8,
        "agreement": 10,
    }


def test_every_picture_waits_for_a_guess__common_practice(opened):
    shown, _ = opened
    for picture, _ in CONTROLS.values():
        assert shown[f"{picture}_guess"].value == lesson.UNANSWERED
        assert not shown[f"{picture}_guess"].opened


@pytest.mark.parametrize("setting", SETTINGS)
def test_every_picture_shows_what_the_library_computes__analytic(app, setting):
    values = dict(zip(CONTROLS, SETTINGS[setting], strict=True))
    moved = {name: SimpleNamespace(value=value) for name, value in values.items()}
    _, shown = app.run(defs=moved | {f"{name}_slider": "" for name in values})
    for name, (picture, argument) in CONTROLS.items():
        expected = getattr(lesson, picture)(**{argument: values[name]})
        content = shown[f"{picture}_chart"].content
        assert content["caption"] == expected.caption
        assert content["records"] == {source: list(rows) for source, rows in expected.records.items()}
        assert content["table"]["rows"] == expected.table.rows


@pytest.mark.parametrize("setting", ["low", "high"])
def test_every_slider_ends_where_its_picture_was_tried__analytic(opened, setting):
    shown, _ = opened
    values = dict(zip(CONTROLS, SETTINGS[setting], strict=True))
    assert {name: getattr(shown[name].widget, setting) for name in CONTROLS} == values


def test_a_guess_stays_as_a_mark_in_its_picture__analytic(app, opened):
    guesses = {f"{picture}_guess": opened[0][f"{picture}_guess"] for picture, _ in CONTROLS.values()}
    made = {
        name: SimpleNamespace(opened=True, drawn=guess.choices[0].drawn) for name, guess in guesses.items()
    }
    questions = {name.replace("_guess", "_question"): "" for name in guesses}
    _, shown = app.run(defs=made | questions)
    marked = {
        picture: len(shown[f"{picture}_chart"].content["records"].get("guess", ()))
        for picture, _ in CONTROLS.values()
    }
    assert marked == {
        "sites": 0,
        "milligrams": 0,
        "isotherm": 1,
        "beaker": 1,
        "dilution": 1,
        "root": 1,
        "ratio": 1,
        "plateau": 1,
        "steps": 0,
        "layer": 1,
        "conventions": 0,
    }


@pytest.mark.parametrize(
    ("picture", "asked"),
    [
        ("isotherm", lambda: lesson.isotherm(sodium_share_pct=50)),
        ("beaker", lambda: lesson.beaker(calcium_pct=100)),
        ("dilution", lambda: lesson.dilution(thinned=10)),
        ("ratio", lambda: lesson.ratio(sar=60)),
        ("plateau", lambda: lesson.plateau(added_g_per_l=10)),
        ("layer", lambda: lesson.layer(water=8)),
    ],
)
def test_the_right_choice_is_the_nearest_to_what_the_library_computes__analytic(opened, picture, asked):
    guess = opened[0][f"{picture}_guess"]
    truth = asked().records["now"][0]["y"]
    distance = [abs(choice.drawn - truth) for choice in guess.choices]
    right = guess.widget.right
    assert distance.index(min(distance)) == right
    assert guess.choices[right].right


def test_the_right_choice_of_calcium_keeps_the_clay__analytic(opened):
    guess = opened[0]["root_guess"]
    chosen = guess.choices[guess.widget.right].drawn
    (mark,) = lesson.root(times=1, guessed_calcium_times=chosen).records["guess"]
    assert mark["y"] == pytest.approx(lesson.root(times=1).records["now"][0]["y"])


def test_the_page_ends_with_sources_cautions_and_what_is_left_out__common_practice():
    text = EXCHANGE.read_text(encoding="utf-8")
    end = text.index("ending = lesson.screen(")
    assert all(
        part in text[end:]
        for part in ("wording.MODEL_LEAVES_OUT", "wording.CAUTION_RATE", "lesson.bibliography(")
    )
    for said in ("**Notice.**", "**Ask yourself.**", "**Left out.**", "**The rule:"):
        assert text.count(said) == len(CONTROLS)


# The number of the caption that the goal is about, and where it is to be [unit of the caption].
REACHED = {
    "calcium": (r"water, (\d+) are still", 0, 0),
    "each_mass": (r"magnesium ([\d.]+)", 19.5, 20.65),
    "sodium_share": (r"holds ([\d.]+) %", 14.6, 15.4),
    "calcium_added": (r"to ([\d.]+) %", 0, 10.0),
    "thinned": (r"On the clay it goes from 27.2 % to ([\d.]+) %", 13.1, 13.8),
    "sodium_times": (r"12.9 % with calcium times (\d+)", 9, 9),
    "water_sar": (r"ESP ([\d.]+) %", 14.9, 15.1),
    "gypsum_added": (r"Left on the bottom: ([\d.]+) g", 0, 0.07),
    "salt": (r"pairs ([\d.]+),", 19.9, 20.2),
    "poured": (r"Gypsum left: ([\d.]+) g", 0, 0.005),
    "agreement": (r"agree at ESP (\d+) %", 20, 20),
}


@pytest.mark.parametrize("name", CONTROLS)
def test_a_goal_is_reached_where_it_says_and_not_where_the_page_opens__analytic(opened, name):
    shown, _ = opened
    goal, control = shown[f"{name}_goal"], shown[name]
    picture, argument = CONTROLS[name]
    pattern, least, most = REACHED[name]
    assert not goal.low <= control.value <= goal.high
    for value in (goal.low, goal.high):
        caption = getattr(lesson, picture)(**{argument: value}).caption
        found = float(re.search(pattern, caption)[1])
        assert least <= found <= most
    assert goal.quantity == control.widget.quantity


def test_a_goal_out_of_reach_is_refused__common_practice():
    slider = lesson.Control("Salt", "mmol/L", low=0, high=10, step=1, value=0, digits=0)
    with pytest.raises(ValueError, match="the slider goes from 0 to 10 mmol/L"):
        lesson.Goal("Too much.", slider.shown, low=11, high=12, done="")
