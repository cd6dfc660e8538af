/** What is signed, on the demo trip with a journal in which people did something of every kind. */
import { createHash } from 'node:crypto';
import { beforeAll, describe, expect, it } from 'vitest';
import type { JournalEntry } from '../../../src/journal/journalSchema.ts';
import type { Plan } from '../../../src/plan/planSchema.ts';
import { recordOf } from '../../../src/record/record.ts';
import type { RunRecord } from '../../../src/record/recordSchema.ts';
import { workWhole } from '../../../src/replay/course.ts';
import { partHashes, type SignatureState, signaturesOf, versionOf } from '../../../src/signing/signatures.ts';
import type { SignEntry } from '../../../src/signing/signEntry.ts';
import { type SignBasis, signedText } from '../../../src/signing/signedText.ts';
import { SUBJECT_NAMES, SUBJECTS, type SubjectName } from '../../../src/signing/subjects.ts';
import { busyJournal, demoCourse, type ReadCourse } from '../../support/demoCourse.ts';

const sha256 = (text: string): string => createHash('sha256').update(text).digest('hex');

let read: ReadCourse;
let demo: SignBasis;
beforeAll(async () => {
  read = await demoCourse();
  const { samples } = read.course;
  const fromMs = samples.sourceMs[0]!;
  const entries = busyJournal(read.course.plan, fromMs, samples.sourceMs[samples.rows - 1]! - fromMs, 2421);
  const { run, plan } = workWhole({ ...read.course, entries });
  demo = { plan, record: recordOf(run, read.source), entries };
});

const basis = (change: { plan?: (plan: Plan) => void; record?: (record: RunRecord) => void } = {}): SignBasis => {
  const copy = structuredClone(demo) as { plan: Plan; record: RunRecord; entries: JournalEntry[] };
  change.plan?.(copy.plan);
  change.record?.(copy.record);
  return copy;
};
const OF: Partial<Record<SubjectName, string>> = { joint: 'S2', handover: '1' };
const textOf = (subject: SubjectName, at: SignBasis = demo) => signedText(subject, OF[subject] ?? null, at)!;
const SIGNED = SUBJECT_NAMES.filter((name) => name !== 'handover');

/** Signs as the service does. */
function sign(subject: SubjectName, at: SignBasis, more: Partial<SignEntry> = {}): SignEntry {
  const signed = textOf(subject, at);
  return {
    at: at.record.source.to,
    by: 'A. Person',
    action: 'sign',
    role: 'company man',
    subject,
    ...(signed.of === null ? {} : { of: signed.of }),
    version: 1,
    hash: sha256(signed.text),
    parts: partHashes(signed.parts, sha256),
    ...(signed.seen ? { seen: signed.seen } : {}),
    rigTime: at.record.source.to,
    signedAt: at.record.source.to,
    ...more,
  };
}
const judged = (at: SignBasis, signs: SignEntry[], later: JournalEntry[] = []): SignatureState[] =>
  signaturesOf({ ...at, entries: [...at.entries, ...signs, ...later] }, sha256);

