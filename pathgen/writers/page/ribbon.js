// The whole sewing order as a band: what is sewn when, cuts as full-height lines.
function drawRibbon() {
  const wide = Math.round(ribbon.clientWidth * sharpness);
  const high = Math.round(ribbon.clientHeight * sharpness);
  ribbon.width = wide;
  ribbon.height = high;
  const out = ribbon.getContext("2d");
  for (let i = 0; i < total; i += 1) {
    const left = Math.floor(i * wide / total);
    const part = plan.words.part[needles.part[i]];
    const rise = part === "zigzag" ? 0.12 : 0.4;
    out.fillStyle = colours[part];
    out.fillRect(left, high * rise, Math.max(1, Math.ceil(wide / total)), high * (0.88 - rise));
  }
  out.fillStyle = colours.text;
  for (const i of cuts) out.fillRect(Math.floor(i * wide / total), 0, 2 * sharpness, high);
  const at = (step + 0.5) * wide / total;
  out.fillStyle = colours["needle-core"];
  out.strokeStyle = colours.needle;
  out.lineWidth = sharpness;
  out.beginPath();
  out.rect(at - 3 * sharpness, sharpness / 2, 6 * sharpness, high - sharpness);
  out.fill();
  out.stroke();
}
