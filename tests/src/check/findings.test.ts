/** Every finding from a plan that causes it: its severity, its joint, and the number, the limit and the limit's place in it. */
import { describe, expect, it } from 'vitest';
import { type Finding, SEVERITIES } from '../../../src/check/checkSchema.ts';
import { checkOf, demoLog, demoPlan, fieldPlan, type LoosePlan, rowOf } from './checkOf.ts';

interface Case {
  readonly name: string;
  readonly change: (plan: LoosePlan) => unknown;
  readonly severity: Finding['severity'];
  readonly joint: string | null;
  readonly says: RegExp;
  readonly log?: string;
}

/** A log of one diameter over the whole liner. */
const evenLog = (mm: number): string => `DEPTH (m),CAL (mm)\n2400,${mm}\n2450,${mm}\n2500,${mm}\n2550,${mm}\n`;

const CASES: readonly Case[] = [
  {
    name: 'an isolation joint whose flow does not shift the valve',
    change: (plan) => Object.assign(plan.flowPath, { shiftsAt: 1300 }),
    severity: 'stop',
    joint: 'Z1',
    says: /^flow 1118 L\/min for standpipe pressure 19000 kPa \(middle of recipes\.isolation\.pressure\) on the high path is under 1300 L\/min .*flowPath\.shiftsAt/,
  },
  {
    name: 'a screen whose flow shifts the valve',
    change: (plan) => Object.assign(plan.flowPath, { shiftsAt: 800 }),
    severity: 'stop',
    joint: 'S1',
    says: /^flow 896 L\/min .*low path is not under 800 L\/min/,
  },
  {
    name: 'a part of the window on the wrong side of the valve',
    change: () => {},
    severity: 'note',
    joint: 'Z2',
    says: /^under 168\d\d kPa the flow is under 1050 L\/min \(flowPath\.shiftsAt\), and recipes\.isolation\.pressure reaches down to 16000 kPa/,
  },
  {
    name: 'a part of the screen window that shifts the valve',
    change: (plan) => Object.assign(plan.recipes.screen.pressure, { min: 7500, max: 15_000 }),
    severity: 'note',
    joint: 'S1',
    says: /^from 12\d\d\d kPa the flow is not under 1050 L\/min .*reaches up to 15000 kPa/,
  },
  {
    name: 'a pressure that does not make the fluid move',
    change: (plan) => {
      plan.fluid.dials = { 600: 250, 300: 240, 200: 236, 100: 232, 6: 228, 3: 227 };
      plan.recipes.screen.pressure = { at: 'standpipe', min: 1, max: 2 };
    },
    severity: 'stop',
    joint: 'S1',
    says: /^pressure 2 kPa \(recipes\.screen\.pressure\) does not make the fluid of fluid\.dials move/,
  },
  {
    name: 'a standpipe pressure over the limit',
    change: (plan) => Object.assign(plan.limits.standpipe, { max: 18_000 }),
    severity: 'stop',
    joint: 'Z2',
    says: /^standpipe pressure 19000 kPa is over 18000 kPa \(limits\.standpipe\.max\)/,
  },
  {
    name: 'a density while circulating over the limit',
    change: (plan) => Object.assign(plan.limits.ecd, { max: 1204 }),
    severity: 'stop',
    joint: 'Z1',
    says: /^equivalent circulating density 1205\.\d\d kg\/m³ is over 1204\.00 kg\/m³ \(limits\.ecd\.max\)/,
  },
  {
    name: 'windows that overlap',
    change: (plan) => Object.assign(plan.recipes.screen.pressure, { max: 16_500 }),
    severity: 'warn',
    joint: null,
    says: /^the windows overlap: screens up to 16500 kPa \(recipes\.screen\.pressure\.max\), isolation joints from 16000 kPa/,
  },
  {
    name: 'a window without a bound',
    change: (plan) => Object.assign(plan.recipes.screen, { pressure: { at: 'standpipe' } }),
    severity: 'warn',
    joint: null,
    says: /^recipes\.screen\.pressure sets no bound: flow and pressures of these joints cannot be worked out/,
  },
  {
    name: 'a window with one bound',
    change: (plan) => Object.assign(plan.recipes.screen, { pressure: { at: 'standpipe', min: 7500 } }),
    severity: 'note',
    joint: null,
    says: /^recipes\.screen\.pressure has only min 7500 kPa: aimed at/,
  },
  {
    name: 'a hookload over the limit',
    change: (plan) => Object.assign(plan.limits.hookload, { max: 790 }),
    severity: 'stop',
    joint: 'S6',
    says: /^hookload up 79\d\.\d kN is over 790\.0 kN \(limits\.hookload\.max\)/,
  },
  {
    name: 'an overpull that would pass the hookload',
    change: (plan) => Object.assign(plan.limits.hookload, { max: 900 }),
    severity: 'warn',
    joint: 'S6',
    says: /^hookload up 79\d\.\d kN leaves 10\d\.\d kN of pull to 900\.0 kN \(limits\.hookload\.max\), less than 150\.0 kN \(limits\.overpull\.max\)/,
  },
  {
    name: 'a torque over the recipe',
    change: (plan) => Object.assign(plan.recipes.screen.torque, { max: 2 }),
    severity: 'stop',
    joint: 'S1',
    says: /^torque 2\.38 kN·m turning free off bottom is over 2\.00 kN·m \(recipes\.screen\.torque\.max\)/,
  },
  {
    name: 'a string in waves before the set-down limit',
    change: (plan) => Object.assign(plan.limits.setDown, { max: 80 }),
    severity: 'warn',
    joint: 'Z1',
    says: /^set-down ends by buckling at 61\.\d kN, before 80\.0 kN \(limits\.setDown\.max\)/,
  },
  {
    name: 'friction that takes all weight',
    change: (plan) => {
      plan.survey = [
        { md: 0, inclination: 0, azimuth: 0 },
        { md: 300, inclination: 85, azimuth: 0 },
        { md: 2545, inclination: 88, azimuth: 0 },
      ];
      for (const part of plan.hole) part.friction = 0.5;
    },
    severity: 'stop',
    joint: 'S6',
    says: /^no weight can be set down on the tool: (friction takes all of its weight|the string is in waves)/,
  },
  {
    name: 'screen tests that fail the rule',
    change: (plan) => Object.assign(plan.screenTests.tests[3], { result: 'plugged' }),
    severity: 'stop',
    joint: null,
    says: /^screen-plugging tests do not pass screenTests\.rule: 0 of 3 good tests in a row: test 4 plugged after .*rule job programme/,
  },
  {
    name: 'too few screen tests',
    change: (plan) => {
      plan.screenTests.tests = plan.screenTests.tests.slice(2);
    },
    severity: 'stop',
    joint: null,
    says: /^screen-plugging tests do not pass screenTests\.rule: 2 of 3 good tests in a row/,
  },
  {
    name: 'a plugged coupon without a rule',
    change: (plan) => {
      plan.screenTests.tests = plan.screenTests.tests.slice(0, 1);
      delete plan.screenTests.rule;
    },
    severity: 'stop',
    joint: null,
    says: /^the last screen-plugging test plugged coupon screen lot 4/,
  },
  {
    name: 'screen tests without a rule',
    change: (plan) => delete plan.screenTests.rule,
    severity: 'warn',
    joint: null,
    says: /^screenTests\.rule is not given/,
  },
  {
    name: 'a ball seat below the string',
    change: (plan) => Object.assign(plan.balls[1], { seat: 2520 }),
    severity: 'warn',
    joint: null,
    says: /^the seat of ball sub ball at 2520\.00 m \(balls\[1\]\.seat\) is below the end of the string, 2510\.50 m/,
  },
  {
    name: 'a hanger step over the standpipe limit',
    change: (plan) => Object.assign(plan.hanger.steps[1], { pressure: 26_000 }),
    severity: 'stop',
    joint: null,
    says: /^step packer at 26000 kPa \(hanger\.steps\[1\]\.pressure\) is over 25000 kPa \(limits\.standpipe\.max\)/,
  },
  {
    name: 'a pull over the hookload limit',
    change: (plan) => Object.assign(plan.hanger.pull, { up: 400 }),
    severity: 'stop',
    joint: null,
    says: /^pull to 118\d\.\d kN with hanger\.pull\.up is over 1100\.0 kN \(limits\.hookload\.max\)/,
  },
  {
    name: 'a pull over the overpull limit',
    change: (plan) => Object.assign(plan.hanger.pull, { up: 160 }),
    severity: 'stop',
    joint: null,
    says: /^pull of 160\.0 kN \(hanger\.pull\.up\) is over 150\.0 kN \(limits\.overpull\.max\)/,
  },
  {
    name: 'a push over the set-down limit',
    change: (plan) => Object.assign(plan.hanger.pull, { down: 65 }),
    severity: 'stop',
    joint: null,
    says: /^push of 65\.0 kN \(hanger\.pull\.down\) is over 60\.0 kN \(limits\.setDown\.max\)/,
  },
  {
    name: 'a push that is more than can be set down',
    change: (plan) => {
      plan.hanger.pull.down = 90;
      plan.limits.setDown.max = 100;
    },
    severity: 'warn',
    joint: null,
    says: /^push of 90\.0 kN \(hanger\.pull\.down\) is more than the 61\.\d kN that can be set down: buckling/,
  },
  {
    name: 'a tag over the set-down limit',
    change: (plan) => Object.assign(plan.depthTag.setDown, { min: 70 }),
    severity: 'stop',
    joint: null,
    says: /^set-down of 70\.0 kN \(depthTag\.setDown\.min\) is over 60\.0 kN \(limits\.setDown\.max\)/,
  },
  {
    name: 'a tag that is more than can be set down',
    change: (plan) => {
      plan.depthTag.setDown.min = 90;
      plan.limits.setDown.max = 100;
    },
    severity: 'warn',
    joint: null,
    says: /^set-down of 90\.0 kN \(depthTag\.setDown\.min\) is more than the 61\.\d kN/,
  },
  {
    name: 'a shear device below the liner',
    change: (plan) => Object.assign(plan.depthTag, { depth: 2533.2 }),
    severity: 'warn',
    joint: null,
    // The liner ends 118.15 m below its top at 2410.00.
    says: /^the depth of the shear device, 2 ?533\.20 m \(depthTag\.depth\) is 5\.05 m below the liner, 2 ?410\.00 m to 2 ?528\.15 m, more than 5\.00 m \(depthTag\.window\)$/,
  },
  {
    name: 'a shear device above the liner',
    change: (plan) => Object.assign(plan.depthTag, { depth: 1421.1 }),
    severity: 'warn',
    joint: null,
    says: /^the depth of the shear device, 1 ?421\.10 m \(depthTag\.depth\) is 988\.90 m above the liner/,
  },
  {
    name: 'a joint over gauge',
    change: () => {},
    severity: 'warn',
    joint: 'Z2',
    says: /^14\.3 % of the length is over gauge, more than 222\.00 mm \(tools\[0\]\.range\)/,
    log: demoLog(),
  },
  {
    name: 'a tight joint',
    change: () => {},
    severity: 'warn',
    joint: 'S3',
    says: /^4\.2 % of the length is tight, less than 204\.00 mm \(tools\[1\]\.range\)/,
    log: demoLog(),
  },
  {
    name: 'an isolation joint without contact',
    change: () => {},
    severity: 'warn',
    joint: 'Z1',
    // (224 − 205) / 2 = 9.5 mm for 8 mm of elastomer.
    says: /^100\.0 % of the logged length is left without contact, the widest gap 9\.50 mm/,
    log: evenLog(224),
  },
  {
    name: 'a joint without a log',
    change: () => {},
    severity: 'warn',
    joint: 'S6',
    says: /^100\.0 % of the length has no caliper log/,
    log: 'DEPTH (m),CAL (mm)\n2400,216\n2430,216\n2460,216\n2490,216\n',
  },
  {
    name: 'a better shift',
    change: () => {},
    severity: 'warn',
    joint: null,
    says: /^isolation joints have 10\.40 m of 11\.20 m in gauge; the liner 0\.80 m higher has 11\.20 m \(the best within ± 3\.00 m\)/,
    log: demoLog(),
  },
  {
    name: 'rows of the log that were refused',
    change: () => {},
    severity: 'warn',
    joint: null,
    says: /^rows of the caliper log that were refused: 1$/,
    log: `${evenLog(216)}2600,wide\n`,
  },
  {
    name: 'a tool without a range',
    change: (plan) => delete plan.tools[1].range,
    severity: 'note',
    joint: 'S1',
    says: /^tools\[1\]\.range of lower is not given/,
    log: evenLog(216),
  },
  {
    name: 'a joint without its diameter',
    change: (plan) => delete plan.liner.joints[3].od,
    severity: 'note',
    joint: 'S1',
    says: /^not given: liner\.joints\[3\]\.od: annular volume closed/,
    log: evenLog(216),
  },
  {
    name: 'an elastomer without an expanded diameter',
    change: (plan) => delete plan.liner.joints[2].expandedOd,
    severity: 'note',
    joint: 'Z1',
    says: /^not given: liner\.joints\[2\]\.expandedOd: squeeze/,
    log: evenLog(216),
  },
  {
    name: 'an isolation joint without its elastomer',
    change: (plan) => delete plan.liner.joints[2].elastomer,
    severity: 'note',
    joint: 'Z1',
    says: /^not given: liner\.joints\[2\]\.elastomer: squeeze/,
    log: evenLog(216),
  },
  {
    name: 'a depth that no well has',
    change: (plan) => Object.assign(plan.liner, { top: 241_000 }),
    severity: 'stop',
    joint: 'Z1',
    says: /^not worked out: the string ends at 241030\.20 m, expected at most 15000\.00 m/,
  },
  {
    name: 'a pressure that no pump has',
    change: (plan) => Object.assign(plan.recipes.screen.pressure, { max: 11e6 }),
    severity: 'stop',
    joint: 'S1',
    says: /^not worked out: recipes\.screen\.pressure 5503750 kPa, expected at most 500000 kPa/,
  },
  {
    name: 'a string that is too short',
    change: (plan) => Object.assign(plan.string[0], { length: 2350 }),
    severity: 'warn',
    joint: 'S6',
    says: /^the string is 2470\.00 m long, 40\.50 m short of its end at 2510\.50 m: the rest is taken as more of drill pipe/,
  },
  {
    name: 'a hole that ends above the tool',
    change: (plan) => Object.assign(plan.hole[1], { to: 2500 }),
    severity: 'warn',
    joint: 'S6',
    says: /^no hole section covers 10\.50 m of the string \(hole ends at 2500\.00 m\): friction of the nearest/,
  },
  {
    name: 'an annulus that is not known',
    change: (plan) => Object.assign(plan.hole[1], { to: 2500 }),
    severity: 'warn',
    joint: 'S6',
    says: /^around 10\.50 m of the string no hole section is wider than it/,
  },
  {
    name: 'a survey that ends above the liner',
    change: (plan) => plan.survey.pop(),
    severity: 'warn',
    joint: 'SH',
    says: /^the survey ends at 2405\.00 m, above the end of the liner at 2528\.15 m: the hole is taken as straight/,
  },
  {
    name: 'a section lighter than plain pipe',
    change: (plan) => Object.assign(plan.string[0], { mass: 20 }),
    severity: 'warn',
    joint: null,
    // π/4 × (127² − 108.6²) mm² × 7,848.6 kg/m³ = 26.72 kg/m.
    says: /^drill pipe weighs 20\.00 kg\/m \(string\[0\]\.mass\), less than plain pipe of its od and id, 26\.72 kg\/m/,
  },
  {
    name: 'a tool joint that does not pass the hole',
    change: (plan) => Object.assign(plan.string[1], { toolJoint: 216 }),
    severity: 'stop',
    joint: null,
    says: /^inner string is 216\.00 mm wide \(string\), the hole from 2405\.00 m 215\.90 mm \(hole\)/,
  },
  {
    name: 'dials that make no curve',
    change: (plan) => Object.assign(plan.fluid, { dials: { 600: 10, 300: 20 } }),
    severity: 'warn',
    joint: null,
    says: /^fluid\.dials: dial 600 is not above dial 300: no flow curve/,
  },
  {
    name: 'a dial at a speed that is not read',
    change: (plan) => Object.assign(plan.fluid.dials, { 450: 31 }),
    severity: 'note',
    joint: null,
    says: /^fluid\.dials\.450: a speed that is not read here/,
  },
  ...['string', 'fluid', 'hole', 'flowPath', 'temperature', 'balls', 'hanger', 'screenTests', 'depthTag'].map(
    (part): Case => ({
      name: `no ${part}`,
      change: (plan) => delete plan[part],
      severity: ['string', 'fluid', 'hole', 'flowPath'].includes(part) ? 'warn' : 'note',
      joint: null,
      says: new RegExp(`^not given: ${part}: `),
    }),
  ),
  {
    name: 'no dials',
    change: (plan) => delete plan.fluid.dials,
    severity: 'warn',
    joint: null,
    says: /^not given: fluid\.dials: pressure losses/,
  },
  {
    name: 'no pumps',
    change: (plan) => delete plan.surface.pumps,
    severity: 'note',
    joint: null,
    says: /^not given: surface\.pumps: strokes/,
  },
  { name: 'no log', change: () => {}, severity: 'note', joint: null, says: /^not given: caliper log: / },
  {
    name: 'nothing to expand',
    change: (plan) => {
      plan.liner.joints = plan.liner.joints.filter(({ kind }: LoosePlan) => kind === 'blank');
    },
    severity: 'warn',
    joint: null,
    says: /^no joint of the liner is to be expanded/,
  },
  {
    name: 'limits that are not set',
    change: (plan) => {
      delete plan.limits;
      delete plan.recipes.screen.torque;
    },
    severity: 'note',
    joint: null,
    says: /^not judged, the plan sets no limit: limits\.hookload\.max, limits\.overpull\.max, limits\.setDown\.max, limits\.standpipe\.max, limits\.ecd\.max, recipes\.screen\.torque\.max/,
  },
  {
    name: 'no survey',
    change: (plan) => delete plan.survey,
    severity: 'note',
    joint: null,
    says: /^default to be confirmed: survey 0, inclination: the hole is taken as vertical/,
  },
  {
    name: 'no block weight',
    change: (plan) => delete plan.surface.blockWeight,
    severity: 'note',
    joint: null,
    says: /^default to be confirmed: surface\.blockWeight 0 kN/,
  },
];

