# /// script
# requires-python = ">=3.11"
# [tool.marimo.display]
# theme = "system"
# ///

import marimo

__generated_with = "0.25.2"
app = marimo.App(width="full", app_title="Why calcium moves sodium", css_file="soilx.css")

with app.setup:
    import marimo as mo

    from soilx import wording
    from soilx.handouts.save_page import SavePage
    from soilx.show import lesson


@app.cell(hide_code=True)
def _():
    # For a lecture that skips the guessing, and for print: the address with ?show=all.
    start = lesson.SHOWN if mo.query_params().get("show") == "all" else lesson.UNANSWERED
    return (start,)


@app.cell(hide_code=True)
def _():
    introduction = lesson.screen(
        mo.md(
            """
            # Why calcium moves sodium

            Sodic soil holds too much sodium on its clay. Gypsum brings calcium, and calcium takes sodium's
            place. This lesson asks how, in seven short parts.

            Each part asks you first. Choose, and the picture opens. Then move the slider to its goal and read
            the rule. A wrong guess teaches more than none.
            """
        )
    )
    introduction
    return (introduction,)


@app.cell(hide_code=True)
def _(start):
    sites_guess = lesson.Prediction(
        "Clay with 24 sites holds 24 sodium ions, Na⁺. Six calcium ions, Ca²⁺, settle on it. "
        "How many sodium ions leave the clay?",
        lesson.Choice(
            text="6: one for each calcium",
            reply="That counts ions. Clay counts charge. Each Ca²⁺ carries two charges, so it takes "
            "two sites.",
        ),
        lesson.Choice(
            text="12: two for each calcium",
            reply="Six calcium carry twelve charges. They need twelve sites, and twelve sodium make room.",
            right=True,
        ),
        lesson.Choice(
            text="None: the calcium binds the sodium",
            reply="Calcium does not bind sodium. Both are positive. Calcium takes sodium's place on "
            "the clay, "
            "and the sodium is free in the water.",
        ),
        answer=start,
    )
    sites_question = sites_guess.shown
    return sites_guess, sites_question


@app.cell(hide_code=True)
def _():
    calcium = lesson.Control("Calcium on the clay", "ions", low=0, high=12, step=1, value=6, digits=0)
    calcium_slider = calcium.shown
    return calcium, calcium_slider


@app.cell(hide_code=True)
def _(calcium_slider):
    calcium_goal = lesson.Goal(
        "Clear all 24 sites.",
        calcium_slider,
        low=12,
        high=12,
        done="Half as many calcium as sodium. Why half?",
    )
    return (calcium_goal,)


@app.cell(hide_code=True)
def _():
    sites_chart = lesson.sites_chart()
    return (sites_chart,)


@app.cell(hide_code=True)
def _(calcium, sites_chart):
    sites_chart.put(lesson.sites(calcium=calcium.value))
    return


@app.cell(hide_code=True)
def _(sites_question):
    sites_asked = lesson.screen(mo.md("## 1a. Counting charge"), sites_question)
    sites_asked
    return (sites_asked,)


@app.cell(hide_code=True)
def _(calcium_goal, calcium_slider, sites_chart, sites_guess):
    sites_told = lesson.after(
        sites_guess,
        calcium_slider,
        calcium_goal,
        lesson.row(
            sites_chart,
            mo.md(
                r"""
                **The rule: charge off equals charge on.**

                $$2\,\text{Na·clay} + \text{Ca}^{2+} \rightleftharpoons \text{Ca·clay} + 2\,\text{Na}^+$$

                **Notice.** The sodium that left is still in the water. Only water that drains away takes it
                out of the soil. The sulfate that came with the calcium leaves with it.

                **Laboratory units.** Let one drawn ion stand for 10 mmol in a kilogram of soil. Then 24 sites
                are a cation exchange capacity of 24 meq/100 g (24 cmol<sub>c</sub>/kg). The table gives
                the masses.

                **Ask yourself.** How many calcium would clear all 24 sites?

                **Left out.** In a real soil not every calcium settles. Part 2 shows how many do.
                """
            ),
        ),
    )
    sites_told
    return (sites_told,)


@app.cell(hide_code=True)
def _(start):
    milligrams_guess = lesson.Prediction(
        "A water report shows 200 mg/L of calcium, of magnesium, of sodium and of potassium. "
        "Which one carries the most charge?",
        lesson.Choice(
            text="All the same: each is 200 mg/L",
            reply="Milligrams weigh ions. They do not count them, and they do not count charges.",
        ),
        lesson.Choice(
            text="Calcium: it has two charges",
            reply="Magnesium has two charges as well, and it is lighter. In 200 mg there are more of "
            "its ions.",
        ),
        lesson.Choice(
            text="Magnesium: it is light and has two charges",
            reply="Light ions are many, and each of these counts twice.",
            right=True,
        ),
        lesson.Choice(
            text="Potassium: its ions weigh much",
            reply="Heavy ions are few. In 200 mg there are fewer of them, and each has one charge only.",
        ),
        answer=start,
    )
    milligrams_question = milligrams_guess.shown
    return milligrams_guess, milligrams_question


