// A box to think in. Its text is read by nothing but a page that is saved here, in this browser.

function render({ model, el }) {
  const id = "soilx-" + Math.random().toString(36).slice(2);
  const box = document.createElement("div");
  box.className = "soilx-explain";
  box.innerHTML = `<label for="${id}"></label><textarea id="${id}" rows="3" maxlength="2000" aria-describedby="${id}-stays"></textarea><p id="${id}-stays"></p>`;
  const [label, area, stays] = box.children;
  label.textContent = model.get("prompt");
  stays.textContent = model.get("stays");
  const onWritten = ({ detail }) => detail(model.get("prompt"), area.value);
  document.addEventListener("soilx-written", onWritten);
  el.appendChild(box);
  return () => document.removeEventListener("soilx-written", onWritten);
}

export default { render };
