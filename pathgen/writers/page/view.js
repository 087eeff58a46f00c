// What part of the plan the drawing shows: a centre in mm and a scale in pixels a mm.

const LEAST_SCALE = 0.5;
const MOST_SCALE = 400;
const EDGE_PX = 34;
const frame = byId("drawing");
const view = { x: 0, y: 0, scale: 1, whole: true };

function bounded(value, least, most) {
  return Math.min(most, Math.max(least, value));
}

// Show a box, with a free edge around it.
function showBox(box, mostScale = MOST_SCALE) {
  const wide = Math.max(box.right - box.left, 0.1);
  const high = Math.max(box.foot - box.top, 0.1);
  const scale = Math.min(
    (frame.clientWidth - 2 * EDGE_PX) / wide,
    (frame.clientHeight - 2 * EDGE_PX) / high,
  );
  view.scale = bounded(scale, LEAST_SCALE, mostScale);
  view.x = (box.left + box.right) / 2;
  view.y = (box.top + box.foot) / 2;
  view.whole = false;
  drawAll();
}

function showWhole() {
  showBox(extent);
  view.whole = true;
}

// Go nearer or farther; the place under the pointer stays where it is.
function zoom(factor, atX = frame.clientWidth / 2, atY = frame.clientHeight / 2) {
  const [x, y] = planPlace(atX, atY);
  view.scale = bounded(view.scale * factor, LEAST_SCALE, MOST_SCALE);
  view.x = x - (atX - frame.clientWidth / 2) / view.scale;
  view.y = y - (atY - frame.clientHeight / 2) / view.scale;
  view.whole = false;
  drawSoon();
}

// Pixels in the frame to mm, and back.
function planPlace(px, py) {
  return [
    view.x + (px - frame.clientWidth / 2) / view.scale,
    view.y + (py - frame.clientHeight / 2) / view.scale,
  ];
}

function framePlace(x, y) {
  return [
    frame.clientWidth / 2 + (x - view.x) * view.scale,
    frame.clientHeight / 2 + (y - view.y) * view.scale,
  ];
}

function inSight(x, y) {
  const [px, py] = framePlace(x, y);
  return px > EDGE_PX && py > EDGE_PX
    && px < frame.clientWidth - EDGE_PX && py < frame.clientHeight - EDGE_PX;
}

function boxInSight(box) {
  const [left, top] = framePlace(box.left, box.top);
  const [right, foot] = framePlace(box.right, box.foot);
  return right >= 0 && foot >= 0 && left <= frame.clientWidth && top <= frame.clientHeight;
}
