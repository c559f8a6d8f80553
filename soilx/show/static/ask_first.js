// One box: ticked, every stage asks before it shows; not ticked, the plain view. The stages hold the state.

function render({ model, el }) {
  const label = document.createElement("label");
  label.className = "soilx-tick";
  const box = document.createElement("input");
  box.type = "checkbox";
  const note = document.createElement("span");
  note.textContent = model.get("note");
  label.append(box, `${model.get("label")} `, note);
  const draw = () => (box.checked = document.documentElement.dataset.soilxView !== "plain");
  box.addEventListener("change", () =>
    document.dispatchEvent(new CustomEvent("soilx-view", { detail: { plain: !box.checked } })));
  document.addEventListener("soilx-staged", draw);
  draw();
  el.appendChild(label);
  return () => document.removeEventListener("soilx-staged", draw);
}

export default { render };
