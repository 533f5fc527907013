'use strict';
// Colours as numbers and in plain words.

// 8-bit sRGB (IEC 61966-2-1) as CIE 1976 L*a*b* (CIE 15) under D65.
function labOf(rgb) {
  const [r, g, b] = rgb.map((code) => {
    const v = code / 255;
    return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
  });
  const white = [0.3127 / 0.329, 1, (1 - 0.3127 - 0.329) / 0.329];
  const xyz = [
    0.4124 * r + 0.3576 * g + 0.1805 * b,
    0.2126 * r + 0.7152 * g + 0.0722 * b,
    0.0193 * r + 0.1192 * g + 0.9505 * b,
  ];
  const [x, y, z] = xyz.map((value, i) => {
    const t = value / white[i];
    return t > (6 / 29) ** 3 ? Math.cbrt(t) : t / (3 * (6 / 29) ** 2) + 4 / 29;
  });
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
}

// Where one name of a hue ends and the next begins, degrees in L*a*b*: words of ours, by eye, no standard.
const HUES = [
  [18, 'pinkish red'], [48, 'red'], [80, 'orange'], [106, 'yellow'], [126, 'yellow-green'], [165, 'green'],
  [200, 'blue-green'], [240, 'greenish blue'], [306, 'blue'], [324, 'violet'], [345, 'purple'],
  [361, 'pinkish red'],
];

function lightnessWord(l) {
  return l < 22 ? 'very dark' : l < 42 ? 'dark' : l < 62 ? 'mid' : l < 82 ? 'light' : 'very light';
}

function colourWords([l, a, b]) {
  const strength = Math.hypot(a, b);
  if (l < 8 && strength < 8) return 'black';
  if (l > 96 && strength < 4) return 'white';
  if (strength < 4) return `${lightnessWord(l)} grey`;
  const hue = ((Math.atan2(b, a) * 180) / Math.PI + 360) % 360;
  let name = HUES.find(([end]) => hue < end)[1];
  if (name === 'orange' && l < 58 && strength < 60) name = 'brown';
  if (name === 'yellow' && l < 58) name = 'olive';
  if (name.endsWith('red') && l > 66) name = 'pink';
  const grade = strength < 14 ? ' greyish' : strength > 55 ? ' strong' : '';
  return `${lightnessWord(l)}${grade} ${name}`;
}

function labText(lab) {
  const [l, a, b] = lab.map((v) => v.toFixed(1).replace('-', '\u2212'));
  return `L* ${l}  a* ${a}  b* ${b}`;
}
