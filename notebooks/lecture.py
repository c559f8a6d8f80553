# /// script
# requires-python = ">=3.11"
# [tool.marimo.display]
# theme = "system"
# ///

import marimo

__generated_with = "0.25.2"
app = marimo.App(width="full", app_title="Gypsum and sodium: two columns", css_file="soilx.css")

with app.setup:
    import marimo as mo

    import soilx
    from soilx import wording
    from soilx.show import lecture

    lecture.quick_turns()


@app.cell(hide_code=True)
def _():
    # For print, and for a lecturer who wants everything at once: the address with ?show=all.
    everything = "all" in (mo.query_params().get("show"), mo.cli_args().get("show"))
    stages = lecture.Stages(
        ["two columns", "what drains", "where the sodium is", "more or less clay", "clear or cloudy"],
        stage=5 if everything else 1,
    )
    stage_bar = stages.shown
    return stage_bar, stages


@app.cell(hide_code=True)
def _():
    gypsum_rate = lecture.Control(
        "Gypsum rate",
        "t/ha",
        low=0,
        high=20,
        step=0.05,
        value=7.05,
        digits=2,
        readings=lecture.rate_readings(),
    )
    gypsum_slider = gypsum_rate.shown
    return gypsum_rate, gypsum_slider


@app.cell(hide_code=True)
def _():
    water_volume = lecture.Control(
        "Water",
        "pore volumes",
        low=0,
        high=lecture.MOST_WATER,
        step=0.1,
        value=4,
        digits=1,
        readings=lecture.water_readings(lecture.presets()["Block C"].soil),
    )
    water_slider = water_volume.shown
    return water_slider, water_volume


@app.cell(hide_code=True)
def _():
    capacity = lecture.Control(
        "Cation exchange capacity", "cmol_c/kg", low=2, high=45, step=0.5, value=24, digits=1
    )
    capacity_slider = capacity.shown
    return capacity, capacity_slider


@app.cell(hide_code=True)
def _():
    soil_pick = lecture.Pick("Soil", lecture.offered(lecture.presets()), value="Block C")
    soil_list = soil_pick.shown
    return soil_list, soil_pick


@app.cell(hide_code=True)
def _():
    start_over = lecture.Press("Put everything back")
    start_over_button = start_over.shown
    return start_over, start_over_button


@app.cell(hide_code=True)
def _():
    sodium_share = lecture.Control(
        "Exchangeable sodium at the start",
        "%",
        low=1,
        high=60,
        step=0.5,
        value=lecture.presets()["Block C"].soil.exchangeable_sodium_percentage,
        digits=1,
    )
    sodium_slider = sodium_share.shown
    return sodium_share, sodium_slider


@app.cell(hide_code=True)
def _():
    conductivity = lecture.Control(
        "Salt in the soil's water",
        "dS/m",
        low=0.3,
        high=30,
        step=0.1,
        value=lecture.presets()["Block C"].soil.electrical_conductivity,
        digits=1,
    )
    conductivity_slider = conductivity.shown
    return conductivity, conductivity_slider


@app.cell(hide_code=True)
def _():
    selectivity = lecture.Control(
        "Selectivity for sodium, K_Na",
        "√(L/mmol)",
        low=0.005,
        high=0.03,
        step=0.0005,
        value=lecture.presets()["Block C"].soil.selectivity.sodium,
        digits=5,
        note=lecture.selectivity_note(),
    )
    selectivity_slider = selectivity.shown
    return selectivity, selectivity_slider


@app.cell(hide_code=True)
def _():
    placement = lecture.Pick("Where the gypsum goes", lecture.PLACEMENTS, value="mixed")
    placement_list = placement.shown
    return placement, placement_list


@app.cell(hide_code=True)
def _():
    applied_water = lecture.Pick("Water applied", lecture.offered(lecture.waters()), value="deionised")
    applied_list = applied_water.shown
    return applied_list, applied_water


@app.cell(hide_code=True)
def _():
    rate_unit = lecture.Pick("Read the gypsum rate in", lecture.RATE_UNITS, value="t/ha")
    rate_unit_list = rate_unit.shown
    return rate_unit, rate_unit_list


