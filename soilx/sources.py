"""The bibliography, keyed: where every outside number in soilx comes from, and how well that is known.

The label says how the numbers were come by: *seen*, read in a retrieved text; *library*, computed with
a general-purpose library's own tables; *recalled* †, from memory and not confirmed in a copy; *exact*,
arithmetic or a closed form; *common practice*, a fact of the trade without a published source. Within
a citation, † follows the part that was recalled. Where a text was read without its author or title, the
entry says no more than that.
"""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from soilx.errors import SoilxError, refuse

LABELS = ("seen", "library", "recalled", "exact", "common practice")


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One entry of the bibliography.

    Attributes
    ----------
    key : str
        How docstrings, checks and tests name it.
    citation : str
        Author, year and title, as far as known; † follows a recalled part.
    label : str
        How most of its numbers were come by, one of `LABELS`; a single number may carry its own label.
    note : str
        What is taken from it, and through whom it was read.
    """

    key: str
    citation: str
    label: str
    note: str = ""


_SODICITY = (
    ("ussl1954", "seen", "Richards, L. A. (ed.) 1954. USDA Agriculture Handbook 60.",
     "ESP against SAR, fitted on SAR < 65 and ESP < 50; seen in secondary sources. Its potassium slope"
     " 0.1051 and its gypsum table are recalled †."),
    ("cjss1982", "seen", "Canadian Journal of Soil Science 62:177, 1982.",
     "Slope of exchangeable sodium ratio against SAR: 0.0163 at 39 meq/L, 0.0085 at 1057 meq/L."),
    ("nile_delta1977", "seen", "Soil Science, October 1977.",
     "Nile Delta soils within 5 ESP units of Handbook 60."),
    ("kstate_classes", "seen",
     "Kansas State University extension; Colorado State University fact sheet 0.504.",
     "Saline above ECe 4 dS/m; sodic above ESP 15 or SAR 13; saline-sodic both."),
    ("naidu1993", "seen", "Naidu et al. 1993.", "Australian soils are called sodic above ESP 6."),
    ("osu_pss2226", "seen", "Oklahoma State University, PSS-2226.",
     "Some Oklahoma soils disperse at ESP 7."),
    ("quirk_schofield1955", "recalled",
     "Quirk, J. P. & Schofield, R. K. 1955. Journal of Soil Science 6 †.",
     "Threshold electrolyte concentration by ESP, on one illitic soil; turbidity near a quarter of it."),
    ("ayers_westcot1985", "seen",
     "Ayers, R. S. & Westcot, D. W. 1985. FAO Irrigation and Drainage Paper 29.",
     "Infiltration classes by SAR and EC of the water; seen in a secondary source."),
)  # fmt: skip

_EXCHANGE = (
    ("gapon1933", "recalled", "Gapon, E. N. 1933 †.", "The exchange equation in its field form."),
    ("vanselow1932", "recalled", "Vanselow, A. P. 1932 †.", "Exchange coefficient on mole fractions."),
    ("gaines_thomas1953", "recalled", "Gaines, G. L. & Thomas, H. C. 1953 †.",
     "Exchange coefficient on charge fractions."),
    ("exchange_algebra", "exact",
     "Algebra between the Gapon, Gaines–Thomas and Vanselow conventions, binary Ca–Na.",
     "Closed forms, activity coefficients of 1."),
    ("wyoming_bentonite", "seen", "Na–Ca exchange on Wyoming bentonite at 298 K in 0.05 M perchlorate.",
     "Essentially congruent with the non-preference isotherm, K_V = 1; author not recorded."),
    ("reeve_doering1966", "seen", "Reeve & Doering 1966.",
     "Valence dilution: ESP falls as the water is diluted."),
    ("evangelou_phillips1987", "seen", "Evangelou & Phillips 1987.",
     "Gapon and Vanselow agree for E_Na < 0.2."),
    ("magnesium_selectivities", "seen", "Published Ca–Mg selectivities, 0.6 to 1.5.",
     "Authors not recorded."),
    ("shaviv1985", "recalled", "Shaviv et al. 1985 †.",
     "Potassium selectivity of five potassium-fixing soils."),
)  # fmt: skip

_GYPSUM = (
    ("bennett_adams1972", "seen", "Bennett, A. C. & Adams, F. 1972.",
     "Solubility product of gypsum: 2.58e-5, in electrolytes 2.51e-5, in soil solutions 2.73e-5."),
    ("lebedev_kosorukov2017", "seen", "Lebedev & Kosorukov 2017.",
     "Published solubilities at 25 °C: 14.7–18.2 mmol/L."),
    ("usda_ars_nc20", "seen", "USDA ARS-NC-20.", "Solubility of gypsum, 0.03 N."),
    ("hulett_allen1902", "recalled", "Hulett, G. A. & Allen, L. E. 1902. J. Am. Chem. Soc. 24 †.",
     "Solubility of gypsum from 0 to 40 °C, as g CaSO4 per 100 cm³."),
    ("gypsum_in_electrolytes", "seen", "Published solubilities of gypsum in other salts.",
     "Rises in NaCl (by 1.4–1.5 at 0.1 m †), falls in sodium sulfate and calcium salts; authors not "
     "recorded."),
    ("davies1962", "recalled", "Davies, C. W. 1962. Ion Association †.",
     "Activity coefficients, coefficient 0.3."),
    ("ion_pair_constants", "recalled", "Stability constants of the sulfate pairs, from the literature †.",
     "log K: CaSO4 2.30, MgSO4 2.23, NaSO4 0.70, KSO4 0.85."),
    ("chempy", "library", "The chempy library: electrolytes.A and davies_log_gamma.",
     "Debye–Hückel A by temperature, Davies activity coefficients."),
    ("chemicals", "library", "The chemicals library: molar masses.", "Gypsum 172.171 g/mol."),
    ("hira_singh1980", "seen", "Hira & Singh 1980.", "Water that dissolves a dose, by particle size."),
    ("singh_bajwa1990", "seen", "Singh & Bajwa 1990.",
     "60–70 % dissolved in the first 5 minutes of 40 hours."),
    ("frenkel1989", "seen", "Frenkel et al. 1989.",
     "Leachate needed by placement; the course of desodication."),
    ("surface_gypsum", "seen", "Soil Science; volume and author not recorded.",
     "Water below surface-laid solid gypsum carried about a third of saturation."),
    ("zhang2023", "seen", "Zhang et al. 2023.", "Hours to the first drip from columns of ESP 43.3."),
)  # fmt: skip

_CONDUCTIVITY = (
    ("crc_conductivity", "library", "The chemicals library: table “CRC conductivity infinite dilution”.",
     "Limiting ionic conductivities at 25 °C."),
    ("mccleskey2011", "library", "McCleskey 2011, as thermo.electrochem.conductivity_McCleskey.",
     "Single salts at 25 °C and the temperature factor. Limiting sums differ from crc_conductivity by "
     "up to 4 %."),
    ("onsager_fuoss1932", "recalled", "Onsager, L. & Fuoss, R. M. 1932 †.",
     "Conductivity of mixed electrolytes."),
    ("falkenhagen1971", "recalled", "Falkenhagen, H. 1971 †.",
     "Ion size in the conductivity of electrolytes."),
    ("anderko_lencka1997", "recalled", "Anderko, A. & Lencka, M. M. 1997 †.",
     "Conductivity of mixed electrolytes."),
    ("conductivity_rules", "seen", "Laboratory rules of thumb; author not recorded.",
     "Sum of cations ≈ 10 EC (12–14 near saturated calcium sulfate), TDS ≈ 640 EC. I ≈ 0.013 EC is "
     "recalled †."),
    ("slavich_petterson1993", "seen", "Slavich & Petterson 1993.", "ECe = f EC1:5, f = 2.46 + 3.03/θ_SP."),
    ("sar_extracts_122", "seen", "One set of 122 samples; author not recorded.",
     "SARe ≈ 1.21 SAR1:1 and ≈ 2.22 SAR1:5."),
    ("ec_extracts_1_1", "seen", "PLoS ONE 13(6): e0198290, 2018, table 2: published conversion equations.",
     "ECe over EC1:1 through the origin: 1.6 to 2.78 by salt, 1.85, 2.06 in loam, 2.42 in sand, 2.11 for "
     "both, 3.35."),
)  # fmt: skip

_TRANSPORT = (
    ("scipy", "library", "The scipy library: special functions, root finding.", ""),
    ("erlang", "exact", "Stirred tanks in series: the Erlang distribution, by scipy.special.gammainc.", ""),
    ("binomial", "exact", "Stirred layers displaced by a fraction: the binomial distribution.", ""),
    ("ogata_banks1961", "exact", "Ogata, A. & Banks, R. B. 1961. USGS Professional Paper 411-A.",
     "Closed form of advection and dispersion; values by scipy.special."),
    ("exchange_front", "exact", "Mass balance across a sharp exchange front.", "R = 1 + (ρ_b/θ)(ΔQ/ΔC)."),
    ("leaching_rule", "seen", "Field rule for leaching salt; author not recorded.",
     "6, 12 and 24 in of water per ft of soil remove 50, 80 and 90 %."),
)  # fmt: skip

_PRACTICE = (
    ("ali2011", "seen", "Ali 2011.",
     "Gypsum per acre-foot (after Handbook 60); leaching requirement, Example 8.6."),
    ("oster1999", "recalled", "Oster et al. 1999 †.",
     "GR = 0.0086 F D ρ_b CEC ΔESP, with CEC in mmol_c/kg."),
    ("ashworth1999", "seen", "Ashworth et al. 1999.",
     "A Canadian method for the rate, from the saturation extract."),
    ("usda_water_gypsum", "recalled", "Rule for gypsum in irrigation water †.",
     "234 lb per acre-foot per meq/L."),
    ("us_customary", "seen",
     "Conversions between US customary and metric units, as printed; author not recorded.",
     ""),
    ("lab_report_units", "seen", "Units and divisors as laboratories print them; author not recorded.", ""),
    ("homework_hectare", "seen", "Course homework: gypsum for a hectare; author not recorded.",
     "Its printed answer doses all the sodium where 40 % was asked."),
    ("textbook_acre", "seen", "Textbook problem: gypsum for an acre; author not recorded.",
     "The question was seen, the answer is arithmetic."),
    ("course_set", "seen", "Course problem sets; authors not recorded.",
     "Questions were seen; answers are arithmetic unless a printed one is named."),
    ("trade_texts", "seen", "Extension and trade texts; authors not recorded.",
     "Drainage test, ponding, turf trials, scatter of soil tests (CV 9–13 %), calcium from lime or "
     "gypsum."),
    ("common_practice", "common practice", "Common practice, no published source.", ""),
    ("recalled", "recalled", "Recalled from the literature, not confirmed in a copy †.", ""),
    ("arithmetic", "exact", "Arithmetic from molar masses and defined units.", ""),
)  # fmt: skip

_TEACHING = (
    ("crouch2004", "seen", "Crouch et al. 2004.",
     "Watching a demonstration without predicting teaches little."),
    ("miller2013", "seen", "Miller et al. 2013.", "One observer in five misperceives what happened."),
    ("schwartz_bransford1998", "seen", "Schwartz & Bransford 1998.", "Contrasting cases, then telling."),
    ("schwartz2011", "seen", "Schwartz et al. 2011.", "Better transfer on ratios from contrasting cases."),
    ("alfieri2011", "seen", "Alfieri et al. 2011.", "Unassisted discovery d = −0.38, guided +0.30."),
    ("mulder2012", "seen", "Mulder et al. 2012.", "Model progression beats the full model at once."),
    ("salden2010", "seen", "Salden et al. 2010.", "Adaptive fading of worked examples."),
    ("vanderkleij2015", "seen", "Van der Kleij et al. 2015.",
     "Elaborated feedback 0.49, answer 0.32, verdict 0.05."),
    ("wcag22", "seen", "W3C. Web Content Accessibility Guidelines 2.2, level AA.", ""),
    ("okabe_ito", "recalled", "Okabe, M. & Ito, K. Color universal design †.",
     "The palette of the charts."),
)  # fmt: skip

SOURCES: Mapping[str, Source] = MappingProxyType(
    {
        key: Source(key=key, label=label, citation=citation, note=note)
        for rows in (_SODICITY, _EXCHANGE, _GYPSUM, _CONDUCTIVITY, _TRANSPORT, _PRACTICE, _TEACHING)
        for key, label, citation, note in rows
    }
)


def cite(key: str) -> str:
    """The citation of a source, with † where it or its values are recalled.

    Parameters
    ----------
    key : str
        Key of `SOURCES`.

    Returns
    -------
    str
        One line.

    Raises
    ------
    SoilxError
        No source has this key.
    """
    source = SOURCES.get(key)
    if source is None:
        near = difflib.get_close_matches(key[:40], SOURCES, n=3)
        remedy = (
            f"one of {', '.join(near)} may be meant" if near else "see soilx.sources.SOURCES for the keys"
        )
        refuse(
            "source", key, "", wrong="is not in the bibliography", limit="", remedy=remedy, error=SoilxError
        )
    recalled = source.label == "recalled" and "†" not in source.citation
    return f"{source.citation} †" if recalled else source.citation
