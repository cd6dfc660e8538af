/**
 * Values below which a given share of a distribution lies, for the normal and for Student's t. Written out here since a
 * page counts runs again with them, and a whole library of statistics weighs more than the rest of the pipeline.
 */
import { invariant } from '../fault.ts';

/** Wichura 1988, Appl. Stat. 37(3), algorithm AS 241 (PPND16): about 16 digits. Numerator and denominator, highest power last. */
const CENTRE = [
  [
    3.387132872796366, 133.1416678917844, 1971.590950306551, 13731.693765509461, 45921.95393154987, 67265.7709270087,
    33430.57558358813, 2509.0809287301227,
  ],
  [
    1, 42.31333070160091, 687.1870074920579, 5394.196021424751, 21213.794301586597, 39307.89580009271,
    28729.085735721943, 5226.495278852854,
  ],
] as const;
const MIDDLE = [
  [
    1.4234371107496835, 4.630337846156545, 5.769497221460691, 3.6478483247632045, 1.2704582524523684,
    0.2417807251774506, 0.022723844989269184, 7.745450142783414e-4,
  ],
  [
    1, 2.053191626637759, 1.6763848301838038, 0.6897673349851, 0.14810397642748008, 0.015198666563616457,
    5.475938084995345e-4, 1.0507500716444169e-9,
  ],
] as const;
const TAIL = [
  [
    6.657904643501103, 5.463784911164114, 1.7848265399172913, 0.29656057182850487, 0.026532189526576124,
    0.0012426609473880784, 2.7115555687434876e-5, 2.0103343992922881e-7,
  ],
  [
    1, 0.599832206555888, 0.1369298809227358, 0.014875361290850615, 7.868691311456133e-4, 1.846318317510055e-5,
    1.421511758316446e-7, 2.04426310338994e-15,
  ],
] as const;

function ratio([over, under]: readonly [readonly number[], readonly number[]], x: number): number {
  let top = 0;
  let bottom = 0;
  for (let i = over.length - 1; i >= 0; i -= 1) {
    top = top * x + over[i]!;
    bottom = bottom * x + under[i]!;
  }
  return top / bottom;
}

/** Of the standard normal distribution; 0 < share < 1. */
export function normalQuantile(share: number): number {
  invariant(share > 0 && share < 1, 'a share between 0 and 1');
  const q = share - 0.5;
  if (Math.abs(q) <= 0.425) return q * ratio(CENTRE, 0.180625 - q * q);
  const r = Math.sqrt(-Math.log(q < 0 ? share : 1 - share));
  const value = r <= 5 ? ratio(MIDDLE, r - 1.6) : ratio(TAIL, r - 5);
  return q < 0 ? -value : value;
}

/** Lanczos' approximation, g = 7, nine terms (Godfrey): about 15 digits for x ≥ 0.5. */
const LANCZOS = [
  0.9999999999998099, 676.5203681218851, -1259.1392167224028, 771.3234287776531, -176.6150291621406, 12.507343278686905,
  -0.13857109526572012, 9.984369578019572e-6, 1.5056327351493116e-7,
] as const;

function logGamma(x: number): number {
  let sum: number = LANCZOS[0];
  for (let i = 1; i < LANCZOS.length; i += 1) sum += LANCZOS[i]! / (x - 1 + i);
  const t = x + 6.5;
  return 0.5 * Math.log(2 * Math.PI) + (x - 0.5) * Math.log(t) - t + Math.log(sum);
}

const SMALLEST = 1e-300;
const MOST_TERMS = 20_000;
const away = (value: number): number => (Math.abs(value) < SMALLEST ? SMALLEST : value);

/** The regularised incomplete beta function by its continued fraction (DLMF 8.17.22), Lentz's method; 0 ≤ x ≤ 1. */
function incompleteBeta(a: number, b: number, x: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  // The fraction converges quickly on this side only; on the other the function is one less its mirror image (8.17.4).
  if (x > (a + 1) / (a + b + 2)) return 1 - incompleteBeta(b, a, 1 - x);
  const front = Math.exp(logGamma(a + b) - logGamma(a) - logGamma(b) + a * Math.log(x) + b * Math.log1p(-x));
  let c = 1;
  let d = 1 / away(1 - ((a + b) * x) / (a + 1));
  let fraction = d;
  for (let m = 1; m < MOST_TERMS; m += 1) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / away(1 + even * d);
    c = away(1 + even / c);
    fraction *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / away(1 + odd * d);
    c = away(1 + odd / c);
    fraction *= d * c;
    if (Math.abs(d * c - 1) < 1e-15) break;
  }
  return (front * fraction) / a;
}

/** Above so many degrees of freedom Student's t and the normal are the same to eight digits. */
const NORMAL_ABOVE = 1e8;
const HALVINGS = 200;

/** Of Student's t; 0 < share < 1, degrees of freedom at least 1. */
export function studentQuantile(share: number, freedom: number): number {
  invariant(share > 0 && share < 1 && freedom >= 1, 'a share between 0 and 1, and a degree of freedom');
  if (share === 0.5) return 0;
  if (freedom > NORMAL_ABOVE) return normalQuantile(share);
  const tail = 2 * Math.min(share, 1 - share);
  // Of t² over (freedom + t²), what lies above falls with it: halved until nothing lies between.
  let low = 0;
  let high = 1;
  for (let i = 0; i < HALVINGS; i += 1) {
    const middle = (low + high) / 2;
    if (middle === low || middle === high) break;
    if (1 - incompleteBeta(0.5, freedom / 2, middle) > tail) low = middle;
    else high = middle;
  }
  const t = Math.sqrt((freedom * high) / (1 - high));
  return share < 0.5 ? -t : t;
}
