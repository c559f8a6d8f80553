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
    from soilx.show import live

    live.quick_turns()


@app.cell(hide_code=True)
def _():
    soil = soilx.read_soils(soilx.demo_path("soils.csv"))["Block C"]
    return (soil,)


@app.cell(hide_code=True)
def _(soil):
    question = mo.md(f"## {soil.name}: with gypsum, or water alone. What leaves the clay?")
    return (question,)


@app.cell(hide_code=True)
def _():
    gypsum_rate = live.Control("Gypsum rate", "t/ha", low=0, high=20, step=0.05, value=7.05, digits=2)
    gypsum_slider = gypsum_rate.shown
    return gypsum_rate, gypsum_slider


@app.cell(hide_code=True)
def _():
    water_volume = live.Control("Water", "pore volumes", low=0.5, high=6, step=0.1, value=4, digits=1)
    water_slider = water_volume.shown
    return water_slider, water_volume


@app.cell(hide_code=True)
def _():
    capacity = live.Control(
        "Cation exchange capacity", "cmol_c/kg", low=5, high=45, step=0.5, value=24, digits=1
    )
    capacity_slider = capacity.shown
    return capacity, capacity_slider


@app.cell(hide_code=True)
def _():
    columns = live.soil_columns()
    return (columns,)


@app.cell(hide_code=True)
def _():
    profile = live.exchangeable_sodium_by_depth()
    return (profile,)


@app.cell(hide_code=True)
def _():
    leachate = live.leachate_sodium(most_water=6)
    return (leachate,)


@app.cell(hide_code=True)
def _():
    sentence = live.Sentence()
    return (sentence,)


@app.cell(hide_code=True)
def _():
    assumptions = live.Assumptions()
    return (assumptions,)


@app.cell(hide_code=True)
def _(
    capacity_slider,
    columns,
    gypsum_slider,
    leachate,
    profile,
    question,
    sentence,
    water_slider,
):
    live.screen(
        question,
        live.row(gypsum_slider, water_slider, capacity_slider),
        live.caution(wording.CAUTION_RATE),
        sentence,
        live.row(columns, profile, leachate),
    )
    return


@app.cell(hide_code=True)
def _(capacity, gypsum_rate, soil, water_volume):
    scenario = soilx.Scenario.of(
        soil=soil.with_capacity(soilx.quantity(capacity.value, "cmol_c/kg")),
        gypsum=soilx.quantity(gypsum_rate.value, "t/ha"),
        placement="mixed",
        wettings=[soilx.quantity(water_volume.value, "pore_volume")],
    )
    return (scenario,)


@app.cell(hide_code=True)
def _(assumptions, columns, leachate, profile, scenario, sentence):
    treated, untreated = soilx.sweep([scenario, scenario.without_gypsum()])
    for view in (sentence, columns, profile, leachate, assumptions):
        view.show(treated=treated, untreated=untreated)
    return treated, untreated


@app.cell(hide_code=True)
def _(assumptions, soil):
    live.prose(
        mo.md(
            f"""
            ### What you see

            Two columns of the same soil get the same deionised water. One has gypsum mixed through it.
            {live.soil_line(soil)}
            Each layer shows how much of its clay's charge is held by sodium. The darker, the more.

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
        ),
        assumptions,
        mo.md(
            f"""
            ### Before you do this outside

            * {wording.CAUTION_RATE}
            * {wording.DRAINAGE_FIRST}
            * {wording.CAUTION_DUST}
            * {wording.CAUTION_LEACHATE}
            * {wording.CAUTION_NUTRIENTS}
            """
        ),
    )
    return


if __name__ == "__main__":
    app.run()
