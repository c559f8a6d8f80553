// Opening a stage is the page's own affair: the mark on the root element shows or hides it at once, and what
// was on screen stays where it is. The model only hears how far the page is open.

const PICTURE_PX = 160;

function render({ model, el }) {
  const names = model.get("names");
  const bar = document.createElement("div");
  bar.className = "soilx-stages";
  bar.setAttribute("role", "group");
  bar.setAttribute("aria-label", "Stages of this page");
  bar.innerHTML = `
    <button type="button" class="back">Back</button>
    <div class="place"><p class="where" role="status"></p><p class="longest" aria-hidden="true"></p></div>
    <button type="button" class="next">Next</button>`;
  const [back, place, next] = bar.children;
  const [where, longest] = place.children;
  // The longest name keeps its room, so that no stage pushes what stands beside it.
  longest.textContent = `0\u00a0of\u00a00: ${names.reduce((one, other) => (other.length > one.length ? other : one))}`;

  const draw = () => {
    const stage = model.get("stage");
    document.documentElement.dataset.soilxStage = stage;
    where.replaceChildren(`${stage}\u00a0of\u00a0${names.length}`);
    const name = document.createElement("span");
    name.textContent = `: ${names[stage - 1]}`;
    where.append(name);
    // A button that is really disabled would lose the keyboard's place.
    back.setAttribute("aria-disabled", stage === 1);
    next.setAttribute("aria-disabled", stage === names.length);
    next.title = stage < names.length ? names[stage] : "";
    back.title = stage > 1 ? names[stage - 2] : "";
  };
  const go = (by) => {
    const stage = model.get("stage") + by;
    if (stage < 1 || stage > names.length) return;
    model.set("stage", stage);
    model.save_changes();
    draw();
    // A part with pictures comes to the top, its place kept open before they come; a few lines come in below.
    const part = by > 0 && document.querySelector(`.soilx-stage-${stage}:not(.soilx-kept)`);
    if (part) part.scrollIntoView({ block: part.offsetHeight > PICTURE_PX ? "start" : "nearest" });
  };
  back.addEventListener("click", () => go(-1));
  next.addEventListener("click", () => go(1));
  model.on("change:stage", draw);
  draw();
  el.appendChild(bar);
  return () => model.off("change:stage", draw);
}

export default { render };
