// Signs that keep their size on the screen: sewing order, findings, scale bar, needle, measure.

const BAR_STEPS_MM = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200];
const BAR_MOST_PX = 170;
let pointed = null; // the place of a finding that was jumped to

// A pen that draws in pixels of the frame.
function inPixels(out, draw) {
  out.save();
  out.setTransform(sharpness, 0, 0, sharpness, 0, 0);
  out.setLineDash([]);
  draw();
  out.restore();
}

function haloText(out, text, x, y) {
  out.lineWidth = 4;
  out.strokeStyle = colours.paper;
  out.strokeText(text, x, y);
  out.fillStyle = colours.text;
  out.fillText(text, x, y);
}

function drawSigns(out) {
  inPixels(out, () => {
    const taken = [];
    if (shown("findings")) drawFindings(out, taken);
    if (shown("order")) drawOrder(out, taken);
    drawScaleBar(out);
  });
}

// A place that covers no other sign is kept, any other is left out until one goes nearer.
function free(taken, x, y, wide, high) {
  const box = [x - wide / 2, y - high / 2, x + wide / 2, y + high / 2];
  const clash = taken.some(
    (other) => box[0] < other[2] && other[0] < box[2] && box[1] < other[3] && other[1] < box[3],
  );
  if (!clash) taken.push(box);
  return !clash;
}

function drawOrder(out, taken) {
  out.font = "bold 12px sans-serif";
  out.textAlign = "center";
  out.textBaseline = "middle";
  order.forEach((point, index) => {
    if (!inFrame(point)) return;
    const [x, y] = framePlace(xOf(point), yOf(point));
    const wide = 4 + 8 * String(index + 1).length;
    if (free(taken, x, y - 12, wide, 13)) haloText(out, String(index + 1), x, y - 12);
  });
}

function drawFindings(out, taken) {
  out.font = "bold 12px sans-serif";
  out.textAlign = "center";
  out.textBaseline = "middle";
  for (const finding of plan.findings) {
    for (const place of finding.places) {
      if (place.letter < 0) continue;
      const [x, y] = framePlace(place.at[0] / 1000, -place.at[1] / 1000);
      if (x < 0 || y < 0 || x > frame.clientWidth || y > frame.clientHeight) continue;
      ringAt(out, x, y, 5, colours[finding.level === "note" ? "quiet" : "alarm"]);
      if (free(taken, x + 13, y - 13, 19, 19)) findingSign(out, finding, x + 13, y - 13);
    }
  }
}

function ringAt(out, x, y, radius, colour) {
  out.beginPath();
  out.arc(x, y, radius, 0, 7);
  out.strokeStyle = colour;
  out.lineWidth = 1.5;
  out.stroke();
}

// Round for a note, a diamond to check, an octagon to stop.
function findingSign(out, finding, x, y) {
  const corners = { note: 0, check: 4, stop: 8 }[finding.level];
  out.beginPath();
  if (corners) {
    for (let i = 0; i < corners; i += 1) {
      const turn = (i + (corners === 8 ? 0.5 : 0)) * 2 * Math.PI / corners;
      out.lineTo(x + 11 * Math.cos(turn), y + 11 * Math.sin(turn));
    }
    out.closePath();
  } else {
    out.arc(x, y, 9, 0, 7);
  }
  const fill = { note: "paper", check: "check", stop: "alarm" }[finding.level];
  const face = { note: "text", check: "on-check", stop: "on-alarm" }[finding.level];
  out.fillStyle = colours[fill];
  out.fill();
  out.strokeStyle = colours[face === "on-alarm" ? "alarm" : "text"];
  out.lineWidth = 1.5;
  out.stroke();
  out.fillStyle = colours[face];
  out.fillText(String(finding.number), x, y + 1);
}

function drawScaleBar(out) {
  const fitting = BAR_STEPS_MM.filter((size) => size * view.scale <= BAR_MOST_PX);
  const size = fitting.length ? fitting[fitting.length - 1] : BAR_STEPS_MM[0];
  const y = frame.clientHeight - 12;
  out.fillStyle = colours.text;
  out.fillRect(14, y, size * view.scale, 3);
  out.fillRect(14, y - 5, 1.5, 8);
  out.fillRect(14 + size * view.scale - 1.5, y - 5, 1.5, 8);
  out.font = "12px sans-serif";
  out.textAlign = "left";
  out.textBaseline = "alphabetic";
  haloText(out, `${size} mm as sewn`, 14, y - 8);
}

// The needle: its last stitch bold, a ring with four ticks around its point.
function drawMark(out) {
  inPixels(out, () => {
    const [x, y] = framePlace(xOf(step), yOf(step));
    if (step > 0 && needles.arrive[step] === SEW) {
      const before = framePlace(xOf(step - 1), yOf(step - 1));
      strokeBoth(out, () => { out.moveTo(...before); out.lineTo(x, y); }, 3);
    }
    strokeBoth(out, () => {
      out.arc(x, y, 8, 0, 2 * Math.PI);
      for (const [a, b] of [[1, 0], [0, 1], [-1, 0], [0, -1]]) {
        out.moveTo(x + 8 * a, y + 8 * b);
        out.lineTo(x + 15 * a, y + 15 * b);
      }
    }, 2.5);
    out.beginPath();
    out.arc(x, y, 2.5, 0, 7);
    out.fillStyle = colours.needle;
    out.fill();
    if (!pointed) return;
    const spot = framePlace(pointed[0], pointed[1]);
    ringAt(out, spot[0], spot[1], 18, colours.alarm);
    ringAt(out, spot[0], spot[1], 21, colours.paper);
  });
}

// A light line with dark edges is seen on any ground.
function strokeBoth(out, draw, width) {
  out.lineCap = "round";
  for (const [colour, wide] of [["needle", width + 2.5], ["needle-core", width]]) {
    out.beginPath();
    draw();
    out.strokeStyle = colours[colour];
    out.lineWidth = wide;
    out.stroke();
  }
}
