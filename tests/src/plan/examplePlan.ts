/** The plan that the file format shows as its example: whole, metric, with its engineering part. */
export const EXAMPLE_PLAN = {
  format: 'jointwise-plan/1',
  units: 'metric',
  job: { well: 'North 7', rig: 'Rig 12' },
  stream: { units: 'metric', utcOffset: '+00:00', nulls: [-999.25, -9999, -8888], gapAfter: 5 },
  liner: {
    top: 2410.0,
    joints: [
      { name: 'HG', kind: 'hanger', length: 9.2 },
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
      torque: { max: 16 },
    },
    screen: {
      tools: ['lower'],
      pressure: { at: 'standpipe', min: 7500, max: 11000 },
      rpm: { min: 15 },
      feed: { max: 2.0 },
      torque: { max: 12 },
    },
  },
  acceptance: { coverage: 0.97, longestGap: 0.3 },
  limits: { stall: { feed: 0.05, seconds: 30 } },
};

export const ENGINEERING_PART = {
  fluid: { density: 1180, dials: { '600': 38, '300': 24, '6': 4, '3': 3 } },
  string: [{ name: 'drill pipe', length: 2380, od: 127.0, id: 108.6, mass: 31.0 }],
  hole: [
    { from: 0, to: 2405, id: 220.5, friction: 0.25 },
    { from: 2405, to: 2530, id: 215.9, friction: 0.35 },
  ],
  survey: [
    { md: 0, inclination: 0, azimuth: 0 },
    { md: 2530, inclination: 62, azimuth: 140 },
  ],
  surface: { blockWeight: 180, pumps: [{ name: '1', displacement: 16.2 }] },
  flowPath: { shiftsAt: 1100, dischargeCoefficient: 0.95, low: { area: 140 }, high: { area: 117 } },
  depthTag: { depth: 2421.1, tool: 'upper', setDown: { min: 40 }, window: 5 },
};
