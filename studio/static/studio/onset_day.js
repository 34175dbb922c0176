// The set page with or without network. A press is written down on the phone first, then shown, then sent.
// Without this script, or where the phone keeps nothing, the page works as plain forms.
import { keep, keptDay, lastMark, newKey, refused, waiting } from "./onset_kept.js";
import { deliver, keptWords, marksIn, showKeptIn } from "./onset_sending.js";

const set = document.getElementById("set"), SHOOT = Number(set.dataset.shoot), PAGE = location.pathname;
const LOOK = 20_000, LONGEST_WAIT = 15_000, CLOCK_IS_OFF = 60;
const BECOMES = { done: "done", again: "repeat", skip: "skipped" };
const SAID = { done: "Done", again: "Again", skip: "Skip", note: "Note kept", ok: "OK’d", ok_back: "OK taken back", unplanned: "Added", plated: "On the plate", cleared: "Off the plate" };
const ICONS = { done: "check", again: "again", skip: "next", repeat: "again", skipped: "next" };
const told = JSON.parse(document.getElementById("set-day").textContent), cards = JSON.parse(document.getElementById("set-cards").textContent);

let base = told, queue = [], day = told, last = null, current = null, off = null, offBefore = 0, notTaken = [];
let sending = false, trouble = "", pause = 1000, again = 0, grown = 0, isReady = false, hasBegun = false, underWay = null;

const find = id => document.getElementById(id);
const part = (name, text, look = "") => Object.assign(document.createElement(name), { textContent: text, className: look });
const icon = name => { const made = part("i", "", `i i-${name}`); made.setAttribute("aria-hidden", "true"); return made; };
// Measured since the page was opened, or when it was last: a mark carries the first alone, for a clock may be put right in between.
const ahead = () => off ?? offBefore;
const rightNow = () => Date.now() - ahead() * 1000;
const at = mark => Date.parse(mark.at) - (mark.off ?? ahead()) * 1000;
const clock = moment => new Date(moment).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit", timeZone: set.dataset.zone });
const isOpen = shot => shot.state === "planned" || shot.state === "repeat";

// The day as the server told it, and on top of it what waits on this phone.
function reckon() {
  const shots = base.shots.map(shot => ({ ...shot }));
  let clocks = base.clocks.map(each => ({ ...each, from: Date.parse(each.at) }));
  const named = key => shots.find(shot => shot.key === key || (shot.madeBy !== null && shot.madeBy === key));
  const here = new Set(queue.map(mark => mark.key));
  const undone = new Set(queue.filter(mark => mark.kind === "undo").map(mark => mark.about));
  for (const mark of queue) {
    const shot = named(mark.shot), isUndone = undone.has(mark.key);
    if (isUndone && mark.kind !== "unplanned") continue;
    if (mark.kind === "unplanned") {
      if (named(mark.key)) continue;
      const place = shots.findLastIndex(each => each.dish === (shot?.dish ?? ""));
      shots.splice(place < 0 ? shots.length : place + 1, 0, { key: mark.key, title: mark.words, dish: shot?.dish ?? "", state: isUndone ? "skipped" : "planned", tries: null, used: 0, okBy: "", okAt: null, last: null, madeBy: mark.key });
    } else if (mark.kind === "plated") clocks.push({ key: mark.key, words: mark.words, from: at(mark), minutes: mark.minutes });
    else if (mark.kind === "cleared") clocks = clocks.filter(each => each.key !== mark.about);
    else if (mark.kind === "undo") { if (!here.has(mark.about)) clocks = backAsBefore(mark, shot, named(mark.about), clocks); }
    else if (!shot) continue;
    else if (mark.kind in BECOMES) {
      if (mark.kind !== "skip") shot.used += 1;
      if (shot.last === null || Date.parse(shot.last) <= at(mark)) { shot.state = BECOMES[mark.kind]; shot.last = new Date(at(mark)).toISOString(); }
    } else if (mark.kind === "ok") { shot.okBy = mark.words; shot.okAt = new Date(at(mark)).toISOString(); }
    else if (mark.kind === "ok_back") { shot.okBy = ""; shot.okAt = null; }
  }
  clocks = clocks.filter(each => !undone.has(each.key)).sort((one, two) => one.from + one.minutes * 6e4 - two.from - two.minutes * 6e4);
  return { ...base, shots, clocks };
}

