// A list of sentences behind one line; it changes only when what it says changes.

function render({ model, el }) {
  const details = document.createElement("details");
  details.className = "soilx-list";
  const summary = document.createElement("summary");
  const list = document.createElement("ul");
  details.append(summary, list);
  el.appendChild(details);
  const draw = () => {
    summary.textContent = model.get("heading");
    list.replaceChildren(
      ...model.get("lines").map((text) => {
        const item = document.createElement("li");
        item.textContent = text;
        return item;
      }),
    );
  };
  model.on("change:lines", draw);
  draw();
  return () => model.off("change:lines", draw);
}

export default { render };
