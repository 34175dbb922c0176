// Several files, one request each, each with its own progress and its own sentence. Without this file the form sends them all at once.
for (const form of document.querySelectorAll("form[data-upload]")) {
  const input = form.querySelector("input[type=file]"), button = form.querySelector("button:not([type=button])");
  const list = document.createElement("ul"), status = document.createElement("p");
  list.className = "uploads";
  status.setAttribute("role", "status");
  status.className = "help gap-top-s";
  form.append(list, status);

  const state = (kind, icon, words) => {
    const span = document.createElement("span"), i = document.createElement("i");
    span.className = "st " + kind;
    i.className = "i i-" + icon;
    i.setAttribute("aria-hidden", "true");
    span.append(i, words);
    return span;
  };
  const key = () => {
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    bytes[6] = bytes[6] & 15 | 64; bytes[8] = bytes[8] & 63 | 128;
    return [...bytes].map(byte => byte.toString(16).padStart(2, "0")).join("").replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
  };
  const size = bytes => bytes < 1e6 ? `${Math.max(1, Math.round(bytes / 1e3))} kB` : `${(bytes / 1e6).toFixed(1)} MB`;

  function line(file) {
    const item = document.createElement("li"), name = document.createElement("b"), how = document.createElement("span"), bar = document.createElement("progress");
    name.textContent = file.name;
    how.className = "how";
    how.append(state("wait", "wait", size(file.size)));
    bar.max = 1; bar.value = 0;
    bar.setAttribute("aria-label", `Progress of ${file.name}`);
    item.append(name, how, bar);
    list.append(item);
    const say = (mark, words, url) => {
      bar.remove();
      how.replaceChildren(mark);
      const text = document.createElement("span");
      text.className = "say soft";
      if (url) { const link = document.createElement("a"); link.href = url; link.textContent = words; text.append(link); } else text.textContent = words;
      item.append(text);
    };
    return { bar, say };
  }

  const send = (file, { bar, say }) => new Promise(done => {
    const body = new FormData();
    for (const [name, value] of new FormData(form)) if (!(value instanceof File)) body.append(name, name === "once" ? key() : value);
    body.append("file", file);
    const request = new XMLHttpRequest();
    request.open("POST", form.dataset.upload);
    request.setRequestHeader("Accept", "application/json");
    request.upload.addEventListener("progress", event => { if (event.lengthComputable) bar.value = event.loaded / event.total; });
    request.addEventListener("load", () => {
      let answer = {};
      try { answer = JSON.parse(request.responseText); } catch { /* a page instead of a sentence: the words below serve */ }
      const taken = request.status >= 200 && request.status < 300;
      if (taken) say(state("done", "check", "Taken in"), answer.say ?? "", answer.url);
      else say(state("look", "look", "Not taken in"), answer.say ?? (request.status === 413
        ? "The file is too large. The other files are not touched. Choose a smaller copy."
        : "The app could not take this file in. The other files are not touched. Try this one again."));
      done(taken);
    });
    request.addEventListener("error", () => { say(state("look", "look", "Not sent"), "No network. The files above this one are taken in. Add this one again later."); done(false); });
    request.send(body);
  });

  form.addEventListener("submit", async event => {
    const files = [...input.files];
    if (!files.length || button.disabled) { if (button.disabled) event.preventDefault(); return; }
    event.preventDefault();
    button.disabled = true;
    list.replaceChildren();
    const waiting = files.map(file => [file, line(file)]);
    let taken = 0;
    for (const [n, [file, row]] of waiting.entries()) {
      status.textContent = `Sending ${files.length === 1 ? "1 file" : files.length + " files"}, ${n} done.`;
      if (await send(file, row)) taken += 1;
    }
    button.disabled = false;
    input.value = "";
    status.textContent = taken === files.length
      ? `${taken} of ${files.length} taken in.`
      : `${taken} of ${files.length} taken in. The lines marked in red say what to do.`;
    if (taken && form.dataset.next) { const link = document.createElement("a"); link.href = form.dataset.next; link.textContent = form.dataset.nextWords || "Look at them"; status.append(" ", link); }
    form.dispatchEvent(new CustomEvent("uploaded", { bubbles: true }));
  });
}