const found = ({ change, log }: Case): Finding[] => {
  const plan = demoPlan();
  change(plan);
  return checkOf(plan, log).findings;
};

describe('findings', () => {
  it.each(CASES)('$name', (one) => {
    const matching = found(one).filter(({ text }) => one.says.test(text));
    expect(matching.map(({ severity, joint }) => ({ severity, joint }))).toContainEqual({
      severity: one.severity,
      joint: one.joint,
    });
  });

  it('are not made by a plan that does not cause them', () => {
    const clean = checkOf(demoPlan(), evenLog(216)).findings;
    expect(clean.filter(({ severity }) => severity !== 'note')).toEqual([]);
    const always = ['a part of the window on the wrong side of the valve'];
    for (const { name, says } of CASES) {
      if (always.includes(name)) continue;
      expect(
        clean.filter(({ text }) => says.test(text)),
        name,
      ).toEqual([]);
    }
  });

  it('come most severe first', () => {
    const plan = demoPlan();
    plan.limits.hookload.max = 790;
    const severities = checkOf(plan, demoLog()).findings.map(({ severity }) => SEVERITIES.indexOf(severity));
    expect(new Set(severities).size).toBe(3);
    expect(severities).toEqual([...severities].sort());
  });

  it('name numbers in the units of the plan', () => {
    const plan = fieldPlan(10_000, { limits: { hookload: { max: 100 } } });
    const said = checkOf(plan).findings.find(({ severity }) => severity === 'stop')!;
    const { up } = rowOf(checkOf(plan), 'S1').hookload;
    expect(said.text).toBe(`hookload up ${up!.toFixed(1)} klbf is over 100.0 klbf (limits.hookload.max)`);
  });

  it('a null in the roadmap has a finding that names the missing part', () => {
    for (const part of ['string', 'fluid', 'hole', 'flowPath']) {
      const plan = demoPlan();
      delete plan[part];
      const check = checkOf(plan);
      const row = check.roadmap[0]!;
      const values = [row.flow, row.tool, row.ecd, row.torque, row.hookload.up];
      expect(
        values.some((value) => value === null),
        part,
      ).toBe(true);
      expect(
        check.findings.some(({ text }) => text.startsWith(`not given: ${part}: `)),
        part,
      ).toBe(true);
    }
  });
});