@app.cell(hide_code=True)
def _():
    each_mass = lesson.Control("Each of the four", "mg/L", low=10, high=500, step=10, value=200, digits=0)
    each_mass_slider = each_mass.shown
    return each_mass, each_mass_slider


@app.cell(hide_code=True)
def _(each_mass_slider):
    each_mass_goal = lesson.Goal(
        "Bring magnesium to 20 meq/L, give or take half a meq.",
        each_mass_slider,
        low=240,
        high=250,
        done="Now read how much sodium is in as many milligrams: about half the charge.",
    )
    return (each_mass_goal,)


@app.cell(hide_code=True)
def _():
    milligrams_chart = lesson.milligrams_chart()
    return (milligrams_chart,)


@app.cell(hide_code=True)
def _(each_mass, milligrams_chart):
    milligrams_chart.put(lesson.milligrams(each_mg_per_l=each_mass.value))
    return


@app.cell(hide_code=True)
def _(milligrams_question):
    milligrams_asked = lesson.screen(mo.md("## 1b. Milligrams hide the charge"), milligrams_question)
    milligrams_asked
    return (milligrams_asked,)


@app.cell(hide_code=True)
def _(each_mass_goal, each_mass_slider, milligrams_chart, milligrams_guess):
    milligrams_told = lesson.after(
        milligrams_guess,
        each_mass_slider,
        each_mass_goal,
        lesson.row(
            milligrams_chart,
            mo.md(
                rf"""
                **The rule: before you compare two ions, turn milligrams (ppm) into charge.**

                $$\text{{meq/L}} = \frac{{\text{{mg/L}}}}{{\text{{molar mass}}}}
                \times \text{{charge of one ion}}$$

                One meq is one millimole of charge (mmol<sub>c</sub>). It weighs
                {lesson.mass_per_charge("Ca"):.1f} mg as calcium, {lesson.mass_per_charge("Mg"):.1f} mg as
                magnesium, {lesson.mass_per_charge("Na"):.1f} mg as sodium and
                {lesson.mass_per_charge("K"):.1f} mg as potassium. Divide the report's mg/L by these.

                **Notice.** The bars grow together. Their order never changes.

                **Ask yourself.** How much sodium in mg/L carries the charge of 100 mg/L of calcium?

                **Left out.** Some ions pair up in water, and a pair carries less charge. Part 5 comes to
                that.
                """
            ),
        ),
    )
    milligrams_told
    return (milligrams_told,)


@app.cell(hide_code=True)
def _(start):
    isotherm_guess = lesson.Prediction(
        "A water holds calcium and sodium, half of the charge each, 50 meq/L together. Clay lies in "
        "plenty of it "
        "until nothing changes any more. How much of the clay's charge does sodium hold?",
        lesson.Choice(
            text="Half, as in the water",
            reply="Clay does not mirror the water. Two charges hold on better than one.",
            drawn=50,
        ),
        lesson.Choice(
            text="About a tenth",
            reply="In thin water the clay prefers calcium by far, but it never leaves sodium out.",
            right=True,
            drawn=10,
        ),
        lesson.Choice(
            text="None: calcium always wins",
            reply="Calcium wins most places, not all. Move the slider to 98 % and see who wins there.",
            drawn=0,
        ),
        lesson.Choice(
            text="Nearly all: there are twice as many sodium ions",
            reply="There are twice as many, but each holds on with one charge only.",
            drawn=90,
        ),
        answer=start,
    )
    isotherm_question = isotherm_guess.shown
    return isotherm_guess, isotherm_question


@app.cell(hide_code=True)
def _():
    sodium_share = lesson.Control(
        "Sodium's share of the dissolved charge", "%", low=0, high=99, step=1, value=50, digits=0
    )
    sodium_share_slider = sodium_share.shown
    return sodium_share, sodium_share_slider


@app.cell(hide_code=True)
def _(sodium_share_slider):
    sodium_share_goal = lesson.Goal(
        "Find the share in the water at which sodium holds 15 % of the clay.",
        sodium_share_slider,
        low=67,
        high=68,
        done="Sodium outnumbers calcium by far before the clay is sodic.",
    )
    return (sodium_share_goal,)


@app.cell(hide_code=True)
def _():
    isotherm_chart = lesson.isotherm_chart()
    return (isotherm_chart,)


@app.cell(hide_code=True)
def _(isotherm_chart, isotherm_guess, sodium_share):
    isotherm_chart.put(lesson.isotherm(sodium_share_pct=sodium_share.value, guessed_pct=isotherm_guess.drawn))
    return


@app.cell(hide_code=True)
def _(isotherm_question):
    isotherm_asked = lesson.screen(mo.md("## 2a. Who holds the clay?"), isotherm_question)
    isotherm_asked
    return (isotherm_asked,)


