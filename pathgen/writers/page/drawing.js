// The drawing on three canvases: what lies still, the thread as far as it is sewn, the signs.

const LINES = {
  // width and dashes in pixels, size of dots; the dashes tell parts apart without colour
  "tie-in": { width: 2, dash: [], dot: 6, square: true },
  underlay: { width: 1.6, dash: [7, 3], dot: 6, open: true },
  travel: { width: 1.8, dash: [2, 3], dot: 6, square: true, open: true },
  zigzag: { width: 1.3, dash: [], dot: 4.5 },
  "tie-off": { width: 2, dash: [], dot: 7, square: true, open: true },
};
const UNSEWN_DASH = [1, 5];
const FAINT = 0.28;
// Dots are drawn where needle points stand this many pixels apart, half the spacing in a zigzag.
const LEAST_PITCH_PX = 5;
const ground = byId("ground");
const thread = byId("thread");
const signs = byId("signs");
const settled = document.createElement("canvas");
const BLOCK = 256;
let settledTo = -1;
let restFrom = -1;
let waiting = 0;
// Of more stitches than this the old picture is moved and stretched at once while the view goes
// on, and drawn anew when it has been still for so many milliseconds.
const QUICK = 3000;
const STILL_MS = 90;
let drawn = null; // the view that the picture shows
let stretched = null; // the same while another view is wanted
let stillness = 0;
const colours = {};
let sharpness = 1;

function readColours() {
  const style = getComputedStyle(document.documentElement);
  for (const name of [...plan.words.part, "paper", "text", "quiet", "ink", "ink-fill", "edge",
    "tint-0", "tint-1", "tint-2", "needle", "needle-core", "alarm", "on-alarm", "check",
    "on-check", "measure"]) {
    colours[name] = style.getPropertyValue(`--${name}`).trim();
  }
}

// A cleared canvas with a pen that draws in mm of the plan.
function pen(canvas) {
  const wide = Math.round(frame.clientWidth * sharpness);
  const high = Math.round(frame.clientHeight * sharpness);
  if (canvas.width !== wide || canvas.height !== high) {
    canvas.width = wide;
    canvas.height = high;
  }
  const out = canvas.getContext("2d");
  out.setTransform(1, 0, 0, 1, 0, 0);
  out.clearRect(0, 0, wide, high);
  const [x, y] = framePlace(0, 0);
  const scale = sharpness * view.scale;
  out.setTransform(scale, 0, 0, scale, sharpness * x, sharpness * y);
  out.lineJoin = "round";
  out.lineCap = "round";
  return out;
}

const px = (size) => size / view.scale;

function strokeLook(out, layer, number) {
  const look = LINES[layer];
  out.strokeStyle = layer === "zigzag" && shown("threads")
    ? readable(plan.threads[number - 1].colour)
    : colours[look ? layer : "text"];
  out.lineWidth = px(look ? look.width : 1.5);
  out.setLineDash((look ? look.dash : UNSEWN_DASH).map(px));
}

function dotsFit() {
  return typicalPitch * view.scale >= LEAST_PITCH_PX;
}

// Half of the usual zigzag stitches advance by less than this, seen along the column.
const typicalPitch = (() => {
  const steps = [];
  for (let i = 2; i < total; i += 1) {
    if (needles.part[i] === PART.zigzag && needles.part[i - 2] === PART.zigzag) {
      steps.push(Math.hypot(xOf(i) - xOf(i - 2), yOf(i) - yOf(i - 2)));
    }
  }
  steps.sort((a, b) => a - b);
  return steps.length ? steps[steps.length >> 1] : 1;
})();

function dot(out, i) {
  const part = plan.words.part[needles.part[i]];
  const look = LINES[part];
  const grow = bounded(typicalPitch * view.scale / 14, 0.5, 1.3);
  const sizes = look.open ? [[look.dot, part], [look.dot * 0.5, "paper"]] : [[look.dot, part]];
  for (const [wide, colour] of sizes) {
    const size = px(wide * grow);
    out.fillStyle = colours[colour];
    if (look.square) {
      out.fillRect(xOf(i) - size / 2, yOf(i) - size / 2, size, size);
    } else {
      out.beginPath();
      out.arc(xOf(i), yOf(i), size / 2, 0, 7);
      out.fill();
    }
  }
}

