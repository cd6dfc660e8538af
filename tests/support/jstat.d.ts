/** The part of `jstat` that is used here: it ships no types of its own. Its module is one object. */
declare module 'jstat' {
  interface Distribution<Parameters extends number[]> {
    /** The value below which the share `p` of the distribution lies, 0 < p < 1; good to about eight digits. */
    inv(p: number, ...parameters: Parameters): number;
  }
  const jStat: {
    readonly studentt: Distribution<[degreesOfFreedom: number]>;
    readonly normal: Distribution<[mean: number, sd: number]>;
  };
  export default jStat;
}
