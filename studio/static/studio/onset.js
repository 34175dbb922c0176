// On set. Not deferred: the light this phone was given is set before the page is painted. Everything works without it.
(() => {
  const DOUBLE_PRESS = 700, LIGHT = "light on set";
  const root = document.documentElement;
  let lastPress = -Infinity, lock = null, wanted = false;

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
    if (awake && "wakeLock" in navigator) { awake.hidden = false; awake.setAttribute("aria-pressed", String(wanted)); }
    sayNetwork();
  };

  const keepOn = async () => {
    try { lock = await navigator.wakeLock.request("screen"); } catch { wanted = false; }
    dress();
  };

  const sayNetwork = () => {
    const line = document.querySelector("[data-network]");
    if (!line) return;
    line.dataset.saved ??= line.innerHTML;
    if (!navigator.onLine) line.textContent = line.dataset.network;
    else if (line.textContent === line.dataset.network) line.innerHTML = line.dataset.saved;
  };

  document.addEventListener("click", event => {
    if (event.target.closest("[data-dim]")) {
      try { localStorage.setItem(LIGHT, light() === "dim" ? "light" : "dim"); } catch { /* a private window keeps nothing */ }
      show();
      dress();
    } else if (event.target.closest("[data-awake]")) {
      wanted = !wanted;
      if (wanted) keepOn(); else { lock?.release(); dress(); }
    }
  });
  document.addEventListener("visibilitychange", () => { if (wanted && document.visibilityState === "visible") keepOn(); });
  document.addEventListener("DOMContentLoaded", dress);
  document.addEventListener("htmx:afterSettle", dress);
  window.addEventListener("online", sayNetwork);
  window.addEventListener("offline", sayNetwork);
})();
