"""The drawing library that a page carries with it, bundled once a process."""

from __future__ import annotations

import functools
from typing import Final

import altair as alt
import vl_convert

_LAST: Final = "soilxLastLine"


def with_library(script: str) -> str:
    """A script that can draw: within it, ``vegaEmbed`` is the drawing library's.

    Parameters
    ----------
    script : str
        Statements without imports and exports; what they return, the whole returns.

    Returns
    -------
    str
        One expression of a function that is called: no name of the library or the script leaks from it.

    Notes
    -----
    Bundling is seconds of work, so that the library is bundled once and each script is put behind it.
    """
    library, name = _bundled()
    return f"(() => {{{library}\nreturn ((vegaEmbed) => {{\n{script}\n}})({name});\n}})()"


@functools.cache
def _bundled() -> tuple[str, str]:
    """The library's statements, and its name among them."""
    version = ".".join(alt.SCHEMA_VERSION.lstrip("v").split(".")[:2])
    bundle = vl_convert.javascript_bundle(f"{_LAST}(vegaEmbed);", vl_version=version)
    library, _, last = bundle.rpartition(f"{_LAST}(")
    return library, last.partition(")")[0]
