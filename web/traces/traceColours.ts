/** The page's colours as the canvas of the traces needs them: grey curves, the second one told apart by hue and dash. */
import { type ColourName, PALETTES } from '../palette.ts';

export interface TraceColours {
  /** First and second curve of a track. */
  readonly curves: readonly [string, string];
  /** The recipe's window: filled lightly, its edges drawn. */
  readonly band: string;
  readonly bandEdge: string;
  readonly breach: string;
  readonly hatch: string;
  readonly grid: string;
  readonly text: string;
  /** What the tracks lie on. */
  readonly ground: string;
}

/** What is read on the ground of the tracks, `well`: held to a contrast of 3 by a test. */
export const CURVE_COLOURS: readonly [ColourName, ColourName] = ['ink', 'choice'];
export const MARK_COLOURS = { bandEdge: 'steel', breach: 'high', hatch: 'edge', text: 'inkSoft' } as const;

/** The band lies under the curves: its fill is faint, its edges carry it. */
const BAND_ALPHA = '2b';

export function traceColours(theme: 'light' | 'dark'): TraceColours {
  const palette = PALETTES[theme];
  return {
    curves: [palette[CURVE_COLOURS[0]], palette[CURVE_COLOURS[1]]],
    band: `${palette.steel}${BAND_ALPHA}`,
    bandEdge: palette[MARK_COLOURS.bandEdge],
    breach: palette[MARK_COLOURS.breach],
    hatch: palette[MARK_COLOURS.hatch],
    grid: palette.line,
    text: palette[MARK_COLOURS.text],
    ground: palette.well,
  };
}