@app.cell(hide_code=True)
def _(isotherm_chart, isotherm_guess, sodium_share_goal, sodium_share_slider):
    isotherm_told = lesson.after(
        isotherm_guess,
        sodium_share_slider,
        sodium_share_goal,
        lesson.row(
            isotherm_chart,
            mo.md(
                r"""
                **The rule: clay takes more calcium than its share, but sodium in excess pushes it off.**

                $$\frac{E_{\text{Na}}}{E_{\text{Ca}}} = K_G\,\frac{\text{Na}}{\sqrt{\text{Ca}}}$$

                *E* is an ion's share of the clay's charge. Na and Ca are dissolved, in mmol/L. This is
                Gapon's equation with the slope of Handbook 60, *K<sub>G</sub>* = 0.01475 per √(mmol/L).

                **Notice.** The curve hangs low, then shoots up. Exchange runs both ways: salty sodium water
                is how a soil becomes sodic.

                **Ask yourself.** From which share in the water on does sodium hold 15 % of the clay?

                **Left out.** Magnesium and potassium take part too. Magnesium behaves much like calcium.
                """
            ),
        ),
    )
    isotherm_told
    return (isotherm_told,)


@app.cell(hide_code=True)
def _(start):
    beaker_guess = lesson.Prediction(
        "You stir 100 g of soil in 100 mL of water. Sodium holds 40 % of the clay's charge. You add "
        "calcium chloride: "
        "exactly one charge of calcium for each charge of sodium. How much of the clay does sodium "
        "still hold?",
        lesson.Choice(
            text="Nothing: the calcium replaces all of it",
            reply="That would be so if exchange ran one way. The sodium that comes off stays in the "
            "beaker and "
            "pushes back.",
            drawn=0,
        ),
        lesson.Choice(
            text="Some, about 15 %",
            reply="Exchange stops where both directions are equally fast.",
            right=True,
            drawn=15,
        ),
        lesson.Choice(
            text="All 40 %: the sodium was there first",
            reply="Ions on clay come and go all the time. Being first does not help.",
            drawn=40,
        ),
        answer=start,
    )
    beaker_question = beaker_guess.shown
    return beaker_guess, beaker_question


@app.cell(hide_code=True)
def _():
    calcium_added = lesson.Control(
        "Calcium added", "% of the sodium's charge", low=0, high=300, step=5, value=100, digits=0
    )
    calcium_added_slider = calcium_added.shown
    return calcium_added, calcium_added_slider


@app.cell(hide_code=True)
def _(calcium_added_slider):
    calcium_added_goal = lesson.Goal(
        "Bring the sodium on the clay down to 10 %.",
        calcium_added_slider,
        low=265,
        high=300,
        done="The first charge of calcium did most of the work. The rest works against the sodium "
        "in the beaker.",
    )
    return (calcium_added_goal,)


@app.cell(hide_code=True)
def _():
    beaker_chart = lesson.beaker_chart()
    return (beaker_chart,)


@app.cell(hide_code=True)
def _(beaker_chart, beaker_guess, calcium_added):
    beaker_chart.put(lesson.beaker(calcium_pct=calcium_added.value, guessed_pct=beaker_guess.drawn))
    return


@app.cell(hide_code=True)
def _(beaker_question):
    beaker_asked = lesson.screen(mo.md("## 2b. One beaker: does it go all the way?"), beaker_question)
    beaker_asked
    return (beaker_asked,)


@app.cell(hide_code=True)
def _(beaker_chart, beaker_guess, calcium_added_goal, calcium_added_slider):
    beaker_told = lesson.after(
        beaker_guess,
        calcium_added_slider,
        calcium_added_goal,
        lesson.row(
            beaker_chart,
            mo.md(
                r"""
                **The rule: exchange is a balance. It stops part-way, until water carries the sodium off.**

                $$\frac{E_{\text{Na}}\downarrow}{E_{\text{Ca}}\uparrow} =
                K_G\,\frac{\text{Na}\uparrow}{\sqrt{\text{Ca}\downarrow}}$$

                Sodium comes off and calcium settles: the left side falls. Both change the water, and the
                right side rises. Where the two sides meet, it stops.

                **Notice.** Three times the calcium does not do three times the work. Pour the water off, take
                fresh calcium water, and the exchange goes on. A draining soil does just that.

                **Ask yourself.** Which is better: all the calcium at once, or the same calcium in three
                rinses?

                **Left out.** Time. Here you wait as long as it takes. The soil has a cation exchange
                capacity of 24 meq/100 g.
                """
            ),
        ),
    )
    beaker_told
    return (beaker_told,)


@app.cell(hide_code=True)
def _(start):
    dilution_guess = lesson.Prediction(
        "A water with 80 mmol/L of sodium and 10 mmol/L of calcium flows past clay until the clay has "
        "settled with it. "
        "Then the same water comes ten times thinner: both fall tenfold. "
        "What happens to the sodium on the clay?",
        lesson.Choice(
            text="It stays: the proportions are the same",
            reply="In the water the proportions stay. But sodium goes in with its plain amount and calcium "
            "with its root, and thinning does not treat these alike.",
            drawn=lesson.beside_thinned(thinned=1),
        ),
        lesson.Choice(
            text="It falls tenfold, like the water",
            reply="Sodium pushes ten times less, but calcium pushes less too: by the root of ten.",
            drawn=lesson.beside_thinned(thinned=1) / 10,
        ),
        lesson.Choice(
            text="It falls, but by far less than tenfold",
            reply="Sodium falls by ten, the root of calcium by about three. About a third is left in "
            "their ratio.",
            right=True,
            drawn=lesson.beside_thinned(thinned=10),
        ),
        lesson.Choice(
            text="It rises: thin water has less calcium to offer",
            reply="It has less of both, and losing sodium weighs more.",
            drawn=40,
        ),
        answer=start,
    )
    dilution_question = dilution_guess.shown
    return dilution_guess, dilution_question


