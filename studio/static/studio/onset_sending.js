// Sends what waits on this phone: one tab at a time, and the server's word before a mark leaves it. The words for where the marks are.
import { settle, waiting } from "./onset_kept.js";

const AT_ONCE = 100;

async function ask(address, body) {
  let answer;
  try {
    answer = await fetch(address, { redirect: "manual", cache: "no-store", signal: AbortSignal.timeout(10_000), headers: { Accept: "application/json", ...body?.headers }, method: body ? "POST" : "GET", body: body?.text });
  } catch { return { trouble: "lost" }; }
  if (answer.type === "opaqueredirect" || answer.status === 401 || answer.status === 403) return { trouble: "sign in" };
  if (!answer.ok) return { trouble: "fault" };
  try { return { said: await answer.json() }; } catch { return { trouble: "fault" }; }   // half an answer is none
}

async function attempt(shoot, { state, marks }) {
  const queue = await waiting(shoot);
  const before = Date.now(), { said, trouble } = await ask(state);
  if (trouble) return { trouble };
  const off = Math.round(((before + Date.now()) / 2 - Date.parse(said.now)) / 1000);
  let day = said.day;
  if (!queue.length) await settle(shoot, day, off, [], [], []);
  for (let rest = queue; rest.length; rest = rest.slice(AT_ONCE)) {
    const some = rest.slice(0, AT_ONCE);
    const text = JSON.stringify({ now: new Date().toISOString(), marks: some });
    const answer = await ask(marks, { text, headers: { "X-CSRFToken": said.token, "Content-Type": "application/json" } });
    if (answer.trouble) return { trouble: answer.trouble, off };
    const { held, refused, day: after } = answer.said;
    if (!Array.isArray(held) || !Array.isArray(refused) || !Array.isArray(after?.shots)) return { trouble: "fault", off };
    day = after;
    await settle(shoot, after, off, some, held, refused);
    if (!some.every(mark => held.includes(mark.key) || refused.some(each => each.key === mark.key))) return { trouble: "fault", off };
  }
  return { day, off, trouble: "", sent: queue.length };
}

// Answers { trouble } or { day, off, sent }: `off` is by how many seconds this phone's clock is ahead of the server's.
export const deliver = (shoot, where) => navigator.locks ? navigator.locks.request("plate-ledger-set", () => attempt(shoot, where)) : attempt(shoot, where);

export const marksIn = count => count === 1 ? "1 mark" : `${count} marks`;

// Always to be seen, never in the way: the words, how they look, and whether they lead to the sign-in.
export function keptWords({ count, trouble, isSending, idle }) {
  const marks = marksIn(count), [is, goes, it, they] = count === 1 ? ["is", "goes", "mark", "It is"] : ["are", "go", `${count} marks`, "They are"];
  if (trouble === "full") return { words: "This phone’s storage is full, so the last press was not kept. Write it down, and free some space.", look: "kept" };
  if (!count) {
    if (trouble === "sign in") return { words: "Signed out here. Sign in to send what you mark", look: "sent", signsIn: true };
    if (trouble === "lost" || !navigator.onLine) return { words: "No network. All marks are sent. Carry on.", look: "sent" };
    return { words: idle, look: "sent" };
  }
  if (trouble === "sign in") return { words: `Sign in to send ${marks}`, look: "kept", signsIn: true };
  if (trouble === "fault") return { words: `The server could not take your ${it} just now. ${they} kept on this phone and sent again. Carry on.`, look: "kept" };
  if (trouble === "lost" || !navigator.onLine) return { words: `No network. Your ${marks} ${is} kept on this phone and ${goes} up when it is back. Carry on.`, look: "kept" };
  return isSending ? { words: `Sending ${marks}`, look: "sending" } : { words: `${marks} kept on this phone`, look: "kept" };
}

export function showKeptIn(line, { words, look, signsIn }, signIn) {
  if (line.dataset.said !== words) {
    line.dataset.said = words;
    line.replaceChildren(signsIn ? Object.assign(document.createElement("a"), { textContent: words, href: signIn }) : document.createTextNode(words));
  }
  line.dataset.look = look;
}
