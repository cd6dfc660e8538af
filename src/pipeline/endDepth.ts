/**
 * The depth of the end of the string, from the reported end depth and the block position.
 *
 * D1 Out of slips the end depth and the block position add up to a constant; the finer of the two readings carries
 *    the depth, the other keeps it honest.
 * D2 A reading that leaves the line of movement while the other keeps it is refused for that sample, and reported.
 * D3 Both leaving it together, faster than a block can move, is an encoder that has wrapped: movement goes on being
 *    counted from where it was, until both come back.
 * D4 A disagreement that lasts is a new truth: the reported depth is taken as it is, and the jump is reported.
 * D5 After a stretch without data the reported depth is taken as it is.
 * D6 A block that goes on its way while the end depth stands, when the string may hang in the slips already, moves alone:
 *    the reported depth speaks, and what the block had carried away until that showed is put back.
 */
import { reachM } from './blockSpeed.ts';
import {
  blockCarries,
  type DepthNote,
  type EndDepth,
  learn,
  narrowSum,
  nearReported,
  restart,
  setSum,
  settle,
  sumHalfWidth,
  sumOf,
} from './endDepthState.ts';
import { jitterSigma } from './resolution.ts';
import type { Hanging } from './slips.ts';

/** Readings may differ by this much beyond their own resolution before they disagree, m. */
const AGREEMENT_M = 0.25;
/** Disagreement that lasts this long is no spike, ms. */
const SPIKE_LASTS_MS = 12_000;
/** A wrapped encoder that has not come back after this long is taken as it is, ms. */
const WRAP_LASTS_MS = 120_000;

const FINE: DepthNote = { kind: 'fine' };

/**
 * Works one sample in. `hanging`: in slips the string stands whatever the block does. `afterGap`: the last sample is too
 * old to predict from. Readings may be NaN. Returns what is to be reported; `state.depth` is NaN when nothing is known.
 */
export function advanceEndDepth(
  state: EndDepth,
  atMs: number,
  reportedRaw: number,
  blockRaw: number,
  hanging: Hanging,
  afterGap: boolean,
): DepthNote {
  const inSlips = hanging === 'slips';
  if (Number.isNaN(state.depth) || afterGap) {
    if (Number.isNaN(reportedRaw)) return FINE;
    const before = state.depth;
    const wasWrapped = state.wrap !== 0;
    restart(state, atMs, reportedRaw, blockRaw);
    state.stood = inSlips;
    learn(state, reportedRaw, blockRaw, false);
    return wasWrapped ? { kind: 'moved', sizeM: reportedRaw - before } : FINE;
  }
  unwrapIfBack(state, atMs, reportedRaw, blockRaw);
  const reported = reportedRaw - state.wrap;
  const block = blockRaw + state.wrap;
  const note = inSlips ? standInSlips(state, atMs, reported, block) : follow(state, atMs, reported, block, hanging);
  if (!Number.isNaN(reported) && note.kind !== 'spike') state.reported = reportedRaw - state.wrap;
  // A refused block reading is replaced by where the block must be: the next movement is measured from there.
  if (note.kind === 'spike' && note.of === 'block position') state.block = sumOf(state) - state.depth;
  else if (!Number.isNaN(block)) state.block = blockRaw + state.wrap;
  if (note.kind === 'fine') learn(state, reportedRaw, blockRaw, !inSlips);
  return note;
}

/** A wrapped encoder has come back where its own reading is in line again, and the one put right is not. */
function unwrapIfBack(state: EndDepth, atMs: number, reportedRaw: number, blockRaw: number): void {
  if (state.wrap === 0) return;
  const depth = Number.isNaN(reportedRaw) ? sumOf(state) - blockRaw : reportedRaw;
  const seconds = (atMs - state.atMs) / 1000;
  const expected = state.depth + state.speed * seconds;
  const gate = reachM(atMs - state.atMs);
  if (!(Math.abs(depth - expected) <= gate) || Math.abs(depth - state.wrap - expected) <= gate) return;
  state.wrap = 0;
  state.wrapSinceMs = Number.NaN;
}

