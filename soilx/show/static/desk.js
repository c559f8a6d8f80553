// What a lecturer sets beside the page: its keys, the room's light, the size of the type. Keys are heard only
// while nobody types, and can be turned off; what they do is said by event, and done by whoever it is for.

const TEXT_FREE = new Set(["range", "radio", "checkbox", "button", "submit"]);

function typing(node) {
  if (!(node instanceof Element)) return false;
  if (node.isContentEditable || node.matches("textarea, select")) return true;
  return node.matches("input") && !TEXT_FREE.has(node.type);
}

function choice(id, title, names, take) {
  const set = document.createElement("fieldset");
  const legend = document.createElement("legend");
  legend.textContent = title;
  set.appendChild(legend);
  const radios = names.map(([value, text]) => {
    const label = document.createElement("label");
    const radio = document.createElement("input");
    radio.type = "radio";
    radio.name = `${id}-${title}`;
    radio.value = value;
    radio.addEventListener("change", () => take(value));
    label.append(radio, text);
    set.appendChild(label);
    return radio;
  });
  return [set, (value) => radios.forEach((radio) => (radio.checked = radio.value === value))];
}

// The notebook's page wears its light as classes of the body.
function light(room) {
  const body = document.body;
  for (const one of ["light", "dark"]) {
    body.classList.toggle(one, one === room);
    body.classList.toggle(`${one}-theme`, one === room);
  }
  body.dataset.theme = room;
  body.style.colorScheme = room;
}

function render({ model, el }) {
  const id = "soilx-" + Math.random().toString(36).slice(2);
  const root = document.documentElement.dataset;
  const desk = document.createElement("div");
  desk.className = "soilx-desk";
  desk.innerHTML = `
    <div class="switches"></div>
    <label class="keys"><input type="checkbox" checked> Keys work while nobody types</label>
    <dl></dl>`;
  const [switches, keys, list] = desk.children;
  const on = keys.firstElementChild;
  const asDevice = () => (matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light");
  const roomNow = () => (document.body.classList.contains("dark") ? "dark" : "light");
  const [rooms, showRoom] = choice(id, "Room", [["light", "bright"], ["dark", "dark"]], (room) => light(room));
  const sizeNow = () => root.soilxSize ?? "usual";
  const [sizes, showSize] = choice(id, "Type", [["usual", "usual"], ["large", "large, for the back row"]], (size) => {
    root.soilxSize = size;
  });
  switches.append(rooms, sizes);
  showRoom(document.body.classList.contains("dark") || document.body.classList.contains("light") ? roomNow() : asDevice());
  showSize(sizeNow());
  const own = {
    room: () => {
      light(roomNow() === "dark" ? "light" : "dark");
      showRoom(roomNow());
    },
    size: () => {
      root.soilxSize = sizeNow() === "large" ? "usual" : "large";
      showSize(sizeNow());
    },
  };
  const bound = new Map(model.get("bindings").map(([key, action]) => [key, action]));
  for (const [key, , said] of model.get("bindings")) {
    const line = document.createElement("div");
    const [term, what] = [document.createElement("dt"), document.createElement("dd")];
    const cap = document.createElement("kbd");
    cap.textContent = key;
    term.appendChild(cap);
    what.textContent = said;
    line.append(term, what);
    list.appendChild(line);
  }
  const onKey = (event) => {
    if (!on.checked || event.ctrlKey || event.metaKey || event.altKey || event.repeat || event.defaultPrevented) return;
    if (typing(event.composedPath()[0])) return;
    const action = bound.get(event.key.toLowerCase());
    if (!action) return;
    event.preventDefault();
    if (own[action]) own[action]();
    else document.dispatchEvent(new CustomEvent("soilx-key", { detail: action }));
  };
  document.addEventListener("keydown", onKey);
  el.appendChild(desk);
  return () => document.removeEventListener("keydown", onKey);
}

export default { render };
