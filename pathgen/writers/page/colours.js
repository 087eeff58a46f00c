// Colours of threads and of crowding.

const LEAST_CONTRAST = 3;
const shownColours = new Map();

const partsOf = (hex) => [1, 3, 5].map((at) => parseInt(hex.slice(at, at + 2), 16));

// Relative luminance (WCAG 2.2).
function lightness(parts) {
  const [r, g, b] = parts.map((part) => {
    const share = part / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

// A thread's colour, moved towards black or white until it stands out from the paper.
function readable(colour) {
  const key = colour + colours.paper;
  if (shownColours.has(key)) return shownColours.get(key);
  const paper = lightness(partsOf(colours.paper));
  const goal = paper > 0.18 ? 0 : 255;
  let parts = partsOf(colour);
  for (let i = 0; i <= 20; i += 1) {
    parts = partsOf(colour).map((part) => Math.round(part + (goal - part) * i / 20));
    const pair = [lightness(parts), paper].sort((a, b) => b - a);
    if ((pair[0] + 0.05) / (pair[1] + 0.05) >= LEAST_CONTRAST) break;
  }
  const out = `rgb(${parts.join(" ")})`;
  shownColours.set(key, out);
  return out;
}

// A disc of the blade's size around each crowded point, graver ones on top.
function drawCrowding(out) {
  const { percent, blade, steps } = plan.crowding;
  steps.forEach(([from, colour], index) => {
    const to = index + 1 < steps.length ? steps[index + 1][0] : Infinity;
    out.beginPath();
    for (let i = 0; i < total; i += 1) {
      if (percent[i] < from || percent[i] >= to || !inFrame(i)) continue;
      out.moveTo(xOf(i) + blade[i] / 2000, yOf(i));
      out.arc(xOf(i), yOf(i), blade[i] / 2000, 0, 7);
    }
    out.fillStyle = colour;
    out.globalAlpha = 0.35;
    out.fill();
    out.globalAlpha = 1;
  });
}
