"""The small print of a reader's page: cautions, inputs, version, sources, what is left out, the record."""

from __future__ import annotations

import base64
import datetime as dt
import re
from collections.abc import Iterable

from soilx import wording
from soilx.handouts.page_parts import bullets, made_line, section
from soilx.handouts.page_text import verbatim
from soilx.handouts.reader_facts import ReaderFacts
from soilx.handouts.reader_markup import small
from soilx.handouts.reader_numbers import hours_in_words
from soilx.handouts.reader_plan import ReaderPlan
from soilx.handouts.readers import Reader, ReaderUnits
from soilx.practice.decision_file import decision_to_toml
from soilx.practice.dose.product import PURE
from soilx.practice.judgement.diagnosis import Diagnosis
from soilx.sources import cite


def take_care(facts: ReaderFacts, plan: ReaderPlan | None) -> str:
    """The cautions of a verdict, all of them.

    Parameters
    ----------
    facts : ReaderFacts
    plan : ReaderPlan or None
    """
    cautions = facts.decision.cautions
    # The first stands beside the finding; livestock is kept off what it may graze.
    grazed = plan is None or plan.cover in ("pasture", "field crop")
    left_out = {wording.CAUTION_RATE, *(() if grazed else (wording.CAUTION_LIVESTOCK,))}
    said = bullets(each for each in cautions if each not in left_out)
    return section("Take care", said).replace("<section>", '<section class="care">', 1) if said else ""


def small_print(
    facts: ReaderFacts, plan: ReaderPlan | None, reader: Reader, units: ReaderUnits, *, made_on: dt.date
) -> str:
    """Inputs, what was assumed, sources, version and date.

    Parameters
    ----------
    facts : ReaderFacts
    plan : ReaderPlan or None
    reader : Reader
    units : ReaderUnits
    made_on : date
    """
    said = [
        f"Inputs: {'; '.join(inputs_of(facts, reader, units))}.",
        *_assumed(facts, plan),
        f"{wording.INVENTED_DATA if facts.invented else ''} Limits and sources: "
        f"{' '.join(sources_of(facts))}",
        f"{wording.MODEL_LEAVES_OUT} {wording.RECALLED_MEANS} {wording.COMMON_PRACTICE_MEANS} "
        f"{made_line(made_on)}",
    ]
    return small(*said)


def inputs_of(facts: ReaderFacts, reader: Reader, units: ReaderUnits) -> list[str]:
    """What the answer was worked out from; a gardener is spared the unit of charge.

    Parameters
    ----------
    facts : ReaderFacts
    reader : Reader
    units : ReaderUnits
    """
    report, decision = facts.report, facts.decision
    diagnosis = decision.diagnosis
    said = [facts.report.name]
    if report.date:
        said.append(f"sampled on {report.date}")
    if report.depth is not None:
        said.append(f"the top {units.soil_depth(report.depth)}")
    if report.bulk_density is not None:
        said.append(f"bulk density {report.bulk_density.value:.3g} kg/L, {report.bulk_density.origin}")
    said += _numbers(diagnosis, charge=reader is not Reader.GARDENER)
    water = decision.water
    if water is None:
        said.append("water not known")
    else:
        said.append(
            f"water {water.water.name}: SAR {water.sar:.1f}, EC {water.ec:.3g} dS/m ({water.ec_origin})"
        )
    said.append(
        f"target ESP {decision.target_esp_pct:.3g} %, limits of the convention {diagnosis.convention.name}"
    )
    return said


def sources_of(facts: ReaderFacts) -> list[str]:
    """Citations of what the verdict, and a rate if there is one, rest on."""
    diagnosis = facts.decision.diagnosis
    keys = [
        key
        for found in (diagnosis.drainage, diagnosis.esp, diagnosis.salinity, diagnosis.alkalinity)
        if found.estimate is not None
        for key in found.band.source.split(", ")
    ]
    keys.append("ussl1954")
    if facts.hand is not None:
        keys += ["chemicals", "recalled", "bennett_adams1972"]
    return [cite(key) for key in dict.fromkeys(keys)]


def carried(text: str, name: str, *, what: str) -> str:
    """A text that travels inside the page, to be saved from it; not on paper.

    Parameters
    ----------
    text : str
        Of the file.
    name : str
        From which the file is named.
    what : str
        What the file is, in a word.
    """
    coded = base64.b64encode(text.encode("utf-8")).decode("ascii")
    file = re.sub(r"[^a-z0-9]+", "_", name.lower()).strip("_")[:40] or what
    address = f"data:application/toml;charset=utf-8;base64,{coded}"
    return (
        f'<p class="download"><a download="{file}.toml" href="{address}">Save the {verbatim(what)} as '
        f"{file}.toml, to make this page again</a></p>"
    )


def carried_decision(facts: ReaderFacts) -> str:
    """The decision itself, to be saved from the page."""
    return carried(decision_to_toml(facts.record), facts.record.name, what="decision")


def _numbers(diagnosis: Diagnosis, *, charge: bool) -> Iterable[str]:
    for word, found in (
        ("ESP", diagnosis.esp),
        ("SAR", diagnosis.sar),
        ("EC", diagnosis.salinity),
        ("pH", diagnosis.alkalinity),
    ):
        if found.estimate is not None:
            yield f"{word} {found.number}"
    capacity = diagnosis.capacity.estimate
    if capacity is not None and charge:
        yield f"exchange capacity {capacity.value:.3g} cmol_c/kg"
    if diagnosis.drainage.estimate is not None:
        yield f"drain test {hours_in_words(diagnosis.drainage.estimate.value)}"
    if diagnosis.jar is not None:
        yield f"jar test “{diagnosis.jar.text}”"


def _assumed(facts: ReaderFacts, plan: ReaderPlan | None) -> list[str]:
    if facts.hand is None:
        return []
    said = [
        f"The rate is by the hand formula with a factor of {facts.hand.factor:g} for calcium that misses "
        "sodium †"
    ]
    if facts.product != PURE:
        said.append(
            f"in {facts.product.name}, {100 * facts.product.pure_share:.3g} % pure gypsum as it comes"
        )
    if facts.band is not None:
        said.append(f"its band is of {facts.band.draws} draws")
    text = "; ".join(said) + "."
    if plan is not None:
        text += (
            " Dates, visits, caps and the water after them are common practice †: change them if you know "
            "better."
        )
        if plan.programme is not None:
            text += f" The climate “{plan.climate}” is invented."
    return [text]
