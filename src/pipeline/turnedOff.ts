/** What is not worked out on this run, and which part of the plan or of the stream it needs. */
import type { EngineeringLimits } from '../plan/engineering.ts';
import { periodMs } from './period.ts';
import { isPlanFarOff } from './pressureDrift.ts';
import type { Run } from './runState.ts';
import { STICK_SLIP_FRAME_MS } from './stickSlip.ts';

/** What the plan leaves out, and what cannot be worked out without it. */
export function turnedOff(run: Run): string[] {
  const { fluid, string, hole, survey, pumps, flowPath, depthTag, balls, hanger } = run.job.engineering;
  const lines: string[] = [];
  if (!fluid || string.length === 0) lines.push('pressure at the tool: needs string and fluid');
  else if (!run.toolPressure.model)
    lines.push("pressure at the tool: needs the fluid's dials, and that they make a flow curve");
  else if (!flowPath) lines.push('pressure at the tool from flow, washout, plugging, valve: needs flowPath');
  else if (hole.length === 0) lines.push('annulus losses count as none: needs hole');
  if (isPlanFarOff(run.toolPressure.drift))
    lines.push('washout and plugging: the nozzles and losses of the plan do not fit the readings');
  if (string.length === 0) lines.push('stretch of the string: needs string');
  if (hole.length === 0) lines.push('drag: needs hole');
  if (survey.length === 0) lines.push('the hole counts as vertical: needs survey');
  if (pumps.length === 0) lines.push('pump mismatch: needs surface.pumps');
  if (!depthTag) lines.push('depth tag: needs depthTag');
  if (balls.length === 0) lines.push('balls on their way: needs balls');
  if (!hanger) lines.push('pressure steps, push and pull, annulus test: needs hanger');
  const frameMs = periodMs(run.period);
  if (frameMs > STICK_SLIP_FRAME_MS)
    lines.push(`stick-slip: needs a frame a second, one comes every ${(frameMs / 1000).toFixed(0)} s`);
  const unlimited = [...(run.job.stall ? [] : ['stall']), ...notLimited(run.job.engineering.limits)];
  if (unlimited.length > 0) lines.push(`not judged, the plan gives no limit: ${unlimited.join(', ')}`);
  return lines;
}

/** Events that are raised only where the plan gives their limit. */
function notLimited(limits: EngineeringLimits): string[] {
  const names: string[] = [];
  if (limits.hookloadMaxKn === Infinity) names.push('high hookload');
  if (limits.overpullMaxKn === Infinity) names.push('overpull');
  if (limits.setDownMaxKn === Infinity) names.push('high set-down');
  if (limits.dwellMs === Infinity) names.push('long dwell');
  if (limits.stationaryMs === Infinity) names.push('long stationary');
  if (limits.connectionPressureMaxKpa === Infinity) names.push('pressure at connection');
  if (limits.overlapMinM === 0) names.push('short overlap');
  return names;
}
