// One press each: the columns come, the question stands above them, and the rule waits for its own press.

function render({ model, el }) {
  const box = document.createElement("div");
  box.className = "soilx-contrasts";
  box.innerHTML = `
    <div class="names" role="group" aria-label="What differs"></div>
    <div class="asked" role="status"><p class="question"></p><p class="same"></p></div>
    <div class="told"><button type="button" aria-expanded="false">Show the rule</button><p class="rule" role="status"></p></div>`;
  const [names, asked, told] = box.children;
  const [question, same] = asked.children;
  const [reveal, rule] = told.children;
  let open = false;
  const buttons = model.get("contrasts").map((name, at) => {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = name;
    button.addEventListener("click", () => {
      open = false;
      model.set("picked", at);
      model.save_changes();
      draw();
    });
    names.appendChild(button);
    return button;
  });
  const draw = () => {
    const picked = model.get("picked");
    buttons.forEach((button, at) => button.setAttribute("aria-pressed", at === picked));
    asked.hidden = told.hidden = picked < 0;
    question.textContent = model.get("question");
    same.textContent = `The same for all: ${model.get("same")}`;
    reveal.textContent = open ? "Hide the rule" : "Show the rule";
    reveal.setAttribute("aria-expanded", open);
    rule.textContent = open ? model.get("rule") : "";
  };
  reveal.addEventListener("click", () => {
    open = !open;
    draw();
  });
  const watched = ["picked", "same", "question", "rule"];
  for (const name of watched) model.on(`change:${name}`, draw);
  draw();
  el.appendChild(box);
  return () => {
    for (const name of watched) model.off(`change:${name}`, draw);
  };
}

export default { render };
