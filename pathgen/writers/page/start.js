// The page put together, once.

function fillHead() {
  byId("title").textContent = plan.title;
  byId("about").textContent = plan.about;
  byId("reading").textContent = plan.reading;
  byId("caution").textContent = plan.caution.join(" ");
  for (const [name, value] of plan.figures) {
    const group = made("div");
    group.append(made("dt", name), made("dd", value));
    byId("figures").append(group);
  }
  for (const [name] of PACES) byId("pace").append(made("option", name));
  byId("empty").hidden = total > 0;
}

const PRESSES = {
  nearer: () => zoom(1.25),
  farther: () => zoom(0.8),
  whole: showWhole,
  "to-needle": () => {
    if (!total) return;
    view.x = xOf(step);
    view.y = yOf(step);
    view.whole = false;
    drawAll();
  },
  first: () => goTo(0),
  back: () => goTo(step - 1),
  run,
  on: () => goTo(step + 1),
  last: () => goTo(total - 1),
  "back-column": () => goTo(beforeOf(columnStarts)),
  "on-column": () => goTo(nextOf(columnStarts)),
  "back-letter": () => goTo(beforeOf(letterStarts)),
  "on-letter": () => goTo(nextOf(letterStarts)),
  "back-trim": () => goTo(beforeOf(cuts)),
  "on-trim": () => goTo(nextOf(cuts)),
  measure: toggleMeasuring,
  "mark-a": () => markNeedle(0),
  "mark-b": () => markNeedle(1),
  unmark,
};

// Draw everything anew, for another size, sharpness or set of colours.
function redraw() {
  readColours();
  drawSamples();
  if (view.whole) showWhole();
  else drawAll();
  drawStrip();
}

let onScreen = null; // the view to come back to after printing

// Paper has more dots than a screen, light colours, and shows the whole plan.
function printing(on) {
  document.documentElement.classList.toggle("printing", on);
  sharpness = on ? 4 : window.devicePixelRatio || 1;
  if (on) onScreen = { ...view };
  Object.assign(view, on ? { whole: true } : onScreen);
  redraw();
}

fillHead();
listLayers();
listFindings();
listCounts();
listSettings();
for (const [id, act] of Object.entries(PRESSES)) byId(id).addEventListener("click", act);
watchStrip();
watchFrame();
sharpness = window.devicePixelRatio || 1;
readColours();
showWhole();
goTo(0);
new ResizeObserver(() => {
  sharpness = window.devicePixelRatio || 1;
  redraw();
}).observe(frame);
window.matchMedia("(prefers-color-scheme: dark)").addEventListener("change", redraw);
window.addEventListener("beforeprint", () => printing(true));
window.addEventListener("afterprint", () => printing(false));
drawSamples();
