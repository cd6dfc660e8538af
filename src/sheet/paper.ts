/** The paper that sheets are drawn on, points. */
export interface Paper {
  readonly width: number;
  readonly height: number;
  /** Margins: nothing but the head and the foot of a sheet lies in them. */
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** ISO 216 A4 upright, 210 mm × 297 mm; the left margin has room for a binding. */
export const A4: Paper = { width: 595.28, height: 841.89, left: 51, right: 40, top: 58, bottom: 54 };

export const innerWidth = ({ width, left, right }: Paper): number => width - left - right;
