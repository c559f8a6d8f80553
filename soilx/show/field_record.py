"""The decision of the page as a file: every text as it was typed, to be read again and handed on."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from soilx.errors import SoilxError
from soilx.practice.decision_file import decision_to_toml
from soilx.practice.decision_record import DecisionRecord
from soilx.practice.dose.product import PURE, Product
from soilx.practice.soil_test.report import Report
from soilx.show.download import Download
from soilx.show.field_amendment_words import MONEY
from soilx.show.field_answer import Answer
from soilx.show.field_choices import product_texts

LABEL: Final = "Save this decision (TOML)"
_SLIDER: Final = 0.0051
"""By so much the slider rounds the formula's rate where it starts [t/ha]."""

WAITS: Final = "Nothing to save while a box cannot be read."


def decision_download() -> Download:
    """The button that saves a decision."""
    return Download(LABEL, waits=WAITS)


def put_decision(
    download: Download,
    report: Report,
    answer: Answer,
    *,
    convention: str,
    aim: Mapping[str, str],
    product: Product,
    product_boxes: Mapping[str, str],
    prices: Mapping[str, str],
    plan: Mapping[str, str],
    picked: Mapping[str, str],
    t_per_ha: float,
) -> None:
    """Put a decision behind its button; it rests while something typed cannot be read.

    Parameters
    ----------
    download : Download
    report : Report
        As it was typed, of the depth that was sampled.
    answer : Answer
        To it.
    convention : str
    aim, product_boxes, prices, plan : mapping of str to str
        Texts of the forms.
    product : Product
        As the page took it.
    picked : mapping of str to str
        "way", "cover", "climate" and "years" from the lists.
    t_per_ha : float
        Pure gypsum on the slider; kept where it was moved off the formula's.
    """
    texts = dict(plan) | dict(picked)
    if answer.rate_allowed and abs(t_per_ha - answer.start_t_per_ha) > _SLIDER and t_per_ha > 0:
        texts["gypsum"] = f"{t_per_ha:.6g} t/ha"
    try:
        record = DecisionRecord.of(
            report,
            water=answer.water,
            aim={"convention": convention, **aim},
            product=_product(product, product_boxes, prices),
            plan=texts,
        )
    except SoilxError:
        download.put("", "")
        return
    name = re.sub(r"[^a-z0-9]+", "_", record.name.lower()).strip("_")[:40] or "soil"
    download.put(f"decision_{name}.toml", decision_to_toml(record))


def _product(product: Product, boxes: Mapping[str, str], prices: Mapping[str, str]) -> dict[str, str]:
    if product == PURE:
        return {}
    known = {"purity", "sulfur"} & set(boxes) and boxes.get("name", product.name) == product.name
    texts = dict(boxes) if known else product_texts(product)
    texts.setdefault("name", product.name)
    if product.name in prices:
        texts |= {"price_per_t": prices[product.name]}
        texts |= {"currency": prices[MONEY]} if prices.get(MONEY) else {}
    return texts
