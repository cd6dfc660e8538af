/** What the strip says in words: what goes on, and whether it is good. One sentence each, from one table. */
import type { GapCause } from '../../src/causes.ts';
import type { IngestState, Now } from '../../src/live/messages.ts';
import { PHASES, type PhaseName } from '../../src/phases.ts';
import { span } from '../figures.ts';
import type { Freshness } from '../state.ts';

/** How each phase is said, and what stands between it and the name of the joint that it is about. */
const PHASE_SAYINGS: Readonly<Record<PhaseName, readonly [saying: string, before: string]>> = {
  'no data': ['No data', ', '],
  waiting: ['Waiting', ' in '],
  circulating: ['Circulating', ' in '],
  'running in': ['Running in', ', '],
  'making connection': ['Making connection', ', '],
  'setting hanger': ['Setting hanger', ' '],
  'testing hanger': ['Testing hanger', ' '],
  releasing: ['Releasing', ', '],
  'tagging depth': ['Tagging depth', ' in '],
  'expanding isolation': ['Expanding isolation', ' '],
  'expanding screen': ['Expanding screen', ' '],
  'crossing connection': ['Crossing thread', ', '],
  'passing blank': ['Passing blank', ' '],
  stalled: ['Stalled', ' in '],
  'picking up': ['Picking up', ' in '],
  'pulling out': ['Pulling out', ', '],
};

/** Where what a phase says is too long for one line of the strip. */
const SHORT_SAYS: Readonly<Partial<Record<PhaseName, string>>> = {
  'no data': 'No valid sample.',
  circulating: 'Pumps on, nothing being rolled.',
  'crossing connection': 'Between two parts to be expanded.',
  'passing blank': 'This pipe is not to be expanded.',
};
const phaseSays = (phase: PhaseName): string => SHORT_SAYS[phase] ?? PHASES[phase].says;

const CAUSE_SAYINGS: Readonly<Record<GapCause, string>> = {
  'no data': 'no data',
  'low pressure': 'pressure too low',
  'no rotation': 'rotation too low',
  'fast feed': 'feed too fast',
  'high feed per turn': 'feed per turn too high',
  'not reached': 'not getting deeper',
};
export const causeInWords = (cause: GapCause): string => CAUSE_SAYINGS[cause];

/** The shape that goes with each tone; a colour never stands alone. */
export type Tone = 'good' | 'bad' | 'rest' | 'blind';

export interface Spoken {
  readonly tone: Tone;
  readonly headline: string;
  readonly detail: string;
}

export const upperFirst = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** @param joint name of the joint that the phase is about */
export function phaseSentence(now: Now, joint: string | null): string {
  const [saying, before] = PHASE_SAYINGS[now.phase];
  return joint === null ? saying : saying + before + joint;
}

/** Is it good? Only what counts for a metre to become an expanded metre. */
export function judgementWords(now: Now): Spoken {
  switch (now.judgement.state) {
    case 'good':
      return { tone: 'good', headline: 'Good', detail: 'inside every bound' };
    case 'bad': {
      const causes = now.judgement.causes.map(causeInWords).join(', ');
      return { tone: 'bad', headline: 'Not good', detail: causes || phaseSays(now.phase) };
    }
    case 'idle': {
      // A phase ends only when that is sure; until then it and the instant may differ.
      const detail = PHASES[now.phase].family === 'expanding' ? 'At this moment.' : phaseSays(now.phase);
      return { tone: 'rest', headline: 'Not expanding', detail };
    }
    case 'unknown':
      return { tone: 'blind', headline: 'Not known', detail: phaseSays(now.phase) };
  }
}

/** What stands over everything else when the numbers may not be taken for now; null while they may. */
export function blindWords(freshness: Freshness, ingest: Pick<IngestState, 'link'> | null): Spoken | null {
  switch (freshness.kind) {
    case 'fresh':
      return null;
    case 'link lost':
      return {
        tone: 'blind',
        headline: 'Link to the service lost',
        detail: `Trying again. Numbers are ${span(freshness.ageS)} old.`,
      };
    case 'nothing yet':
      return { tone: 'blind', headline: 'Waiting for a reading', detail: waitingFor(ingest) };
    case 'stale': {
      const ended = ingest?.link === 'ended';
      return {
        tone: 'blind',
        headline: ended ? 'Stream ended' : 'No data',
        detail: ended ? 'These are the last numbers.' : 'Use the gauges on the floor.',
      };
    }
  }
}

/** Before its first snapshot a page knows nothing: samples may well be coming in, so it does not speak of any. */
function waitingFor(ingest: Pick<IngestState, 'link'> | null): string {
  if (!ingest) return 'Calling the service.';
  return `${upperFirst(LINK_SAYINGS[ingest.link])}.`;
}

export const LINK_SAYINGS: Readonly<Record<IngestState['link'], string>> = {
  connecting: 'calling the rig stream',
  listening: 'listening for the rig stream',
  connected: 'rig stream connected',
  lost: 'rig stream lost',
  ended: 'rig stream ended',
};
