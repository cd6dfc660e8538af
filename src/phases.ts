/** The phases of a run, in the order in which a trip meets them. One table: name, family for the page, what it says. */

export type PhaseFamily = 'nothing known' | 'idle' | 'moving' | 'hanger' | 'expanding' | 'passing' | 'trouble';

export interface Phase {
  readonly family: PhaseFamily;
  /** How long the evidence must stand before the phase changes, ms; the change is dated back to its start. */
  readonly settleMs: number;
  readonly says: string;
}

const phase = (family: PhaseFamily, settleMs: number, says: string): Phase => ({ family, settleMs, says });

export const PHASES = {
  'no data': phase('nothing known', 0, 'No valid sample: nothing is known of this stretch.'),
  waiting: phase('idle', 15_000, 'String still, pumps off.'),
  circulating: phase('idle', 15_000, 'Pumping, string still or off the joints.'),
  'running in': phase('moving', 10_000, 'String going down without expanding.'),
  'making connection': phase('idle', 5_000, 'String hangs in the slips.'),
  'setting hanger': phase('hanger', 10_000, 'Hanger being set.'),
  'testing hanger': phase('hanger', 10_000, 'Hanger being tested.'),
  releasing: phase('hanger', 10_000, 'Running tool being released.'),
  'tagging depth': phase('hanger', 5_000, 'Set-down on the shear device.'),
  'expanding isolation': phase('expanding', 3_000, 'A tool rolls an isolation joint.'),
  'expanding screen': phase('expanding', 3_000, 'A tool rolls a screen.'),
  'crossing connection': phase('passing', 5_000, 'Between the parts to be expanded, over a threaded connection.'),
  'passing blank': phase('passing', 5_000, 'The tool passes pipe that is not to be expanded.'),
  stalled: phase('trouble', 0, 'Rolling, and not getting deeper.'),
  'picking up': phase('moving', 10_000, 'String lifted off the joint.'),
  'pulling out': phase('moving', 10_000, 'String on its way out.'),
} as const satisfies Record<string, Phase>;

export type PhaseName = keyof typeof PHASES;
export const PHASE_NAMES = Object.keys(PHASES) as PhaseName[];
