"""A notebook as a handout: its prose, charts and settings without its code, flattened to one still page."""

from __future__ import annotations

import ast
import contextlib
import datetime as dt
import importlib.util
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, Final, NoReturn

import marimo
from anywidget import AnyWidget

from soilx import wording
from soilx.column.scenario import Scenario
from soilx.errors import FileError, quoted, refuse
from soilx.handouts.live_charts import LivePart, live_part
from soilx.handouts.notebook_paper import Paper
from soilx.handouts.on_screen import Sight
from soilx.handouts.page_parts import document, made_line, paragraph, section
from soilx.handouts.page_text import text
from soilx.handouts.settings_grid import grid_of
from soilx.show.prediction import SHOWN

Setting = tuple[Scenario, str]
"""What a page's sliders begin with, and the unit that its gypsum rate is read in."""

#: What is set on a widget as soon as it is there, since paper cannot be asked for more: every question is
#: open. A new kind that hides something is one more line: the traits that tell it, and what shows all of it.
OPENED: Final[tuple[tuple[frozenset[str], Callable[[Any], dict[str, Any]]], ...]] = (
    (frozenset({"question", "replies", "answer"}), lambda _: {"answer": SHOWN}),
)

SHOWN_WHOLE: Final = ("--show", "all")
"""What a notebook reads as ``mo.cli_args().get("show")``, should it hide more than its widgets do."""


def notebook_page(notebook: Path, *, told: Callable[[float], None] | None = None) -> str:
    """The page of a notebook, every control where it starts and every question open.

    Parameters
    ----------
    notebook : Path
        A marimo notebook (.py). It is run.
    told : callable, optional
        Is told how far the work is, from 0 to 1.

    Raises
    ------
    FileError
        If it cannot be read, is not a notebook, or stops with an error.
    """
    title = _app_title(notebook)
    outputs, widgets, defined = _run(notebook)
    # A notebook that can save its page says by that which scenario its sliders move.
    saves = [one for one in defined.values() if isinstance(one, AnyWidget) and hasattr(one, "setting")]
    return _page(
        Paper(outputs, widgets, title=title),
        otherwise=notebook.stem,
        stands=f"Every control stands where it starts in {notebook.name}.",
        still="As the page opens",
        setting=saves[0].setting if saves else None,
        told=told,
    )


def screen_page(
    outputs: Sequence[str],
    widgets: Mapping[str, Any],
    *,
    title: str,
    name: str,
    setting: Setting | None = None,
    told: Callable[[float], None] | None = None,
    day: dt.date | None = None,
) -> str:
    """The page of what a notebook shows now: every control where it stands, every guess as it was made.

    Parameters
    ----------
    outputs : sequence of str
        Markup of what its cells show, in the order of the page.
    widgets : mapping of str to widget
        All that are in it, by their address.
    title : str
        Of the page.
    name : str
        Of the notebook.
    setting : tuple of Scenario and str, optional
        The scenario on screen, whose sliders stay alive, and the unit its rate is read in.
    told : callable, optional
        Is told how far the work is, from 0 to 1.
    day : date, optional
        As printed; today unless given.
    """
    return _page(
        Paper(outputs, widgets, title=title, sight=Sight.of(widgets.values())),
        otherwise=name,
        stands=f"Saved from the {name} page; every control stands as it stood there.",
        still="As it stood on the screen",
        setting=setting,
        told=told,
        day=day,
    )


def _page(
    paper: Paper,
    *,
    otherwise: str,
    stands: str,
    still: str,
    setting: Setting | None,
    told: Callable[[float], None] | None,
    day: dt.date | None = None,
) -> str:
    cautions = () if wording.CAUTION_RATE in paper.body else (wording.CAUTION_RATE,)
    moving = () if setting is None else (_moving(*setting, told),)
    return document(
        paper.title or otherwise,
        paragraph(f"{stands} {made_line(day)}", look="small"),
        *(part.markup for part in moving),
        *((f"<h2>{text(still)}</h2>",) if moving else ()),
        paper.body,
        *(section(heading, markup) for heading, markup in paper.appendices),
        *(paragraph(caution, look="soilx-caution") for caution in cautions),
        live=moving,
    )


