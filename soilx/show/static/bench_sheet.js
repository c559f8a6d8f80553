// One portion is typed at a time, in fields large enough for a thumb; all of them stand in the table below. What
// is typed goes to where the sheet says it is kept, and stays in its fields where it was refused.

const STORE = "soilx-bench-record";
const FLAGS = ["turbid", "no leachate", "below range", "above range"];
const KEPT = ["arm", "replicate", "added_ml", "ec_temperature_c"];

function base64(buffer) {
  const bytes = new Uint8Array(buffer);
  let text = "";
  for (let at = 0; at < bytes.length; at += 32768) text += String.fromCharCode(...bytes.subarray(at, at + 32768));
  return btoa(text);
}

function make(tag, properties = {}, ...inside) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(properties)) {
    if (name in element && name !== "list") element[name] = value;
    else element.setAttribute(name, value);
  }
  element.append(...inside);
  return element;
}

function render({ model, el }) {
  const box = make("div", { className: "soilx-sheet" });
  const where = make("p", { className: "where" });
  const said = make("p", { className: "said" });
  said.setAttribute("role", "status");
  const problems = make("ul", { className: "problems", ariaLabel: "What of the record could not be used" });
  let content = null;
  let changing = null; // the row that is in the fields, or null for a new portion
  const send = (message) => {
    model.set("sent", { ...message, at: Date.now() });
    model.save_changes();
  };

  // Where the record comes from and goes to.
  const chosen = make("select");
  const openLabel = make("label", { className: "open" }, "Record in the folder ", chosen);
  const again = make("button", { type: "button", textContent: "Read the file again" });
  const file = make("input", { type: "file", accept: ".csv,text/csv" });
  const name = make("input", { type: "text", value: "bench_run.csv", autocomplete: "off", spellcheck: false });
  const begin = make("button", { type: "button", textContent: "Begin your own record" });
  const download = make("button", { type: "button", textContent: "Download the record" });
  const tick = make("input", { type: "checkbox", checked: true });
  const tickLabel = make("label", { className: "tick" }, tick, "Keep it in this browser tab too, so that a reload does not lose it. It is gone when the tab is closed.");
  const filesBox = make(
    "div",
    { className: "files" },
    openLabel,
    again,
    make("label", {}, "Load a record (CSV) ", file),
    make("span", { className: "together" }, make("label", {}, "Name of a new record ", name), begin),
    download,
  );
  filesBox.setAttribute("role", "group");
  filesBox.setAttribute("aria-label", "The record");
  chosen.addEventListener("change", () => send({ what: "open", name: chosen.value }));
  again.addEventListener("click", () => send({ what: "open", name: content.name }));
  begin.addEventListener("click", () => send({ what: "begin", name: name.value }));
  download.addEventListener("click", () => {
    const bytes = Uint8Array.from(atob(content.data), (one) => one.charCodeAt(0));
    const link = make("a", { href: URL.createObjectURL(new Blob([bytes], { type: "text/csv" })), download: content.name });
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
    said.textContent = `Given to your browser as ${content.name}.`;
  });
  file.addEventListener("change", async () => {
    const taken = file.files[0];
    if (!taken) return;
    if (taken.size > content.most) {
      said.textContent = `${taken.name}: is larger than ${content.most / 1e6} MB; no bench record is; check that it is the right file.`;
      return;
    }
    send({ what: "load", name: taken.name, data: base64(await taken.arrayBuffer()) });
  });

  // The fields of one portion.
  const fields = make("div", { className: "fields" });
  const title = make("legend");
  const save = make("button", { type: "button", className: "save", textContent: "Write it down" });
  const cancel = make("button", { type: "button", textContent: "Leave it as it was" });
  const portion = make(
    "fieldset",
    { className: "portion" },
    title,
    fields,
    make("div", { className: "buttons" }, save, cancel),
  );
  let inputs = {};
  let header = "";
  const buildFields = () => {
    header = content.header.join();
    inputs = {};
    fields.replaceChildren(
      ...content.header.map((column, at) => {
        if (column === "flags") return flagBoxes();
        const input = column === "arm" ? make("select") : make("input", { type: "text", autocomplete: "off" });
        if (content.numeric[at]) input.inputMode = "decimal";
        inputs[column] = {
          get: () => input.value.trim(),
          set: (text) => {
            if (column === "arm" && text && ![...input.options].some((one) => one.value === text)) input.add(new Option(text));
            input.value = text;
          },
          focus: () => input.focus(),
        };
        if (column === "arm") for (const arm of content.arms) input.add(new Option(arm));
        const equal = make("span", { className: "equal" });
        if (/^(added_ml|volume_ml|mass_g)$/.test(column)) {
          inputs[column].tell = () => {
            const value = Number(input.value.replace(",", "."));
            equal.textContent =
              content.mm_per_ml && input.value && Number.isFinite(value) ? `= ${(value * content.mm_per_ml).toFixed(0)} mm on the field` : "";
          };
          input.addEventListener("input", inputs[column].tell);
        }
        return make("label", { className: column === "note" ? "wide" : "" }, make("span", { textContent: content.titles[at] }), input, equal);
      }),
    );
  };
  const flagBoxes = () => {
    const group = make("div", { className: "flags wide" }, make("span", { textContent: "Flags" }));
    group.setAttribute("role", "group");
    group.setAttribute("aria-label", "Flags");
    let others = [];
    const boxes = FLAGS.map((flag) => {
      const one = make("input", { type: "checkbox", value: flag });
      group.append(make("label", {}, one, flag));
      return one;
    });
    const rest = make("span", { className: "equal" });
    group.append(rest);
    inputs.flags = {
      get: () => [...boxes.filter((one) => one.checked).map((one) => one.value), ...others].join("; "),
      set: (text) => {
        const parts = text.split(";").map((part) => part.trim()).filter(Boolean);
        boxes.forEach((one) => (one.checked = parts.includes(one.value)));
        others = parts.filter((part) => !FLAGS.includes(part));
        rest.textContent = others.join("; ");
      },
      focus: () => boxes[0].focus(),
    };
    return group;
  };
  const typed = () => Object.fromEntries(Object.entries(inputs).map(([column, input]) => [column, input.get()]));
  const fill = (row) => {
    for (const [column, input] of Object.entries(inputs)) {
      input.set(row[column] ?? "");
      input.tell?.();
    }
  };
  const rowAt = (at) => Object.fromEntries(content.header.map((column, place) => [column, content.rows[at][place]]));
  const fresh = () => {
    changing = null;
    const last = content.rows.length ? rowAt(content.rows.length - 1) : { arm: "gypsum", replicate: "1", portion: "0" };
    const next = Object.fromEntries(KEPT.map((column) => [column, last[column] ?? ""]));
    fill({ ...next, portion: String((Number(last.portion) || 0) + 1) });
    dress();
  };
  const dress = () => {
    title.textContent = changing ? `Change ${changing.arm} ${changing.replicate || 1}, portion ${changing.portion}` : "A new portion";
    save.textContent = changing ? "Write the change down" : "Write it down";
    cancel.hidden = changing === null;
    for (const row of body.rows) row.classList.toggle("changing", changing !== null && row.dataset.key === keyOf(changing));
  };
  const keyOf = (row) => [row.arm, row.replicate, row.portion].join("|");
  const edit = (at, column) => {
    changing = rowAt(at);
    fill(changing);
    dress();
    portion.scrollIntoView({ block: "nearest" });
    (inputs[column] ?? inputs.volume_ml ?? inputs.portion).focus();
  };
  const take = () => {
    const row = typed();
    if (!row.arm || !row.portion) {
      said.textContent = "A portion needs its arm and its number before it can be kept; fill them in.";
      (row.arm ? inputs.portion : inputs.arm).focus();
      return;
    }
    said.textContent = "";
    send(changing ? { what: "change", row, was: changing } : { what: "add", row });
  };
  save.addEventListener("click", take);
  cancel.addEventListener("click", fresh);
  fields.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && event.target.matches("input[type=text]")) take();
  });

  // All portions.
  const head = make("thead");
  const body = make("tbody");
  const more = make("p", { className: "more" });
  const heading = make("p", { className: "caption", textContent: "Portions written down. Choose one to change it." });
  const scroller = make("div", { className: "numbers", tabIndex: 0 }, make("table", {}, head, body));
  scroller.setAttribute("role", "region");
  scroller.setAttribute("aria-label", "Portions written down");
  const drawTable = () => {
    const volume = content.header.findIndex((column) => /^(volume_ml|mass_g)$/.test(column));
    const heads = content.titles.map((text) => make("th", { scope: "col", textContent: text }));
    if (content.mm_per_ml && volume >= 0) heads.splice(volume + 1, 0, make("th", { scope: "col", textContent: "= on the field, mm" }));
    head.replaceChildren(make("tr", {}, make("td"), ...heads));
    body.replaceChildren(
      ...content.rows.map((cells, at) => {
        const row = rowAt(at);
        const change = make("button", { type: "button", textContent: "Change", ariaLabel: `Change ${row.arm} ${row.replicate || 1}, portion ${row.portion}` });
        change.addEventListener("click", () => edit(at));
        const bad = content.troubled[String(content.numbers[at])];
        const line = make("tr", {}, make("td", {}, change));
        line.dataset.key = keyOf(row);
        cells.forEach((text, place) => {
          const column = content.header[place];
          const wrong = bad?.includes(column);
          const cell = make("td", { textContent: wrong ? `${text || "–"} ⚠` : text, className: `${content.numeric[place] ? "figure" : ""}${wrong ? " wrong" : ""}` });
          if (wrong) cell.title = "Not used as it stands; the sentence above says why.";
          cell.addEventListener("click", () => edit(at, column));
          line.append(cell);
          if (content.mm_per_ml && place === volume) {
            const value = Number(text);
            line.append(make("td", { className: "figure", textContent: text && Number.isFinite(value) ? (value * content.mm_per_ml).toFixed(0) : "" }));
          }
        });
        return line;
      }),
    );
    more.textContent = content.left;
  };

  // What is known of soil, dose and instruments.
  const about = make("details", { className: "about" }, make("summary", { textContent: "Soil, dose and instruments: what is known beside the portions" }));
  const key = make("select");
  const value = make("input", { type: "text", autocomplete: "off" });
  const error = make("input", { type: "text", autocomplete: "off" });
  const arm = make("select");
  const replicate = make("input", { type: "text", inputMode: "numeric", autocomplete: "off" });
  const unit = make("span", { className: "equal" });
  const put = make("button", { type: "button", className: "save", textContent: "Write this down" });
  const knownBody = make("tbody");
  const labelled = (text, input, ...rest) => make("label", {}, make("span", { textContent: text }), input, ...rest);
  about.append(
    make(
      "div",
      { className: "fields" },
      labelled("What", key),
      labelled("Value with its unit", value, unit),
      labelled("± standard error", error),
      labelled("Arm, if it is of one", arm),
      labelled("Replicate, if of one", replicate),
    ),
    make("div", { className: "buttons" }, put),
    make(
      "div",
      { className: "numbers", tabIndex: 0 },
      make(
        "table",
        {},
        make("caption", { textContent: "Known so far" }),
        make("thead", {}, make("tr", {}, ...["What", "Value", "± error", "Arm", "Replicate", "Note"].map((text) => make("th", { scope: "col", textContent: text })))),
        knownBody,
      ),
    ),
  );
  const tellUnit = () => {
    const one = content.keys.find((each) => each.key === key.value);
    unit.textContent = one?.unit ? `such as in ${one.unit}` : "";
  };
  key.addEventListener("change", () => {
    const known = content.lines.find((line) => line[0] === key.value && line[3] === arm.value && line[4] === replicate.value);
    value.value = known?.[1] ?? "";
    error.value = known?.[2] ?? "";
    tellUnit();
  });
  put.addEventListener("click", () => send({ what: "line", line: [key.value, value.value, error.value, arm.value, replicate.value] }));
  const drawLines = () => {
    const titles = Object.fromEntries(content.keys.map((one) => [one.key, one.title]));
    const keep = [key.value, arm.value];
    key.replaceChildren(...content.keys.map((one) => new Option(one.title, one.key)));
    arm.replaceChildren(new Option("all of them", ""), ...content.arms.map((one) => new Option(one)));
    key.value = keep[0] || "exchangeable_sodium_after";
    arm.value = keep[1];
    tellUnit();
    knownBody.replaceChildren(
      ...content.lines
        .filter((line) => line[0] !== "key" && line[0] !== "soilx bench record")
        .map(([name, ...cells]) => make("tr", {}, make("th", { scope: "row", textContent: titles[name] ?? name }), ...cells.map((text) => make("td", { textContent: text })))),
    );
  };

  // A reload starts the page anew; the tab's own memory brings the record back, and says so.
  const remember = () => {
    try {
      if (content.folder || content.example || !tick.checked) return;
      sessionStorage.setItem(STORE, JSON.stringify({ name: content.name, data: content.data }));
    } catch {
      said.textContent = "This browser keeps nothing for this tab: download the record before you leave.";
    }
  };
  const bringBack = () => {
    try {
      const kept = JSON.parse(sessionStorage.getItem(STORE) ?? "null");
      if (kept && !content.folder && kept.data !== content.data) send({ what: "load", restored: true, ...kept });
    } catch {
      // A browser without a memory has nothing to bring back.
    }
  };
  tick.addEventListener("change", () => {
    try {
      if (tick.checked) remember();
      else sessionStorage.removeItem(STORE);
    } catch {
      tick.checked = false;
    }
  });

  let heard = 0;
  const draw = () => {
    if (!model.get("wire")) return;
    content = JSON.parse(model.get("wire"));
    where.textContent = content.where;
    openLabel.hidden = again.hidden = !content.folder || content.names.length === 0;
    tickLabel.hidden = content.folder;
    again.disabled = content.example;
    chosen.replaceChildren(...(content.example ? [new Option("choose one", "")] : []), ...content.names.map((one) => new Option(one)));
    chosen.value = content.example ? "" : content.name;
    portion.disabled = content.folder && content.example;
    problems.replaceChildren(...[...content.problems, ...content.notes].map((text) => make("li", { textContent: text })));
    if (header !== content.header.join()) buildFields();
    drawTable();
    drawLines();
    const answer = content.answer;
    const mine = answer.serial !== heard && answer.what;
    heard = answer.serial;
    if (mine) {
      said.textContent = answer.said;
      said.classList.toggle("refused", !answer.ok);
      if (answer.ok) remember();
    }
    if (!mine || (answer.ok && answer.what !== "line")) {
      fresh();
      if (mine && (answer.what === "add" || answer.what === "change")) (inputs.volume_ml ?? inputs.mass_g ?? inputs.portion).focus();
    } else dress();
    if (mine && answer.ok && answer.what === "line") value.value = error.value = "";
    box.dataset.rows = content.rows.length;
  };
  box.append(where, filesBox, tickLabel, said, problems, portion, heading, scroller, more, about);
  el.appendChild(box);
  model.on("change:wire", draw);
  draw();
  bringBack();
  return () => model.off("change:wire", draw);
}

export default { render };
