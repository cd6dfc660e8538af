/**
 * Which tool is at work on which joint. Both tools may lie inside joints of their recipes at once; the valve in the string
 * gives the pressure to one of them. Evidence, in this order: ground that is not yet expanded, a pressure inside the
 * recipe's window, what was at work before, the highest minimum that the pressure reaches.
 */
import { contains, firstOutside } from '../intervals.ts';
import type { Job, Joint, Recipe } from '../plan/job.ts';
import type { JointTally } from './jointTally.ts';
import { judgedKpa, type Pressures } from './judgedPressure.ts';

export interface Work {
  /** Index of the joint at work, -1 for none. */
  joint: number;
  tool: number;
  /** The ground under the tool is not expanded yet. */
  newGround: boolean;
  /** Since when it has been so without a break, ms; NaN while it is not. */
  newGroundMs: number;
  /** The joint that the tool has been rolling well, without a stop, until now; -1 for none. */
  rolling: number;
  /** Not at work: the tool that comes next and the joint that it is in, -1 outside the liner. */
  focusTool: number;
  focusJoint: number;
}

export function createWork(): Work {
  return { joint: -1, tool: -1, newGround: false, newGroundMs: Number.NaN, rolling: -1, focusTool: 0, focusJoint: -1 };
}

/** Below this share of the recipe's minimum, and without rotation, nobody means to expand (common practice). */
const INTENT_SHARE = 0.5;
const INTENT_RPM = 5;
/** A tool this near to its own joint may be the one that holds the pressure, m. */
const NEAR_M = 2;
/** An open edge at most this far ahead is the edge of the work, m. */
const AHEAD_M = 0.3;

export function jointAt(job: Job, depth: number): number {
  const { joints } = job;
  if (!(depth >= joints[0]!.top) || depth >= joints[joints.length - 1]!.bottom) return -1;
  let low = 0;
  let high = joints.length - 1;
  while (low < high) {
    const mid = (low + high + 1) >>> 1;
    if (joints[mid]!.top <= depth) low = mid;
    else high = mid - 1;
  }
  return low;
}

/** Index of the first joint whose bottom lies below `depth`; the number of joints when there is none. */
function firstReaching(job: Job, depth: number): number {
  let low = 0;
  let high = job.joints.length;
  while (low < high) {
    const mid = (low + high) >>> 1;
    if (job.joints[mid]!.bottom <= depth) low = mid + 1;
    else high = mid;
  }
  return low;
}

function fits(recipe: Recipe, pressures: Pressures): boolean {
  const pressure = judgedKpa(recipe, pressures);
  return pressure >= recipe.pressureMinKpa && pressure <= recipe.pressureMaxKpa;
}

/** Whether anybody means to expand with this recipe now. A bound that the plan leaves out is met. */
export function isIntended(recipe: Recipe, pressure: number, rotation: number): boolean {
  return (
    recipe.pressureMinKpa === -Infinity || pressure >= INTENT_SHARE * recipe.pressureMinKpa || rotation >= INTENT_RPM
  );
}

/** Unexpanded ground at the tool or just ahead of it. */
export function isAtOpenEdge(joint: Joint, tally: JointTally, depth: number): boolean {
  return firstOutside(tally.expanded, depth, joint.from, joint.to) <= depth + AHEAD_M;
}

function score(
  job: Job,
  tallies: readonly JointTally[],
  work: Work,
  joint: Joint,
  tool: number,
  depth: number,
  pressures: Pressures,
): number {
  const recipe = joint.recipe!;
  const open = isAtOpenEdge(joint, tallies[joint.index]!, depth);
  let points = open ? 8 : 0;
  if (fits(recipe, pressures)) points += 4;
  if (work.joint === joint.index && work.tool === tool) points += 2;
  if (judgedKpa(recipe, pressures) >= recipe.pressureMinKpa && isHighestReached(job, recipe, pressures)) points += 1;
  return points;
}

function isHighestReached(job: Job, recipe: Recipe, pressures: Pressures): boolean {
  const other = otherRecipe(job, recipe);
  return !other || judgedKpa(other, pressures) < other.pressureMinKpa || other.pressureMinKpa <= recipe.pressureMinKpa;
}

/**
 * Finds the work. `toolDepths`: corrected depth of each tool, m. A joint whose ground is already expanded is at work only
 * while the pressure reaches its minimum, or falls from it while the tool is rolling; one that is not, only while somebody
 * means to expand.
 */
