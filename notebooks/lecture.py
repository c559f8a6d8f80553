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
    from soilx.show import choice, equivalents, live, stages

    live.quick_turns()


@app.cell(hide_code=True)
def _():
    soils = soilx.read_soils(soilx.demo_path("soils.csv"))
    waters = soilx.read_waters(soilx.demo_path("waters.csv"))
    return soils, waters


@app.cell(hide_code=True)
def _():
    # For print, or a lecture that shows all at once: the address with ?show=all.
    everything = "all" in (mo.query_params().get("show"), mo.cli_args().get("show"))
    return (everything,)


@app.cell(hide_code=True)
def _(everything):
    stage = stages.Stages(
        [
            "two columns",
            "what drains out",
            "where the sodium is",
            "exchange capacity",
            "clear or cloudy",
            "one portion at a time",
        ],
        start=6 if everything else 1,
    )
    return (stage,)


@app.cell(hide_code=True)
def _(soils):
    preset = mo.ui.dropdown([*soils, choice.OWN_SOIL], value="Block C", label="Soil")
    return (preset,)


@app.cell(hide_code=True)
def _():
    rate_unit = mo.ui.dropdown(
        {equivalents.shown_unit(unit): unit for unit in equivalents.RATE_UNITS}, value="t/ha", label="Rate in"
    )
    return (rate_unit,)


@app.cell(hide_code=True)
def _():
    placement = mo.ui.dropdown(
        {
            "mixed through": "mixed",
            "mixed into the top 5 cm": "top 5 cm",
            "on the surface": "surface",
            "dissolved in the water": "water",
        },
        value="mixed through",
        label="Gypsum",
    )
    return (placement,)


@app.cell(hide_code=True)
def _(waters):
    applied = mo.ui.dropdown(list(waters), value="deionised", label="Water applied")
    return (applied,)


@app.cell(hide_code=True)
def _(preset, soils):
    start = choice.start_of(soils.get(preset.value))
    return (start,)


@app.cell(hide_code=True)
def _(rate_unit):
    gypsum_rate = live.Control("Gypsum rate", **equivalents.rate_slider(rate_unit.value))
    gypsum_slider = gypsum_rate.shown
    return gypsum_rate, gypsum_slider


@app.cell(hide_code=True)
def _():
    water_volume = live.Control("Water", "pore volumes", low=0.5, high=6, step=0.1, value=4, digits=1)
    water_slider = water_volume.shown
    return water_slider, water_volume


@app.cell(hide_code=True)
def _(start):
    capacity = live.Control(
        "Cation exchange capacity", "cmol_c/kg", low=2, high=45, step=0.5, value=start.capacity, digits=1
    )
    capacity_slider = capacity.shown
    return capacity, capacity_slider


@app.cell(hide_code=True)
def _(start):
    first_esp = live.Control("Starting ESP", "%", low=1, high=45, step=0.5, value=start.esp_pct, digits=1)
    first_esp_slider = first_esp.shown
    return first_esp, first_esp_slider


@app.cell(hide_code=True)
def _(start):
    conductivity = live.Control(
        "Starting EC", "dS/m", low=0.5, high=20, step=0.1, value=start.conductivity_ds_per_m, digits=1
    )
    conductivity_slider = conductivity.shown
    return conductivity, conductivity_slider


@app.cell(hide_code=True)
def _(start):
    low_selectivity, high_selectivity = choice.SELECTIVITY_RANGE
    selectivity = live.Control(
        "Selectivity for sodium",
        "1/√(mmol/L)",
        low=low_selectivity,
        high=high_selectivity,
        step=0.00005,
        value=start.sodium_selectivity,
        digits=5,
    )
    selectivity_slider = selectivity.shown
    return selectivity, selectivity_slider


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
    leachate = stages.leachate_quantity("Na", most_water=6)
    calcium = stages.leachate_quantity("Ca", most_water=6)
    salt = stages.leachate_quantity("EC", most_water=6)
    ratio = stages.leachate_quantity("SAR", most_water=6)
    return calcium, leachate, ratio, salt


