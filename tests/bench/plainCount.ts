/**
 * The arithmetic of a recount without anything around it: every sample once, depth of each tool, feed over the last samples,
 * the recipe's bounds, metres and pressures of the joint. No phases, events, sensors, gaps or roundings: the least that any
 * count must do, to hold the pipeline against.
 */
import { CHANNEL_INDEX } from '../../src/channels.ts';
import type { Job } from '../../src/plan/job.ts';
import type { SampleColumns } from '../../src/replay/sampleColumns.ts';

const FEED_WINDOW = 16;

export interface PlainJoint {
  metres: number;
  failed: number;
  least: number;
  greatest: number;
  sum: number;
  samples: number;
}

export function plainCount(job: Job, { rows, sourceMs, channels }: SampleColumns): PlainJoint[] {
  const joints = job.joints.map(() => ({
    metres: 0,
    failed: 0,
    least: Infinity,
    greatest: -Infinity,
    sum: 0,
    samples: 0,
  }));
  const depths = channels[CHANNEL_INDEX.bitDepth]!;
  const pressures = channels[CHANNEL_INDEX.standpipePressure]!;
  const rotations = channels[CHANNEL_INDEX.rotation]!;
  const torques = channels[CHANNEL_INDEX.torque]!;
  const hookloads = channels[CHANNEL_INDEX.hookload]!;
  const flows = channels[CHANNEL_INDEX.flowIn]!;
  const deepest = job.tools.map(() => -Infinity);
  const at = job.tools.map(() => 0);
  let weight = Number.NaN;
  let losses = 0;
  for (let row = 1; row < rows; row += 1) {
    const depth = depths[row]!;
    const kpa = pressures[row]!;
    const from = Math.max(0, row - FEED_WINDOW);
    const feed = ((depth - depths[from]!) / (sourceMs[row]! - sourceMs[from]!)) * 60_000;
    if (rotations[row]! > 0 && kpa < 1000)
      weight = Number.isNaN(weight) ? hookloads[row]! : 0.99 * weight + 0.01 * hookloads[row]!;
    losses = 0.99 * losses + 0.01 * flows[row]! * flows[row]!;
    for (let tool = 0; tool < job.tools.length; tool += 1) {
      const contact = depth - job.tools[tool]!.offsetM;
      if (!(contact > deepest[tool]!)) continue;
      const step = deepest[tool] === -Infinity ? 0 : contact - deepest[tool]!;
      deepest[tool] = contact;
      let index = at[tool]!;
      while (index < job.joints.length - 1 && job.joints[index]!.bottom <= contact) index += 1;
      at[tool] = index;
      const joint = job.joints[index]!;
      const { recipe } = joint;
      if (!recipe?.tools.includes(tool) || contact < joint.from || contact > joint.to) continue;
      const tally = joints[index]!;
      const good =
        kpa >= recipe.pressureMinKpa &&
        rotations[row]! >= recipe.rpmMin &&
        feed <= recipe.feedMaxMPerMin &&
        torques[row]! <= recipe.torqueMaxKnm;
      if (good) tally.metres += step;
      else tally.failed += step;
      tally.least = Math.min(tally.least, kpa);
      tally.greatest = Math.max(tally.greatest, kpa);
      tally.sum += kpa;
      tally.samples += 1;
    }
  }
  // Both are used, so that the engine leaves neither out.
  if (weight + losses === -1) throw new Error('never');
  return joints;
}
