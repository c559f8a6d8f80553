function render({ model, el }) {
  const button = document.createElement("button");
  button.type = "button";
  button.className = "soilx-press";
  button.textContent = model.get("label");
  const press = () => {
    model.set("presses", model.get("presses") + 1);
    model.save_changes();
    const detail = { label: model.get("label"), key: model.get("key") };
    document.dispatchEvent(new CustomEvent("soilx-pressed", { detail }));
  };
  const onKey = ({ detail }) => {
    if (model.get("key") && detail === model.get("key")) press();
  };
  button.addEventListener("click", press);
  document.addEventListener("soilx-key", onKey);
  el.appendChild(button);
  return () => document.removeEventListener("soilx-key", onKey);
}

export default { render };