// An undo, without network, of what the server holds already: what stood before comes back.
function backAsBefore(mark, shot, made, clocks) {
  if (mark.undid === "unplanned" && made?.state === "planned") made.state = "skipped";
  if (mark.undid === "cleared" && mark.clock) return [...clocks, mark.clock];
  if (!shot) return clocks;
  if (mark.undid in BECOMES) { shot.state = mark.was; if (mark.undid !== "skip") shot.used = Math.max(shot.used - 1, 0); }
  if (mark.undid === "ok" || mark.undid === "ok_back") { shot.okBy = mark.okBy ?? ""; shot.okAt = mark.okAt ?? null; }
  return clocks;
}

const shotOf = key => day.shots.find(shot => String(shot.key) === String(key) || (shot.madeBy !== null && shot.madeBy === key));
function nextOpen(after) {
  const place = day.shots.findIndex(shot => shot === shotOf(after)) + 1;
  const around = [...day.shots.slice(place), ...day.shots.slice(0, place)];
  return around.find(shot => isOpen(shot) && shot !== shotOf(after)) ?? day.shots.find(isOpen) ?? null;
}

// What stands on the screen

function standing(shot) {
  const line = document.createDocumentFragment();
  if (shot.state === "done" || shot.state === "skipped" || shot.state === "repeat") {
    const state = part("span", "", `st ${{ done: "done", skipped: "wait", repeat: "look" }[shot.state]}`);
    state.append(icon(ICONS[shot.state]), { done: "Done", skipped: "Skipped", repeat: "Repeat" }[shot.state]);
    line.append(state, " ");
  }
  if (shot.okBy) line.append(part("span", `OK’d by ${shot.okBy}, ${clock(shot.okAt)}`, "okd"));
  return line;
}

// The slots of a shot, filled with its card; a shot that was made here has its name alone.
function cardOf(shot) {
  const made = find("any-shot").content.cloneNode(true), said = cards[shot.key] ?? { head: `${shot.dish || "Of the day"}.`, title: shot.title };
  for (const slot of made.querySelectorAll("[data-slot]")) slot.textContent = said[slot.dataset.slot] ?? "";
  for (const piece of made.querySelectorAll("[data-part]")) if (!said[piece.dataset.part] && !(piece.dataset.part === "often" && shot.tries !== null)) piece.remove();
  const cue = made.querySelector(".cue");
  if (cue) { cue.classList.add(said.size); cue.querySelector("b").lang = said.language; const also = cue.querySelector(".also"); if (also) also.lang = said.also_language; }
  return made;
}

function showShot() {
  const shot = current === "end" ? null : shotOf(current), place = find("shot");
  if (shot && place.dataset.shown !== String(shot.key)) {
    place.replaceChildren(cardOf(shot));
    place.dataset.shown = shot.key;
  } else if (!shot) { place.replaceChildren(endView()); delete place.dataset.shown; }
  find("press").hidden = find("more").hidden = !shot;
  find("behind-acts").hidden = Boolean(shot);
  const number = day.shots.indexOf(shot) + 1, behind = day.shots.filter(each => !isOpen(each)).length;
  find("place").textContent = shot ? `Shot ${number} of ${day.shots.length}` : `${day.shots.filter(each => each.state === "done").length} of ${day.shots.length} shot`;
  find("prog").replaceChildren(...day.shots.map(each => part("i", "", each === shot ? "n" : { done: "d", skipped: "s" }[each.state] ?? "")));
  find("prog").setAttribute("aria-label", `${behind} ${behind === 1 ? "shot" : "shots"} behind you`);
  if (!shot) return;
  place.querySelector("[data-stand]").replaceChildren(standing(shot));
  const left = shot.tries === null ? null : Math.max(shot.tries - shot.used, 0);
  const once = place.querySelector("[data-tries]"), line = place.querySelector("[data-take]");
  if (once) once.textContent = left === null ? "" : left === 1 ? "1 try left." : `${left} tries left.`;
  line.textContent = `Take ${shot.used + 1}.`;
  const next = nextOpen(shot.key), after = find("next");
  after.replaceChildren();
  if (next && next !== shot) after.append("Next: ", goTo(next, "plain"));
  else after.append("This is the last one.");
  find("ok-back").hidden = !shot.okBy;
  find("all-shots").replaceChildren(...day.shots.map(each => { const row = part("li", ""), box = part("div", ""); box.append(goTo(each)); if (each.dish) box.append(part("small", each.dish)); row.append(box); row.append(standing(each)); return row; }));
}

function goTo(shot, look = "") {
  const link = part("a", shot.title, look);
  link.href = `${PAGE}?shot=${shot.key}`;
  link.dataset.go = shot.key;
  return link;
}

