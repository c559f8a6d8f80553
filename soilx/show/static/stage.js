// Back, Next, and which stage this is. The page adds the stage; this brings it into view once it is there.

function inView(number) {
  const started = performance.now();
  const look = () => {
    const section = document.querySelector(`[data-stage="${number}"]`);
    if (section) {
      const still = matchMedia("(prefers-reduced-motion: reduce)").matches;
      section.scrollIntoView({ behavior: still ? "auto" : "smooth", block: "start" });
    } else if (performance.now() - started < 5000) {
      setTimeout(look, 50);
    }
  };
  look();
}

function render({ model, el }) {
  const titles = model.get("titles");
  const bar = document.createElement("nav");
  bar.className = "soilx-stages";
  bar.setAttribute("aria-label", "Stages of the lecture");
  bar.innerHTML = `<button type="button">Back</button><p role="status"></p><button type="button">Next</button>`;
  const [back, where, next] = bar.children;

  const draw = () => {
    const stage = model.get("stage");
    where.textContent = `${stage} of ${titles.length}: ${titles[stage - 1]}`;
    // A button that has nothing to do stays where the keyboard is, and says so.
    back.setAttribute("aria-disabled", String(stage === 1));
    next.setAttribute("aria-disabled", String(stage === titles.length));
  };
  const go = (step) => {
    const stage = Math.min(titles.length, Math.max(1, model.get("stage") + step));
    if (stage === model.get("stage")) return;
    model.set("stage", stage);
    model.save_changes();
    draw();
    inView(stage);
  };
  back.addEventListener("click", () => go(-1));
  next.addEventListener("click", () => go(1));
  model.on("change:stage", draw);
  draw();
  el.appendChild(bar);
  return () => model.off("change:stage", draw);
}

export default { render };
