"""The calculation by hand, step by step, for the student: what decided, and the rate where there is one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from soilx.chemistry.cation_exchange import DEFAULT_SELECTIVITY
from soilx.handouts.page_parts import equation, paragraph, section
from soilx.handouts.page_text import text
from soilx.handouts.reader_facts import ReaderFacts
from soilx.practice.dose.product import PURE
from soilx.practice.dose.requirement import Requirement
from soilx.practice.judgement.diagnosis import Diagnosis
from soilx.practice.judgement.verdict_words import Verdict


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One step of the calculation.

    Attributes
    ----------
    title, tex, why : str
    """

    title: str
    tex: str
    why: str


ORDER: Final = (
    "The order of the questions decides: can water leave, is there a sodium problem, is the soil at its "
    "water’s floor already, and only then gypsum."
)
NO_RATE: Final = (
    "The calculation ends here. A rate is worked out only where the verdict is gypsum: anywhere else it "
    "would be a number for a mistake."
)


def calculation(facts: ReaderFacts) -> str:
    """The section with the calculation.

    Parameters
    ----------
    facts : ReaderFacts
    """
    lines = [*_diagnosis(facts), *_rate(facts)]
    items = "".join(
        f"<li><strong>{text(line.title)}.</strong> {equation(line.tex)}{paragraph(line.why)}</li>"
        for line in lines
    )
    ending = paragraph(NO_RATE) if facts.hand is None else _checked(facts)
    return section(
        "The calculation, step by step", paragraph(ORDER), f'<ol class="calculation">{items}</ol>', ending
    )


def _diagnosis(facts: ReaderFacts) -> list[Line]:
    report, decision = facts.report, facts.decision
    lines = []
    sodium, capacity = report.exchangeable.get("Na"), report.cation_exchange_capacity
    esp = decision.diagnosis.esp.estimate
    if sodium is not None and capacity is not None and esp is not None:
        lines.append(
            Line(
                title="How much of the clay sodium holds",
                tex=r"\text{ESP} = 100\,\frac{E_{\text{Na}}}{\text{CEC}} = 100 \times "
                rf"\frac{{{sodium.value / 10:.4g}}}{{{capacity.value / 10:.4g}}} = {esp.value:.3g}\,\%",
                why="Sodium on the clay over all the places on it, both in cmol_c/kg. Dissolved sodium is "
                "not "
                "counted.",
            )
        )
    paste = report.paste
    if {"Na", "Ca", "Mg"} <= set(paste) and report.paste_sar is not None:
        na, ca, mg = (paste[symbol].value for symbol in ("Na", "Ca", "Mg"))
        lines.append(
            Line(
                title="The same question to the soil’s water",
                tex=_sar_tex(na, ca, mg, report.paste_sar.value),
                why="Of the saturation extract, in meq/L (mmol_c/L); halved, since two charges are one "
                "calcium.",
            )
        )
    water, floor = facts.water, decision.floor_esp_pct
    if water is not None and decision.water is not None and floor is not None:
        solution = water.solution
        factor = facts.record.concentration
        tex = _sar_tex(solution.na, 2 * solution.ca, 2 * solution.mg, decision.water.sar)
        lines.append(
            Line(
                title=f"The sodium ratio of {water.name}", tex=tex, why="The same formula for what waters it."
            )
        )
        ratio = DEFAULT_SELECTIVITY.sodium * decision.water.sar * factor**0.5
        lines.append(
            Line(
                title="The floor of that water",
                tex=r"\text{ESP}_{\text{floor}} = 100\,\frac{K_{\text{Na}}\,\text{SAR}}"
                r"{1 + K_{\text{Na}}\,\text{SAR}} = 100 \times "
                rf"\frac{{{ratio:.4f}}}{{1 + {ratio:.4f}}} = {floor:.1f}\,\%",
                why=f"K_Na = {DEFAULT_SELECTIVITY.sodium:.5g} (mmol/L)^-½ by Gapon"
                + (f", SAR times √{factor:g} as the roots concentrate it" if factor != 1.0 else "")
                + ". Watered with it for long enough, any soil ends there.",
            )
        )
    return [*lines, *_threshold(decision.diagnosis, facts)]


def _sar_tex(na: float, ca: float, mg: float, sar: float) -> str:
    """The ratio with its numbers [mmol_c/L]."""
    return (
        r"\text{SAR} = \frac{[\text{Na}]}{\sqrt{([\text{Ca}] + [\text{Mg}])/2}} = "
        rf"\frac{{{na:.4g}}}{{\sqrt{{({ca:.4g} + {mg:.4g})/2}}}} = {sar:.3g}"
    )