@app.cell(hide_code=True)
def _():
    places = stages.places_of_sodium()
    return (places,)


@app.cell(hide_code=True)
def _():
    looks = stages.clear_or_cloudy(most_water=6)
    return (looks,)


@app.cell(hide_code=True)
def _():
    sentence = live.Sentence()
    return (sentence,)


@app.cell(hide_code=True)
def _():
    rates = live.Line()
    volumes = live.Line()
    return rates, volumes


@app.cell(hide_code=True)
def _():
    assumptions = live.Assumptions()
    return (assumptions,)


@app.cell(hide_code=True)
def _(columns, gypsum_slider, profile, rates, sentence, stage, start, volumes, water_slider):
    live.screen(
        mo.md(f"## {start.soil.name}: with gypsum, or water alone. What leaves the clay?"),
        live.row(gypsum_slider, water_slider),
        live.row(rates, volumes),
        live.caution(wording.CAUTION_RATE),
        sentence,
        live.row(columns, profile),
        stages.bar(stage),
    )
    return


@app.cell(hide_code=True)
def _(
    applied,
    capacity,
    conductivity,
    first_esp,
    gypsum_rate,
    placement,
    rate_unit,
    selectivity,
    start,
    water_volume,
    waters,
):
    def as_set():
        soil = choice.soil_as_set(
            start,
            esp_pct=first_esp.value,
            conductivity_ds_per_m=conductivity.value,
            capacity=capacity.value,
            sodium_selectivity=selectivity.value,
        )
        return soilx.Scenario.of(
            soil=soil,
            gypsum=soilx.quantity(gypsum_rate.value, rate_unit.value),
            placement=placement.value,
            dissolution="first_order" if placement.value == "surface" else "equilibrium",
            wettings=[(soilx.quantity(water_volume.value, "pore_volume"), waters[applied.value])],
        )

    scenario, refusal = choice.attempt(as_set)
    return refusal, scenario


@app.cell(hide_code=True)
def _(columns, profile, rates, refusal, scenario, sentence, volumes):
    # One cell for the run and the first screen: each cell more on the way costs a move milliseconds.
    mo.stop(scenario is None, live.problem(refusal))
    pair, trouble = choice.attempt(lambda: soilx.sweep([scenario, scenario.without_gypsum()]))
    mo.stop(pair is None, live.problem(trouble))
    treated, untreated = pair
    for first in (sentence, columns, profile):
        first.show(treated=treated, untreated=untreated)
    rates.text = equivalents.rate_in_every_unit(scenario)
    volumes.text = equivalents.water_in_every_unit(scenario)
    return treated, untreated


@app.cell(hide_code=True)
def _(
    applied,
    conductivity_slider,
    first_esp_slider,
    placement,
    preset,
    rate_unit,
    selectivity_slider,
):
    mo.accordion(
        {
            "Change the soil": live.screen(
                mo.hstack([preset, placement, applied, rate_unit], justify="start", wrap=True),
                live.row(first_esp_slider, conductivity_slider, selectivity_slider),
                mo.md(
                    f"Starting EC moves only “{choice.OWN_SOIL}”: the other soils come with their own salts. "
                    "Selectivity 0.0085 to 0.0163 is the published range; it falls as water gets saltier. "
                    "Gypsum on the surface dissolves slowly here, at a third of what the water could hold."
                ),
            )
        }
    )
    return


@app.cell(hide_code=True)
def _(calcium, leachate, ratio, salt, stage):
    mo.stop(stage.value < 2)
    stages.section(
        2,
        "What drains out",
        mo.md(
            "Follow the lines from left to right: each step of water pushes out what stood in the last "
            "layer. A dotted line is the setting before."
        ),
        live.row(leachate, calcium),
        live.row(salt, ratio),
    )
    return


