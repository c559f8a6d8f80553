# /// script
# requires-python = ">=3.11"
# [tool.marimo.display]
# theme = "system"
# ///

import marimo

__generated_with = "0.25.2"
app = marimo.App(width="full", app_title="From a soil test to a decision", css_file="soilx.css")

with app.setup:
    import marimo as mo

    from soilx import wording
    from soilx.handouts.save_page import SavePage
    from soilx.show import field

    field.quick_turns()


@app.cell(hide_code=True)
def _():
    soil_pick = field.Pick("Soil test", field.soils_offered(), value="Block C")
    soil_list = soil_pick.shown
    return soil_list, soil_pick


@app.cell(hide_code=True)
def _():
    water_pick = field.Pick("Water on this ground", field.waters_offered(), value="Well 3")
    water_list = water_pick.shown
    return water_list, water_pick


@app.cell(hide_code=True)
def _():
    convention = field.Pick("Judged by the limits of", field.conventions_offered(), value="US")
    convention_list = convention.shown
    return convention, convention_list


@app.cell(hide_code=True)
def _():
    soil_table = field.Upload("A table of soil tests (CSV, the columns of soils.csv)", accept=".csv")
    soil_table_button = soil_table.shown
    return soil_table, soil_table_button


@app.cell(hide_code=True)
def _():
    test_form = field.Form("Soil test", field.report_groups())
    test_boxes = test_form.shown
    return test_boxes, test_form


@app.cell(hide_code=True)
def _():
    water_form = field.Form("Water", field.water_groups())
    water_boxes = water_form.shown
    return water_boxes, water_form


@app.cell(hide_code=True)
def _():
    aim_form = field.Form("What is aimed at", field.aim_groups(), texts=field.aims_of("Block C"))
    aim_boxes = aim_form.shown
    return aim_boxes, aim_form


@app.cell(hide_code=True)
def _():
    product_pick = field.Pick("Gypsum that is bought", field.gypsum_offered(), value="Pit gypsum")
    product_list = product_pick.shown
    return product_list, product_pick


@app.cell(hide_code=True)
def _():
    product_form = field.Form("Product", field.product_groups())
    product_boxes = product_form.shown
    return product_boxes, product_form


@app.cell(hide_code=True)
def _():
    gypsum_rate = field.rate_control()
    gypsum_slider = gypsum_rate.shown
    return gypsum_rate, gypsum_slider


@app.cell(hide_code=True)
def _():
    water_volume = field.water_control()
    water_slider = water_volume.shown
    return water_slider, water_volume


@app.cell(hide_code=True)
def _():
    sprinkler = field.Control(
        "What the sprinklers bring",
        "mm/h",
        low=1,
        high=50,
        step=0.5,
        value=field.SPRINKLER_MM_PER_H,
        digits=1,
    )
    sprinkler_slider = sprinkler.shown
    return sprinkler, sprinkler_slider


@app.cell(hide_code=True)
def _():
    band_task = field.Task("How sure is this rate? Draw 2000 soils (about 3 s)")
    band_button = band_task.shown
    return band_button, band_task


@app.cell(hide_code=True)
def _():
    handling = field.Pick("Who spreads it", field.HANDLING, value="anyone")
    handling_list = handling.shown
    return handling, handling_list


@app.cell(hide_code=True)
def _():
    price_form = field.Form("Prices", field.price_groups(), texts=field.price_texts())
    price_boxes = price_form.shown
    return price_boxes, price_form


@app.cell(hide_code=True)
def _():
    way = field.Pick("How it is spread", field.WAYS, value=field.FIELD.way)
    way_list = way.shown
    return way, way_list


@app.cell(hide_code=True)
def _():
    cover = field.Pick("What grows there", field.covers_offered(), value=field.FIELD.cover)
    cover_list = cover.shown
    return cover, cover_list


@app.cell(hide_code=True)
def _():
    climate = field.Pick("Climate (invented)", {name: name for name in field.climates()}, value="Dry summers")
    climate_list = climate.shown
    return climate, climate_list


@app.cell(hide_code=True)
def _():
    years = field.Pick("Years to look ahead", {str(n): str(n) for n in (1, 2, 3, 5, 10)}, value="5")
    years_list = years.shown
    return years, years_list


