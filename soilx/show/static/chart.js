// A Vega view is made once; afterwards only its data, its signals, the caption and the table change.
// The bundler provides vegaEmbed; this file has no imports, so the page asks nobody for anything.

const TABLE_TITLE = "The numbers of this chart";
const NOTHING_YET = "nothing yet";

function tableHtml(host, table) {
  host.replaceChildren();
  const element = document.createElement("table");
  if (table.caption) element.createCaption().textContent = table.caption;
  const head = element.createTHead().insertRow();
  for (const title of table.titles) {
    const cell = document.createElement(title ? "th" : "td");
    if (title) cell.scope = "col";
    cell.textContent = title;
    head.appendChild(cell);
  }
  const body = element.createTBody();
  const rows = table.rows.length ? table.rows : [[NOTHING_YET, ...table.titles.slice(1).map(() => "–")]];
  for (const row of rows) {
    const line = body.insertRow();
    row.forEach((text, at) => {
      const cell = document.createElement(at === 0 ? "th" : "td");
      if (at === 0) cell.scope = "row";
      cell.textContent = text;
      line.appendChild(cell);
    });
  }
  host.appendChild(element);
}

// Records travel by column; Vega wants rows.
function read(text) {
  const content = JSON.parse(text);
  for (const [name, columns] of Object.entries(content.records)) {
    const fields = Object.keys(columns);
    const count = fields.length ? columns[fields[0]].length : 0;
    content.records[name] = Array.from({ length: count }, (_, at) => {
      const row = {};
      for (const field of fields) if (columns[field][at] !== null) row[field] = columns[field][at];
      return row;
    });
  }
  return content;
}

function firstText(model) {
  if (model.get("wire")) return Promise.resolve(model.get("wire"));
  return new Promise((resolve) => {
    const take = () => {
      model.off("change:wire", take);
      resolve(model.get("wire"));
    };
    model.on("change:wire", take);
  });
}

// The view starts with its first records and limits: an empty chart would measure axes of nothing.
function filled(spec, content) {
  const whole = structuredClone(spec);
  const visit = (part) => {
    if (part === null || typeof part !== "object") return;
    if (part.data && content.records[part.data.name]) part.data.values = content.records[part.data.name];
    for (const inner of Object.values(part)) visit(inner);
  };
  visit(whole.layer);
  visit({ top: { data: whole.data } });
  for (const param of whole.params ?? []) {
    if (param.name in content.signals) param.value = content.signals[param.name];
  }
  return whole;
}

async function render({ model, el }) {
  const figure = document.createElement("figure");
  figure.className = "soilx-figure";
  figure.innerHTML = `
    <h2></h2>
    <div class="drawing" role="img"></div>
    <figcaption></figcaption>
    <details><summary>${TABLE_TITLE}</summary><div class="numbers"></div></details>`;
  const [heading, drawing, caption, details] = figure.children;
  const numbers = details.lastElementChild;
  heading.textContent = model.get("heading");
  numbers.setAttribute("role", "region");
  numbers.setAttribute("aria-label", `${TABLE_TITLE}: ${model.get("heading")}`);
  caption.id = "soilx-" + Math.random().toString(36).slice(2);
  drawing.setAttribute("aria-label", model.get("heading"));
  drawing.setAttribute("aria-describedby", caption.id);
  if (model.get("kept")) drawing.style.minHeight = `${model.get("kept")}px`;
  el.appendChild(figure);

  const plot = document.createElement("div");
  plot.className = "plot";
  plot.setAttribute("aria-hidden", "true");
  drawing.appendChild(plot);
  let text = await firstText(model);
  let content = read(text);
  const { view } = await vegaEmbed(plot, filled(model.get("spec"), content), {
    actions: false,
    renderer: "svg",
    tooltip: false,
    // Errors alone: a chart that waits for its records has no ends of its axes yet, and says so many times.
    logLevel: 1,
  });

  const drawTable = () => {
    if (!details.open) return;
    tableHtml(numbers, content.table);
    // A table wider or higher than its place is scrolled by the keyboard too.
    numbers.tabIndex = 0;
  };
  const words = () => {
    caption.textContent = content.caption;
    drawTable();
    figure.dataset.setting = content.setting;
    figure.dispatchEvent(new CustomEvent("soilx-drawn", { bubbles: true, composed: true, detail: content.setting }));
  };
  const filledWith = new Map(Object.entries(content.records).map(([name, rows]) => [name, rows.length]));
  // While one drawing is under way, later ones collapse into the latest.
  let busy = false;
  const draw = async () => {
    if (busy) return;
    busy = true;
    while (text !== model.get("wire")) {
      text = model.get("wire");
      content = read(text);
      for (const [name, value] of Object.entries(content.signals)) view.signal(name, value);
      for (const [name, rows] of Object.entries(content.records)) {
        // What was empty and stays so is most of what may stand on a chart: it costs nothing.
        if (rows.length === 0 && filledWith.get(name) === 0) continue;
        filledWith.set(name, rows.length);
        view.data(name, rows);
      }
      await view.runAsync();
      words();
    }
    busy = false;
  };
  details.addEventListener("toggle", drawTable);
  model.on("change:wire", draw);
  words();
  await draw();

  // A chart first laid out in a hidden or narrow place takes its width when there is one.
  let width = 0;
  const fit = new ResizeObserver(([entry]) => {
    const wanted = Math.floor(entry.contentRect.width);
    if (wanted === 0 || wanted === width) return;
    width = wanted;
    view.width(wanted).runAsync();
  });
  fit.observe(drawing);
  return () => {
    fit.disconnect();
    model.off("change:wire", draw);
    view.finalize();
  };
}

return { render };
