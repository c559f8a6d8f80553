// The sentence changes at once for the eye; a screen reader hears it when the slider has come to rest.

const REST_MS = 700;

function render({ model, el }) {
  const shown = document.createElement("p");
  shown.className = "soilx-sentence";
  const spoken = document.createElement("p");
  spoken.className = "soilx-spoken";
  spoken.setAttribute("role", "status");
  el.append(shown, spoken);
  let timer = 0;
  const draw = () => {
    shown.textContent = model.get("text");
    clearTimeout(timer);
    timer = setTimeout(() => (spoken.textContent = model.get("text")), REST_MS);
  };
  model.on("change:text", draw);
  shown.textContent = model.get("text");
  return () => {
    clearTimeout(timer);
    model.off("change:text", draw);
  };
}

export default { render };
