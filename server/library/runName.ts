/** A name that a person gives a run. It is never a path: runs lie in folders of their ids, which the service makes. */
import { z } from 'zod/mini';
import { LIBRARY_LIMITS } from '../../src/library/librarySchema.ts';

/** Names that some systems take for a device, with any ending. */
const DEVICE = /^(con|prn|aux|nul|com\d|lpt\d)(\.|$)/i;
const STRANGE = /[\p{Cc}\p{Zl}\p{Zp}/\\]/u;

/** A name leaves the service too, as that of a backup: what a file system elsewhere would stumble over is refused. */
export const runNameSchema = z.string().check(
  z.trim(),
  z.minLength(1),
  z.maxLength(LIBRARY_LIMITS.nameChars),
  z.refine((name) => !STRANGE.test(name), 'a name without slashes, line ends and control characters'),
  z.refine((name) => !name.startsWith('.'), 'a name that does not begin with a dot'),
  z.refine((name) => !DEVICE.test(name), 'a name that is not that of a device'),
);

/** The run in the path of a request: its id, or a name that only one has. */
export const runParamsSchema = z.object({ name: runNameSchema });
