/**
 * Geometry of pipe that is expanded in a hole. Diameters in mm, lengths in m, volumes in m³, squeeze and ratios as shares.
 * Two diameters of a hole, measured across each other, are the axes of an ellipse.
 */

const MM2_PER_M2 = 1e6;

/** Growth of a diameter as a share of what it was; of outside or inside diameter, whichever both are. */
export function expansionShare(beforeMm: number, afterMm: number): number {
  return afterMm / beforeMm - 1;
}

/** Area of a hole from two diameters across each other, m². */
export function holeAreaM2(diameterMm: number, crossMm: number): number {
  return ((Math.PI / 4) * diameterMm * crossMm) / MM2_PER_M2;
}

/** Difference of the two diameters over their mean: 0 for a round hole. */
export function ovality(diameterMm: number, crossMm: number): number {
  return (2 * Math.abs(diameterMm - crossMm)) / (diameterMm + crossMm);
}

/** Volume between a hole and a pipe a metre, m³/m (m²). */
export function annularCapacityM2(holeMm: number, pipeMm: number): number {
  return holeAreaM2(holeMm, holeMm) - holeAreaM2(pipeMm, pipeMm);
}

/** Gap between pipe and the wall of the hole on one side, mm; negative where the pipe presses into the wall. */
export function radialGapMm(holeMm: number, pipeMm: number): number {
  return (holeMm - pipeMm) / 2;
}

/**
 * How much of an elastomer's thickness is squeezed, 0 to 1: the thickness is that on the expanded pipe, before it meets
 * the wall. 0 where it does not reach the wall.
 */
export function elastomerSqueeze(thicknessMm: number, gapMm: number): number {
  return Math.min(1, Math.max(0, (thicknessMm - gapMm) / thicknessMm));
}
