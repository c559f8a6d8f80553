# /// script
# requires-python = ">=3.11"
# [tool.marimo.display]
# theme = "system"
# ///

import marimo

__generated_with = "0.25.2"
app = marimo.App(width="full", app_title="Gypsum on the bench", css_file="soilx.css")

with app.setup:
    import marimo as mo

    from soilx import wording
    from soilx.handouts.save_page import SavePage
    from soilx.show import bench

    bench.quick_turns()


@app.cell(hide_code=True)
def _():
    # The address with ?show=all opens all three parts below each other, for print too; with ?show=plain
    # nothing is asked.
    wanted = (mo.query_params().get("show"), mo.cli_args().get("show"))
    tabs = bench.Tabs("Parts of a bench run", bench.TABS, tab=0 if "all" in wanted else 1)
    stages = bench.Stages(["the first cups"], plain="all" in wanted or "plain" in wanted)
    tab_bar, stage_bar = tabs.shown, stages.shown
    ask_first = bench.AskFirst()
    return ask_first, stage_bar, tab_bar


@app.cell(hide_code=True)
def _():
    guess = bench.CupGuess()
    guess_panel = guess.shown
    return guess, guess_panel


@app.cell(hide_code=True)
def _():
    seen = bench.Prediction(
        "What did you see? The invented run of Block C: which column gave up more sodium, and when?",
        bench.Choice(
            text="The one without gypsum: gypsum held the sodium back",
            reply="Its first cup had less than half of the other's. Calcium does not hold sodium. It takes "
            "sodium's place on the clay.",
        ),
        bench.Choice(
            text="The one with gypsum, about as much in each cup",
            reply="More in all, yes. But each of its cups held about half as much as the cup before.",
        ),
        bench.Choice(
            text="The one with gypsum, most of it in the first cups",
            reply="The first cup took what was dissolved and what calcium set free. Later cups found less.",
            right=True,
        ),
        seen=True,
    )
    explain = bench.Explain("Why did the first cup with gypsum hold more sodium? Say it in your own words.")
    return explain, seen


@app.cell(hide_code=True)
def _():
    soil_pick = bench.Pick("Soil", bench.soils_offered(), value="Block C")
    soil_list = soil_pick.shown
    return soil_list, soil_pick


@app.cell(hide_code=True)
def _():
    soil_file = bench.Upload("Your soil (TOML: a scenario, as `soilx leach` takes it)", accept=".toml")
    soil_button = soil_file.shown
    return soil_button, soil_file


@app.cell(hide_code=True)
def _():
    soil_mass = bench.Entry("Oven-dry soil in a column", "100 g")
    soil_mass_field = soil_mass.shown
    return soil_mass, soil_mass_field


@app.cell(hide_code=True)
def _():
    opening = bench.Entry("Inner width of the container", "9 cm")
    opening_field = opening.shown
    return opening, opening_field


@app.cell(hide_code=True)
def _():
    dose = bench.Entry(
        "Gypsum, or the share to reach",
        bench.DOSES["Block C"],
        hint="pure gypsum: t/ha, short ton/acre, lb/1000 ft^2, g/kg; or a target: 6 %",
    )
    dose_field = dose.shown
    return dose, dose_field


@app.cell(hide_code=True)
def _():
    product = bench.Pick("Product that is weighed", bench.products_offered(), value="white bag")
    product_list = product.shown
    return product, product_list


@app.cell(hide_code=True)
def _():
    purity = bench.Entry("Gypsum in the dry product", "90 %", hint="counts for your own product")
    purity_field = purity.shown
    return purity, purity_field


@app.cell(hide_code=True)
def _():
    moisture = bench.Entry("Water in the product", "5 %", hint="counts for your own product")
    moisture_field = moisture.shown
    return moisture, moisture_field


@app.cell(hide_code=True)
def _():
    water = bench.Entry("Water after the pre-wetting", "360 mL", hint="mL, pore volumes, or mm on the field")
    water_field = water.shown
    return water, water_field


@app.cell(hide_code=True)
def _():
    portions = bench.Entry("In how many portions", "6")
    portions_field = portions.shown
    return portions, portions_field


@app.cell(hide_code=True)
def _():
    replicates = bench.Entry("Columns of each arm", "3")
    replicates_field = replicates.shown
    return replicates, replicates_field


@app.cell(hide_code=True)
def _():
    balance = bench.Entry("Smallest step of the balance", "0.01 g")
    balance_field = balance.shown
    return balance, balance_field


@app.cell(hide_code=True)
def _():
    measured_with = bench.Pick("Read with", bench.INSTRUMENTS, value="kits")
    measured_with_list = measured_with.shown
    return measured_with, measured_with_list