@app.cell(hide_code=True)
def _():
    thinned = lesson.Control("Thinned with pure water", "times", low=1, high=50, step=0.5, value=10, digits=1)
    thinned_slider = thinned.shown
    return thinned, thinned_slider


@app.cell(hide_code=True)
def _(thinned_slider):
    thinned_goal = lesson.Goal(
        "Halve the sodium on the clay.",
        thinned_slider,
        low=5.5,
        high=6,
        done="Half the sodium on the clay took far more than half the strength off the water.",
    )
    return (thinned_goal,)


@app.cell(hide_code=True)
def _():
    dilution_chart = lesson.dilution_chart()
    return (dilution_chart,)


@app.cell(hide_code=True)
def _(dilution_chart, dilution_guess, thinned):
    dilution_chart.put(lesson.dilution(thinned=thinned.value, guessed_pct=dilution_guess.drawn))
    return


@app.cell(hide_code=True)
def _(dilution_question):
    dilution_asked = lesson.screen(mo.md("## 3. The same water, ten times thinner"), dilution_question)
    dilution_asked
    return (dilution_asked,)


@app.cell(hide_code=True)
def _(dilution_chart, dilution_guess, thinned_goal, thinned_slider):
    dilution_told = lesson.after(
        dilution_guess,
        thinned_slider,
        thinned_goal,
        lesson.row(
            dilution_chart,
            mo.md(
                r"""
                **The rule: thinner water moves calcium onto the clay.** This is called valence dilution.

                $$\frac{\text{Na}/d}{\sqrt{\text{Ca}/d}} =
                \frac{1}{\sqrt{d}}\cdot\frac{\text{Na}}{\sqrt{\text{Ca}}}$$

                **Notice.** The first thinning does most. Rain after salt water does this to a soil.

                **Beware.** Thin water also lets clay swell and go cloudy. That is another matter, and it can
                close the soil before the calcium has done its work.

                **Ask yourself.** How thin must the water be to halve the sodium on the clay?

                **Left out.** Here plenty of water passes the clay. When a little rain thins the water that
                a soil already holds, the clay is the larger store: it hardly changes, and the water does.
                *K<sub>G</sub>* itself is not quite constant: 0.0163 in thin and 0.0085 in strong water were
                published.
                """
            ),
        ),
    )
    dilution_told
    return (dilution_told,)


@app.cell(hide_code=True)
def _(start):
    root_guess = lesson.Prediction(
        "A water holds 10 mmol/L of sodium and 1 mmol/L of calcium. You double the sodium to 20. "
        "How much calcium must the water hold, so that the clay stays as it was?",
        lesson.Choice(
            text="1 mmol/L, as before",
            reply="Then sodium has doubled with nothing to answer it, and the clay takes more.",
            drawn=1,
        ),
        lesson.Choice(
            text="2 mmol/L: double it too",
            reply="That keeps Na/Ca. The clay does not keep to Na/Ca: two sodium trade for one calcium.",
            drawn=2,
        ),
        lesson.Choice(
            text="4 mmol/L: double it twice",
            reply="Two sodium trade for one calcium, so sodium counts twice over.",
            right=True,
            drawn=4,
        ),
        answer=start,
    )
    root_question = root_guess.shown
    return root_guess, root_question


@app.cell(hide_code=True)
def _():
    sodium_times = lesson.Control(
        "n: sodium in the water", "times the first water", low=1, high=4, step=0.1, value=2, digits=1
    )
    sodium_times_slider = sodium_times.shown
    return sodium_times, sodium_times_slider


@app.cell(hide_code=True)
def _(sodium_times_slider):
    sodium_times_goal = lesson.Goal(
        "Make the sodium three times as much, and find the line that has not moved.",
        sodium_times_slider,
        low=3,
        high=3,
        done="It is the one where calcium grew by the square: nine times.",
    )
    return (sodium_times_goal,)


@app.cell(hide_code=True)
def _():
    root_chart = lesson.root_chart()
    return (root_chart,)


@app.cell(hide_code=True)
def _(root_chart, root_guess, sodium_times):
    root_chart.put(lesson.root(times=sodium_times.value, guessed_calcium_times=root_guess.drawn))
    return


@app.cell(hide_code=True)
def _(root_question):
    root_asked = lesson.screen(mo.md("## 4a. Why SAR has a root"), root_question)
    root_asked
    return (root_asked,)


@app.cell(hide_code=True)
def _(root_chart, root_guess, sodium_times_goal, sodium_times_slider):
    root_told = lesson.after(
        root_guess,
        sodium_times_slider,
        sodium_times_goal,
        lesson.row(
            root_chart,
            mo.md(
                r"""
                **The rule: waters with the same Na/√Ca leave the clay the same.**

                $$2\,\text{Na for 1 Ca}\ \Rightarrow\ \frac{\text{Na}^2}{\text{Ca}}\
                \Rightarrow\ \frac{\text{Na}}{\sqrt{\text{Ca}}}$$

                $$\text{SAR} = \frac{\text{Na}}{\sqrt{\text{Ca} + \text{Mg}}}$$

                The square comes from part 1: two sodium for one calcium. The root undoes it. All in mmol/L.
                With meq/L halve first, then take the root: $\text{Na}/\sqrt{(\text{Ca}+\text{Mg})/2}$. It
                is the same number.

                **Notice.** Only one line stays flat: where calcium grows with the square, *n*².

                **Ask yourself.** Sodium is three times as much. How much calcium keeps the clay as it was?

                **Left out.** Counting calcium and magnesium as one is a habit that works, not a law.
                """
            ),
        ),
    )
    root_told
    return (root_told,)


