/** The steps around the expansion: screen-plugging tests, balls, hanger, depth tag. */
import type { MeasuredText } from '../measuredText.ts';
import type { CheckWork, Leg } from './checkWork.ts';
import type { Found } from './findings.ts';
import { kN, kPa, metres } from './measures.ts';

export function stepFindings(work: CheckWork): Found[] {
  return [...fluidTests(work), ...ballSeats(work), ...hangerSteps(work), ...hangerPulls(work), ...tag(work)];
}

const words = (text: MeasuredText) => (typeof text === 'string' ? [text] : text);

function fluidTests({ fluid }: CheckWork): Found[] {
  if (!fluid) return [];
  const { judgement, tests } = fluid;
  if (judgement) {
    if (judgement.verdict === 'pass') return [];
    const text = ['screen-plugging tests do not pass screenTests.rule: ', ...words(judgement.reason)];
    return [{ severity: 'stop', joint: null, text }];
  }
  const last = tests.at(-1);
  if (last && !last.passed) {
    return [{ severity: 'stop', joint: null, text: `the last screen-plugging test plugged coupon ${last.coupon}` }];
  }
  const text = 'screenTests.rule is not given: nothing says how many tests must pass';
  return [{ severity: 'warn', joint: null, text }];
}

/** A seat below the end of the string is taken for the end of the string. */
function ballSeats({ balls, legs }: CheckWork): Found[] {
  return balls.flatMap(({ ball, endDepthM }, i): Found[] => {
    const end = (ball.purpose === 'set hanger' ? legs[0] : legs.at(-1))?.target.endDepthM;
    if (end === undefined || endDepthM <= end) return [];
    const text = ['the seat of ball ', ball.name, ' at ', metres(ball.seatM), ` (balls[${i}].seat) is below the end `];
    return [{ severity: 'warn', joint: null, text: [...text, 'of the string, ', metres(end), ': taken as its end'] }];
  });
}

function hangerSteps({ basis }: CheckWork): Found[] {
  const { hanger, limits } = basis.job.engineering;
  return (hanger?.steps ?? []).flatMap(({ name, pressureKpa }, i): Found[] => {
    if (!(pressureKpa > limits.standpipeMaxKpa)) return [];
    const text = ['step ', name, ' at ', kPa(pressureKpa), ` (hanger.steps[${i}].pressure) is over `];
    return [{ severity: 'stop', joint: null, text: [...text, kPa(limits.standpipeMaxKpa), ' (limits.standpipe.max)'] }];
  });
}

/** Pull and push on the hanger, with the string as it hangs at the first joint to be expanded. */
function hangerPulls({ basis, legs }: CheckWork): Found[] {
  const { hanger, limits } = basis.job.engineering;
  const first = legs[0];
  if (!hanger?.pull || !first) return [];
  const { upKn, downKn } = hanger.pull;
  const pulled = first.weights.upKn + upKn;
  return [
    ...over(['pull to ', kN(pulled), ' with hanger.pull.up'], pulled, limits.hookloadMaxKn, 'limits.hookload.max'),
    ...over(['pull of ', kN(upKn), ' (hanger.pull.up)'], upKn, limits.overpullMaxKn, 'limits.overpull.max'),
    ...over(['push of ', kN(downKn), ' (hanger.pull.down)'], downKn, limits.setDownMaxKn, 'limits.setDown.max'),
    ...notAvailable('push', downKn, 'hanger.pull.down', first, limits.setDownMaxKn),
  ];
}

function over(what: Exclude<MeasuredText, string>, kn: number, limitKn: number, place: string): Found[] {
  if (!(kn > limitKn)) return [];
  return [{ severity: 'stop', joint: null, text: [...what, ' is over ', kN(limitKn), ` (${place})`] }];
}

/** Told only where the plan's own limit is not what ends it. */
function notAvailable(what: string, kn: number, place: string, { weights }: Leg, limitKn: number): Found[] {
  if (!(kn > weights.setDownKn) || weights.setDownKn >= limitKn) return [];
  const text = [
    `${what} of `,
    kN(kn),
    ` (${place}) is more than the `,
    kN(weights.setDownKn),
    ` that can be set down: ${weights.setDownEnds}`,
  ];
  return [{ severity: 'warn', joint: null, text }];
}

/** The shear device is a part of what was run: a tag that its window cannot bring onto the liner is a slip of the pen. */
function farFromLiner({ engineering, joints }: CheckWork['basis']['job']): Found[] {
  const { depthM, windowM } = engineering.depthTag!;
  const top = joints[0]!.top;
  const bottom = joints.at(-1)!.bottom;
  const outside = Math.max(top - depthM, depthM - bottom);
  if (!(outside > windowM)) return [];
  const where = depthM < top ? 'above' : 'below';
  const text = [metres(depthM), ' (depthTag.depth) is ', metres(outside), ` ${where} the liner, `, metres(top), ' to '];
  const than = [metres(bottom), ', more than ', metres(windowM), ' (depthTag.window)'];
  return [{ severity: 'warn', joint: null, text: ['the depth of the shear device, ', ...text, ...than] }];
}

/** The set-down that is to shear, with the string as it hangs at the joint nearest to the tag. */
function tag({ basis, legs }: CheckWork): Found[] {
  const { depthTag, limits } = basis.job.engineering;
  if (!depthTag) return [];
  const { setDownMinKn: kn } = depthTag;
  const what = ['set-down of ', kN(kn), ' (depthTag.setDown.min)'];
  const far = farFromLiner(basis.job);
  const end = depthTag.depthM + basis.job.tools[depthTag.tool]!.offsetM;
  const away = ({ target }: Leg): number => Math.abs(target.endDepthM - end);
  const [first, ...others] = legs;
  if (!first) return far;
  const nearest = others.reduce((least, leg) => (away(leg) < away(least) ? leg : least), first);
  return [
    ...far,
    ...over(what, kn, limits.setDownMaxKn, 'limits.setDown.max'),
    ...notAvailable('set-down', kn, 'depthTag.setDown.min', nearest, limits.setDownMaxKn),
  ];
}
