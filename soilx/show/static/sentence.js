// The sentence changes at once for the eye; a screen reader hears it when the slider has come to rest. What
// cannot be stands in its place, and says that the picture is still the last one that could.

const REST_MS = 700;
const KEPT = "The picture still shows the setting before.";

function render({ model, el }) {
  const shown = document.createElement("p");
  shown.className = "soilx-sentence";
  const spoken = document.createElement("p");
  spoken.className = "soilx-spoken";
  spoken.setAttribute("role", "status");
  el.append(shown, spoken);
  let timer = 0;
  const draw = () => {
    const refusal = model.get("refusal");
    const text = refusal ? `${refusal} ${KEPT}` : model.get("text");
    shown.classList.toggle("refused", refusal !== "");
    shown.textContent = text;
    clearTimeout(timer);
    timer = setTimeout(() => (spoken.textContent = text), REST_MS);
  };
  for (const name of ["text", "refusal"]) model.on(`change:${name}`, draw);
  draw();
  return () => {
    clearTimeout(timer);
    for (const name of ["text", "refusal"]) model.off(`change:${name}`, draw);
  };
}

export default { render };
