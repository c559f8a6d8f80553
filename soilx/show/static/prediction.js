// A question answered once: choose, commit, read the reply. What was chosen stays on the page.

const UNANSWERED = -1;
const SHOWN = -2;

function render({ model, el }) {
  const id = "soilx-" + Math.random().toString(36).slice(2);
  const group = document.createElement("div");
  group.className = "soilx-prediction";
  group.setAttribute("role", "group");
  group.setAttribute("aria-labelledby", `${id}-question`);
  group.innerHTML = `
    <p class="question" id="${id}-question"></p>
    <div class="choices" role="radiogroup" aria-labelledby="${id}-question"></div>
    <div class="buttons">
      <button type="button" class="commit">This is my guess</button>
      <button type="button" class="skip">Show me without a guess</button>
    </div>
    <p class="refusal" role="alert"></p>
    <div class="reply" tabindex="-1"></div>`;
  const [question, choices, buttons, refusal, reply] = group.children;
  const [commit, skip] = buttons.children;
  question.textContent = model.get("question");
  commit.setAttribute("aria-describedby", question.id);
  skip.setAttribute("aria-describedby", question.id);
  const radios = model.get("texts").map((text, at) => {
    const label = document.createElement("label");
    const radio = document.createElement("input");
    radio.type = "radio";
    radio.name = id;
    radio.value = at;
    radio.addEventListener("change", () => (refusal.textContent = ""));
    label.append(radio, document.createTextNode(text));
    choices.appendChild(label);
    return radio;
  });

  const line = (kind, text) => {
    const element = document.createElement("p");
    element.className = kind;
    element.textContent = text;
    return element;
  };
  const draw = () => {
    const answer = model.get("answer");
    const answered = answer !== UNANSWERED;
    const right = model.get("right");
    buttons.hidden = answered;
    radios.forEach((radio, at) => {
      radio.disabled = answered;
      radio.checked = at === answer || (!answered && radio.checked);
      radio.parentElement.classList.toggle("chosen", at === answer);
    });
    const holds = line("right", `What holds: ${model.get("texts")[right]}`);
    const why = (at) => line("why", model.get("replies")[at]);
    reply.replaceChildren();
    if (answer === SHOWN) reply.append(holds, why(right));
    else if (answer === right) reply.append(line("verdict", "Your guess holds."), why(answer));
    else if (answered) {
      reply.append(line("verdict", "Your guess does not hold. Look at the picture."), why(answer), holds);
    }
  };
  const send = (answer) => {
    model.set("answer", answer);
    model.save_changes();
    draw();
    // The buttons are gone; the keyboard goes on from the reply, which a screen reader then reads.
    reply.focus();
  };
  commit.addEventListener("click", () => {
    const chosen = radios.findIndex((radio) => radio.checked);
    if (chosen >= 0) return send(chosen);
    refusal.textContent = "Choose one answer first. A wrong guess teaches more than none.";
  });
  skip.addEventListener("click", () => send(SHOWN));
  model.on("change:answer", draw);
  draw();
  el.appendChild(group);
  return () => model.off("change:answer", draw);
}

export default { render };
