/**
 * The only source of chance in the simulated rig: a seeded generator, so that one seed always gives the same trip.
 * The algorithm is sfc32 ("small fast counting", 32 bit, public domain; from memory).
 */
export interface Random {
  /** Evenly spread in [0, 1). */
  next(): number;
  /** Evenly spread in [low, high). */
  between(low: number, high: number): number;
  /** A whole number in [low, high], both included. */
  whole(low: number, high: number): number;
  /** Normally spread with mean 0 and standard deviation 1. */
  normal(): number;
  /** True with the given probability. */
  chance(probability: number): boolean;
  pick<T>(items: readonly T[]): T;
}

/** @param seed any whole number; only its low 32 bits count. */
export function seededRandom(seed: number): Random {
  let a = 0x9e3779b9;
  let b = 0x243f6a88;
  let c = seed | 0;
  let counter = 1;
  const step = (): number => {
    const t = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (((c << 21) | (c >>> 11)) + t) | 0;
    return (t >>> 0) / 4294967296;
  };
  // The first outputs still show the seed's bits.
  for (let i = 0; i < 15; i++) step();
  const random: Random = {
    next: step,
    between: (low, high) => low + (high - low) * step(),
    whole: (low, high) => low + Math.floor((high - low + 1) * step()),
    // Box and Muller's transform; 1 - u keeps the logarithm finite.
    normal: () => Math.sqrt(-2 * Math.log(1 - step())) * Math.cos(2 * Math.PI * step()),
    chance: (probability) => step() < probability,
    pick: (items) => items[Math.floor(items.length * step())]!,
  };
  return random;
}
