// The end of the day with or without network: a tick is kept on this phone first, beside the marks of the set, then sent.
import { keep, newKey, waiting } from "./onset_kept.js";
import { deliver, keptWords, showKeptIn } from "./onset_sending.js";

const set = document.getElementById("set"), SHOOT = Number(set.dataset.shoot), line = document.getElementById("kept"), LONGEST_WAIT = 15_000;
let trouble = "", isSending = false, pause = 1000, again = 0;

async function show() {
  const all = await waiting(SHOOT), undone = new Set(all.filter(mark => mark.kind === "undo").map(mark => mark.about));
  const said = keptWords({ count: all.length, trouble, isSending, idle: "All sent" });
  showKeptIn(line, said, set.dataset.signIn);
  set.classList.toggle("long-state", said.words.length > 24);
  for (const mark of all) if (mark.kind === "tick" && !undone.has(mark.key)) say(document.getElementById(mark.item), `Ticked by ${mark.words}. Kept on this phone.`);
  for (const mark of all) if (mark.kind === "undo" && mark.item) say(document.getElementById(mark.item), "Undone. Kept on this phone.");
  return all.length;
}

function say(row, words) {
  const place = row?.querySelector("[data-waits]") ?? row?.querySelector("form");
  if (!place) return;
  row.querySelector(".ticked")?.remove();
  place.replaceWith(Object.assign(document.createElement("p"), { textContent: words }));
  row.lastElementChild.dataset.waits = "yes";
}

async function send(comesBackTo = "") {
  clearTimeout(again);
  isSending = await waiting(SHOOT).then(all => all.length > 0);
  if (!isSending) { await show(); return; }
  await show();
  const answer = await deliver(SHOOT, set.dataset);
  isSending = false;
  trouble = answer.trouble;
  if (!trouble) { if (comesBackTo) history.replaceState(null, "", `#${comesBackTo}`); location.reload(); return; }
  await show();
  again = setTimeout(() => send(comesBackTo), pause);
  pause = Math.min(pause * 2, LONGEST_WAIT);
}

document.addEventListener("submit", async event => {
  const form = event.target, typed = new FormData(form), item = typed.get("item"), words = String(typed.get("name") ?? "").trim();
  if (!item || !words) return;   // the server says what is missing
  event.preventDefault();
  const about = typed.get("about") || null;
  try { await keep({ key: newKey(), shoot: SHOOT, kind: about ? "undo" : "tick", shot: null, words, item, minutes: null, about, at: new Date().toISOString(), off: null }, null); }
  catch { form.submit(); return; }   // nothing is kept here: straight to the server
  pause = 1000;
  send(item);
});
// What the books know beside a tick; without network, or for whom the books are shut, nothing is claimed.
for (const place of document.querySelectorAll("[data-line]")) fetch(place.dataset.line, { redirect: "manual", cache: "no-store" })
  .then(async answer => { place.innerHTML = answer.ok ? await answer.text() : ""; }, () => { place.textContent = "What the books know needs network."; });

addEventListener("online", () => { pause = 1000; send(); });
show().then(() => send(), () => { line.textContent = "This phone keeps nothing. Stay in the network."; set.classList.add("long-state"); });
