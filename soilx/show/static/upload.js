// A native file button; the file goes to the page as it is, byte by byte, and is read there.

function render({ model, el }) {
  const id = "soilx-" + Math.random().toString(36).slice(2);
  const place = document.createElement("div");
  place.className = "soilx-upload";
  place.innerHTML = `
    <label for="${id}"></label>
    <input id="${id}" type="file" aria-describedby="${id}-said">
    <p class="said" id="${id}-said" role="status"></p>`;
  const [label, input, said] = place.children;
  label.textContent = model.get("label");
  input.accept = model.get("accept");
  input.addEventListener("change", async () => {
    const file = input.files[0];
    if (!file) return;
    if (file.size > model.get("most")) {
      said.textContent = `${file.name}: is larger than ${model.get("most")} bytes, more than this page takes; check the file.`;
      return;
    }
    const bytes = new Uint8Array(await file.arrayBuffer());
    let text = "";
    for (const byte of bytes) text += String.fromCharCode(byte);
    model.set("file", { name: file.name, data: btoa(text) });
    model.save_changes();
    // The same file, corrected and chosen again, is a new one.
    input.value = "";
  });
  const draw = () => (said.textContent = model.get("said"));
  model.on("change:said", draw);
  draw();
  el.appendChild(place);
  return () => model.off("change:said", draw);
}

export default { render };
