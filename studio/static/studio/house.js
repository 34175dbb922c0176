// On every page. Each part is an addition: the page works without it.

// What could not be saved is read first.
function showSummary(root) {
  const summary = root.querySelector?.("[data-summary]");
  if (summary) summary.focus();
}
showSummary(document);
document.addEventListener("htmx:afterSwap", event => showSummary(event.detail.target));

// Asking before what cannot be taken back: <button data-ask="id of a dialog"> in a form. The yes of the dialog sends the form.
document.addEventListener("click", event => {
  const button = event.target.closest("button[data-ask]");
  if (!button || button.dataset.said === "yes") return;
  const dialog = document.getElementById(button.dataset.ask);
  if (!dialog) return;
  event.preventDefault();
  dialog.returnValue = "no";
  dialog.addEventListener("close", () => {
    if (dialog.returnValue === "yes") {
      button.dataset.said = "yes";
      button.form.requestSubmit(button);
      delete button.dataset.said;
    } else button.focus();
  }, { once: true });
  dialog.showModal();
});

document.addEventListener("click", event => {
  if (event.target.closest("[data-print]")) window.print();
});

// A piece of the page that did not come is said, not swallowed.
for (const [name, words] of [
  ["htmx:sendError", "The app could not be reached. What you typed is still here. Try again in a moment."],
  ["htmx:responseError", "That part of the page could not be made. What you typed is still here. Load the page again."],
]) document.addEventListener(name, () => {
  const line = document.createElement("div"), text = document.createElement("span"), icon = document.createElement("i");
  line.className = "toast err";
  icon.className = "i i-look";
  icon.setAttribute("aria-hidden", "true");
  text.textContent = words;
  line.append(icon, text);
  document.getElementById("status")?.replaceChildren(line);
});

// Signing out takes what a phone keeps of the set with it, and asks first when marks wait there. data-sign-out: where the keeper is.
document.addEventListener("submit", async event => {
  const form = event.target, keeper = form.dataset.signOut;
  if (!keeper || form.dataset.said === "yes" || !("indexedDB" in window)) return;
  event.preventDefault();
  const goOn = () => { form.dataset.said = "yes"; form.submit(); };
  try {
    const { waiting, forget } = await import(new URL(keeper, location.href).href);
    const count = (await waiting()).length, dialog = document.getElementById("ask-sign-out");
    if (!count) { await forget(); goOn(); return; }
    dialog.querySelector("h2").textContent = count === 1 ? "1 mark of the set is not sent yet" : `${count} marks of the set are not sent yet`;
    dialog.returnValue = "no";
    dialog.addEventListener("close", async () => { if (dialog.returnValue === "yes") { await forget().catch(() => {}); goOn(); } }, { once: true });
    dialog.showModal();
  } catch { goOn(); }   // nothing is kept where nothing can be kept
});
