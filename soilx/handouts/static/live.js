// Sliders over a grid of runs that the page carries. The drawing library comes with this script: vegaEmbed.
// Nothing is computed here but where a chart's points lie: every number was computed, and rounded, beforehand.

const NOTHING = 0, LESS = 2;
const REST_MS = 600;
const FEW_ROWS = 2;
const FRAME_MS = 8;
const SMALL_PX = 300, SMALL_TYPE_PX = 12;

async function start(section) {
  const data = JSON.parse(section.querySelector('script[type="application/json"]').textContent);
  const { places, words, line } = data;
  const rank = new Int16Array(128);
  [...data.signs].forEach((sign, at) => (rank[sign.charCodeAt(0)] = at));
  const [gypsum, capacity, sodium] = data.axes.map((axis) => axis.texts.length);
  const at = Object.fromEntries(data.axes.map((axis) => [axis.key, axis.own]));

  // A number of a run, by its name: its code, its text as printed, its value.
  function code(run, name, index = 0) {
    const { width, start } = places[name];
    let found = 0;
    for (let sign = 0; sign < width; sign++) {
      found = found * data.signs.length + rank[run.charCodeAt(start + index * width + sign)];
    }
    return found;
  }
  function text(run, name, index) {
    const { digits } = places[name];
    const found = code(run, name, index);
    if (found === NOTHING) return "–";
    if (found === LESS) return `<${(10 ** -digits).toFixed(digits)}`;
    return (Math.max(found - LESS, 0) / 10 ** digits).toFixed(digits);
  }
  function value(run, name, index) {
    const found = code(run, name, index);
    return found === NOTHING ? null : Math.max(found - LESS, 0) / 10 ** places[name].digits;
  }
  // "cmol_c/kg" is written with a lowered c for the eye; what is read aloud keeps the plain spelling.
  const lowered = (unit) =>
    unit.split(/(_c)/).map((part) => {
      if (part !== "_c") return part;
      const sub = document.createElement("sub");
      sub.textContent = "c";
      return sub;
    });
  const percent = (run, name, index) => `${text(run, name, index)}\u00a0%`;
  const filled = (template, parts) => template.replace(/\{(\w+)\}/g, (whole, name) => parts[name] ?? whole);

  // Both columns at the setting: a run's text, or null and why.
  function setting() {
    const one = (dose) => {
      const run = data.runs[(at.sodium * capacity + at.capacity) * gypsum + dose];
      return typeof run === "string" ? { run } : { run: null, reason: data.reasons[run] };
    };
    return { treated: one(at.gypsum), bare: one(data.bare), water: at.water };
  }
  const arms = (now) => [[words.treated, now.treated.run], [words.untreated, now.bare.run]];

  const makers = {
    depth(now) {
      const count = data.layers.length;
      const layers = [];
      arms(now).forEach(([arm, run], which) => {
        if (run === null) return;
        const named = which === 0 ? Math.floor(count / 6) : Math.floor((3 * count) / 4);
        data.layers.forEach(([, middle], layer) =>
          layers.push({
            arm,
            middle_cm: middle,
            esp_pct: value(run, "esp_layers", now.water * count + layer),
            marked: true,
            label: layer === named ? arm : "",
          }),
        );
      });
      const any = now.treated.run ?? now.bare.run;
      const began = any === null ? [] : [value(any, "esp_start")];
      return {
        records: {
          layers,
          start: began.flatMap((esp) => [
            { label: "start", middle_cm: 0, esp_pct: esp },
            { label: "", middle_cm: data.depth_bottom, esp_pct: esp },
          ]),
        },
        signals: { esp_top: data.tops.esp[at.sodium], depth_bottom: data.depth_bottom },
        caption: () =>
          filled(words.depth, {
            treated_top: text(now.treated.run, "esp_top", now.water),
            treated_bottom: percent(now.treated.run, "esp_bottom", now.water),
            bare_top: text(now.bare.run, "esp_top", now.water),
            bare_bottom: percent(now.bare.run, "esp_bottom", now.water),
            began: percent(now.bare.run, "esp_start"),
          }),
        rows: () =>
          data.layers.map(([top, , bottom], layer) => [
            `${top.toFixed(2)} to ${bottom.toFixed(2)}`,
            ...arms(now).map(([, run]) => (run === null ? "–" : text(run, "esp_layers", now.water * count + layer))),
          ]),
      };
    },

    curve(now, { of }) {
      const upto = line.upto[now.water];
      const records = [];
      arms(now).forEach(([arm, run], which) => {
        if (run === null) return;
        const points = [];
        for (let point = 0; point < upto; point++) {
          const y = value(run, `${of}_line`, point);
          if (y !== null) points.push([line.water[point], y]);
        }
        const every = Math.max(1, Math.floor(points.length / data.markers));
        const named = Math.floor(points.length * (which === 0 ? 0.125 : 0.5));
        points.forEach(([x, y], point) =>
          records.push({
            arm, x, y, marked: point % every === Math.floor(every / 2), label: point === named ? arm : "",
          }),
        );
      });
      return {
        records: { leachate: records },
        signals: { water_top: data.water_top, value_top: data.tops[of][at.sodium] },
        caption: () =>
          code(now.bare.run, of, now.water) === NOTHING
            ? words.undrained
            : filled(words.curve, {
                treated_first: text(now.treated.run, `${of}_first`),
                treated_last: text(now.treated.run, of, now.water),
                bare_first: text(now.bare.run, `${of}_first`),
                bare_last: text(now.bare.run, of, now.water),
              }),
        rows: () =>
          data.waters.slice(1, now.water + 1).map((water, before) => [
            water,
            ...arms(now).map(([, run]) => (run === null ? "–" : text(run, of, before + 1))),
          ]),
      };
    },

    places(now) {
      const names = ["on_clay", "in_water", "leached"];
      const bars = arms(now).filter(([, run]) => run !== null);
      const amounts = bars.map(([, run]) => names.map((name) => value(run, name, now.water)));
      const most = Math.max(1, ...amounts.map((each) => each[0] + each[1] + each[2]));
      const records = [];
      const totals = [];
      bars.forEach(([arm, run], which) => {
        let begin = 0;
        amounts[which].forEach((amount, share) => {
          records.push({
            arm,
            place: data.shares[share],
            from_mg_per_kg: begin,
            to_mg_per_kg: begin + amount,
            middle_mg_per_kg: begin + amount / 2,
            number: text(run, names[share], now.water),
            wide: amount > 0.07 * most,
          });
          begin += amount;
        });
        const said = names.map((name) => text(run, name, now.water)).join(" + ");
        totals.push({ arm, said: `${arm}: ${said} mg/kg` });
      });
      const each = (name, index) => arms(now).map(([, run]) => (run === null ? "–" : text(run, name, index)));
      const came = data.brought[now.water];
      return {
        records: { places: records, totals },
        signals: { sodium_top: data.tops.sodium[at.sodium] },
        caption: () =>
          filled(words.places, {
            start: text(now.bare.run, "sodium_start"),
            brought: came === "0" ? "" : filled(words.brought, { brought: came }),
            treated: text(now.treated.run, "on_clay", now.water),
            bare: text(now.bare.run, "on_clay", now.water),
          }),
        rows: () => [
          ...names.map((name, share) => [`Sodium ${data.shares[share]}, mg/kg`, ...each(name, now.water)]),
          ["Sodium at the start, mg/kg", ...each("sodium_start")],
          ["Sodium the water brought, mg/kg", came, came],
          ["Exchangeable sodium, average, %", ...each("esp_mean", now.water)],
          ["Gypsum left, g/kg", ...each("gypsum_left", now.water)],
        ],
      };
    },
  };

  function sentence(now) {
    if (now.treated.run === null) return filled(words.no_run, now.treated);
    if (now.bare.run === null) return filled(words.no_bare_run, now.bare);
    const texts = Object.fromEntries(data.axes.map((axis) => [axis.key, axis.texts[at[axis.key]]]));
    const parts = {
      rate: texts.gypsum,
      water: filled(words.of_water, texts),
      began: percent(now.bare.run, "esp_start"),
      ended: percent(now.treated.run, "esp_mean", now.water),
      alone: percent(now.bare.run, "esp_mean", now.water),
    };
    if (now.water === 0) return filled(words.dry, parts);
    return filled(at.gypsum === data.bare ? words.bare : words.pair, parts);
  }

  // Charts: made once; those in sight follow a move at once, the others as soon as there is time.
  const figures = [...section.querySelectorAll(".live-chart")].map((figure, number) => ({
    figure,
    chart: data.charts[number],
    plot: figure.querySelector(".live-plot"),
    caption: figure.querySelector("figcaption"),
    details: figure.querySelector("details"),
    numbers: figure.querySelector(".numbers"),
    view: null,
    shown: "",
    seen: true,
    signals: {},
    held: {},
  }));

  function table(one, made) {
    const element = document.createElement("table");
    element.createCaption().textContent = one.chart.caption || one.chart.heading;
    const head = element.createTHead().insertRow();
    for (const title of one.chart.titles) {
      const cell = document.createElement("th");
      cell.scope = "col";
      cell.textContent = title;
      head.appendChild(cell);
    }
    const body = element.createTBody();
    for (const row of made.rows()) {
      const added = body.insertRow();
      row.forEach((read, column) => {
        const cell = document.createElement(column === 0 ? "th" : "td");
        if (column === 0) cell.scope = "row";
        else cell.className = "figure";
        cell.textContent = read;
        added.appendChild(cell);
      });
    }
    one.numbers.replaceChildren(element);
  }

  const key = () => data.axes.map((axis) => at[axis.key]).join();
  const refused = (now) => now.treated.run === null || now.bare.run === null;

  function draw(one, now) {
    if (one.view === null || one.shown === key()) return;
    const made = makers[one.chart.kind](now, one.chart);
    for (const [name, end] of Object.entries(made.signals)) {
      if (one.signals[name] !== end) one.view.signal(name, end);
    }
    one.signals = made.signals;
    for (const [name, rows] of Object.entries(made.records)) {
      // A line that stays where it is, such as the start, is not drawn anew.
      const few = rows.length <= FEW_ROWS ? JSON.stringify(rows) : "";
      if (few && few === one.held[name]) continue;
      one.held[name] = few;
      one.view.data(name, rows);
    }
    one.view.run();
    one.caption.textContent = refused(now) ? words.nothing : made.caption();
    if (one.details.open) table(one, made);
    one.shown = key();
    one.figure.dataset.setting = one.shown;
    one.figure.dispatchEvent(new CustomEvent("soilx-drawn", { bubbles: true, detail: one.shown }));
  }

  const sliders = [...section.querySelectorAll(".live-slider")].map((box) => {
    const axis = data.axes.find(({ key }) => key === box.dataset.axis);
    const [less, more] = box.querySelectorAll("button");
    return { axis, range: box.querySelector("input"), output: box.querySelector("output"), less, more };
  });
  const said = section.querySelector(".live-said");
  const told = section.querySelector(".live-sentence");
  let rest = 0;
  let later = 0;
  let queued = false;

  // The hand is never waited for: what a slow processor cannot draw in this frame follows in the next ones.
  function drawSeen() {
    const began = performance.now();
    const now = setting();
    const waits = (one) => one.seen && one.view !== null && one.shown !== key();
    for (const one of figures.filter(waits)) {
      draw(one, now);
      if (performance.now() - began < FRAME_MS || !figures.some(waits)) continue;
      if (!queued) requestAnimationFrame(() => setTimeout(() => ((queued = false), drawSeen())));
      queued = true;
      return;
    }
  }

  function show() {
    const now = setting();
    for (const { axis, range, output, less, more } of sliders) {
      const read = axis.texts[at[axis.key]];
      if (range.getAttribute("aria-valuetext") === read) continue;
      range.value = at[axis.key];
      range.setAttribute("aria-valuetext", read);
      output.replaceChildren(...lowered(read));
      less.disabled = at[axis.key] === 0;
      more.disabled = at[axis.key] === axis.texts.length - 1;
    }
    const telling = sentence(now);
    told.textContent = telling;
    section.dataset.setting = key();
    drawSeen();
    clearTimeout(later);
    later = setTimeout(() => figures.forEach((one) => draw(one, setting())), 120);
    return telling;
  }

  // What was moved is said once the hand has come to rest.
  function move(axis, stop) {
    at[axis.key] = Math.min(axis.texts.length - 1, Math.max(0, stop));
    const telling = show();
    clearTimeout(rest);
    rest = setTimeout(() => (said.textContent = telling), REST_MS);
  }

  for (const { axis, range, less, more } of sliders) {
    range.addEventListener("input", () => move(axis, Number(range.value)));
    less.addEventListener("click", () => move(axis, at[axis.key] - 1));
    more.addEventListener("click", () => move(axis, at[axis.key] + 1));
    // Some browsers move a slider under the scroll wheel: the page scrolls instead.
    range.addEventListener(
      "wheel",
      (event) => {
        event.preventDefault();
        document.scrollingElement.scrollBy(event.deltaX, event.deltaY);
      },
      { passive: false },
    );
  }
  section.querySelector(".live-back button").addEventListener("click", () => {
    for (const { axis } of sliders) at[axis.key] = axis.own;
    said.textContent = show();
  });

  function withRecords(spec, made) {
    for (const layer of spec.layer) {
      const rows = made.records[layer.data?.name];
      if (rows) layer.data.values = rows;
    }
    for (const param of spec.params ?? []) if (param.name in made.signals) param.value = made.signals[param.name];
    return spec;
  }

  async function make(one) {
    const now = setting();
    const made = makers[one.chart.kind](now, one.chart);
    const plot = document.createElement("div");
    plot.setAttribute("aria-hidden", "true");
    one.plot.replaceChildren(plot);
    let width = Math.floor(one.plot.clientWidth);
    const spec = withRecords(structuredClone(one.chart.spec), made);
    // On the smallest phones a line's name is set smaller, so that it stays on the chart.
    if (width < SMALL_PX) for (const { mark } of spec.layer) if (mark.type === "text") mark.fontSize = SMALL_TYPE_PX;
    const { view } = await vegaEmbed(plot, { ...spec, width }, {
      actions: false,
      // A phone repaints a canvas in half the time of as many elements; who does not see it is told the numbers.
      renderer: "canvas",
      tooltip: false,
      defaultStyle: false,
      // Expressions are walked, not compiled: the page's policy lets nothing be made into code.
      ast: true,
      logLevel: 1,
    });
    one.view = view;
    one.signals = made.signals;
    one.shown = "";
    draw(one, setting());
    one.details.addEventListener("toggle", () => {
      if (one.details.open) table(one, makers[one.chart.kind](setting(), one.chart));
    });
    new ResizeObserver(([entry]) => {
      const wanted = Math.floor(entry.contentRect.width);
      if (wanted === 0 || wanted === width) return;
      width = wanted;
      view.width(wanted).resize().run();
    }).observe(one.plot);
    const sight = new IntersectionObserver(([entry]) => {
      one.seen = entry.isIntersecting;
      if (one.seen) draw(one, setting());
    });
    sight.observe(one.plot);
  }

  show();
  await Promise.all(figures.map(make));
  // Magnified, a canvas is drawn again in as many points as there are now.
  let points = window.devicePixelRatio;
  window.addEventListener("resize", () => {
    if (window.devicePixelRatio === points) return;
    points = window.devicePixelRatio;
    for (const one of figures) one.view.resize().run();
  });
}

// Where something fails, the drawings that stand still take their place again.
Promise.all([...document.querySelectorAll("section.live")].map((section) => start(section)))
  .then(() => document.documentElement.setAttribute("data-live", "ready"))
  .catch((failure) => {
    document.documentElement.classList.remove("js");
    console.error(failure);
  });
