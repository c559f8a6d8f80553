// Opening a tab is the page's own affair: the mark on the root element shows its parts at once, and what was
// drawn or typed in the others stays as it is. Left and right go on by keyboard, as tabs do everywhere.

function render({ model, el }) {
  const names = model.get("names");
  const bar = document.createElement("div");
  bar.className = "soilx-tabs";
  bar.setAttribute("role", "tablist");
  bar.setAttribute("aria-label", model.get("label"));
  const tabs = names.map((name, at) => {
    const tab = document.createElement("button");
    tab.type = "button";
    tab.setAttribute("role", "tab");
    tab.textContent = `${at + 1} ${name}`;
    tab.addEventListener("click", () => go(at + 1));
    bar.appendChild(tab);
    return tab;
  });
  const draw = () => {
    const open = model.get("tab");
    document.documentElement.dataset.soilxTab = open;
    tabs.forEach((tab, at) => {
      const selected = at + 1 === open;
      tab.setAttribute("aria-selected", selected);
      tab.tabIndex = selected || (open === 0 && at === 0) ? 0 : -1;
    });
  };
  const go = (tab) => {
    if (tab === model.get("tab")) return;
    model.set("tab", tab);
    model.save_changes();
    draw();
    tabs[tab - 1].focus();
    document.getElementById("App")?.scrollTo({ top: 0 });
  };
  bar.addEventListener("keydown", (event) => {
    const at = tabs.findIndex((tab) => tab === event.target);
    const to = { ArrowRight: at + 1, ArrowLeft: at - 1, Home: 0, End: tabs.length - 1 }[event.key];
    if (at < 0 || to === undefined) return;
    event.preventDefault();
    go(((to + tabs.length) % tabs.length) + 1);
  });
  model.on("change:tab", draw);
  draw();
  el.appendChild(bar);
  return () => model.off("change:tab", draw);
}

export default { render };
