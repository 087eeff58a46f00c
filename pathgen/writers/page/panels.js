// Layers, findings, counts and settings.

const LAYERS = [
  ["outline", "outline, as the face draws it"],
  ["columns", "columns"],
  ["underlay", "underlay"],
  ["zigzag", "zigzag"],
  ["travel", "travel"],
  ["tie-in", "tie-in"],
  ["tie-off", "tie-off"],
  [UNSEWN, "not sewn: trim or jump"],
  ["points", "needle points"],
  ["order", "sewing order"],
  ["crowding", "crowding, from half of what is borne"],
  ["threads", "zigzag in the colours of the threads"],
  ["findings", "findings"],
  ["rest", "what is not yet sewn, faint"],
];
const MISSING = {
  crowding: !plan.crowding,
  threads: plan.threads.every((thread) => !thread.colour),
};
const LATE_DOTS = "shown when near enough";
const COUNT_HEADS = ["stitches", ...plan.words.part, "trims", "thread mm", "narrowest mm",
  "mean width mm", "widest mm", "findings"];
const layerBoxes = new Map();

function shown(layer) {
  return layerBoxes.has(layer) && layerBoxes.get(layer).checked;
}

function listLayers() {
  for (const [layer, name] of LAYERS) {
    if (MISSING[layer]) continue;
    const label = made("label");
    const box = made("input");
    box.type = "checkbox";
    box.checked = true;
    box.id = `layer-${layer}`;
    box.addEventListener("change", drawAll);
    layerBoxes.set(layer, box);
    const sample = made("canvas");
    sample.setAttribute("aria-hidden", "true");
    sample.dataset.layer = layer;
    label.append(box, sample, made("span", name));
    if (layer === "points") label.append(made("small", LATE_DOTS));
    byId("layers").append(label);
  }
}

// What each layer looks like, beside its name.
function drawSamples() {
  for (const sample of byId("layers").querySelectorAll("canvas")) {
    sample.width = 48 * sharpness;
    sample.height = 18 * sharpness;
    const out = sample.getContext("2d");
    out.scale(sharpness, sharpness);
    drawSample(out, sample.dataset.layer);
  }
}

function drawSample(out, layer) {
  const look = LINES[layer];
  if (look || layer === UNSEWN || layer === "rest") {
    out.strokeStyle = colours[look ? layer : layer === "rest" ? "zigzag" : "text"];
    out.globalAlpha = layer === "rest" ? FAINT : 1;
    out.lineWidth = look ? look.width : 1.5;
    out.lineCap = "round";
    out.setLineDash(look ? look.dash : layer === "rest" ? [] : UNSEWN_DASH);
    out.beginPath();
    const rise = layer === "zigzag" || layer === "rest" ? 5 : 0;
    for (let i = 0; i < 7; i += 1) out.lineTo(3 + 7 * i, 9 + (i % 2 ? rise : -rise));
    out.stroke();
  } else if (layer === "outline" || layer === "columns") {
    const fills = layer === "outline" ? ["ink-fill"] : ["tint-0", "tint-1", "tint-2"];
    fills.forEach((fill, i) => {
      const wide = 42 / fills.length;
      out.fillStyle = colours[fill];
      out.fillRect(3 + i * wide, 3, wide, 12);
      out.strokeStyle = colours[layer === "outline" ? "ink" : "edge"];
      out.strokeRect(3 + i * wide, 3, wide, 12);
    });
  } else if (layer === "crowding" || layer === "threads") {
    const fills = layer === "crowding"
      ? plan.crowding.steps.map((entry) => entry[1])
      : plan.threads.map((thread) => readable(thread.colour));
    fills.slice(0, 4).forEach((fill, i) => {
      out.fillStyle = fill;
      out.beginPath();
      out.arc(8 + 11 * i, 9, 5, 0, 7);
      out.fill();
    });
  } else if (layer === "points") {
    out.fillStyle = colours.zigzag;
    for (let i = 0; i < 4; i += 1) {
      out.beginPath();
      out.arc(6 + 12 * i, 9, 2.5, 0, 7);
      out.fill();
    }
  } else {
    out.font = "bold 12px sans-serif";
    out.textBaseline = "middle";
    out.fillStyle = colours.text;
    if (layer === "order") out.fillText("1  2  3", 5, 10);
    else ringAt(out, 24, 9, 6, colours.alarm);
  }
}

function listFindings() {
  const list = byId("findings");
  if (!plan.findings.length) list.append(made("li", "none"));
  for (const finding of plan.findings) {
    const item = made("li");
    const head = made("div");
    head.append(made("span", String(finding.number), `sign ${finding.level}`), " ",
      made("strong", `${finding.level}: ${finding.name}`));
    item.append(head);
    if (finding.figures) item.append(made("div", `worst ${finding.figures}`));
    if (finding.advice) item.append(made("div", finding.advice, "quiet"));
    const places = made("div", "", "places");
    for (const place of finding.places) {
      const letter = letters[place.letter];
      if (!letter) continue;
      const button = made("button", letter.text);
      const column = place.column ? `, column ${place.column}` : "";
      const where = `line ${letter.line}${column}${place.measured ? `, ${place.measured}` : ""}`;
      button.setAttribute("aria-label", `${letter.text}: go to ${finding.name}, ${where}`);
      button.title = where;
      button.addEventListener("click", () => goToPlace(place));
      places.append(button);
    }
    if (places.children.length) item.append(places);
    list.append(item);
  }
}

const letterRows = new Map();

function listCounts() {
  const head = made("tr");
  for (const name of ["letter", ...COUNT_HEADS]) {
    const cell = made("th", name);
    cell.scope = "col";
    head.append(cell);
  }
  const top = made("thead");
  top.append(head);
  const body = made("tbody");
  for (const count of plan.counts) {
    const row = made("tr", "", count.scope === "letter" ? "" : "sum");
    const name = made("th");
    name.scope = "row";
    if (count.letter >= 0) {
      const button = made("button", count.name);
      button.setAttribute("aria-label", `${count.name}: go to letter ${count.letter + 1}, line ${letters[count.letter].line}`);
      button.addEventListener("click", () => goToLetter(count.letter));
      name.append(button);
      letterRows.set(count.letter, row);
    } else {
      name.textContent = count.name;
    }
    row.append(name, ...count.cells.map((cell) => made("td", cell)));
    body.append(row);
  }
  byId("counts").append(top, body);
}

let rowHere = null;

// The row of the letter that the needle is in.
function markRow(letter) {
  const row = letterRows.get(letter) || null;
  if (row === rowHere) return;
  rowHere?.classList.remove("here");
  row?.classList.add("here");
  rowHere = row;
}

function listSettings() {
  for (const [name, value, origin] of plan.settings) {
    const row = made("tr");
    const head = made("th", name);
    head.scope = "row";
    row.append(head, made("td", value), made("td", origin));
    byId("settings").append(row);
  }
}
