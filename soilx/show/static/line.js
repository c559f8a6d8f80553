function render({ model, el }) {
  const line = document.createElement(model.get("tag"));
  line.className = "soilx-line";
  const draw = () => (line.textContent = model.get("text"));
  model.on("change:text", draw);
  draw();
  el.appendChild(line);
  return () => model.off("change:text", draw);
}

export default { render };
