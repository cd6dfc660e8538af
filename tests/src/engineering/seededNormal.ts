/** Seeded chance for the tests of the statistics: the same numbers on every run. */
export function seededNormal(seed: number): () => number {
  let state = seed >>> 0;
  const uniform = (): number => {
    // mulberry32, public domain.
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return (((t ^ (t >>> 14)) >>> 0) + 0.5) / 4294967296;
  };
  return () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
}
