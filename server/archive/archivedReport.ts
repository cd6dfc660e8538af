/** The printed report that goes into an archive: of the copy that is archived, verified as it is. */
import { Fault } from '../../src/fault.ts';
import { inTurns } from '../keep/inTurns.ts';
import { nodeDisk } from '../keep/nodeDisk.ts';
import type { RunReader } from '../keep/runReader.ts';
import { verifySteps } from '../keep/verifyRun.ts';
import { keptReport } from '../report/countedRun.ts';

/** @returns what `writeArchive` asks; null from it where the run has nothing that a report could be made of */
export const archivedReport =
  (read: (bytes: number) => void, pause?: () => Promise<void>) =>
  async (run: RunReader, folder: string): Promise<Uint8Array | null> => {
    try {
      const verification = await inTurns(verifySteps(nodeDisk, folder));
      return await keptReport(run, { verification, read, pause });
    } catch (error) {
      if (error instanceof Fault) return null;
      throw error;
    }
  };
