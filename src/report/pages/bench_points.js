'use strict';
// What lies at each point of the piece, read from pictures that hold one number a point. They are read when
// somebody first asks.

const facts = JSON.parse(document.getElementById('bench-facts').textContent);
let unpacked;
function pictures() {
  unpacked ??= JSON.parse(document.getElementById('bench-pictures').textContent);
  return unpacked;
}

async function pixelsOf(address) {
  const image = new Image();
  image.src = address;
  await image.decode();
  const canvas = document.createElement('canvas');
  canvas.width = image.naturalWidth;
  canvas.height = image.naturalHeight;
  const context = canvas.getContext('2d', { willReadFrequently: true });
  context.drawImage(image, 0, 0);
  return context.getImageData(0, 0, canvas.width, canvas.height).data;
}

let maps;
function pointMaps() {
  maps ??= (async () => {
    const { amounts, colours } = pictures();
    const read = { amounts: [], colours: {}, trusted: true };
    for (const [i, address] of amounts.entries()) {
      const rgba = await pixelsOf(address);
      const plane = new Uint8Array(rgba.length / 4);
      let sum = 0;
      for (let p = 0; p < plane.length; ++p) sum += plane[p] = rgba[4 * p];
      // Some browsers, set against tracking, give a page other pixels than the picture has.
      read.trusted &&= sum === facts.layers[i].sum;
      read.amounts.push(plane);
    }
    for (const [name, address] of Object.entries(colours)) read.colours[name] = await pixelsOf(address);
    return read;
  })();
  return maps;
}

// Column and row of the point map, as mm from the top left corner of the piece, and back.
function mmOf({ column, row }) {
  return {
    x: ((column + 0.5) / facts.map.width) * facts.width_mm,
    y: ((row + 0.5) / facts.map.height) * facts.height_mm,
  };
}
function pointAt(x, y) {
  const place = (mm, length, count) => Math.min(count - 1, Math.max(0, Math.floor((mm / length) * count)));
  return {
    column: place(x, facts.width_mm, facts.map.width),
    row: place(y, facts.height_mm, facts.map.height),
  };
}

// The finished piece at a point: its layers bottom to top, and its colours as 8-bit sRGB.
async function readPoint(point, view) {
  const read = await pointMaps();
  const at = point.row * facts.map.width + point.column;
  const colour = (name) => Array.from(read.colours[name].subarray(4 * at, 4 * at + 3));
  return {
    recipe: facts.layers
      .map((layer, i) => ({ ...layer, load: (layer.load_g_cm2 * read.amounts[i][at]) / 255 }))
      .filter((layer) => layer.load > 0),
    predicted: colour(view),
    target: colour('target'),
    trusted: read.trusted,
  };
}
