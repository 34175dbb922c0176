// On set. Not deferred: the light this phone was given is set before the page is painted. Everything works without it.
(() => {
  const DOUBLE_PRESS = 700, LIGHT = "light on set", AWAKE = "screen on set";
  const root = document.documentElement;
  let lastPress = -Infinity, lock = null;

  const light = () => { try { return localStorage.getItem(LIGHT); } catch { return null; } };
  const show = () => { if (light() === "dim") root.dataset.light = "dim"; else delete root.dataset.light; };
  show();

  // Wet glass presses twice: the second press within 700 ms is none, on this shot and on the one that takes its place.
  document.addEventListener("click", event => {
    if (!event.target.closest("[data-once]")) return;
    if (event.timeStamp - lastPress < DOUBLE_PRESS) {
      event.preventDefault();
      event.stopImmediatePropagation();
      return;
    }
    lastPress = event.timeStamp;
    navigator.vibrate?.(20);
  }, true);

  const dress = () => {
    const dim = document.querySelector("[data-dim]"), awake = document.querySelector("[data-awake]");
    if (dim) { dim.hidden = false; dim.setAttribute("aria-pressed", String(light() === "dim")); }
    if (awake && "wakeLock" in navigator) { awake.hidden = false; awake.setAttribute("aria-pressed", String(Boolean(lock && !lock.released))); }
  };

  // The screen stays on unless this phone was told otherwise; the lock goes with every look away and is taken again after it.
  const wanted = () => { try { return localStorage.getItem(AWAKE) !== "off"; } catch { return true; } };
  const keepOn = async () => {
    if (!document.getElementById("set") || document.visibilityState !== "visible" || !wanted() || (lock && !lock.released)) return;
    try { lock = await navigator.wakeLock.request("screen"); lock.addEventListener("release", dress); } catch { lock = null; }   // low battery, or a browser that wants a tap first
    dress();
  };

  document.addEventListener("click", event => {
    if (event.target.closest("[data-dim]")) {
      try { localStorage.setItem(LIGHT, light() === "dim" ? "light" : "dim"); } catch { /* a private window keeps nothing */ }
      show();
      dress();
    } else if (event.target.closest("[data-awake]")) {
      const isOn = Boolean(lock && !lock.released);
      try { localStorage.setItem(AWAKE, isOn ? "off" : "on"); } catch { /* a private window keeps nothing */ }
      if (isOn) lock.release(); else keepOn();
    } else keepOn();   // any press takes a lock again that a low battery or a browser without a tap refused
  });
  document.addEventListener("visibilitychange", keepOn);
  document.addEventListener("DOMContentLoaded", () => { dress(); keepOn(); });
})();