/** In slips only the reported depth speaks; it stands, or shows that the string has left the slips unseen. */
function standInSlips(state: EndDepth, atMs: number, reported: number, block: number): DepthNote {
  const gate = reachM(atMs - state.atMs);
  const moved = reported - state.reported;
  const odd = Math.abs(moved) > gate;
  state.oddSinceMs = Number.NaN;
  state.blockOddSinceMs = Number.NaN;
  if (odd && Math.abs(block - state.block + moved) <= gate) {
    state.wrap += moved;
    state.wrapSinceMs = atMs;
    settle(state, atMs, state.depth);
    return { kind: 'wrap', sizeM: moved };
  }
  if (odd) {
    settle(state, atMs, state.depth);
    return { kind: 'spike', of: 'end depth', sizeM: moved };
  }
  const depth = state.stood ? state.depth + moved : nearReported(state, reported, state.depth);
  settle(state, atMs, Number.isNaN(moved) ? state.depth : depth);
  if (!Number.isNaN(moved)) state.stood = true;
  // A block reading that has leapt is left out; state.block keeps up with it, so that the next one counts.
  if (Math.abs(block - state.block) <= gate) setSum(state, state.depth + block, sumHalfWidth(state));
  return FINE;
}

function follow(state: EndDepth, atMs: number, reported: number, block: number, hanging: Hanging): DepthNote {
  state.stood = false;
  const sum = sumOf(state);
  const byBlock = sum - block;
  if (Number.isNaN(reported) && Number.isNaN(byBlock)) return FINE;
  const seconds = (atMs - state.atMs) / 1000;
  const expected = state.depth + state.speed * seconds;
  const gate = reachM(atMs - state.atMs);
  if (Number.isNaN(byBlock)) return followReported(state, atMs, reported, block, expected, gate);
  if (Number.isNaN(reported)) {
    return followOne(state, atMs, withoutReported(state, byBlock, expected), gate, 'block position');
  }
  const apart = reported - byBlock;
  if (Math.abs(apart) <= AGREEMENT_M + sumHalfWidth(state)) {
    return agree(state, atMs, reported, block, byBlock, gate);
  }
  if (hanging === 'either' && isBlockAlone(state, reported, block, gate))
    return standUnderBlock(state, atMs, reported, block);
  return disagree(state, atMs, reported, block, byBlock, expected, gate);
}

/** Neither reading has leapt, and the end depth stands by its own reading. */
function isBlockAlone(state: EndDepth, reported: number, block: number, gate: number): boolean {
  const step = state.reportedStep.step > 0 ? state.reportedStep.step : 0.01;
  const still = Math.abs(reported - state.reported) <= 1.5 * step + 4 * jitterSigma(state.jitter);
  return still && Math.abs(block - state.block) <= gate;
}

/** D6 */
function standUnderBlock(state: EndDepth, atMs: number, reported: number, block: number): DepthNote {
  state.oddSinceMs = Number.NaN;
  state.followedM = 0;
  settle(state, atMs, nearReported(state, reported, state.depth));
  setSum(state, state.depth + block, sumHalfWidth(state));
  return FINE;
}

/** The block is not read, or was not until now. */
function followReported(
  state: EndDepth,
  atMs: number,
  reported: number,
  block: number,
  expected: number,
  gate: number,
): DepthNote {
  if (!Number.isNaN(block)) {
    setSum(state, reported + block, sumHalfWidth(state));
    return followOne(state, atMs, reported, gate, 'end depth');
  }
  const depth = withoutBlock(state, reported, expected);
  const note = followOne(state, atMs, depth, gate, 'end depth');
  if (note === FINE) state.block = sumOf(state) - depth;
  return note;
}

/** Between two samples of a finer block the movement goes on as it was, as far as the coarser reading allows. */
function withoutBlock(state: EndDepth, reported: number, expected: number): number {
  return blockCarries(state) ? nearReported(state, reported, expected) : reported;
}

/** Between two samples of a finer end depth the movement goes on as it was, as far as the coarser block allows. */
function withoutReported(state: EndDepth, byBlock: number, expected: number): number {
  if (!(state.reportedStep.step < 0.7 * state.blockStep.step)) return byBlock;
  const half = sumHalfWidth(state);
  return Math.max(byBlock - half, Math.min(byBlock + half, expected));
}

