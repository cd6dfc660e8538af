/** What happens at the tool, in few words: losses, depth, feed per turn, finish. */
import type { DepthAtToolNow, FinishNow, Now, ToolPressureNow } from '../../src/live/messages.ts';
import type { UnitSystem } from '../../src/units.ts';
import { converter } from '../../src/units.ts';
import { decimal, figure, UNKNOWN, unitLabel } from '../figures.ts';

const two = (n: number): string => String(n).padStart(2, '0');

/** Hours and minutes on the rig's clock. */
export function rigMinute(ms: number, offsetMs: number): string {
  const at = new Date(ms + offsetMs);
  return `${two(at.getUTCHours())}:${two(at.getUTCMinutes())}`;
}

/**
 * Whence the losses between standpipe and tool are known, and how well.
 * @param standpipeKpa the reading now: what the standpipe has more than the tool is lost on the way
 */
export function lossesInWords(state: ToolPressureNow, standpipeKpa: number | null, offsetMs: number): string {
  switch (state.losses) {
    case 'calibrated': {
      if (!state.calibration) return 'losses calibrated';
      const { toMs, rates } = state.calibration;
      return `losses calibrated ${rigMinute(toMs, offsetMs)}, ${rates} ${rates === 1 ? 'rate' : 'rates'}`;
    }
    case 'model': {
      const lost = standpipeKpa === null || state.fromStandpipe === null ? 0 : standpipeKpa - state.fromStandpipe;
      const share = state.sigma !== null && lost > 0 ? Math.round((100 * state.sigma) / lost) : 0;
      return share > 0 ? `losses by the model, ± ${share} %` : 'losses by the model';
    }
    case 'none':
      return 'losses not known';
  }
}

/** 1σ of a depth, rounded up to what a depth is shown to: never nought. */
export function sigmaInWords(sigmaM: number | null, system: UnitSystem): string {
  if (sigmaM === null) return '';
  const [step, decimals] = system === 'metric' ? [0.01, 2] : [0.1, 1];
  const shown = Math.max(1, Math.ceil(converter(system).out('length', sigmaM) / step - 1e-9)) * step;
  return `± ${decimal(shown, decimals)}`;
}

/** A change, with its sign. */
export function signed(lengthM: number, system: UnitSystem): string {
  const text = figure('length', lengthM, system);
  return lengthM > 0 && /[1-9]/.test(text) ? `+${text}` : text;
}

export const CORRECTED_SAYINGS: Readonly<Record<DepthAtToolNow['corrected'], string>> = {
  'not corrected': 'not corrected',
  'by the journal': 'corrected by the journal',
  'by the tag': 'corrected by the tag',
};

/** Feed per turn in mm or in, against its bound where there is one. */
export function feedPerTurnInWords(now: Now, system: UnitSystem): string {
  if (now.feedPerTurn === null) return '';
  const decimals = system === 'metric' ? 0 : 2;
  const written = (metres: number) => figure('diameter', metres * 1000, system, decimals);
  const most = now.bounds.feedPerTurnMax;
  const bound = most === null ? '' : `, max ${written(most)}`;
  return `${written(now.feedPerTurn)} ${unitLabel('diameter', system)}/turn${bound}`;
}

const DAY_MS = 86_400_000;

/** From when to when, on the rig's clock; the day is told where it is not today's. */
export function finishInWords(range: FinishNow['joint'], nowMs: number, offsetMs: number): string {
  if (!range) return UNKNOWN;
  const days = Math.floor((range.toMs + offsetMs) / DAY_MS) - Math.floor((nowMs + offsetMs) / DAY_MS);
  const from = rigMinute(range.fromMs, offsetMs);
  const to = rigMinute(range.toMs, offsetMs);
  const when = from === to ? from : `${from} to ${to}`;
  return days > 0 ? `${when} +${days} d` : when;
}
