// The run of the day: its bars can be dragged and moved by arrow keys. Without this the page's "Change" does the same.
const STEP = 5, SETTLES = 700; // minutes of an arrow key; milliseconds after the last one
const HELD = 300, STILL = 8; // milliseconds that a finger rests on a bar before it drags and no longer scrolls; pixels it may tremble

const clock = minute => `${String(Math.floor(minute / 60) % 24).padStart(2, "0")}:${String(minute % 60).padStart(2, "0")}`;

function prepare(root) {
  const frame = root.querySelector?.("[data-run]"), drawing = frame?.querySelector("svg");
  if (!drawing || drawing.dataset.ready) return;
  drawing.dataset.ready = "yes";
  drawing.setAttribute("role", "group");
  frame.parentElement.querySelector("[data-drag-help]")?.removeAttribute("hidden");
  const scale = Number(drawing.dataset.scale), call = Number(drawing.dataset.call), met = new Set();
  for (const bar of drawing.querySelectorAll("g[data-key]")) {
    bar.addEventListener("pointerdown", event => drag(event, bar, drawing, frame, scale, call));
    bar.addEventListener("contextmenu", event => event.preventDefault()); // a finger that rests asks for none
    if (met.has(bar.dataset.key)) continue; // one stop of the Tab key an activity, however many bars it has
    met.add(bar.dataset.key);
    bar.setAttribute("tabindex", "0");
    bar.setAttribute("role", "slider");
    bar.setAttribute("aria-valuemin", "0");
    bar.setAttribute("aria-valuemax", "1080");
    bar.setAttribute("aria-label", `${bar.querySelector("title").textContent}, begins`);
    show(bar, drawing, Number(bar.dataset.start), scale, call);
    bar.addEventListener("keydown", event => press(event, bar, drawing, frame, scale, call));
  }
}

const barsOf = (drawing, key) => [...drawing.querySelectorAll("g[data-key]")].filter(each => each.dataset.key === key);

// Moves the bars of an activity to where it would begin, and says when that is.
function show(bar, drawing, minute, scale, call) {
  const shift = (minute - Number(bar.dataset.start)) * scale;
  for (const each of barsOf(drawing, bar.dataset.key)) {
    if (shift) each.setAttribute("transform", `translate(${shift} 0)`); else each.removeAttribute("transform");
    if (each.getAttribute("role") !== "slider") continue;
    each.setAttribute("aria-valuenow", String(minute));
    each.setAttribute("aria-valuetext", clock(call + minute));
  }
}

function send(bar, frame, minute) {
  if (minute === Number(bar.dataset.start)) return;
  const address = frame.dataset.run.replace("KEY", encodeURIComponent(bar.dataset.key));
  frame.dataset.moved = bar.dataset.key;
  window.htmx.ajax("POST", address, {
    source: frame, target: "#run-page", select: "#run-page", swap: "outerHTML", values: { minute },
  });
}

function press(event, bar, drawing, frame, scale, call) {
  const ways = { ArrowLeft: -STEP, ArrowDown: -STEP, ArrowRight: STEP, ArrowUp: STEP, PageDown: -60, PageUp: 60 };
  if (event.key === "Escape" && bar.waits) {
    clearTimeout(bar.waits);
    show(bar, drawing, Number(bar.dataset.start), scale, call);
    return;
  }
  if (!(event.key in ways)) return;
  event.preventDefault();
  const now = Number(bar.getAttribute("aria-valuenow"));
  const wanted = Math.min(1080, Math.max(0, Math.round((now + ways[event.key]) / STEP) * STEP));
  show(bar, drawing, wanted, scale, call);
  clearTimeout(bar.waits);
  bar.waits = setTimeout(() => send(bar, frame, wanted), SETTLES);
}

function drag(event, bar, drawing, frame, scale, call) {
  if (event.button) return;
  const unit = drawing.viewBox.baseVal.width / drawing.getBoundingClientRect().width, from = event.clientX, start = Number(bar.dataset.start);
  let wanted = start, holds = event.pointerType !== "touch";
  const take = () => { holds = true; for (const each of barsOf(drawing, bar.dataset.key)) each.classList.add("held"); };
  const wait = holds ? 0 : setTimeout(take, HELD);
  const stay = at => { if (holds) at.preventDefault(); }; // else the finger scrolls
  const move = at => {
    if (!holds) { if (Math.abs(at.clientX - from) > STILL) clearTimeout(wait); return; }
    const minutes = (at.clientX - from) * unit / scale;
    wanted = Math.abs(minutes) < 3 ? start : Math.min(1080, Math.max(0, Math.round((start + minutes) / STEP) * STEP));
    show(bar, drawing, wanted, scale, call);
  };
  const end = at => {
    clearTimeout(wait);
    for (const [name, what] of [["pointermove", move], ["touchmove", stay], ["pointerup", end], ["pointercancel", end]]) bar.removeEventListener(name, what);
    for (const each of barsOf(drawing, bar.dataset.key)) each.classList.remove("held");
    if (at.type === "pointerup") send(bar, frame, wanted);
    else show(bar, drawing, start, scale, call);
  };
  bar.setPointerCapture(event.pointerId);
  bar.addEventListener("pointermove", move);
  bar.addEventListener("touchmove", stay, { passive: false });
  bar.addEventListener("pointerup", end);
  bar.addEventListener("pointercancel", end);
}

// What did not reach the server stands where it is planned still; the page's own words say that it did not.
function putBack() {
  for (const drawing of document.querySelectorAll("[data-run] svg")) for (const bar of drawing.querySelectorAll("g[role=slider]"))
    show(bar, drawing, Number(bar.dataset.start), Number(drawing.dataset.scale), Number(drawing.dataset.call));
}

prepare(document);
for (const failed of ["htmx:sendError", "htmx:responseError"]) document.addEventListener(failed, putBack);
document.addEventListener("htmx:afterSettle", () => {
  prepare(document);
  // Whoever moved something by key goes on with it.
  const moved = new URLSearchParams(location.search).get("moved") ?? window.movedLast;
  if (moved && document.activeElement === document.body) document.querySelector(`g[tabindex][data-key="${CSS.escape(moved)}"]`)?.focus();
  window.movedLast = undefined;
});
document.addEventListener("htmx:beforeRequest", event => { window.movedLast = event.target.dataset?.moved; });
