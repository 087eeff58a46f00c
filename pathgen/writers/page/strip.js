// The reading strip: the text itself in sewing order, a tile a letter, as wide as it has stitches.
// What is sewn is tinted, a trim or a change of thread is a gap. It is the page's one slider.

const GAP_PX = 7;
const ENDS_PX = 5; // free for the needle's mark
const MOST_GAPS = 0.3; // of the strip's width
const LEAST_SIGN_PX = 7;
const strip = byId("strip");

// Needle points of one letter that follow one another without a cut.
const stays = [];
const isCut = new Set(cuts);
for (let i = 0; i < total; i += 1) {
  const stay = stays[stays.length - 1];
  const cut = isCut.has(i);
  if (stay && !cut && needles.letter[i] === needles.letter[i - 1]) stay.to = i;
  else stays.push({ from: i, to: i, letter: needles.letter[i], gaps: (stay?.gaps ?? 0) + (cut ? 1 : 0) });
}

// Letters that have something to check or to stop, and the gravest of it.
const grave = new Map();
for (const level of ["check", "stop"]) {
  for (const finding of plan.findings.filter((each) => each.level === level)) {
    for (const place of finding.places) grave.set(place.letter, level);
  }
}

function stripMeasures() {
  const gaps = stays.length ? stays[stays.length - 1].gaps : 0;
  const wide = strip.clientWidth - 2 * ENDS_PX;
  const gap = Math.min(GAP_PX, MOST_GAPS * wide / Math.max(gaps, 1));
  return { gap, unit: (wide - gaps * gap) / Math.max(total, 1) };
}

// The needle point under a place of the strip; in a gap, the one that is sewn before it.
function stripPoint(x) {
  const { gap, unit } = stripMeasures();
  const along = x - ENDS_PX;
  const stay = stays.findLast((each) => each.gaps * gap + each.from * unit <= along) ?? stays[0];
  return stay ? Math.min(stay.to, Math.floor((along - stay.gaps * gap) / unit)) : 0;
}

function drawStrip() {
  const high = strip.clientHeight;
  strip.width = Math.round(strip.clientWidth * sharpness);
  strip.height = Math.round(high * sharpness);
  const out = strip.getContext("2d");
  out.scale(sharpness, sharpness);
  out.translate(ENDS_PX, 0);
  const { gap, unit } = stripMeasures();
  for (const stay of stays) drawStay(out, stay, stay.gaps * gap + stay.from * unit, unit, high);
  const here = stays.findLast((stay) => stay.from <= step);
  if (here) drawHand(out, here.gaps * gap + (step + 0.5) * unit, high);
}

function drawStay(out, stay, left, unit, high) {
  const wide = (stay.to - stay.from + 1) * unit;
  const sewn = bounded(step - stay.from + 1, 0, stay.to - stay.from + 1) * unit;
  const edge = Math.min(1, wide / 4);
  out.fillStyle = colours.paper;
  out.fillRect(left, 4, wide - edge, high - 8);
  out.fillStyle = colours["tint-1"];
  out.fillRect(left, 4, Math.min(sewn, wide - edge), high - 8);
  const colour = plan.threads[needles.thread[stay.from] - 1]?.colour;
  out.fillStyle = colour ? readable(colour) : colours.edge;
  out.fillRect(left, high - 6, wide - edge, 2);
  const level = grave.get(stay.letter);
  if (level) {
    out.fillStyle = colours[level === "stop" ? "alarm" : "check"];
    out.fillRect(left, 4, wide - edge, 3);
  }
  const text = letters[stay.letter]?.text ?? "";
  if (!text || wide < LEAST_SIGN_PX) return;
  out.fillStyle = colours.text;
  out.font = `${Math.min(20, wide * 1.5)}px sans-serif`;
  out.textAlign = "center";
  out.textBaseline = "middle";
  out.fillText(text, left + wide / 2, high / 2 + 1, wide);
}

// Where the needle is: a thin line with a point above and below.
function drawHand(out, at, high) {
  out.fillStyle = colours.needle;
  out.fillRect(at - 0.75, 0, 1.5, high);
  for (const [edge, tip] of [[0, 5], [high, high - 5]]) {
    out.beginPath();
    out.moveTo(at - 4, edge);
    out.lineTo(at + 4, edge);
    out.lineTo(at, tip);
    out.fill();
  }
}

// The same for those who do not see it.
function tellStrip() {
  const text = letters[needles.letter[step]]?.text;
  strip.setAttribute("aria-valuemax", String(Math.max(total, 1)));
  strip.setAttribute("aria-valuenow", String(step + 1));
  strip.setAttribute(
    "aria-valuetext",
    `needle point ${step + 1} of ${total}${text ? `, in ${text}` : ""}`,
  );
}

const STRIP_KEYS = {
  ArrowRight: (shift) => goTo(step + (shift ? 10 : 1)),
  ArrowUp: (shift) => goTo(step + (shift ? 10 : 1)),
  ArrowLeft: (shift) => goTo(step - (shift ? 10 : 1)),
  ArrowDown: (shift) => goTo(step - (shift ? 10 : 1)),
  PageDown: () => goTo(nextOf(letterStarts)),
  PageUp: () => goTo(beforeOf(letterStarts)),
  Home: () => goTo(0),
  End: () => goTo(total - 1),
};

function watchStrip() {
  strip.addEventListener("keydown", (event) => {
    const act = STRIP_KEYS[event.key];
    if (!act || event.ctrlKey || event.altKey || event.metaKey) return;
    event.preventDefault();
    act(event.shiftKey);
  });
  strip.addEventListener("pointerdown", (event) => {
    strip.setPointerCapture(event.pointerId);
    goTo(stripPoint(event.offsetX));
  });
  strip.addEventListener("pointermove", (event) => {
    if (strip.hasPointerCapture(event.pointerId)) goTo(stripPoint(event.offsetX));
  });
}
