// Pointer, wheel and keys in the drawing. Keys count only while the drawing has the focus.

const SNAP_PX = 12;
const DRAG_PX = 4;
const held = new Map(); // pointers that are down, by id
let dragged = false;

const KEYS = {
  ArrowRight: (shift) => goTo(step + (shift ? 10 : 1)),
  ArrowLeft: (shift) => goTo(step - (shift ? 10 : 1)),
  PageDown: () => goTo(nextOf(columnStarts)),
  PageUp: () => goTo(beforeOf(columnStarts)),
  Home: () => goTo(0),
  End: () => goTo(total - 1),
  "+": () => zoom(1.25),
  "=": () => zoom(1.25),
  "-": () => zoom(0.8),
  0: showWhole,
  m: toggleMeasuring,
  M: toggleMeasuring,
  " ": run,
};

function placeInFrame(event) {
  const box = frame.getBoundingClientRect();
  return [event.clientX - box.left, event.clientY - box.top];
}

function watchFrame() {
  frame.addEventListener("keydown", (event) => {
    const act = KEYS[event.key];
    if (!act || event.ctrlKey || event.altKey || event.metaKey) return;
    event.preventDefault();
    act(event.shiftKey);
  });
  frame.addEventListener("wheel", (event) => {
    event.preventDefault();
    zoom(Math.exp(-event.deltaY / 500), ...placeInFrame(event));
  }, { passive: false });
  frame.addEventListener("pointerdown", (event) => {
    frame.setPointerCapture(event.pointerId);
    held.set(event.pointerId, placeInFrame(event));
    if (held.size === 1) dragged = false;
  });
  frame.addEventListener("pointermove", movePointer);
  frame.addEventListener("pointercancel", (event) => held.delete(event.pointerId));
  frame.addEventListener("pointerup", (event) => {
    if (held.delete(event.pointerId) && !held.size && !dragged) press(...placeInFrame(event));
  });
}

// One pointer drags the plan; two also bring it nearer or farther.
function movePointer(event) {
  const before = held.get(event.pointerId);
  if (!before) return;
  const now = placeInFrame(event);
  const way = [now[0] - before[0], now[1] - before[1]];
  if (!dragged && Math.hypot(...way) < DRAG_PX) return;
  dragged = true;
  view.x -= way[0] / view.scale / held.size;
  view.y -= way[1] / view.scale / held.size;
  held.set(event.pointerId, now);
  const other = [...held].find(([id]) => id !== event.pointerId);
  if (other) {
    const apart = (place) => Math.max(20, Math.hypot(place[0] - other[1][0], place[1] - other[1][1]));
    zoom(apart(now) / apart(before), (now[0] + other[1][0]) / 2, (now[1] + other[1][1]) / 2);
  } else {
    view.whole = false;
    drawSoon();
  }
}

// A press marks a place while measuring; else the needle goes to the nearest point.
function press(atX, atY) {
  const [x, y] = planPlace(atX, atY);
  const point = nearestPoint(x, y);
  const near = point >= 0 && Math.hypot(xOf(point) - x, yOf(point) - y) * view.scale <= SNAP_PX;
  if (measuring) markNext(near ? { x: xOf(point), y: yOf(point), point } : { x, y, point: -1 });
  else if (near) goTo(point);
}