@app.cell(hide_code=True)
def _(calcium, leachate, ratio, salt, stage, treated, untreated):
    mo.stop(stage.value < 2)
    for drained in (leachate, calcium, salt, ratio):
        drained.show(treated=treated, untreated=untreated)
    return


@app.cell(hide_code=True)
def _(places, stage):
    mo.stop(stage.value < 3)
    stages.section(
        3,
        "Where is the sodium now?",
        places,
        mo.md("Only sodium in the leachate has left. What is still in the water can go with the next rain."),
    )
    return


@app.cell(hide_code=True)
def _(places, stage, treated, untreated):
    mo.stop(stage.value < 3)
    places.show(treated=treated, untreated=untreated)
    return


@app.cell(hide_code=True)
def _(capacity_slider, stage):
    mo.stop(stage.value < 4)
    stages.section(
        4,
        "More clay, more sodium to move",
        live.row(capacity_slider),
        mo.md(
            "The cation exchange capacity counts the places on the clay. Move it, and watch the columns: the "
            "same share of sodium is then more sodium, and asks for more calcium."
        ),
    )
    return


@app.cell(hide_code=True)
def _(looks, stage):
    mo.stop(stage.value < 5)
    stages.section(
        5,
        "Does it run clear or cloudy?",
        looks,
        mo.md(f"{wording.CLARITY_IS_A_BAND} {wording.CLEAR_IS_NOT_RECLAIMED}"),
    )
    return


@app.cell(hide_code=True)
def _(looks, stage, treated, untreated):
    mo.stop(stage.value < 5)
    looks.show(treated=treated, untreated=untreated)
    return


@app.cell(hide_code=True)
def _():
    get_portions, set_portions = mo.state(0)
    return get_portions, set_portions


@app.cell(hide_code=True)
def _(set_portions):
    next_portion = mo.ui.button(
        label="Next portion", kind="success", on_change=lambda _: set_portions(lambda count: count + 1)
    )
    start_again = mo.ui.button(label="Start again", on_change=lambda _: set_portions(0))
    return next_portion, start_again


@app.cell(hide_code=True)
def _():
    portion = mo.ui.dropdown(
        {"half a pore volume": 0.5, "one pore volume": 1.0},
        value="half a pore volume",
        label="One portion is",
    )
    return (portion,)


@app.cell(hide_code=True)
def _():
    pouring = stages.Pouring()
    return (pouring,)


@app.cell(hide_code=True)
def _(next_portion, portion, pouring, stage, start_again):
    mo.stop(stage.value < 6)
    stages.section(
        6,
        "One portion at a time",
        mo.md("Both columns start again, dry as they were. Each press pours one portion on both."),
        mo.hstack([next_portion, start_again, portion], justify="start", wrap=True),
        pouring.columns,
    )
    return


@app.cell(hide_code=True)
def _(get_portions, portion, pouring, scenario, stage):
    mo.stop(stage.value < 6 or scenario is None)
    poured, spill = choice.attempt(lambda: pouring.pour(scenario, portion.value, get_portions()))
    live.problem(spill) if poured is None else stages.portions_so_far(treated=poured[0], untreated=poured[1])
    return


@app.cell(hide_code=True)
def _(assumptions, treated, untreated):
    assumptions.show(treated=treated, untreated=untreated)
    return


@app.cell(hide_code=True)
def _(assumptions, start):
    live.prose(
        mo.md(
            f"""
            ### What you see

            Two columns of the same soil get the same water. One has gypsum.
            {live.soil_line(start.soil)}
            Each layer shows how much of its clay's charge is held by sodium. The darker, the more.

            ### What to notice

            * The soil drinks first. Until it is wet through, nothing drains and no sodium leaves.
            * Water alone takes the salt between the grains. It hardly touches the sodium on the clay.
            * The start is counted in drained soil. Drier soil holds a little more sodium on its clay, so
              that water alone can end slightly above the start.
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
