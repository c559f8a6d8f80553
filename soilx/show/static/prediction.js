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
      <button type="button" class="commit"></button>
      <button type="button" class="skip"></button>
    </div>
    <p class="refusal" role="alert"></p>
    <div class="reply" tabindex="-1"></div>`;
  const [question, choices, buttons, refusal, reply] = group.children;
  const [commit, skip] = buttons.children;
  commit.textContent = model.get("commit");
  skip.textContent = model.get("skip");
  question.textContent = model.get("question");
  const stage = model.get("stage");
  const votes = model.get("voted") ? votesFold(model.get("texts"), model.get("question")) : null;
  if (votes) group.insertBefore(votes, reply);
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
    votes?.mark(answered ? right : -1);
    const why = (at) => line("why", model.get("replies")[at]);
    reply.replaceChildren();
    if (answer === SHOWN) reply.append(holds, why(right));
    else if (answer === right) reply.append(line("verdict", model.get("holds")), why(answer));
    else if (answered) {
      reply.append(line("verdict", model.get("fails")), why(answer), holds);
    }
  };
  const send = (answer) => {
    model.set("answer", answer);
    model.save_changes();
    draw();
    if (stage) {
      document.dispatchEvent(new CustomEvent("soilx-guessed", { detail: { stage, shown: answer === SHOWN } }));
      return;
    }
    // The buttons are gone; the keyboard goes on from the reply, which a screen reader then reads.
    reply.focus();
  };
  commit.addEventListener("click", () => {
    const chosen = radios.findIndex((radio) => radio.checked);
    if (chosen >= 0) return send(chosen);
    refusal.textContent = "Choose one answer first. A wrong guess teaches more than none.";
  });
  skip.addEventListener("click", () => send(SHOWN));
  const onAsk = ({ detail }) => {
    if (stage && detail === stage) (radios.find((radio) => radio.checked) ?? radios[0]).focus();
  };
  document.addEventListener("soilx-ask", onAsk);
  model.on("change:answer", draw);
  draw();
  el.appendChild(group);
  return () => {
    document.removeEventListener("soilx-ask", onAsk);
    model.off("change:answer", draw);
  };
}

export default { render };