@app.cell(hide_code=True)
def _(start):
    ratio_guess = lesson.Prediction(
        "Soils are called sodic from about SAR 13, or from about ESP 15. So are SAR and ESP the same number? "
        "A water has SAR 60. To what ESP does the clay beside it come?",
        lesson.Choice(
            text="About 60 %: they are the same number",
            reply="They run side by side for a while, by chance. SAR has no end; ESP cannot pass 100 %.",
            drawn=60,
        ),
        lesson.Choice(
            text="Less, about 45 %",
            reply="SAR is of the water, ESP of the clay. The more sodium the clay holds, the harder "
            "more comes on.",
            right=True,
            drawn=45,
        ),
        lesson.Choice(
            text="More, about 75 %",
            reply="The more sodium the clay holds, the harder more comes on. The curve bends down, not up.",
            drawn=75,
        ),
        answer=start,
    )
    ratio_question = ratio_guess.shown
    return ratio_guess, ratio_question


@app.cell(hide_code=True)
def _():
    water_sar = lesson.Control("SAR of the water", "√(mmol/L)", low=0, high=100, step=1, value=60, digits=0)
    water_sar_slider = water_sar.shown
    return water_sar, water_sar_slider


@app.cell(hide_code=True)
def _(water_sar_slider):
    water_sar_goal = lesson.Goal(
        "Find the water beside which this clay is at ESP 15 %.",
        water_sar_slider,
        low=12,
        high=12,
        done="Near 13, the number that books give for SAR. The rest of the two scales does not agree.",
    )
    return (water_sar_goal,)


@app.cell(hide_code=True)
def _():
    ratio_chart = lesson.ratio_chart()
    return (ratio_chart,)


@app.cell(hide_code=True)
def _(ratio_chart, ratio_guess, water_sar):
    ratio_chart.put(lesson.ratio(sar=water_sar.value, guessed_pct=ratio_guess.drawn))
    return


@app.cell(hide_code=True)
def _(ratio_question):
    ratio_asked = lesson.screen(mo.md("## 4b. SAR is not ESP"), ratio_question)
    ratio_asked
    return (ratio_asked,)


@app.cell(hide_code=True)
def _(ratio_chart, ratio_guess, water_sar_goal, water_sar_slider):
    ratio_told = lesson.after(
        ratio_guess,
        water_sar_slider,
        water_sar_goal,
        lesson.row(
            ratio_chart,
            mo.md(
                r"""
                **The rule: SAR describes a water, ESP a clay. One leads to the other through the clay's own
                *K<sub>G</sub>*.**

                $$\text{ESP} = 100\,\frac{K_G\,\text{SAR}}{1 + K_G\,\text{SAR}}$$

                SAR is the sodium adsorption ratio, ESP the exchangeable sodium percentage.

                **Notice.** Below SAR 30 the two numbers are near each other. That is chance, not law. The
                band shows how far published clays differ at the same SAR.

                **Ask yourself.** Two soils have SAR 13. Must they have the same ESP?

                **Left out.** Handbook 60 fitted its line with a small intercept; the table shows it. It
                gives less than no sodium below SAR 0.85, so the model leaves the intercept out.
                """
            ),
        ),
    )
    ratio_told
    return (ratio_told,)


@app.cell(hide_code=True)
def _(start):
    plateau_guess = lesson.Prediction(
        "You stir 10 g of gypsum into a litre of pure water, and wait until no more dissolves. "
        "How much has dissolved?",
        lesson.Choice(
            text="All 10 g: more gypsum makes stronger water",
            reply="Up to a point. Then the water is full, and the rest lies on the bottom.",
            drawn=10,
        ),
        lesson.Choice(
            text="About half, 5 g",
            reply="Less. A litre of water is full long before that.",
            drawn=5,
        ),
        lesson.Choice(
            text="Less than 3 g",
            reply="Then the water is full. Ten times the gypsum would not make it stronger.",
            right=True,
            drawn=2.8,
        ),
        answer=start,
    )
    plateau_question = plateau_guess.shown
    return plateau_guess, plateau_question


@app.cell(hide_code=True)
def _():
    gypsum_added = lesson.Control("Gypsum stirred in", "g/L", low=0, high=10, step=0.1, value=10, digits=1)
    gypsum_added_slider = gypsum_added.shown
    return gypsum_added, gypsum_added_slider


@app.cell(hide_code=True)
def _(gypsum_added_slider):
    gypsum_added_goal = lesson.Goal(
        "Find the least gypsum that fills the litre.",
        gypsum_added_slider,
        low=2.7,
        high=2.8,
        done="From here on more gypsum lies on the bottom.",
    )
    return (gypsum_added_goal,)


