// Where the needle is, and the ways to move it.

let step = 0;
let running = 0;
let stitchesAhead = 0;
const PACES = [["as sewn", 1], ["a tenth", 0.1], ["ten times", 10], ["sixty times", 60]];

function goTo(point) {
  if (!total) return;
  step = bounded(Math.round(point), 0, total - 1);
  if (byId("follow").checked && !inSight(xOf(step), yOf(step))) {
    view.x = xOf(step);
    view.y = yOf(step);
    view.whole = false;
    drawGround();
  }
  drawNeedle();
  drawStrip();
  tellStrip();
  tellNeedle();
}

// What is known of the needle point, in words.
function tellNeedle() {
  const letter = letters[needles.letter[step]];
  const column = needles.column[step];
  const arrive = plan.words.arrive[needles.arrive[step]];
  const facts = [
    ["needle point", `${step + 1} of ${total}`],
    ["part", plan.words.part[needles.part[step]]],
    ["arrived by", arrive === "sew" ? `a stitch of ${mm(needles.length[step] / 1000)}` : arrive],
    ["letter", letter ? `“${letter.text}” in line ${letter.line}` : "none"],
    ["column", column ? `${column}, ${plan.words.side[needles.side[step]]}` : "none"],
    ["thread", threadName(needles.thread[step])],
    ...(plan.crowding ? [["crowding", `${plan.crowding.percent[step]} % of what is borne`]] : []),
    ["place, right and up", `${mm(needles.x[step] / 1000)}, ${mm(needles.y[step] / 1000)}`],
  ];
  const list = byId("needle");
  facts.forEach(([name, value], index) => {
    const group = list.children[index] || list.appendChild(made("div"));
    if (!group.children.length) group.append(made("dt"), made("dd"));
    group.children[0].textContent = name;
    group.children[1].textContent = value;
  });
  markRow(needles.letter[step]);
}

function threadName(number) {
  const thread = plan.threads[number - 1];
  return plan.threads.length > 1 ? `${number}: ${thread.name}` : thread?.name ?? String(number);
}

// The next of some points after the needle, or the last before it.
function nextOf(points) {
  return points.find((point) => point > step) ?? total - 1;
}

function beforeOf(points) {
  return points.findLast((point) => point < step) ?? 0;
}

function run() {
  if (running) {
    halt();
    return;
  }
  if (step === total - 1) goTo(0);
  stitchesAhead = 0;
  let last = performance.now();
  const tick = (now) => {
    const pace = PACES[byId("pace").selectedIndex][1];
    stitchesAhead += (now - last) / 60000 * plan.speed_spm * pace;
    last = now;
    const whole = Math.floor(stitchesAhead);
    stitchesAhead -= whole;
    if (whole) goTo(step + whole);
    if (step >= total - 1) halt();
    else running = requestAnimationFrame(tick);
  };
  byId("needle").setAttribute("aria-live", "off");
  byId("run").setAttribute("aria-pressed", "true");
  byId("run").textContent = "Hold";
  running = requestAnimationFrame(tick);
}

function halt() {
  cancelAnimationFrame(running);
  running = 0;
  byId("needle").setAttribute("aria-live", "polite");
  byId("run").setAttribute("aria-pressed", "false");
  byId("run").textContent = "Start";
}

// Go to a letter, large.
function goToLetter(index) {
  const first = needles.letter.indexOf(index);
  showBox(letters[index].box, 60);
  if (first >= 0) goTo(first);
}

// Show the place of a finding, and go to the nearest needle point of the column it is about: in
// small letters those of other columns may lie nearer. Without a column, of its letter.
function goToPlace(place) {
  const [x, y] = [place.at[0] / 1000, -place.at[1] / 1000];
  if (place.letter >= 0) showBox(letters[place.letter].box, 60);
  pointed = [x, y];
  const point = nearestPoint(x, y, (i) => (place.letter < 0 || needles.letter[i] === place.letter)
    && (!place.column || needles.column[i] === place.column));
  if (point >= 0) goTo(point);
  else drawNeedle();
}

function nearestPoint(x, y, wanted = () => true) {
  let best = -1;
  let least = Infinity;
  for (let i = 0; i < total; i += 1) {
    const far = Math.hypot(xOf(i) - x, yOf(i) - y);
    if (far < least && wanted(i)) {
      least = far;
      best = i;
    }
  }
  return best;
}