// Stitches of the shown layers from one point up to and with another, then their points.
function drawThread(out, from, upTo) {
  for (const run of runs) {
    if (run.from > upTo) break;
    if (run.to < from || !shown(run.layer) || !boxInSight(run.box)) continue;
    strokeLook(out, run.layer, needles.thread[run.to]);
    if (run.from >= from && run.to <= upTo) {
      out.stroke(run.path);
    } else {
      const last = Math.min(run.to, upTo);
      out.beginPath();
      for (let i = Math.max(run.from, from) - 1; i <= last; i += 1) out.lineTo(xOf(i), yOf(i));
      out.stroke();
    }
  }
  out.setLineDash([]);
  if (!shown("points") || !dotsFit()) return;
  for (let i = from; i <= upTo && i < total; i += 1) {
    if (shown(plan.words.part[needles.part[i]]) && inFrame(i)) dot(out, i);
  }
}

function inFrame(i) {
  const [x, y] = framePlace(xOf(i), yOf(i));
  return x > -9 && y > -9 && x < frame.clientWidth + 9 && y < frame.clientHeight + 9;
}

// Up to the last full block the thread lies over what is not sewn yet, which is left out there.
function drawGround() {
  settledTo = -1;
  restFrom = blockBegin();
  drawn = { ...view };
  const out = pen(ground);
  let turn = 0;
  for (const letter of letters) {
    const visible = boxInSight(letter.box);
    if (shown("outline") && visible) {
      out.fillStyle = colours["ink-fill"];
      out.fill(letter.ink, "evenodd");
      out.strokeStyle = colours.ink;
      out.lineWidth = px(1);
      out.stroke(letter.ink);
    }
    for (const column of letter.columns) {
      turn += 1;
      if (!shown("columns") || !visible) continue;
      out.fillStyle = colours[`tint-${(turn - 1) % 3}`];
      out.fill(column);
      out.strokeStyle = colours.edge;
      out.lineWidth = px(1);
      out.stroke(column);
    }
  }
  if (shown("crowding")) drawCrowding(out);
  if (shown("rest")) {
    out.globalAlpha = FAINT;
    drawThread(out, restFrom, total - 1);
    out.globalAlpha = 1;
  }
}

function blockBegin() {
  return Math.floor(step / BLOCK) * BLOCK;
}

// Stitches are drawn afresh from the last full block on; what lies before is kept as a picture.
function drawNeedle() {
  if (stretched) {
    drawAll();
    return;
  }
  const whole = blockBegin();
  if (restFrom !== whole) drawGround();
  if (settledTo !== whole) {
    drawThread(pen(settled), 0, whole - 1);
    settledTo = whole;
  }
  const fresh = pen(thread);
  inPixels(fresh, () => {
    fresh.setTransform(1, 0, 0, 1, 0, 0);
    fresh.drawImage(settled, 0, 0);
  });
  drawThread(fresh, whole, step);
  const out = pen(signs);
  drawSigns(out);
  drawMeasure(out);
  if (total) drawMark(out);
}

function drawAll() {
  cancelAnimationFrame(waiting);
  clearTimeout(stillness);
  waiting = 0;
  stretched = null;
  for (const canvas of [ground, thread, signs]) canvas.style.transform = "";
  drawGround();
  drawNeedle();
}

// The same once a frame, however many turns of a wheel or moves of a pointer come in between.
function drawSoon() {
  if (total > QUICK) {
    stretch();
  } else if (!waiting) {
    waiting = requestAnimationFrame(drawAll);
  }
}

// The old picture where the new one will be; lines and dots get their own widths when all is still.
function stretch() {
  stretched = stretched || drawn;
  const grow = view.scale / stretched.scale;
  const [x, y] = [stretched.x - view.x, stretched.y - view.y].map((way) => way * view.scale);
  for (const canvas of [ground, thread, signs]) {
    canvas.style.transform = `translate(${x}px, ${y}px) scale(${grow})`;
  }
  clearTimeout(stillness);
  stillness = setTimeout(drawAll, STILL_MS);
}
