// A button for work that takes a while: how far it is stands in a native bar, and what came of it is announced.

function render({ model, el }) {
  const place = document.createElement("div");
  place.className = "soilx-task";
  place.innerHTML = `<button type="button"></button><progress max="1"></progress><p role="status"></p>`;
  const [button, bar, said] = place.children;
  button.textContent = model.get("label");
  bar.setAttribute("aria-label", model.get("label"));
  button.addEventListener("click", () => {
    if (model.get("busy")) return;
    model.set("presses", model.get("presses") + 1);
    model.save_changes();
  });
  const draw = () => {
    const busy = model.get("busy");
    bar.value = model.get("share");
    bar.style.visibility = busy ? "visible" : "hidden";
    button.setAttribute("aria-disabled", String(busy));
    said.textContent = model.get("said");
  };
  const names = ["busy", "share", "said"];
  for (const name of names) model.on(`change:${name}`, draw);
  draw();
  el.appendChild(place);
  return () => {
    for (const name of names) model.off(`change:${name}`, draw);
  };
}

export default { render };