@app.cell(hide_code=True)
def _():
    irrigation = bench.Pick("Your irrigation water", bench.waters_offered(), value=bench.NO_IRRIGATION)
    irrigation_list = irrigation.shown
    return irrigation, irrigation_list


@app.cell(hide_code=True)
def _():
    arms = bench.Ticks(
        "Beside the pair, with gypsum and without", bench.ARMS_OFFERED, value=["sodium chloride"]
    )
    arm_boxes = arms.shown
    return arm_boxes, arms


@app.cell(hide_code=True)
def _():
    bench_dose = bench.Entry("Product in a column", "0.40 g")
    bench_dose_field = bench_dose.shown
    return bench_dose, bench_dose_field


@app.cell(hide_code=True)
def _():
    bench_water = bench.Entry("Water on a column", "60 mL")
    bench_water_field = bench_water.shown
    return bench_water, bench_water_field


@app.cell(hide_code=True)
def _():
    field_rate = bench.Entry("Pure gypsum on the field", "6.95 t/ha")
    field_rate_field = field_rate.shown
    return field_rate, field_rate_field


@app.cell(hide_code=True)
def _():
    field_water = bench.Entry("Water on the field", "100 mm")
    field_water_field = field_water.shown
    return field_water, field_water_field


@app.cell(hide_code=True)
def _():
    parameters = bench.Ticks(
        "What the fit may move",
        bench.parameters_offered(),
        value=bench.FIRST_PARAMETERS,
    )
    parameter_boxes = parameters.shown
    return parameter_boxes, parameters


@app.cell(hide_code=True)
def _():
    readings = bench.Ticks(
        "What the fit goes by", bench.readings_offered(), value=["sodium", "calcium", "ec"]
    )
    reading_boxes = readings.shown
    return reading_boxes, readings


@app.cell(hide_code=True)
def _():
    fit_task = bench.Task("Fit the model to this run (about 3 s)")
    fit_button = fit_task.shown
    return fit_button, fit_task


@app.cell(hide_code=True)
def _():
    planner, soil_choice = bench.Planner(), bench.SoilChoice()
    recorded, fitter = bench.Recorded(), bench.Fitter()
    return fitter, planner, recorded, soil_choice


@app.cell(hide_code=True)
def _(planner):
    # With `--folder` a record is saved in it at once, on the computer that serves the page and for it alone.
    folder, folder_said = bench.folder_of(
        mo.cli_args().get("folder"), host=bench.host_of(mo.app_meta().request)
    )
    sheet = bench.RecordSheet(bench.Keep(folder), begun=lambda: planner.begun)
    record_sheet = sheet.shown
    return folder_said, record_sheet, sheet


@app.cell(hide_code=True)
def _():
    dose_sheet, arms_sheet, work_sheet = bench.Sheet(), bench.Sheet(), bench.Sheet()
    refusal_sheet, card_sheet = bench.Sheet(), bench.Sheet()
    return arms_sheet, card_sheet, dose_sheet, refusal_sheet, work_sheet


@app.cell(hide_code=True)
def _():
    lines_sheet, budget_sheet, fit_sheet = bench.Sheet(), bench.Sheet(), bench.Sheet()
    return budget_sheet, fit_sheet, lines_sheet


@app.cell(hide_code=True)
def _():
    planned_charts, measured_charts, fitted_charts = (bench.curve_charts() for _ in range(3))
    budget_charts, fit_charts = bench.budget_charts(), bench.fit_charts()
    return budget_charts, fit_charts, fitted_charts, measured_charts, planned_charts


@app.cell(hide_code=True)
def _():
    soil_download = bench.Download("Take this run away (TOML)", waits="Nothing to save before a fit.")
    row_download = bench.Download("Take the fitted soil to the field page (CSV)")
    return row_download, soil_download


