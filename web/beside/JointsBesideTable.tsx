/** Two sides joint by joint: every measure of the one beside that of the other. */
import { useSignal } from '@preact/signals';
import type { JointState } from '../../src/live/messages.ts';
import type { Job, Joint } from '../../src/plan/job.ts';
import type { JointPair, JointsBeside } from '../../src/replay/jointsBeside.ts';
import type { UnitSystem } from '../../src/units.ts';
import { decimal, figure, percent, UNKNOWN, unitLabel } from '../figures.ts';
import { unitSystem } from '../state.ts';

interface Measure {
  readonly title: string;
  readonly unit: (system: UnitSystem) => string;
  readonly of: (state: JointState, joint: Joint, system: UnitSystem) => string;
}

const length = (system: UnitSystem): string => unitLabel('length', system);
const none = (): string => '';

const MEASURES: readonly Measure[] = [
  { title: 'Required', unit: length, of: (_, { requiredM }, system) => figure('length', requiredM, system) },
  { title: 'Expanded', unit: length, of: ({ expandedM }, _, system) => figure('length', expandedM, system) },
  { title: 'Coverage', unit: () => '%', of: ({ coverage }) => percent(coverage) },
  { title: 'Longest gap', unit: length, of: ({ longestGap }, _, system) => figure('length', longestGap, system) },
  { title: 'Verdict', unit: none, of: ({ verdict }) => verdict },
  { title: 'Minutes', unit: none, of: ({ minutes }) => decimal(minutes, 1) },
  { title: 'Stalls', unit: none, of: ({ stalls }) => String(stalls) },
];

export interface TableSide {
  readonly job: Job;
  readonly joints: readonly JointState[];
}

interface TableProps {
  readonly a: TableSide;
  readonly b: TableSide;
  readonly beside: JointsBeside;
}

type Cells = readonly (readonly [string, string])[];

function cellsOf(pair: JointPair, a: TableSide, b: TableSide, system: UnitSystem): Cells {
  const of = ({ of: read }: Measure, index: number | null, { job, joints }: TableSide): string =>
    index === null ? UNKNOWN : read(joints[index]!, job.joints[index]!, system);
  return MEASURES.map((measure) => [of(measure, pair.a, a), of(measure, pair.b, b)]);
}

const differs = ([before, after]: readonly [string, string]): boolean => before !== after;

export function JointsBesideTable({ a, b, beside }: TableProps) {
  const system = unitSystem.value;
  const onlyDiffering = useSignal(false);
  const rows = beside.pairs.map((pair) => ({ pair, cells: cellsOf(pair, a, b, system) }));
  const isDifferent = ({ pair, cells }: (typeof rows)[number]): boolean =>
    cells.some(differs) || pair.gainedM > 0 || pair.lostM > 0;
  const shown = onlyDiffering.value ? rows.filter(isDifferent) : rows;
  const metres = (value: number): string => (value > 0 ? figure('length', value, system) : UNKNOWN);
  const sum = (of: 'gainedM' | 'lostM'): string => metres(beside.pairs.reduce((total, pair) => total + pair[of], 0));
  return (
    <>
      <p class="beside-matched">
        {beside.matchedBy === 'name'
          ? 'Joints of one name stand beside each other.'
          : 'The liners share no name: joints of one kind stand beside each other by their place from the top.'}{' '}
        {rows.filter(isDifferent).length} of {rows.length} differ.
        <label class="check">
          <input
            type="checkbox"
            checked={onlyDiffering.value}
            onChange={({ currentTarget }) => (onlyDiffering.value = currentTarget.checked)}
          />
          Only those that differ
        </label>
      </p>
      <table class="joints-beside" data-testid="joints-beside">
        <thead>
          <tr>
            <th rowSpan={2}>Joint</th>
            {MEASURES.map(({ title, unit }) => (
              <th key={title} colSpan={2}>
                {title}
                {unit(system) && `, ${unit(system)}`}
              </th>
            ))}
            <th colSpan={2}>B beside A, {length(system)}</th>
          </tr>
          <tr>
            {MEASURES.map(({ title }) => [
              <th key={`${title} a`} class="of-a">
                A
              </th>,
              <th key={`${title} b`} class="of-b">
                B
              </th>,
            ])}
            <th class="of-a">gained</th>
            <th class="of-b">lost</th>
          </tr>
        </thead>
        <tbody>
          {shown.map(({ pair, cells }) => (
            <tr key={`${pair.a} ${pair.b}`}>
              <th scope="row">{nameOf(pair, a, b)}</th>
              {cells.map((cell, i) =>
                cell.map((text, side) => (
                  <td key={`${i} ${side}`} class={`${side === 0 ? 'of-a' : 'of-b'}${differs(cell) ? ' differs' : ''}`}>
                    {text}
                  </td>
                )),
              )}
              <td class="of-a">{metres(pair.gainedM)}</td>
              <td class="of-b">{metres(pair.lostM)}</td>
            </tr>
          ))}
        </tbody>
        <tfoot>
          <tr>
            <th scope="row" colSpan={1 + 2 * MEASURES.length}>
              All joints
            </th>
            <td class="of-a" data-testid="beside-gained">
              {sum('gainedM')}
            </td>
            <td class="of-b" data-testid="beside-lost">
              {sum('lostM')}
            </td>
          </tr>
        </tfoot>
      </table>
    </>
  );
}

function nameOf(pair: JointPair, a: TableSide, b: TableSide): string {
  const [before, after] = [
    pair.a === null ? null : a.job.joints[pair.a]!.name,
    pair.b === null ? null : b.job.joints[pair.b]!.name,
  ];
  return before === after || after === null ? before! : before === null ? after : `${before} / ${after}`;
}
