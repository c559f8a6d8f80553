"""The verification page: every check on it, whatever becomes of it, and what fails marked in words."""

import html
import re
from dataclasses import replace

import pytest

from soilx import cli
from soilx.handouts.page_text import text
from soilx.verification import CLAIMS, Claim, Label, Verdict, examine, verify
from soilx.verification.page import TOPICS, summary, verification_page, write_page
from soilx.verification.page_check import FAILED, LABELS, check, label_of, said
from soilx.verification.pictures import PICTURES
from soilx.verification.printed import signed


@pytest.fixture(scope="module")
def verdicts():
    return verify()


@pytest.fixture(scope="module")
def page(verdicts):
    return verification_page(verdicts, pictures=())


def failing(**more):
    given = {
        "id": "gypsum.injected",
        "claim": "Two and two are five.",
        "source": "arithmetic",
        "label": Label.EXACT,
        "inputs": {"of": ("2", "2")},
        "printed": "5",
        "compute": lambda **_: 4.0,
        "unit": "mmol/L",
    }
    return Claim(**given | more)


def plain(markup):
    return html.unescape(re.sub(r"<[^>]+>", "", re.sub(r"</(p|dt|dd|td|th|h\d|caption)>", "\n", markup)))


def test_every_check_is_on_the_page_with_all_of_its_values__analytic(page, verdicts):
    assert page.count('<section class="check"') == len(CLAIMS)
    sections = {
        found[1]: found[0]
        for found in re.finditer(r'<section class="check" id="([^"]+)">.*?</section>', page, flags=re.DOTALL)
    }
    for verdict in verdicts:
        claim = verdict.claim
        shown = plain(sections["check-" + claim.id.replace(".", "-")])
        lines = shown.split("\n")
        # As it is set in print: mmol_c with a lowered c.
        for told in (claim.claim, claim.citation, claim.note, claim.why_tolerance):
            assert plain(text(told)) in shown
        assert claim.id in lines
        assert any(label_of(claim.label) in line for line in lines)
        for printed in claim.entries.values():
            assert printed in lines
        for value in verdict.computed.values():
            assert (value if isinstance(value, str) else f"{value:.6g}".replace("-", "−")) in shown
        # One word apart from the others: nobody takes context for a check that holds.
        assert ("Holds" in lines) is claim.gating
        assert ("Only shown, decides nothing" in lines) is not claim.gating


def test_what_decides_and_what_is_only_shown_stand_apart__analytic(page, verdicts):
    decide, shown = page.split("Only shown: nothing depends on these")
    for verdict in verdicts:
        anchor = f'id="check-{verdict.claim.id.replace(".", "-")}"'
        assert (anchor in decide) is verdict.claim.gating
        assert (anchor in shown) is not verdict.claim.gating
    gating = [verdict for verdict in verdicts if verdict.claim.gating]
    assert summary(verdicts).startswith(f"{len(gating)} of {len(gating)} checks that decide hold")
    assert FAILED not in plain(page).replace("Decide and FAILED", "")
    assert {claim.topic for claim in CLAIMS} <= set(TOPICS)


def test_recalled_values_keep_their_dagger__analytic(page):
    assert set(LABELS) == {label_of(label) for label in Label}
    recalled = [claim for claim in CLAIMS if claim.label is Label.RECALLED]
    assert recalled
    assert page.count("<dd>recalled †</dd>") == len(recalled)


def test_a_check_that_fails_stands_first_and_in_its_place__analytic(verdicts):
    broken = examine(failing())
    page = verification_page([*verdicts, broken], pictures=())
    assert "1 FAILED: 58 of 59 checks that decide hold" in plain(page)
    assert page.count("Two and two are five.") == 3  # in the list, whole, and among its like
    assert page.index("What failed") < page.index("How to read this page")
    assert 'href="#check-gypsum-injected"' in page
    assert page.count('id="check-gypsum-injected"') == 1
    told = plain(check(broken, level=3)).split("\n")
    assert told[1] == FAILED
    assert told[-7:-1] == ["value", "FAILED", "5", "4", "−1", "0.5"]


@pytest.mark.parametrize(
    ("printed", "compute", "told"),
    [
        ("5", lambda **_: 1 / 0, ["value", "FAILED", "5", "nothing", "none to tell", "0.5"]),
        ("5", lambda **_: float("nan"), ["value", "FAILED", "5", "nan", "none to tell", "0.5"]),
        ("falls", lambda **_: "rises", ["value", "FAILED", "falls", "rises", "another", "the same"]),
        ("falls", lambda **_: "falls", ["value", "holds", "falls", "falls", "none", "the same"]),
        ({"a": "5"}, lambda **_: {"a": 5.0, "b": 2.0}, ["b", "FAILED", "nothing", "2", "", ""]),
        (
            {"K_V_at_0.2 x": "5"},
            lambda **_: {"K_V_at_0.2 x": 5.1},
            ["K_V at 0.2 x", "holds", "5", "5.1", "+0.1", "0.5"],
        ),
    ],
)
def test_each_value_is_judged_in_words__analytic(printed, compute, told):
    verdict = examine(failing(printed=printed, compute=compute))
    shown = plain(check(verdict, level=3)).split("\n")
    assert shown[-7:-1] == told
    assert shown[1] == ("Holds" if verdict.ok else FAILED)
    assert ("ZeroDivisionError: division by zero" in shown) is bool(verdict.failure)


