// A text that is sent when it is done, not at every key: a half-typed number is no mistake.

function render({ model, el }) {
  const id = "soilx-" + Math.random().toString(36).slice(2);
  const group = document.createElement("div");
  group.className = "soilx-entry";
  group.innerHTML = `
    <label for="${id}"></label>
    <input id="${id}" type="text" autocomplete="off" spellcheck="false" aria-describedby="${id}-hint ${id}-refusal">
    <p class="hint" id="${id}-hint"></p>
    <p class="refusal" id="${id}-refusal" role="status"></p>`;
  const [label, input, hint, refusal] = group.children;
  label.textContent = model.get("label");
  hint.textContent = model.get("hint");
  const draw = () => (input.value = model.get("text"));
  const say = () => {
    const why = model.get("refusal");
    refusal.textContent = why;
    if (why) input.setAttribute("aria-invalid", "true");
    else input.removeAttribute("aria-invalid");
  };
  const send = () => {
    if (input.value === model.get("text")) return;
    model.set("text", input.value);
    model.save_changes();
  };
  input.addEventListener("change", send);
  input.addEventListener("keydown", (event) => {
    if (event.key === "Enter") send();
    if (event.key === "Escape") draw();
  });
  model.on("change:text", draw);
  model.on("change:refusal", say);
  draw();
  say();
  el.appendChild(group);
  return () => {
    model.off("change:text", draw);
    model.off("change:refusal", say);
  };
}

export default { render };
