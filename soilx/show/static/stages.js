// Opening a stage is the page's own affair: marks on the root element show or hide its parts at once, and what
// was on screen stays where it is. On the taught path a stage opens in steps: asked, the curve, the numbers,
// why. In the plain view a stage opens whole. The model only hears how far the page is open.

const PICTURE_PX = 160;
const STEPS = ["the guess", "the curve", "the numbers", "why"];
const WHY = STEPS.length - 1;
const GUESS_FIRST = "Guess first, or be shown.";

function render({ model, el }) {
  const names = model.get("names");
  const bar = document.createElement("div");
  bar.className = "soilx-stages";
  bar.setAttribute("role", "group");
  bar.setAttribute("aria-label", "Stages of this page");
  bar.innerHTML = `
    <button type="button" class="back">Back</button>
    <div class="place" role="status"><p class="where"></p><p class="longest" aria-hidden="true"></p><p class="coming"></p></div>
    <button type="button" class="next">Next</button>`;
  const [back, place, next] = bar.children;
  const [where, longest, coming] = place.children;
  // The longest name keeps its room, so that no stage pushes what stands beside it.
  const longestName = names.reduce((one, other) => (other.length > one.length ? other : one));
  // A page of one stage has nothing to count.
  const alone = names.length === 1;
  longest.textContent = alone ? longestName : `0\u00a0of\u00a00: ${longestName}`;

  const state = () => [model.get("stage"), model.get("step"), model.get("plain")];
  const guessed = (stage) => model.get("guessed").includes(stage);
  const follows = () => {
    const [stage, step, plain] = state();
    if (plain) return "";
    if (step === 0 && !guessed(stage)) return "first: your guess";
    if (step < WHY) return `next: ${STEPS[step + 1]}`;
    if (alone) return "all is open";
    return stage < names.length ? `next: ${names[stage]}` : "this was the last";
  };
  const draw = () => {
    const [stage, step, plain] = state();
    const root = document.documentElement.dataset;
    root.soilxStage = stage;
    root.soilxView = plain ? "plain" : "taught";
    if (plain) delete root.soilxStep;
    else root.soilxStep = step;
    where.replaceChildren(alone ? "" : `${stage}\u00a0of\u00a0${names.length}`);
    const name = document.createElement("span");
    name.textContent = alone ? names[0] : `: ${names[stage - 1]}`;
    bar.hidden = alone && plain;
    where.append(name);
    coming.textContent = follows();
    // A button that is really disabled would lose the keyboard's place.
    back.setAttribute("aria-disabled", stage === 1 && (plain || step === 0));
    next.setAttribute("aria-disabled", stage === names.length && (plain || step === WHY));
    document.dispatchEvent(new CustomEvent("soilx-staged"));
  };
  const put = (stage, step) => {
    const [before, was] = state();
    const opened = stage > before || (stage === before && was === 0 && step > 0);
    model.set("stage", stage);
    model.set("step", step);
    model.save_changes();
    draw();
    // A part with pictures comes to the top, its place kept open before they come; a few lines come in below.
    const part = opened && document.querySelector(`.soilx-stage-${stage}:not(.soilx-kept):not(.soilx-first)`);
    if (part) part.scrollIntoView({ block: part.offsetHeight > PICTURE_PX ? "start" : "nearest" });
  };
  const ask = (stage) => {
    coming.textContent = GUESS_FIRST;
    document.dispatchEvent(new CustomEvent("soilx-ask", { detail: stage }));
  };
  const onward = () => {
    const [stage, step, plain] = state();
    if (!plain && step === 0 && !guessed(stage)) return ask(stage);
    if (!plain && step < WHY) return put(stage, step + 1);
    if (stage < names.length) put(stage + 1, 0);
  };
  const backward = () => {
    const [stage, step, plain] = state();
    if (!plain && step > 0) return put(stage, step - 1);
    if (stage > 1) put(stage - 1, plain ? 0 : WHY);
  };
  const answer = () => {
    const [stage, step, plain] = state();
    if (plain) return;
    if (step > 0) return put(stage, 0);
    return guessed(stage) ? put(stage, WHY) : ask(stage);
  };
  const keys = { next: onward, back: backward, answer };
  const onKey = (event) => keys[event.detail]?.();
  const onGuess = ({ detail }) => {
    if (!guessed(detail.stage)) model.set("guessed", [...model.get("guessed"), detail.stage]);
    if (detail.stage !== model.get("stage")) return model.save_changes();
    put(detail.stage, detail.shown ? WHY : 1);
    // The question is gone from under the hand; the keyboard goes on from here.
    next.focus({ preventScroll: true });
  };
  const onView = ({ detail }) => {
    model.set("plain", detail.plain);
    model.save_changes();
    draw();
  };
  back.addEventListener("click", backward);
  next.addEventListener("click", onward);
  const heard = { "soilx-key": onKey, "soilx-guessed": onGuess, "soilx-view": onView };
  for (const [name, hear] of Object.entries(heard)) document.addEventListener(name, hear);
  for (const name of ["stage", "step", "plain"]) model.on(`change:${name}`, draw);
  draw();
  el.appendChild(bar);
  return () => {
    for (const [name, hear] of Object.entries(heard)) document.removeEventListener(name, hear);
    for (const name of ["stage", "step", "plain"]) model.off(`change:${name}`, draw);
  };
}

export default { render };