@app.cell(hide_code=True)
def _():
    plateau_chart = lesson.plateau_chart()
    return (plateau_chart,)


@app.cell(hide_code=True)
def _(gypsum_added, plateau_chart, plateau_guess):
    plateau_chart.put(lesson.plateau(added_g_per_l=gypsum_added.value, guessed_g_per_l=plateau_guess.drawn))
    return


@app.cell(hide_code=True)
def _(plateau_question):
    plateau_asked = lesson.screen(mo.md("## 5a. Gypsum and its plateau"), plateau_question)
    plateau_asked
    return (plateau_asked,)


@app.cell(hide_code=True)
def _(gypsum_added_goal, gypsum_added_slider, plateau_chart, plateau_guess):
    plateau_told = lesson.after(
        plateau_guess,
        gypsum_added_slider,
        gypsum_added_goal,
        lesson.row(
            plateau_chart,
            mo.md(
                r"""
                **The rule: more gypsum lasts longer. It does not work faster.**

                $$\text{CaSO}_4\cdot 2\,\text{H}_2\text{O} \rightleftharpoons
                \text{Ca}^{2+} + \text{SO}_4^{2-} + 2\,\text{H}_2\text{O}$$

                **Notice.** Once some gypsum is left on the bottom, the water is as strong as it gets. What
                carries more calcium to the clay is more water. And clay that takes calcium out of the water
                lets more gypsum dissolve.

                **Ask yourself.** How much water do 10 g of gypsum need to dissolve, with no clay to help?

                **Left out.** Coarse grains take longer. Here the gypsum is fine and well stirred, at 25 °C.
                """
            ),
        ),
    )
    plateau_told
    return (plateau_told,)


@app.cell(hide_code=True)
def _(start):
    steps_guess = lesson.Prediction(
        f"Gypsum's solubility product is {lesson.solubility_product() * 1e5:.2f} × 10⁻⁵ (mol/L)². Its "
        "root says that "
        f"{lesson.solubility_by_root():.1f} mmol/L dissolve. Laboratories find 14.7 to 18.2. "
        "What does the root leave out?",
        lesson.Choice(
            text="Nothing: the laboratories are wrong threefold",
            reply="Many laboratories agree. The product is right too. It holds for activities, and the "
            "root took "
            "it for amounts.",
        ),
        lesson.Choice(
            text="Ions in water shield each other, and some pair up",
            reply="Both leave less calcium and sulfate to push back, so more gypsum dissolves.",
            right=True,
        ),
        lesson.Choice(
            text="Time: gypsum dissolves slowly",
            reply="Then laboratories would find less than the root says, not more.",
        ),
        answer=start,
    )
    steps_question = steps_guess.shown
    return steps_guess, steps_question


@app.cell(hide_code=True)
def _():
    salt = lesson.Control(
        "Sodium chloride in the water", "mmol/L", low=0, high=200, step=5, value=0, digits=0
    )
    salt_slider = salt.shown
    return salt, salt_slider


@app.cell(hide_code=True)
def _(salt_slider):
    salt_goal = lesson.Goal(
        "Raise what dissolves to 20 mmol/L with salt that holds no calcium.",
        salt_slider,
        low=55,
        high=60,
        done="Strange salt helped gypsum dissolve: its ions shield too.",
    )
    return (salt_goal,)


@app.cell(hide_code=True)
def _():
    steps_chart = lesson.steps_chart()
    return (steps_chart,)


@app.cell(hide_code=True)
def _(salt, steps_chart):
    steps_chart.put(lesson.steps(salt_mmol_per_l=salt.value))
    return


@app.cell(hide_code=True)
def _(steps_question):
    steps_asked = lesson.screen(mo.md("## 5b. Why the root of Ksp is wrong threefold"), steps_question)
    steps_asked
    return (steps_asked,)


@app.cell(hide_code=True)
def _(salt_goal, salt_slider, steps_chart, steps_guess):
    steps_told = lesson.after(
        steps_guess,
        salt_slider,
        salt_goal,
        lesson.row(
            steps_chart,
            mo.md(
                rf"""
                **The rule: the product holds for activities of free ions, not for all that is dissolved.**

                $$K_{{sp}} = \gamma^2\,[\text{{Ca}}^{{2+}}]\,[\text{{SO}}_4^{{2-}}]$$

                $$\log\gamma = -4A\left(\frac{{\sqrt I}}{{1+\sqrt I}} - 0.3\,I\right)$$

                The first step: charged neighbours shield each ion, so that its activity is less than its
                amount (γ below 1). The second: part of the calcium and sulfate swim as a pair, CaSO₄, which
                the product does not count.

                **Notice.** Salt of another kind raises the solubility. Its ions shield as well. So a salty
                soil dissolves more gypsum.

                **Ask yourself.** Sodium sulfate in the water lowers it: 10 mmol/L bring it from
                {lesson.solubility():.1f} to {lesson.solubility(sodium_sulfate=10):.1f} mmol/L. Why?

                **Left out.** Other temperatures, and water nearly as salty as the sea.
                """
            ),
        ),
    )
    steps_told
    return (steps_told,)


