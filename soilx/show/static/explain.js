// A box to think in. Its text is never read by anything.

function render({ model, el }) {
  const id = "soilx-" + Math.random().toString(36).slice(2);
  const box = document.createElement("div");
  box.className = "soilx-explain";
  box.innerHTML = `<label for="${id}"></label><textarea id="${id}" rows="3" maxlength="2000" aria-describedby="${id}-stays"></textarea><p id="${id}-stays"></p>`;
  box.children[0].textContent = model.get("prompt");
  box.children[2].textContent = model.get("stays");
  el.appendChild(box);
}

export default { render };
