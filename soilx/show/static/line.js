// One line of small print that changes in place.
function render({ model, el }) {
  const line = document.createElement("p");
  line.className = "soilx-line";
  const draw = () => (line.textContent = model.get("text"));
  model.on("change:text", draw);
  draw();
  el.append(line);
  return () => model.off("change:text", draw);
}

export default { render };
