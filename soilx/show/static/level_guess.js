// A level guessed before the run: a slider, a typed number, how sure. The stages hear that it was made.

const OPEN = "open";
const GUESSED = "guessed";
const SKIPPED = "shown";
const NO_LEVEL = "Set a level first. A wrong guess teaches more than none.";
const NOT_SURE = "Say how sure you are.";

function render({ model, el }) {
  const id = "soilx-" + Math.random().toString(36).slice(2);
  const [quantity, unit] = [model.get("quantity"), model.get("unit")];
  const [low, high, step] = [model.get("low"), model.get("high"), model.get("step")];
  const box = document.createElement("div");
  box.className = "soilx-guess";
  box.setAttribute("role", "group");
  box.setAttribute("aria-labelledby", `${id}-question`);
  box.innerHTML = `
    <div class="asking">
      <p class="question" id="${id}-question"></p>
      <p class="hint"></p>
      <div class="level"><input class="range" type="range"><input class="typed" type="text" inputmode="decimal" autocomplete="off" maxlength="12"><span></span></div>
      <fieldset><legend>How sure?</legend></fieldset>
      <div class="buttons">
        <button type="button" class="commit">This is my guess</button>
        <button type="button" class="skip">Show me without a guess</button>
      </div>
      <p class="refusal" role="alert"></p>
    </div>
    <p class="told" role="status"></p>`;
  const [asking, told] = box.children;
  const [question, hint, levels, sureness, buttons, refusal] = asking.children;
  const [range, typed, unitPlace] = levels.children;
  const [commit, skip] = buttons.children;
  unitPlace.textContent = unit;
  [range.min, range.max, range.step] = [low, high, step];
  range.setAttribute("aria-label", `${quantity}, ${unit}`);
  typed.setAttribute("aria-label", `${quantity}, ${unit}, typed`);
  const sure = model.get("sureness").map((text, at) => {
    const label = document.createElement("label");
    const radio = document.createElement("input");
    radio.type = "radio";
    radio.name = id;
    radio.value = at;
    radio.addEventListener("change", () => (refusal.textContent = ""));
    label.append(radio, text);
    sureness.appendChild(label);
    return radio;
  });
  const votes = votesFold(model.get("bands"), quantity);
  box.appendChild(votes);

  let level = model.get("state") === GUESSED ? model.get("level") : null;
  const written = (value) => String(Number(value.toFixed(1)));
  const dress = () => {
    range.value = level ?? (low + high) / 2;
    range.setAttribute("aria-valuetext", level === null ? "nothing set yet" : `${written(level)} ${unit}`);
    range.classList.toggle("unset", level === null);
    typed.value = level === null ? "" : written(level);
    typed.removeAttribute("aria-invalid");
  };
  const take = (value) => {
    level = value;
    refusal.textContent = "";
    dress();
  };
  const takeTyped = () => {
    const text = typed.value.trim().replace(",", ".");
    if (text === "") return true;
    const value = Number(text);
    if (Number.isFinite(value) && value >= low && value <= high) {
      take(value);
      return true;
    }
    typed.setAttribute("aria-invalid", "true");
    refusal.textContent = `${quantity}: type a number from ${low} to ${high} ${unit}.`;
    return false;
  };
  range.addEventListener("input", () => take(Number(range.value)));
  // Who takes the middle, where the slider stands already, presses Enter or Space on it.
  range.addEventListener("click", () => take(Number(range.value)));
  range.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" && event.key !== " ") return;
    event.preventDefault();
    take(Number(range.value));
  });
  range.addEventListener("wheel", (event) => event.preventDefault(), { passive: false });
  typed.addEventListener("change", takeTyped);
  typed.addEventListener("keydown", (event) => {
    if (event.key === "Enter") takeTyped();
  });
  const send = (state) => {
    model.set("state", state);
    if (state === GUESSED) {
      model.set("level", level);
      model.set("sure", sure.findIndex((radio) => radio.checked));
    }
    model.save_changes();
    document.dispatchEvent(
      new CustomEvent("soilx-guessed", { detail: { stage: model.get("stage"), shown: state === SKIPPED } }),
    );
  };
  commit.addEventListener("click", () => {
    if (!takeTyped()) return;
    if (level === null) refusal.textContent = NO_LEVEL;
    else if (!sure.some((radio) => radio.checked)) refusal.textContent = NOT_SURE;
    else send(GUESSED);
  });
  skip.addEventListener("click", () => send(SKIPPED));
  const onAsk = ({ detail }) => {
    if (detail === model.get("stage")) range.focus();
  };
  document.addEventListener("soilx-ask", onAsk);
  const draw = () => {
    question.textContent = model.get("question");
    hint.textContent = model.get("hint");
    const found = document.createElement("span");
    found.className = "found";
    found.textContent = model.get("found");
    told.replaceChildren(model.get("guess"), " ", found);
    votes.mark(model.get("band"));
  };
  const watched = ["question", "hint", "guess", "found", "band"];
  for (const name of watched) model.on(`change:${name}`, draw);
  dress();
  draw();
  el.appendChild(box);
  return () => {
    document.removeEventListener("soilx-ask", onAsk);
    for (const name of watched) model.off(`change:${name}`, draw);
  };
}

export default { render };