@app.cell(hide_code=True)
def _():
    water_unit = lecture.Pick("Read the water in", lecture.WATER_UNITS, value="pore volumes")
    water_unit_list = water_unit.shown
    return water_unit, water_unit_list


@app.cell(hide_code=True)
def _():
    portions = lecture.Portions(size=0.5)
    portion_buttons = portions.shown
    return portion_buttons, portions


@app.cell(hide_code=True)
def _():
    columns = lecture.soil_columns(height=228)
    profile = lecture.exchangeable_sodium_by_depth(height=228)
    column_after = lecture.soil_columns(height=200, heading="After this portion: exchangeable sodium, %")
    return column_after, columns, profile


@app.cell(hide_code=True)
def _():
    leachate = {of: lecture.leachate_curve(of) for of in ("Na", "Ca", "EC", "SAR")}
    return (leachate,)


@app.cell(hide_code=True)
def _():
    places = lecture.sodium_places()
    clarity = lecture.clarity_by_portion()
    return clarity, places


@app.cell(hide_code=True)
def _():
    sentence = lecture.Sentence()
    assumptions = lecture.Assumptions()
    question = lecture.question()
    soil_words = lecture.soil_words()
    return assumptions, question, sentence, soil_words


@app.cell(hide_code=True)
def _(
    assumptions,
    clarity,
    column_after,
    columns,
    leachate,
    places,
    portion_buttons,
    profile,
    question,
    sentence,
    soil_words,
    stage_bar,
):
    # Only what the page places is read here: a press or a new stage does not build the views again.
    pair = lecture.Columns()
    views = lecture.Views(
        stage_bar.control,
        {
            1: (question, sentence, columns, profile, soil_words, assumptions),
            2: (*leachate.values(), portion_buttons.control, column_after),
            3: (places,),
            5: (clarity,),
        },
    )
    return pair, views


@app.cell(hide_code=True)
def _(
    applied_list,
    assumptions,
    capacity_slider,
    clarity,
    column_after,
    columns,
    conductivity_slider,
    gypsum_slider,
    leachate,
    placement_list,
    places,
    portion_buttons,
    profile,
    question,
    rate_unit_list,
    selectivity_slider,
    sentence,
    sodium_slider,
    soil_list,
    soil_words,
    stage_bar,
    start_over_button,
    water_slider,
    water_unit_list,
):
    lecture.screen(
        lecture.fold(
            "Change the soil",
            soil_words,
            lecture.row(soil_list, applied_list, placement_list),
            lecture.row(sodium_slider, conductivity_slider, selectivity_slider),
            lecture.row(rate_unit_list, water_unit_list, start_over_button),
        ),
        lecture.row(columns, profile, label="Two columns"),
        lecture.part(
            mo.md("### What drains"),
            lecture.row(*leachate.values(), label="Leachate", look="narrow"),
            mo.md(
                f"**Notice.** {wording.SALT_RISES_FIRST} When the gypsum is gone, calcium and salt "
                "fall together."
            ),
            stage=2,
            label="What drains",
        ),
        lecture.part(
            mo.md("### One portion at a time"),
            lecture.row(portion_buttons, column_after),
            stage=2,
            label="One portion at a time",
        ),
        lecture.part(
            mo.md("### Where the sodium is"),
            places,
            mo.md(
                "**Notice.** Nothing is lost. What left the clay is in the water, and only water that "
                "drains takes it out of the soil."
            ),
            stage=3,
            label="Where the sodium is",
        ),
        lecture.part(
            mo.md("### More or less clay"),
            mo.md(
                "Move the cation exchange capacity, beside the water. The share of sodium stays as "
                "it was at the start; its amount grows with the clay. **Ask:** which soil needs more gypsum "
                "for the same drop, sand or clay?"
            ),
            stage=4,
            label="More or less clay",
        ),
        lecture.part(
            mo.md("### Clear or cloudy"),
            lecture.row(clarity, mo.md(f"{wording.CLARITY_IS_A_BAND}\n\n{wording.CLEAR_IS_NOT_RECLAIMED}")),
            stage=5,
            label="Clear or cloudy",
        ),
        head=lecture.screen(
            lecture.row(question, stage_bar, look="first-wide"),
            lecture.row(
                gypsum_slider,
                water_slider,
                lecture.part(capacity_slider, stage=4, label="Clay", kept=True),
            ),
            lecture.caution(wording.CAUTION_RATE),
            sentence,
        ),
    )
    return


