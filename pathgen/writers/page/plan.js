// The plan as it is embedded: places in mm with y down, and stitches gathered into runs.

const plan = JSON.parse(document.getElementById("plan").textContent);
const needles = plan.needles;
const total = needles.x.length;
const PART = Object.fromEntries(plan.words.part.map((word, code) => [word, code]));
const SEW = plan.words.arrive.indexOf("sew");
const UNSEWN = "unsewn";
const xOf = (i) => needles.x[i] / 1000;
const yOf = (i) => -needles.y[i] / 1000;

// A box that grows with what is put in.
function emptyBox() {
  return { left: Infinity, top: Infinity, right: -Infinity, foot: -Infinity };
}

function widen(box, x, y) {
  box.left = Math.min(box.left, x);
  box.right = Math.max(box.right, x);
  box.top = Math.min(box.top, y);
  box.foot = Math.max(box.foot, y);
}

function ringPath(path, ring, box) {
  for (let i = 0; i < ring.length; i += 2) {
    const x = ring[i] / 1000;
    const y = -ring[i + 1] / 1000;
    widen(box, x, y);
    if (i) path.lineTo(x, y);
    else path.moveTo(x, y);
  }
  path.closePath();
}

const letters = plan.letters.map((letter) => {
  const box = emptyBox();
  const ink = new Path2D();
  for (const ring of letter.ink) ringPath(ink, ring, box);
  const columns = letter.columns.map((ring) => {
    const path = new Path2D();
    ringPath(path, ring, box);
    return path;
  });
  return { text: letter.text, line: letter.line, ink, columns, box };
});

// The layer that a stitch belongs to; stitch i leads from point i - 1 to point i.
function layerOf(i) {
  return needles.arrive[i] === SEW ? plan.words.part[needles.part[i]] : UNSEWN;
}

// Stitches of one layer and column that follow one another, as one path each: drawing a few
// hundred short paths is much faster than one of ten thousand stitches.
function gatheredRuns() {
  const out = [];
  for (let i = 1; i < total; i += 1) {
    const before = out[out.length - 1];
    const layer = layerOf(i);
    const same = before && before.layer === layer && before.to === i - 1
      && needles.column[i] === needles.column[i - 1] && needles.letter[i] === needles.letter[i - 1];
    const run = same ? before : { layer, from: i, to: i, path: new Path2D(), box: emptyBox() };
    if (!same) {
      out.push(run);
      run.path.moveTo(xOf(i - 1), yOf(i - 1));
      widen(run.box, xOf(i - 1), yOf(i - 1));
    }
    run.path.lineTo(xOf(i), yOf(i));
    widen(run.box, xOf(i), yOf(i));
    run.to = i;
  }
  return out;
}

const runs = gatheredRuns();

// First needle point of each stay in a column, and of each letter; ways across which the thread
// is cut or changed.
const columnStarts = [];
const letterStarts = [];
const cuts = [];
for (let i = 0; i < total; i += 1) {
  const newLetter = i === 0 || needles.letter[i] !== needles.letter[i - 1];
  if (newLetter) letterStarts.push(i);
  if (newLetter || needles.column[i] !== needles.column[i - 1]) columnStarts.push(i);
  if (["trim", "change"].includes(plan.words.arrive[needles.arrive[i]])) cuts.push(i);
}

// Where each column is begun, travel to it left out, in sewing order: the same numbers as on the
// plot.
function begunColumns() {
  const seen = new Set();
  const out = [];
  for (let i = 0; i < total; i += 1) {
    const key = `${needles.letter[i]} ${needles.column[i]}`;
    if (needles.part[i] === PART.travel || !needles.column[i] || seen.has(key)) continue;
    seen.add(key);
    out.push(i);
  }
  return out;
}

const order = begunColumns();

const extent = emptyBox();
for (const letter of letters) {
  if (letter.box.left > letter.box.right) continue;
  widen(extent, letter.box.left, letter.box.top);
  widen(extent, letter.box.right, letter.box.foot);
}
for (let i = 0; i < total; i += 1) widen(extent, xOf(i), yOf(i));
if (extent.left > extent.right) widen(extent, 0, 0);

const byId = (id) => document.getElementById(id);

// An element with a text; texts never become HTML.
function made(tag, text = "", className = "") {
  const out = document.createElement(tag);
  out.textContent = text;
  if (className) out.className = className;
  return out;
}

// A length as it is read: at most three decimals.
function mm(value) {
  return `${Number(value.toFixed(3))} mm`;
}
