/** The command line: one verb, its options, its end. A fault is one line on standard error and an exit code. */
import { Fault } from '../../src/fault.ts';
import { VERSION } from '../version.ts';
import { EXIT_CODES, EXIT_DONE, EXIT_FAILED } from './exitCodes.ts';
import { helpText } from './help.ts';
import type { OptionTable } from './options.ts';

interface Verb {
  readonly says: string;
  readonly load: () => Promise<{ options: OptionTable; run: (args: readonly string[]) => Promise<void> }>;
}

/** Each verb is loaded when it is called: `analyse` need not start a web framework. */
export const VERBS: Readonly<Record<string, Verb>> = {
  analyse: {
    says: 'reads a recorded stream and writes the record of the run',
    load: async () => {
      const { ANALYSE_OPTIONS, analyse } = await import('./analyse.ts');
      return { options: ANALYSE_OPTIONS, run: analyse };
    },
  },
  report: {
    says: 'prints a run: its record, plan, joints, tests and signatures as one PDF',
    load: async () => {
      const { REPORT_OPTIONS, report } = await import('./report.ts');
      return { options: REPORT_OPTIONS, run: report };
    },
  },
  check: {
    says: 'works the plan out before the trip: flows, weights, balls, hole, what speaks against it',
    load: async () => {
      const { CHECK_OPTIONS, check } = await import('./check.ts');
      return { options: CHECK_OPTIONS, run: check };
    },
  },
  serve: {
    says: 'the live service and its page',
    load: async () => {
      const { SERVE_OPTIONS, serve } = await import('./serve.ts');
      return { options: SERVE_OPTIONS, run: serve };
    },
  },
  simulate: {
    says: 'a rig: plays a scenario as a WITS stream on a TCP port',
    load: async () => {
      const { SIMULATE_OPTIONS, simulate } = await import('./simulate.ts');
      return { options: SIMULATE_OPTIONS, run: simulate };
    },
  },
  runs: {
    says: 'the recorded runs of a data folder',
    load: async () => {
      const { RUNS_OPTIONS, runs } = await import('./runs.ts');
      return { options: RUNS_OPTIONS, run: runs };
    },
  },
  import: {
    says: 'takes a recorded stream into the run library, its bytes as they are',
    load: async () => {
      const { IMPORT_OPTIONS, importRun } = await import('./import.ts');
      return { options: IMPORT_OPTIONS, run: importRun };
    },
  },
  verify: {
    says: 'RUN: walks a recorded run, or an archive, and says what is whole and what is not',
    load: async () => {
      const { VERIFY_OPTIONS, verify } = await import('./verify.ts');
      return { options: VERIFY_OPTIONS, run: verify };
    },
  },
  backup: {
    says: 'RUN: copies a run, also while it is recorded',
    load: async () => {
      const { BACKUP_OPTIONS, backup } = await import('./backup.ts');
      return { options: BACKUP_OPTIONS, run: backup };
    },
  },
  restore: {
    says: 'puts a backup back into a run library',
    load: async () => {
      const { RESTORE_OPTIONS, restore } = await import('./restore.ts');
      return { options: RESTORE_OPTIONS, run: restore };
    },
  },
  together: {
    says: 'lays the runs of a library side by side and names the joints that are unlike their kind',
    load: async () => {
      const { TOGETHER_OPTIONS, together } = await import('./together.ts');
      return { options: TOGETHER_OPTIONS, run: together };
    },
  },
  people: {
    says: 'add or list: who may sign in a run library; a new secret is read from standard input',
    load: async () => {
      const { PEOPLE_OPTIONS, people } = await import('./people.ts');
      return { options: PEOPLE_OPTIONS, run: people };
    },
  },
  export: {
    says: 'RUN: writes a run as a file that other programs open',
    load: async () => {
      const { EXPORT_OPTIONS, exportRun } = await import('./export.ts');
      return { options: EXPORT_OPTIONS, run: exportRun };
    },
  },
  archive: {
    says: 'RUN: puts a run into one file: raw log, journal, plans, record, with a sum of each',
    load: async () => {
      const { ARCHIVE_OPTIONS, archive } = await import('./archive.ts');
      return { options: ARCHIVE_OPTIONS, run: archive };
    },
  },
  unpack: {
    says: 'takes an archive into a run library, checked, or not at all',
    load: async () => {
      const { UNPACK_OPTIONS, unpack } = await import('./unpack.ts');
      return { options: UNPACK_OPTIONS, run: unpack };
    },
  },
  demo: {
    says: 'a simulated rig, the service and its page in one',
    load: async () => {
      const { DEMO_OPTIONS, demo } = await import('./demo.ts');
      return { options: DEMO_OPTIONS, run: demo };
    },
  },
  schema: {
    says: 'the promised files as JSON Schema',
    load: async () => {
      const { SCHEMA_OPTIONS, schema } = await import('./schema.ts');
      return { options: SCHEMA_OPTIONS, run: schema };
    },
  },
};

/** @param only the verb that is asked about; left out: all */
async function help(only?: string): Promise<string> {
  const asked = only === undefined ? VERBS : { [only]: VERBS[only]! };
  const verbs = await Promise.all(
    Object.entries(asked).map(async ([name, { says, load }]) => [name, { says, ...(await load()) }] as const),
  );
  return helpText(Object.fromEntries(verbs));
}

async function runVerb(args: readonly string[]): Promise<void> {
  const [word, ...rest] = args;
  if (word === 'version' || word === '--version') process.stdout.write(`${VERSION}\n`);
  else if (word === 'help' || word === '--help' || word === '-h') {
    process.stdout.write(await help(rest[0] !== undefined && Object.hasOwn(VERBS, rest[0]) ? rest[0] : undefined));
  } else if (word !== undefined && Object.hasOwn(VERBS, word)) {
    if (rest.includes('--help')) process.stdout.write(await help(word));
    else await (await VERBS[word]!.load()).run(rest);
  } else {
    const found = word === undefined ? 'no verb' : `"${word}"`;
    throw new Fault('bad option', `jointwise: found ${found}, expected one of ${Object.keys(VERBS).join(', ')}, help`);
  }
}

/** @returns the exit code; it is also set for the process. */
export async function main(args: readonly string[]): Promise<number> {
  // A reader that has seen enough (`| head`) ends us quietly.
  process.stdout.on('error', (error: NodeJS.ErrnoException) => process.exit(error.code === 'EPIPE' ? 0 : EXIT_FAILED));
  let code = EXIT_DONE;
  try {
    await runVerb(args);
  } catch (error) {
    if (error instanceof Fault) {
      process.stderr.write(`${error.message}\n`);
      code = EXIT_CODES[error.code];
    } else {
      process.stderr.write(`jointwise failed, please report this: ${error instanceof Error ? error.stack : error}\n`);
      code = EXIT_FAILED;
    }
  }
  process.exitCode = code;
  return code;
}
