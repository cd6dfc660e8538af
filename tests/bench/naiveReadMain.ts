/** The naive reading as a program of its own: the file of the first argument, its sum on standard output. */
import { readFileSync } from 'node:fs';
import { naiveRead } from './naiveRead.ts';

process.stdout.write(`${naiveRead(readFileSync(process.argv[2]!))}\n`);
