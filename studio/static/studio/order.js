// A list whose rows are put in order: by arrow keys on the grip of a row, or by dragging the grip with mouse, pen or finger.
// <ol data-order="URL"> holds <li data-key data-name> with a <button data-grip hidden>; [data-order-said] says what happened.
// Without this file the buttons Up and Down of each row serve.
(() => {
  const token = () => JSON.parse(document.body.getAttribute("hx-headers") || "{}")["X-CSRFToken"] || "";
  const rowsOf = list => [...list.querySelectorAll(":scope > li[data-key]")];
  const keysOf = list => rowsOf(list).map(row => row.dataset.key).join(",");
  let sending = Promise.resolve(), timer = 0;

  function say(list, words) {
    const line = list.parentElement.querySelector("[data-order-said]");
    if (line) line.textContent = words;
  }
  function place(list, row) {
    const rows = rowsOf(list);
    say(list, `${row.dataset.name}: ${rows.indexOf(row) + 1} of ${rows.length}`);
  }
  function restore(list, keys) {
    const rows = new Map(rowsOf(list).map(row => [row.dataset.key, row]));
    for (const key of keys.split(",")) if (rows.has(key)) list.append(rows.get(key));
  }
  // One request after the other, so that the last order is the one that stays.
  function send(list) {
    sending = sending.then(async () => {
      const keys = keysOf(list);
      if (keys === list.dataset.kept) return;
      let answer = null;
      try {
        answer = await fetch(list.dataset.order, {
          method: "POST", credentials: "same-origin", headers: { "X-CSRFToken": token() }, body: new URLSearchParams({ order: keys }),
        });
      } catch { /* said below */ }
      if (answer && answer.status === 204) { list.dataset.kept = keys; ends(list); return; }
      const held = document.activeElement;
      restore(list, list.dataset.kept);
      if (held instanceof HTMLElement && list.contains(held)) held.focus();
      say(list, "The new order could not be kept, so the list stands as before. Load the page again and try once more.");
      document.dispatchEvent(new CustomEvent("htmx:responseError"));
    });
  }
  // Up on the first row and Down on the last lead nowhere; each row has both in its form, and the ends hide theirs.
  function ends(list) {
    const rows = rowsOf(list);
    for (const [index, row] of rows.entries()) {
      for (const [way, is_end] of [["up", index === 0], ["down", index === rows.length - 1]]) {
        const button = row.querySelector(`button[name="way"][value="${way}"]`);
        if (button) button.hidden = is_end;
      }
    }
  }
  function show(root) {
    for (const list of root.querySelectorAll("[data-order]")) {
      if (rowsOf(list).length < 2) continue;
      list.dataset.kept = keysOf(list);
      for (const grip of list.querySelectorAll("[data-grip]")) grip.hidden = false;
      ends(list);
    }
  }

  document.addEventListener("keydown", event => {
    const grip = event.target.closest?.("[data-grip]");
    if (!grip || event.altKey || event.ctrlKey || event.metaKey || !["ArrowUp", "ArrowDown", "Home", "End"].includes(event.key)) return;
    event.preventDefault();
    const row = grip.closest("li"), list = row.parentElement, rows = rowsOf(list), here = rows.indexOf(row);
    const there = { ArrowUp: here - 1, ArrowDown: here + 1, Home: 0, End: rows.length - 1 }[event.key];
    if (there < 0 || there >= rows.length) { place(list, row); return; }
    if (there < here) rows[there].before(row); else rows[there].after(row);
    grip.focus();
    row.scrollIntoView({ block: "nearest" });
    place(list, row);
    clearTimeout(timer);
    timer = setTimeout(() => send(list), 250);
  });

  document.addEventListener("pointerdown", event => {
    const grip = event.target.closest?.("[data-grip]");
    if (!grip || event.button !== 0) return;
    const row = grip.closest("li"), list = row.parentElement, before = keysOf(list);
    grip.setPointerCapture(event.pointerId);
    row.classList.add("held");
    const move = at => {
      if (at.pointerId !== event.pointerId) return;
      const rows = rowsOf(list), here = rows.indexOf(row), middle = other => { const box = other.getBoundingClientRect(); return box.top + box.height / 2; };
      const above = rows.slice(0, here).find(other => at.clientY < middle(other));
      const below = rows.slice(here + 1).reverse().find(other => at.clientY > middle(other));
      if (above) above.before(row); else if (below) below.after(row);
      if (above || below) grip.setPointerCapture(at.pointerId);
      const edge = 64;
      if (at.clientY < edge) window.scrollBy(0, -16); else if (at.clientY > window.innerHeight - edge) window.scrollBy(0, 16);
    };
    const end = at => {
      if (at.pointerId !== event.pointerId) return;
      for (const [name, deed] of [["pointermove", move], ["pointerup", end], ["pointercancel", end]]) document.removeEventListener(name, deed);
      row.classList.remove("held");
      if (at.type === "pointercancel") { restore(list, before); return; }
      grip.focus();
      if (keysOf(list) !== before) { place(list, row); send(list); }
    };
    for (const [name, deed] of [["pointermove", move], ["pointerup", end], ["pointercancel", end]]) document.addEventListener(name, deed);
  });

  // A press that has the list made anew keeps the focus in its row, also where the pressed button is gone.
  let pressed = "", following = "";
  document.addEventListener("htmx:beforeRequest", event => {
    const row = event.detail.elt.closest?.("[data-order] > li");
    pressed = row?.id || "";
    following = (row?.nextElementSibling || row?.previousElementSibling)?.id || "";
  });
  document.addEventListener("htmx:afterSettle", event => {
    show(document);
    const held = document.activeElement;
    if (!pressed || (held && held !== document.body && !held.hidden)) { pressed = ""; return; }
    const row = document.getElementById(pressed) || document.getElementById(following);
    const target = row?.querySelector("[data-grip]:not([hidden])") || row || document.getElementById(event.detail.target?.id);
    target?.focus();
    pressed = "";
  });
  show(document);
})();