describe('the text', () => {
  it.each(SIGNED)('%s: the same facts make the same bytes', (subject) => {
    const turned = JSON.parse(JSON.stringify(demo), (_key, value) =>
      typeof value === 'object' && value !== null && !Array.isArray(value)
        ? Object.fromEntries(Object.entries(value).reverse())
        : value,
    ) as SignBasis;
    expect(textOf(subject).text.length).toBeGreaterThan(100);
    expect(textOf(subject, turned).text).toBe(textOf(subject).text);
    expect(textOf(subject, basis()).text).toBe(textOf(subject).text);
  });

  it('names subject, well, rig, units and where the run began', () => {
    for (const subject of SIGNED) {
      const { text } = textOf(subject);
      expect(text).toContain(`subject = "${subject}"`);
      expect(text).toContain(`well = ${JSON.stringify(demo.plan.job!.well)}`);
      expect(text).toContain(`units = "${demo.plan.units}"`);
      expect(text).toContain(`begun = "${demo.record.source.from}"`);
    }
  });

  it('limits: every bound of the plan stands in it, and each that is another makes it another', () => {
    const { text } = textOf('limits');
    expect(text).toContain(`screen.pressure.max = ${demo.plan.recipes.screen!.pressure!.max}`);
    expect(text).toContain('screen.rpm.min = 20');
    const changes: ((plan: Plan) => void)[] = [
      (plan) => {
        plan.recipes.screen!.pressure!.max! += 1;
      },
      (plan) => {
        plan.recipes.isolation!.feed!.max! += 0.01;
      },
      (plan) => {
        plan.acceptance!.coverage! -= 0.01;
      },
      (plan) => {
        plan.limits = { ...plan.limits, stall: { feed: 0.06, seconds: 30 } };
      },
      (plan) => {
        plan.tools[0]!.offset += 0.01;
      },
    ];
    for (const plan of changes) expect(textOf('limits', basis({ plan })).text).not.toBe(text);
    // Where the liner hangs is no limit.
    expect(
      textOf(
        'limits',
        basis({
          plan: (plan) => {
            plan.liner.top += 1;
          },
        }),
      ).text,
    ).toBe(text);
  });

  it('record: every figure of every joint stands in it, uncertainty as it was seen', () => {
    const { text, parts } = textOf('record');
    for (const joint of demo.record.joints) {
      const { lines } = parts.find(({ name }) => name === `joint ${joint.name}`)!;
      for (const key of Object.keys(joint)) {
        if (key === 'uncertainty' || key === 'couldBe') expect(text).toContain(`joint ${joint.name}.${key}`);
        else expect(lines.some((line) => line.startsWith(key))).toBe(true);
      }
    }
    for (const event of demo.record.events) expect(text).toContain(JSON.stringify(event.detail));
    for (const step of demo.record.steps ?? []) expect(text).toContain(`name = ${JSON.stringify(step.name)}`);
  });

  it('depth correction: who set which tool to which depth', () => {
    const { text } = textOf('depth correction');
    expect(text).toContain('[corrections]\n[0].at =');
    expect(text).toContain('[0].by = "night shift"\n[0].depth = 2421\n');
    expect(text).toContain(`correction = ${demo.record.depth!.correction}`);
  });

  it('there is none of a joint or a handover that is not there, nor of a second record', () => {
    expect(signedText('joint', 'S99', demo)).toBeNull();
    expect(signedText('joint', null, demo)).toBeNull();
    expect(signedText('handover', '1', demo)).toBeNull();
    expect(signedText('record', 'S2', demo)).toBeNull();
    expect(signedText('joint', 'S2', demo)!.of).toBe('S2');
  });
});

