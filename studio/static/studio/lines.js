// A list of lines (a formset) gets an empty line on "Add a line". Without this file the spare lines of the page serve.
for (const list of document.querySelectorAll("[data-lines]")) {
  const prefix = list.dataset.lines, total = list.querySelector(`[name="${prefix}-TOTAL_FORMS"]`);
  const most = Number(list.querySelector(`[name="${prefix}-MAX_NUM_FORMS"]`)?.value || 1000);
  const empty = list.querySelector(":scope > template"), add = list.querySelector("[data-add]");
  add.hidden = false;
  add.addEventListener("click", () => {
    const count = Number(total.value);
    if (count >= most) return;
    const piece = empty.content.cloneNode(true);
    for (const part of piece.querySelectorAll("*")) for (const attribute of [...part.attributes])
      if (attribute.value.includes("__prefix__")) part.setAttribute(attribute.name, attribute.value.replaceAll("__prefix__", count));
    const number = String(list.querySelectorAll(":scope > .line").length + 1);
    for (const spot of piece.querySelectorAll("[data-number]")) spot.replaceChildren(number);
    const line = piece.firstElementChild;
    empty.before(piece);
    total.value = count + 1;
    line.querySelector("input:not([type=hidden]), select, textarea")?.focus();
    window.htmx?.process(line);
  });
}