@app.cell(hide_code=True)
def _(start):
    layer_guess = lesson.Prediction(
        "Now the beaker gets a hole. A layer of soil is as wet as a drained soil stays, and sodium holds "
        f"{lesson.layer_start():.0f} % of its clay. Into each kilogram {lesson.layer_gypsum():.1f} g of "
        "gypsum are mixed. You pour on pure water, a little at a time, and each time as much drains off. "
        "After 8 pore volumes, eight times the water that the layer holds: how much of the clay does sodium "
        "still hold?",
        lesson.Choice(
            text="About 15 %: exchange stops part-way, as in the beaker",
            reply="In the beaker the sodium stayed and pushed back. Here the water carries it off.",
            drawn=lesson.layer_undrained(),
        ),
        lesson.Choice(
            text="About 10 %: it falls while there is gypsum, and then it stops",
            reply="While gypsum lasts, each bit of water brings calcium in and takes sodium out.",
            right=True,
            drawn=10,
        ),
        lesson.Choice(
            text="About 3 %: it goes on falling as long as water runs through",
            reply="Pure water takes the salt between the grains. Without calcium it hardly moves what the "
            "clay holds: look at the line without gypsum.",
            drawn=3,
        ),
        answer=start,
    )
    layer_question = layer_guess.shown
    return layer_guess, layer_question


@app.cell(hide_code=True)
def _():
    poured = lesson.Control(
        "Water poured through", "pore volumes", low=0, high=8, step=0.1, value=8, digits=1
    )
    poured_slider = poured.shown
    return poured, poured_slider


@app.cell(hide_code=True)
def _(poured_slider):
    poured_goal = lesson.Goal(
        "Find the least water after which no gypsum is left.",
        poured_slider,
        low=1.4,
        high=1.4,
        done="From here on water takes what salt is left, and the clay hardly changes.",
    )
    return (poured_goal,)


@app.cell(hide_code=True)
def _():
    layer_chart = lesson.layer_chart()
    return (layer_chart,)


@app.cell(hide_code=True)
def _(layer_chart, layer_guess, poured):
    layer_chart.put(lesson.layer(water=poured.value, guessed_pct=layer_guess.drawn))
    return


@app.cell(hide_code=True)
def _(layer_question):
    layer_asked = lesson.screen(
        mo.md("## 6. One stirred layer: what drains cannot push back"), layer_question
    )
    layer_asked
    return (layer_asked,)


@app.cell(hide_code=True)
def _(layer_chart, layer_guess, poured_goal, poured_slider):
    layer_told = lesson.after(
        layer_guess,
        poured_slider,
        poured_goal,
        lesson.row(
            layer_chart,
            mo.md(
                r"""
                **The rule: gypsum frees the sodium, and only water that drains takes it away.**

                $$N_{\text{left}} = N_{\text{before}} - c\,V$$

                *N* is the sodium of the layer, on the clay and in the water, *c* that in a litre of its
                water, and *V* the water that drains.

                Each pouring is one beaker of part 2: gypsum dissolves as far as it can, clay and water
                settle. Then a tenth of the water drains off, with the sodium that is in it, and pure water
                takes its place.

                **Notice.** The slope is steep at first. The less sodium is left on the clay, the less a
                portion takes with it.

                **Ask yourself.** Twice the gypsum: does it last for twice the water?

                **Left out.** Depth. A stirred layer is the same at the top and at the bottom. A column is
                many such layers, each draining into the next: there the top is ahead of the bottom.
                """
            ),
        ),
    )
    layer_told
    return (layer_told,)


@app.cell(hide_code=True)
def _(start):
    conventions_guess = lesson.Prediction(
        "Three books describe one clay with three equations: Gapon's, Vanselow's, and that of Gaines "
        "and Thomas. Each "
        "has one constant, set so that they agree at ESP 10. Do they agree beside a water of SAR 60?",
        lesson.Choice(
            text="Yes: one clay, one answer",
            reply="One clay has one answer, but at most one of the equations keeps a constant that "
            "fits it there.",
        ),
        lesson.Choice(
            text="No: they part as sodium rises",
            reply="They count the clay's ions in different ways. With little sodium that hardly shows.",
            right=True,
        ),
        lesson.Choice(
            text="They never agree: only one of them is right",
            reply="Below ESP 20 they agree well enough for most work. Each is a way to keep books.",
        ),
        answer=start,
    )
    conventions_question = conventions_guess.shown
    return conventions_guess, conventions_question


@app.cell(hide_code=True)
def _():
    agreement = lesson.Control("Made to agree at ESP", "%", low=0, high=30, step=1, value=10, digits=0)
    agreement_slider = agreement.shown
    return agreement, agreement_slider


@app.cell(hide_code=True)
def _(agreement_slider):
    agreement_goal = lesson.Goal(
        "Make the three equations agree at ESP 20 %, and read what is left of their quarrel at SAR 60.",
        agreement_slider,
        low=20,
        high=20,
        done="It is smaller, and it is not gone. A constant belongs to its equation and its place.",
    )
    return (agreement_goal,)


@app.cell(hide_code=True)
def _():
    conventions_chart = lesson.conventions_chart()
    return (conventions_chart,)


