// Curves that were kept: one press keeps what is on screen, each kept one has its letter and its own way off.

function render({ model, el }) {
  const box = document.createElement("div");
  box.className = "soilx-keep";
  box.setAttribute("role", "group");
  box.setAttribute("aria-label", "Curves kept");
  box.innerHTML = `<button type="button" class="keep">Keep this curve</button><ul></ul><p role="status"></p>`;
  const [button, list, said] = box.children;
  const count = (name, value) => {
    model.set(name, value);
    model.save_changes();
  };
  const keep = () => {
    if (box.offsetParent !== null) count("keeps", model.get("keeps") + 1);
  };
  button.addEventListener("click", keep);
  const draw = () => {
    said.textContent = model.get("said");
    list.replaceChildren(
      ...model.get("lines").map(([letter, text]) => {
        const item = document.createElement("li");
        const [name, away] = [document.createElement("strong"), document.createElement("button")];
        name.textContent = letter;
        away.type = "button";
        away.textContent = "Remove";
        away.setAttribute("aria-label", `Remove curve ${letter}`);
        away.addEventListener("click", () => {
          count("gone", [...model.get("gone"), letter]);
          button.focus();
        });
        item.append(name, ` ${text} `, away);
        return item;
      }),
    );
  };
  const onKey = ({ detail }) => {
    if (detail === "keep") keep();
  };
  document.addEventListener("soilx-key", onKey);
  for (const name of ["lines", "said"]) model.on(`change:${name}`, draw);
  draw();
  el.appendChild(box);
  return () => {
    document.removeEventListener("soilx-key", onKey);
    for (const name of ["lines", "said"]) model.off(`change:${name}`, draw);
  };
}

export default { render };
