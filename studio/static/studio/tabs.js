// A list of links to parts of the page becomes real tabs: arrow keys move, Enter or Space opens. Without this file all parts show.
for (const list of document.querySelectorAll("[data-tabs]")) {
  const tabs = [...list.querySelectorAll("a[href^='#']")];
  const panels = tabs.map(tab => document.getElementById(tab.hash.slice(1)));
  if (!tabs.length || panels.includes(null)) continue;
  const row = document.createElement("div");
  row.setAttribute("role", "tablist");
  row.setAttribute("aria-label", list.getAttribute("aria-label"));
  row.className = "opts";
  const others = [...list.children].filter(child => !tabs.includes(child));
  list.replaceWith(row);
  row.append(...tabs);
  if (others.length) {                                      // "Add an option" is a link, not a tab
    const line = document.createElement("div");
    line.className = "opts-line";
    row.replaceWith(line);
    line.append(row, ...others);
  }
  const open = chosen => tabs.forEach((tab, n) => {
    tab.setAttribute("aria-selected", String(tab === chosen));
    tab.tabIndex = tab === chosen ? 0 : -1;
    panels[n].hidden = tab !== chosen;
  });
  tabs.forEach((tab, n) => {
    tab.id ||= "tab-" + panels[n].id;
    tab.setAttribute("role", "tab");
    tab.setAttribute("aria-controls", panels[n].id);
    panels[n].setAttribute("role", "tabpanel");
    panels[n].setAttribute("aria-labelledby", tab.id);
    panels[n].tabIndex = 0;
    tab.addEventListener("click", event => { event.preventDefault(); open(tab); history.replaceState(null, "", tab.hash); });
    tab.addEventListener("keydown", event => {
      const step = { ArrowRight: n + 1, ArrowLeft: n - 1, Home: 0, End: tabs.length - 1 }[event.key];
      if (step !== undefined) { event.preventDefault(); tabs.at(step % tabs.length).focus(); }
      if (event.key === " ") { event.preventDefault(); open(tab); }
    });
  });
  const wanted = panels.findIndex(panel => location.hash.slice(1) === panel.id || panel.querySelector("[aria-invalid='true'], [data-summary]"));
  open(tabs[wanted] ?? tabs.find(tab => tab.hasAttribute("aria-current")) ?? tabs[0]);
  tabs.forEach(tab => tab.removeAttribute("aria-current"));
}
