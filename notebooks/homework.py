# /// script
# requires-python = ">=3.11"
# [tool.marimo.display]
# theme = "system"
# ///

import marimo

__generated_with = "0.25.2"
app = marimo.App(width="full", app_title="Homework: gypsum and sodium", css_file="soilx.css")

with app.setup:
    import marimo as mo

    from soilx import wording
    from soilx.handouts.save_page import SavePage
    from soilx.show import homework
    from soilx.teaching import homework_words

    homework.quick_turns()


@app.cell(hide_code=True)
def _():
    # The address with ?course=SOIL-24 brings the course code along, for a link that a whole class is given.
    course = homework.Entry(
        "Course code", str(mo.query_params().get("course") or ""), hint="From your instructor, like SOIL-24."
    )
    course_box = course.shown
    return course, course_box


@app.cell(hide_code=True)
def _():
    student = homework.Entry("Student code", "", hint="Like S07: a code with a digit in it, never a name.")
    student_box = student.shown
    return student, student_box


@app.cell(hide_code=True)
def _():
    problems = homework.ProblemList("Problem", value=homework.FIRST_PROBLEM)
    problem_list = problems.shown
    return problem_list, problems


@app.cell(hide_code=True)
def _():
    answers = homework.Answers()
    answer_boxes = answers.shown
    return answer_boxes, answers


@app.cell(hide_code=True)
def _():
    gypsum_rate = homework.gypsum_control()
    gypsum_slider = gypsum_rate.shown
    return gypsum_rate, gypsum_slider


@app.cell(hide_code=True)
def _():
    water_volume = homework.water_control()
    water_slider = water_volume.shown
    return water_slider, water_volume


@app.cell(hide_code=True)
def _():
    problem_sheet = homework.Sheet()
    column_sheet = homework.Sheet()
    feedback_sheet = homework.Sheet()
    progress_sheet = homework.Sheet()
    return column_sheet, feedback_sheet, problem_sheet, progress_sheet


@app.cell(hide_code=True)
def _():
    columns = homework.soil_columns(height=200)
    profile = homework.exchangeable_sodium_by_depth(height=200)
    return columns, profile


@app.cell(hide_code=True)
def _():
    desk = homework.Desk()
    live = homework.LiveColumn()
    return desk, live


@app.cell(hide_code=True)
def _(course_box, problem_list, problem_sheet, student_box):
    problem_part = homework.screen(
        mo.md("# Homework: gypsum and sodium"),
        homework.caution(homework_words.HOMEWORK_IS_AN_EXERCISE),
        homework.row(course_box, student_box, problem_list, look="narrow"),
        problem_sheet,
    )
    problem_part
    return (problem_part,)


@app.cell(hide_code=True)
def _(
    column_sheet,
    columns,
    course,
    gypsum_slider,
    problems,
    profile,
    student,
    water_slider,
):
    column_part = (
        homework.screen(
            mo.md("## The live column"),
            gypsum_slider if problems.value == "least-gypsum" else water_slider,
            column_sheet,
            homework.row(columns, profile, label="Two columns"),
        )
        if homework.is_on_the_column(problems.value, course.value, student.value)
        else None
    )
    column_part
    return (column_part,)


@app.cell(hide_code=True)
def _(answer_boxes, feedback_sheet, progress_sheet):
    answer_part = homework.screen(
        answer_boxes,
        feedback_sheet,
        mo.md("## What you have done"),
        progress_sheet,
    )
    answer_part
    return (answer_part,)


@app.cell(hide_code=True)
def _(
    answer_boxes,
    answers,
    course,
    course_box,
    desk,
    feedback_sheet,
    problem_list,
    problem_sheet,
    problems,
    progress_sheet,
    student,
    student_box,
):
    attempt = desk.turn(
        course=course.value,
        student=student.value,
        problem=problems.value,
        sent=answers.value,
        fields={homework.COURSE: course_box, homework.STUDENT: student_box},
    )
    homework.show_problem(problem_sheet, attempt)
    homework.put_answers(answer_boxes, desk, problems.value)
    homework.show_feedback(feedback_sheet, attempt)
    homework.show_progress(progress_sheet, desk.work)
    homework.put_marks(problem_list, desk)
    return (attempt,)


@app.cell(hide_code=True)
def _(
    attempt,
    column_sheet,
    columns,
    gypsum_rate,
    gypsum_slider,
    live,
    profile,
    water_slider,
    water_volume,
):
    # Read so that a move of either slider runs the column again; the sliders themselves say where they stand.
    gypsum_rate.value, water_volume.value
    slid = live.show(
        attempt, gypsum=gypsum_slider, water=water_slider, sheet=column_sheet, views=(columns, profile)
    )
    return (slid,)


@app.cell(hide_code=True)
def _():
    notes = homework.prose(
        mo.md(
            f"""
            ### How it works

            * Your codes make your numbers: the same codes bring the same problem back, on any machine.
              Another student has others. {homework_words.CODES_NOT_NAMES}
            * Write a number with its unit, in whichever unit of that kind you like. The unit is looked at
              first, then the number.
            * You have three tries. {homework_words.NOT_READ_IS_NO_TRY} A mistake that is known is named, with
              the line that went wrong. After the third try comes the solution, and a fresh problem waits.
            * The help fades: a worked example first, then the first lines of your own, then none. Each
              problem solved at the first try takes some away; each other one brings some back.
            * {homework.LOST_WITH_THE_PAGE}
            * {homework_words.RECEIPT_IS_NO_PROOF} `soilx homework receipt` reads it again.

            ### What this leaves out

            {homework_words.HOMEWORK_IS_AN_EXERCISE} {wording.MODEL_LEAVES_OUT} {wording.CAUTION_RATE}
            """
        ),
    )
    notes
    return (notes,)


@app.cell(hide_code=True)
def _():
    save = SavePage("homework", "Homework: gypsum and sodium")
    return (save,)


@app.cell(hide_code=True)
def _(answer_part, column_part, notes, problem_part, save):
    homework.prose(save.holds(problem_part, column_part, answer_part, notes))
    return


if __name__ == "__main__":
    app.run()