function endView() {
  const made = document.createDocumentFragment(), left = day.shots.filter(isOpen).length;
  const missing = day.promised.filter(each => !each.shots.some(key => shotOf(key)?.state === "done"));
  made.append(part("h1", !day.shots.length ? "No shot is on the list" : missing.length ? "Before the pan is cold" : left ? "Not all is taken yet" : "Every shot is behind you"));
  const list = (heading, rows) => {
    if (!rows.length) return;
    const box = part("section", ""), all = part("ul", "", "rows");
    for (const [shot, words] of rows) { const row = part("li", ""), name = part("div", ""); name.append(shot ? goTo({ ...shot, title: words }) : words); row.append(name); all.append(row); }
    box.append(part("h2", heading), all);
    made.append(box);
  };
  list("Promised and not taken", missing.map(each => [shotOf(each.shots[0]), each.title]));
  list("To repeat", day.shots.filter(shot => shot.state === "repeat").map(shot => [shot, shot.title]));
  list("Skipped", day.shots.filter(shot => shot.state === "skipped").map(shot => [shot, shot.title]));
  return made;
}

function showClocks() {
  const list = find("clocks"), now = rightNow();
  for (const row of [...list.children]) if (!day.clocks.some(each => each.key === row.dataset.clock)) row.remove();
  for (const each of day.clocks) {
    let row = list.querySelector(`[data-clock="${each.key}"]`);
    if (!row || !row.querySelector("output")) {
      row?.remove();
      row = part("li", ""); row.dataset.clock = each.key;
      const button = part("button", "Gone", "btn"), words = part("span", "");
      button.type = "button"; button.dataset.cleared = each.key; button.append(part("span", `: ${each.words}`, "vh"));
      const left = document.createElement("output"); left.setAttribute("aria-live", "off");
      words.append(part("b", each.words), left);
      row.append(words, button);
      list.append(row);
    }
    const seconds = Math.round((each.from + each.minutes * 6e4 - now) / 1000), much = Math.abs(seconds);
    const figure = much >= 3600 ? `${Math.floor(much / 3600)} h ${Math.floor(much % 3600 / 60)} min` : `${Math.floor(much / 60)}:${String(much % 60).padStart(2, "0")}`;
    row.querySelector("output").textContent = seconds >= 0 ? `${figure} left` : `${figure} over. Plate a fresh one.`;
    if (seconds < 0 && !row.classList.contains("over")) { row.classList.add("over"); if (navigator.userActivation?.hasBeenActive) navigator.vibrate?.([60, 60, 60]); }
  }
}

function showToast() {
  const toast = find("toast");
  toast.hidden = !last;
  if (!last) return;
  toast.querySelector("span").textContent = last.title ? `${SAID[last.kind]}: ${last.title}` : SAID[last.kind];
  toast.querySelector(".i").className = `i i-${ICONS[last.kind] ?? "check"}`;
}

function showKept() {
  const line = find("kept"), idle = base.held ? `${marksIn(base.held)}, all sent` : isReady ? "Works without network" : "All sent";
  const said = keptWords({ count: queue.length, trouble, isSending: sending, idle });
  if (notTaken.length) said.words += `. ${marksIn(notTaken.length)} could not be read by the server and ${notTaken.length === 1 ? "stays" : "stay"} on this phone`;
  showKeptIn(line, said, set.dataset.signIn);
  set.classList.toggle("long-state", said.words.length > 24);
  const wrong = find("clock-off"), much = Math.abs(ahead());
  wrong.hidden = much < CLOCK_IS_OFF;
  if (!wrong.hidden) {
    const amount = much < 5400 ? `${Math.round(much / 60)} min` : `${Math.round(much / 360) / 10} h`;
    find("clock-words").textContent = `This phone’s clock is ${amount} ${ahead() > 0 ? "ahead" : "behind"}. Marks get the right time; what the phone said is kept beside it.`;
  }
}

function show() { day = reckon(); showShot(); showClocks(); showToast(); showKept(); }

function turnTo(key) {
  current = key;
  history.replaceState(null, "", `${PAGE}?shot=${key}`);
  show();
  window.scrollTo(0, 0);
  find("said").textContent = key === "end" ? "" : shotOf(key)?.title ?? "";
}

// A press

class KeepsNothing extends Error {}