def test_context_is_shown_with_its_difference_and_not_judged__analytic():
    shown = plain(check(examine(failing(gating=False)), level=3))
    assert "Only shown, decides nothing" in shown
    assert "−1" in shown
    assert FAILED not in shown
    assert "holds" not in shown.lower()


def test_what_a_claim_says_is_inert__analytic():
    hostile = failing(claim='<script>alert("1")</script>.', note="<b>bold</b>", printed="<i>")
    page = verification_page([examine(hostile)], pictures=())
    assert "<script" not in page
    assert "<b>" not in page
    assert "<i>" not in page


def broken_picture():
    raise ArithmeticError("no <line>")


def test_a_picture_that_cannot_be_drawn_says_so__analytic():
    page = verification_page([examine(failing())], pictures=(broken_picture,))
    assert "Picture 1 could not be drawn: ArithmeticError: no &lt;line&gt;" in page
    assert "Two and two are five." in page


def test_pictures_draw_the_printed_values_and_the_model_beside_them__its_own_source():
    printed = {claim.id: claim.entries for claim in CLAIMS}
    for draw in PICTURES:
        picture = draw()
        assert set(picture.checks) <= set(printed)
        records = picture.content["records"]
        drawn = {round(float(mark["y"]), 9) for mark in records["marks"]}
        drawn |= {end for each in records["bands"] for end in (each["low"], each["high"])}
        first = printed[picture.checks[0]]
        wanted = [number for one in first.values() for number in map(float, one.split("–"))]
        assert {round(number, 9) for number in wanted} <= drawn
        # Every line lies in sight, and under its own printed marks by no more than an eye can tell.
        names = {row["name"] for row in records["lines"]}
        assert {mark["name"] for mark in records["marks"]} <= names
        assert len(picture.content["table"]["rows"]) >= 6
        assert len(picture.content["caption"]) > 100


def test_the_command_writes_the_page_and_fails_with_the_check__analytic(tmp_path, monkeypatch, capsys):
    few = [claim for claim in CLAIMS if claim.id in ("gypsum.masses", "clarity.turbidity")]
    path = tmp_path / "page.html"
    monkeypatch.setattr(cli, "verify", lambda: verify(few))
    assert cli.run_command(["verify", "--html", str(path)]) == 0
    said_ = capsys.readouterr()
    assert re.fullmatch(r".*page\.html: \d+ kB\. 1 of 1 checks that decide hold.*\n", said_.out)
    whole = path.read_text("utf-8")
    assert whole.count("<figure>") == len(PICTURES)
    assert "could not be drawn" not in whole
    monkeypatch.setattr(cli, "verify", lambda: verify([*few, failing()]))
    monkeypatch.setattr("soilx.verification.page.PICTURES", ())
    assert cli.run_command(["verify", "--html", str(path)]) == 1
    said_ = capsys.readouterr()
    assert "1 FAILED: 1 of 2" in said_.out
    assert "gypsum.injected" in said_.err
    assert "Two and two are five." in path.read_text("utf-8")


@pytest.mark.parametrize("name", ["page.txt", "nowhere/page.html"])
def test_a_page_that_has_no_place_is_refused_before_the_work__analytic(name, tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(cli, "verify", lambda: pytest.fail("worked for nothing"))
    assert cli.run_command(["verify", "--html", str(tmp_path / name)]) == 2
    assert "page = " in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_a_page_is_written_whole__analytic(tmp_path, monkeypatch):
    path = tmp_path / "page.html"
    monkeypatch.setattr("soilx.verification.page.PICTURES", ())
    size = write_page([examine(failing())], path)
    assert size == path.stat().st_size
    assert path.read_text("utf-8").endswith("</html>\n")


def test_inputs_are_said_in_words__analytic():
    assert said({"esp_pct": ("0", "5.8"), "of": (("NaCl", 1.0), ("KCl", 2.5))}) == (
        "esp pct: 0, 5.8; of: (NaCl, 1), (KCl, 2.5)"
    )
    assert said((4.58, None)) == "4.58, none"


def test_a_difference_has_a_sign_unless_it_is_none__analytic():
    assert [signed(one, ".2f") for one in (1.234, -1.236, 0.001, -0.001, 0.0)] == [
        "+1.23",
        "−1.24",
        "0.00",
        "0.00",
        "0.00",
    ]
    assert signed(float("-inf"), ".2g") == "−inf"


def test_a_verdict_judges_each_entry__analytic():
    verdict = Verdict(claim=failing(printed={"a": "1", "b": "2"}), computed={"a": 1.4})
    assert verdict.holds("a")
    assert not verdict.holds("b")
    assert not verdict.ok
    whole = replace(verdict, computed={"a": 1.4, "b": 2.0})
    assert whole.ok
