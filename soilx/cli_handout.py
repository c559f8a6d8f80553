"""`soilx handout`: one page of a scenario, a decision, a bench record or a notebook, to keep and hand on."""

import contextlib
import json
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from soilx.handouts.write import Again

_READERS = ("gardener", "turf", "grower", "student")
_STEPS = 200


@click.command("handout")
@click.argument("source", metavar="SOURCE", type=click.Path(path_type=Path))
@click.option(
    "-o",
    "--output",
    "page",
    metavar="PAGE.html",
    type=click.Path(path_type=Path),
    help="The page to write; an older one is replaced. With --again the page itself unless given.",
)
@click.option("--for", "reader", type=click.Choice(_READERS), help="The short page for one of four readers.")
@click.option(
    "--units",
    type=click.Choice(("metric", "us")),
    default="metric",
    show_default=True,
    help="Units of the page.",
)
@click.option(
    "--paper", type=click.Choice(("a4", "letter")), help="What it is printed on; either unless given."
)
@click.option(
    "--pdf",
    metavar="PAGE.pdf",
    type=click.Path(path_type=Path),
    help="Print the page there too, with a Chromium that is present.",
)
@click.option("--again", is_flag=True, help="SOURCE is such a page: make it again and say what changed.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object for programs.")
@click.pass_context
def make_handout(
    context: click.Context,
    source: Path,
    page: Path | None,
    reader: str | None,
    units: str,
    paper: str | None,
    pdf: Path | None,
    again: bool,
    as_json: bool,
) -> int:
    """Write one page that opens without a network, moves with its sliders, and prints.

    SOURCE is a scenario or a decision (.toml), a bench record (.csv), or a notebook (.py), which is run;
    with --again it is a page (.html) that was made so.
    """
    if again:
        given = [
            name
            for name, option in (("--for", "reader"), ("--units", "units"), ("--paper", "paper"))
            if context.get_parameter_source(option) is click.core.ParameterSource.COMMANDLINE
        ]
        if given:
            raise click.UsageError(
                f"{given[0]}: is of no use with --again; the limit is ours: a page is made again as it was "
                "asked for; leave it out, or make a new page from the file."
            )
    if page is None and not again:
        raise click.UsageError(
            "-o: is missing; a page is a file, and its name is yours to give; write -o page.html."
        )
    # Charts take seconds to load: only who draws waits for them.
    from soilx.handouts.write import make_again, write_handout

    target = page or source
    remade: Again | None = None
    with _bar() as progress:
        if again:
            remade = make_again(source, target, progress=progress)
            size = remade.size
        else:
            size = write_handout(source, target, reader=reader, units=units, paper=paper, progress=progress)
    told: dict[str, Any] = {"page": str(target), "bytes": size}
    lines = [f"{click.format_filename(target)}: {size / 1000:.0f} kB"]
    if remade is not None:
        told |= _told(remade)
        lines += _lines(remade)
    if pdf is not None:
        from soilx.handouts.pdf import print_page

        sheets = print_page(target, pdf, paper=paper or "a4")
        told |= {"pdf": str(pdf), "sheets": sheets}
        lines.append(f"{click.format_filename(pdf)}: {sheets} {'sheet' if sheets == 1 else 'sheets'}")
    click.echo(
        json.dumps(told, allow_nan=False, ensure_ascii=False, indent=2) if as_json else "\n".join(lines)
    )
    return 0


def _told(remade: "Again") -> dict[str, Any]:
    return {
        "made_with": remade.version,
        "made_on": remade.made_on,
        "made_again_with": remade.now,
        "compared": remade.compared,
        "changed": [{"name": one.name, "before": one.before, "now": one.now} for one in remade.changes],
    }


def _lines(remade: "Again") -> list[str]:
    since = f"since it was made on {remade.made_on} with soilx {remade.version}"
    if not remade.changes:
        return [f"None of {remade.compared} key figures has changed {since}; this is soilx {remade.now}."]
    return [
        f"{len(remade.changes)} of {remade.compared} key figures changed {since}; this is soilx "
        f"{remade.now}:",
        *(f"  {one}" for one in remade.changes),
    ]


@contextlib.contextmanager
def _bar() -> Iterator[Callable[[float], None] | None]:
    """A progress bar where somebody looks; elsewhere nothing is in the way of the output."""
    if not sys.stderr.isatty():
        yield None
        return
    with click.progressbar(length=_STEPS, label="Making the page", file=sys.stderr) as bar:

        def progress(share: float) -> None:
            bar.update(max(0, round(_STEPS * min(share, 1.0)) - bar.pos))

        yield progress
