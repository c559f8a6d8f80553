"""A TOML text as its tables, or a refusal that names the file."""

import tomllib
from typing import Any

from soilx.errors import FileError


def document_of(text: str, *, name: str) -> dict[str, Any]:
    """Tables of a TOML text.

    Parameters
    ----------
    text : str
    name : str
        Of the file, for the refusal.

    Raises
    ------
    FileError
        If it is not TOML, or more than a computer reads: brackets by the thousand, an integer of a page.
    """
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise FileError(
            f"{name}: is not TOML: {error}; the limit is the format's; correct that line."
        ) from error
    except (RecursionError, ValueError) as error:
        raise FileError(
            f"{name}: holds brackets or numbers that go on and on; the limit is the reader's; write it like "
            "data_demo/pair.toml."
        ) from error
