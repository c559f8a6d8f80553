// A sheet of text and tables that changes in place. Whatever a person typed arrives here as text and stays text;
// a fold that was opened stays open, and a screen reader hears one sentence of what changed.

const REST_MS = 700;

function element(tag, look, text) {
  const made = document.createElement(tag);
  if (look) made.className = look;
  if (text !== undefined) made.textContent = text;
  return made;
}

// A column of figures stands to the right; a word in it, such as "never", changes nothing.
const FIGURE = /^[+−-]?[\d.]+( to [\d.]+)?$/;
const NO_FIGURE = /^(|–|never)$/;
const NOWRAP = 13;
const LONG = 24;

function columnsOfFigures(rows) {
  return (rows[0] ?? []).map((_, at) => {
    const texts = rows.map((row) => row[at]).filter((text) => !NO_FIGURE.test(text));
    return at > 0 && texts.length > 0 && texts.every((text) => FIGURE.test(text));
  });
}

function table(block) {
  const box = element("div", "numbers");
  const made = document.createElement("table");
  const figures = columnsOfFigures(block.rows);
  if (block.titles.some((title) => title !== "")) {
    const head = made.createTHead().insertRow();
    block.titles.forEach((title, at) => {
      const cell = element(title ? "th" : "td", figures[at] ? "figure" : "", title);
      if (title) cell.scope = "col";
      head.appendChild(cell);
    });
  }
  const body = made.createTBody();
  block.rows.forEach((row, number) => {
    const line = body.insertRow();
    if (block.dim.includes(number)) line.className = "dim";
    row.forEach((text, at) => {
      const look = figures[at] ? "figure" : text.length < NOWRAP ? "short" : text.length > LONG ? "long" : "";
      const cell = element(at === 0 ? "th" : "td", look, text);
      if (at === 0) cell.scope = "row";
      line.appendChild(cell);
    });
  });
  // A table wider than its place is scrolled by the keyboard too.
  box.tabIndex = 0;
  box.setAttribute("role", "region");
  box.setAttribute("aria-label", block.caption || block.titles.filter(Boolean).join(", ") || "table");
  box.appendChild(made);
  if (!block.caption) return box;
  // Outside the box, so that a caption is read whole where the table is scrolled.
  const whole = element("div");
  whole.append(element("p", "caption", block.caption), box);
  return whole;
}

function drawn(block, open) {
  if (block.kind === "line") return element(block.look === "title" ? "h3" : "p", block.look, block.text);
  if (block.kind === "points") {
    const list = element(block.ordered ? "ol" : "ul");
    for (const text of block.texts) list.appendChild(element("li", "", text));
    return list;
  }
  if (block.kind === "grid") return table(block);
  const fold = element("details");
  fold.appendChild(element("summary", "", block.title));
  fold.dataset.title = block.title;
  fold.open = open.has(block.title);
  for (const inner of block.blocks) fold.appendChild(drawn(inner, open));
  return fold;
}

function render({ model, el }) {
  const sheet = element("div", "soilx-sheet");
  const spoken = element("p", "soilx-spoken");
  spoken.setAttribute("role", "status");
  el.append(sheet, spoken);
  let timer = 0;
  const draw = () => {
    const open = new Set([...sheet.querySelectorAll("details[open]")].map((fold) => fold.dataset.title));
    sheet.replaceChildren(...JSON.parse(model.get("wire")).map((block) => drawn(block, open)));
  };
  const speak = () => {
    clearTimeout(timer);
    timer = setTimeout(() => (spoken.textContent = model.get("spoken")), REST_MS);
  };
  model.on("change:wire", draw);
  model.on("change:spoken", speak);
  draw();
  return () => {
    clearTimeout(timer);
    model.off("change:wire", draw);
    model.off("change:spoken", speak);
  };
}

export default { render };
