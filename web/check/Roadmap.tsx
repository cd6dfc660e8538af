import type { RoadmapRow } from '../../src/check/checkSchema.ts';
import { UNKNOWN } from '../figures.ts';
import { KindSign } from '../joints/KindSign.tsx';
import type { PartProps } from './CheckView.tsx';
import type { Written } from './checkWords.ts';
import { Part } from './Part.tsx';

interface Column {
  readonly head: string;
  readonly unit: (written: Written) => string;
  readonly cell: (row: RoadmapRow, written: Written) => string;
  readonly strong?: true;
}

const windowOf = ({ window }: RoadmapRow, written: Written): string => {
  const { min, max } = window;
  if (min === null && max === null) return UNKNOWN;
  return `${written.of('pressure', min)} to ${written.of('pressure', max)}`;
};
const pressure = (written: Written): string => written.label('pressure');
const force = (written: Written): string => written.label('force');

const COLUMNS: readonly Column[] = [
  { head: 'Depth', unit: (w) => w.label('length'), cell: (row, w) => w.of('length', row.depth) },
  { head: 'Tool', unit: () => '', cell: (row) => row.rollsWith },
  { head: 'Window', unit: pressure, cell: windowOf },
  { head: 'read at', unit: () => '', cell: (row) => row.window.at },
  { head: 'Flow', unit: (w) => w.label('flow'), cell: (row, w) => w.of('flow', row.flow), strong: true },
  { head: 'Path', unit: () => '', cell: (row) => row.path ?? UNKNOWN },
  { head: 'At the tool', unit: pressure, cell: (row, w) => w.of('pressure', row.tool), strong: true },
  { head: 'Standpipe', unit: pressure, cell: (row, w) => w.of('pressure', row.standpipe), strong: true },
  {
    head: 'ECD',
    unit: (w) => w.label('density'),
    cell: (row, w) => w.of('density', row.ecd, w.system === 'metric' ? 0 : 2),
  },
  { head: 'Up', unit: force, cell: (row, w) => w.of('force', row.hookload.up) },
  { head: 'Down', unit: force, cell: (row, w) => w.of('force', row.hookload.down) },
  { head: 'Turning', unit: force, cell: (row, w) => w.of('force', row.hookload.rotating) },
  { head: 'Set-down', unit: force, cell: (row, w) => w.of('force', row.setDown.available) },
  { head: 'Torque', unit: (w) => w.label('torque'), cell: (row, w) => w.of('torque', row.torque) },
  { head: 'Stretch', unit: (w) => w.label('length'), cell: (row, w) => w.of('length', row.stretch) },
];

/** What to set and what to expect at every joint that is to be expanded, from the top down. */
export function Roadmap({ check, written }: PartProps) {
  return (
    <Part id="roadmap" title="Joint by joint: what to set, what to expect">
      <div class="check-wide">
        <table class="roadmap">
          <thead>
            <tr>
              <th scope="col" class="text">
                Joint
              </th>
              {COLUMNS.map(({ head }) => (
                <th key={head} scope="col">
                  {head}
                </th>
              ))}
            </tr>
            <tr class="units">
              <td />
              {COLUMNS.map(({ head, unit }) => (
                <td key={head}>{unit(written)}</td>
              ))}
            </tr>
          </thead>
          <tbody>
            {check.roadmap.map((row) => (
              <tr key={row.joint} data-testid={`roadmap-${row.joint}`}>
                <th scope="row" class="text">
                  <KindSign kind={row.kind} /> {row.joint}
                </th>
                {COLUMNS.map(({ head, cell, strong }) => (
                  <td key={head} class={strong ? 'strong' : ''}>
                    {cell(row, written)}
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <p class="check-note">
        Up, down, turning: hookload with the block. Set-down: what can be put on the tool. Stretch: turning free,
        against the tally.
      </p>
    </Part>
  );
}
