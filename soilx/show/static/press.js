function render({ model, el }) {
  const button = document.createElement("button");
  button.type = "button";
  button.className = "soilx-press";
  button.textContent = model.get("label");
  button.addEventListener("click", () => {
    model.set("presses", model.get("presses") + 1);
    model.save_changes();
  });
  el.appendChild(button);
}

export default { render };