@app.cell(hide_code=True)
def _(
    arm_boxes,
    arms_sheet,
    ask_first,
    balance_field,
    bench_dose_field,
    bench_water_field,
    budget_charts,
    budget_sheet,
    card_sheet,
    dose_field,
    dose_sheet,
    explain,
    field_rate_field,
    field_water_field,
    fit_button,
    fit_sheet,
    guess_panel,
    irrigation_list,
    lines_sheet,
    measured_charts,
    measured_with_list,
    moisture_field,
    opening_field,
    parameter_boxes,
    planned_charts,
    portions_field,
    product_list,
    purity_field,
    reading_boxes,
    record_sheet,
    refusal_sheet,
    replicates_field,
    seen,
    soil_button,
    soil_list,
    soil_mass_field,
    stage_bar,
    tab_bar,
    water_field,
    work_sheet,
):
    parts = bench.screen(
        mo.md("# Gypsum on the bench: a pair of columns"),
        tab_bar,
        bench.folds(ask_first, stage_bar),
        bench.part(bench.step(guess_panel, at="ask"), stage=1, label="Guess first"),
        bench.panel(
            bench.row(soil_list, dose_field, product_list, look="narrow"),
            bench.row(soil_mass_field, opening_field, water_field, portions_field, look="narrow"),
            bench.fold(
                "More: your own soil or product, balance, replicates, instruments, irrigation water",
                bench.row(
                    replicates_field, balance_field, measured_with_list, irrigation_list, look="narrow"
                ),
                bench.row(purity_field, moisture_field, soil_button, look="narrow"),
            ),
            refusal_sheet,
            mo.md("## How much, by soil mass"),
            dose_sheet,
            tab=1,
            label="The dose",
        ),
        bench.panel(
            mo.md("## From bench to field and back"),
            bench.row(
                bench_dose_field, bench_water_field, field_rate_field, field_water_field, look="narrow"
            ),
            card_sheet,
            tab=1,
            label="From bench to field and back",
        ),
        bench.panel(
            mo.md("## Which columns, and what the model expects of them"),
            arm_boxes,
            bench.step(
                bench.row(*planned_charts.values(), label="What the model expects"), arms_sheet, at="curve"
            ),
            tab=1,
            stage=1,
            label="Which columns",
        ),
        bench.panel(mo.md("## The order of work"), work_sheet, tab=1, label="The order of work"),
        bench.panel(
            bench.step(
                mo.md("## Write each cup down"),
                record_sheet,
                mo.md("## What was read, over what was expected"),
                lines_sheet,
                bench.row(*measured_charts.values(), label="What was read"),
                at="curve",
            ),
            bench.step(
                mo.md(
                    "**Notice.** Water alone takes the salt between the grains. With gypsum, calcium takes "
                    "sodium's place on the clay, and the first cup carries off both."
                ),
                bench.row(seen, explain),
                at="why",
            ),
            tab=2,
            stage=1,
            label="Write each cup down",
        ),
        bench.panel(
            bench.step(
                mo.md("## Where the sodium went"),
                bench.row(*budget_charts, label="The sodium budget"),
                budget_sheet,
                at="curve",
            ),
            tab=3,
            stage=1,
            label="Where the sodium went",
        ),
        bench.panel(
            bench.step(
                mo.md("## Learn from the difference"),
                mo.md(
                    "The prediction was made before the first drop. A fit moves some of the soil's numbers "
                    "until the model meets the cups, and says which of them the cups can tell at all."
                ),
                parameter_boxes,
                reading_boxes,
                fit_button,
                fit_sheet,
                at="curve",
            ),
            tab=3,
            stage=1,
            label="Learn from the difference",
        ),
    )
    parts
    return (parts,)


@app.cell(hide_code=True)
def _(fit_charts, fitted, fitted_charts, row_download, soil_download):
    # Nothing is drawn of a fit before there is one.
    fit_part = (
        bench.panel(
            bench.row(*fit_charts, label="What the fit is worth"),
            mo.md("### Before the fit and after"),
            bench.row(*fitted_charts.values(), label="Before the fit and after"),
            mo.md(
                "The run with the fitted soil is read by `soilx leach`, and by the first tab again. The soil "
                "alone is a table that the field page loads. Take it there only if nothing above warns of it."
            ),
            bench.row(soil_download, row_download),
            bench.caution(wording.CAUTION_RATE),
            tab=3,
            label="What the fit is worth",
        )
        if fitted is not None
        else None
    )
    fit_part
    return (fit_part,)


@app.cell(hide_code=True)
def _(dose_field, soil_button, soil_choice, soil_file, soil_list, soil_pick):
    # Another soil: its dose goes to where it starts.
    soil = soil_choice.choose(soil_pick.value, soil_file.value, pick=soil_list, brought=soil_button)
    bench.settle_dose(soil, dose_field)
    return (soil,)


