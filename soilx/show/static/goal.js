// What to reach with one slider, the moves on the way, and an end. The slider says where it came to rest.

function render({ model, el }) {
  const box = document.createElement("div");
  box.className = "soilx-goal";
  box.innerHTML = `
    <p class="goal"><strong>Goal.</strong> <span></span></p>
    <p class="done" role="status"></p>
    <details><summary></summary><ol></ol></details>
    <button type="button">Try again</button>`;
  const [goal, done, details, again] = box.children;
  const [summary, list] = details.children;
  goal.lastElementChild.textContent = `${model.get("goal")} One slider: one thing changes.`;
  let moves = 0;
  let reached = 0;
  const draw = () => {
    summary.textContent = moves ? `Moves made: ${moves}` : "No move yet";
    const said = `Reached in ${reached} move${reached === 1 ? "" : "s"}. ${model.get("done")}`;
    done.textContent = reached ? said : "";
    box.classList.toggle("reached", reached > 0);
    again.hidden = moves === 0;
  };
  const onMoved = ({ detail }) => {
    if (detail.quantity !== model.get("quantity")) return;
    moves += 1;
    const item = document.createElement("li");
    item.textContent = detail.text;
    list.appendChild(item);
    const near = 1e-9;
    const there = detail.value >= model.get("low") - near && detail.value <= model.get("high") + near;
    if (there && !reached) reached = moves;
    draw();
  };
  again.addEventListener("click", () => {
    moves = reached = 0;
    list.replaceChildren();
    draw();
    summary.focus();
  });
  document.addEventListener("soilx-moved", onMoved);
  draw();
  el.appendChild(box);
  return () => document.removeEventListener("soilx-moved", onMoved);
}

export default { render };
