// The room's votes: a count per answer, typed by who asks, as bars. They stay in the page; nobody receives them.

function votesFold(texts, question) {
  const fold = document.createElement("details");
  fold.className = "soilx-votes";
  const summary = document.createElement("summary");
  summary.textContent = "The room's votes";
  const list = document.createElement("ul");
  list.setAttribute("aria-label", `The room's votes: ${question}`);
  fold.append(summary, list);
  let rows = [];
  let right = -1;
  const counted = (text) => (/^\d{1,4}$/.test(text) ? Number(text) : 0);
  const draw = () => {
    const counts = rows.map(({ count }) => counted(count.value.trim()));
    const all = counts.reduce((sum, one) => sum + one, 0);
    rows.forEach(({ item, bar, said, count }, at) => {
      bar.firstChild.style.width = all ? `${(100 * counts[at]) / all}%` : "0";
      const text = count.value.trim();
      const wrong = text !== "" && !/^\d{1,4}$/.test(text);
      count.toggleAttribute("aria-invalid", wrong);
      said.textContent = wrong ? "type a whole number" : all ? `${counts[at]} of ${all}` : "";
      item.classList.toggle("holds", at === right);
    });
  };
  const row = (text) => {
    const item = document.createElement("li");
    const [label, count] = [document.createElement("label"), document.createElement("input")];
    const [name, bar, said] = ["span", "span", "span"].map((tag) => document.createElement(tag));
    count.type = "text";
    count.inputMode = "numeric";
    count.autocomplete = "off";
    count.maxLength = 4;
    count.setAttribute("aria-label", `Votes for: ${text}`);
    name.textContent = text;
    bar.className = "bar";
    bar.appendChild(document.createElement("i"));
    said.className = "said";
    label.append(count, name);
    item.append(label, bar, said);
    list.appendChild(item);
    count.addEventListener("input", draw);
    return { item, count, bar, said };
  };
  // Most who read alone never open it.
  fold.addEventListener("toggle", () => {
    if (fold.open && rows.length === 0) rows = texts.map(row);
    draw();
  });
  fold.mark = (at) => {
    right = at;
    draw();
  };
  return fold;
}
