// What the phone keeps of a day on set: marks not yet held by the server, and the day as the server last told it.
// A mark leaves only in the one step in which the day that holds it comes in.
const NAME = "plate-ledger-set", STORES = ["marks", "days", "last"];
let opened = null;

function database() {
  opened ??= new Promise((resolve, reject) => {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => {
      asked.result.createObjectStore("marks", { keyPath: "n", autoIncrement: true });   // n: the order of the presses
      asked.result.createObjectStore("days", { keyPath: "shoot" });
      asked.result.createObjectStore("last", { keyPath: "shoot" });
    };
    asked.onsuccess = () => {
      asked.result.onversionchange = asked.result.onclose = () => { asked.result.close(); opened = null; };
      resolve(asked.result);
    };
    asked.onerror = asked.onblocked = () => { opened = null; reject(asked.error ?? new Error("blocked")); };
  });
  return opened;
}

// Made on the phone, so that a mark sent twice is one. Pages that are not secure have no randomUUID.
export function newKey() {
  if (crypto.randomUUID) return crypto.randomUUID();
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = bytes[6] & 15 | 64; bytes[8] = bytes[8] & 63 | 128;
  const hex = Array.from(bytes, byte => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/(.{8})(.{4})(.{4})(.{4})(.{12})/, "$1-$2-$3-$4-$5");
}

async function within(mode, deed) {
  const work = (await database()).transaction(STORES, mode, { durability: "strict" });
  const found = deed(...STORES.map(name => work.objectStore(name)));
  return new Promise((resolve, reject) => {
    work.oncomplete = () => resolve(found?.result);
    work.onerror = work.onabort = () => reject(work.error);
  });
}

export const keep = (mark, last) => within("readwrite", (marks, _days, lasts) => {
  marks.add(mark);
  if (last) lasts.put(last); else lasts.delete(mark.shoot);
});

export async function waiting(shoot) {
  const all = await within("readonly", marks => marks.getAll());
  return all.filter(mark => (shoot === undefined || mark.shoot === shoot) && !mark.why);
}

export async function refused(shoot) {
  return (await within("readonly", marks => marks.getAll())).filter(mark => mark.shoot === shoot && mark.why);
}

export const keptDay = shoot => within("readonly", (_marks, days) => days.get(shoot));
export const lastMark = shoot => within("readonly", (_marks, _days, lasts) => lasts.get(shoot));

// The server's word: these marks are held and stand in this day; those it could not read, and why. `off`: how far this phone's clock is ahead.
export const settle = (shoot, day, off, sent, held, notRead) => within("readwrite", (marks, days) => {
  days.put({ shoot, day, off });
  for (const mark of sent) {
    const why = notRead.find(each => each.key === mark.key)?.why;
    if (held.includes(mark.key)) marks.delete(mark.n);
    else if (why) marks.put({ ...mark, why });
  }
});

// Signing out: pages and days go; marks that wait stay, for they are nowhere else.
export async function forget() {
  await within("readwrite", (_marks, days, last) => { days.clear(); last.clear(); });
  for (const each of await navigator.serviceWorker?.getRegistrations() ?? []) if (each.scope.endsWith("/set/")) await each.unregister();
  if ("caches" in window) for (const name of await caches.keys()) if (name.startsWith("set-")) await caches.delete(name);
}
