"""Where a bench record is while the page shows it: a file of a folder that was named, or this page alone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Final

from soilx.bench.record_reading import decoded, record_of_bytes
from soilx.bench.record_writing import add_portions, begin_record, change_portion, save_copy
from soilx.column.files import demo_path
from soilx.errors import FileError
from soilx.show.bench_folder import FILE_NAME, bytes_of, file_name, inside, is_inside
from soilx.show.bench_text import with_change, with_line, with_portion

if TYPE_CHECKING:
    from soilx.bench.record import Record

EXAMPLE: Final = "bench_block_c.csv"
EXAMPLE_SAID: Final = "An invented example: load yours, or begin your own."

_MOST_FILES: Final = 60


class Keep:
    """The record on the page, and the one place where it is kept.

    Parameters
    ----------
    folder : Path, optional
        Where records are saved at once; without it nothing is written anywhere.

    Attributes
    ----------
    folder : Path or None
    record : Record
        As it is now.
    raw : bytes
        The same as a file.
    is_example : bool
        Whether it is the invented run.
    """

    def __init__(self, folder: Path | None = None) -> None:
        self.folder = folder
        self.is_example = True
        self.raw = demo_path(EXAMPLE).read_bytes()
        self.record: Record = record_of_bytes(self.raw, name=EXAMPLE)
        if folder is not None:
            self._open_latest()

    @property
    def names(self) -> list[str]:
        """CSV files of the folder, the one changed last first."""
        if self.folder is None:
            return []
        try:
            files = [
                file
                for file in self.folder.iterdir()
                if FILE_NAME.fullmatch(file.name) and file.is_file() and is_inside(self.folder, file.name)
            ]
            return [file.name for file in sorted(files, key=lambda file: -file.stat().st_mtime)[:_MOST_FILES]]
        except OSError:
            return []

    @property
    def where(self) -> str:
        """Where what is typed goes, in one or two sentences."""
        if self.is_example:
            begin = (
                "Begin your own record to type."
                if self.folder
                else "What you change in it is not saved: download it to keep it."
            )
            return f"{EXAMPLE_SAID} {begin}"
        if self.folder is not None:
            return f"Each portion is saved at once in {self._path(self.record.name)}."
        return (
            "Nothing is saved on the computer that serves this page. Download the record before you leave: "
            "that file is your copy."
        )

    @property
    def text(self) -> str:
        """The record as text, for a download."""
        return decoded(self.raw)[0]

    def begin(self, name: str, text: str) -> None:
        """Begin a record: in the folder as a new file, else on this page.

        Parameters
        ----------
        name : str
            Of the file; ".csv" is added where it is missing.
        text : str
            What is known before the first portion.

        Raises
        ------
        FileError
            If the name is no file's, or there is such a file already.
        """
        called = file_name(name)
        if self.folder is None:
            self._take(record_of_bytes(text.encode(), name=called), text.encode())
        else:
            self._take(begin_record(self._path(called), text))

    def load(self, name: str, raw: bytes) -> None:
        """Take a record that was brought: into the folder as a new file, else on this page.

        Parameters
        ----------
        name : str
            Of the file.
        raw : bytes

        Raises
        ------
        FileError
            If there is no table of portions in it, or the folder has a file of that name.
        """
        record = record_of_bytes(raw, name=name)
        if self.folder is None:
            self._take(record, raw)
        else:
            self._take(begin_record(self._path(file_name(name)), decoded(raw)[0]))

    def open(self, name: str) -> None:
        """Open a record of the folder, as its file is now.

        Parameters
        ----------
        name : str
            One of `names`.

        Raises
        ------
        FileError
            If it is not in the folder, or there is no table of portions in it.
        """
        if self.folder is None or name not in self.names:
            raise FileError(f"{name}: is not in the folder; open one of those that are listed.")
        raw = bytes_of(self._path(name))
        self._take(record_of_bytes(raw, name=name), raw)

    def add(self, row: Mapping[str, str]) -> None:
        """Write one portion down.

        Parameters
        ----------
        row : mapping of str to str
            Texts by column, as typed.

        Raises
        ------
        FileError
            If it is there already, or cannot be written; nothing is changed.
        """
        if self._in_folder():
            self._take(add_portions(self._path(self.record.name), [row]))
        else:
            self._take_raw(with_portion(self.raw, row, name=self.record.name))

    def change(self, row: Mapping[str, str], was: Mapping[str, str]) -> None:
        """Change one portion.

        Parameters
        ----------
        row, was : mapping of str to str
            As it shall stand, and as it was.

        Raises
        ------
        FileError
            If it was changed by somebody else meanwhile, or cannot be written; nothing is changed.
        """
        if self._in_folder():
            self._take(change_portion(self._path(self.record.name), row, was=was))
        else:
            self._take_raw(with_change(self.raw, row, was, name=self.record.name))

    def line(self, line: Sequence[str]) -> None:
        """Write down something about soil, dose or instruments.

        Parameters
        ----------
        line : sequence of str
            Key, value, error, arm, replicate.

        Raises
        ------
        FileError
            If it cannot be read; nothing is changed then.
        """
        raw = with_line(self.raw, line, name=self.record.name)
        tried = record_of_bytes(raw, name=self.record.name)
        before = {problem.sentence for problem in self.record.problems}
        wrong = [one for one in tried.problems if one.column == line[0] and one.sentence not in before]
        if wrong:
            raise FileError(f"{wrong[0].sentence.rstrip('.')}; nothing was changed.")
        if self._in_folder():
            self._take(save_copy(self.record, raw, self._path(self.record.name)))
        else:
            self._take_raw(raw)

    def _in_folder(self) -> bool:
        if self.folder is not None and self.is_example:
            raise FileError(
                "The invented example is not saved; the limit is ours, so that nobody loses a run in it; "
                "begin your own record first, then type."
            )
        return self.folder is not None

    def _path(self, name: str) -> Path:
        return Path(name) if self.folder is None else inside(self.folder, name)

    def _take(self, record: Record, raw: bytes | None = None) -> None:
        self.raw = bytes_of(self._path(record.name)) if raw is None else raw
        self.record, self.is_example = record, False

    def _take_raw(self, raw: bytes) -> None:
        self.record, self.raw = record_of_bytes(raw, name=self.record.name), raw

    def _open_latest(self) -> None:
        """The record that was worked on last: a page that is loaded again stands where it stood."""
        for name in self.names:
            try:
                self.open(name)
            except FileError:
                continue
            return
