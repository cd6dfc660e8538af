/** The one link to the live run: up while that is looked at, down while a recorded run is. */
import { pageLink } from '../state.ts';
import { Connection, LIVE_PATH } from './connection.ts';

let link: Connection | null = null;

export function takeUpLive(): void {
  if (link) return;
  const live = new URL(LIVE_PATH, location.href);
  live.protocol = location.protocol === 'https:' ? 'wss:' : 'ws:';
  pageLink.value = { kind: 'connecting' };
  link = new Connection(live.href);
  link.start();
}

export function putDownLive(): void {
  link?.stop();
  link = null;
}
