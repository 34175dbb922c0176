// The end of the day without network: a tick is kept on this phone beside the marks of the set, which sends it.
import { keep, waiting } from "./onset_kept.js";

const set = document.getElementById("set"), SHOOT = Number(set.dataset.shoot), line = document.getElementById("kept");

async function show() {
  const all = await waiting(SHOOT), ticks = all.filter(mark => mark.kind === "tick" && !all.some(each => each.kind === "undo" && each.about === mark.key));
  for (const mark of ticks) {
    const row = document.getElementById(mark.item), place = row?.querySelector("[data-waits]") ?? row?.querySelector("form");
    if (!place) continue;
    const said = document.createElement("p");
    said.dataset.waits = mark.key;
    said.textContent = `Ticked by ${mark.words}. Kept on this phone.`;
    place.replaceWith(said);
  }
  line.textContent = all.length ? `${all.length === 1 ? "1 mark" : `${all.length} marks`} kept on this phone. Back to the set sends ${all.length === 1 ? "it" : "them"}.` : "";
  set.classList.toggle("long-state", all.length > 0);
}

async function isReached() {
  try { return (await fetch(set.dataset.state, { redirect: "manual", cache: "no-store", signal: AbortSignal.timeout(4000) })).ok; }
  catch { return false; }
}

document.addEventListener("submit", async event => {
  const form = event.target, typed = new FormData(form), item = typed.get("item"), words = String(typed.get("name") ?? "").trim();
  if (!item || !words) return;
  event.preventDefault();
  if (await isReached()) { form.submit(); return; }
  const key = crypto.randomUUID(), about = typed.get("about") || null;
  try { await keep({ key, shoot: SHOOT, kind: about ? "undo" : "tick", shot: null, words, item, minutes: null, about, at: new Date().toISOString(), off: null }, null); }
  catch { form.submit(); return; }
  if (about) { const said = document.createElement("p"); said.textContent = "Undone. Kept on this phone."; form.replaceWith(said); }
  show();
});
show().catch(() => {});