def _moving(scenario: Scenario, unit: str, told: Callable[[float], None] | None) -> LivePart:
    def progress(done: int, total: int) -> None:
        if told is not None:
            told(done / max(1, total))

    return live_part(grid_of(scenario, gypsum_unit=unit, progress=progress))


def _app_title(notebook: Path) -> str:
    """The title that a notebook gives its app, empty where it gives none; another program is not run."""
    try:
        parts = list(ast.walk(ast.parse(notebook.read_bytes())))
    except (OSError, SyntaxError, ValueError) as failure:
        why = getattr(failure, "strerror", None) or "it is not Python"
        _refuse_notebook(notebook, f"cannot be read ({why})", "a notebook is a Python file")
    imported = any(
        name.name == "marimo" for part in parts if isinstance(part, ast.Import) for name in part.names
    )
    apps = [part for part in parts if isinstance(part, ast.Call) and getattr(part.func, "attr", "") == "App"]
    if not (imported and apps):
        _refuse_notebook(notebook, "has no notebook in it", "a notebook says app = marimo.App()")
    titles = [keyword.value for keyword in apps[0].keywords if keyword.arg == "app_title"]
    return next((str(title.value or "") for title in titles if isinstance(title, ast.Constant)), "")


def _refuse_notebook(notebook: Path, wrong: str, limit: str) -> NoReturn:
    remedy = "give a notebook, or a scenario"
    refuse("notebook", str(notebook), "", wrong=wrong, limit=limit, remedy=remedy, error=FileError)


def _run(notebook: Path) -> tuple[list[str], dict[str, Any], Mapping[str, Any]]:
    """Outputs of a notebook in the order of its cells, its widgets by their address, and what it defines."""
    widgets: list[Any] = []
    # A notebook is made to be run; whatever it raises is its own affair, and one line for whoever ran it.
    try:
        with _watching(widgets), _beside(notebook):
            spec = importlib.util.spec_from_file_location(f"_notebook_{notebook.stem}", notebook)
            if spec is None or spec.loader is None:
                raise ImportError("Python cannot load it")
            module = importlib.util.module_from_spec(spec)
            spec.loader.exec_module(module)
            app = getattr(module, "app", None)
            if not isinstance(app, marimo.App):
                _refuse_notebook(notebook, "has no notebook in it", "a notebook says app = marimo.App()")
            shown, defined = app.run()
    except FileError:
        raise
    except (Exception, SystemExit) as failure:
        raise FileError(
            f"notebook = {quoted(str(notebook))}: stops with {type(failure).__name__}: "
            f"{quoted(str(failure))}; a handout needs a notebook that runs from top to end; open it and mend "
            "that cell."
        ) from failure
    outputs = [marimo.as_html(output).text for output in shown if output is not None]
    addressed = {widget.model_id: widget for widget in widgets if getattr(widget, "model_id", None)}
    return outputs, addressed, defined


@contextlib.contextmanager
def _watching(found: list[Any]) -> Iterator[None]:
    """Every widget that is made meanwhile, opened as paper needs it."""
    # There is one hook, and the notebook's own machinery hangs on it, or takes it while the notebook runs:
    # whoever takes it meanwhile is called after us, and has it afterwards.
    owner = next(kind for kind in AnyWidget.__mro__ if "on_widget_constructed" in vars(kind))
    hang = owner.on_widget_constructed
    following = AnyWidget._widget_construction_callback

    def take(callback: Any) -> None:
        nonlocal following
        following = callback

    def made(widget: Any) -> None:
        for traits, settings in OPENED:
            if all(widget.has_trait(trait) for trait in traits):
                for trait, value in settings(widget).items():
                    setattr(widget, trait, value)
        found.append(widget)
        if following is not None:
            following(widget)

    hang(made)
    owner.on_widget_constructed = staticmethod(take)
    try:
        yield
    finally:
        owner.on_widget_constructed = staticmethod(hang)
        hang(following)


@contextlib.contextmanager
def _beside(notebook: Path) -> Iterator[None]:
    """A notebook finds the modules beside it, as when it is served, and is told that all of it is wanted."""
    folder, arguments = str(notebook.resolve().parent), sys.argv
    sys.path.insert(0, folder)
    sys.argv = [str(notebook), *SHOWN_WHOLE]
    try:
        yield
    finally:
        sys.argv = arguments
        with contextlib.suppress(ValueError):
            sys.path.remove(folder)
