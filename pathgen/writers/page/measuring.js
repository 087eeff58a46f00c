// Measuring between two places; a place near a needle point is taken at the point.

let measuring = false;
let marks = [null, null];

function toggleMeasuring() {
  measuring = !measuring;
  byId("measure").setAttribute("aria-pressed", String(measuring));
  frame.classList.toggle("measuring", measuring);
}

function markNext(place) {
  if (marks[0] && !marks[1]) mark(1, place);
  else {
    marks = [null, null];
    mark(0, place);
  }
}

function mark(which, place) {
  marks[which] = place;
  tellMeasure();
  drawNeedle();
}

function markNeedle(which) {
  if (total) mark(which, { x: xOf(step), y: yOf(step), point: step });
}

function unmark() {
  marks = [null, null];
  tellMeasure();
  drawNeedle();
}

function tellMeasure() {
  const [a, b] = marks;
  const name = (place) => (place.point < 0 ? "a free place" : `needle point ${place.point + 1}`);
  let said = "Mark two places, A and B.";
  if (a && b) {
    said = `${mm(Math.hypot(b.x - a.x, b.y - a.y))} from A, ${name(a)}, to B, ${name(b)}: `
      + `${mm(Math.abs(b.x - a.x))} to the ${b.x < a.x ? "left" : "right"}, `
      + `${mm(Math.abs(b.y - a.y))} ${b.y > a.y ? "down" : "up"}.`;
  } else if (a || b) {
    said = `${a ? "A" : "B"} is ${name(a || b)}; mark ${a ? "B" : "A"}.`;
  }
  byId("measured").textContent = said;
}

function drawMeasure(out) {
  if (!marks[0] && !marks[1]) return;
  inPixels(out, () => {
    const spots = marks.map((place) => place && framePlace(place.x, place.y));
    out.strokeStyle = colours.measure;
    out.lineWidth = 2;
    if (spots[0] && spots[1]) {
      out.beginPath();
      out.moveTo(...spots[0]);
      out.lineTo(...spots[1]);
      out.stroke();
    }
    out.font = "bold 14px sans-serif";
    out.textAlign = "center";
    out.textBaseline = "middle";
    spots.forEach((spot, index) => {
      if (!spot) return;
      ringAt(out, spot[0], spot[1], 6, colours.measure);
      haloText(out, "AB"[index], spot[0], spot[1] - 16);
    });
  });
}