@app.cell(hide_code=True)
def _(agreement, conventions_chart):
    conventions_chart.put(lesson.conventions(agree_at_esp_pct=agreement.value))
    return


@app.cell(hide_code=True)
def _(conventions_question):
    conventions_asked = lesson.screen(mo.md("## 7. One clay, three equations"), conventions_question)
    conventions_asked
    return (conventions_asked,)


@app.cell(hide_code=True)
def _(agreement_goal, agreement_slider, conventions_chart, conventions_guess):
    conventions_told = lesson.after(
        conventions_guess,
        agreement_slider,
        agreement_goal,
        lesson.row(
            conventions_chart,
            mo.md(
                r"""
                **The rule: a constant belongs to its equation. Convert it, never carry it over.**

                $$K_G = \frac{E_{\text{Na}}\sqrt{\text{Ca}}}{E_{\text{Ca}}\,\text{Na}}$$

                $$K_{GT} = \frac{E_{\text{Ca}}\,\text{Na}^2}{E_{\text{Na}}^2\,\text{Ca}},\quad
                K_V = \frac{N_{\text{Ca}}\,\text{Na}^2}{N_{\text{Na}}^2\,\text{Ca}}$$

                $$K_{GT} = \frac{1}{(1-E)\,K_G^2},\qquad K_V = \frac{1+E}{4\,(1-E)\,K_G^2}$$

                *E* is a share of the charge, *N* a share of the ions. In these, *K<sub>G</sub>* is per
                √(mol/L): 31.6 times its number per √(mmol/L).

                **Notice.** Where one constant is constant, the others are not.

                **Ask yourself.** Why can two correct papers print 0.015 and 4.4 for the same clay?

                **Left out.** Which equation is nearest depends on the clay. Gapon's is common in the field;
                one bentonite followed Vanselow's with *K<sub>V</sub>* = 1.
                """
            ),
        ),
    )
    conventions_told
    return (conventions_told,)


@app.cell(hide_code=True)
def _():
    ending = lesson.screen(
        mo.md(
            """
            ## What you can say now

            1. Clay counts charge. Two sodium make room for one calcium.
            2. Clay prefers calcium in thin water, but exchange is a balance. It stops part-way, until water
               carries sodium off.
            3. Thinner water moves calcium onto the clay.
            4. Waters with the same Na/√Ca leave the clay the same. That ratio is SAR, and it is not ESP.
            5. Gypsum fills water to a plateau. More gypsum lasts longer; more water carries more.
            6. Gypsum frees sodium, and only water that drains takes it away. Without gypsum it stops.
            7. A constant belongs to its equation.
            """
        ),
        lesson.folded("Answers to what each part asks", lesson.answers()),
        mo.md(
            f"""
            ## What this leaves out

            {wording.MODEL_LEAVES_OUT}

            ## Where to go next

            {wording.NEXT_AFTER_EXCHANGE}

            **For teachers.** The address with `?show=all` at its end opens every part without a guess.

            ## Before you do this outside

            * {wording.CAUTION_RATE}
            * {wording.CAUTION_BENCH}
            * {wording.CAUTION_DUST}

            ## Where the numbers come from

            In brackets: *seen*, read in a retrieved text; *library*, computed with a general library's
            tables; *exact*, arithmetic; *recalled*, {wording.RECALLED_MEANS}
            """
        ),
        lesson.bibliography(
            (
                "ussl1954",
                "cjss1982",
                "kstate_classes",
                "reeve_doering1966",
                "gapon1933",
                "vanselow1932",
                "gaines_thomas1953",
                "exchange_algebra",
                "evangelou_phillips1987",
                "wyoming_bentonite",
                "magnesium_selectivities",
                "quirk_schofield1955",
                "bennett_adams1972",
                "lebedev_kosorukov2017",
                "gypsum_in_electrolytes",
                "davies1962",
                "ion_pair_constants",
                "chemicals",
                "chempy",
                "crouch2004",
                "miller2013",
                "okabe_ito",
            )
        ),
    )
    ending
    return (ending,)


@app.cell(hide_code=True)
def _():
    save = SavePage("exchange", "Why calcium moves sodium")
    return (save,)


@app.cell(hide_code=True)
def _(
    beaker_asked,
    beaker_told,
    conventions_asked,
    conventions_told,
    dilution_asked,
    dilution_told,
    ending,
    introduction,
    isotherm_asked,
    isotherm_told,
    layer_asked,
    layer_told,
    milligrams_asked,
    milligrams_told,
    plateau_asked,
    plateau_told,
    ratio_asked,
    ratio_told,
    root_asked,
    root_told,
    save,
    sites_asked,
    sites_told,
    steps_asked,
    steps_told,
):
    lesson.prose(
        save.holds(
            introduction,
            sites_asked,
            sites_told,
            milligrams_asked,
            milligrams_told,
            isotherm_asked,
            isotherm_told,
            beaker_asked,
            beaker_told,
            dilution_asked,
            dilution_told,
            root_asked,
            root_told,
            ratio_asked,
            ratio_told,
            plateau_asked,
            plateau_told,
            steps_asked,
            steps_told,
            layer_asked,
            layer_told,
            conventions_asked,
            conventions_told,
            ending,
        )
    )
    return


if __name__ == "__main__":
    app.run()