def _threshold(diagnosis: Diagnosis, facts: ReaderFacts) -> list[Line]:
    """Where salt holds the clay together, how much of it that takes †."""
    needed, own = diagnosis.threshold, diagnosis.electrolyte
    wanted = {Verdict.GYPSUM_AND_LEACHING, Verdict.KEEP_THE_SALT, Verdict.LEACH}
    if needed is None or own is None or not {facts.decision.verdict, facts.decision.then} & wanted:
        return []
    brought = (
        ""
        if facts.water is None
        else f", \\; C_{{\\text{{water}}}} = {facts.water.solution.cation_charge:.3g}"
    )
    return [
        Line(
            title="Salt that holds the clay together",
            tex=rf"C_{{\text{{needed}}}} \approx {needed:.2g}, \; C_{{\text{{soil}}}} = "
            rf"{own.value:.3g}{brought}",
            why="In mmol_c/L; what is needed at this ESP is one published soil’s †. Where the water brings "
            "less than is needed, leaching without calcium lets the clay seal.",
        )
    ]


def _rate(facts: ReaderFacts) -> list[Line]:
    hand = facts.hand
    if hand is None:
        return []
    capacity, share, per_charge, density, depth, *rest = hand.chain
    lines = [
        Line(
            title="Sodium that has to go",
            tex=rf"\Delta E_{{\text{{Na}}}} = {capacity.value:.4g} \times "
            rf"\frac{{{hand.sodium.esp_pct:.4g} - {hand.target_esp_pct:.4g}}}{{100}} = {share.result:.4g}",
            why=f"In cmol_c/kg, from ESP {hand.sodium.esp_pct:.3g} to the target of "
            f"{hand.target_esp_pct:.3g}.",
        ),
        Line(
            title="Gypsum for it",
            tex=rf"G = {share.result:.4g} \times \frac{{172.17}}{{2 \times 100}} = {per_charge.result:.4g}",
            why="In g of pure gypsum per kg of soil: one calcium has two charges and takes the places of two "
            "sodium.",
        ),
        Line(
            title="From a kilogram to a hectare",
            tex=rf"R = 0.1\,G\,\rho_b\,L = 0.1 \times {per_charge.result:.4g} \times {density.value:.3g} "
            rf"\times "
            rf"{depth.value:.4g} = {depth.result:.4g}",
            why="In t/ha, with the bulk density ρ_b in kg/L and the depth L in cm. By mass of soil, never "
            "by the "
            "opening of a pot.",
        ),
    ]
    before = depth.result
    for each in rest:
        sign = r"\times" if each.operation == "×" else r"\div"
        lines.append(
            Line(
                title=each.name.capitalize(),
                tex=rf"{before:.4g} {sign} {each.value:.4g} = {each.result:.4g}",
                why=f"In {each.result_unit}. {each.why}",
            )
        )
        before = each.result
    return [*lines, _other_units(hand, result=before)]


def _other_units(hand: Requirement, *, result: float) -> Line:
    rates = hand.in_units["product"]
    short, pounds = rates["short_ton_per_acre"], rates["lb_per_1000_ft2"]
    return Line(
        title="In other units",
        tex=rf"{result:.4g} \times 0.4461 = {short:.3g}, \quad {result:.4g} \times 20.48 = {pounds:.4g}",
        why="In short ton/acre, and in lb/1000 ft². The same number of t/ha is so many kg for 10 m².",
    )


def _checked(facts: ReaderFacts) -> str:
    """The library's own answer, and the column's beside it."""
    hand = facts.hand
    if hand is None:
        return ""
    product = "pure gypsum" if hand.product == PURE else hand.product.name
    said = (
        f"Worked out by soilx without rounding on the way: {hand.in_units['product']['t_per_ha']:.4g} "
        f"t/ha of {product}."
    )
    column = facts.column
    if column is not None and column.gypsum > 0 and column.exchange_efficiency is not None:
        said += (
            f" The column, layer by layer with {facts.water.name if facts.water else 'its water'}, needs "
            f"{column.in_units['pure']['t_per_ha']:.3g} t/ha of pure gypsum: of the calcium that dissolves, "
            f"{100 * column.exchange_efficiency:.0f} % takes sodium’s places. The factor stands for the rest."
        )
    return paragraph(said)
