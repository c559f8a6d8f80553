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
    from soilx.handouts.save_page import SavePage
    from soilx.show import lecture

    lecture.quick_turns()


@app.cell(hide_code=True)
def _():
    # The address with ?show=all opens every stage at once, for print too; with ?show=plain nothing is asked.
    wanted = (mo.query_params().get("show"), mo.cli_args().get("show"))
    stages = lecture.Stages(
        ["two columns", "what drains", "where the sodium is", "more or less clay", "clear or cloudy"],
        stage=5 if "all" in wanted else 1,
        plain="all" in wanted or "plain" in wanted,
    )
    stage_bar = stages.shown
    ask_first = lecture.AskFirst()
    return ask_first, stage_bar, stages


@app.cell(hide_code=True)
def _():
    guess = lecture.LevelGuess()
    guess_panel = guess.shown
    return guess, guess_panel


@app.cell(hide_code=True)
def _():
    kept = lecture.KeptCurves()
    kept_list = kept.shown
    return kept, kept_list


@app.cell(hide_code=True)
def _():
    desk = lecture.Desk(list(lecture.presets()))
    return (desk,)


@app.cell(hide_code=True)
def _():
    seen = lecture.Prediction(
        "What did you see? Block C, as the page opened: what did the water do in the column without gypsum?",
        lecture.Choice(
            text="It washed about half of the sodium off the clay",
            reply="That was the other column. Without calcium to take its place, sodium stays on the clay.",
        ),
        lecture.Choice(
            text="It took salt from between the grains, and hardly any sodium off the clay",
            reply="Its share on the clay stayed near 18 %. Some sodium left: what was dissolved already.",
            right=True,
        ),
        lecture.Choice(
            text="Nothing: no sodium left that column",
            reply="Some left with the salt between the grains. The clay kept the rest.",
        ),
        seen=True,
    )
    explain = lecture.Explain("Why did gypsum make the difference? Say it in your own words.")
    return explain, seen


@app.cell(hide_code=True)
def _():
    drains_guess = lecture.Prediction(
        "Two columns, gypsum in one of them. Which drains the saltier water at first?",
        lecture.Choice(
            text="The one without gypsum: gypsum takes salt away",
            reply="Gypsum is a salt itself, and it sets sodium free. Salt goes up before it goes down.",
        ),
        lecture.Choice(
            text="Both the same: it is the same soil",
            reply="The same soil, but one has something more to dissolve.",
        ),
        lecture.Choice(
            text="The one with gypsum",
            reply="Gypsum dissolves, and the sodium it sets free drains with the sulfate.",
            right=True,
        ),
        stage=2,
    )
    drains_question = drains_guess.shown
    return drains_guess, drains_question


@app.cell(hide_code=True)
def _():
    places_guess = lecture.Prediction(
        "With gypsum, more than half of the sodium is off the clay by now. Where is it?",
        lecture.Choice(
            text="In the soil, bound to the calcium",
            reply="Calcium does not bind sodium. Both are positive. Calcium takes sodium's place.",
        ),
        lecture.Choice(
            text="In the water that drained",
            reply="It was free in the soil's water, and the water took it out. No drainage, no cure.",
            right=True,
        ),
        lecture.Choice(
            text="Nowhere: gypsum used it up",
            reply="Sodium is an element. Nothing uses it up; add the bars and see.",
        ),
        stage=3,
    )
    places_question = places_guess.shown
    return places_guess, places_question


@app.cell(hide_code=True)
def _():
    clay_guess = lecture.Prediction(
        "A sandier soil begins with the same share of sodium and half the exchange capacity. It gets the "
        "same gypsum and water. Where does its share of sodium end?",
        lecture.Choice(
            text="At the same share: it began at the same share",
            reply="The share is the same, the amount is not. Half the sites hold half the sodium.",
        ),
        lecture.Choice(
            text="Lower",
            reply="There is less sodium to move, and the same calcium to move it.",
            right=True,
        ),
        lecture.Choice(
            text="Higher: sand holds calcium worse",
            reply="It holds less of everything, of sodium too.",
        ),
        stage=4,
    )
    clay_question = clay_guess.shown
    return clay_guess, clay_question