describe('a signature', () => {
  it.each(SIGNED)('of %s holds while nothing of it changes', (subject) => {
    const [state] = judged(demo, [sign(subject, demo)]);
    expect(state).toMatchObject({ number: 1, subject, holds: { kind: 'holds' }, version: 1, by: 'A. Person' });
  });

  it('of the record holds while the run goes on behind it, and is broken by what happens to a joint', () => {
    const signs = [sign('record', demo)];
    const later = '2099-01-01T00:00:00.000Z';
    const goneOn = basis({
      record: (record) => {
        record.source.to = later;
        record.source.frames += 100;
        record.minutes = {};
        for (const joint of record.joints) joint.uncertainty += 0.001;
        record.events.push({ ...record.events[0]!, from: later, to: null });
        record.journal!.push({ at: later, by: 'B', action: 'note', text: 'later' });
      },
    });
    expect(judged(goneOn, signs)[0]!.holds).toEqual({ kind: 'holds' });
    const rolled = basis({
      record: (record) => {
        record.joints[3]!.expanded += 0.1;
      },
    });
    expect(judged(rolled, signs)[0]!.holds).toEqual({
      kind: 'broken',
      since: signs[0]!.at,
      cause: { kind: 'readings' },
      parts: [`joint ${demo.record.joints[3]!.name}`],
    });
  });

  it('is broken by the entry that changed what was signed, which is named', () => {
    const plan = structuredClone(demo.plan);
    plan.recipes.screen!.pressure!.min! += 500;
    const at = '2031-03-04T09:00:00Z';
    const changed = basis({ plan: (old) => Object.assign(old, plan) });
    const note: JournalEntry = { at: '2031-03-04T08:00:00Z', by: 'C', action: 'note', text: 'no matter' };
    const change: JournalEntry = { at, by: 'B. Other', action: 'change plan', plan };
    const signs = [sign('limits', demo), sign('depth correction', demo)];
    const [limits, depth] = judged(changed, signs, [note, change]);
    expect(limits!.holds).toEqual({
      kind: 'broken',
      since: at,
      cause: { kind: 'entry', action: 'change plan', by: 'B. Other' },
      parts: ['recipes'],
    });
    expect(depth!.holds).toEqual({ kind: 'holds' });
  });

  it('of a joint is broken when another decision is made on it, and on no other', () => {
    const decision = { action: 'reject', by: 'B. Other', at: '2031-03-04T09:00:00.000Z', reason: 'torn' } as const;
    const name = 'S2';
    const index = demo.record.joints.findIndex((joint) => joint.name === name);
    const entry: JournalEntry = { ...decision, joint: name };
    const rejected = basis({
      record: (record) => {
        record.joints[index]!.decision = decision;
      },
    });
    const [state] = judged(rejected, [sign('joint', demo)], [entry]);
    expect(state!.holds).toMatchObject({ kind: 'broken', since: decision.at, parts: [`joint ${name}`] });
    const other = basis({
      record: (record) => {
        record.joints[index + 1]!.decision = decision;
      },
    });
    expect(judged(other, [sign('joint', demo)])[0]!.holds.kind).toBe('holds');
  });

  it('that was written with another hash, or another version of what was seen, does not hold', () => {
    const forged = sign('record', demo, { hash: 'f'.repeat(64) });
    expect(judged(demo, [forged])[0]!.holds).toMatchObject({ kind: 'broken', parts: ['the hash'] });
    const true_ = sign('record', demo);
    const seen = { ...true_.seen!, lines: true_.seen!.lines.map((line) => line.replace('= 0.0', '= 0.1')) };
    expect(judged(demo, [{ ...true_, seen }])[0]!.holds).toMatchObject({ kind: 'broken', parts: ['as seen'] });
  });

  it('of what is gone is broken', () => {
    const gone = basis({ record: (record) => void record.joints.splice(0, record.joints.length) });
    expect(judged(gone, [sign('joint', demo)])[0]!.holds).toMatchObject({ kind: 'broken', parts: ['joint S2'] });
  });
});

it('a version is one more than the last that was signed, or that one', () => {
  const first = sign('limits', demo);
  expect(versionOf('a'.repeat(64), [])).toBe(1);
  expect(versionOf(first.hash, [first])).toBe(1);
  expect(versionOf('a'.repeat(64), [first])).toBe(2);
  expect(versionOf(first.hash, [first, { ...first, hash: 'a'.repeat(64), version: 2 }])).toBe(3);
});

it('the record is the same, byte for byte, with and without what people say about the run', () => {
  const { course, source } = read;
  const at = demo.record.source.to;
  const said: JournalEntry[] = [
    sign('record', demo),
    { at, by: 'A', action: 'time code', from: demo.record.source.from, to: at, code: 'X', reason: 'y' },
    { at, by: 'A', action: 'handover remarks', text: 'z' },
    { at, by: 'A', action: 'handover', number: 1, from: at, to: at, page: {} },
  ];
  const mixed = [...demo.entries, ...said].sort((a, b) => Date.parse(a.at) - Date.parse(b.at));
  const withAll = workWhole({ ...course, entries: mixed }).run;
  expect(JSON.stringify(recordOf(withAll, source))).toBe(JSON.stringify(demo.record));
  expect(withAll.journal.entries).toHaveLength(mixed.length);
});

it('every subject is signed by somebody and says what it is', () => {
  for (const { says, signatures } of Object.values(SUBJECTS)) {
    expect(says).toMatch(/\.$/);
    expect(signatures).toBeGreaterThanOrEqual(1);
  }
});
