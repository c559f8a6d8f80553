"""The verdict in words: the sentence with the number that decided it, and what would change it."""

from __future__ import annotations

from typing import Final

from soilx.chemistry.clarity import Clarity
from soilx.practice.judgement.bands import Place
from soilx.practice.judgement.diagnosis import Diagnosis
from soilx.practice.judgement.finding import Finding
from soilx.practice.judgement.verdict import Decision
from soilx.practice.judgement.verdict_words import Verdict
from soilx.show.word_sheet import Sheet, folded, grid, line, points
from soilx.wording import CAUTION_RATE, RECALLED_MEANS

_ANSWERS: Final = {True: "yes", False: "no", None: "cannot be told"}
_STAYS: Final = {
    Clarity.CLEAR: "stays put",
    Clarity.MAY_CLOUD: "may disperse",
    Clarity.CLOUDY: "disperses",
}
_QUESTIONS: Final = {
    "water_cannot_leave": "Can water not leave?",
    "no_sodium": "Is there no sodium problem?",
    "saline_not_sodic": "Salty, but without sodium?",
    "high_magnesium": "Is it magnesium?",
    "water_brings_it_back": "Does the water bring the sodium back?",
    "gypsum_there": "Is gypsum there already?",
    "soluble_carbonate": "Soluble carbonate?",
    "held_by_salt": "Held together by its salt?",
    "low_capacity_sand": "A sand that holds little?",
    "compaction": "Compacted?",
    "heavy_clay": "Heavy clay, whatever its sodium?",
}


def headline(decision: Decision) -> str:
    """The verdict in one sentence.

    Parameters
    ----------
    decision : Decision
    """
    if decision.verdict is Verdict.CANNOT_DECIDE and decision.missing:
        return f"{decision.name}: cannot be decided without {_listed(decision.missing)}."
    return decision.sentences[0]


def show_verdict(sheet: Sheet, decision: Decision) -> None:
    """Put the verdict on its sheet, large, with the number that decided it.

    Parameters
    ----------
    sheet : Sheet
    decision : Decision
    """
    said = headline(decision)
    rest = [sentence for sentence in decision.sentences[2:] if not sentence.startswith("Still wanted")]
    wanted = () if decision.verdict is Verdict.CANNOT_DECIDE else decision.missing
    sheet.put(
        line(said, "verdict"),
        line(decision.because, "strong"),
        *(line(sentence) for sentence in rest),
        *((line(f"Still wanted: {'; '.join(wanted)}."),) if wanted else ()),
        line(CAUTION_RATE, "caution"),
        spoken=f"{said} {decision.because}",
    )


def show_reasons(sheet: Sheet, decision: Decision) -> None:
    """Put on a sheet why the verdict is what it is, and what would change it.

    Parameters
    ----------
    sheet : Sheet
    decision : Decision
    """
    diagnosis = decision.diagnosis
    applying = [reason.sentence for reason in decision.applying]
    sheet.put(
        line(f"{_capital(diagnosis.soil_class)}. Limits: {diagnosis.convention.title}.", "strong"),
        grid(
            ("What was found", "This soil", "Limit", "So"),
            [_row(found) for found in _findings(diagnosis)],
            caption="Numbers beside their limits; each limit is a band",
        ),
        line("Does the clay stay put?", "title"),
        points(_dispersion(diagnosis)),
        *(
            (line("Reasons for which gypsum may not help here", "title"), points(applying))
            if applying
            else ()
        ),
        folded(
            "Every reason for which gypsum may not help, and whether it applies",
            grid(
                ("Reason", "Applies", "The number that decides"),
                [
                    (_QUESTIONS.get(reason.key, reason.key), _ANSWERS[reason.applies], reason.sentence)
                    for reason in decision.reasons
                ],
            ),
        ),
        line("What would change this answer", "title"),
        points(decision.would_change),
        *(
            (line(f"The water, {decision.water.water.name}", "title"), points(decision.water.sentences))
            if decision.water is not None
            else (line("No water is known, so nobody can say whether gypsum would last."),)
        ),
        folded("Whose limits these are", points(_sources(diagnosis)), line(RECALLED_MEANS)),
    )


def _findings(diagnosis: Diagnosis) -> tuple[Finding, ...]:
    density = () if diagnosis.density is None else (diagnosis.density,)
    return (
        diagnosis.drainage,
        diagnosis.esp,
        diagnosis.sar,
        diagnosis.salinity,
        diagnosis.magnesium,
        diagnosis.alkalinity,
        diagnosis.capacity,
        *density,
    )


def _row(found: Finding) -> tuple[str, str, str, str]:
    title = _capital(found.band.title)
    if found.estimate is None:
        return title, "not known", found.band.words, "cannot be told"
    where = {Place.BELOW: "below", Place.BETWEEN: "in the band", Place.ABOVE: "above"}
    sure = found.band.holds_one_place(found.estimate.low, found.estimate.high)
    place = where[found.band.place(found.estimate.value)]
    return (
        title,
        f"{found.number}, {found.estimate.origin}",
        found.band.words,
        place if sure else f"{place}, not surely",
    )


def _dispersion(diagnosis: Diagnosis) -> list[str]:
    esp = diagnosis.esp.number
    jar = "The jar test was not done." if diagnosis.jar is None else f"Jar test: “{diagnosis.jar.text}”."
    if diagnosis.esp.estimate is None or diagnosis.threshold is None:
        return [jar, "ESP is not known, so no salt can be named that would hold the clay together."]
    said = [jar, f"Clay of ESP {esp} needs about {diagnosis.threshold:.2g} meq/L of salt to stay put †."]
    if diagnosis.electrolyte is not None and diagnosis.own_clarity is not None:
        said.append(
            f"In its own water, {diagnosis.electrolyte.value:.3g} meq/L, it "
            f"{_STAYS[diagnosis.own_clarity]}. Rain "
            "and the jar of rain water hold next to none."
        )
    return said


def _sources(diagnosis: Diagnosis) -> list[str]:
    return [f"{found.band.title}: {found.band.note}." for found in _findings(diagnosis)]


def _listed(tests: tuple[str, ...]) -> str:
    return tests[0] if len(tests) == 1 else f"{', '.join(tests[:-1])}, and {tests[-1]}"


def _capital(text: str) -> str:
    """A sentence's beginning; pH keeps its small letter."""
    return text if text.startswith("pH") else text[:1].upper() + text[1:]
