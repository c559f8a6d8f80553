// Text boxes that take a number with its unit, and lists of words; each with the one sentence that says what
// cannot be read. A box tells the page when it is left or Enter is pressed, never at every key.

const NOT_STATED = "not stated";

function render({ model, el }) {
  const id = "soilx-" + Math.random().toString(36).slice(2);
  const form = document.createElement("div");
  form.className = "soilx-form";
  form.setAttribute("role", "group");
  form.setAttribute("aria-label", model.get("label"));
  const boxes = new Map();

  const send = (key, value) => {
    const texts = { ...model.get("texts") };
    if ((texts[key] ?? "") === value) return;
    texts[key] = value;
    model.set("texts", texts);
    model.save_changes();
  };

  const made = (field) => {
    const place = document.createElement("div");
    place.className = "field";
    // A key may be words with spaces between them, which no reference to an id survives.
    const own = `${id}-${boxes.size}`;
    const label = document.createElement("label");
    label.htmlFor = own;
    label.textContent = field.label;
    const box = document.createElement(field.words.length ? "select" : "input");
    box.id = own;
    const hint = document.createElement("p");
    hint.className = "hint";
    hint.id = `${own}-hint`;
    hint.textContent = field.hint;
    const refusal = document.createElement("p");
    refusal.className = "refusal";
    refusal.id = `${own}-refusal`;
    refusal.setAttribute("role", "alert");
    box.setAttribute("aria-describedby", `${hint.id} ${refusal.id}`);
    if (field.words.length) {
      for (const word of ["", ...field.words]) {
        const option = document.createElement("option");
        option.value = word;
        option.textContent = word || NOT_STATED;
        box.appendChild(option);
      }
      box.addEventListener("change", () => send(field.key, box.value));
    } else {
      box.type = "text";
      box.autocomplete = "off";
      box.spellcheck = false;
      box.addEventListener("change", () => send(field.key, box.value.trim()));
      box.addEventListener("keydown", (event) => {
        if (event.key === "Enter") send(field.key, box.value.trim());
        if (event.key === "Escape") draw();
      });
    }
    place.append(label, box, hint, refusal);
    boxes.set(field.key, { box, refusal });
    return place;
  };

  for (const group of model.get("groups")) {
    const place = document.createElement(group.folded ? "details" : "fieldset");
    const title = document.createElement(group.folded ? "summary" : "legend");
    title.textContent = group.title;
    const fields = document.createElement("div");
    fields.className = "fields";
    for (const field of group.fields) fields.appendChild(made(field));
    if (group.title) place.appendChild(title);
    place.appendChild(fields);
    form.appendChild(place);
  }
  const whole = document.createElement("p");
  whole.className = "refusal whole";
  whole.setAttribute("role", "alert");
  form.appendChild(whole);
  el.appendChild(form);

  // The form may stand behind a line of the page, outside of this widget.
  const open = () => {
    const around = form.getRootNode().host?.closest("details");
    if (around) around.open = true;
  };
  const draw = () => {
    const texts = model.get("texts");
    for (const [key, { box }] of boxes) {
      const text = texts[key] ?? "";
      // A word that the list does not hold is shown all the same, so that what is refused can be seen.
      if (box.tagName === "SELECT" && ![...box.options].some((option) => option.value === text)) {
        const option = document.createElement("option");
        option.value = option.textContent = text;
        box.appendChild(option);
      }
      box.value = text;
    }
  };
  const refuse = () => {
    const refusals = model.get("refusals");
    for (const [key, { box, refusal }] of boxes) {
      const said = refusals[key] ?? "";
      if (refusal.textContent !== said) refusal.textContent = said;
      if (said) {
        box.setAttribute("aria-invalid", "true");
        const fold = box.closest("details");
        if (fold) fold.open = true;
        open();
      } else {
        box.removeAttribute("aria-invalid");
      }
    }
    whole.textContent = model.get("refusal");
    if (whole.textContent) open();
  };
  const watched = { texts: draw, refusals: refuse, refusal: refuse, opened: () => model.get("opened") && open() };
  for (const [name, follow] of Object.entries(watched)) model.on(`change:${name}`, follow);
  draw();
  refuse();
  return () => {
    for (const [name, follow] of Object.entries(watched)) model.off(`change:${name}`, follow);
  };
}

export default { render };