@app.cell(hide_code=True)
def _():
    plan_form = field.Form("Dates and limits", field.plan_groups(), texts=field.plan_texts())
    plan_boxes = plan_form.shown
    return plan_boxes, plan_form


@app.cell(hide_code=True)
def _():
    plan_task = field.Task("Work out the years for the chosen rate")
    plan_button = plan_task.shown
    return plan_button, plan_task


@app.cell(hide_code=True)
def _():
    verdict_sheet, test_sheet, reasons_sheet = field.Sheet(), field.Sheet(), field.Sheet()
    rate_sheet, chosen_sheet, water_sheet = field.Sheet(), field.Sheet(), field.Sheet()
    return chosen_sheet, rate_sheet, reasons_sheet, test_sheet, verdict_sheet, water_sheet


@app.cell(hide_code=True)
def _():
    band_sheet, amendment_sheet = field.Sheet(), field.Sheet()
    programme_sheet, follow_up_sheet = field.Sheet(), field.Sheet()
    return amendment_sheet, band_sheet, follow_up_sheet, programme_sheet


@app.cell(hide_code=True)
def _():
    desk, picked = field.Desk(), field.Picked()
    return desk, picked


@app.cell(hide_code=True)
def _():
    plane, dose_map, sodium_path = field.Plane(), field.DoseMap(), field.SodiumPath()
    return dose_map, plane, sodium_path


@app.cell(hide_code=True)
def _(aim_boxes, convention_list, soil_list, verdict_sheet, water_list):
    decision_part = field.screen(
        mo.md("# From a soil test to a decision"),
        field.row(soil_list, water_list, convention_list, look="narrow"),
        verdict_sheet,
        field.fold("Aim, depth and factor", aim_boxes),
    )
    decision_part
    return (decision_part,)


@app.cell(hide_code=True)
def _(soil_table, soil_table_button):
    soils = field.read_upload(soil_table.value, field.read_reports, shown=soil_table_button)
    row_pick = field.table_pick(soils)
    row_list = row_pick.shown
    return row_list, row_pick, soils


@app.cell(hide_code=True)
def _(row_list, soil_table_button, soils, test_boxes, water_boxes):
    test_part = field.screen(
        mo.md("## 1. The soil test"),
        mo.md(
            "Every box may stay empty. Write each number with its unit, as the report has it. What "
            "is missing is "
            "said below, and so is the cheapest test that would tell."
        ),
        field.fold("Type or change the soil test", test_boxes),
        field.fold("Type or change the water", water_boxes),
        field.fold("Load a table of your own", field.row(soil_table_button, *((row_list,) if soils else ()))),
    )
    test_part
    return (test_part,)


@app.cell(hide_code=True)
def _(test_sheet):
    report_part = field.screen(mo.md("## 2. What the report says"), test_sheet)
    report_part
    return (report_part,)


@app.cell(hide_code=True)
def _(plane, reasons_sheet):
    reasons_part = field.screen(mo.md("## 3. Why this verdict"), plane, reasons_sheet)
    reasons_part
    return (reasons_part,)


@app.cell(hide_code=True)
def _(
    band_button,
    band_sheet,
    chosen_sheet,
    dose_map,
    gypsum_slider,
    product_boxes,
    product_list,
    rate_sheet,
    sprinkler_slider,
    water_sheet,
    water_slider,
):
    rate_part = field.screen(
        mo.md("## 4. How much"),
        field.row(product_list, sprinkler_slider),
        field.fold("The product, from its label", product_boxes),
        rate_sheet,
        mo.md("### Choose gypsum and water"),
        field.row(gypsum_slider, water_slider),
        chosen_sheet,
        dose_map,
        mo.md("### How much water"),
        water_sheet,
        mo.md("### How sure"),
        band_button,
        band_sheet,
    )
    rate_part
    return (rate_part,)


@app.cell(hide_code=True)
def _(amendment_sheet, handling_list, price_boxes):
    amendment_part = field.screen(
        mo.md("## 5. Which amendment"),
        field.row(handling_list),
        field.fold("Your prices", price_boxes),
        amendment_sheet,
    )
    amendment_part
    return (amendment_part,)


