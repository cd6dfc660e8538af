import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { SharedWatch } from '../../server/live/sharedWatch.ts';
import { type SharedPlace, sharedMessageSchema } from '../../src/live/messages.ts';

const KEPT_MS = 60_000;
const at = (atMs: number): SharedPlace => ({ kind: 'at', atMs, playing: false, speed: 60 });
const token = (name: string): string => name.padEnd(16, '0').replace(/[^0-9a-f]/g, 'a');
const create = () => new SharedWatch<string>(KEPT_MS);
const watch = (shared: SharedWatch<string>, page: string, as: 'alone' | 'follows' | 'leads', of = page) =>
  shared.watch(page, { type: 'watch', page: token(of), name: ` ${of} `, as });
const said = (shared: SharedWatch<string>, page: string) => sharedMessageSchema.parse(shared.saidTo(page, 0));

describe('a shared position', () => {
  test('who takes it leads; others see where, and count', () => {
    const shared = create();
    for (const page of ['1', '2', '3']) watch(shared, page, 'alone');
    shared.take('1', at(100), 5);
    watch(shared, '2', 'follows');
    expect(said(shared, '1')).toMatchObject({ leader: { name: '1' }, you: { as: 'leads' }, watching: 3, following: 1 });
    expect(said(shared, '2')).toMatchObject({ place: { sinceMs: 5, at: at(100) }, you: { as: 'follows' } });
    expect(said(shared, '3').you.as).toBe('alone');
  });

  test('only who leads moves it; who is overtaken follows, and what it still says does not count', () => {
    const shared = create();
    for (const page of ['1', '2']) watch(shared, page, 'alone');
    shared.lead('2', at(1), 1);
    expect(said(shared, '2').place).toBeNull();
    shared.take('1', at(100), 1);
    shared.take('2', at(200), 2);
    shared.lead('1', at(300), 3);
    expect(said(shared, '1')).toMatchObject({ leader: { name: '2' }, place: { at: at(200) }, you: { as: 'follows' } });
    shared.lead('2', at(400), 4);
    expect(said(shared, '1').place).toEqual({ sinceMs: 4, at: at(400) });
  });

  test('nobody’s leaving moves the others: the place stays, and its leader may come back to it', () => {
    const shared = create();
    for (const page of ['1', '2']) watch(shared, page, 'alone');
    shared.take('1', at(100), 1);
    watch(shared, '2', 'follows');
    shared.gone('1', 10);
    expect(said(shared, '2')).toMatchObject({ leader: null, place: { at: at(100) }, watching: 1, following: 1 });
    watch(shared, '1 again', 'leads', '1');
    expect(said(shared, '2')).toMatchObject({ leader: { name: '1' }, watching: 2 });
  });

  test('who led and comes back finds another in the lead: it follows', () => {
    const shared = create();
    for (const page of ['1', '2']) watch(shared, page, 'alone');
    shared.take('1', at(100), 1);
    shared.gone('1', 10);
    shared.take('2', at(200), 20);
    watch(shared, '1 again', 'leads', '1');
    expect(said(shared, '1 again')).toMatchObject({ leader: { name: '2' }, you: { as: 'follows' } });
  });

  test('a page that comes back before its old link was found dead is one page, and still leads', () => {
    const shared = create();
    for (const page of ['1', '2']) watch(shared, page, 'alone');
    shared.take('1', at(100), 1);
    watch(shared, '1 again', 'leads', '1');
    expect(said(shared, '2')).toMatchObject({ leader: { name: '1' }, watching: 2 });
    expect(said(shared, '1 again').you.as).toBe('leads');
    shared.gone('1', 20);
    expect(said(shared, '2').leader).toEqual({ name: '1' });
  });

  test('given up with nobody there it is forgotten at once; left by a lost link, after a while', () => {
    const shared = create();
    for (const page of ['1', '2']) watch(shared, page, 'alone');
    shared.take('1', at(100), 1);
    watch(shared, '1', 'alone');
    expect(said(shared, '2').place).toBeNull();
    shared.take('1', at(100), 1);
    shared.gone('1', 1_000);
    shared.tidy(1_000 + KEPT_MS - 1);
    expect(said(shared, '2').place).not.toBeNull();
    shared.tidy(1_000 + KEPT_MS);
    expect(said(shared, '2').place).toBeNull();
  });

  test('whatever pages do, at most one leads, the counts are right, and leaving changes no place that somebody is at', () => {
    const page = fc.constantFrom('1', '2', '3');
    const deed = fc.oneof(
      fc.record({
        does: fc.constant('watch' as const),
        page,
        as: fc.constantFrom('alone' as const, 'follows' as const, 'leads' as const),
      }),
      fc.record({ does: fc.constantFrom('take' as const, 'lead' as const), page, atMs: fc.nat(1000) }),
      fc.record({ does: fc.constant('gone' as const), page }),
    );
    fc.assert(
      fc.property(fc.array(deed, { maxLength: 40 }), (deeds) => {
        const shared = create();
        const there = new Set<string>();
        const standings = () => [...there].map((one) => said(shared, one).you.as);
        deeds.forEach((done, i) => {
          const before = said(shared, 'nobody').place;
          if (done.does === 'watch') {
            there.add(done.page);
            watch(shared, done.page, done.as);
          } else if (done.does === 'gone') {
            there.delete(done.page);
            shared.gone(done.page, i);
          } else shared[done.does](done.page, at(done.atMs), i);
          const now = said(shared, 'nobody');
          expect(now.watching).toBe(there.size);
          expect(standings().filter((as) => as === 'leads').length).toBe(now.leader ? 1 : 0);
          expect(now.following).toBe(standings().filter((as) => as === 'follows').length);
          const stays = done.does === 'gone' || (done.does === 'watch' && standings().some((as) => as !== 'alone'));
          if (stays) expect(now.place).toEqual(before);
        });
      }),
    );
  });
});
