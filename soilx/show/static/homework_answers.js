// One box for each thing that is asked, and the buttons. Texts and the press travel together, so that what is checked
// is what stands in the boxes. What was typed, and what is said to it, is only ever plain text.

const LONGEST = 6000;

function element(tag, look, text) {
  const made = document.createElement(tag);
  if (look) made.className = look;
  if (text !== undefined) made.textContent = text;
  return made;
}

function render({ model, el }) {
  const id = "soilx-" + Math.random().toString(36).slice(2);
  const place = element("div", "soilx-answers");
  const fields = element("div", "fields");
  const check = element("button", "", "Check");
  const fresh = element("button", "", "A fresh problem of this kind");
  check.type = fresh.type = "button";
  const buttons = element("div", "buttons");
  buttons.append(check, fresh);
  place.append(fields, buttons);
  el.appendChild(place);
  let boxes = new Map();
  let built = "";
  // A fresh problem was asked for here: its first box gets the focus.
  let awaited = false;

  const send = (change) => {
    const texts = {};
    for (const [key, { read }] of boxes) texts[key] = read().slice(0, LONGEST);
    model.set("sent", { ...model.get("sent"), texts, ...change });
    model.save_changes();
  };
  const checked = () => {
    if (!model.get("board").over) send({ checks: (model.get("sent").checks ?? 0) + 1 });
  };
  check.addEventListener("click", checked);
  fresh.addEventListener("click", () => {
    awaited = true;
    send({ fresh: (model.get("sent").fresh ?? 0) + 1 });
  });

  const typed = (part, own, about) => {
    const field = element("div", "field");
    const label = element("label", "", part.label);
    label.htmlFor = own;
    const input = document.createElement("input");
    input.id = own;
    input.type = "text";
    input.autocomplete = "off";
    input.spellcheck = false;
    input.setAttribute("aria-describedby", about);
    input.addEventListener("keydown", (event) => {
      if (event.key === "Enter" && !event.repeat && [...boxes.values()].every(({ read }) => read().trim())) checked();
    });
    field.append(label, input);
    const lock = (locked, wrong) => {
      input.readOnly = locked;
      if (wrong) input.setAttribute("aria-invalid", "true");
      else input.removeAttribute("aria-invalid");
    };
    return { field, lock, read: () => input.value, write: (text) => (input.value = text), focus: () => input.focus() };
  };

  const chosen = (part, own, about) => {
    const field = element("fieldset", "field");
    field.setAttribute("aria-describedby", about);
    field.appendChild(element("legend", "", part.label));
    const inputs = part.choices.map(([key, words], at) => {
      const label = element("label", "choice");
      const input = document.createElement("input");
      input.type = "radio";
      input.name = own;
      input.id = `${own}-${at}`;
      input.value = key;
      label.append(input, element("span", "", words));
      field.appendChild(label);
      return input;
    });
    return {
      field,
      lock: (locked) => inputs.forEach((input) => (input.disabled = locked)),
      read: () => inputs.find((input) => input.checked)?.value ?? "",
      write: (text) => inputs.forEach((input) => (input.checked = input.value === text)),
      focus: () => inputs[0]?.focus(),
    };
  };

  const build = () => {
    boxes = new Map();
    fields.replaceChildren();
    const { parts, texts, token } = model.get("board");
    built = token;
    parts.forEach((part, at) => {
      const own = `${id}-${at}`;
      const about = `${own}-hint ${own}-said`;
      const made = part.choices.length ? chosen(part, own, about) : typed(part, own, about);
      const hint = element("p", "hint", part.hint);
      hint.id = `${own}-hint`;
      made.said = element("p", "said");
      made.said.id = `${own}-said`;
      made.field.append(hint, made.said);
      made.write(texts[part.key] ?? "");
      boxes.set(part.key, made);
      fields.appendChild(made.field);
    });
    say();
  };
  const say = () => {
    const { said, over } = model.get("board");
    for (const [key, box] of boxes) {
      const mine = said[key] ?? { text: "", outcome: "" };
      box.said.textContent = mine.text;
      box.said.dataset.outcome = mine.outcome;
      box.lock(over || mine.outcome === "right", mine.outcome !== "" && mine.outcome !== "right");
    }
    buttons.hidden = boxes.size === 0;
    // The button keeps its place and the focus; what it would do is over.
    check.setAttribute("aria-disabled", String(over));
    fresh.hidden = !over;
  };
  const renew = () => {
    if (model.get("board").token === built) {
      say();
      return;
    }
    build();
    if (awaited) [...boxes.values()][0]?.focus();
    awaited = false;
  };
  model.on("change:board", renew);
  build();
  return () => {
    model.off("change:board", renew);
  };
}

export default { render };
