function render({ model, el }) {
  const group = document.createElement("fieldset");
  group.className = "soilx-ticks";
  const legend = document.createElement("legend");
  legend.textContent = model.get("label");
  group.appendChild(legend);
  const texts = model.get("texts");
  const boxes = model.get("options").map((option, at) => {
    const label = document.createElement("label");
    const box = document.createElement("input");
    box.type = "checkbox";
    box.value = option;
    box.addEventListener("change", () => {
      model.set("ticked", boxes.filter((one) => one.checked).map((one) => one.value));
      model.save_changes();
    });
    label.append(box, document.createTextNode(texts[at]));
    group.appendChild(label);
    return box;
  });
  const draw = () => boxes.forEach((box) => (box.checked = model.get("ticked").includes(box.value)));
  model.on("change:ticked", draw);
  draw();
  el.appendChild(group);
  return () => model.off("change:ticked", draw);
}

export default { render };
