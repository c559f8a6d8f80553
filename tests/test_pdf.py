"""A page printed to PDF: what is refused, in which words, and that nothing half written is left."""

import sys

import pytest

from soilx.errors import FileError, LimitError
from soilx.handouts import pdf
from soilx.handouts.page_parts import document, paragraph
from soilx.handouts.pdf import PrintingError, print_page


@pytest.fixture
def page(tmp_path):
    path = tmp_path / "page.html"
    path.write_text(document("A title", paragraph("Some words")), encoding="utf-8")
    return path


def test_what_is_no_page_no_paper_or_no_place_is_refused__common_practice(page, tmp_path):
    with pytest.raises(LimitError, match=r"paper = a5: is not known here; .* a4 or letter"):
        print_page(page, tmp_path / "page.pdf", paper="a5")
    with pytest.raises(FileError, match="is not there; only a page that is a file"):
        print_page(tmp_path / "none.html", tmp_path / "page.pdf")
    with pytest.raises(FileError, match=r"is not named as a PDF; .* write page\.pdf"):
        print_page(page, tmp_path / "page.txt")
    with pytest.raises(FileError, match="is in a folder that does not exist"):
        print_page(page, tmp_path / "none" / "page.pdf")
    (tmp_path / "folder.pdf").mkdir()
    with pytest.raises(FileError, match="is a folder"):
        print_page(page, tmp_path / "folder.pdf")


def test_without_what_prints_it_is_said_how_to_get_it__common_practice(page, tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "playwright.sync_api", None)
    with pytest.raises(PrintingError, match=r"playwright is not installed; .* pip install 'soilx\[pdf\]'"):
        print_page(page, tmp_path / "page.pdf")
    assert list(tmp_path.iterdir()) == [page]


def test_without_a_browser_it_is_said_which_one_prints__common_practice(tmp_path, monkeypatch):
    monkeypatch.delenv("SOILX_CHROMIUM", raising=False)
    monkeypatch.setattr("shutil.which", lambda _: None)
    with pytest.raises(PrintingError, match=r"no Chromium was found; .* SOILX_CHROMIUM"):
        pdf._chromium(str(tmp_path / "none"))
    # A browser that playwright brought itself will do.
    own = tmp_path / "own"
    own.touch()
    assert pdf._chromium(str(own)) == str(own)
    monkeypatch.setenv("SOILX_CHROMIUM", str(tmp_path / "named"))
    with pytest.raises(PrintingError, match="no Chromium was found"):
        pdf._chromium(str(own))


def test_a_printed_page_takes_the_place_of_the_older_one_whole__common_practice(page, tmp_path, monkeypatch):
    made = tmp_path / "page.pdf"
    made.write_bytes(b"older")

    def gives_up(*_):
        raise PrintingError("pdf: the browser gave up.")

    with monkeypatch.context() as broken:
        broken.setattr(pdf, "_printed", gives_up)
        with pytest.raises(PrintingError):
            print_page(page, made)
    assert made.read_bytes() == b"older"
    monkeypatch.setattr(pdf, "_printed", lambda *_: b"%PDF /Type /Page /Type /Pages /Type /Page")
    assert print_page(page, made) == 2
    assert made.read_bytes().startswith(b"%PDF")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["page.html", "page.pdf"]
