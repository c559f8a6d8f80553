// One more portion at a press; the cup under each column is read below the buttons.

function render({ model, el }) {
  const id = "soilx-" + Math.random().toString(36).slice(2);
  const box = document.createElement("div");
  box.className = "soilx-portions";
  box.setAttribute("role", "group");
  box.setAttribute("aria-label", "Water, one portion at a time");
  box.innerHTML = `
    <div class="buttons">
      <button type="button" class="next">Next portion</button>
      <button type="button" class="again">Start again</button>
      <span><label for="${id}">Portion</label> <select id="${id}"></select></span>
    </div>
    <p class="said"></p>
    <p class="spoken" role="status"></p>
    <div class="cups"></div>`;
  const [buttons, said, spoken, cups] = box.children;
  const [next, again] = buttons.children;
  const select = buttons.querySelector("select");
  for (const size of model.get("sizes")) {
    const option = document.createElement("option");
    option.value = size;
    option.textContent = `${size} pore volume${size > 1 ? "s" : ""}`;
    select.appendChild(option);
  }
  const press = (name) => () => {
    model.set(name, model.get(name) + 1);
    model.save_changes();
  };
  const onKey = ({ detail }) => {
    // A part that is not open yet is not run behind the page's back.
    if (detail === "portion" && box.offsetParent !== null) press("nexts")();
  };
  document.addEventListener("soilx-key", onKey);
  next.addEventListener("click", press("nexts"));
  again.addEventListener("click", press("restarts"));
  select.addEventListener("change", () => {
    model.set("size", Number(select.value));
    model.save_changes();
  });
  const drawSize = () => (select.value = model.get("size"));
  let timer = 0;
  const draw = () => {
    if (!model.get("wire")) return;
    const content = JSON.parse(model.get("wire"));
    said.textContent = content.said;
    clearTimeout(timer);
    timer = setTimeout(() => (spoken.textContent = content.said), 700);
    const table = document.createElement("table");
    table.createCaption().textContent = content.table.caption;
    const head = table.createTHead().insertRow();
    for (const title of content.table.titles) {
      const cell = document.createElement("th");
      cell.scope = "col";
      cell.textContent = title;
      head.appendChild(cell);
    }
    const body = table.createTBody();
    for (const row of content.table.rows) {
      const line = body.insertRow();
      row.forEach((text, at) => {
        const cell = document.createElement(at === 0 ? "th" : "td");
        if (at === 0) cell.scope = "row";
        cell.textContent = text;
        line.appendChild(cell);
      });
    }
    cups.replaceChildren(table);
  };
  model.on("change:wire", draw);
  model.on("change:size", drawSize);
  drawSize();
  draw();
  el.appendChild(box);
  return () => {
    clearTimeout(timer);
    document.removeEventListener("soilx-key", onKey);
    model.off("change:wire", draw);
    model.off("change:size", drawSize);
  };
}

export default { render };
