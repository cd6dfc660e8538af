/** What a stretch without data does to that which stood open when the data stopped: nothing is known of it any more. */
import { describe, expect, it } from 'vitest';
import { eventsOf } from '../../../src/pipeline/view.ts';
import { instantOf, type Played, playTable, saidAt } from './scenario.ts';

/** Low pressure from 61 s on; the data stop after 100 s and come back at 131 s. */
const lowPressureThen = (back: string): Played =>
  playTable(`
  t_s  flow  spp_kPa  rpm  block_m  depth_m  hookload_kN | remark
    0   900     9000   30    22.00  1015.50          790 | -
   60   900     9000   30    20.80  1016.70          790 | -
   61   900     6000   30    20.78  1016.72          790 | low pressure
  100   900     6000   30    20.10  1017.40          790 | -
  130     -        -    -        -        -            - | no data
  ${back}
  `);

const told = ({ record }: Played): unknown[] =>
  record.events.map(({ kind, joint, from, to }) => [kind, joint, from, to]);

describe('an event that is open when data stop', () => {
  it('ends at the last valid sample, though all is well when they come back', () => {
    const played = lowPressureThen(`
  131   900     9000   30    20.00  1017.50          790 | well again
  200   900     9000   30    18.60  1018.90          790 | -`);
    expect(told(played)).toEqual([
      ['low pressure', 'S1', instantOf(61), instantOf(100)],
      ['data gap', 'S1', instantOf(100), instantOf(131)],
    ]);
  });

  it('is another one when it stands afterwards as before', () => {
    const played = lowPressureThen(`
  131   900     6000   30    20.00  1017.50          790 | still low
  200   900     6000   30    18.60  1018.90          790 | -`);
    const [before, gap, after] = told(played);
    expect(before).toEqual(['low pressure', 'S1', instantOf(61), instantOf(100)]);
    expect(gap).toEqual(['data gap', 'S1', instantOf(100), instantOf(131)]);
    expect(after).toMatchObject(['low pressure', 'S1', expect.any(String), null]);
    expect((after as string[])[2]! >= instantOf(131)).toBe(true);
  });

  it('that had not stood long enough is forgotten: its delay begins anew', () => {
    const played = playTable(`
  t_s  flow  spp_kPa  rpm  block_m  depth_m  hookload_kN | remark
    0   900     9000   30    22.00  1015.50          790 | -
   60   900     9000   30    20.80  1016.70          790 | -
   61   900     6000   30    20.78  1016.72          790 | low pressure, for nine seconds
   70   900     6000   30    20.60  1016.90          790 | -
   79     -        -    -        -        -            - | no data
   80   900     6000   30    20.40  1017.10          790 | for nine more
   89   900     6000   30    20.22  1017.28          790 | -
   90   900     9000   30    20.20  1017.30          790 | -
  150   900     9000   30    19.00  1018.50          790 | -`);
    expect(played.record.events.map(({ kind }) => kind)).toEqual(['data gap']);
  });

  it('a stall does not last across it', () => {
    const played = playTable(`
  t_s  flow  spp_kPa  rpm  block_m  depth_m  hookload_kN | remark
    0   900     9000   30    22.00  1015.60          790 | -
   60   900     9000   30    20.80  1016.80          790 | -
  100   900     9000   30    20.80  1016.80          760 | standing
  130     -        -    -        -        -            - | no data
  131   900     9000   30    20.80  1016.80          760 | -
  145   900     9000   30    20.80  1016.80          760 | standing, for too short a time to say so
  200   900     9000   30    19.70  1017.90          790 | -`);
    const stalls = played.record.events.filter(({ kind }) => kind === 'stall');
    expect(stalls).toHaveLength(1);
    expect(stalls[0]!.to).toBe(instantOf(100));
    expect(saidAt(played.record, 115).phase).toBe('no data');
  });
});

it('until data come back nobody knows that they stopped: the event stands open', () => {
  const open = lowPressureThen('').run;
  expect(eventsOf(open).map(({ kind, toMs }) => [kind, toMs])).toEqual([['low pressure', null]]);
});
