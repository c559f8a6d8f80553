"""Cautions, and the sentences that stand in more than one place.

Plain words for gardeners, growers and students: short sentences, no unit that needs explaining. A caution is
shown where its work is shown, and defers to local rules and licensed practice.
"""

from __future__ import annotations

CAUTION_RATE = (
    "Educational estimate; confirm with a qualified local adviser and your laboratory before spreading, "
    "draining or acidifying. Local rules apply."
)

CAUTION_DUST = (
    "Gypsum makes dust. Wear a dust mask and goggles, and wet it down. Natural gypsum may hold crystalline "
    "silica: read the product's safety sheet."
)

CAUTION_BYPRODUCT = (
    "By-product gypsum can hold heavy metals. Ask for its analysis, and check local rules, before you use it."
)

CAUTION_ACID = (
    "Acid burns. Only trained and licensed people may handle it. Acid goes into water, never water into acid."
)

CAUTION_LEACHATE = (
    "The water that drains out carries sodium, chloride, sulfate, nitrate and boron to drains and "
    "groundwater. Before you leach, know where it goes, think of your neighbours, and check permits and "
    "local law."
)

CAUTION_NUTRIENTS = (
    "Leaching takes magnesium, potassium and nitrate too. Test the soil again when you are done. Fertilise "
    "after leaching, not before."
)

CAUTION_LIVESTOCK = "Keep livestock off the paddock until the gypsum has washed off the plants."

CAUTION_BENCH = (
    "Wear goggles and gloves. Label every cup “not drinking water”, and do not taste anything. Pour "
    "leftovers where your teacher or local rules say."
)

#: Every caution, in the order in which the work meets them.
ALL_CAUTIONS: tuple[str, ...] = (
    CAUTION_RATE,
    CAUTION_DUST,
    CAUTION_BYPRODUCT,
    CAUTION_ACID,
    CAUTION_LEACHATE,
    CAUTION_NUTRIENTS,
    CAUTION_LIVESTOCK,
    CAUTION_BENCH,
)

#: What the model leaves out; the list that `MODEL_LEAVES_OUT` says as a sentence.
LEFT_OUT: tuple[str, ...] = (
    "lime (calcite)",
    "carbon dioxide and pH",
    "organic matter",
    "anion exclusion",
    "hysteresis",
    "cracks",
)

MODEL_LEAVES_OUT = (
    f"The model is not the soil. It leaves out {', '.join(LEFT_OUT[:-1])} and {LEFT_OUT[-1]}, unless a "
    "bypass share stands in for the cracks."
)

CLEAR_IS_NOT_RECLAIMED = (
    "Clear water does not mean the soil is reclaimed, and cloudy water does not mean that sodium is leaving: "
    "cloudy water carries clay. Look at the sodium left in the soil."
)

CLARITY_IS_A_BAND = (
    "Whether the water runs clear is shown as a band, from one published soil †. Your soil may turn cloudy "
    "earlier or later."
)

DEIONISED_IS_HARSH = (
    "Deionised water is harsher than almost any irrigation water. "
    "It shows the effect; it does not prove the field."
)

DRAINAGE_FIRST = "If water cannot leave the soil, gypsum cannot help. Fix the drainage first."

PORE_VOLUME_MEANS = "One pore volume is the water the soil holds when drained, not the volume of the soil."

SALT_RISES_FIRST = "With gypsum the salt in the draining water goes up first. It falls as the sodium leaves."

RECALLED_MEANS = "† recalled from the literature; no copy was checked."

COMMON_PRACTICE_MEANS = (
    "Common practice: a fact of the trade without a published source. Change it if you know better."
)

INVENTED_DATA = "The demonstration soils and waters are invented. They are no real place."

NEXT_AFTER_EXCHANGE = (
    "A column comes next: many such layers, one above the other, each draining into the next. Open it with "
    "`soilx open lecture`. There is homework for each step: `soilx open homework`."
)

NEXT_AFTER_LECTURE = (
    "The field comes next, and the water that is put on it: from a soil test to a decision. Open it with "
    "`soilx open field`. To see it in real soil, plan a pair of columns: `soilx open bench`."
)

NEXT_AFTER_BENCH = (
    "What the cups taught goes to the field page, where it is held against your water: `soilx open field`."
)

NEXT_AFTER_FIELD = (
    "Pick your own water above: it is the last step, and it decides where the soil ends. There is homework "
    "for each step of the way: `soilx open homework`."
)

SOFTENED_WATER_NEVER = (
    "Never put softened water on soil or plants: the softener takes out the calcium and puts in sodium. Tap "
    "the line before the softener."
)

PURE_WATER_SEALS = (
    "Very pure water, rain too, can seal a soil that holds sodium. It brings too little salt to keep the "
    "clay together."
)

TARGET_BELOW_FLOOR = (
    "A target below the water's floor can be reached for a season, not kept. The water brings the sodium "
    "back."
)

LEACH_WITH_CALCIUM = (
    "Do not leach first and add gypsum later. When the salt has gone and the sodium is still there, the clay "
    "seals. Gypsum and water go together."
)

WATER_MUST_LEAVE = "Nothing here works unless the water can leave, and takes the sodium with it."
