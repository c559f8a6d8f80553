"""A TOML text as its tables, and a table as its texts, or a refusal that names the file."""

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


def texts_of(name: str, where: str, table: object) -> dict[str, str]:
    """A table's values as text; numbers are taken where a plain number has a meaning.

    Parameters
    ----------
    name : str
        Of the file, for the refusal.
    where : str
        The table as the file writes it, such as "[soil]".
    table : object
        As the reader gives it.

    Raises
    ------
    FileError
        If it is no table, or holds what is neither text nor a number.
    """
    if not isinstance(table, dict):
        raise FileError(
            f"{name}, {where}: is not a table; the limit is the file's layout; write it as {where}."
        )
    texts: dict[str, str] = {}
    for key, value in table.items():
        if isinstance(value, bool) or not isinstance(value, str | int | float):
            raise FileError(
                f"{name}, {where}, {key} = {value}: is not text; the limit is the file's layout; write it in "
                "quotes, with its unit."
            )
        texts[key] = value if isinstance(value, str) else repr(value)
    return texts