@app.cell(hide_code=True)
def _():
    clarity_guess = lecture.Prediction(
        "Without gypsum nearly all sodium is still on the clay. How does the last water out of that column "
        "look?",
        lecture.Choice(
            text="Clear: hardly any sodium comes out any more",
            reply="So the water is thin, and clay with much sodium falls apart in thin water.",
        ),
        lecture.Choice(
            text="Cloudy",
            reply="Much sodium on the clay, little salt in the water: the clay falls apart and drifts out.",
            right=True,
        ),
        lecture.Choice(
            text="Clear: the soil is clean by then",
            reply="Its clay holds as much sodium as before. How water looks does not tell that.",
        ),
        stage=5,
    )
    clarity_question = clarity_guess.shown
    return clarity_guess, clarity_question


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
    soil_pick = lecture.Pick(
        "Soil", lecture.offered(lecture.presets()), value="Block C", key="soil", thing=True
    )
    soil_list = soil_pick.shown
    return soil_list, soil_pick


@app.cell(hide_code=True)
def _():
    moves = lecture.Moves()
    start_over = lecture.Press("Put everything back", key="restore")
    start_over_button = start_over.shown
    return moves, start_over, start_over_button


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
    placement = lecture.Pick("Where the gypsum goes", lecture.PLACEMENTS, value="mixed", thing=True)
    placement_list = placement.shown
    return placement, placement_list


@app.cell(hide_code=True)
def _():
    applied_water = lecture.Pick(
        "Water applied", lecture.offered(lecture.waters()), value="deionised", thing=True
    )
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
def _(guess_panel, kept_list, stage_bar):
    columns = lecture.soil_columns(height=228, stages=stage_bar.control)
    profile = lecture.exchangeable_sodium_by_depth(
        height=228, guess=guess_panel.control, kept=kept_list.control
    )
    column_after = lecture.soil_columns(height=200, heading="After this portion: exchangeable sodium, %")
    return column_after, columns, profile


@app.cell(hide_code=True)
def _(kept_list):
    leachate = {of: lecture.leachate_curve(of, kept=kept_list.control) for of in ("Na", "Ca", "EC", "SAR")}
    return (leachate,)


@app.cell(hide_code=True)
def _():
    places = lecture.sodium_places()
    clarity = lecture.clarity_by_portion()
    return clarity, places


@app.cell(hide_code=True)
def _():
    contrasts = lecture.Contrasts()
    return (contrasts,)


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
    guess_panel,
    kept_list,
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
            1: (question, sentence, columns, profile, soil_words, assumptions, kept_list.control),
            2: (*leachate.values(), portion_buttons.control, column_after),
            3: (places,),
            5: (clarity,),
        },
        guess=guess_panel.control,
        kept=kept_list.control,
    )
    return pair, views


