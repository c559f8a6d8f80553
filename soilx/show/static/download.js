function render({ model, el }) {
  const group = document.createElement("div");
  group.className = "soilx-download";
  group.innerHTML = `<button type="button"></button><p></p>`;
  const [button, said] = group.children;
  const draw = () => {
    const there = model.get("text") !== "";
    button.textContent = model.get("label");
    // A button that is really disabled would lose the keyboard's place.
    button.setAttribute("aria-disabled", !there);
    said.textContent = there ? model.get("name") : model.get("waits");
  };
  button.addEventListener("click", () => {
    if (model.get("text") === "") return;
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([model.get("text")], { type: "text/plain;charset=utf-8" }));
    link.download = model.get("name");
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
  });
  for (const name of ["text", "name"]) model.on(`change:${name}`, draw);
  draw();
  el.appendChild(group);
  return () => {
    for (const name of ["text", "name"]) model.off(`change:${name}`, draw);
  };
}

export default { render };
