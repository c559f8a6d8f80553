// The page is made where the numbers are, and comes here once to be saved. What was written in a box to think in
// never left this screen: it is put into the page here, as text.

const escaped = (text) =>
  text.replace(/[&<>"']/g, (sign) => ({ "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#x27;" })[sign]);

function written(page) {
  let whole = page;
  const take = (prompt, text) => {
    const mark = `data-prompt="${escaped(prompt)}"></p>`;
    whole = whole.split(mark).join(mark.replace("</p>", () => `${escaped(text.trim())}</p>`));
  };
  document.dispatchEvent(new CustomEvent("soilx-written", { detail: take }));
  return whole;
}

function render({ model, el }) {
  const place = document.createElement("div");
  place.className = "soilx-save";
  place.innerHTML = `<button type="button"></button><progress max="1"></progress><p class="hint"></p><p role="status"></p>`;
  const [button, bar, hint, said] = place.children;
  button.textContent = model.get("label");
  bar.setAttribute("aria-label", model.get("label"));
  hint.textContent = model.get("hint");
  button.addEventListener("click", () => {
    if (model.get("busy")) return;
    model.set("presses", model.get("presses") + 1);
    model.save_changes();
  });
  const draw = () => {
    const busy = model.get("busy");
    bar.value = model.get("share");
    bar.hidden = !busy;
    button.setAttribute("aria-disabled", String(busy));
    said.textContent = busy ? "The page is being made." : model.get("said");
  };
  const save = ({ name, page }) => {
    if (typeof page !== "string") return;
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([written(page)], { type: "text/html;charset=utf-8" }));
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
  };
  const names = ["busy", "share", "said"];
  for (const name of names) model.on(`change:${name}`, draw);
  model.on("msg:custom", save);
  draw();
  el.appendChild(place);
  return () => {
    for (const name of names) model.off(`change:${name}`, draw);
    model.off("msg:custom", save);
  };
}

export default { render };
