// One value, two ways to set it: a native range input and a typed number.
// The range gives the keyboard (arrows, Page Up, Page Down, Home, End) for nothing.

function scrollingParent(node) {
  let at = node;
  while (at) {
    if (at instanceof Element && at.scrollHeight > at.clientHeight) {
      const flow = getComputedStyle(at).overflowY;
      if (flow === "auto" || flow === "scroll") return at;
    }
    at = at.parentNode || at.host;
  }
  return document.scrollingElement;
}

function plain(value, digits) {
  return Number(value).toFixed(digits);
}

// A drag moves the slider sixty times a second; the model answers less often, and a queue would lag behind the hand.
const PACE_MS = 30;

// So much of a refused text is repeated, in characters.
const QUOTED = 60;

// A move is made when the hand has come to rest.
const REST_MS = 500;

// What changes more than the number: its unit, its range, whether it may be moved.
const DRESSED = ["used", "readings", "note", "disabled", "low", "high", "step"];

// "cmol_c/kg" is written with a lowered c for the eye; the accessible name keeps the plain spelling.
function lowered(unit) {
  return unit.split(/(_c)/).map((part) => {
    if (part !== "_c") return part;
    const sub = document.createElement("sub");
    sub.textContent = "c";
    return sub;
  });
}

// The unit in use: the control's own, or another reading of the same value.
function reading(model) {
  const own = {
    unit: model.get("unit"), factor: 1, step: model.get("step"), digits: model.get("digits"),
  };
  const all = [own, ...model.get("readings")];
  const now = all.find((one) => one.unit === model.get("used")) ?? own;
  return { now, others: all.filter((one) => one !== now) };
}

function render({ model, el }) {
  const quantity = model.get("quantity");
  let low = model.get("low");
  let high = model.get("high");
  const id = "soilx-" + Math.random().toString(36).slice(2);

  const group = document.createElement("div");
  group.className = "soilx-control";
  group.setAttribute("role", "group");
  group.innerHTML = `
    <label class="name" for="${id}-range"></label>
    <input class="range" id="${id}-range" type="range">
    <input class="typed" id="${id}-typed" type="text" inputmode="decimal" autocomplete="off">
    <p class="others" id="${id}-others"></p>
    <p class="note" id="${id}-note"></p>
    <p class="refusal" id="${id}-refusal" role="alert"></p>`;
  const [label, range, typed, others, note, refusal] = group.children;
  typed.setAttribute("aria-describedby", `${others.id} ${note.id} ${refusal.id}`);
  range.setAttribute("aria-describedby", `${others.id} ${note.id}`);

  // Held while something else on the page is the one thing that changes.
  let held = false;
  let shown = reading(model).now;
  const written = (value) => plain(value * shown.factor, shown.digits);
  const dress = () => {
    shown = reading(model).now;
    low = model.get("low");
    high = model.get("high");
    const { unit, factor } = shown;
    group.setAttribute("aria-label", `${quantity}, ${unit}`);
    label.replaceChildren(`${quantity}, `, ...lowered(unit));
    range.min = low * factor;
    range.max = high * factor;
    range.step = shown.step;
    range.setAttribute("aria-label", `${quantity}, ${unit}`);
    typed.setAttribute("aria-label", `${quantity}, ${unit}, typed`);
    range.disabled = typed.disabled = model.get("disabled") || held;
    note.replaceChildren(model.get("note"));
    draw();
  };
  const draw = () => {
    const value = model.get("value");
    range.value = value * shown.factor;
    range.setAttribute("aria-valuetext", `${written(value)} ${shown.unit}`);
    group.style.setProperty("--filled", `${(100 * (value - low)) / (high - low)}%`);
    typed.value = written(value);
    typed.removeAttribute("aria-invalid");
    refusal.textContent = "";
    others.textContent = reading(model)
      .others.map((one) => `= ${plain(value * one.factor, one.digits)}\u00a0${one.unit}`)
      .join("  ");
  };
  let pace = 0;
  let waiting = false;
  const post = () => {
    waiting = false;
    model.save_changes();
    pace = setTimeout(() => {
      pace = 0;
      if (waiting) post();
    }, PACE_MS);
  };
  let rest = 0;
  const moved = () => {
    const [value, unit] = [model.get("value"), model.get("unit")];
    const detail = { quantity, unit, value, text: `${quantity}: ${written(value)} ${shown.unit}` };
    document.dispatchEvent(new CustomEvent("soilx-moved", { detail }));
  };
  const onHold = ({ detail }) => {
    held = detail !== "" && detail !== quantity;
    dress();
  };
  document.addEventListener("soilx-hold", onHold);
  const send = (value) => {
    clearTimeout(rest);
    rest = setTimeout(moved, REST_MS);
    // What is shown in another unit and turned back must not fall off the end by a rounding.
    model.set("value", Math.min(high, Math.max(low, value / shown.factor)));
    draw();
    waiting = true;
    if (!pace) post();
  };
  const takeTyped = () => {
    const text = typed.value.trim().replace(",", ".");
    if (text === written(model.get("value"))) return draw();
    const value = Number(text);
    const last = 0.5 * 10 ** -shown.digits;
    const [from, to] = [low * shown.factor, high * shown.factor];
    const slack = shown.factor === 1 ? 0 : last;
    if (text !== "" && Number.isFinite(value) && value >= from - slack && value <= to + slack) return send(value);
    const wrong = text === "" || !Number.isFinite(value) ? "not a number" : "outside this slider";
    typed.setAttribute("aria-invalid", "true");
    const limits = `${Number(from.toFixed(shown.digits))} to ${Number(to.toFixed(shown.digits))}`;
    // A huge paste is named by its head.
    const given = text === "" ? "(empty)" : text.length > QUOTED ? `${text.slice(0, QUOTED)}…` : text;
    refusal.textContent =
      `${quantity} = ${given} ${shown.unit}: ${wrong}; it goes from ${limits} ${shown.unit}; type a number in between.`;
  };

  range.addEventListener("input", () => send(Number(range.value)));
  typed.addEventListener("change", takeTyped);
  typed.addEventListener("keydown", (event) => {
    if (event.key === "Enter") takeTyped();
    if (event.key === "Escape") draw();
  });
  // Some browsers move a slider under the scroll wheel; a lecture then loses its numbers. The page scrolls instead.
  range.addEventListener(
    "wheel",
    (event) => {
      event.preventDefault();
      scrollingParent(group).scrollBy(event.deltaX, event.deltaY);
    },
    { passive: false },
  );
  model.on("change:value", draw);
  for (const name of DRESSED) model.on(`change:${name}`, dress);
  dress();
  el.appendChild(group);
  return () => {
    if (waiting) model.save_changes();
    clearTimeout(pace);
    clearTimeout(rest);
    document.removeEventListener("soilx-hold", onHold);
    model.off("change:value", draw);
    for (const name of DRESSED) model.off(`change:${name}`, dress);
  };
}

export default { render };
