/** Whether a source could be reached at the first try; later losses are the source's own to mend. */
import type { Observable } from 'rxjs';
import { filter, firstValueFrom, map } from 'rxjs';
import { Fault } from '../../src/fault.ts';
import type { IngestState } from '../../src/live/messages.ts';

type Link = Pick<IngestState, 'link' | 'linkDetail'>;

/** Resolves with the first link state that says how the first try went; null when the run was closed before. */
export function firstTry(links: Observable<Link>): Promise<Link | null> {
  const settled = links.pipe(
    filter(({ link }) => link !== 'connecting'),
    map((link): Link | null => link),
  );
  return firstValueFrom(settled, { defaultValue: null });
}

/** @throws Fault `unreachable`. */
export function mustBeReached(link: Link | null, source: string): void {
  if (link?.link !== 'lost') return;
  // The source's own words, without its name before and the plan for the next try behind.
  const why = link.linkDetail.replace(`${source}: `, '').replace(/; next try.*$/, '');
  throw new Fault('unreachable', `${source}: found ${why || 'no answer'}, expected a stream (--wait keeps trying)`);
}
