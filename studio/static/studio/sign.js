// A signature as strokes: one SVG path in a 600 by 300 box, whole numbers, so a paper draws it at any size.
for (const field of document.querySelectorAll("[data-sign]")) {
  const pad = field.querySelector(".sign"), line = pad.querySelector("path"), out = field.querySelector("input");
  const strokes = [];
  let pen = null;
  field.hidden = false;

  const point = event => {
    const box = pad.getBoundingClientRect();
    const within = (value, top) => Math.max(0, Math.min(top, Math.round(value)));
    return [within((event.clientX - box.left) / box.width * 600, 600), within((event.clientY - box.top) / box.height * 300, 300)];
  };
  const draw = () => {
    out.value = strokes.map(stroke => "M" + (stroke.length > 1 ? stroke : [stroke[0], stroke[0]]).map(at => at.join(" ")).join("L")).join("");
    line.setAttribute("d", out.value);
  };
  pad.addEventListener("pointerdown", event => {
    if (pen !== null || event.button || strokes.length >= 60) return;   // one finger at a time: a resting palm is ignored
    pen = event.pointerId;
    pad.setPointerCapture(pen);
    strokes.push([point(event)]);
    event.preventDefault();
    draw();
  });
  pad.addEventListener("pointermove", event => {
    if (event.pointerId !== pen) return;
    const stroke = strokes.at(-1);
    const moves = event.getCoalescedEvents?.() ?? [];
    for (const move of moves.length ? moves : [event]) {
      const at = point(move), last = stroke.at(-1);
      if (stroke.length < 1000 && Math.hypot(at[0] - last[0], at[1] - last[1]) >= 2) stroke.push(at);
    }
    draw();
  });
  for (const end of ["pointerup", "pointercancel", "lostpointercapture"]) pad.addEventListener(end, event => {
    if (event.pointerId === pen) { pen = null; draw(); }
  });
  field.querySelector("[data-clear]").addEventListener("click", () => { strokes.length = 0; draw(); });
}