@app.cell(hide_code=True)
def _(
    applied_list,
    capacity_slider,
    conductivity_slider,
    gypsum_slider,
    placement_list,
    selectivity_slider,
    sodium_slider,
    soil_pick,
    start_over,
    water_slider,
):
    # Another soil, or a new start: every control goes to where this soil starts.
    start_over.value
    preset = lecture.settle(
        lecture.presets()[soil_pick.value],
        gypsum=gypsum_slider,
        water=water_slider,
        capacity=capacity_slider,
        sodium=sodium_slider,
        salt=conductivity_slider,
        selectivity=selectivity_slider,
        placement=placement_list,
        applied=applied_list,
    )
    return (preset,)


@app.cell(hide_code=True)
def _(gypsum_slider, preset, rate_unit, sentence, views, water_slider, water_unit):
    lecture.read_in(
        gypsum_slider, rate_unit.value, water_slider, water_unit.value, soil=preset.soil, words=sentence
    )
    views.again()
    return


@app.cell(hide_code=True)
def _(
    applied_water,
    capacity,
    conductivity,
    gypsum_rate,
    pair,
    placement,
    portions,
    preset,
    selectivity,
    sentence,
    sodium_share,
    views,
    water_slider,
    water_volume,
):
    # One cell from the controls to the picture: every further one would cost its messages at each move.
    water = lecture.waters()[applied_water.value]
    scenario = sentence.heard(
        lambda: soilx.Scenario.of(
            soil=lecture.changed_soil(
                preset,
                capacity_cmol_c_per_kg=capacity.value,
                esp_pct=sodium_share.value,
                ec_ds_per_m=conductivity.value,
                sodium_selectivity=selectivity.value,
            ),
            gypsum=soilx.quantity(gypsum_rate.value, "t/ha"),
            placement=placement.value,
            wettings=lecture.wettings(water_volume.value, of=water, portion=portions.value),
        )
    )
    runs = scenario and sentence.heard(
        lambda: pair.runs(scenario, asked=portions.asked, portion=portions.value, water=water)
    )
    treated, untreated = runs or (None, None)
    if runs:
        lecture.follow(water_slider, runs)
        views.show(treated=treated, untreated=untreated)
    return scenario, treated, untreated


@app.cell(hide_code=True)
def _():
    lecture.prose(
        mo.md(
            f"""
            ### What you see

            Two columns of the same soil get the same water. One has gypsum mixed through it. Each layer shows
            how much of its clay's charge is held by sodium. The darker, the more.
            {wording.PORE_VOLUME_MEANS}

            ### What to notice

            * The soil drinks first. Until it is wet through, nothing drains and no sodium leaves.
            * Water alone takes the salt between the grains. It hardly touches the sodium on the clay.
            * Gypsum feeds calcium to the clay. Calcium takes sodium's place, and water carries it off.
            * When the gypsum is used up, the sodium in the draining water stops too.
            * Set the water to 2 pore volumes: the top has lost more sodium than the bottom. One average
              does not tell the story.

            ### A question

            Double the gypsum. Does twice as much sodium leave? Say what you expect first. Then try it with
            2 pore volumes of water, and with 6. What is the rule?

            ### What this leaves out

            {wording.MODEL_LEAVES_OUT} {wording.DEIONISED_IS_HARSH} {wording.INVENTED_DATA}

            Moving the exchange capacity keeps the shares of sodium, calcium, magnesium and potassium on
            the clay, and the water between the grains. It changes how much clay charge there is to fill.
            """
        )
    )
    return


@app.cell(hide_code=True)
def _(assumptions):
    lecture.prose(
        assumptions,
        mo.md(
            "### Before you do this outside\n\n"
            + "\n".join(f"* {caution}" for caution in (wording.DRAINAGE_FIRST, *wording.ALL_CAUTIONS))
        ),
    )
    return


if __name__ == "__main__":
    app.run()