async function press(kind, more = {}, show_ = true) {
  const shot = more.shot === undefined && current !== "end" ? shotOf(current) : null;
  const mark = { key: newKey(), shoot: SHOOT, kind, shot: shot?.key ?? more.shot ?? null, words: "", item: "", minutes: null, about: null, at: new Date().toISOString(), off, ...more };
  if (shot) mark.shot = shot.key;
  const clock = kind === "cleared" ? day.clocks.find(each => each.key === mark.about) : null;
  const title = { plated: mark.words, note: mark.words, unplanned: mark.words, ok: `${shot?.title}, by ${mark.words}`, cleared: clock?.words }[kind] ?? shot?.title ?? "";
  const before = { was: shot?.state ?? null, okBy: shot?.okBy ?? "", okAt: shot?.okAt ?? null, clock, from: current };
  const after = kind === "undo" ? null : { shoot: SHOOT, key: mark.key, kind, title, shot: mark.shot, ...before };
  try { await keep(mark, after); } catch (problem) { throw new KeepsNothing(String(problem)); }
  last = after;
  queue = await waiting(SHOOT);
  day = reckon();
  if (show_) show();
  flush();
  return mark;
}

const note = find("note");
async function take(kind) {
  const from = current, words = note.value.trim();
  await press(kind, { words }, false);
  note.value = "";
  turnTo(kind === "again" ? from : nextOpen(from)?.key ?? "end");
}

async function undo() {
  if (!last) return;
  const { key: about, shot, kind: undid, was, okBy, okAt, clock, from } = last;
  await press("undo", { about, shot, undid, was, okBy, okAt, clock }, false);
  if (undid === "unplanned") turnTo(from);
  else if (undid in BECOMES && shot !== null) turnTo(shot);
  else show();
}

const DEEDS = {
  done: () => take("done"), again: () => take("again"), skip: () => take("skip"),
  undo,
  note: async button => { const words = button.value && button.name === "note" ? button.value : note.value.trim(); if (!words) { note.focus(); return; } await press("note", { words }); note.value = ""; close_(button); },
  unplanned: async button => { const count = day.shots.filter(shot => shot.madeBy).length + 1; const made = await press("unplanned", { words: note.value.trim() || `Unplanned shot ${count}` }, false); note.value = ""; close_(button); turnTo(made.key); },
  plated: async button => { await press("plated", { words: button.dataset.words, minutes: Number(button.dataset.minutes) }); close_(button); },
  ok: async button => { const field = find("ok-name"), words = button.value || field.value.trim(); if (!words) { field.focus(); return; } await press("ok", { words }); field.value = ""; close_(button); },
  ok_back: async button => { await press("ok_back"); close_(button); },
};
const close_ = button => button.closest("details")?.removeAttribute("open");

function sayFull() { trouble = "full"; showKept(); }

