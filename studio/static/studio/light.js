// The light of a day: the slider says its time while it moves. Without it the button shows the room at the time chosen.
for (const slider of document.querySelectorAll("[data-clocks]")) {
  const clocks = slider.dataset.clocks.split(" ");
  const said = document.getElementById("clock");
  slider.addEventListener("input", () => {
    const clock = clocks[(slider.value - slider.min) / slider.step] ?? "";
    slider.setAttribute("aria-valuetext", clock);
    if (said) said.textContent = clock;
  });
}