@app.cell(hide_code=True)
def _(
    climate_list,
    cover_list,
    plan_boxes,
    plan_button,
    programme_sheet,
    sodium_path,
    way_list,
    years_list,
):
    programme_part = field.screen(
        mo.md("## 6. The programme"),
        field.row(way_list, cover_list, climate_list, years_list, look="narrow"),
        field.fold("Dates, caps and water", plan_boxes),
        plan_button,
        programme_sheet,
        sodium_path,
    )
    programme_part
    return (programme_part,)


@app.cell(hide_code=True)
def _(follow_up_sheet):
    follow_up_part = field.screen(mo.md("## 7. Test again, and take care"), follow_up_sheet)
    follow_up_part
    return (follow_up_part,)


@app.cell(hide_code=True)
def _():
    decision_file = field.decision_download()
    return (decision_file,)


@app.cell(hide_code=True)
def _(decision_file):
    field.screen(
        mo.md("## 8. Keep it, and hand it on"),
        mo.md(
            "One small file holds all that was typed for this decision. From it `soilx handout` makes a page "
            "of one or two sheets for a gardener, a turf manager, a grower or a student."
        ),
        decision_file,
    )
    return


@app.cell(hide_code=True)
def _(aim_boxes, cover_list, picked, row_pick, soil_pick, soils, test_boxes, way_list):
    # Another soil: every form goes to where it starts.
    soil_name = picked.fill(
        soil_pick.value,
        soils,
        row_pick.value,
        form=test_boxes,
        aims=aim_boxes,
        cover=cover_list,
        way=way_list,
    )
    return (soil_name,)


@app.cell(hide_code=True)
def _(water_boxes, water_pick):
    water_name = field.fill_water(water_pick.value, water_boxes)
    return (water_name,)


@app.cell(hide_code=True)
def _(product_boxes, product_pick):
    product_name = field.fill_product(product_pick.value, product_boxes)
    return (product_name,)


@app.cell(hide_code=True)
def _(
    aim_boxes,
    aim_form,
    convention,
    desk,
    reasons_sheet,
    soil_name,
    test_boxes,
    test_form,
    test_sheet,
    verdict_sheet,
    water_boxes,
    water_form,
    water_name,
):
    soil_name
    report = desk.report(test_form.value, test_boxes)
    water = desk.water(water_name, water_form.value, water_boxes)
    aim = desk.aim(aim_form.value, aim_boxes, convention=convention.value)
    decision = field.verdict_on(report, water=water, aim=aim, convention=convention.value)
    field.show_verdict(verdict_sheet, decision)
    field.show_test(test_sheet, report)
    field.show_reasons(reasons_sheet, decision)
    return aim, decision, report, water


@app.cell(hide_code=True)
def _(decision, plane):
    plane.show(decision)
    return


@app.cell(hide_code=True)
def _(aim, decision, gypsum_slider, report, water, water_slider):
    answer = field.settle_sliders(
        field.answer_to(report, water=water, aim=aim, decision=decision),
        gypsum=gypsum_slider,
        water=water_slider,
    )
    return (answer,)


@app.cell(hide_code=True)
def _(answer, desk, product_boxes, product_form, product_name, rate_sheet, soils):
    product = desk.product(product_name, product_form.value, product_boxes)
    field.show_rate(rate_sheet, answer, product, table=soils)
    return (product,)


@app.cell(hide_code=True)
def _(answer, sprinkler, water_sheet):
    field.show_water(water_sheet, answer, sprinkler_mm_per_h=sprinkler.value)
    return


@app.cell(hide_code=True)
def _(answer, chosen_sheet, dose_map, gypsum_rate, product, water_volume):
    run = field.chosen_run(answer, t_per_ha=gypsum_rate.value, pore_volumes=water_volume.value)
    field.show_chosen(chosen_sheet, answer, run, product)
    dose_map.show(answer, run)
    return (run,)


