// A native list of problems, grouped by level; what is done says so in words, not by colour.

function render({ model, el }) {
  const id = "soilx-" + Math.random().toString(36).slice(2);
  const group = document.createElement("div");
  group.className = "soilx-pick";
  const label = document.createElement("label");
  label.htmlFor = id;
  label.textContent = model.get("label");
  const select = document.createElement("select");
  select.id = id;
  for (const { title, items } of model.get("groups")) {
    const place = document.createElement("optgroup");
    place.label = title;
    for (const { key, text } of items) {
      const option = document.createElement("option");
      option.value = key;
      option.dataset.title = option.textContent = text;
      place.appendChild(option);
    }
    select.appendChild(place);
  }
  const mark = () => {
    const marks = model.get("marks");
    for (const option of select.options) {
      const mine = marks[option.value];
      option.textContent = mine ? `${option.dataset.title} (${mine})` : option.dataset.title;
    }
  };
  const draw = () => (select.value = model.get("picked"));
  select.addEventListener("change", () => {
    model.set("picked", select.value);
    model.save_changes();
  });
  model.on("change:picked", draw);
  model.on("change:marks", mark);
  mark();
  draw();
  group.append(label, select);
  el.appendChild(group);
  return () => {
    model.off("change:picked", draw);
    model.off("change:marks", mark);
  };
}

export default { render };
