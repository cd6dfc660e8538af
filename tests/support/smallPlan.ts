/** The smallest plan with everything in it: one isolation joint, one blank, one screen, two tools. Invented. */
export const SMALL_PLAN = {
  format: 'jointwise-plan/1',
  units: 'metric',
  job: { well: 'Test well', rig: 'Test rig' },
  stream: { units: 'metric', utcOffset: '+00:00', nulls: [-999.25], gapAfter: 5 },
  liner: {
    top: 1000,
    joints: [
      { name: 'Z1', kind: 'isolation', length: 7.4, expandFrom: 0.9, expandTo: 6.5, zone: 'A' },
      { name: 'B1', kind: 'blank', length: 11.9 },
      { name: 'S1', kind: 'screen', length: 11.6, expandFrom: 0.6, expandTo: 11.1, zone: 'A' },
    ],
  },
  tools: [
    { name: 'upper', offset: 5.4 },
    { name: 'lower', offset: 1.1 },
  ],
  recipes: {
    isolation: {
      tools: ['upper'],
      pressure: { at: 'standpipe', min: 16000, max: 22000 },
      rpm: { min: 15 },
      feed: { max: 1.5 },
    },
    screen: {
      tools: ['lower'],
      pressure: { at: 'standpipe', min: 7500, max: 11000 },
      rpm: { min: 15 },
      feed: { max: 2 },
    },
  },
  acceptance: { coverage: 0.97, longestGap: 0.3 },
  limits: { stall: { feed: 0.05, seconds: 30 } },
};