// Only a press that could not be written down here goes as a plain form, for the shot on the screen: never both ways.
function plainly(button) {
  const { form } = button, shot = shotOf(current);
  if (button.dataset.kind === "undo" || (shot && typeof shot.key !== "number")) { location.reload(); return; }
  if (shot) {
    for (const one of [form, button]) for (const name of ["action", "formaction"]) if (one.hasAttribute(name)) one.setAttribute(name, one.getAttribute(name).replace(/\/shots\/\d+\//, `/shots/${shot.key}/`));
    const field = form.querySelector('input[name="shot"]');
    if (field) field.value = shot.key;
  }
  sendForm(button);
}

// A form is not sent a second time while its first submit is still being told to all listeners: after it.
function sendForm(button) {
  setTimeout(() => {
    button.dataset.plain = "yes";
    button.form.requestSubmit(button);
    delete button.dataset.plain;
  });
}

document.addEventListener("submit", async event => {
  const button = event.submitter, kind = button?.dataset.kind;
  if (!kind || !set.contains(button) || button.dataset.plain) return;
  event.preventDefault();
  if (!await begun) { sendForm(button); return; }
  try { await DEEDS[kind](button); }
  catch (problem) { if (!(problem instanceof KeepsNothing)) throw problem; if (navigator.onLine) plainly(button); else sayFull(); }
});
document.addEventListener("click", event => {
  const go = event.target.closest("[data-go]"), cleared = event.target.closest("[data-cleared]");
  if (go && hasBegun) { event.preventDefault(); close_(go); turnTo(go.dataset.go); }
  else if (event.target.closest("#place")) { event.preventDefault(); const all = find("every-shot"); all.open = true; all.scrollIntoView(); all.querySelector("summary").focus({ preventScroll: true }); }
  else if (cleared) press("cleared", { about: cleared.dataset.cleared }).catch(() => sayFull());
});

// A page that is not kept here is not left for without network: the way back would be a page of the browser's own.
document.addEventListener("click", event => {
  const link = event.target.closest("a[href]");
  if (!link || navigator.onLine || event.defaultPrevented || link.pathname === PAGE || link.pathname.startsWith(`${PAGE}end/`)) return;
  event.preventDefault();
  showKeptIn(find("kept"), { words: `“${link.textContent.trim()}” needs network. The set goes on without.`, look: "kept" });
  set.classList.add("long-state");
});

// Sending

async function send() {
  queue = await waiting(SHOOT);
  sending = queue.length > 0 && !trouble;
  showKept();
  const answer = await deliver(SHOOT, set.dataset);
  off = answer.off ?? off;
  if (answer.trouble) return fail(answer.trouble);
  trouble = ""; pause = 1000; sending = false;
  base = answer.day;
  queue = await waiting(SHOOT);
  notTaken = await refused(SHOOT);
  settleKeys();
  show();
  const unknown = base.shots.filter(shot => !(shot.key in cards)).length;
  if (unknown !== grown) { grown = unknown; navigator.serviceWorker?.controller?.postMessage("keep"); }
  later(queue.length ? 0 : LOOK);
}

// A shot made here has a key of the server's now.
function settleKeys() {
  const made = base.shots.find(shot => shot.madeBy && shot.madeBy === current);
  if (made) { current = made.key; history.replaceState(null, "", `${PAGE}?shot=${made.key}`); }
}

async function fail(kind) {
  trouble = kind; sending = false;
  const kept = await keptDay(SHOOT);
  if (kept && kept.day.at > base.at) base = kept.day;
  queue = await waiting(SHOOT);
  show();
  later(pause);
  pause = Math.min(pause * 2, LONGEST_WAIT);
}

function later(wait) {
  clearTimeout(again);
  again = setTimeout(() => { if (document.visibilityState === "visible" || queue.length) flush(); }, wait);
}

// A press while one sending is under way waits for it, and goes with the next.
function flush() {
  if (hasBegun) underWay ??= send().catch(() => fail("fault")).finally(() => { underWay = null; });
  return underWay;
}
for (const [target, name] of [[window, "online"], [window, "pageshow"], [document, "visibilitychange"]]) target.addEventListener(name, () => {
  if (document.visibilityState !== "visible") return;
  pause = 1000;
  flush();
});
window.addEventListener("offline", showKept);

// The beginning

async function begin() {
  const kept = await keptDay(SHOOT);
  if (kept && kept.day.at > told.at) base = kept.day;
  offBefore = kept?.off ?? 0;
  [queue, last, notTaken] = [await waiting(SHOOT), await lastMark(SHOOT) ?? null, await refused(SHOOT)];
  day = reckon();
  const asked = new URLSearchParams(location.search), shot = asked.get("shot");
  current = shot === "end" ? "end" : shot && shotOf(shot) ? shotOf(shot).key : nextOpen(asked.get("after"))?.key ?? "end";
  if (asked.has("after")) history.replaceState(null, "", `${PAGE}?shot=${current}`);
  find("shot").dataset.shown = find("shot").dataset.key;
  hasBegun = true;   // before it nothing is sent, and no answer may draw a screen that stands on nothing
  document.documentElement.dataset.set = "ready";
  show();
  setInterval(showClocks, 1000);
}

async function readyWithout() {
  document.documentElement.dataset.offline = "ready";
  isReady = true;
  if (!hasBegun) return;   // the page would come, and no mark be kept: that is said already
  showKept();
  const isPromised = await (navigator.storage?.persist?.() ?? false).catch?.(() => false);
  find("without").textContent = `Works without network: yes, opened on this phone. ${isPromised ? "The browser has promised not to throw it away." : "Not in a private window, which forgets when it is closed; and a phone whose storage is full may clear it, so let it send now and then."}`;
}

function keepsNothing() {
  document.documentElement.dataset.set = "plain";
  const words = "This phone keeps nothing: a private window, or its storage is shut. Each press goes straight to the server. Stay in the network.";
  showKeptIn(find("kept"), { words, look: "kept" });
  set.classList.add("long-state");
  find("without").textContent = "Works without network: no. Open the set in an ordinary window, or let this page keep data.";
}

const begun = begin().then(() => { flush(); return true; }, () => { keepsNothing(); return false; });
navigator.serviceWorker?.register(set.dataset.worker, { scope: PAGE, updateViaCache: "none" })
  .then(() => navigator.serviceWorker.ready)
  .then(async () => {
    if (!navigator.serviceWorker.controller) await new Promise(ok => navigator.serviceWorker.addEventListener("controllerchange", ok, { once: true }));
    await begun;
    await readyWithout();
  }, () => {});
