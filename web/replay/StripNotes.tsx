/** Notes on the time bar, at the instant that they are pinned to; numbered as in the list of notes. */
import { drawnNotes } from '../journal/notesShown.ts';
import { spreadLabels } from '../liner/linerScale.ts';
import { type Strip, xOf } from './runFigure.ts';

const TAG = { width: 16, height: 13, y: 1 } as const;

export function StripNotes({ strip, height }: { readonly strip: Strip; readonly height: number }) {
  const pinned = drawnNotes.value
    .filter(({ atMs }) => atMs !== null && atMs >= strip.fromMs && atMs <= strip.toMs + 1)
    .sort((a, b) => a.atMs! - b.atMs! || a.number - b.number);
  const places = spreadLabels(
    pinned.map(({ atMs }) => Math.min(strip.width - TAG.width, xOf(strip, atMs!))),
    TAG.width + 1,
  );
  return (
    <svg class="strip-notes" width={strip.width} height={height} aria-hidden="true">
      {pinned.map(({ id, number, atMs, isLater, standing }, i) => (
        <g key={id} class={`note-pin${isLater ? ' is-later' : ''}`} data-testid="note-strip-mark">
          <title>{`Note ${number}: ${standing.at(-1)!.text}`}</title>
          <path class="note-pole" d={`M${xOf(strip, atMs!)} ${TAG.y + TAG.height}V${height - 14}`} />
          <rect x={places[i]!} y={TAG.y} width={TAG.width} height={TAG.height} rx="2" />
          <text x={places[i]! + TAG.width / 2} y={TAG.y + 10}>
            {number}
          </text>
        </g>
      ))}
    </svg>
  );
}
