/** Notices a peer that says nothing for too long: a half-open link looks alive for ever otherwise. */
import type { Clock } from './clock.ts';

export interface SilenceWatch {
  /** Something was heard. Costs no timer. */
  heard(): void;
  stop(): void;
}

export function watchSilence(clock: Clock, silentAfterMs: number, onSilent: () => void): SilenceWatch {
  let heardMs = clock.nowMs();
  const check = (): void => {
    const left = heardMs + silentAfterMs - clock.nowMs();
    if (left <= 0) onSilent();
    else cancel = clock.after(left, check);
  };
  let cancel = clock.after(silentAfterMs, check);
  return {
    heard: () => {
      heardMs = clock.nowMs();
    },
    stop: () => cancel(),
  };
}