export function findWork(
  work: Work,
  atMs: number,
  job: Job,
  tallies: readonly JointTally[],
  toolDepths: readonly number[],
  pressures: Pressures,
  rotation: number,
): void {
  let best = -1;
  let bestJoint = -1;
  let bestTool = -1;
  for (let tool = 0; tool < toolDepths.length; tool += 1) {
    const depth = toolDepths[tool]!;
    const index = jointAt(job, depth);
    if (index < 0) continue;
    const joint = job.joints[index]!;
    if (!joint.recipe?.tools.includes(tool) || depth < joint.from || depth >= joint.to) continue;
    const pressure = judgedKpa(joint.recipe, pressures);
    if (!isIntended(joint.recipe, pressure, rotation)) continue;
    if (isOthersPressure(job, joint.recipe, toolDepths, pressures)) continue;
    const open = isAtOpenEdge(joint, tallies[index]!, depth);
    // A pressure below the minimum is low pressure where the tool was rolling well until now, or has new ground under it and
    // no other tool has a claim on the pressure.
    const pressed = pressure >= joint.recipe.pressureMinKpa;
    if (!pressed && work.rolling !== index && (!open || isClaimed(job, joint.recipe, toolDepths, pressures))) continue;
    const points = score(job, tallies, work, joint, tool, depth, pressures);
    if (points > best) {
      best = points;
      bestJoint = index;
      bestTool = tool;
    }
  }
  const isNew = bestJoint >= 0 && !contains(tallies[bestJoint]!.expanded, toolDepths[bestTool]!);
  if (!isNew) work.newGroundMs = Number.NaN;
  else if (!work.newGround || work.joint !== bestJoint) work.newGroundMs = atMs;
  work.newGround = isNew;
  work.joint = bestJoint;
  work.tool = bestTool;
}

/** Sets the focus: the work, or the tool that has the shortest way down to ground of its own that is not expanded. */
export function findFocus(work: Work, job: Job, tallies: readonly JointTally[], toolDepths: readonly number[]): void {
  if (work.joint >= 0) {
    work.focusTool = work.tool;
    work.focusJoint = work.joint;
    return;
  }
  let nearest = Infinity;
  let tool = work.focusTool;
  let highest = Infinity;
  let deepest = -Infinity;
  for (const depth of toolDepths) {
    if (depth < highest) highest = depth;
    if (depth > deepest) deepest = depth;
  }
  const { joints } = job;
  // Joints lie one below the other: those above all tools hold no way down, and from some depth on all are farther off.
  // One more above, since depths are rounded.
  for (let i = Math.max(0, firstReaching(job, highest) - 1); i < joints.length; i += 1) {
    const joint = joints[i]!;
    if (joint.from - deepest >= nearest) break;
    if (!joint.recipe || joint.requiredM === 0) continue;
    for (const candidate of joint.recipe.tools) {
      const depth = toolDepths[candidate]!;
      const open = firstOutside(tallies[joint.index]!.expanded, depth, joint.from, joint.to);
      if (open - depth < nearest) {
        nearest = open - depth;
        tool = candidate;
      }
    }
  }
  work.focusTool = tool;
  work.focusJoint = jointAt(job, toolDepths[tool]!);
}

/** Whether ground of its own is left below any tool. The work goes down, so that the lowest joints are left the longest. */
export function isWorkLeft(job: Job, tallies: readonly JointTally[], toolDepths: readonly number[]): boolean {
  for (let i = job.joints.length - 1; i >= 0; i -= 1) {
    const { recipe, from, to } = job.joints[i]!;
    if (!recipe) continue;
    const { expanded } = tallies[i]!;
    for (const tool of recipe.tools)
      if (!Number.isNaN(firstOutside(expanded, toolDepths[tool]!, from, to))) return true;
  }
  return false;
}

const otherRecipe = (job: Job, recipe: Recipe): Recipe | undefined =>
  recipe.kind === 'isolation' ? job.recipes.screen : job.recipes.isolation;

/** Whether a tool of `recipe` is in or near one of its joints. */
function isNearItsJoint(job: Job, recipe: Recipe, toolDepths: readonly number[]): boolean {
  return job.joints.some(
    (joint) =>
      joint.recipe === recipe &&
      recipe.tools.some((tool) => toolDepths[tool]! > joint.from - NEAR_M && toolDepths[tool]! < joint.to + NEAR_M),
  );
}

/** Whether the pressure lies in the window of the other recipe, one of whose tools is in or near its own joint. */
function isClaimed(job: Job, recipe: Recipe, toolDepths: readonly number[], pressures: Pressures): boolean {
  const other = otherRecipe(job, recipe);
  return other !== undefined && fits(other, pressures) && isNearItsJoint(job, other, toolDepths);
}

/**
 * Whether a pressure above the recipe's window belongs to the other recipe: its window lies higher, and a tool of its own is
 * in or near one of its joints. The valve then has the pressure on that tool, on the way up to its window and down again.
 */
export function isOthersPressure(
  job: Job,
  recipe: Recipe,
  toolDepths: readonly number[],
  pressures: Pressures,
): boolean {
  if (!(judgedKpa(recipe, pressures) > recipe.pressureMaxKpa)) return false;
  const other = otherRecipe(job, recipe);
  if (!other || !(other.pressureMinKpa > recipe.pressureMaxKpa)) return false;
  if (judgedKpa(other, pressures) > other.pressureMaxKpa) return false;
  return isNearItsJoint(job, other, toolDepths);
}
