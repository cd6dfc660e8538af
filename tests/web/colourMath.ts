/**
 * What colours do to eyes. Contrast: WCAG 2.2, relative luminance and contrast ratio. Colour vision deficiency:
 * Machado, Oliveira, Fernandes 2009, severity 1.0, matrices on linear RGB, from memory. Difference: CIEDE2000
 * (Sharma, Wu, Dalal 2005), D65.
 */
export type Rgb = readonly [number, number, number];
type Matrix = readonly [Rgb, Rgb, Rgb];

export const linear = (hex: string): Rgb => {
  const channel = (at: number): number => {
    const v = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
  };
  return [channel(1), channel(3), channel(5)];
};

const luminance = ([r, g, b]: Rgb): number => 0.2126 * r + 0.7152 * g + 0.0722 * b;

export function contrast(a: string, b: string): number {
  const [light, dark] = [luminance(linear(a)), luminance(linear(b))].sort((x, y) => y - x) as [number, number];
  return (light + 0.05) / (dark + 0.05);
}

export const EYES: Readonly<Record<string, Matrix>> = {
  usual: [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
  protan: [
    [0.152286, 1.052583, -0.204868],
    [0.114503, 0.786281, 0.099216],
    [-0.003882, -0.048116, 1.051998],
  ],
  deutan: [
    [0.367322, 0.860646, -0.227968],
    [0.280085, 0.672501, 0.047413],
    [-0.01182, 0.04294, 0.968881],
  ],
  tritan: [
    [1.255528, -0.076749, -0.178779],
    [-0.078411, 0.930809, 0.147602],
    [0.004733, 0.691367, 0.3039],
  ],
};

export function seen(rgb: Rgb, eye: Matrix): Rgb {
  return eye.map((row) =>
    Math.min(1, Math.max(0, row[0] * rgb[0] + row[1] * rgb[1] + row[2] * rgb[2])),
  ) as unknown as Rgb;
}

function lab([r, g, b]: Rgb): Rgb {
  const f = (t: number): number => (t > 216 / 24389 ? Math.cbrt(t) : (24389 / 27 / 116) * t + 16 / 116);
  const x = f((0.4124564 * r + 0.3575761 * g + 0.1804375 * b) / 0.95047);
  const y = f(0.2126729 * r + 0.7151522 * g + 0.072175 * b);
  const z = f((0.0193339 * r + 0.119192 * g + 0.9503041 * b) / 1.08883);
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
}

const RAD = Math.PI / 180;
const hue = (b: number, a: number): number => (a === 0 && b === 0 ? 0 : (Math.atan2(b, a) / RAD + 360) % 360);

export function difference(one: Rgb, two: Rgb): number {
  return ciede2000(lab(one), lab(two));
}

export function ciede2000([l1, a1, b1]: Rgb, [l2, a2, b2]: Rgb): number {
  const cMean = (Math.hypot(a1, b1) + Math.hypot(a2, b2)) / 2;
  const g = 0.5 * (1 - Math.sqrt(cMean ** 7 / (cMean ** 7 + 25 ** 7)));
  const [p1, p2] = [a1 * (1 + g), a2 * (1 + g)];
  const [c1, c2] = [Math.hypot(p1, b1), Math.hypot(p2, b2)];
  const [h1, h2] = [hue(b1, p1), hue(b2, p2)];
  const grey = c1 * c2 === 0;
  const turn = grey ? 0 : ((h2 - h1 + 540) % 360) - 180;
  const dH = 2 * Math.sqrt(c1 * c2) * Math.sin((turn / 2) * RAD);
  const lM = (l1 + l2) / 2;
  const cM = (c1 + c2) / 2;
  const apart = Math.abs(h1 - h2) > 180;
  const hM = grey ? h1 + h2 : apart ? ((h1 + h2 + (h1 + h2 < 360 ? 360 : -360)) / 2) % 360 : (h1 + h2) / 2;
  const t =
    1 -
    0.17 * Math.cos((hM - 30) * RAD) +
    0.24 * Math.cos(2 * hM * RAD) +
    0.32 * Math.cos((3 * hM + 6) * RAD) -
    0.2 * Math.cos((4 * hM - 63) * RAD);
  const sL = 1 + (0.015 * (lM - 50) ** 2) / Math.sqrt(20 + (lM - 50) ** 2);
  const sC = 1 + 0.045 * cM;
  const sH = 1 + 0.015 * cM * t;
  const rT = -2 * Math.sqrt(cM ** 7 / (cM ** 7 + 25 ** 7)) * Math.sin(60 * Math.exp(-(((hM - 275) / 25) ** 2)) * RAD);
  const [x, y, z] = [(l2 - l1) / sL, (c2 - c1) / sC, dH / sH];
  return Math.sqrt(x * x + y * y + z * z + rT * y * z);
}
