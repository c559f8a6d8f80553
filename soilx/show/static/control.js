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

// "cmol_c/kg" is written with a lowered c for the eye; the accessible name keeps the plain spelling.
function lowered(unit) {
  return unit.split(/(_c)/).map((part) => {
    if (part !== "_c") return part;
    const sub = document.createElement("sub");
    sub.textContent = "c";
    return sub;
  });
}

function render({ model, el }) {
  const quantity = model.get("quantity");
  const unit = model.get("unit");
  const low = model.get("low");
  const high = model.get("high");
  const digits = model.get("digits");
  const id = "soilx-" + Math.random().toString(36).slice(2);

  const group = document.createElement("div");
  group.className = "soilx-control";
  group.setAttribute("role", "group");
  group.setAttribute("aria-label", `${quantity}, ${unit}`);
  group.innerHTML = `
    <label class="name" for="${id}-range"></label>
    <input class="range" id="${id}-range" type="range">
    <input class="typed" id="${id}-typed" type="text" inputmode="decimal" autocomplete="off">
    <p class="refusal" id="${id}-refusal" role="alert"></p>`;
  const [label, range, typed, refusal] = group.children;
  label.append(`${quantity}, `, ...lowered(unit));
  range.min = low;
  range.max = high;
  range.step = model.get("step");
  range.setAttribute("aria-label", `${quantity}, ${unit}`);
  typed.setAttribute("aria-label", `${quantity}, ${unit}, typed`);
  typed.setAttribute("aria-describedby", refusal.id);

  const draw = () => {
    const value = model.get("value");
    range.value = value;
    range.setAttribute("aria-valuetext", `${plain(value, digits)} ${unit}`);
    group.style.setProperty("--filled", `${(100 * (value - low)) / (high - low)}%`);
    typed.value = plain(value, digits);
    typed.removeAttribute("aria-invalid");
    refusal.textContent = "";
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
  const send = (value) => {
    model.set("value", value);
    draw();
    waiting = true;
    if (!pace) post();
  };
  const takeTyped = () => {
    const text = typed.value.trim().replace(",", ".");
    if (text === plain(model.get("value"), digits)) return draw();
    const value = Number(text);
    if (text !== "" && Number.isFinite(value) && value >= low && value <= high) return send(value);
    const wrong = text === "" || !Number.isFinite(value) ? "not a number" : "outside this slider";
    typed.setAttribute("aria-invalid", "true");
    refusal.textContent =
      `${quantity} = ${typed.value} ${unit}: ${wrong}; it goes from ${low} to ${high} ${unit}; type a number in between.`;
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
  draw();
  el.appendChild(group);
  return () => {
    if (waiting) model.save_changes();
    clearTimeout(pace);
    model.off("change:value", draw);
  };
}

export default { render };
