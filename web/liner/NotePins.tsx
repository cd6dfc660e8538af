/** Notes that are pinned to a depth or a joint, as numbered flags at the wall; the list of notes bears the same numbers. */
import { openDialog } from '../frame/dialogs.ts';
import { drawnNotes } from '../journal/notesShown.ts';
import { spreadLabels } from './linerScale.ts';

const FLAG = { width: 18, height: 15, apart: 16 } as const;

interface NotePinsProps {
  readonly y: (depth: number) => number;
  /** Where the pole stands; the flag flies to its right. */
  readonly x: number;
  readonly detailed: boolean;
}

export function NotePins({ y, x, detailed }: NotePinsProps) {
  const pinned = drawnNotes.value
    .filter(({ depth }) => depth !== null)
    .sort((a, b) => a.depth! - b.depth! || a.number - b.number);
  if (!detailed) {
    return (
      <>
        {pinned.map(({ id, depth, isLater }) => (
          <path key={id} class={`note-tick${isLater ? ' is-later' : ''}`} d={`M${x} ${y(depth!) - 3}h6v6h-6z`} />
        ))}
      </>
    );
  }
  const places = spreadLabels(
    pinned.map(({ depth }) => y(depth!)),
    FLAG.apart,
  );
  return (
    <>
      {pinned.map(({ id, number, depth, isLater, standing }, i) => (
        // biome-ignore lint/a11y/noStaticElementInteractions: the list of notes is reached by key N as well
        <g
          key={id}
          class={`note-pin${isLater ? ' is-later' : ''}`}
          data-testid="note-pin-mark"
          onClick={() => (openDialog.value = 'notes')}
        >
          <title>{`Note ${number}: ${standing.at(-1)!.text}`}</title>
          <path class="note-pole" d={`M${x - 8} ${y(depth!)}L${x} ${places[i]!}`} />
          <rect x={x} y={places[i]! - FLAG.height / 2} width={FLAG.width} height={FLAG.height} rx="2" />
          <text x={x + FLAG.width / 2} y={places[i]! + 4}>
            {number}
          </text>
        </g>
      ))}
    </>
  );
}
