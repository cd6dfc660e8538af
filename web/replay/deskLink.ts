/** The page's end of the replay worker: one question after another, each with its answer. */
import type { Answer, Question } from '../worker/replayProtocol.ts';

export interface DeskLink {
  /** Rejects when the worker itself fails. */
  ask(question: Question): Promise<Answer>;
}

export function openDesk(): DeskLink {
  const worker = new Worker(new URL('../worker/replayWorker.ts', import.meta.url), { type: 'module' });
  const waiting: { resolve: (answer: Answer) => void; reject: (fault: Error) => void }[] = [];
  worker.addEventListener('message', ({ data }: MessageEvent<Answer>) => waiting.shift()?.resolve(data));
  worker.addEventListener('error', (event) => {
    for (const { reject } of waiting.splice(0)) reject(new Error(`replay: ${event.message || 'the worker failed'}`));
  });
  return {
    ask: (question) =>
      new Promise((resolve, reject) => {
        waiting.push({ resolve, reject });
        worker.postMessage(question);
      }),
  };
}
