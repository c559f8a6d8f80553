"""The programme in words: visits with dates and water, the years, the floor, when to test again."""

from __future__ import annotations

from soilx.practice.seasons.programme import Programme
from soilx.practice.seasons.programme_columns import IN_WATER, NOTHING, TREATED
from soilx.practice.seasons.programme_followup import monitoring, when_to_stop
from soilx.practice.seasons.programme_table import by_application, by_year, notes_of, outcome
from soilx.show.field_answer import Answer
from soilx.show.field_rate_words import amount
from soilx.show.word_sheet import Block, Sheet, folded, grid, line, points
from soilx.units import Kind, express
from soilx.wording import CAUTION_RATE


def show_programme(sheet: Sheet, programme: Programme, answer: Answer) -> None:
    """Put a programme on its sheet.

    Parameters
    ----------
    sheet : Sheet
    programme : Programme
    answer : Answer
        To which it belongs.
    """
    said = _capital(f"{outcome(programme)}.")
    blocks = [
        line(said, "strong"),
        line(
            f"For {amount(spread_t_per_ha(programme))} t/ha of pure gypsum, as chosen above when the "
            "years were "
            "last worked out.",
            "note",
        ),
    ]
    if answer.rate_allowed:
        blocks += [line(CAUTION_RATE, "caution"), *_visits(programme)]
    else:
        blocks.insert(
            0,
            line(
                f"Not a plan to follow: {answer.decision.verdict}. It shows what would come of the "
                "gypsum all the same.",
                "stop",
            ),
        )
    sheet.put(
        *blocks,
        *_floors(programme),
        _years(programme),
        folded("What was assumed", points(_capital(f"{note.rstrip('.')}.") for note in notes_of(programme))),
        spoken=said,
    )


def show_follow_up(sheet: Sheet, programme: Programme | None, answer: Answer) -> None:
    """Put on a sheet when to test the soil again, and when to stop.

    Parameters
    ----------
    sheet : Sheet
    programme : Programme or None
    answer : Answer
    """
    alike = line(
        "Test the same depth, in the same season, at the same laboratory, by the same method. "
        "Otherwise the two "
        "tests do not compare. An ESP that moved by 1 or 2 may be chance: soil tests scatter by 9 to 13 %."
    )
    if programme is None or not answer.rate_allowed:
        sheet.put(
            line(
                "Nothing is spread yet, so there is no retest to date. Test again in the same season "
                "next year, or "
                "as soon as what is missing is known."
            ),
            alike,
        )
        return
    tests = monitoring(programme)
    retest = next((test for test in tests if test.why.startswith("after visit")), tests[-1])
    sheet.put(
        line(f"Test the soil again on {retest.day}, {retest.why.partition(';')[0]}.", "strong"),
        alike,
        grid(
            ("Day", "Why", "ESP expected, %", "Its band, %", "Without gypsum, %", "More than chance?"),
            [
                (
                    test.day.isoformat(),
                    test.why,
                    f"{test.expected_esp_pct:.1f}",
                    _band(test.low_pct, test.high_pct),
                    f"{test.untreated_esp_pct:.1f}",
                    {True: "yes", False: "no", None: "the first test"}[test.shows],
                )
                for test in tests
            ],
            caption="When to test, and what to expect",
        ),
        line("When to stop", "title"),
        points(f"{stop.day}: {stop.sentence}." for stop in when_to_stop(programme)),
    )


def _visits(programme: Programme) -> list[Block]:
    rows = by_application(programme)
    return [
        grid(
            (
                "Visit",
                "Day",
                f"{programme.plan.product.name}, lb/1000 ft²",
                "t/ha",
                "Water after it, mm",
                "Leach with, mm",
                "ESP before, %",
                "ESP after, %",
                "Without gypsum, %",
            ),
            [
                (
                    str(row["visit"]),
                    row["date"],
                    amount(row["product_lb_per_1000_ft2"]),
                    amount(row["product_t_per_ha"]),
                    f"{row['water_in_mm']:.0f}",
                    f"{row['leach_mm']:.0f}" if row["leach_mm"] else "–",
                    f"{row['esp_before_pct']:.1f}",
                    f"{row['esp_after_pct']:.1f} on {row['read_on']}",
                    f"{row['untreated_esp_pct']:.1f}",
                )
                for row in rows
            ],
            caption="Visits",
        ),
        folded(
            "Which of this is common practice",
            points(f"{_capital(what)} ({label})." for what, label in programme.plan.practice),
        ),
    ]


def _floors(programme: Programme) -> list[Block]:
    floor, concentrated = programme.floor_esp_pct, programme.concentrated_floor_esp_pct
    said = []
    if floor is None:
        said.append("Rain alone waters this ground: there is no irrigation water, and no floor of one.")
    else:
        said.append(
            f"The water's own floor is ESP {floor:.1f}"
            + (f"; as the roots concentrate it, {concentrated:.1f}." if concentrated is not None else ".")
            + " More gypsum than that takes buys nothing that lasts."
        )
    better = programme.floor_with_gypsum_esp_pct
    if IN_WATER in programme.columns and better is not None:
        said.append(
            f"Or the same gypsum in the irrigation water, {2 * programme.carried:.3g} meq/L, "
            f"{programme.gypsum_in_water_kg_per_ha:.0f} kg/ha of pure gypsum a year: ESP "
            f"{programme.path(IN_WATER).esp_pct[-1]:.1f} after {programme.run.years} years, floor "
            f"{better:.1f}."
        )
    return [points(said)]


def _years(programme: Programme) -> Block:
    names = programme.columns
    return folded(
        "Year by year",
        grid(
            (
                "Year",
                "Day",
                "Pure gypsum so far, t/ha",
                *(f"ESP {name}, %" for name in names),
                "Band, treated",
                "Band, doing nothing",
            ),
            [
                (
                    str(row["year"]),
                    row["date"],
                    amount(row["pure_t_per_ha"]),
                    *(f"{row['esp_pct'][name]:.1f}" for name in names),
                    _band(row["low_pct"], row["high_pct"]),
                    _band(row["untreated_low_pct"], row["untreated_high_pct"]),
                )
                for row in by_year(programme)
            ],
        ),
    )


def spread_t_per_ha(programme: Programme) -> float:
    """Pure gypsum of a programme [t/ha].

    Parameters
    ----------
    programme : Programme
    """
    return express(programme.plan.total, Kind.GYPSUM_RATE, "t/ha", ground=programme.plan.ground)


def gain_sentence(programme: Programme) -> str:
    """How far the treated column ends below doing nothing.

    Parameters
    ----------
    programme : Programme
    """
    treated, nothing = programme.path(TREATED), programme.path(NOTHING)
    low, high = treated.low_pct, treated.high_pct
    band = "" if low is None or high is None else f" ({low[-1]:.1f} to {high[-1]:.1f})"
    return (
        f"After {programme.run.years} years ESP is {treated.esp_pct[-1]:.1f}{band} with gypsum and "
        f"{nothing.esp_pct[-1]:.1f} with nothing done."
    )


def _band(low: float | None, high: float | None) -> str:
    return "–" if low is None or high is None else f"{low:.1f} to {high:.1f}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