@app.cell(hide_code=True)
def _(
    applied_list,
    ask_first,
    assumptions,
    capacity_slider,
    clarity,
    clarity_question,
    clay_question,
    column_after,
    columns,
    conductivity_slider,
    contrasts,
    desk,
    drains_question,
    explain,
    guess_panel,
    gypsum_slider,
    kept_list,
    leachate,
    moves,
    placement_list,
    places,
    places_question,
    portion_buttons,
    profile,
    question,
    rate_unit_list,
    seen,
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
    first_screen = lecture.screen(
        lecture.folds(
            lecture.fold(
                "Change the soil",
                soil_words,
                lecture.row(soil_list, applied_list, placement_list),
                lecture.row(sodium_slider, conductivity_slider, selectivity_slider),
                lecture.row(rate_unit_list, water_unit_list, start_over_button),
                moves,
            ),
            lecture.fold(
                "For the lecturer",
                desk,
                mo.md(
                    """
                    **In two minutes.** Read the question. Let the room raise hands, level by level, and type
                    the counts under “The room's votes”. Set one level and how sure, and press “This is my
                    guess”. Then Next three times: the curve is there, the numbers, why. Stop at the check.

                    **In ten minutes.** The same for each of the five stages, about two minutes each: Next
                    asks, a guess opens the curve, Next brings the numbers, Next brings why. In stage 2 press
                    “Start again”, then “Next portion” five times, and read each cup aloud. In stage 4 halve
                    the exchange capacity after “Keep this curve”. End below, with “Two soils, one
                    difference”.

                    **Plain view.** Untick “Ask me first”: nothing is asked and nothing is hidden. The address
                    with `?show=plain` starts so, and with `?show=all` every stage is open. On paper:
                    `soilx handout lecture.py` writes every view.
                    """
                ),
                saved=False,
            ),
            ask_first,
        ),
        lecture.part(
            lecture.row(
                columns,
                lecture.screen(lecture.step(guess_panel, at="ask"), lecture.step(profile, at="curve")),
                label="Two columns",
            ),
            lecture.step(kept_list, at="curve"),
            lecture.step(lecture.row(seen, explain), at="why"),
            stage=1,
            label="Two columns",
        ),
        lecture.part(
            mo.md("### What drains"),
            lecture.step(drains_question, at="ask"),
            lecture.step(lecture.row(*leachate.values(), label="Leachate", look="narrow"), at="curve"),
            lecture.step(
                mo.md(
                    f"**Notice.** {wording.SALT_RISES_FIRST} When the gypsum is gone, calcium and salt "
                    "fall together."
                ),
                at="why",
            ),
            stage=2,
            label="What drains",
        ),
        lecture.part(
            lecture.step(
                mo.md("### One portion at a time"), lecture.row(portion_buttons, column_after), at="numbers"
            ),
            stage=2,
            label="One portion at a time",
        ),
        lecture.part(
            mo.md("### Where the sodium is"),
            lecture.step(places_question, at="ask"),
            lecture.step(places, at="curve"),
            lecture.step(
                mo.md(
                    "**Notice.** Nothing is lost. What left the clay is in the water, and only water that "
                    "drains takes it out of the soil."
                ),
                at="why",
            ),
            stage=3,
            label="Where the sodium is",
        ),
        lecture.part(
            mo.md("### More or less clay"),
            lecture.step(clay_question, at="ask"),
            lecture.step(
                mo.md(
                    "Now move the cation exchange capacity, beside the water, and watch the columns above."
                ),
                at="curve",
            ),
            lecture.step(
                mo.md(
                    "**Notice.** The share of sodium stays as it was at the start; its amount grows with the "
                    "clay. **Ask:** which soil needs more gypsum for the same drop, sand or clay?"
                ),
                at="why",
            ),
            stage=4,
            label="More or less clay",
        ),
        lecture.part(
            mo.md("### Clear or cloudy"),
            lecture.step(clarity_question, at="ask"),
            lecture.step(
                lecture.row(
                    clarity, mo.md(f"{wording.CLARITY_IS_A_BAND}\n\n{wording.CLEAR_IS_NOT_RECLAIMED}")
                ),
                at="curve",
            ),
            stage=5,
            label="Clear or cloudy",
        ),
        lecture.fold("Two soils, one difference", contrasts, contrasts.chart),
        head=lecture.screen(
            lecture.row(question, stage_bar, look="first-wide"),
            lecture.row(
                gypsum_slider,
                water_slider,
                lecture.part(capacity_slider, stage=4, label="Clay", kept=True),
            ),
            lecture.caution(wording.CAUTION_RATE),
            lecture.part(lecture.step(sentence, at="sentence"), stage=1, label="What it comes to"),
        ),
    )
    first_screen
    return (first_screen,)


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
    notes = lecture.prose(
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

            ### Where to go next

            {wording.NEXT_AFTER_LECTURE}
            """
        )
    )
    notes
    return (notes,)


@app.cell(hide_code=True)
def _(assumptions):
    cautions = lecture.prose(
        assumptions,
        mo.md(
            "### Before you do this outside\n\n"
            + "\n".join(f"* {caution}" for caution in (wording.DRAINAGE_FIRST, *wording.ALL_CAUTIONS))
        ),
    )
    cautions
    return (cautions,)


@app.cell(hide_code=True)
def _():
    save = SavePage("lecture", "Gypsum and sodium: two columns")
    return (save,)


@app.cell(hide_code=True)
def _(cautions, first_screen, gypsum_slider, notes, pair, save, stage_bar):
    lecture.prose(
        save.holds(
            first_screen,
            notes,
            cautions,
            setting=lambda: lecture.setting_shown(pair, stage_bar.control, gypsum_slider),
        )
    )
    return


if __name__ == "__main__":
    app.run()