@app.cell(hide_code=True)
def _(
    arms,
    balance,
    balance_field,
    dose,
    dose_field,
    irrigation,
    measured_with,
    moisture,
    moisture_field,
    opening,
    opening_field,
    planner,
    portions,
    portions_field,
    product,
    purity,
    purity_field,
    refusal_sheet,
    replicates,
    replicates_field,
    soil,
    soil_mass,
    soil_mass_field,
    water,
    water_field,
):
    plan = planner.made(
        lambda: bench.plan_of(
            soil,
            soil_mass=soil_mass.value,
            opening=opening.value,
            dose=dose.value,
            product=product.value,
            purity=purity.value,
            moisture=moisture.value,
            water=water.value,
            portions=portions.value,
            replicates=replicates.value,
            balance=balance.value,
            measured_with=measured_with.value,
            irrigation=irrigation.value,
            arms=arms.value,
        ),
        {
            "soil_mass": soil_mass_field,
            "opening": opening_field,
            "gypsum": dose_field,
            "target": dose_field,
            "purity": purity_field,
            "moisture": moisture_field,
            "water": water_field,
            "portions": portions_field,
            "replicates": replicates_field,
            "balance": balance_field,
        },
        otherwise=lambda why: bench.say_refusal(refusal_sheet, why),
    )
    return (plan,)


@app.cell(hide_code=True)
def _(arms_sheet, dose_sheet, plan, work_sheet):
    bench.show_dose(dose_sheet, plan)
    bench.show_arms(arms_sheet, plan)
    bench.show_work(work_sheet, plan)
    return


@app.cell(hide_code=True)
def _(
    bench_dose,
    bench_dose_field,
    bench_water,
    bench_water_field,
    card_sheet,
    field_rate,
    field_rate_field,
    field_water,
    field_water_field,
    plan,
):
    cards = bench.show_cards(
        card_sheet,
        lambda: bench.cards_of(
            plan,
            bench_dose=bench_dose.value,
            bench_water=bench_water.value,
            field_rate=field_rate.value,
            field_water=field_water.value,
        ),
        {
            "bench dose": bench_dose_field,
            "bench water": bench_water_field,
            "field rate": field_rate_field,
            "field water": field_water_field,
        },
    )
    return (cards,)


@app.cell(hide_code=True)
def _(budget_charts, budget_sheet, folder_said, lines_sheet, plan, recorded, sheet, stage_bar):
    record = sheet.value
    if not sheet.is_example:
        # Who works on a run of their own is not asked at every visit.
        stage_bar.control.pass_on()
    run_plan = recorded.plan(record, plan)
    bench.show_recorded(lines_sheet, record, recorded, folder_said=folder_said)
    budget = bench.show_budget(budget_sheet, budget_charts, record)
    return budget, record, run_plan


@app.cell(hide_code=True)
def _(guess, measured_charts, plan, planned_charts, record, run_plan):
    # A guess stays on both charts of sodium, as a level across.
    guess.show(plan, record)
    read = guess.by_reading or guess.by_model
    bench.show_planned(planned_charts, plan, guess=guess.ghost(guess.by_model))
    bench.show_measured(measured_charts, record, run_plan, guess=guess.ghost(read))
    return


@app.cell(hide_code=True)
def _(
    fit_button,
    fit_charts,
    fit_sheet,
    fit_task,
    fitted_charts,
    fitter,
    parameters,
    plan,
    readings,
    record,
    row_download,
    run_plan,
    soil_download,
):
    fitted = fitter.fitted(
        fit_task.value, record, plan, parameters=parameters.value, readings=readings.value, shown=fit_button
    )
    bench.show_fit(fit_sheet, fit_charts, fitted, fitter.said)
    bench.show_fitted(fitted_charts, fitted)
    bench.put_soil(soil_download, row_download, fitted, run_plan)
    return (fitted,)


@app.cell(hide_code=True)
def _():
    notes = bench.prose(
        mo.md(
            "### Before you do this\n\n"
            + "\n".join(f"* {caution}" for caution in (wording.DRAINAGE_FIRST, *wording.ALL_CAUTIONS))
        ),
        mo.md(
            f"""
            ### A question

            Halve the soil in a column and leave the container as it is. What happens to the dose by soil
            mass, and what to the dose by area? Say it first, then type 50 g.

            ### What this leaves out

            {wording.MODEL_LEAVES_OUT} {wording.DEIONISED_IS_HARSH} {wording.INVENTED_DATA}

            {wording.RECALLED_MEANS} {wording.COMMON_PRACTICE_MEANS}

            ### Where to go next

            {wording.NEXT_AFTER_BENCH}
            """
        ),
    )
    notes
    return (notes,)


@app.cell(hide_code=True)
def _():
    save = SavePage("bench", "Gypsum on the bench: a pair of columns")
    return (save,)


@app.cell(hide_code=True)
def _(fit_part, notes, parts, save):
    bench.prose(save.holds(parts, fit_part, notes))
    return


if __name__ == "__main__":
    app.run()
