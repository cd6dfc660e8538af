/**
 * What holds the string and its pressure besides the rig: the liner that hangs on it, the hanger that holds it fast, a ball that
 * shuts its end, an annulus under test. Noise-free. Magnitudes without a source are common practice.
 */
import type { Job } from '../../src/plan/job.ts';

export interface Hold {
  /** Weight of the liner on the string, kN; 0 once it is let go of, or when the trip starts with the hanger set. */
  linerKn: number;
  /** The string is held at the hanger: with its end at this depth this load hangs below the hook. */
  fixed: { endDepth: number; kn: number } | null;
  /** Pull below the hook above which the hanger slides, and how far it may still, m. */
  slidesAboveKn: number;
  slideLeftM: number;
  /** A ball on its seat: the string's end is shut. */
  shut: boolean;
  /** The pressure of a shut string is let off. */
  letOff: boolean;
  /** Share of the pressure lost a minute. */
  leakPerMin: number;
  /** Area of the flow path against the plan's: more once a circulating sub is open. */
  areaFactor: number;
  /** The pump on the annulus works up to this, kPa; 0: let off; NaN: shut in. */
  annulusTargetKpa: number;
  annulusLeakPerMin: number;
  /** What the shut-in annulus still loses as it settles, kPa. */
  annulusSettlesKpa: number;
}

/** Steel, kPa; compressibility of the fluid, 1/kPa. */
const YOUNG_KPA = 2.068e8;
const COMPRESSIBILITY_PER_KPA = 4.5e-7;
const LET_OFF_S = 8;
const ANNULUS_KPA_PER_S = 60;
const SETTLES_S = 90;
/** The string takes up its drag over this much movement, m. */
const DRAG_OVER_M = 0.06;

export function createHold(linerKn: number): Hold {
  return {
    linerKn,
    fixed: null,
    slidesAboveKn: Infinity,
    slideLeftM: 0,
    shut: false,
    letOff: false,
    leakPerMin: 0,
    areaFactor: 1,
    annulusTargetKpa: 0,
    annulusLeakPerMin: 0,
    annulusSettlesKpa: 0,
  };
}

/** The parts of the plan's string from the surface down to `depth`, the topmost as long as it must be. */
function partsAbove(job: Job, endDepth: number, depth: number): { lengthM: number; odMm: number; idMm: number }[] {
  const { string } = job.engineering;
  let bottom = endDepth;
  const parts: { lengthM: number; odMm: number; idMm: number }[] = [];
  for (let i = string.length - 1; i >= 0 && bottom > 0; i--) {
    const { lengthM, odMm, idMm } = string[i]!;
    const top = i === 0 ? 0 : Math.max(0, bottom - lengthM);
    const to = i === string.length - 1 ? Math.max(depth, bottom) : bottom;
    parts.push({ lengthM: Math.max(0, Math.min(to, depth) - top), odMm, idMm });
    bottom = top;
  }
  return parts;
}

/** m a kN of the string from the surface down to `depth`. */
export function complianceTo(job: Job, endDepth: number, depth: number): number {
  return partsAbove(job, endDepth, depth).reduce(
    (sum, { lengthM, odMm, idMm }) => sum + lengthM / ((YOUNG_KPA * Math.PI * (odMm ** 2 - idMm ** 2)) / 4e6),
    0,
  );
}

/** Volume inside the string down to `depth`, m³; below its end its last bore goes on. */
export function volumeTo(job: Job, endDepth: number, depth: number): number {
  return partsAbove(job, endDepth, depth).reduce(
    (sum, { lengthM, idMm }) => sum + (lengthM * Math.PI * (idMm / 1000) ** 2) / 4,
    0,
  );
}

/** Load below the hook while the string is held, kN; slides the hanger where it must. `dragKn`: of the free string. */
export function heldLoadKn(hold: Hold, endDepth: number, complianceMPerKn: number, dragKn: number): number {
  const fixed = hold.fixed!;
  const raised = fixed.endDepth - endDepth;
  const drag = dragKn * Math.max(-1, Math.min(1, raised / DRAG_OVER_M));
  const load = fixed.kn + raised / complianceMPerKn + drag;
  if (load > hold.slidesAboveKn && hold.slideLeftM > 0) {
    const slide = Math.min(hold.slideLeftM, (load - hold.slidesAboveKn) * complianceMPerKn);
    hold.slideLeftM -= slide;
    fixed.endDepth -= slide;
    return load - slide / complianceMPerKn;
  }
  return load;
}

/** Pressure of a shut string after a step, kPa. */
export function shutKpa(hold: Hold, pressureKpa: number, flowLPerMin: number, volumeM3: number, stepS: number): number {
  if (hold.letOff) return pressureKpa * Math.exp(-stepS / LET_OFF_S);
  const pumped = (flowLPerMin * stepS) / 60 / 1000 / volumeM3 / COMPRESSIBILITY_PER_KPA;
  return (pressureKpa + pumped) * (1 - (hold.leakPerMin * stepS) / 60);
}

/** Annulus pressure after a step, kPa. */
export function annulusKpa(hold: Hold, pressureKpa: number, stepS: number): number {
  const { annulusTargetKpa: target } = hold;
  if (target === 0) return pressureKpa < 1 ? 0 : pressureKpa * Math.exp(-stepS / LET_OFF_S);
  if (!Number.isNaN(target)) return Math.min(target, pressureKpa + ANNULUS_KPA_PER_S * stepS);
  const settled = hold.annulusSettlesKpa * (1 - Math.exp(-stepS / SETTLES_S));
  hold.annulusSettlesKpa -= settled;
  return (pressureKpa - settled) * (1 - (hold.annulusLeakPerMin * stepS) / 60);
}
