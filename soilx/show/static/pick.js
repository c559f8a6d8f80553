// A native list: the keyboard, the phone's wheel and the screen reader know it already.

function render({ model, el }) {
  const id = "soilx-" + Math.random().toString(36).slice(2);
  const group = document.createElement("div");
  group.className = "soilx-pick";
  group.innerHTML = `<label for="${id}"></label><select id="${id}"></select>`;
  const [label, select] = group.children;
  label.textContent = model.get("label");
  const texts = model.get("texts");
  model.get("options").forEach((option, at) => {
    const element = document.createElement("option");
    element.value = option;
    element.textContent = texts[at];
    select.appendChild(element);
  });
  const draw = () => (select.value = model.get("picked"));
  const take = (option) => {
    model.set("picked", option);
    model.save_changes();
  };
  const thing = model.get("thing");
  const moved = () => {
    const quantity = model.get("label");
    const detail = { quantity, unit: "", value: select.value, text: `${quantity}: ${select.selectedOptions[0]?.textContent}` };
    if (thing) document.dispatchEvent(new CustomEvent("soilx-moved", { detail }));
  };
  select.addEventListener("change", () => {
    take(select.value);
    moved();
  });
  const onHold = ({ detail }) => (select.disabled = thing && detail !== "" && detail !== model.get("label"));
  document.addEventListener("soilx-hold", onHold);
  const onKey = ({ detail }) => {
    const [key, place] = String(detail).split(":");
    const option = model.get("options")[Number(place) - 1];
    if (!model.get("key") || key !== model.get("key") || option === undefined) return;
    if (select.disabled) return;
    take(option);
    draw();
    moved();
  };
  document.addEventListener("soilx-key", onKey);
  model.on("change:picked", draw);
  draw();
  el.appendChild(group);
  return () => {
    document.removeEventListener("soilx-key", onKey);
    document.removeEventListener("soilx-hold", onHold);
    model.off("change:picked", draw);
  };
}

export default { render };