/** Only one reading is there: it may move as fast as a block can. */
function followOne(
  state: EndDepth,
  atMs: number,
  depth: number,
  gate: number,
  of: 'end depth' | 'block position',
): DepthNote {
  const size = depth - state.depth;
  if (Math.abs(size) <= gate) {
    settle(state, atMs, depth);
    state.oddSinceMs = Number.NaN;
    return FINE;
  }
  if (Number.isNaN(state.oddSinceMs)) state.oddSinceMs = atMs;
  if (atMs - state.oddSinceMs < SPIKE_LASTS_MS) return { kind: 'spike', of, sizeM: size };
  restart(state, atMs, depth, Number.NaN);
  return { kind: 'moved', sizeM: size };
}

function agree(
  state: EndDepth,
  atMs: number,
  reported: number,
  block: number,
  byBlock: number,
  gate: number,
): DepthNote {
  const size = reported - state.depth;
  if (Math.abs(size) > gate) return wrapped(state, atMs, reported, size);
  state.oddSinceMs = Number.NaN;
  if (state.wrap !== 0) {
    if (atMs - state.wrapSinceMs > WRAP_LASTS_MS) {
      const added = state.wrap;
      restart(state, atMs, reported + added, block - added);
      return { kind: 'moved', sizeM: added };
    }
    settle(state, atMs, blockCarries(state) ? byBlock : reported);
    return { kind: 'wrap', sizeM: state.wrap };
  }
  narrowSum(state, reported + block);
  const depth = blockCarries(state) ? sumOf(state) - block : reported;
  const byBlockM = state.block - block;
  const byReportedM = Math.abs(reported - state.reported);
  if (byReportedM > 0) state.followedM = Math.min(1e6, state.followedM + byReportedM);
  state.blockOddSinceMs = Number.NaN;
  const carried = blockCarries(state);
  settle(state, atMs, depth);
  // Where the block lies between two samples is known better than where the sum lies.
  if (carried && !Number.isNaN(byBlockM)) state.advanceM = byBlockM;
  return FINE;
}

/** Both readings left together: the encoder has wrapped. */
function wrapped(state: EndDepth, atMs: number, reported: number, size: number): DepthNote {
  const expected = state.depth + (state.speed * (atMs - state.atMs)) / 1000;
  state.wrap += reported - expected;
  state.wrapSinceMs = atMs;
  settle(state, atMs, expected);
  return { kind: 'wrap', sizeM: size };
}

/** The readings contradict each other: the one that keeps the line of movement is believed, for a while. */
function disagree(
  state: EndDepth,
  atMs: number,
  reported: number,
  block: number,
  byBlock: number,
  expected: number,
  gate: number,
): DepthNote {
  const reportedOff = Math.abs(reported - expected);
  const blockOff = Math.abs(byBlock - expected);
  if (reportedOff <= blockOff) {
    // The block left: it moves while the string hangs in the slips, or its own reading is a spike.
    if (Number.isNaN(state.blockOddSinceMs)) state.blockOddSinceMs = atMs;
    const lasts = atMs - state.blockOddSinceMs >= SPIKE_LASTS_MS;
    if (lasts) state.followedM = 0;
    state.oddSinceMs = Number.NaN;
    const isSpike = !lasts && Math.abs(block - state.block) > gate;
    if (reportedOff <= gate) {
      settle(state, atMs, withoutBlock(state, reported, expected));
      if (!isSpike) setSum(state, reported + block, sumHalfWidth(state));
    }
    return isSpike ? { kind: 'spike', of: 'block position', sizeM: block - state.block } : FINE;
  }
  if (Number.isNaN(state.oddSinceMs)) state.oddSinceMs = atMs;
  const size = reported - expected;
  if (atMs - state.oddSinceMs >= SPIKE_LASTS_MS) {
    restart(state, atMs, reported, block);
    return { kind: 'moved', sizeM: size };
  }
  if (blockOff <= gate) settle(state, atMs, withoutReported(state, byBlock, expected));
  return { kind: 'spike', of: 'end depth', sizeM: size };
}
