// The moves that were made, and a lock that lets one thing change: after the first move everything else rests
// until all is put back.

const MOST = 40;

function render({ model, el }) {
  const box = document.createElement("div");
  box.className = "soilx-moves";
  box.innerHTML = `
    <label class="lock"><input type="checkbox"> <span></span></label>
    <p class="why" role="status"></p>
    <details><summary></summary><ol></ol></details>`;
  const [label, why, details] = box.children;
  const [lock, name] = label.children;
  const [summary, list] = details.children;
  name.textContent = model.get("label");
  let count = 0;
  let held = "";
  const hold = (quantity) => {
    held = quantity;
    why.textContent = quantity ? `Only “${quantity}” moves now. ${model.get("release")}` : "";
    document.dispatchEvent(new CustomEvent("soilx-hold", { detail: quantity }));
  };
  const add = (text) => {
    const item = document.createElement("li");
    item.textContent = text;
    list.appendChild(item);
    if (list.children.length > MOST) {
      list.firstElementChild.remove();
      list.start = count - MOST + 2;
    }
    count += 1;
    summary.textContent = `Moves made: ${count}`;
  };
  const onMoved = ({ detail }) => {
    add(detail.text);
    if (lock.checked && !held) hold(detail.quantity);
  };
  const onPressed = ({ detail }) => {
    if (detail.key !== "restore") return;
    add(detail.label);
    hold("");
  };
  lock.addEventListener("change", () => hold(""));
  summary.textContent = "Moves made: none";
  document.addEventListener("soilx-moved", onMoved);
  document.addEventListener("soilx-pressed", onPressed);
  el.appendChild(box);
  return () => {
    document.removeEventListener("soilx-moved", onMoved);
    document.removeEventListener("soilx-pressed", onPressed);
  };
}

export default { render };
