/** Events about the depth readings themselves. */
import { EVENTS } from '../events.ts';
import type { Measure, MeasuredText } from '../measuredText.ts';
import type { DepthNote } from './endDepthState.ts';
import { changeEvent, logEvent } from './eventLog.ts';
import type { Run } from './runState.ts';

/** Reports what was refused or re-based of the depth; one event for one trouble. */
export function noteDepth(run: Run, note: DepthNote, atMs: number): void {
  const { events } = run;
  if (note.kind === 'fine') {
    if (run.depthEvent >= 0 && atMs - run.depthTroubleMs >= EVENTS['depth jump'].offDelayMs) {
      changeEvent(events, run.depthEvent, run.depthTroubleMs, events.events[run.depthEvent]!.detail);
      run.depthEvent = -1;
    }
    return;
  }
  run.depthTroubleMs = atMs;
  const size: Measure = { quantity: 'length', value: Math.abs(note.sizeM), decimals: 1 };
  const detail: MeasuredText =
    note.kind === 'spike'
      ? [`${note.of} off by `, size, ': reading refused']
      : note.kind === 'wrap'
        ? 'block position and end depth left together: encoder wrapped, movement counted on'
        : ['reported depth moved by ', size, ' without the block: taken as it is'];
  const joint = run.work.focusJoint >= 0 ? run.job.joints[run.work.focusJoint]!.name : null;
  if (run.depthEvent >= 0) {
    const worse = note.kind === 'spike' ? events.events[run.depthEvent]!.detail : detail;
    changeEvent(events, run.depthEvent, null, worse);
  } else
    run.depthEvent = logEvent(events, 'depth jump', joint, run.toolDepths[run.work.focusTool]!, atMs, null, detail);
}