@app.cell(hide_code=True)
def _(
    aim_form,
    answer,
    climate,
    convention,
    cover,
    decision_file,
    gypsum_rate,
    plan_form,
    price_form,
    product,
    product_form,
    report,
    way,
    years,
):
    field.put_decision(
        decision_file,
        report,
        answer,
        convention=convention.value,
        aim=aim_form.value,
        product=product,
        product_boxes=product_form.value,
        prices=price_form.value,
        plan=plan_form.value,
        picked={"way": way.value, "cover": cover.value, "climate": climate.value, "years": years.value},
        t_per_ha=gypsum_rate.value,
    )
    return


@app.cell(hide_code=True)
def _(answer, band_button, band_sheet, band_task, desk):
    # A band belongs to one answer: another soil takes it away until the button is pressed again.
    band = None
    if desk.pressed("band", band_task.value):
        band, _why = field.worked(band_button, lambda told: field.band_of(answer, told))
    field.show_band(band_sheet, band)
    return (band,)


@app.cell(hide_code=True)
def _(amendment_sheet, answer, handling, price_boxes, price_form, product):
    field.show_amendments(
        amendment_sheet,
        answer,
        field.priced(price_form.value, price_boxes, own=product),
        handling=handling.value,
    )
    return


@app.cell(hide_code=True)
def _(
    answer,
    climate,
    cover,
    follow_up_sheet,
    gypsum_slider,
    plan_boxes,
    plan_button,
    plan_form,
    plan_task,
    product,
    programme_sheet,
    sodium_path,
    way,
    years,
):
    plan_task.value
    programme = None
    wanting = field.may_run(answer)
    plan = (
        None
        if wanting
        else field.plan_of(
            answer,
            plan_form.value,
            plan_boxes,
            t_per_ha=field.value_of(gypsum_slider, answer.start_t_per_ha),
            way=way.value,
            cover=cover.value,
            product=product,
        )
    )
    if plan is not None:
        programme, wanting = field.worked(
            plan_button,
            lambda told: field.years_of(
                answer,
                plan,
                field.field_water(answer.soil, answer.water, climate=climate.value, cover=cover.value),
                years=int(years.value),
                told=told,
            ),
        )
    if programme is None:
        field.show_wanting(programme_sheet, wanting or field.NO_PLAN)
        sodium_path.clear(wanting or field.NO_PLAN)
    else:
        field.show_programme(programme_sheet, programme, answer)
        sodium_path.show(programme)
    field.show_follow_up(follow_up_sheet, programme, answer)
    return plan, programme


@app.cell(hide_code=True)
def _():
    notes = field.prose(
        mo.md(
            "### Before you do this outside\n\n"
            + "\n".join(f"* {caution}" for caution in (wording.DRAINAGE_FIRST, *wording.ALL_CAUTIONS))
        ),
        mo.md(
            f"""
            ### What to notice

            * The order of the questions: can water leave, is there a sodium problem, does the water bring it
              back. Only then comes gypsum.
            * The formula and the column rarely agree. The formula counts sodium. The column also counts the
              calcium that takes other places or leaves with the water.
            * A target below the water's floor is reached for a season, not kept.

            ### A question

            Pick another water. Does the verdict change, or only the rate? Say what you expect first.

            ### What this leaves out

            {wording.MODEL_LEAVES_OUT} {wording.WATER_MUST_LEAVE} {wording.INVENTED_DATA} The climates and
            the prices are invented too.

            {wording.RECALLED_MEANS} {wording.COMMON_PRACTICE_MEANS}

            ### Where to go next

            {wording.NEXT_AFTER_FIELD}
            """
        ),
    )
    notes
    return (notes,)


@app.cell(hide_code=True)
def _():
    save = SavePage("field", "From a soil test to a decision")
    return (save,)


@app.cell(hide_code=True)
def _(
    amendment_part,
    decision_part,
    follow_up_part,
    notes,
    programme_part,
    rate_part,
    reasons_part,
    report_part,
    save,
    test_part,
):
    field.prose(
        save.holds(
            decision_part,
            test_part,
            report_part,
            reasons_part,
            rate_part,
            amendment_part,
            programme_part,
            follow_up_part,
            notes,
        )
    )
    return


if __name__ == "__main__":
    app.run()
