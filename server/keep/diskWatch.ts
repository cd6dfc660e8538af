/**
 * Watches the room on the disk and brings a stopped recording back.
 *
 *     plenty ──< 10 %──> low ──< 5 %──> very low ──no room──> full
 *        <───> 11 %────      <──> 6 %──         <────room again──
 */
import type { Clock } from '../../ingest/clock.ts';
import { type Disk, DiskError, type DiskSpace } from './disk.ts';
import { RESUME_BYTES } from './rawLog.ts';

const LOW_SHARE = 0.1;
const VERY_LOW_SHARE = 0.05;
/** A warning ends only when this share more is free, so that it does not come and go. */
const CLEAR_SHARE = 0.01;
/** Recording resumes within this time after there is room: ten seconds are allowed. */
export const WATCH_EVERY_MS = 2000;

export type RoomLevel = 'plenty' | 'low' | 'very low' | 'full' | 'unknown';

export interface Room extends DiskSpace {
  readonly level: RoomLevel;
}

/** @param before the level that was told last */
export function roomLevel({ freeBytes, totalBytes }: DiskSpace, before: RoomLevel): RoomLevel {
  if (freeBytes < RESUME_BYTES) return 'full';
  const share = totalBytes > 0 ? freeBytes / totalBytes : 0;
  const wasVeryLow = before === 'very low' || before === 'full';
  if (share < VERY_LOW_SHARE + (wasVeryLow ? CLEAR_SHARE : 0)) return 'very low';
  if (share < LOW_SHARE + (wasVeryLow || before === 'low' ? CLEAR_SHARE : 0)) return 'low';
  return 'plenty';
}

export interface Recording {
  readonly state: { readonly kind: 'writing' | 'stopped' | 'closed' };
  resume(): Promise<boolean>;
}

export interface DiskWatchOptions {
  readonly disk: Disk;
  readonly folder: string;
  readonly clock: Clock;
  /** What is being recorded now. */
  readonly recordings: () => Iterable<Recording>;
  /** Called at every change of level. */
  readonly onRoom: (room: Room) => void;
}

export class DiskWatch {
  readonly #options: DiskWatchOptions;
  #room: Room = { level: 'unknown', freeBytes: 0, totalBytes: 0 };
  #cancel: (() => void) | null = null;
  #looking: Promise<void> = Promise.resolve();

  constructor(options: DiskWatchOptions) {
    this.#options = options;
  }

  get room(): Room {
    return this.#room;
  }

  /** Looks at once, and then again and again. */
  start(): void {
    this.#looking = this.look();
    this.#cancel = this.#options.clock.after(WATCH_EVERY_MS, () => this.start());
  }

  /** Resolves when nothing of it runs any more. */
  async stop(): Promise<void> {
    this.#cancel?.();
    this.#cancel = null;
    await this.#looking;
  }

  /** One look: the level is told when it changed, and what is stopped is tried again. */
  async look(): Promise<void> {
    const space = this.#space();
    const level = space ? roomLevel(space, this.#room.level) : 'unknown';
    const changed = level !== this.#room.level;
    this.#room = { level, freeBytes: space?.freeBytes ?? 0, totalBytes: space?.totalBytes ?? 0 };
    if (changed) this.#options.onRoom(this.#room);
    for (const recording of this.#options.recordings()) {
      if (recording.state.kind === 'stopped') await recording.resume();
    }
  }

  #space(): DiskSpace | null {
    try {
      return this.#options.disk.space(this.#options.folder);
    } catch (error) {
      if (error instanceof DiskError) return null;
      throw error;
    }
  }
}
